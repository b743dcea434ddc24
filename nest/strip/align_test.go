package strip

import (
	"testing"

	"github.com/paulmach/orb"

	"strapwise/hide"
	"strapwise/nest"
)

// Strips that hold the same pieces and begin a few marks apart, since the hide
// ends aslant or a scar runs aslant through them, are cut at the same marks.
func TestNeighboursShareTheirMarks(t *testing.T) {
	slanted := newHide(t, hide.Spec{
		Name: "h", Leather: "strap", Form: "bend",
		Outline: []orb.Point{{0, 0}, {1100, 0}, {1100, 120}, {13, 120}},
		Flaws:   []hide.Flaw{{Kind: "scar", Stroke: &hide.Stroke{Line: []orb.Point{{530, -5}, {545, 130}}, Width: 2}}},
	})
	job := nest.Job{
		Hides: []*hide.Hide{slanted}, Uses: uses(), Tools: nest.Tools{Mark: 1, CutterMin: 6, CutterMax: 100},
		Orders: []nest.Order{pieces("A", 12, 500, 20, 5)},
	}
	plan := laid(t, job, Options{})
	if len(plan.Pieces) != 12 {
		t.Fatalf("got %d pieces, expected 12", len(plan.Pieces))
	}
	at := map[float64]int{}
	for _, p := range plan.Pieces {
		at[p.FromMM]++
	}
	if len(at) != 2 {
		t.Errorf("pieces begin at %v, expected two marks for all strips", at)
	}
}

// Strips far from alike stay where they are: no piece moves farther than an inch.
func TestAlignMovesAnInchAtMost(t *testing.T) {
	steep := newHide(t, hide.Spec{
		Name: "h", Leather: "strap", Form: "bend",
		Outline: []orb.Point{{0, 0}, {1100, 0}, {1100, 60}, {90, 60}},
	})
	job := nest.Job{
		Hides: []*hide.Hide{steep}, Uses: uses(), Tools: nest.Tools{Mark: 1, CutterMin: 6, CutterMax: 100},
		Orders: []nest.Order{pieces("A", 3, 900, 20, 5)},
	}
	for i, p := range laid(t, job, Options{}).Pieces {
		if own := 30 * float64(i); p.FromMM > own+1 {
			t.Errorf("piece %d begins at %g, its strip at %g", i, p.FromMM, own)
		}
	}
}
