package strip

import (
	"slices"
	"testing"

	"github.com/paulmach/orb"

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

// TestRelay_widthNoLongerAsked: a strap of 30 mm is cut, and its order is done; 60 and 40 mm are asked
// for, and in what is left bands begin at 30.
func TestRelay_widthNoLongerAsked(t *testing.T) {
	h := newHide(t, hide.Spec{
		Name: "s", Leather: "strap", Form: "sheet",
		Outline: []orb.Point{{0, 0}, {1240, 0}, {1240, 30}, {1200, 30}, {1200, 150}, {0, 150}},
	})
	job := nest.Job{
		Hides: []*hide.Hide{h}, Uses: uses(),
		Orders: []nest.Order{pieces("N", 1, 1240, 30, 100), pieces("A", 3, 700, 60, 40), pieces("B", 4, 500, 40, 13)},
		Tools:  nest.Tools{Mark: 1, CutterMin: 6, CutterMax: 100, Deepest: 120, Part: 25},
	}
	plan := laid(t, job, Options{})
	b := plan.Begin()
	b.Cut("s", 1)
	job.Orders = job.Orders[1:]
	if after := relaid(t, job, b, 400); after.Result.Value != plan.Result.Value-100 {
		t.Errorf("worth %v, before %v and 100 that is done", after.Result.Value, plan.Result.Value)
	}
}

// TestRelay_otherTools: the tools have become others than those that the plan before was laid for.
func TestRelay_otherTools(t *testing.T) {
	for name, change := range map[string]func(*nest.Tools){
		"no bands":         func(t *nest.Tools) { t.Deepest = 0 },
		"bands less deep":  func(t *nest.Tools) { t.Deepest = 100 },
		"other cross-cuts": func(t *nest.Tools) { t.Part = 40 },
		"one block":        func(t *nest.Tools) { t.Blocks = 1 },
		"deeper grip":      func(t *nest.Tools) { t.Grips = 45 },
		"wider waste":      func(t *nest.Tools) { t.CutterMin = 50 },
		"other marks":      func(t *nest.Tools) { t.Mark = 7 },
	} {
		t.Run(name, func(t *testing.T) {
			job := nest.Job{
				Hides: []*hide.Hide{sheet(t, "s", "strap", 1200, 120)}, Uses: uses(),
				Orders: []nest.Order{pieces("A", 3, 700, 60, 40), pieces("B", 4, 500, 40, 13)},
				Tools:  nest.Tools{Mark: 1, CutterMin: 6, CutterMax: 100, Deepest: 120, Part: 25},
			}
			plan := laid(t, job, Options{})
			change(&job.Tools)
			relaid(t, job, plan.Begin(), 400)
		})
	}
}

// TestRelay_noMarksLeft: a hide was ripped to its end at half marks of the rule of this day, and no
// whole mark is left of it. (Check refuses the plan for the rips that are made.)
func TestRelay_noMarksLeft(t *testing.T) {
	job := nest.Job{
		Hides:  []*hide.Hide{sheet(t, "r", "strap", 310, 150.9), sheet(t, "s", "strap", 600, 60)},
		Orders: append(wideOrNarrow(20, 15), pieces("W", 1, 300, 150.5, 500)),
		Uses:   uses(), Tools: nest.Tools{Mark: 0.5, CutterMin: 10, CutterMax: 200},
	}
	plan := laid(t, job, Options{})
	b := plan.Begin()
	b.Cut("r", 1)
	job.Tools.Mark = 1
	after, err := Relay(t.Context(), job, b.Plan, Options{Steps: 400})
	if err != nil {
		t.Fatal(err)
	}
	if r := after.Result; r.Value > r.Bound || r.Value < plan.Result.Value {
		t.Errorf("worth %v of %v, before %v", r.Value, r.Bound, plan.Result.Value)
	}
}

// TestRelay_noLeatherLeft: all of a sheet is cut, one of the three pieces of a set is spoilt, and so the bound holds two
// thirds of a set until it is found that none can be made.
func TestRelay_noLeatherLeft(t *testing.T) {
	three := pieces("A", 1, 300, 30, 90)
	three.Parts[0].Count = 3
	for _, deepest := range []float64{0, 60} {
		job := nest.Job{
			Hides: []*hide.Hide{sheet(t, "s", "strap", 600, 60)}, Orders: []nest.Order{three, pieces("B", 1, 600, 30, 7)},
			Uses: uses(), Tools: nest.Tools{Mark: 10, CutterMin: 10, CutterMax: 200, Deepest: deepest, Part: 30},
		}
		b := laid(t, job, Options{}).Begin()
		b.Cut("s", 1)
		b.Cut("s", 2)
		if err := b.Spoil(0); err != nil {
			t.Fatal(err)
		}
		if r := relaid(t, job, b, 2000).Result; !r.Proven || r.Value != 0 {
			t.Errorf("bands %v mm deep: found %+v, expected nothing, proven", deepest, r)
		}
	}
}

// TestRelay_samePieceOfOtherTools: two orders ask for the same piece, one cut by strap cutter and one with the knife. What is
// cut for one, and what is to be cut for it, stays its own.
func TestRelay_samePieceOfOtherTools(t *testing.T) {
	ripped, knifed := pieces("A", 2, 300, 30, 1), pieces("B", 2, 300, 30, 10)
	knifed.Parts[0].Knife = true
	job := nest.Job{
		Hides: []*hide.Hide{sheet(t, "s", "strap", 300, 60)}, Orders: []nest.Order{ripped, knifed},
		Uses: uses(), Tools: nest.Tools{Mark: 10, CutterMin: 10, CutterMax: 100},
	}
	b := laid(t, job, Options{}).Begin()
	b.Cut("s", 1)
	if after := relaid(t, job, b, 100); after.Result.Value != 20 || after.Result.Bound != 20 || after.Relaid.Stay != 20 {
		t.Errorf("found %+v, of which %v stays, expected both pieces to be of the order that they are cut for", after.Result, after.Relaid.Stay)
	}
}

// TestRelay_lesserCutter: the cutter takes 30 mm no more. A set of two such straps that are cut, and of one of 20 mm that is
// not, is made, and no other of that order.
func TestRelay_lesserCutter(t *testing.T) {
	both := pieces("A", 2, 300, 30, 10)
	both.Parts[0].Count = 2
	both.Parts = append(both.Parts, nest.Part{Name: "narrow", Leather: "strap", Use: "load", Length: 300, Width: 20, Count: 1})
	job := nest.Job{
		Hides: []*hide.Hide{sheet(t, "s", "strap", 600, 80)}, Orders: []nest.Order{both, pieces("B", 2, 300, 20, 3)},
		Uses: uses(), Tools: nest.Tools{Mark: 10, CutterMin: 10, CutterMax: 100},
	}
	plan := laid(t, job, Options{})
	if plan.Result.Value != 20 {
		t.Fatalf("worth %v, expected both sets", plan.Result.Value)
	}
	b := plan.Begin()
	for _, piece := range plan.Pieces {
		if piece.Set == 1 && piece.Part == "main" {
			i := slices.IndexFunc(b.Plan.Pieces, func(p nest.Piece) bool { return slices.Equal(p.Outline, piece.Outline) })
			if err := b.CutPiece(i); err != nil {
				t.Fatal(err)
			}
		}
	}
	job.Tools.CutterMax = 25
	after := relaid(t, job, b, 400)
	if r := after.Result; r.Value < 10 || r.Bound < r.Value || len(after.Unplaced) == 0 || after.Unplaced[0].Why != "the strap cutter does not take that width" {
		t.Errorf("worth %v of %v, unplaced %v: expected one set of the first order", r.Value, r.Bound, after.Unplaced)
	}
}

// TestRelay_widerWaste: a scar keeps two straps 20 mm apart, and the cutter now rips off no less than 30. They are not
// both laid again, but both stay where they are cut.
func TestRelay_widerWaste(t *testing.T) {
	scar := hide.Flaw{Kind: "cut", Stroke: &hide.Stroke{Line: []orb.Point{{0, 40}, {300, 40}}, Width: 18}}
	job := nest.Job{
		Hides: []*hide.Hide{withFlaws(t, sheet(t, "s", "strap", 300, 85), scar)}, Orders: []nest.Order{pieces("A", 2, 300, 30, 10)},
		Uses: uses(), Tools: nest.Tools{Mark: 10, CutterMin: 20, CutterMax: 100},
	}
	plan := laid(t, job, Options{})
	if plan.Result.Value != 20 {
		t.Fatalf("worth %v, expected both straps", plan.Result.Value)
	}
	job.Tools.CutterMin = 30
	if r := relaid(t, job, plan.Begin(), 100).Result; r.Value != 10 || r.Bound != 10 {
		t.Errorf("worth %v of %v, expected one strap", r.Value, r.Bound)
	}
	b := plan.Begin()
	b.Cut("s", 1)
	b.Cut("s", 2)
	if r := relaid(t, job, b, 100).Result; r.Value != 20 || r.Bound != 20 {
		t.Errorf("worth %v of %v, expected the two straps that are cut", r.Value, r.Bound)
	}
}
