// Package record is what has become of each hide that was ever on the rack: a
// journal, to which lines are only added; the ledger that it adds up to; and the
// audit, which holds both against the leather on hand.
//
// The journal is journal.csv in the workshop's folder: a table with one line a
// thing, several of which make an entry. Its columns are Columns:
//
//	entry     counted from 1; all lines of one command have the same
//	date      2027-03-02
//	what      see What
//	hide      whose area, cost and file the line tells
//	of        of a remnant, the hide that it was cut from; of "undone", the entry
//	leather, form, supplier, grade     of the hide, where it comes on the rack
//	order, part, sets, count           of pieces, and of sets made: "1-3 5"
//	area_mm2  whole square millimetres
//	cost      money, to the penny; empty where it is not known
//	plan      the mark of the plan that was cut
//	file      the first 16 digits of the SHA-256 of the hide's file, or of the order
//	          book from which sets were made
//	seal      ties the line to all before it
//
// Areas and costs add up exactly: what a hide had is shared out among pieces,
// remnants and scrap by the largest remainders (see Share), so that nothing is
// rounded away. The seal is the first 8 digits of the SHA-256 of the seal before it
// and of the line's other cells, with a line feed after each, so that a changed cell
// is found out. A spreadsheet shows the file, but may write dates and money in
// another way when it saves.
package record

import (
	"bytes"
	"crypto/sha256"
	"encoding/csv"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/shopspring/decimal"

	"strapwise/hide/source"
)

// File is the name of the journal in a workshop's folder.
const File = "journal.csv"

// MaxBytes is the size beyond which a journal is refused: some hundred thousand
// lines, the work of a bench for decades.
const MaxBytes = 32 << 20

// What a line of the journal tells.
type What string

// The things that become of hides.
const (
	TakenIn What = "taken in" // a hide comes on the rack by rack take-in
	Found   What = "found"    // a hide that a person put there by hand is met for the first time
	Cut     What = "cut"      // a hide leaves the rack, cut as a plan says; the lines after it say into what
	Pieces  What = "pieces"   // one part of an order, cut from the hide
	Remnant What = "remnant"  // what goes back on the rack, as a hide of its own
	Scrap   What = "scrap"    // the rest of the hide
	Made    What = "made"     // sets of an order that are complete now
	Changed What = "changed"  // a hide's file is accepted as it is now, with another area or cost
	Gone    What = "gone"     // a hide is written off: its file is no longer there
	Undone  What = "undone"   // an earlier entry counts no more
)

func whats() []What {
	return []What{TakenIn, Found, Cut, Pieces, Remnant, Scrap, Made, Changed, Gone, Undone}
}

// Columns are the headings of the journal.
func Columns() []string {
	return []string{
		"entry", "date", "what", "hide", "of", "leather", "form", "supplier", "grade",
		"order", "part", "sets", "count", "area_mm2", "cost", "plan", "file", "seal",
	}
}

// Line is one line of the journal. What does not concern it is empty.
type Line struct {
	Entry                          int
	Date                           time.Time
	What                           What
	Hide, Of                       string
	Leather, Form, Supplier, Grade string
	Order, Part, Sets              string
	Count                          int
	AreaMM2                        int64
	Cost                           decimal.NullDecimal
	Plan, File                     string
}

// Journal is a journal, read. It does not change; With gives a longer one. The zero
// value is one without entries, as long as there is no file.
type Journal struct {
	lines []Line
	text  []byte
	seal  string
}

// Lines are all lines in order, not to be changed.
func (j *Journal) Lines() []Line { return j.lines }

// Text is the journal as its file has it.
func (j *Journal) Text() []byte { return j.text }

// With is the journal and one more entry of these lines; their numbers and dates
// are set.
func (j *Journal) With(date time.Time, lines []Line) *Journal {
	out := &Journal{lines: slices.Clone(j.lines), seal: j.seal}
	text := bytes.NewBuffer(slices.Clone(j.text))
	if len(j.text) == 0 {
		writeCells(text, Columns())
	} else if !bytes.HasSuffix(j.text, []byte("\n")) {
		text.WriteByte('\n')
	}
	entry := 1
	if n := len(j.lines); n > 0 {
		entry = j.lines[n-1].Entry + 1
	}
	for _, l := range lines {
		l.Entry, l.Date = entry, date
		cells := l.cells()
		out.seal = sealed(out.seal, cells)
		out.lines = append(out.lines, l)
		writeCells(text, append(cells, out.seal))
	}
	out.text = text.Bytes()
	return out
}

func writeCells(text *bytes.Buffer, cells []string) {
	w := csv.NewWriter(text)
	_ = w.Write(cells) // a buffer takes all
	w.Flush()
}

// sealed is the seal of a line after another.
func sealed(before string, cells []string) string {
	sum := sha256.Sum256([]byte(before + "\n" + strings.Join(cells, "\n") + "\n"))
	return hex.EncodeToString(sum[:4])
}

// cells are those of the line, without its seal.
func (l Line) cells() []string {
	count, area, cost := "", "", ""
	if l.Count > 0 {
		count = strconv.Itoa(l.Count)
	}
	if l.What != Made && l.What != Undone {
		area = strconv.FormatInt(l.AreaMM2, 10)
	}
	if l.Cost.Valid {
		cost = l.Cost.Decimal.StringFixed(2)
	}
	cells := []string{
		strconv.Itoa(l.Entry), l.Date.Format(time.DateOnly), string(l.What), l.Hide, l.Of, l.Leather, l.Form, l.Supplier, l.Grade,
		l.Order, l.Part, l.Sets, count, area, cost, l.Plan, l.File,
	}
	for i := range cells { // a plan may have been written by anybody
		cells[i] = source.Plain(cells[i])
	}
	return cells
}

// Decode reads a journal, which has its headings at least: a file of nothing is one
// that was lost. file is its name for messages. The error is a *source.Error.
func Decode(file string, text []byte) (*Journal, error) {
	if len(text) > MaxBytes {
		return nil, &source.Error{File: file, Rule: fmt.Sprintf("larger than %d MB, expected a journal", MaxBytes>>20), Hint: restore}
	}
	j := &Journal{text: text}
	r := csv.NewReader(bytes.NewReader(bytes.TrimPrefix(text, []byte("\xef\xbb\xbf"))))
	r.FieldsPerRecord = -1
	for n := 0; ; n++ {
		cells, err := r.Read()
		fault := &source.Error{File: file, Hint: restore}
		if errors.Is(err, io.EOF) && n > 0 {
			return j, nil
		} else if errors.Is(err, io.EOF) {
			fault.Rule = "found nothing in it, expected a journal"
			return nil, fault
		}
		if bad, ok := errors.AsType[*csv.ParseError](err); ok {
			fault.Line, fault.Rule = bad.Line, "no line of a table: "+bad.Err.Error()
			return nil, fault
		}
		fault.Line, _ = r.FieldPos(0)
		switch {
		case n == 0 && !slices.Equal(cells, Columns()):
			fault.Rule = "found other headings, expected " + strings.Join(Columns(), ",")
		case n > 0:
			fault.Path, fault.Rule = j.take(cells)
		}
		if fault.Rule != "" {
			return nil, fault
		}
	}
}

// restore is what helps with a journal that is not as it was written.
const restore = "put the journal back from a copy; or move it away, and the record begins anew with the leather on the rack"

// take adds a line that was read, or says what is wrong with it, and where.
func (j *Journal) take(cells []string) (column, rule string) {
	if len(cells) != len(Columns()) {
		return "", fmt.Sprintf("found %s, expected %d", source.Count(len(cells), "cell"), len(Columns()))
	}
	last := len(cells) - 1
	l, column := lineOf(cells)
	if column != "" {
		at := cells[slices.Index(Columns(), column)]
		return column, fmt.Sprintf("found %q, which strapwise does not write there", source.Shorten(at, source.Quoted))
	}
	before := 0
	if n := len(j.lines); n > 0 {
		before = j.lines[n-1].Entry
	}
	if l.Entry != before+1 && (l.Entry != before || before == 0) {
		return "entry", fmt.Sprintf("found %d after %d, expected no gap", l.Entry, before)
	}
	seal := sealed(j.seal, cells[:last])
	if seal != cells[last] {
		return "seal", "this line, or one before it, is not as it was written"
	}
	j.lines, j.seal = append(j.lines, l), seal
	return "", ""
}

var (
	wholeNumber = regexp.MustCompile(`^(0|[1-9][0-9]{0,14})$`)
	plainCost   = regexp.MustCompile(`^[0-9]{1,12}\.[0-9]{2}$`)
)

// lineOf reads the cells of a line, or names the first column that cannot be read.
func lineOf(cells []string) (l Line, wrong string) {
	whole := func(i int, optional bool) int64 {
		if cells[i] == "" && optional {
			return 0
		}
		n, err := strconv.ParseInt(cells[i], 10, 64)
		if (err != nil || !wholeNumber.MatchString(cells[i])) && wrong == "" {
			wrong = Columns()[i]
		}
		return n
	}
	l = Line{
		What: What(cells[2]), Hide: cells[3], Of: cells[4], Leather: cells[5], Form: cells[6], Supplier: cells[7], Grade: cells[8],
		Order: cells[9], Part: cells[10], Sets: cells[11], Plan: cells[15], File: cells[16],
	}
	l.Entry = int(whole(0, false))
	var err error
	if l.Date, err = time.Parse(time.DateOnly, cells[1]); err != nil && wrong == "" {
		wrong = "date"
	}
	if !slices.Contains(whats(), l.What) && wrong == "" {
		wrong = "what"
	}
	l.Count = int(whole(12, true))
	l.AreaMM2 = whole(13, l.What == Made || l.What == Undone)
	if cells[14] != "" {
		if !plainCost.MatchString(cells[14]) {
			if wrong == "" {
				wrong = "cost"
			}
			return l, wrong
		}
		l.Cost = decimal.NewNullDecimal(decimal.RequireFromString(cells[14]))
	}
	return l, wrong
}
