package report

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"strapwise/hide/measure"
	"strapwise/nest"
)

// Table is a list in rows and columns, for a spreadsheet. Lengths stand twice: as
// the workshop writes them, and in millimetres as numbers.
type Table struct {
	Columns []Column
	Rows    [][]string // a cell for each column
}

// Column is the name of one, and whether its cells are numbers or empty.
type Column struct {
	Name   string
	Number bool
}

func text(names ...string) []Column {
	var out []Column
	for _, n := range names {
		out = append(out, Column{Name: n})
	}
	return out
}

// millimetres prints a number to a thousandth; none is an empty cell.
func millimetres(mm float64) string {
	if math.IsNaN(mm) {
		return ""
	}
	return strconv.FormatFloat(math.Round(mm*1000)/1000+0, 'f', -1, 64)
}

// PieceTable lists the pieces of some hides of a plan: those that are cut already, then
// the others in the order in which they are cut. From and to are marks along the
// strip, from the squared end of the hide.
func PieceTable(j nest.Job, p nest.Plan, hides []string, rule measure.Rule) (Table, error) {
	t := Table{Columns: append(text("hide", "strip", "order", "set", "part", "use", "leather", "length", "width"),
		Column{"length_mm", true}, Column{"width_mm", true}, Column{"from_mm", true}, Column{"to_mm", true}, Column{"template", false}, Column{"state", false})}
	t.Columns[3].Number = true
	for _, name := range hides {
		l, err := readLay(j, p, name, rule)
		if err != nil {
			return Table{}, err
		}
		for _, piece := range l.all() {
			length, width := l.size(piece)
			t.Rows = append(t.Rows, []string{
				name, l.where(piece), piece.Order, strconv.Itoa(piece.Set), piece.Part, piece.Use, l.hide.Leather(),
				rule.Length(length), rule.Length(width), millimetres(length), millimetres(width), millimetres(piece.FromMM), millimetres(piece.ToMM), l.templateFile(piece), state(piece),
			})
		}
	}
	return t, nil
}

// state is what a relay says of a piece.
func state(p nest.Piece) string {
	var out []string
	if p.Cut {
		out = append(out, "cut")
	}
	if p.New {
		out = append(out, "new")
	}
	return strings.Join(out, ", ")
}

// CutTable lists the steps of the cutting lists of some hides, a row for each
// setting of the cutter or other thing to do, and one for each mark to cut at. A rip
// of the hide has its distance from the struck edge too, so that whoever checks it
// adds no errors up.
func CutTable(j nest.Job, p nest.Plan, hides []string, rule measure.Rule) (Table, error) {
	t := Table{Columns: append(text("hide"), Column{"step", true})}
	t.Columns = append(t.Columns, text("strips", "do", "cutter", "from_edge", "mark", "gives")...)
	t.Columns = append(t.Columns, Column{"cutter_mm", true}, Column{"from_edge_mm", true}, Column{"mark_mm", true})
	for _, name := range hides {
		steps, err := Steps(j, p, name, rule)
		if err != nil {
			return Table{}, err
		}
		n := 0
		for _, s := range steps {
			if s.Note {
				continue
			}
			n++
			row := []string{name, fmt.Sprint(n), s.Name, Plain(s.told()), "", "", "", "", "", "", ""}
			if len(s.Set) > 0 {
				row[4], row[8] = rule.Length(s.SetMM), millimetres(s.SetMM)
			}
			if s.FarMM > 0 {
				row[5], row[9] = rule.Length(s.FarMM), millimetres(s.FarMM)
			}
			if len(s.Cuts) == 0 {
				t.Rows = append(t.Rows, row)
			}
			for _, c := range s.Cuts {
				cut := slices.Clone(row)
				cut[6], cut[7], cut[10] = mark(c, rule), c.Off, millimetres(c.MM)
				t.Rows = append(t.Rows, cut)
			}
		}
	}
	return t, nil
}

// mark is where a cut is made, with its unit: a bare 1/2 would be a day of the year
// to a spreadsheet.
func mark(c Cut, rule measure.Rule) string {
	at := Plain(c.At)
	if at == "" || at[0] < '0' || at[0] > '9' {
		return at // in words
	}
	length := rule.Length(math.Abs(c.MM))
	for _, side := range []string{" left", " right"} {
		if strings.HasSuffix(at, side) {
			length += side
		}
	}
	return length
}
