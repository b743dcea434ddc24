package orders

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"strapwise/hide/source"
)

const heading = "order,due,qty,pattern,width,size,leather,lining,price,note\n"

func read(t testing.TB, text string) *Book {
	t.Helper()
	b, err := builtInHouse(t).Read("orders.csv", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// The same row in every way that a spreadsheet may save it.
func TestBookForms(t *testing.T) {
	const row = "A12,2027-03-01,3,raised,1 3/8in,16in,bridle-tan,glove-skin,95.00,red thread\n"
	for _, c := range []struct{ form, text string }{
		{"commas", heading + row},
		{"semicolons", strings.ReplaceAll(heading+row, ",", ";")},
		{"tabs", strings.ReplaceAll(heading+row, ",", "\t")},
		{"a first line that names the divider", "sep=;\r\n" + strings.ReplaceAll(heading+row, ",", ";")},
		{"a byte-order mark", "\ufeff" + heading + row},
		{"lines ended by CR LF", strings.ReplaceAll(heading+row, "\n", "\r\n")},
		{"lines ended by CR", strings.ReplaceAll(heading+row, "\n", "\r")},
		{"no end of the last line", heading + strings.TrimSuffix(row, "\n")},
		{"inches by a quoted mark", strings.Replace(heading+row, "1 3/8in", `"1 3/8"""`, 1)},
		{"inches by a quoted mark after a space", strings.Replace(heading+row, "1 3/8in", ` "1 3/8"""`, 1)},
		{"all in quotes", strings.ReplaceAll(`"`+strings.ReplaceAll(strings.TrimSpace(heading)+"\n"+`"`+strings.TrimSpace(row), ",", `","`)+`"`, "note\n", "note\"\n")},
		{"spaces round cells", strings.ReplaceAll(heading+row, ",", " , ")},
		{"columns in another order", "note,price,lining,leather,size,width,pattern,qty,due,order\nred thread,95.00,glove-skin,bridle-tan,16in,1 3/8in,raised,3,2027-03-01,A12\n"},
		{"capitals in the heading", strings.ToUpper(heading) + row},
		{"empty lines and rows", "\n\n" + heading + "\n,,,,,,,,,\n" + row + "\n , ,,,,,,,,\n\n"},
		{"an empty column", strings.ReplaceAll(heading+row, "\n", ",\n")},
	} {
		b := read(t, c.text)
		if len(b.Lines) != 1 {
			t.Errorf("%s: %d lines", c.form, len(b.Lines))
			continue
		}
		l := b.Lines[0]
		if l.ID != "A12" || l.Qty != 3 || l.FirstSet != 1 || l.Pattern != "raised" || math.Abs(l.Width-34.925) > 1e-9 || math.Abs(l.Size-406.4) > 1e-9 ||
			l.Leather != "bridle-tan" || l.Lining != "glove-skin" || l.Price.Decimal.String() != "95" || l.Worth != 95 || l.Note != "red thread" ||
			!l.Due.Equal(time.Date(2027, 3, 1, 0, 0, 0, 0, time.UTC)) {
			t.Errorf("%s: got %+v", c.form, l)
		}
	}
}

func TestEmptyBook(t *testing.T) {
	for _, text := range []string{"", "\n", "\ufeff", heading, "\n" + heading + "\n\n"} {
		if b := read(t, text); len(b.Lines)+len(b.Warnings) != 0 {
			t.Errorf("%q: got %+v", text, b)
		}
	}
}

// Cells between tabs may be empty: a tab is no space before the next one.
func TestEmptyCellsBetweenTabs(t *testing.T) {
	l := read(t, strings.ReplaceAll(heading+"A1,,1,flat,1in,16in,bridle-tan,,40,\n", ",", "\t")).Lines[0]
	if l.Qty != 1 || l.Lining != "" || l.Worth != 40 {
		t.Errorf("got %+v", l)
	}
}

func TestColumnsLeftOut(t *testing.T) {
	l := read(t, "order,qty,pattern,width,size,leather\nA1,1,flat,1in,16in,bridle-tan\n").Lines[0]
	if !l.Due.IsZero() || l.Price.Valid || l.Worth != 1 || l.Order.Line != 2 {
		t.Errorf("got %+v", l)
	}
}

// The sets of an order are numbered through its rows.
func TestSetsOfAnOrder(t *testing.T) {
	b := read(t, heading+"A1,,3,flat,1in,16in,bridle-tan,,,\nB,,1,flat,1in,16in,bridle-tan,,,\nA1,,2,flat,1in,18in,bridle-tan,,,\nA1,,1,lead,1in,4ft,bridle-tan,,,\n")
	for i, want := range []int{1, 1, 4, 6} {
		if got := b.Lines[i].FirstSet; got != want {
			t.Errorf("row %d starts at set %d, want %d", i, got, want)
		}
	}
}

func TestWorth(t *testing.T) {
	b := read(t, heading+"A1,,1,flat,1in,16in,bridle-tan,,,\nB,,1,flat,1in,16in,bridle-tan,,,\n")
	if b.Lines[0].Worth != 1 || b.Lines[1].Worth != 1 || len(b.Warnings) != 0 {
		t.Errorf("without prices: %v %v %v, want 1 each", b.Lines[0].Worth, b.Lines[1].Worth, b.Warnings)
	}
	b = read(t, heading+"A1,,1,flat,1in,16in,bridle-tan,,,\nB,,1,flat,1in,16in,bridle-tan,,40.5,\nC,,1,flat,1in,16in,bridle-tan,,0,\nD,,1,flat,1in,16in,bridle-tan,,,\n")
	for i, want := range []float64{0, 40.5, 0, 0} {
		if b.Lines[i].Worth != want {
			t.Errorf("row %d is worth %v, want %v", i, b.Lines[i].Worth, want)
		}
	}
	if want := "orders.csv: lines without a price count for nothing where others have one: 2, 5"; len(b.Warnings) != 1 || b.Warnings[0] != want {
		t.Errorf("got %q, want %q", b.Warnings, want)
	}
}

func TestWarnsOfLeatherAside(t *testing.T) {
	h, err := NewHouse(nil, nil, []Leather{{"bridle-tan", 0}, {"glove-skin", 0}}, testUses, nil)
	if err != nil {
		t.Fatal(err)
	}
	row := "A1,,1,raised,1in,16in,bridle-tan,glove-skin,,\n"
	b, err := h.Read("orders.csv", []byte(heading+row+row))
	if want := "orders.csv: the leather foam is not listed: its pieces are on the cutting list, and no lay waits for them"; err != nil || len(b.Warnings) != 1 || b.Warnings[0] != want {
		t.Errorf("got %q, %v", b.Warnings, err)
	}
}

// row is an otherwise good row with other cells, in pairs of column and cell.
func row(cells ...string) string {
	good := map[string]string{"order": "A1", "due": "2027-03-01", "qty": "1", "pattern": "flat", "width": "1in", "size": "16in", "leather": "bridle-tan", "lining": "", "price": "40", "note": ""}
	for i := 0; i < len(cells); i += 2 {
		good[cells[i]] = cells[i+1]
	}
	var out []string
	for _, c := range columns {
		out = append(out, good[c])
	}
	return strings.Join(out, ",") + "\n"
}

func TestBookRefuses(t *testing.T) {
	many := func(n int, cells ...string) string { return heading + strings.Repeat(row(cells...), n) }
	for _, c := range []struct{ rule, text, want, hint string }{
		{
			"unknown column", strings.Replace(heading, "leather", "lether", 1) + row(),
			`orders.csv:1: unknown column "lether"`, "did you mean leather?",
		},
		{
			"unlike any column", strings.Replace(heading, "note", "telephone", 1),
			`orders.csv:1: unknown column "telephone"`, "known here: order, due, qty, pattern, width, size, leather, lining, price, note",
		},
		{
			"missing column", "order,qty,pattern,width,size\nA1,1,flat,1in,16in\n",
			`orders.csv:1: found no column leather, expected order, qty, pattern, width, size, leather`, "the first row names the columns",
		},
		{
			"column twice", strings.Replace(heading, "note", "Width", 1),
			`orders.csv:1: width: found the column twice, the second time as column 10, expected it once`, "",
		},
		{"no heading", row(), `orders.csv:1: unknown column "a1"`, "known here: order, due, qty, pattern, width, size, leather, lining, price, note"},
		{"too few cells", heading + "A1,,1,flat\n", `orders.csv:2: found 4 cells, expected 10 as in the heading`, "a cell with a comma in it needs quotes"},
		{"too many cells", heading + row("note", "red, waxed"), `orders.csv:2: found 11 cells, expected 10 as in the heading`, "a cell with a comma in it needs quotes"},
		{
			"a cell under no heading", strings.Replace(heading, "note", "", 1) + row("note", "red"),
			`orders.csv:2: found "red" in column 10, which has no name, expected an empty cell`, "",
		},
		{"no quantity", heading + row("qty", "0"), `orders.csv:2: qty: found "0", expected a whole number from 1 to 999`, ""},
		{"part of a quantity", heading + row("qty", "1.5"), `orders.csv:2: qty: found "1.5", expected a whole number from 1 to 999`, ""},
		{"too great a quantity", heading + row("qty", "1000"), `orders.csv:2: qty: found "1000", expected a whole number from 1 to 999`, ""},
		{"empty quantity", heading + row() + row("qty", ""), `orders.csv:3: qty: found an empty cell, expected a whole number from 1 to 999`, ""},
		{"date as spoken", heading + row("due", "1/3/2027"), `orders.csv:2: due: found "1/3/2027", expected a date as 2027-02-11`, "year, month and day, with hyphens"},
		{"a year that never was", heading + row("due", "0000-01-01"), `orders.csv:2: due: found "0000-01-01", expected a date as 2027-02-11`, "year, month and day, with hyphens"},
		{"no such day", heading + row("due", "2027-02-30"), `orders.csv:2: due: found "2027-02-30", expected a date as 2027-02-11`, "year, month and day, with hyphens"},
		{"unknown pattern", heading + row("pattern", "rased"), `orders.csv:2: pattern: found the pattern "rased", expected one of belt, flat, lead, lined, raised, rolled, strap`, "did you mean raised?"},
		{"unknown leather", heading + row("leather", "suede"), `orders.csv:2: leather: found the leather "suede", expected one of bridle-tan, foam, glove-skin`, "add [leathers.suede] to workshop.toml"},
		{"unknown lining", heading + row("lining", "glove-skim"), `orders.csv:2: lining: found the lining "glove-skim", expected one of bridle-tan, foam, glove-skin`, "did you mean glove-skin?"},
		{"lining that a pattern needs", heading + row("pattern", "raised"), `orders.csv:2: lining: found no lining, expected one of bridle-tan, foam, glove-skin`, "the piece lining of the pattern raised is cut from it"},
		{"empty order", heading + row("order", ""), `orders.csv:2: order: found an empty cell, expected a name`, ""},
		{"empty leather", heading + row("leather", " "), `orders.csv:2: leather: found an empty cell, expected a name`, ""},
		{"bare number for a length", heading + row("width", "25"), `orders.csv:2: width: "25": a number without a unit, expected a length`, "write 25mm or 25in"},
		{"empty size", heading + row("size", ""), `orders.csv:2: size: found an empty cell, expected a length with its unit`, "write 35mm or 1 3/8in"},
		{"width of nothing", heading + row("width", "0mm"), `orders.csv:2: width: found width of 0 mm, expected 1 mm to 1000 mm`, ""},
		{"a size in the wrong unit", heading + row("size", "16m"), `orders.csv:2: size: found size of 16000 mm, expected 1 mm to 10000 mm`, ""},
		{
			"a size too small for the pattern", heading + row("pattern", "raised", "size", "6in", "lining", "glove-skin"),
			`orders.csv:2: pattern: raised: filler.length = "filling" comes to 0 mm, expected 1 mm to 10000 mm`, "the width is 25.4 mm and the size 152.4 mm",
		},
		{
			"a width too small for the pattern", heading + row("pattern", "raised", "width", "3/8in", "lining", "glove-skin"),
			`orders.csv:2: pattern: raised: filler.width = "width - under" comes to 0 mm, expected 1 mm to 10000 mm`, "the width is 9.525 mm and the size 406.4 mm",
		},
		{
			"a comma for a point", heading + row("price", `"12,50"`),
			`orders.csv:2: price: found "12,50", expected a decimal point`, "write 12.50",
		},
		{"a comma that may be thousands", semicolons("price", "1,250"), `orders.csv:2: price: found "1,250", expected a decimal point`, "write 1.250"},
		{"thousands and a comma", semicolons("price", "1.250,50"), `orders.csv:2: price: found "1.250,50", expected an amount of money`, "write 12.50, without a sign or a currency"},
		{"a length with a comma that may be thousands", semicolons("size", "1,250mm"), `orders.csv:2: size: "1,250mm": a comma in a number, expected a decimal point`, "write 1.250mm"},
		{"a fortune", heading + row("price", "12345678901"), `orders.csv:2: price: found "12345678901", expected less than a thousand million, with at most 4 decimals`, ""},
		{"parts of a farthing", heading + row("price", "1.23456"), `orders.csv:2: price: found "1.23456", expected less than a thousand million, with at most 4 decimals`, ""},
		{"a line counted after one that names the divider", "sep=;\n" + semicolons("qty", "no"), `orders.csv:3: qty: found "no", expected a whole number from 1 to 999`, ""},
		{"one cell", semicolons() + "A1\n", `orders.csv:3: found 1 cell, expected 10 as in the heading`, "a cell with a semicolon in it needs quotes"},
		{"a currency", heading + row("price", "$12"), `orders.csv:2: price: found "$12", expected an amount of money`, "write 12.50, without a sign or a currency"},
		{"less than nothing", heading + row("price", "-1"), `orders.csv:2: price: found "-1", expected an amount of money`, "write 12.50, without a sign or a currency"},
		{"a price with an exponent", heading + row("price", "1e999999999"), `orders.csv:2: price: found "1e999999999", expected an amount of money`, "write 12.50, without a sign or a currency"},
		{"a mark without quotes", heading + row() + row("width", `1 3/8"`), `orders.csv:3: width: found a quote mark inside a cell that does not begin with one, expected none`, `write 1 3/8in, or "1 3/8""" with the cell in quotes and the mark doubled`},
		{"a mark without quotes, past a comma in quotes", heading + row("pattern", `"a,b"`, "size", `16"`), `orders.csv:2: size: found a quote mark inside a cell that does not begin with one, expected none`, `write 1 3/8in, or "1 3/8""" with the cell in quotes and the mark doubled`},
		{"a mark not doubled", heading + row("width", `"1 3/8"x"`), `orders.csv:2: width: found text after a closing quote mark, expected the next cell`, `a cell in quotes doubles every mark inside it: "1 3/8"""`},
		{"a quote cut off", heading + row() + `A2,,1,flat,"1 3/8"",16in,bridle-tan,,,` + "\n" + row(), `orders.csv:3: found a quote mark that is never closed, expected its closing mark`, `a cell in quotes doubles every mark inside it: "1 3/8"""`},
		{"a quote cut off in the heading", `order,"due` + "\n" + row(), `orders.csv:1: found a quote mark that is never closed, expected its closing mark`, `a cell in quotes doubles every mark inside it: "1 3/8"""`},
		{"a cell that runs over lines", heading + row("order", "\"A\n1\""), `orders.csv:2: order: found the control character "\n", expected plain text`, ""},
		{"a control character", heading + row("note", "a\x07b"), `orders.csv:2: note: found the control character "\a", expected plain text`, ""},
		{"words turned round", heading + row("order", "Rex \u202e123"), `orders.csv:2: order: found the control character "\u202e", expected plain text`, ""},
		{"a note turned round", heading + row("note", "\u2067red"), `orders.csv:2: note: found the control character "\u2067", expected plain text`, ""},
		{"a long cell", heading + row("note", strings.Repeat("x", 201)), `orders.csv:2: note: found 201 letters, expected at most 200`, ""},
		{"a NUL byte", heading + row("note", "a\x00b"), `orders.csv:2: found a NUL byte, expected text`, ""},
		{"another encoding", heading + row("note", "caf\xe9"), `orders.csv:2: found the byte 0xe9, which is no text in UTF-8`, "save it again with the encoding UTF-8"},
		{"UTF-16", "\xff\xfeo\x00r\x00", `orders.csv:1: text in UTF-16, expected UTF-8`, "save it again with the encoding UTF-8"},
		{"too many rows", many(10_001), `orders.csv:10002: found more than 10000 rows, expected fewer`, "split the book"},
		{"too many sets", many(21, "qty", "999"), `orders.csv:22: qty: found more than 20000 sets in the book, expected fewer`, "split the book"},
		{"a line past a note of two lines", heading + row("note", "\"red\nthread\"") + row("qty", "x"), `orders.csv:4: qty: found "x", expected a whole number from 1 to 999`, ""},
	} {
		_, err := builtInHouse(t).Read("orders.csv", []byte(c.text))
		e, ok := source.As(err)
		switch {
		case !ok:
			t.Errorf("%s: got %v, want %s", c.rule, err, c.want)
		case e.Error() != c.want || e.Hint != c.hint:
			t.Errorf("%s:\n got %s (%s)\nwant %s (%s)", c.rule, e, e.Hint, c.want, c.hint)
		}
	}
}

// semicolons is a book of one row, its cells divided by semicolons.
func semicolons(changes ...string) string {
	const comma = "\x00"
	for i := range changes {
		changes[i] = strings.ReplaceAll(changes[i], ",", comma)
	}
	return strings.ReplaceAll(strings.ReplaceAll(heading+row(changes...), ",", ";"), comma, ",")
}

// Where cells are not divided by commas, one in a number is the decimal comma.
func TestDecimalCommas(t *testing.T) {
	for _, divider := range []string{";", "\t"} {
		text := strings.ReplaceAll(semicolons("price", "65,50", "width", "2,5cm", "size", "0,405 m"), ";", divider)
		l := read(t, text).Lines[0]
		if l.Price.Decimal.String() != "65.5" || l.Worth != 65.5 || math.Abs(l.Width-25) > 1e-9 || math.Abs(l.Size-405) > 1e-9 {
			t.Errorf("divided by %q: price %v, width %v, size %v", divider, l.Price.Decimal, l.Width, l.Size)
		}
	}
	l := read(t, semicolons("price", "65.50", "width", "1,5in", "size", "16,0625in")).Lines[0]
	if l.Worth != 65.5 || math.Abs(l.Width-38.1) > 1e-9 || math.Abs(l.Size-16.0625*25.4) > 1e-9 {
		t.Errorf("price %v, width %v, size %v", l.Price.Decimal, l.Width, l.Size)
	}
}

// A book in which nothing has a price above 0 is one without prices, and says so.
func TestNothingPaid(t *testing.T) {
	for _, prices := range [][2]string{{"0", "0.00"}, {"0", ""}} {
		b := read(t, heading+row("price", prices[0])+row("price", prices[1]))
		want := "orders.csv: no row has a price above 0, so each set counts 1, as in a book without prices"
		if b.Lines[0].Worth != 1 || b.Lines[1].Worth != 1 || len(b.Warnings) != 1 || b.Warnings[0] != want {
			t.Errorf("prices %q: worth %v and %v, %q", prices, b.Lines[0].Worth, b.Lines[1].Worth, b.Warnings)
		}
	}
	if b := read(t, heading+row("price", "0")+row("price", "5")); b.Lines[0].Worth != 0 || b.Lines[1].Worth != 5 || len(b.Warnings) != 0 {
		t.Errorf("one price: worth %v and %v, %q", b.Lines[0].Worth, b.Lines[1].Worth, b.Warnings)
	}
}

// The greatest book is taken, and a note of two lines is one.
func TestBookLimits(t *testing.T) {
	b := read(t, heading+strings.Repeat("A1,,2,strap,1in,16in,bridle-tan,,,\"red\n  thread\"\n", 10_000))
	if n := len(b.Lines); n != 10_000 || b.Lines[n-1].FirstSet != 19_999 || b.Lines[n-1].Note != "red thread" {
		t.Errorf("%d lines, the last %+v", n, b.Lines[n-1].Order)
	}
}

// What a book gives holds whatever is in it: every part can be cut, and the
// sets of an order are numbered without gaps.
func FuzzBook(f *testing.F) {
	f.Add([]byte(heading + "A12,2027-03-01,3,raised,1 3/8in,16in,bridle-tan,glove-skin,95.00,red thread\n"))
	f.Add([]byte("order;qty;pattern;width;size;leather\nA;1;flat;\"1 3/8\"\"\";16in;bridle-tan\nA;2;belt;38mm;34in;bridle-tan\n"))
	f.Add([]byte("order\tqty\"\n"))
	f.Add([]byte("\ufeff\"order\n,,\n"))
	f.Add([]byte("order,qty,pattern,width,size,leather\rA,1,rolled,3mm,16in,bridle-tan"))
	h := builtInHouse(f)
	f.Fuzz(func(t *testing.T, data []byte) {
		b, err := h.Read("orders.csv", data)
		if err != nil {
			if e, ok := source.As(err); !ok || e.File != "orders.csv" || e.Rule == "" {
				t.Fatalf("an error without its place: %v", err)
			}
			return
		}
		next := map[string]int{}
		for _, l := range b.Lines {
			if l.FirstSet != next[l.ID]+1 || l.Qty < 1 || len(l.Parts) == 0 || math.IsNaN(l.Worth) || l.Worth < 0 {
				t.Fatalf("line %+v", l)
			}
			next[l.ID] += l.Qty
			names := map[string]bool{}
			for _, p := range l.Parts {
				if names[p.Name] || !(p.Length >= leastCut && p.Length <= longest && p.Width >= leastCut && p.Width <= longest) || p.Count < 1 {
					t.Fatalf("line %d: part %+v", l.Order.Line, p)
				}
				names[p.Name] = true
			}
		}
	})
}

func ExampleHouse_Read() {
	house, err := NewHouse(nil, nil, []Leather{{Name: "bridle-tan", Substance: 3.8}}, []string{"face", "hidden", "lining", "load", "loop"}, nil)
	if err != nil {
		panic(err)
	}
	book, err := house.Read("orders.csv", []byte("order,qty,pattern,width,size,leather\nA12,3,flat,1in,16in,bridle-tan\n"))
	if err != nil {
		panic(err)
	}
	for _, line := range book.Lines {
		for _, p := range line.Parts {
			fmt.Printf("%s %s: %.1f x %.1f mm, %s\n", line.ID, p.Name, p.Length, p.Width, p.Use)
		}
	}
	// Output:
	// A12 main: 565.1 x 25.4 mm, load
	// A12 keeper: 78.7 x 12.7 mm, loop
}
