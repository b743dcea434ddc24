package strip

import (
	"testing"

	"strapwise/hide"
	"strapwise/nest"
)

// TestRelay_littleLeft: five straps are cut, two are asked for, and of the sheet a millimetre is
// left, an eighteenth of what a strap takes.
func TestRelay_littleLeft(t *testing.T) {
	job := straps(t, sheet(t, "s", "bridle", 640, 201), 0, 5)
	job.Tools.Grips = 0
	plan := laidOut(t, job, 50)
	b := plan.Begin()
	for n := range plan.Hides[0].Bands {
		b.Cut("s", n+1)
	}
	job.Orders[1].Qty = 2
	relaid(t, job, b, 50)
}

// TestRelay_restOfBlock: one strip of four is cut; three more, and leather to grip, are left of its
// block, 170 mm of no sum of widths.
func TestRelay_restOfBlock(t *testing.T) {
	job := nest.Job{
		Hides: []*hide.Hide{sheet(t, "s", "strap", 1200, 210)}, Uses: uses(),
		Orders: []nest.Order{pieces("A", 3, 700, 70, 40), pieces("B", 5, 500, 40, 13)},
		Tools:  nest.Tools{Mark: 1, CutterMin: 6, CutterMax: 100, Deepest: 210, Part: 25, Grips: 45},
	}
	plan := laid(t, job, Options{})
	b := plan.Begin()
	b.CutApart("s", 1)
	first := -1
	for i, p := range b.Plan.Pieces {
		if p.Order == "B" && (first < 0 || p.Strip < b.Plan.Pieces[first].Strip) {
			first = i
		}
	}
	if err := b.CutPiece(first); err != nil {
		t.Fatal(err)
	}
	if after := relaid(t, job, b, 800); after.Result.Value != plan.Result.Value {
		t.Errorf("worth %v, before %v", after.Result.Value, plan.Result.Value)
	}
}
