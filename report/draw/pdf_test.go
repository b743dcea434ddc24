package draw

import (
	"bytes"
	"encoding/xml"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"

	"strapwise/hide/measure"
	"strapwise/report"
	"strapwise/report/internal/made"
)

// A hundredth of a point, to which the format's numbers are written.
const written = 0.01 * mmPerPoint

func TestPDFItems(t *testing.T) {
	line := []orb.Point{{10, 5}, {60, 5}, {60, 30}}
	square := []orb.Point{{10, 10}, {20, 10}, {20, 20}, {10, 20}}
	for name, c := range map[string]struct {
		item    report.Item
		content string // expected among the operators
		paths   []inked
		texts   string
	}{
		"a line":           {item: report.Shape{Points: line, Weight: 0.35}, paths: []inked{{points: line, weight: 0.35, paint: "S"}}},
		"a closed one":     {item: report.Shape{Points: line, Closed: true, Weight: 0.35}, paths: []inked{{points: line, closed: true, weight: 0.35, paint: "S"}}},
		"dashes":           {item: report.Shape{Points: line, Weight: 0.6, Dash: []float64{3, 1.5}}, content: "[8.50 4.25] 0.00 d"},
		"open: no fill":    {item: report.Shape{Points: line, Fill: report.Solid}},
		"solid":            {item: report.Shape{Points: square, Closed: true, Fill: report.Solid}, paths: []inked{{points: square, closed: true, weight: 0.2, paint: "f"}}},
		"bare paper":       {item: report.Shape{Points: square, Closed: true, Fill: report.Bare}, content: "1.000 g"},
		"hatch within":     {item: report.Shape{Points: square, Closed: true, Fill: report.Hatch}, content: " h W n"},
		"stipple":          {item: report.Shape{Points: square, Closed: true, Fill: report.Stipple}, content: "1 J"},
		"words":            {item: report.Text{At: orb.Point{10, 10}, Size: 3, Runs: []report.Run{{Words: `A(1)\ ·ü`}}}, texts: `A(1)\ ·ü`},
		"letters without":  {item: report.Text{At: orb.Point{10, 10}, Size: 3, Runs: []report.Run{{Words: "皮 a"}}}, texts: "□ a", content: "/ActualText <FEFF76AE00200061>"},
		"a fraction":       {item: report.Text{At: orb.Point{10, 10}, Size: 3, Runs: []report.Run{{Words: "1"}, {Num: 3, Den: 8}}}, texts: "1⅜"},
		"a built fraction": {item: report.Text{At: orb.Point{10, 10}, Size: 3, Runs: []report.Run{{Words: "1"}, {Num: 11, Den: 32}}}, texts: "111⁄32", content: "/ActualText <FEFF0031002000310031002F00330032>"},
		"turned":           {item: report.Text{At: orb.Point{10, 10}, Size: 3, Turn: 90, Runs: []report.Run{{Words: "a"}}}, texts: "a", content: "0.00000 1.00000 -1.00000 0.00000"},
		"what has changed": {item: report.Shape{Points: square, Closed: true, Fill: report.Solid, Accent: true}, content: "0.545 0.059 0.078 rg"},
		"its line":         {item: report.Shape{Points: line, Weight: 1, Accent: true}, content: "0.545 0.059 0.078 RG"},
		"its words":        {item: report.Text{At: orb.Point{10, 10}, Size: 3, Accent: true, Runs: []report.Run{{Words: "a"}}}, texts: "a", content: "0.545 0.059 0.078 rg"},
		"a view": {
			item:  report.View{From: orb.Bound{Min: orb.Point{100, 100}, Max: orb.Point{150, 120}}, At: orb.Point{5, 6}, Items: []report.Item{report.Shape{Points: []orb.Point{{105, 106}, {900, 106}}, Weight: 1}}},
			paths: []inked{{points: []orb.Point{{10, 12}, {805, 12}}, weight: 1, paint: "S"}}, content: "re W n",
		},
	} {
		data, err := PDF([]report.Page{page(c.item)})
		if err != nil {
			t.Fatal(err)
		}
		pages := readPDF(t, data)
		if len(pages) != 1 || math.Abs(pages[0].width-100) > written || math.Abs(pages[0].height-50) > written {
			t.Fatalf("%s: found %d pages, expected one of 100 × 50 mm", name, len(pages))
		}
		got := pages[0]
		if !strings.Contains(got.content, c.content) {
			t.Errorf("%s: found no %q in\n%s", name, c.content, got.content)
		}
		if texts := strings.Join(got.texts, ""); texts != c.texts {
			t.Errorf("%s: found the text %q, expected %q", name, texts, c.texts)
		}
		for i, want := range c.paths {
			if i >= len(got.paths) || !same(got.paths[i], want) {
				t.Errorf("%s: found %v, expected %v", name, got.paths, want)
			}
		}
	}
}

func same(a, b inked) bool {
	return a.closed == b.closed && a.paint == b.paint && math.Abs(a.weight-b.weight) <= written &&
		slices.EqualFunc(a.points, b.points, func(p, q orb.Point) bool { return math.Hypot(p[0]-q[0], p[1]-q[1]) <= 2*written })
}

func TestPDFRefuses(t *testing.T) {
	for rule, pages := range map[string][]report.Page{
		"found no page":                      nil,
		"page 2: found a page of 0 by 10 mm": {page(), {Height: 10}},
		"page 1: item 0: found the place":    {page(report.Shape{Points: []orb.Point{{0, math.NaN()}}})},
		"found a view within a view":         {page(report.View{Items: []report.Item{report.View{}}})},
	} {
		if _, err := PDF(pages); err == nil || !strings.Contains(err.Error(), rule) {
			t.Errorf("got %v, expected %q", err, rule)
		}
	}
}

// A texture drawn stroke by stroke is the one that SVG's patterns make: strokes a
// pitch apart at 45°, dots in rows that are shifted by half.
func TestTextures(t *testing.T) {
	box := orb.Bound{Min: orb.Point{-7, 3}, Max: orb.Point{20, 31}}
	lines := strokes(box)
	for i, l := range lines {
		for _, p := range l {
			if !box.Pad(1e-9).Contains(p) {
				t.Fatalf("stroke %d leaves the box: %v", i, l)
			}
		}
		// rotate(45) takes x = HatchWeight/2 + n pitches to these
		n := ((l[0][0]+l[0][1])/math.Sqrt2 - report.HatchWeight/2) / report.HatchPitch
		if math.Abs(n-math.Round(n)) > 1e-9 || math.Abs(l[0][0]+l[0][1]-l[1][0]-l[1][1]) > 1e-9 {
			t.Errorf("stroke %d is %v", i, l)
		}
	}
	if want := (27.0 + 28) / math.Sqrt2 / report.HatchPitch; math.Abs(float64(len(lines))-want) > 1 {
		t.Errorf("found %d strokes, expected about %.0f", len(lines), want)
	}
	const pitch = report.StipplePitch
	all := dots(box, pitch)
	for _, d := range all {
		x, y := math.Mod(d[0]+100*pitch, pitch), math.Mod(d[1]+100*pitch, pitch)
		if !box.Contains(d) || math.Abs(x-y) > 1e-9 || math.Abs(math.Abs(x-pitch/2)-pitch/4) > 1e-9 {
			t.Errorf("found a dot at %v", d)
		}
	}
	if want := 27 * 28 / (pitch * pitch) * 2; math.Abs(float64(len(all))-want) > 30 {
		t.Errorf("found %d dots, expected about %.0f", len(all), want)
	}
}

// Sheets as PDF say what they say as SVG, have their type with them, refer to nothing
// outside, and come out the same twice.
func TestSheetsAsPDF(t *testing.T) {
	j, p, err := made.Side()
	if err != nil {
		t.Fatal(err)
	}
	var twice [2][]byte
	var pages []report.Page
	for i := range twice {
		if pages, err = report.Sheet(j, p, j.Hides[0].Name(), report.Options{Rule: measure.RuleOf(measure.Inch), Workshop: "A & B"}); err != nil {
			t.Fatal(err)
		}
		if twice[i], err = PDF(pages); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(twice[0], twice[1]) {
		t.Error("not the same twice")
	}
	read := readPDF(t, twice[0])
	if len(read) != len(pages) {
		t.Fatalf("found %d pages, expected %d", len(read), len(pages))
	}
	for i, page := range pages {
		found := strings.Join(read[i].texts, "")
		for _, item := range page.Items {
			if text, ok := item.(report.Text); ok {
				if parts, _ := letters(text); !strings.Contains(found, parts[0].words) {
					t.Errorf("page %d does not say %q", i+1, text)
				}
			}
		}
	}
	if n := bytes.Count(twice[0], []byte("/FontFile2")); n != 2 {
		t.Errorf("found %d faces in the document, expected 2", n)
	}
	for _, out := range []string{"/URI", "/Launch", "/GoToR", "/JavaScript"} {
		if bytes.Contains(twice[0], []byte(out)) {
			t.Errorf("found %s", out)
		}
	}
}

// A document asks to be printed as it is, and its table of objects is where it says.
func TestTrueSize(t *testing.T) {
	data, err := PDF([]report.Page{page()})
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Contains(data, []byte("/ViewerPreferences <</PrintScaling /None>>")) {
		t.Error("does not ask to be printed at its own size")
	}
	at, _, _ := bytes.Cut(data[bytes.LastIndex(data, []byte("startxref\n"))+len("startxref\n"):], []byte("\n"))
	table := int(number(t, string(at)))
	if !bytes.HasPrefix(data[table:], []byte("xref\n")) {
		t.Fatalf("found %q where the table of objects should be", data[table:table+10])
	}
	for i, line := range strings.Split(string(data[table:]), "\n")[3:] { // from object 1
		if line == "trailer" {
			break
		}
		if want := strconv.Itoa(i+1) + " 0 obj\n"; !bytes.HasPrefix(data[int(number(t, line[:10])):], []byte(want)) {
			t.Errorf("object %d is not where the table says", i+1)
		}
	}
}

// Whatever letters a name has, every format takes it.
func TestAnyText(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.OneOf(rapid.String(), rapid.StringOf(rapid.RuneFrom([]rune("\x00\n\r\\()<>&\"'%{}؀אب皮𝄞\u202e\ufffe½⅜·×")))).Draw(t, "text")
		if rapid.Bool().Draw(t, "broken") {
			s += "\xff\xc3"
		}
		item := report.Text{At: orb.Point{10, 10}, Size: 3, Turn: 30, Anchor: report.End, Runs: []report.Run{{Words: s}, {Num: 11, Den: 32}}}
		pages := []report.Page{{Width: 100, Height: 50, Title: s, Items: []report.Item{item}}}
		if _, err := PDF(pages); err != nil {
			t.Errorf("PDF: %v", err)
		}
		if _, err := SVG(pages[0]); err != nil {
			t.Errorf("SVG: %v", err)
		}
		card := report.Card{Name: s, About: s, Picture: pages[0], Lines: []report.Line{{Name: s, Do: item.Runs, Cuts: []report.Cut{{At: item.Runs, Off: s}}}}}
		data, err := HTML(card)
		if err != nil {
			t.Errorf("HTML: %v", err)
		}
		if err := xml.Unmarshal(data, new(struct{})); err != nil {
			t.Errorf("HTML: %v", err)
		}
		plot := report.Plot{Title: s, Layers: []report.Layer{{Name: "TEXT", Paths: []report.Path{{Points: []orb.Point{{0, 0}, {1, 1}}}}, Notes: []report.Note{{Text: s, Size: 1}}}}}
		if data, err := DXF(plot); err != nil || bytes.Count(data, []byte("\n"))%2 != 0 || bytes.ContainsFunc(data, func(r rune) bool { return r > 0x7E || r < ' ' && r != '\r' && r != '\n' }) {
			t.Errorf("DXF: %v: %q", err, data)
		}
	})
}

// Letters that a PDF cannot show are told, those within views too.
func TestLacking(t *testing.T) {
	text := func(s string) report.Text {
		return report.Text{Size: 3, Runs: []report.Run{{Words: s}, {Num: 1, Den: 3}}}
	}
	pages := []report.Page{
		{Items: []report.Item{text("Łódź ½"), text("犬 Rex 犬")}},
		{Items: []report.Item{report.View{Items: []report.Item{text("🐕 首犬")}}}},
	}
	if got := Lacking(pages); got != "犬🐕首" {
		t.Errorf("found %q", got)
	}
}
