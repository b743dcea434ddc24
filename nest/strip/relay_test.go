package strip

import (
	"context"
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"

	"strapwise/hide"
	"strapwise/hide/plane"
	"strapwise/nest"
)

// straps is a job of straps 600 mm long from a sheet: as many sets of 30 and of
// 40 mm as told, worth as much.
func straps(t testing.TB, h *hide.Hide, narrow, wide int) nest.Job {
	t.Helper()
	order := func(id string, width float64, qty int) nest.Order {
		return nest.Order{ID: id, FirstSet: 1, Qty: qty, Worth: width, Parts: []nest.Part{
			{Name: "main", Leather: "bridle", Use: "load", Length: 600, Width: width, Count: 1},
		}}
	}
	return nest.Job{
		Orders: []nest.Order{order("N", 30, narrow), order("W", 40, wide)}, Hides: []*hide.Hide{h}, Uses: uses(),
		Tools: nest.Tools{Mark: 1, CutterMin: 6, CutterMax: 100, Grips: 20, Deepest: 100, Part: 25},
	}
}

func laidOut(t testing.TB, job nest.Job, steps int) nest.Plan {
	t.Helper()
	plan, err := Lay(context.Background(), job, Options{Seed: 1, Steps: steps})
	if err != nil {
		t.Fatal(err)
	}
	return plan
}

// relaid lays again, and has the plan checked.
func relaid(t testing.TB, job nest.Job, b *nest.Begun, steps int) nest.Plan {
	t.Helper()
	plan, err := Relay(context.Background(), job, b.Plan, Options{Seed: 1, Steps: steps})
	if err != nil {
		t.Fatal(err)
	}
	if v := nest.CheckRelaid(job, b.Plan, plan); v != nil {
		t.Fatalf("%v", v)
	}
	return plan
}

func withFlaws(t testing.TB, h *hide.Hide, flaws ...hide.Flaw) *hide.Hide {
	t.Helper()
	return newHide(t, hide.Spec{Name: h.Name(), Leather: h.Leather(), Form: h.Form(), Outline: h.Outline().Corners(), Flaws: flaws})
}

func hole(x, y, size float64) hide.Flaw {
	return hide.Flaw{Kind: "hole", Spot: &hide.Spot{At: orb.Point{x, y}, Diameter: size}}
}

// Where nothing has changed, nothing is changed.
func TestRelay_asItWas(t *testing.T) {
	job := straps(t, sheet(t, "s", "bridle", 1300, 300), 6, 6)
	plan := laidOut(t, job, 200)
	for n := range len(plan.Hides[0].Bands) + 1 {
		b := plan.Begin()
		b.Rip("s", n)
		after := relaid(t, job, b, 50)
		if c := nest.Compare(job, plan, b.Plan, after); c.Kept != c.Marks || c.Lost != nil || len(c.Moved) > 0 {
			t.Errorf("%d bands ripped: found %d of %d marks kept, %d pieces moved, lost %v", n, c.Kept, c.Marks, len(c.Moved), c.Lost)
		}
	}
}

// Where all that can is to stay, what is not on the flaw stays, whatever could be
// gained.
func TestRelay_stay(t *testing.T) {
	job := straps(t, sheet(t, "s", "bridle", 1300, 300), 6, 6)
	plan := laidOut(t, job, 200)
	b := plan.Begin()
	b.Cut("s", 2)
	todo := slices.IndexFunc(b.Plan.Pieces, func(p nest.Piece) bool { return !p.Cut })
	at := orb.MultiPoint(b.Plan.Pieces[todo].Outline).Bound().Center()
	job.Hides[0] = withFlaws(t, job.Hides[0], hole(at[0], at[1], 5))
	job.Orders = append(slices.Clone(job.Orders), nest.Order{ID: "D", FirstSet: 1, Qty: 1, Worth: 500, Parts: []nest.Part{
		{Name: "main", Leather: "bridle", Use: "load", Length: 1250, Width: 100, Count: 1},
	}})
	after, err := Relay(context.Background(), job, b.Plan, Options{Seed: 1, Steps: 200, Stay: true})
	if err != nil {
		t.Fatal(err)
	}
	c := nest.Compare(job, plan, b.Plan, after)
	if lost := len(c.Lost); lost > 1 || c.Marks-c.Kept > 4 {
		t.Errorf("found %d sets lost and %d of %d marks kept, expected all but those of one piece", lost, c.Kept, c.Marks)
	}
	free := relaid(t, job, b, 200)
	if d := nest.Compare(job, plan, b.Plan, free); d.Kept >= c.Kept || free.Result.Value <= after.Result.Value || free.Relaid.Stay != after.Result.Value {
		t.Errorf("found %d marks kept and a worth of %.1f, expected fewer and more than %d and %.1f, which it tells: %.1f", d.Kept, free.Result.Value, c.Kept, after.Result.Value, free.Relaid.Stay)
	}
}

// When all is cut the bound is what there is.
func TestRelay_allCut(t *testing.T) {
	job := straps(t, sheet(t, "s", "bridle", 1300, 300), 4, 4)
	plan := laidOut(t, job, 200)
	b := plan.Begin()
	for n := range plan.Hides[0].Bands {
		b.Cut("s", n+1)
	}
	after := relaid(t, job, b, 50)
	if r := after.Result; !r.Proven || r.Value != plan.Result.Value {
		t.Errorf("found %+v, expected %.1f, proven", r, plan.Result.Value)
	}
}

// A band that is off the hide is cut anew round a find: what was a strap of 40 mm
// is one of 30 mm, beside the flaw.
func TestRelay_looseBand(t *testing.T) {
	h := sheet(t, "s", "bridle", 640, 70)
	job := straps(t, h, 1, 1)
	job.Tools.Grips = 0
	job.Orders[0].Qty = 1
	plan := laidOut(t, job, 50)
	if plan.Result.Value != 70 {
		t.Fatalf("found a worth of %.1f, expected both straps", plan.Result.Value)
	}
	wide := slices.IndexFunc(plan.Pieces, func(p nest.Piece) bool { return p.Order == "W" })
	b := plan.Begin()
	b.Rip("s", 2)
	at := orb.MultiPoint(plan.Pieces[wide].Outline).Bound()
	job.Hides[0] = withFlaws(t, h, hole(300, at.Max[1]-3, 5))
	job.Orders[0].Qty = 2
	after := relaid(t, job, b, 50)
	if r := after.Result; r.Value != 60 || !r.Proven {
		t.Errorf("found %+v, expected two narrow straps, proven", r)
	}
	if n := len(after.Hides[0].Bands); n != 2 {
		t.Errorf("found %d bands, expected the two that are ripped", n)
	}
}

// The rest of a strip that is cut half is cross-cut anew.
func TestRelay_restOfStrip(t *testing.T) {
	h := sheet(t, "s", "bridle", 1900, 40)
	job := straps(t, h, 0, 3)
	plan := laidOut(t, job, 50)
	b := plan.Begin()
	first := slices.IndexFunc(plan.Pieces, func(p nest.Piece) bool { return p.FromMM == 0 })
	if err := b.CutPiece(first); err != nil {
		t.Fatal(err)
	}
	job.Hides[0] = withFlaws(t, h, hole(610, 20, 10))
	after := relaid(t, job, b, 50)
	if r := after.Result; r.Value != 120 || !r.Proven {
		t.Errorf("found %+v, expected three straps, the others moved past the hole", r)
	}
}

// What was cut for an order that is dropped serves another that asks for the same;
// what none asks for is spare, and of use again when one does.
func TestRelay_book(t *testing.T) {
	job := straps(t, sheet(t, "s", "bridle", 1300, 300), 3, 3)
	plan := laidOut(t, job, 100)
	b := plan.Begin()
	for i, p := range plan.Pieces {
		if p.Order == "W" {
			if err := b.CutPiece(i); err != nil {
				t.Fatal(err)
			}
		}
	}
	other := job
	other.Orders = []nest.Order{job.Orders[0], job.Orders[1]}
	other.Orders[1].ID, other.Orders[1].Qty = "X", 2
	after := relaid(t, other, b, 50)
	named := nest.Compare(other, plan, b.Plan, after).Named
	if len(named) != 2 || len(after.Spare) != 1 || after.Result.Value != 3*30+2*40 {
		t.Errorf("found %v renamed and %d spare, expected 2 and 1; worth %.1f", named, len(after.Spare), after.Result.Value)
	}
	back := relaid(t, job, after.Begin(), 50)
	if back.Result.Value != plan.Result.Value || len(back.Spare) != 0 {
		t.Errorf("found a worth of %.1f and %d spare, expected %.1f and none", back.Result.Value, len(back.Spare), plan.Result.Value)
	}
}

// A spoilt piece is cut anew, and its leather is not used again.
func TestRelay_spoilt(t *testing.T) {
	job := straps(t, sheet(t, "s", "bridle", 1300, 300), 2, 2)
	plan := laidOut(t, job, 100)
	b := plan.Begin()
	if err := b.Spoil(0); err != nil {
		t.Fatal(err)
	}
	after := relaid(t, job, b, 50)
	if len(after.Spoilt) != 1 || after.Result.Value != plan.Result.Value {
		t.Errorf("found %d spoilt and a worth of %.1f, expected 1 and %.1f", len(after.Spoilt), after.Result.Value, plan.Result.Value)
	}
	if again := relaid(t, job, after.Begin(), 50); len(again.Spoilt) != 1 {
		t.Errorf("found %d spoilt after another relay, expected 1", len(again.Spoilt))
	}
}

// Whatever is cut, found, spoilt and asked for: the plan keeps all rules, the bound
// is not below what some lay has, and the same steps give the same bytes.
func TestRelay_random(t *testing.T) {
	for seed := range uint64(30) {
		rng := rand.New(rand.NewPCG(seed, 1))
		h := sheet(t, "s", "bridle", 1000+600*rng.Float64(), 200+200*rng.Float64())
		job := straps(t, h, rng.IntN(8), 1+rng.IntN(8))
		job.Orders = append(job.Orders, nest.Order{ID: "K", FirstSet: 1, Qty: rng.IntN(6), Worth: 9.5, Parts: []nest.Part{
			{Name: "main", Leather: "bridle", Use: "load", Length: 150, Width: 40, Count: 1},
			{Name: "keeper", Leather: "bridle", Use: "hidden", Length: 70, Width: 12, Count: 2},
		}})
		job.Tools.Effort = []float64{0, 0.25}[rng.IntN(2)]
		plan := laidOut(t, job, 60)
		var flaws []hide.Flaw
		for turn := range 3 {
			b := plan.Begin()
			if len(plan.Hides) > 0 {
				n := rng.IntN(len(plan.Hides[0].Bands) + 1)
				for i := range n {
					b.Cut("s", i+1)
				}
				if n < len(plan.Hides[0].Bands) {
					[]func(string, int){b.Rip, b.CutApart}[rng.IntN(2)]("s", n+1)
				}
				if i := rng.IntN(len(plan.Pieces)); len(b.Plan.Pieces) > 0 {
					if err := []func(int) error{b.CutPiece, b.Spoil}[rng.IntN(2)](i); err != nil {
						t.Fatal(err)
					}
				}
			}
			flaws = append(flaws, hole(h.Outline().Bound().Max[0]*rng.Float64(), h.Outline().Bound().Max[1]*rng.Float64(), 4+20*rng.Float64()))
			job.Hides = []*hide.Hide{withFlaws(t, h, flaws...)}
			job.Orders = slices.Clone(job.Orders)
			job.Orders[rng.IntN(3)].Qty = rng.IntN(8)
			b.Judge(job, func(nest.Piece) bool { return rng.IntN(2) == 0 })
			name := fmt.Sprintf("seed %d, turn %d", seed, turn)
			t.Run(name, func(t *testing.T) {
				after := relaid(t, job, b, 40)
				if again := relaid(t, job, b, 40); string(again.Encode()) != string(after.Encode()) {
					t.Error("found other bytes from the same steps")
				}
				stay, err := Relay(context.Background(), job, b.Plan, Options{Seed: 1, Steps: 40, Stay: true})
				if err != nil {
					t.Fatal(err)
				}
				if v := nest.CheckRelaid(job, b.Plan, stay); v != nil {
					t.Errorf("what stays: %v", v)
				}
				if stay.Result.Value > after.Result.Value || after.Relaid.Stay > after.Result.Value {
					t.Errorf("found %.2f and %.2f where all stays that can, and %.2f where more may be gained", stay.Result.Value, after.Relaid.Stay, after.Result.Value)
				}
				if more := relaid(t, job, b, 400); more.Result.Value > after.Result.Bound+1e-6 {
					t.Errorf("found a bound of %.2f, and a lay worth %.2f", after.Result.Bound, more.Result.Value)
				}
				plan = after
			})
		}
	}
}

// A part of a hide is the leather that Check would let pieces lie on.
func TestParts(t *testing.T) {
	job := straps(t, sheet(t, "s", "bridle", 1300, 300), 6, 6)
	plan := laidOut(t, job, 100)
	b := plan.Begin()
	b.Cut("s", 1)
	b.Rip("s", 3)
	g, err := newProblemOn(job, &begun{plan: &b.Plan}, nil)
	if err != nil {
		t.Fatal(err)
	}
	if n := len(g.grounds); n != 3 {
		t.Fatalf("found %d parts, expected two loose bands and the hide beyond", n)
	}
	bands := plan.Hides[0].Bands
	for i, ground := range g.grounds[:2] {
		want := plane.Span{Lo: bands[i+1].FromMM, Hi: bands[i+1].FromMM + bands[i+1].DepthMM}
		got := plane.Span{Lo: float64(ground.off + ground.y0), Hi: float64(ground.off + ground.y1)}
		if edge := plan.Hides[0].Strike.EdgeMM; got.Lo != want.Lo+edge || got.Hi != want.Hi+edge {
			t.Errorf("band %d: found %v, expected %v from %v", i+2, got, want, edge)
		}
	}
	if far := bands[2].FromMM + bands[2].DepthMM + plan.Hides[0].Strike.EdgeMM; float64(g.grounds[2].y0) != far || g.grounds[2].y1 != 300 {
		t.Errorf("found the hide beyond from %d to %d, expected %v to 300", g.grounds[2].y0, g.grounds[2].y1, far)
	}
}
