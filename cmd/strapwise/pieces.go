package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"strapwise/hide/measure"
	"strapwise/hide/source"
	"strapwise/nest"
	"strapwise/nest/orders"
	"strapwise/nest/workshop"
)

func newPieces(u *ui) *cobra.Command {
	return &cobra.Command{
		Use:   "pieces",
		Short: "what to cut for the orders, by leather",
		Long: `pieces turns the order book into a cutting list: for every order the pieces of
its sets, by leather, with length and width as cut, the use that says how good
their leather must be, and whether they are ripped with the strap cutter or cut
out with the knife, and by which template; then for every order its hardware, stitching and thread.
It needs no leather on the rack.`,
		Example: "  strapwise pieces --workshop testdata/demo",
		Args:    noArgs,
		RunE: func(*cobra.Command, []string) error {
			w, err := workshop.OpenBook(u.workshop)
			if err != nil {
				return err
			}
			u.notes(w)
			if u.json {
				return u.value(piecesJSON(w.Lines))
			}
			if len(w.Lines) == 0 {
				u.text("the order book is empty\n")
				return nil
			}
			u.table(cuttingList(w.Lines, w.Rule))
			u.table(hardwareList(w.Lines, w.Rule))
			return nil
		},
	}
}

// setsOf names the sets of a line: "1", "3-6".
func setsOf(l orders.Line) string {
	if l.Qty == 1 {
		return fmt.Sprint(l.FirstSet)
	}
	return fmt.Sprintf("%d-%d", l.FirstSet, l.FirstSet+l.Qty-1)
}

// cuttingList is the table of pieces: a heading for each leather, then its pieces
// in the order of the book.
func cuttingList(lines []orders.Line, rule measure.Rule) []string {
	type entry struct {
		line  orders.Line
		part  nest.Part
		aside bool
	}
	by := map[string][]entry{}
	for _, l := range lines {
		for _, p := range l.Parts {
			by[p.Leather] = append(by[p.Leather], entry{l, p, false})
		}
		for _, p := range l.Aside {
			by[p.Leather] = append(by[p.Leather], entry{l, p, true})
		}
	}
	var leathers []string
	for name := range by {
		leathers = append(leathers, name)
	}
	slices.Sort(leathers)
	var rows []string
	for _, name := range leathers {
		count, area := 0, 0.0
		for _, e := range by[name] {
			count += e.line.Qty * e.part.Count
			area += float64(e.line.Qty*e.part.Count) * e.part.Area()
		}
		head := fmt.Sprintf("%s: %s, %s net", name, source.Count(count, "piece"), rule.BothAreas(area))
		if by[name][0].aside {
			head += " (not a leather of this workshop: cut it by eye)"
		}
		rows = append(rows, head, "  order\tsets\tpart\tpieces\tlength\twidth\tuse\tcut with")
		for _, e := range by[name] {
			tool := "strap cutter"
			if e.part.Knife {
				tool = "knife"
			}
			if e.part.Template != nil {
				tool += ", template " + e.part.Template.File
			}
			rows = append(rows, fmt.Sprintf("  %s\t%s\t%s\t%d\t%s\t%s\t%s\t%s", e.line.ID, setsOf(e.line), e.part.Name,
				e.line.Qty*e.part.Count, asCut(e.part.Length, rule), asCut(e.part.Width, rule), e.part.Use, tool))
		}
		rows = append(rows, "")
	}
	return rows
}

// asCut is a size as it is cut, on the first mark not below, and in brackets what
// that is in the other system, in inches on the first mark not below again.
func asCut(mm float64, rule measure.Rule) string {
	cut := rule.Up(mm)
	if rule.System == measure.Inch {
		return rule.Both(cut)
	}
	inch := measure.RuleOf(measure.Inch)
	return fmt.Sprintf("%s (%s)", rule.Length(cut), inch.Length(inch.Up(cut)))
}

// hardwareList is the table of what else an order needs, for one set.
func hardwareList(lines []orders.Line, rule measure.Rule) []string {
	rows := []string{"for each set", "  order\tsets\tarticle\tfinished\thardware\tstitching\tthread"}
	for _, l := range lines {
		rows = append(rows, fmt.Sprintf("  %s\t%s\t%s\t%s\t%s\t%s\t%s", l.ID, setsOf(l),
			articleOf(l, rule), orNone(l.Finished, rule), hardware(l, rule), stitching(l, rule), orNone(l.Thread, rule)))
	}
	return rows
}

func orNone(mm float64, rule measure.Rule) string {
	if mm == 0 {
		return "-"
	}
	return rule.Length(mm)
}

func hardware(l orders.Line, rule measure.Rule) string {
	var out []string
	for _, h := range l.Hardware {
		s := h.Name
		if h.Count > 1 {
			s = fmt.Sprintf("%d × %s", h.Count, s)
		}
		if h.Width > 0 {
			s += " " + rule.Exact(h.Width)
		}
		if h.Length > 0 {
			s += " × " + rule.Exact(h.Length)
		}
		out = append(out, s)
	}
	if len(out) == 0 {
		return "-"
	}
	return strings.Join(out, ", ")
}

func stitching(l orders.Line, rule measure.Rule) string {
	switch {
	case l.Seam == 0:
		return "-"
	case l.Stitches == 0:
		return rule.Length(l.Seam)
	}
	return fmt.Sprintf("%s, %d stitches", rule.Length(l.Seam), l.Stitches)
}

// pieceLine is a row of the cutting list as JSON. Lengths are millimetres.
type pieceLine struct {
	Order    string        `json:"order"`
	FirstSet int           `json:"first_set"`
	Sets     int           `json:"sets"`
	Pattern  string        `json:"pattern"`
	WidthMM  float64       `json:"width_mm"`
	SizeMM   float64       `json:"size_mm"`
	Pieces   []piecePart   `json:"pieces"`
	Hardware []hardwareRow `json:"hardware"`
	SeamMM   float64       `json:"seam_mm"`
	Stitches int           `json:"stitches"`
	ThreadMM float64       `json:"thread_mm"`
}

type piecePart struct {
	Part     string  `json:"part"`
	Leather  string  `json:"leather"`
	Use      string  `json:"use"`
	LengthMM float64 `json:"length_mm"`
	WidthMM  float64 `json:"width_mm"`
	Count    int     `json:"count"` // in a set
	Cut      string  `json:"cut"`
	Laid     bool    `json:"laid"` // false: of a leather that the workshop does not list
	Template string  `json:"template,omitempty"`
}

type hardwareRow struct {
	Name     string  `json:"name"`
	Count    int     `json:"count"`
	WidthMM  float64 `json:"width_mm"`
	LengthMM float64 `json:"length_mm"`
}

func piecesJSON(lines []orders.Line) []pieceLine {
	out := []pieceLine{}
	for _, l := range lines {
		row := pieceLine{
			Order: l.ID, FirstSet: l.FirstSet, Sets: l.Qty, Pattern: l.Pattern, WidthMM: l.Width, SizeMM: l.Size,
			Pieces: []piecePart{}, Hardware: []hardwareRow{}, SeamMM: l.Seam, Stitches: l.Stitches, ThreadMM: l.Thread,
		}
		add := func(parts []nest.Part, laid bool) {
			for _, p := range parts {
				cut := "strip"
				if p.Knife {
					cut = "knife"
				}
				part := piecePart{Part: p.Name, Leather: p.Leather, Use: p.Use, LengthMM: p.Length, WidthMM: p.Width, Count: p.Count, Cut: cut, Laid: laid}
				if p.Template != nil {
					part.Template = p.Template.File
				}
				row.Pieces = append(row.Pieces, part)
			}
		}
		add(l.Parts, true)
		add(l.Aside, false)
		for _, h := range l.Hardware {
			row.Hardware = append(row.Hardware, hardwareRow{h.Name, h.Count, h.Width, h.Length})
		}
		out = append(out, row)
	}
	return out
}
