package orders

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"strapwise/hide/source"
)

func itoa(n int64) string { return strconv.FormatInt(n, 10) }

// house reads patterns as a workshop writes them.
func house(text string) (*House, error) { return houseOf(text, nil) }

// houseOf is house with the drawings of templates.
func houseOf(text string, read func(string) ([]byte, error)) (*House, error) {
	var file struct {
		Patterns map[string]map[string]any `toml:"patterns"`
	}
	doc, err := source.TOML("workshop.toml", []byte(text), &file)
	if err != nil {
		return nil, err
	}
	return NewHouse(doc, file.Patterns, testLeathers, testUses, read)
}

func houseWith(t testing.TB, text string) *House {
	t.Helper()
	h, err := house(text)
	if err != nil {
		t.Fatal(err)
	}
	return h
}

func TestOneMeasureChanges(t *testing.T) {
	plain := one(t, builtInHouse(t), "raised", 1, 16)
	mine := one(t, houseWith(t, `
[patterns.raised]
turn = "2 1/2in"
`), "raised", 1, 16)
	for i, p := range plain.Parts {
		want := p
		if p.Name == "main" {
			want.Length += inch / 4
		}
		if got := mine.Parts[i]; math.Abs(got.Length-want.Length) > 1e-9 || got.Width != want.Width || got.Name != want.Name {
			t.Errorf("got %+v, want %+v", got, want)
		}
	}
}

func TestPiecesChangeKeyByKey(t *testing.T) {
	h := houseWith(t, `
[patterns.raised.pieces.main]
width = "width + 1/2in"
[patterns.raised.pieces.keeper]
count = 2
cut = "knife"
[patterns.raised.pieces.foam]
count = 0
[patterns.raised.pieces.tab]
length = "2in"
width = "1in"
use = "face"
cut = "knife"
[patterns.raised.pieces.crest]
leather = "glove-skin"
length = "1in"
width = "1in"
use = "face"
cut = "knife"
[patterns.raised.hardware.dee]
count = 0
[patterns.raised.hardware.rivet]
count = "holes - 1"
length = "8mm"
`)
	l := one(t, h, "raised", 1, 16)
	var names []string
	for _, p := range l.Parts {
		names = append(names, p.Name)
	}
	if want := []string{"main", "filler", "lining", "keeper", "tab", "crest"}; !equal(names, want) {
		t.Fatalf("got %v, want %v: built-in pieces, then added ones as the file lists them", names, want)
	}
	main, keeper, tab, crest := l.Parts[0], l.Parts[3], l.Parts[4], l.Parts[5]
	switch {
	case math.Abs(main.Width-1.5*inch) > 1e-9, math.Abs(main.Length-25.25*inch) > 1e-9, main.Use != "load":
		t.Errorf("main %+v", main)
	case keeper.Count != 2, !keeper.Knife, keeper.Use != "loop":
		t.Errorf("keeper %+v", keeper)
	case tab.Leather != "bridle-tan", crest.Leather != "glove-skin":
		t.Errorf("tab %+v, crest %+v", tab, crest)
	}
	if want := []Hardware{{"buckle", 1, inch, 0}, {"rivet", 4, 0, 8}}; len(l.Hardware) != 2 || l.Hardware[0] != want[0] || l.Hardware[1] != want[1] {
		t.Errorf("hardware %v, want %v", l.Hardware, want)
	}
	// Nobody else's pattern has changed.
	if n := len(one(t, h, "flat", 1, 16).Parts); n != 2 {
		t.Errorf("flat has %d parts, want 2", n)
	}
}

// A workshop that changes nothing in a built-in pattern gets what it had, and
// the built-in file written as the workshop's own gives the same pieces.
func TestBuiltInFormIsTheUsersForm(t *testing.T) {
	text := strings.ReplaceAll(string(builtInPatterns), "[patterns.", "[patterns.my-")
	h := houseWith(t, text)
	for _, name := range builtInHouse(t).Patterns() {
		a, b := one(t, h, name, 1, 30), one(t, h, "my-"+name, 1, 30)
		if len(a.Parts) != len(b.Parts) || a.Thread != b.Thread || a.Finished != b.Finished {
			t.Fatalf("%s: %+v and %+v", name, a, b)
		}
		for i := range a.Parts {
			if a.Parts[i] != b.Parts[i] {
				t.Errorf("%s: %+v and %+v", name, a.Parts[i], b.Parts[i])
			}
		}
	}
}

func TestPatternsRefuse(t *testing.T) {
	for _, c := range []struct{ rule, text, want, hint string }{
		{
			"unknown name", "[patterns.strap]\npitch = \"widht / 2\"",
			`workshop.toml:2: patterns.strap.pitch: in "widht / 2" at letter 1: found the name widht, expected one of size, width, substance, lining_substance, pitch`, "did you mean width?",
		},
		{
			"a measure that nothing uses", "[patterns.belt]\nturm = \"9in\"",
			`workshop.toml:2: patterns.belt.turm: found the measure turm, which nothing in the pattern uses, expected one of ends, finished, lap, seam, stack, stitches, turn`, "did you mean turn?",
		},
		{
			"circle", "[patterns.strap]\na = \"b\"\nb = \"2 * c\"\nc = \"a - 1in\"",
			`workshop.toml:2: patterns.strap.a: in "b": found a circle of measures (a → b → c → a), expected formulas that end`, "",
		},
		{
			"circle through a built-in measure", "[patterns.flat]\npoint = \"finished / 10\"",
			`workshop.toml:2: patterns.flat.point: in "finished / 10": found a circle of measures (point → finished → point), expected formulas that end`, "",
		},
		{
			"circle of one", "[patterns.strap]\npitch = \"pitch\"",
			`workshop.toml:2: patterns.strap.pitch: in "pitch": found a circle of measures (pitch → pitch), expected formulas that end`, "",
		},
		{
			"a bare number for a length", "[patterns.flat]\npitch = 1",
			`workshop.toml:2: patterns.flat.pitch: in "1": found a number, expected a length`, "a length needs its unit: 2in, 50mm",
		},
		{
			"a length for a number", "[patterns.flat]\nholes = \"5in\"",
			`workshop.toml:2: patterns.flat.holes: in "5in": found a length, expected a number`, "",
		},
		{
			"finished is a length", "[patterns.strap]\nfinished = 3",
			`workshop.toml:2: patterns.strap.finished: in "3": found a number, expected a length`, "a length needs its unit: 2in, 50mm",
		},
		{
			"kinds in a piece", "[patterns.strap.pieces.main]\nwidth = \"width * size\"",
			`workshop.toml:2: patterns.strap.pieces.main.width: in "width * size" at letter 7: found a length times a length, expected a length times a number`, "",
		},
		{
			"a number for a piece's length", "[patterns.strap.pieces.main]\nlength = 300",
			`workshop.toml:2: patterns.strap.pieces.main.length: in "300": found a number, expected a length`, "a length needs its unit: 2in, 50mm",
		},
		{
			"a length for a count", "[patterns.strap.pieces.main]\ncount = \"2in\"",
			`workshop.toml:2: patterns.strap.pieces.main.count: in "2in": found a length, expected a number`, "",
		},
		{
			"a formula's mistake", "[patterns.strap.pieces.main]\nlength = \"size + (2in\"",
			`workshop.toml:2: patterns.strap.pieces.main.length: in "size + (2in" at letter 12: found the end, expected a closing bracket`, "",
		},
		{
			"a measure's hint comes through", "[patterns.strap]\npitch = \"9/8in\"",
			`workshop.toml:2: patterns.strap.pitch: in "9/8in" at letter 1: "9/8in": a fraction of 1 or more, expected the whole number apart`, "write 1 5/8in",
		},
		{
			"unknown key of a piece", "[patterns.strap.pieces.main]\nlenght = \"size\"",
			`workshop.toml:2: patterns.strap.pieces.main.lenght: unknown key "lenght", expected one of count, cut, leather, length, template, use, width`, "did you mean length?",
		},
		{
			"unknown key of hardware", "[patterns.strap.hardware.clip]\ncolour = \"brass\"",
			`workshop.toml:2: patterns.strap.hardware.clip.colour: unknown key "colour", expected one of count, length, width`, "",
		},
		{
			"hardware without a measure", "[patterns.strap.hardware.clip]\ncount = 2",
			`workshop.toml:1: patterns.strap.hardware.clip: found neither a width nor a length, expected at least one`, "",
		},
		{
			"unknown use", "[patterns.strap.pieces.main]\nuse = \"laod\"",
			`workshop.toml:2: patterns.strap.pieces.main.use: found the use "laod", expected one of face, hidden, lining, load, loop`, "did you mean load?",
		},
		{
			"unknown cut", "[patterns.strap.pieces.main]\ncut = \"laser\"",
			`workshop.toml:2: patterns.strap.pieces.main.cut: found "laser", expected strip or knife`, "",
		},
		{
			"unknown leather", "[patterns.strap.pieces.main]\nleather = \"suede\"",
			`workshop.toml:2: patterns.strap.pieces.main.leather: found the leather "suede", expected one of order, lining, bridle-tan, foam, glove-skin`, "add [leathers.suede]",
		},
		{
			"a new pattern without pieces", "[patterns.harness]\na = \"1in\"",
			`workshop.toml:1: patterns.harness: found a pattern without pieces, expected at least one`, "add [patterns.harness.pieces.main] with length, width, use and cut",
		},
		{
			"a new piece without all keys", "[patterns.strap.pieces.tab]\nlength = \"1in\"\nwidth = \"1in\"\nuse = \"face\"",
			`workshop.toml:1: patterns.strap.pieces.tab: found no cut, expected length, width, use and cut`, "",
		},
		{
			"what the order gives", "[patterns.strap]\nwidth = \"1in\"",
			`workshop.toml:2: patterns.strap.width: found a measure named width, which the order gives, expected another name`, "",
		},
		{
			"a unit for a name", "[patterns.strap]\nin = \"1in\"",
			`workshop.toml:2: patterns.strap.in: found a measure named in, which is a unit, expected another name`, "",
		},
		{
			"a hyphen in a name", "[patterns.strap]\nlap-end = \"1in\"",
			`workshop.toml:2: patterns.strap.lap-end: found the name "lap-end", expected small letters, figures and _`, "formulas read - as minus",
		},
		{
			"a list for a formula", "[patterns.strap]\npitch = [\"1in\"]",
			`workshop.toml:2: patterns.strap.pitch: found a list, expected a formula in quotes or a number`, "",
		},
		{
			"no number", "[patterns.strap]\npitch = nan",
			`workshop.toml:2: patterns.strap.pitch: found NaN, expected a formula in quotes or a number`, "",
		},
		{
			"pieces that are none", "[patterns.strap]\npieces = 3",
			`workshop.toml:2: patterns.strap.pieces: found 3, expected a table for each name`, "",
		},
		{
			"a piece that is none", "[patterns.strap.pieces]\nmain = true",
			`workshop.toml:2: patterns.strap.pieces.main: found true, expected a table`, "",
		},
		{
			"a name for a label", "[patterns.\"a b\".pieces.main]\nlength = \"1in\"",
			`workshop.toml:1: patterns."a b": found the name "a b", expected letters, figures, - and _`, "",
		},
		{
			"no name in quotes", "[patterns.strap.pieces.main]\nuse = 3",
			`workshop.toml:2: patterns.strap.pieces.main.use: found 3, expected a name in quotes`, "",
		},
	} {
		_, err := house(c.text)
		e, ok := source.As(err)
		switch {
		case !ok:
			t.Errorf("%s: got %v, want %s", c.rule, err, c.want)
		case e.Error() != c.want || e.Hint != c.hint:
			t.Errorf("%s:\n got %s (%s)\nwant %s (%s)", c.rule, e, e.Hint, c.want, c.hint)
		}
	}
}

// Formulas that lead to one another are worked out once each: this one would
// take 2^150 steps otherwise.
func TestDeepMeasures(t *testing.T) {
	var b strings.Builder
	b.WriteString("[patterns.strap]\nm0 = \"1in\"\n")
	for i := int64(1); i <= 150; i++ {
		b.WriteString("m" + itoa(i) + " = \"(m" + itoa(i-1) + " + m" + itoa(i-1) + ") / 2\"\n")
	}
	b.WriteString("finished = \"m150\"\n")
	if got := one(t, houseWith(t, b.String()), "strap", 1, 40).Finished; math.Abs(got-inch) > 1e-9 {
		t.Errorf("finished %v mm, want 25.4", got)
	}
	for i := int64(151); i <= 250; i++ {
		b.WriteString("m" + itoa(i) + " = 1\n")
	}
	if _, err := house(b.String()); err == nil || !strings.Contains(err.Error(), "more than 200 measures") {
		t.Errorf("got %v, want a limit on measures", err)
	}
}

// A leather that only a built-in pattern names may be unlisted: its pieces are
// on the list, and no lay waits for them.
func TestUnlistedLeatherStandsAside(t *testing.T) {
	h, err := NewHouse(nil, nil, []Leather{{"bridle-tan", 0}, {"glove-skin", 0}}, testUses, nil)
	if err != nil {
		t.Fatal(err)
	}
	l := one(t, h, "raised", 1, 16)
	if len(l.Parts) != 4 || len(l.Aside) != 1 || l.Aside[0].Name != "foam" {
		t.Errorf("parts %v, aside %v", l.Parts, l.Aside)
	}
}

func TestArticle(t *testing.T) {
	h := builtInHouse(t)
	l, err := h.Article("raised", inch, 16*inch, "bridle-tan")
	if err != nil {
		t.Fatal(err)
	}
	var own, aside []string
	for _, p := range l.Parts {
		own = append(own, p.Name)
	}
	for _, p := range l.Aside {
		aside = append(aside, p.Name)
	}
	if !equal(own, []string{"main", "filler", "keeper"}) || !equal(aside, []string{"lining", "foam"}) && !equal(aside, []string{"foam", "lining"}) {
		t.Errorf("own %v, aside %v", own, aside)
	}
	if l.Qty != 1 || l.FirstSet != 1 || l.Worth != 1 {
		t.Errorf("got %+v", l.Order)
	}
	for _, c := range []struct {
		pattern       string
		width, size   float64
		leather, want string
	}{
		{"rased", 1, 16, "bridle-tan", `pattern: found the pattern "rased", expected one of belt, flat, lead, lined, raised, rolled, strap`},
		{"raised", 1, 16, "suede", `leather: found the leather "suede", expected one of bridle-tan, foam, glove-skin`},
		{"raised", -1, 16, "bridle-tan", `width: found width of -25.4 mm, expected 1 mm to 1000 mm`},
		{"raised", math.NaN(), 16, "bridle-tan", `width: found width of NaN mm, expected 1 mm to 1000 mm`},
		{"raised", 1, math.Inf(1), "bridle-tan", `size: found size of +Inf mm, expected 1 mm to 10000 mm`},
		{"raised", 1, 5, "bridle-tan", `pattern: raised: filler.length = "filling" comes to -25.4 mm, expected 1 mm to 10000 mm`},
	} {
		if _, err := h.Article(c.pattern, c.width*inch, c.size*inch, c.leather); err == nil || err.Error() != c.want {
			t.Errorf("got %v, want %s", err, c.want)
		}
	}
}
