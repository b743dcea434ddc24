package report

import (
	"context"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"strapwise/hide"
	"strapwise/hide/measure"
	"strapwise/hide/plane"
	"strapwise/nest"
	"strapwise/nest/strip"
)

// cheeks is a job with templates of two shapes in rectangles of one size, and straps,
// laid on a sheet.
func cheeks(t *testing.T) (nest.Job, nest.Plan) {
	t.Helper()
	h, err := hide.New(hide.Spec{Name: "s", Leather: "strap", Form: "sheet", Outline: []orb.Point{{0, 0}, {1000, 0}, {1000, 300}, {0, 300}}})
	if err != nil {
		t.Fatal(err)
	}
	to := func(file string, corners ...orb.Point) *nest.Template {
		ring, err := plane.NewRing(corners)
		if err != nil {
			t.Fatal(err)
		}
		return &nest.Template{File: file, Outline: ring}
	}
	part := func(name string, of *nest.Template) nest.Part {
		b := of.Outline.Bound().Max
		return nest.Part{Name: name, Leather: "strap", Use: "load", Length: b[0], Width: b[1], Count: 1, Knife: true, Template: of}
	}
	cheek := to("cheek.svg", orb.Point{0, 0}, orb.Point{120, 0}, orb.Point{120, 20}, orb.Point{60, 60}, orb.Point{0, 40})
	brow := to("brow.svg", orb.Point{0, 30}, orb.Point{60, 0}, orb.Point{120, 30}, orb.Point{60, 60})
	j := nest.Job{
		Hides: []*hide.Hide{h}, Uses: map[string]hide.Use{"load": {Name: "load", Quality: hide.Firm, Angle: 3 * measure.Degree}},
		Tools: nest.Tools{Mark: 1, CutterMin: 5, CutterMax: 100, Deepest: 100, Part: 25},
		Orders: []nest.Order{
			{ID: "A", FirstSet: 1, Qty: 5, Worth: 9, Parts: []nest.Part{part("cheek", cheek), part("brow", brow)}},
			{ID: "B", FirstSet: 1, Qty: 3, Worth: 9, Parts: []nest.Part{{Name: "main", Leather: "strap", Use: "load", Length: 700, Width: 25, Count: 1}}},
			{ID: "C", FirstSet: 1, Qty: 2, Worth: 5, Parts: []nest.Part{part("cheek", brow)}},
		},
	}
	p, err := strip.Lay(context.Background(), j, strip.Options{Seed: 1, Steps: 100})
	if err != nil {
		t.Fatal(err)
	}
	if faults := nest.Check(j, p); len(faults) > 0 || len(p.Pieces) != 15 {
		t.Fatal(len(p.Pieces), faults)
	}
	return j, p
}

// The list has templates cross-cut as the rectangles round them, and then each cut out to
// its own, once.
func TestTemplatesInTheList(t *testing.T) {
	j, p := cheeks(t)
	rule := measure.Rule{Mark: 1}
	l, err := readLay(j, p, "s", rule)
	if err != nil {
		t.Fatal(err)
	}
	if err := followed(l, 1e-4); err != nil {
		t.Error(err)
	}
	var last, rectangles []string
	notes := 0
	for _, s := range l.steps() {
		if text := s.String(); strings.HasPrefix(text, "cut out by knife to template ") {
			last = append(last, strings.TrimPrefix(text, "cut out by knife to template "))
		}
		if s.Note && Plain(s.Do) == templateNote {
			notes++
		}
		for _, c := range s.Cuts {
			if strings.Contains(c.Off, ".svg") {
				rectangles = append(rectangles, c.Off)
			}
		}
	}
	slices.Sort(last)
	want := []string{
		"brow.svg, 60 × 120, 2 pieces: C·1, 2 cheek",
		"brow.svg, 60 × 120, 5 pieces: A·1–5 brow",
		"cheek.svg, 60 × 120, 5 pieces: A·1–5 cheek",
	}
	if !slices.Equal(last, want) || notes != 1 {
		t.Errorf("found %q and %d notes, expected %q and one", last, notes, want)
	}
	for _, off := range rectangles {
		// parts of one name and different templates are not told together
		if strings.Contains(off, "A·") && strings.Contains(off, "C·") && strings.Contains(off, " cheek") {
			t.Errorf("%q tells two templates as one", off)
		}
		if !strings.HasSuffix(off, ", for cheek.svg") && !strings.HasSuffix(off, ", for brow.svg") {
			t.Errorf("%q names no template", off)
		}
	}
	if len(rectangles) == 0 {
		t.Error("no rectangle is cross-cut")
	}
}

// The picture has the outline of every template, as it lies, and the rectangle round it;
// its name lies within it. So does what other programs draw.
func TestTemplatesInPictures(t *testing.T) {
	j, p := cheeks(t)
	rule := measure.Rule{Mark: 1}
	pages, err := Sheet(j, p, "s", Options{Rule: rule})
	if err != nil {
		t.Fatal(err)
	}
	var shapes []Shape
	var texts []Text
	for _, item := range pages[0].Items {
		switch it := item.(type) {
		case Shape:
			if it.Closed && it.Weight == part && len(it.Points) >= 4 {
				shapes = append(shapes, it)
			}
		case Text:
			texts = append(texts, it)
		}
	}
	five, four := 0, 0
	for _, s := range shapes {
		b := orb.MultiPoint(s.Points).Bound()
		named := slices.ContainsFunc(texts, func(x Text) bool {
			return strings.Contains(Plain(x.Runs), "·") && boxInside(s.Points, x.Bound())
		})
		full := math.Abs(planar.Area(orb.Ring(append(slices.Clone(s.Points), s.Points[0])))) > 0.99*(b.Max[0]-b.Min[0])*(b.Max[1]-b.Min[1])
		switch {
		case len(s.Points) == 5:
			five++
		case !full:
			four++
		}
		if !named {
			t.Errorf("the outline %v has no name within it", s.Points)
		}
	}
	if five != 5 || four != 7 || len(shapes) != 15+12 {
		t.Errorf("found %d and %d outlines of templates among %d, expected 5 and 7 among 27", five, four, len(shapes))
	}

	plot, err := Plotted(j, p, "s")
	if err != nil {
		t.Fatal(err)
	}
	area := 0.0
	for _, path := range plot.Layers[layerPieces].Paths {
		area += math.Abs(planar.Area(orb.Ring(append(slices.Clone(path.Points), path.Points[0]))))
	}
	want := 0.0
	for _, o := range j.Orders {
		for _, part := range o.Parts {
			want += float64(o.Qty) * part.Area()
		}
	}
	if math.Abs(area-want) > 1 {
		t.Errorf("the layer of pieces has %.1f mm², expected %.1f", area, want)
	}

	table, err := PieceTable(j, p, []string{"s"}, rule)
	if err != nil {
		t.Fatal(err)
	}
	at := slices.IndexFunc(table.Columns, func(c Column) bool { return c.Name == "template" })
	files := map[string]int{}
	for _, row := range table.Rows {
		files[row[at]]++
	}
	if files["cheek.svg"] != 5 || files["brow.svg"] != 7 || files[""] != 3 {
		t.Errorf("the table has templates %v", files)
	}
	labels, err := PieceLabels(j, p, "s", rule)
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for _, label := range labels {
		if strings.HasSuffix(Plain(label.Lines[1]), ", template brow.svg") {
			n++
		}
	}
	if n != 7 {
		t.Errorf("%d labels name brow.svg, expected 7", n)
	}
}

// What is spoilt of templates is crossed out from corner to corner of its rectangle.
func TestSpoiltTemplate(t *testing.T) {
	j, p := cheeks(t)
	b := p.Begin()
	i := slices.IndexFunc(p.Pieces, func(x nest.Piece) bool { return x.Part == "brow" })
	if err := b.Spoil(i); err != nil {
		t.Fatal(err)
	}
	again, err := strip.Relay(context.Background(), j, b.Plan, strip.Options{Seed: 1, Steps: 30})
	if err != nil {
		t.Fatal(err)
	}
	if faults := nest.CheckRelaid(j, b.Plan, again); len(faults) > 0 || len(again.Spoilt) != 1 {
		t.Fatal(len(again.Spoilt), faults)
	}
	if _, err := Sheet(j, again, "s", Options{Rule: measure.Rule{Mark: 1}}); err != nil {
		t.Error(err)
	}
}

// A pattern at full size is the template as it is drawn, the way up that it is drawn.
func TestTemplateAtFullSize(t *testing.T) {
	j, _ := cheeks(t)
	cheek := j.Orders[0].Parts[0].Template
	set, err := SetDrawing(j, "A", 1, "cheek", measure.Rule{Mark: 1})
	if err != nil {
		t.Fatal(err)
	}
	for _, page := range []Page{set, TemplateDrawing(cheek, measure.Rule{Mark: 1})} {
		i := slices.IndexFunc(page.Items, func(item Item) bool { s, ok := item.(Shape); return ok && s.Closed && len(s.Points) == 5 })
		if i < 0 {
			t.Fatalf("%s: found no outline", page.Title)
		}
		pts := page.Items[i].(Shape).Points
		low := orb.MultiPoint(pts).Bound()
		for k, at := range pts {
			want := cheek.Outline.Corner(k)
			if math.Abs(at[0]-low.Min[0]-want[0]) > 1e-9 || math.Abs(low.Max[1]-at[1]-want[1]) > 1e-9 {
				t.Errorf("%s: corner %d at %v of %v, expected %v from below", page.Title, k, at, low, want)
			}
		}
		arrows, words := 0, ""
		for _, item := range page.Items {
			switch it := item.(type) {
			case Shape:
				if !it.Closed && boxInside(pts, orb.MultiPoint(it.Points).Bound()) {
					arrows++
				}
			case Text:
				words += Plain(it.Runs) + " "
				if it.Bound().Max[0] > page.Width || it.Bound().Max[1] > page.Height {
					t.Errorf("%s: %q runs off the page", page.Title, Plain(it.Runs))
				}
			}
		}
		if arrows == 0 || !strings.Contains(words, "cheek.svg") || !strings.Contains(words, "60 × 120 mm") {
			t.Errorf("%s: found %d arrows within it and the words %q", page.Title, arrows, words)
		}
	}
}
