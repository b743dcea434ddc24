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
)

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

// begins is how the list begins of a hide that gives one piece from one band, so high across
// the hide and so far along it.
func begins(t *testing.T, s hide.Spec, high, from float64, change func(*nest.Plan)) string {
	t.Helper()
	s.Name, s.Leather = "h", "l"
	h, err := hide.New(s)
	if err != nil {
		t.Fatal(err)
	}
	const depth, long = 50, 300
	f := plane.NewFrame(orb.Point{from, high}, orb.Point{1, 0})
	box := f.Rect(plane.Span{Lo: 0, Hi: long}, plane.Span{Lo: 0, Hi: depth})
	p := nest.Plan{
		Hides: []nest.HideLay{{
			Hide: "h", Strike: nest.Strike{From: box[0], To: box[1], EdgeMM: high, SquareMM: from},
			Bands:  []nest.Band{{DepthMM: depth, Blocks: []nest.Block{{ToMM: long, Strips: []int{1}}}}},
			Strips: []nest.Strip{{N: 1, WidthMM: depth, Outline: box}},
		}},
		Pieces: []nest.Piece{{Hide: "h", Order: "A", Set: 1, Part: "main", Use: "load", Strip: 1, ToMM: long, Outline: box}},
	}
	if change != nil {
		change(&p)
	}
	p.Hides[0].Remnants = nest.Remnants(h, p)
	steps, err := Steps(nest.Job{Hides: []*hide.Hide{h}}, p, "h", measure.Rule{Mark: 1})
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for _, s := range steps {
		out = append(out, s.String())
	}
	return strings.Join(out, " / ")
}

// Nothing is measured from leather that is off, and what comes off is named.
func TestFirstCutsAreFoundAtTheBench(t *testing.T) {
	ragged := []orb.Point{{0, 30}, {300, 0}, {600, 25}, {900, 10}, {900, 400}, {0, 400}}
	winged := []orb.Point{{0, 0}, {900, 0}, {900, 400}, {100, 400}, {100, 150}, {0, 140}}
	box := []orb.Point{{0, 0}, {900, 0}, {900, 400}, {0, 400}}
	stepped := []orb.Point{{0, 0}, {900, 0}, {900, 400}, {400, 400}, {400, 40}, {0, 40}}
	notched := append([]orb.Point{{0, 0}, {900, 0}, {900, 400}, {0, 400}, {0, 120}, {400, 120}}, stepped[4:]...)
	begun := func(squared float64) func(*nest.Plan) {
		return func(p *nest.Plan) {
			l := &p.Hides[0]
			l.SquaredMM, l.Bands[0].Cut = squared, true
			l.Bands = append(l.Bands, nest.Band{FromMM: 50, DepthMM: 60, Blocks: []nest.Block{{ToMM: 300, Strips: []int{2}}}})
			box := plane.NewFrame(l.Strike.From, orb.Point{1, 0}).Rect(plane.Span{Lo: 0, Hi: 300}, plane.Span{Lo: 50, Hi: 110})
			l.Strips = append(l.Strips, nest.Strip{N: 2, WidthMM: 60, FromMM: 50, Outline: box})
		}
	}
	for _, c := range []struct {
		rule       string
		spec       hide.Spec
		high, from float64
		change     func(*nest.Plan)
		want       string
	}{
		{
			"a ragged edge",
			hide.Spec{Form: "remnant", Outline: ragged},
			40, 0, nil,
			"strike the edge through two marks: 22 mm up from the lower edge at 120 mm from its left end; and 24 mm up from the lower edge at 780 mm from its left end; what comes off is remnant 3 / square the end at its left end / ",
		},
		{
			"a wing that comes off",
			hide.Spec{Form: "hide", Outline: winged, Backbone: []orb.Point{{0, 0}, {900, 0}}},
			160, 120, nil,
			"strike the edge 160 mm from the backbone; what comes off is remnant 2 / square the end 20 mm from the left end of what is left; cut 50 mm out, then along to the left: remnant 1 lies beyond / ",
		},
		{
			"an end that is kept",
			hide.Spec{Form: "bend", Outline: box},
			0, 500, func(p *nest.Plan) { p.Hides[0].Bands[0].DepthMM, p.Hides[0].Strips[0].WidthMM = 60, 60 },
			"strike the edge along the lower edge of the hide / square the end 500 mm from its left end; cut 60 mm out, then along to the left: remnant 1 lies beyond; what comes off is remnant 2 / ",
		},
		{
			"carried on",
			hide.Spec{Form: "bend", Outline: box},
			0, 500, begun(50),
			"so far ripped off: 1 / before the next rip, carry the squared end on from 50 to 110 mm from where the struck edge was, then along to the left: remnant 1 lies beyond; what comes off is remnant 2 / ",
		},
		{"where no line shows", hide.Spec{Form: "bend", Outline: stepped}, 0, 0, func(p *nest.Plan) {
			begun(0)(p)
			p.Hides[0].Chalked = []float64{100}
			p.Pieces = append(p.Pieces, nest.Piece{Hide: "h", Order: "A", Set: 2, Part: "main", Use: "load", Strip: 2, FromMM: 450, ToMM: 750, Outline: box})
		}, "so far ripped off: 1 / line A is chalked 300 mm before the left end of what is left / before the next rip, chalk line B square across the hide 20 mm from the left end of what is left; "},
		{"where one shows further out", hide.Spec{Form: "bend", Outline: notched}, 0, 0, func(p *nest.Plan) {
			begun(0)(p)
			p.Hides[0].Chalked = []float64{100}
			p.Pieces = append(p.Pieces, nest.Piece{Hide: "h", Order: "A", Set: 2, Part: "main", Use: "load", Strip: 2, FromMM: 450, ToMM: 750, Outline: box})
		}, "so far ripped off: 1 / line A is chalked 100 mm from its left end / before the next rip, chalk line B square across the hide 320 mm right of line A; "},
		{"far enough out", hide.Spec{Form: "bend", Outline: box}, 0, 500, begun(110), "so far ripped off: 1 / 1: take 1 strip, ripped off already"},
	} {
		if got := begins(t, c.spec, c.high, c.from, c.change); !strings.HasPrefix(got, c.want) {
			t.Errorf("%s: expected %s, found %s", c.rule, c.want, got)
		}
	}
}
