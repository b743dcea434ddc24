package strip

import (
	"testing"

	"github.com/paulmach/orb"

	"strapwise/hide"
	"strapwise/nest"
)

// On leather that is the same everywhere, strips lie from the back outward,
// longest and strongest first (Hasluck, Harness Making, 1904), on either side of
// a backbone that runs through it; and what is hidden lies outside all that is
// seen.
func TestStrongestAndLongestLieNearestToTheBackbone(t *testing.T) {
	for _, back := range []float64{0, 95} {
		s := hide.Spec{
			Name: "h", Leather: "strap", Form: "back",
			Outline:  []orb.Point{{0, 0}, {1000, 0}, {1000, 190}, {0, 190}},
			Backbone: []orb.Point{{0, back}, {1000, back}},
		}
		filler := pieces("C", 8, 480, 10, 9) // worth the most, so that it is laid first
		filler.Parts[0].Use = "hidden"
		job := nest.Job{
			Hides: []*hide.Hide{newHide(t, s)}, Uses: uses(), Tools: nest.Tools{Mark: 1, CutterMin: 6, CutterMax: 100},
			Orders: []nest.Order{filler, pieces("A", 6, 450, 20, 5), pieces("B", 3, 900, 20, 5)},
		}
		plan := laid(t, job, Options{})
		if len(plan.Pieces) != 17 {
			t.Fatalf("got %d pieces, expected 17", len(plan.Pieces))
		}
		at := func(p nest.Piece) float64 { return orb.MultiPoint(p.Outline).Bound().Center()[1] - back }
		rank := map[string]int{"B": 0, "A": 1, "C": 2}
		for _, p := range plan.Pieces {
			for _, q := range plan.Pieces {
				if inner, outer := at(p), at(q); inner*outer > 0 && max(inner, -inner) < max(outer, -outer) && rank[p.Order] > rank[q.Order] {
					t.Errorf("backbone at %g: %s lies %g off it, %s %g", back, p.Order, inner, q.Order, outer)
				}
			}
		}
	}
}

// Bands trade places only where their pieces serve: a hidden piece that lies
// over a scar stays there, however near to the backbone.
func TestWhatIsHiddenStaysOnTheScar(t *testing.T) {
	scarred := hide.Spec{
		Name: "h", Leather: "strap", Form: "bend", Outline: []orb.Point{{0, 0}, {500, 0}, {500, 30}, {0, 30}},
		Flaws: []hide.Flaw{{Kind: "scar", Stroke: &hide.Stroke{Line: []orb.Point{{100, 5}, {400, 5}}, Width: 2}}},
	}
	filler := pieces("C", 1, 480, 10, 1)
	filler.Parts[0].Use = "hidden"
	job := nest.Job{
		Hides: []*hide.Hide{newHide(t, scarred)}, Uses: uses(), Tools: nest.Tools{Mark: 1, CutterMin: 6, CutterMax: 100},
		Orders: []nest.Order{filler, pieces("A", 1, 480, 20, 5)},
	}
	plan := laid(t, job, Options{})
	if len(plan.Pieces) != 2 {
		t.Fatalf("got %d pieces, expected 2", len(plan.Pieces))
	}
	for _, p := range plan.Pieces {
		if y := orb.MultiPoint(p.Outline).Bound().Min[1]; (p.Use == "hidden") != (y == 0) {
			t.Errorf("%s begins %g off the backbone", p.Use, y)
		}
	}
}
