package report

import (
	"fmt"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"strapwise/hide"
	"strapwise/hide/measure"
	"strapwise/hide/plane"
	"strapwise/nest"
	"strapwise/report/internal/made"
)

// A hide whose strips have no place in common is measured from several lines.
func TestLinesOfACrookedHide(t *testing.T) {
	h, err := hide.New(hide.Spec{
		Name: "z", Leather: "l", Form: "hide",
		Outline: []orb.Point{{0, 0}, {600, 0}, {620, 100}, {1400, 120}, {1400, 220}, {700, 220}, {560, 120}, {0, 100}},
	})
	if err != nil {
		t.Fatal(err)
	}
	strip := func(n int, from, x float64) (nest.Strip, nest.Band, nest.Piece) {
		y := plane.Span{Lo: from, Hi: from + 40}
		box := plane.Identity.Rect(plane.Span{Lo: x, Hi: x + 300}, y)
		return nest.Strip{N: n, Outline: box, WidthMM: 40, FromMM: from},
			nest.Band{FromMM: from, DepthMM: 40, Blocks: []nest.Block{{ToMM: 1400, Strips: []int{n}}}},
			nest.Piece{Hide: "z", Order: "A", Set: n, Part: "main", Use: "load", Strip: n, FromMM: x, ToMM: x + 300, Outline: box}
	}
	p := nest.Plan{Hides: []nest.HideLay{{Hide: "z", Strike: nest.Strike{To: orb.Point{1400, 0}}}}}
	for i, at := range [][2]float64{{0, 20}, {40, 30}, {170, 900}} {
		s, b, piece := strip(i+1, at[0], at[1])
		lay := &p.Hides[0]
		lay.Strips, lay.Bands, p.Pieces = append(lay.Strips, s), append(lay.Bands, b), append(p.Pieces, piece)
	}
	l, err := readLay(nest.Job{Hides: []*hide.Hide{h}}, p, "z", measure.Rule{})
	if err != nil {
		t.Fatal(err)
	}
	if err := followed(l, rounded); err != nil {
		t.Error(err)
	}
	got := fmt.Sprint(l.steps())
	for _, want := range []string{
		"chalk line A square across the hide 30 mm from its leftmost point", "chalk line B square across the hide 900 mm",
		"take 2 strips, square 10 left, on line A", "square on line B",
	} {
		if !strings.Contains(got, want) {
			t.Errorf("the list does not say %q: %s", want, got)
		}
	}
}

// The squared end is cut where every strip has leather there; else no mark of the
// list counts from it.
func TestSquaredEndOrLine(t *testing.T) {
	for name, c := range map[string]struct {
		make maker
		want string
	}{
		"sheet": {made.Sheet, "square the end at its left end"},
		"side":  {made.Side, "before any rip, chalk the line square across the hide 9 in from the leftmost point of the hide"},
	} {
		j, p, err := c.make()
		if err != nil {
			t.Fatal(err)
		}
		steps, err := Steps(j, p, j.Hides[0].Name(), inches)
		if err != nil {
			t.Fatal(err)
		}
		if got := steps[1].String(); !strings.HasPrefix(got, c.want) {
			t.Errorf("%s: got %q, expected %q", name, got, c.want)
		}
	}
}

// The first cuts are measured from what is there: of a remnant whose backbone went with
// another part of the hide, from its own edge and end.
func TestDatumIsOnTheLeather(t *testing.T) {
	for _, c := range []struct {
		rule          string
		form          string
		backbone      []orb.Point
		edge, squared float64 // from the backbone's start
		want          string
	}{
		{"no backbone", "sheet", nil, 0, 0, "[strike the edge along the lower edge of the hide square the end at its left end"},
		{"along the hide", "bend", []orb.Point{{0, 0}, {900, 0}}, 0, 0, "[strike the edge along the backbone square the end at the start of the backbone"},
		{"a hand off", "side", []orb.Point{{0, -40}, {900, -40}}, 40, 0, "[strike the edge along the lower edge of the hide square the end at its left end"},
		{"a finger off", "side", []orb.Point{{0, -8}, {900, -8}}, 8, 0, "[strike the edge 8 mm from the backbone square the end at the start of the backbone"},
		{"begun far before the leather", "side", []orb.Point{{-20, 0}, {900, 0}}, 0, 20, "[strike the edge along the backbone square the end at the left end of the hide"},
		{"far off, as of a belly", "belly", []orb.Point{{0, -300}, {900, -300}}, 300, 0, "[strike the edge along the lower edge of the hide square the end at its left end"},
		{"through the hide", "hide", []orb.Point{{0, 200}, {900, 200}}, -200, 0, "[strike the edge 200 mm from the backbone, on the near side square the end at the start of the backbone"},
		{"a remnant", "remnant", []orb.Point{{0, 0}, {900, 0}}, 0, 0, "[strike the edge along the lower edge of the remnant square the end at its left end"},
		{"a hand off a remnant", "remnant", []orb.Point{{-40, -40}, {900, -40}}, 40, 40, "[strike the edge along the lower edge of the remnant square the end at its left end"},
		{"on the near side", "remnant", []orb.Point{{0, 500}, {900, 500}}, -500, 0, "[strike the edge along the lower edge of the remnant square the end at its left end"},
		{"a ragged remnant", "remnant", []orb.Point{{0, -9}, {900, 9}}, -8.9982, 0.09, "[strike the edge through the lowest point of the remnant square the end at its leftmost point"},
	} {
		j, p := blocksPlan(t, 0)
		s := j.Hides[0].Spec()
		s.Form, s.Backbone = c.form, c.backbone
		h, err := hide.New(s)
		if err != nil {
			t.Fatal(err)
		}
		j.Hides = []*hide.Hide{h}
		p.Hides[0].Strike.EdgeMM, p.Hides[0].Strike.SquareMM = c.edge, c.squared
		steps, err := Steps(j, p, "s", measure.Rule{Mark: 1})
		if err != nil {
			t.Fatal(err)
		}
		if got := fmt.Sprint(steps); !strings.HasPrefix(got, c.want) {
			t.Errorf("%s: expected %s, found %.150s", c.rule, c.want, got)
		}
	}
}
