package orders

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"github.com/shopspring/decimal"

	"strapwise/hide/measure"
	"strapwise/hide/source"
)

// Limits of an order book: many times a busy year, and little enough that a
// mistaken file is refused at once.
const (
	maxRows   = 10_000
	maxSets   = 20_000
	maxQty    = 999
	maxLetter = 200 // in a cell
)

// columns of an order book, and which of them it must have.
var (
	columns = []string{"order", "due", "qty", "pattern", "width", "size", "leather", "lining", "price", "note"}
	needed  = []string{"order", "qty", "pattern", "width", "size", "leather"}
)

// Read reads an order book and works out every row. A book is what a
// spreadsheet saves as CSV: a heading with the names of the columns, in any
// order, and a row for each order and size; cells divided by commas,
// semicolons or tabs. Empty rows are passed over, and a book without rows is
// an empty one. The columns due, lining, price and note may be left out. The
// error is a *source.Error that names line and column; file is the book's name
// in it.
func (h *House) Read(file string, data []byte) (*Book, error) {
	text, err := source.Text(file, data)
	if err != nil {
		return nil, err
	}
	if !bytes.Contains(text, []byte("\n")) {
		text = bytes.ReplaceAll(text, []byte("\r"), []byte("\n")) // some spreadsheets end lines so
	}
	r := &reader{file: file, text: text, house: h, lastSet: map[string]int{}}
	if err := r.read(); err != nil {
		return nil, err
	}
	return &Book{Lines: r.lines, Warnings: r.warnings()}, nil
}

// reader reads one book.
type reader struct {
	file    string
	text    []byte
	house   *House
	comma   rune
	csv     *csv.Reader
	heading []string // by place; "" for a column without a name
	lines   []Line
	lastSet map[string]int // by order
	sets    int
}

func (r *reader) fault(line int, column, rule, hint string) error {
	return &source.Error{File: r.file, Line: line, Path: column, Rule: rule, Hint: hint}
}

func (r *reader) read() error {
	r.text, r.comma = divided(r.text)
	r.csv = csv.NewReader(bytes.NewReader(r.text))
	r.csv.Comma = r.comma
	r.csv.FieldsPerRecord = -1 // counted here, to name the line
	r.csv.ReuseRecord = true
	r.csv.TrimLeadingSpace = r.comma != '\t'
	for {
		cells, err := r.csv.Read()
		switch {
		case errors.Is(err, io.EOF):
			return nil
		case err != nil:
			return r.broken(err)
		}
		line, _ := r.csv.FieldPos(0)
		if !slices.ContainsFunc(cells, func(c string) bool { return strings.TrimSpace(c) != "" }) {
			continue
		}
		if r.heading == nil {
			err = r.readHeading(line, cells)
		} else {
			err = r.readRow(line, cells)
		}
		if err != nil {
			return err
		}
	}
}

// divided tells what divides the cells: what the first line says, if it is one
// that some spreadsheets write to say so (sep=;), or else whichever of , ; and tab
// it has most of. A line that says so is emptied, so that lines count as before.
func divided(text []byte) ([]byte, rune) {
	first, _, _ := bytes.Cut(bytes.TrimLeft(text, "\r\n"), []byte("\n"))
	for _, c := range ",;\t" {
		if string(bytes.TrimRight(first, "\r ")) == "sep="+string(c) {
			return bytes.Replace(text, bytes.TrimRight(first, "\r"), nil, 1), c
		}
	}
	best := ','
	for _, c := range ";\t" {
		if bytes.Count(first, []byte(string(c))) > bytes.Count(first, []byte(string(best))) {
			best = c
		}
	}
	return text, best
}

// dividerName is what divides the cells, in words.
func (r *reader) dividerName() string {
	return map[rune]string{',': "comma", ';': "semicolon", '\t': "tab"}[r.comma]
}

// broken puts an error of the CSV reader into plain words.
func (r *reader) broken(err error) error {
	var parse *csv.ParseError
	if !errors.As(err, &parse) {
		return r.fault(0, "", err.Error(), "")
	}
	switch {
	case errors.Is(parse.Err, csv.ErrBareQuote):
		return r.fault(parse.Line, r.columnAt(parse), "found a quote mark inside a cell that does not begin with one, expected none", `write 1 3/8in, or "1 3/8""" with the cell in quotes and the mark doubled`)
	case parse.Line > parse.StartLine || !r.quoteAt(parse.Line, parse.Column):
		return r.fault(parse.StartLine, "", "found a quote mark that is never closed, expected its closing mark", `a cell in quotes doubles every mark inside it: "1 3/8"""`)
	}
	return r.fault(parse.Line, r.columnAt(parse), "found text after a closing quote mark, expected the next cell", `a cell in quotes doubles every mark inside it: "1 3/8"""`)
}

// quoteAt reports whether a quote mark stands at a line and byte, both from 1.
// The CSV reader has one error for a mark that closes too early, where it
// stops at the mark, and for one that never closes, where it stops at the end.
func (r *reader) quoteAt(line, column int) bool {
	text := r.lineText(line)
	return column <= len(text) && text[column-1] == '"'
}

func (r *reader) lineText(line int) string {
	lines := bytes.SplitN(r.text, []byte("\n"), line+1)
	if line > len(lines) {
		return ""
	}
	return string(lines[line-1])
}

// columnAt names the column in which the CSV reader stopped, "" if it cannot
// be told.
func (r *reader) columnAt(e *csv.ParseError) string {
	if e.Line != e.StartLine {
		return ""
	}
	place, quoted := 0, false
	for i, c := range r.lineText(e.Line) {
		switch {
		case i >= e.Column-1:
			return r.name(place)
		case c == '"':
			quoted = !quoted
		case c == r.comma && !quoted:
			place++
		}
	}
	return r.name(place)
}

func (r *reader) name(place int) string {
	if place < len(r.heading) {
		return r.heading[place]
	}
	return ""
}

func (r *reader) readHeading(line int, cells []string) error {
	for i, c := range cells {
		name := strings.ToLower(strings.TrimSpace(c))
		switch {
		case name == "": // spreadsheets save empty columns; no row may use it
		case !slices.Contains(columns, name):
			hint := source.DidYouMean(name, columns)
			if hint == "" {
				hint = "known here: " + strings.Join(columns, ", ")
			}
			return r.fault(line, "", fmt.Sprintf("unknown column %q", source.Shorten(name, source.Quoted)), hint)
		case slices.Contains(r.heading, name):
			return r.fault(line, name, fmt.Sprintf("found the column twice, the second time as column %d, expected it once", i+1), "")
		}
		r.heading = append(r.heading, name)
	}
	for _, name := range needed {
		if !slices.Contains(r.heading, name) {
			return r.fault(line, "", fmt.Sprintf("found no column %s, expected %s", name, strings.Join(needed, ", ")), "the first row names the columns")
		}
	}
	return nil
}

func (r *reader) readRow(line int, cells []string) error {
	if len(cells) != len(r.heading) {
		return r.fault(line, "", fmt.Sprintf("found %s, expected %d as in the heading", source.Count(len(cells), "cell"), len(r.heading)), fmt.Sprintf("a cell with a %s in it needs quotes", r.dividerName()))
	}
	if len(r.lines) == maxRows {
		return r.fault(line, "", fmt.Sprintf("found more than %d rows, expected fewer", maxRows), "split the book")
	}
	row := map[string]string{}
	for i, c := range cells {
		name := r.heading[i]
		c = strings.TrimSpace(c)
		switch {
		case name == "" && c != "":
			return r.fault(line, "", fmt.Sprintf("found %q in column %d, which has no name, expected an empty cell", source.Shorten(c, source.Quoted), i+1), "")
		case utf8.RuneCountInString(c) > maxLetter:
			return r.fault(line, name, fmt.Sprintf("found %d letters, expected at most %d", utf8.RuneCountInString(c), maxLetter), "")
		case name == "note":
			c = strings.Join(strings.Fields(c), " ") // a note may run over lines
		}
		if i := strings.IndexFunc(c, source.IsControl); i >= 0 {
			odd, _ := utf8.DecodeRuneInString(c[i:])
			return r.fault(line, name, fmt.Sprintf("found the control character %q, expected plain text", string(odd)), "")
		}
		row[name] = c
	}
	entry := &entry{reader: r, line: line, cells: row}
	l, err := entry.work()
	if err != nil {
		return err
	}
	if r.sets += l.Qty; r.sets > maxSets {
		return r.fault(line, "qty", fmt.Sprintf("found more than %d sets in the book, expected fewer", maxSets), "split the book")
	}
	l.FirstSet = r.lastSet[l.ID] + 1
	r.lastSet[l.ID] += l.Qty
	r.lines = append(r.lines, l)
	return nil
}

// entry is a row of which the cells are being read.
type entry struct {
	*reader
	line  int
	cells map[string]string
}

func (e *entry) refuse(column, expected, hint string) error {
	found := "an empty cell"
	if c := e.cells[column]; c != "" {
		found = strconv.Quote(source.Shorten(c, source.Quoted))
	}
	return e.fault(e.line, column, fmt.Sprintf("found %s, expected %s", found, expected), hint)
}

func (e *entry) work() (Line, error) {
	for _, column := range []string{"order", "pattern", "leather"} {
		if e.cells[column] == "" {
			return Line{}, e.refuse(column, "a name", "")
		}
	}
	qty, err := strconv.Atoi(e.cells["qty"])
	if err != nil || qty < 1 || qty > maxQty {
		return Line{}, e.refuse("qty", fmt.Sprintf("a whole number from 1 to %d", maxQty), "")
	}
	width, err := e.length("width")
	if err != nil {
		return Line{}, err
	}
	size, err := e.length("size")
	if err != nil {
		return Line{}, err
	}
	due, err := e.due()
	if err != nil {
		return Line{}, err
	}
	price, err := e.price()
	if err != nil {
		return Line{}, err
	}
	l, fault := e.house.cut(article{pattern: e.cells["pattern"], width: width, size: size, leather: e.cells["leather"], lining: e.cells["lining"]})
	if fault != nil {
		return Line{}, e.fault(e.line, fault.Path, fault.Rule, fault.Hint)
	}
	l.ID, l.Order.Line, l.Qty, l.Due = e.cells["order"], e.line, qty, due
	l.Price, l.Note = price, e.cells["note"]
	return l, nil
}

func (e *entry) length(column string) (float64, error) {
	c := e.cells[column]
	if c == "" {
		return 0, e.refuse(column, "a length with its unit", "write 35mm or 1 3/8in")
	}
	mm, err := measure.Length(e.pointed(c), 0)
	if err != nil {
		rule, hint := ruleOf(err)
		return 0, e.fault(e.line, column, rule, hint)
	}
	return mm, nil
}

func (e *entry) due() (time.Time, error) {
	c := e.cells["due"]
	if c == "" {
		return time.Time{}, nil
	}
	t, ok := source.Day(c)
	if !ok {
		return time.Time{}, e.refuse("due", "a date as 2027-02-11", "year, month and day, with hyphens")
	}
	return t, nil
}

var (
	plainPrice = regexp.MustCompile(`^[0-9]{1,9}(\.[0-9]{1,4})?$`)
	longPrice  = regexp.MustCompile(`^[0-9]+(\.[0-9]*)?$`)
	commaPrice = regexp.MustCompile(`^[0-9]{1,9},[0-9]{1,4}$`)
)

func (e *entry) price() (decimal.NullDecimal, error) {
	c := e.pointed(e.cells["price"])
	switch {
	case c == "":
		return decimal.NullDecimal{}, nil
	case commaPrice.MatchString(c):
		return decimal.NullDecimal{}, e.refuse("price", "a decimal point", "write "+strings.Replace(c, ",", ".", 1))
	case longPrice.MatchString(c) && !plainPrice.MatchString(c):
		return decimal.NullDecimal{}, e.refuse("price", "less than a thousand million, with at most 4 decimals", "")
	case !plainPrice.MatchString(c):
		return decimal.NullDecimal{}, e.refuse("price", "an amount of money", "write 12.50, without a sign or a currency")
	}
	d, err := decimal.NewFromString(c)
	if err != nil {
		return decimal.NullDecimal{}, e.refuse("price", "an amount of money", "")
	}
	return decimal.NewNullDecimal(d), nil
}

// decimalComma is a number with a comma that can only be the decimal one: three
// figures behind it could be thousands, unless 0 stands before it.
var decimalComma = regexp.MustCompile(`^(\s*(?:0,[0-9]+|[0-9]+,(?:[0-9]{1,2}|[0-9]{4,})))((?:[^0-9,.][^,]*)?)$`)

// pointed is a cell with a point for its decimal comma. Spreadsheets that write
// such commas do not divide cells by commas; in a book that does, a comma in a
// cell may be anything.
func (e *entry) pointed(cell string) string {
	if m := decimalComma.FindStringSubmatch(cell); m != nil && e.comma != ',' {
		return strings.Replace(m[1], ",", ".", 1) + m[2]
	}
	return cell
}

// warnings sets what the sets are worth, which depends on the book as a whole,
// and says what a person should know of it.
func (r *reader) warnings() []string {
	var unpriced, out []string
	paid := false // some row has a price above 0
	aside := map[string]bool{}
	for i := range r.lines {
		l := &r.lines[i]
		if l.Worth = l.Price.Decimal.InexactFloat64(); !l.Price.Valid {
			unpriced = append(unpriced, strconv.Itoa(l.Order.Line))
		}
		paid = paid || l.Worth > 0
		for _, p := range l.Aside {
			if !aside[p.Leather] {
				aside[p.Leather] = true
				out = append(out, fmt.Sprintf("%s: the leather %s is not listed: its pieces are on the cutting list, and no lay waits for them", r.file, p.Leather))
			}
		}
	}
	switch {
	case !paid:
		for i := range r.lines {
			r.lines[i].Worth = 1
		}
		if len(unpriced) < len(r.lines) {
			out = append(out, r.file+": no row has a price above 0, so each set counts 1, as in a book without prices")
		}
	case len(unpriced) > 0:
		shown := unpriced
		if len(shown) > 10 {
			shown = append(shown[:10:10], "...")
		}
		out = append(out, fmt.Sprintf("%s: lines without a price count for nothing where others have one: %s", r.file, strings.Join(shown, ", ")))
	}
	return out
}
