package report

import (
	"context"
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"strapwise/hide"
	"strapwise/hide/measure"
	"strapwise/hide/plane"
	"strapwise/nest"
	"strapwise/nest/strip"
)

// The list of a hide that is struck aslant tells two marks through which to strike, and
// whoever follows it holds the pieces of the plan.
func TestStruckAslant(t *testing.T) {
	var zones []hide.Zone
	for _, corners := range [][]orb.Point{
		{{-10, -10}, {1010, -10}, {1010, 95.35}, {-10, 59.65}},
		{{-10, 149.65}, {1010, 185.35}, {1010, 310}, {-10, 310}},
	} {
		area, err := plane.NewRing(corners)
		if err != nil {
			t.Fatal(err)
		}
		zones = append(zones, hide.Zone{Quality: hide.Waste, Area: area})
	}
	h, err := hide.New(hide.Spec{
		Name: "s", Leather: "strap", Form: "sheet", Zones: zones,
		Outline: []orb.Point{{0, 0}, {1000, 0}, {1000, 300}, {0, 300}}, Backbone: []orb.Point{{0, 0}, {1000, 0}},
	})
	if err != nil {
		t.Fatal(err)
	}
	j := nest.Job{
		Hides: []*hide.Hide{h},
		Uses:  map[string]hide.Use{"load": {Name: "load", Quality: hide.Firm, Angle: measure.Angle(3 * math.Pi / 180)}},
		Tools: nest.Tools{Mark: 1, CutterMin: 5, CutterMax: 100, Deepest: 100, Part: 25, Tilt: measure.Angle(2 * math.Pi / 180)},
	}
	for i, size := range [][2]float64{{900, 20}, {400, 30}, {430, 30}, {180, 20}} {
		j.Orders = append(j.Orders, nest.Order{ID: string(rune('A' + i)), FirstSet: 1, Qty: 2, Worth: size[0], Parts: []nest.Part{
			{Name: "main", Leather: "strap", Use: "load", Length: size[0], Width: size[1], Count: 1},
		}})
	}
	p, err := strip.Lay(context.Background(), j, strip.Options{Seed: 1, Steps: 40})
	if err != nil {
		t.Fatal(err)
	}
	if faults := nest.Check(j, p); len(faults) > 0 {
		t.Fatal(faults)
	}
	rule := measure.Rule{Mark: 1}
	l, err := readLay(j, p, "s", rule)
	if err != nil {
		t.Fatal(err)
	}
	if !l.tilted() || l.count() < 4 {
		t.Fatalf("found %d pieces, struck at %v", l.count(), p.Hides[0].Strike)
	}
	if err := followed(l, 1e-4); err != nil {
		t.Error(err)
	}
	if first := l.steps()[0].String(); !strings.HasPrefix(first, "strike the edge aslant, through two marks: ") {
		t.Errorf("found %q", first)
	}
	s := p.Hides[0].Strike
	a, b := h.Frame().Into(s.Through[0]), h.Frame().Into(s.Through[1])
	if b[0]-a[0] < 500 {
		t.Errorf("the edge is struck through %v and %v, expected them well apart", a, b)
	}
	for _, v := range []float64{a[0], a[1], b[0], b[1]} {
		if math.Abs(v-rule.Nearest(v)) > 1e-3 {
			t.Errorf("the edge is struck through %v and %v, expected marks", a, b)
		}
	}
	for _, p := range []orb.Point{a, b} {
		if in := l.frame.Into(h.Frame().OutOf(p)); math.Abs(in[1]) > 1e-3 {
			t.Errorf("%v is %v mm off the struck edge", p, in[1])
		}
	}
	pages, err := Sheet(j, p, "s", Options{Rule: rule})
	if err != nil {
		t.Fatal(err)
	}
	marks := 0 // short strokes across the edge where it is struck through
	for _, item := range pages[0].Items {
		if s, ok := item.(Shape); ok && len(s.Points) == 2 && s.Weight == light && s.Points[0][0] == s.Points[1][0] && math.Abs(s.Points[1][1]-s.Points[0][1]-3) < 1e-9 {
			marks++
		}
	}
	if marks != 2 {
		t.Errorf("the picture has %d marks to strike the edge through, expected 2", marks)
	}
}
