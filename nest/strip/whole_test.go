package strip

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"

	"strapwise/hide"
	"strapwise/nest"
)

func never() bool { return false }

// wholeOf is the bound of all plans of a job, as far as so much asking lowers it.
func wholeOf(t *testing.T, p *problem, asked int) (before, after float64) {
	t.Helper()
	b := newBound(p, newShapes(), p.whole())
	if err := b.improve(boundRounds, 0, never); err != nil {
		t.Fatal(err)
	}
	before = b.worth()
	if err := newWhole(b, nil).improve(asked, 0, never); err != nil {
		t.Fatal(err)
	}
	return before, b.worth()
}

// TestNoHalfSets: a sheet holds two long pieces or two short ones. A set takes three long ones,
// which no lay gives, and is worth 90; a short piece is worth 20. A mixture of lays makes
// two thirds of the set, and no plan more than two short pieces.
func TestNoHalfSets(t *testing.T) {
	three := pieces("A", 1, 300, 30, 90)
	three.Parts[0].Count = 3
	job := nest.Job{
		Hides: []*hide.Hide{sheet(t, "s", "strap", 600, 30)}, Orders: []nest.Order{three, pieces("B", 2, 290, 30, 20)},
		Uses: uses(), Tools: nest.Tools{Mark: 10, CutterMin: 10, CutterMax: 200},
	}
	before, after := wholeOf(t, problemOf(t, job), 50)
	if before != 60 || after != 40 {
		t.Errorf("bounded by %v, then by %v, want 60 and 40", before, after)
	}
	if plan := laid(t, job, Options{}); !plan.Result.Proven || plan.Result.Value != 40 {
		t.Errorf("laid %v of %v, want 40, proven", plan.Result.Value, plan.Result.Bound)
	}
}

// TestNoHalfSetsOfWhatIsLeft: four strips hold two long pieces each, so two of the sets of three,
// and two short ones, and so they do when three are ripped off, each loose, of which there are many.
func TestNoHalfSetsOfWhatIsLeft(t *testing.T) {
	three := pieces("A", 3, 300, 30, 90)
	three.Parts[0].Count = 3
	job := nest.Job{
		Hides: []*hide.Hide{sheet(t, "s", "strap", 600, 120)}, Orders: []nest.Order{three, pieces("B", 2, 290, 30, 20)},
		Uses: uses(), Tools: nest.Tools{Mark: 10, CutterMin: 10, CutterMax: 200},
	}
	plan := laid(t, job, Options{})
	left := plan.Begin()
	left.Rip("s", 3)
	p, err := newProblemOn(job, &begun{plan: &left.Plan}, nil)
	if err != nil {
		t.Fatal(err)
	}
	if len(p.grounds) != 4 {
		t.Fatalf("found %d grounds, want three loose strips and what lies beyond", len(p.grounds))
	}
	if before, after := wholeOf(t, p, 50); before != 240 || after != 220 {
		t.Errorf("bounded by %v, then by %v, want 240 and 220", before, after)
	}
}

// wideOrNarrow asks for a set of a wide piece and two narrow ones, and for two wide ones and four narrow ones.
func wideOrNarrow(wide, narrow float64) []nest.Order {
	both := pieces("A", 1, 300, 60, 50)
	orders := []nest.Order{both, pieces("B", 1, 300, 60, wide), pieces("C", 1, 300, 30, narrow)}
	orders[0].Parts = append(orders[0].Parts, orders[2].Parts[0])
	orders[0].Parts[1].Name, orders[0].Parts[1].Count = "narrow", 2
	orders[1].Parts[0].Count, orders[2].Parts[0].Count = 2, 4
	return orders
}

// TestHideIsRippedOnce: a sheet is one strip, of two wide pieces, or two strips, of four narrow ones. A
// set takes one and two, so that half of each lay makes it, and no plan does. Two wide pieces are worth less, and so are
// four narrow ones, in turn the more: what is found of one way to rip the sheet says nothing of the other.
func TestHideIsRippedOnce(t *testing.T) {
	for _, worth := range [][2]float64{{0, 0}, {20, 15}, {15, 20}} {
		job := nest.Job{
			Hides: []*hide.Hide{sheet(t, "s", "strap", 600, 60)}, Orders: wideOrNarrow(worth[0], worth[1]),
			Uses: uses(), Tools: nest.Tools{Mark: 10, CutterMin: 10, CutterMax: 200},
		}
		most := max(worth[0], worth[1])
		if before, after := wholeOf(t, problemOf(t, job), 50); before != 50 || after != most {
			t.Errorf("%v: bounded by %v, then by %v, want 50 and %v", worth, before, after, most)
		}
		if plan := laid(t, job, Options{}); !plan.Result.Proven || plan.Result.Value != most {
			t.Errorf("%v: laid %v of %v, want %v, proven", worth, plan.Result.Value, plan.Result.Bound, most)
		}
	}
}

// TestRestIsRippedOnce: the same of the half of a sheet that is left, in few steps, though the bound begins far
// from what can be laid.
func TestRestIsRippedOnce(t *testing.T) {
	const steps = 780 // one contest, so that parts are asked after it alone
	job := nest.Job{
		Hides: []*hide.Hide{sheet(t, "s", "strap", 600, 120)}, Orders: append(wideOrNarrow(2, 1), pieces("D", 1, 600, 60, 60)),
		Uses: uses(), Tools: nest.Tools{Mark: 10, CutterMin: 10, CutterMax: 200},
	}
	plan := laid(t, job, Options{})
	begun := plan.Begin()
	begun.Cut("s", 1+slices.IndexFunc(plan.Hides[0].Strips, func(s nest.Strip) bool {
		return slices.ContainsFunc(plan.Pieces, func(p nest.Piece) bool { return p.Order == "D" && p.Strip == s.N })
	}))
	told := math.Inf(1)
	r, err := Relay(context.Background(), job, begun.Plan, Options{Steps: steps, Progress: func(_, bound float64) { told = bound }})
	if err != nil {
		t.Fatal(err)
	}
	if !r.Result.Proven || r.Result.Value != 62 || told != 62 {
		t.Errorf("laid %v of %v, told last %v, want 62, proven", r.Result.Value, r.Result.Bound, told)
	}
}

// TestSideOfTheBackbone: it is all the same on which side of its backbone a sheet lies.
func TestSideOfTheBackbone(t *testing.T) {
	bounded := func(y float64) float64 {
		h := newHide(t, hide.Spec{
			Name: "s", Leather: "strap", Form: "sheet", Backbone: []orb.Point{{0, 0}, {600, 0}},
			Outline: []orb.Point{{0, y}, {600, y}, {600, y + 60}, {0, y + 60}},
		})
		job := nest.Job{
			Hides: []*hide.Hide{h}, Uses: uses(),
			Orders: wideOrNarrow(20, 15),
			Tools:  nest.Tools{Mark: 1, CutterMin: 10, CutterMax: 200, Deepest: 60, Part: 50},
		}
		_, after := wholeOf(t, problemOf(t, job), 50)
		return after
	}
	if near, beyond := bounded(1), bounded(1-120); near != beyond || near == 0 { // whole widths apart
		t.Errorf("bounded by %v, and by %v on the other side", near, beyond)
	}
}

// TestWholeAgainstSlow: the bound is what the best sets are worth of which hides hold the pieces, as trying
// everything tells, far less at times than at first.
func TestWholeAgainstSlow(t *testing.T) {
	lowered := 0
	for seed := uint64(0); seed < 30; seed++ {
		p, _ := ofSets(t, seed)
		all, most := slowHoldsAll(t, p, p.demand, p.gap), 0.0
		everySets(p, func(sets []int, worth float64) {
			if worth > most && holds(all, p.making(sets).demand) {
				most = worth
			}
		})
		before, after := wholeOf(t, p, 1000)
		if math.Abs(after-most) > 1e-9 {
			t.Errorf("seed %d: bounded by %v, hides hold sets worth %v", seed, after, most)
		}
		if after < before {
			lowered++
		}
	}
	if lowered < 10 {
		t.Errorf("only %d of the bounds were lowered", lowered)
	}
}

// ofSets is a small problem of sets of several pieces; where no width is shared by two uses, two times of three, worth is exact.
func ofSets(t *testing.T, seed uint64) (*problem, *rand.Rand) {
	t.Helper()
	job, r := small(t, seed, 3)
	severalEach(&job, seed, r)
	return problemOf(t, job), r
}

// severalEach has each set of a small job take several pieces, and half of the jobs have bands of blocks.
func severalEach(job *nest.Job, seed uint64, r *rand.Rand) {
	for i := range job.Orders {
		job.Orders[i].Qty, job.Orders[i].Worth = 1+r.IntN(3), float64(10+r.IntN(20))
		for j := range job.Orders[i].Parts {
			job.Orders[i].Parts[j].Count = 1 + r.IntN(3)
			if seed%3 > 0 {
				job.Orders[i].Parts[j].Use = "load"
			}
		}
	}
	if seed%2 == 0 {
		job.Tools.Deepest, job.Tools.Part = 100, 30
	}
}

// everySets calls found for all sets that may be made, and what they are worth.
func everySets(p *problem, found func(sets []int, worth float64)) {
	sets := make([]int, len(p.rows))
	var every func(row int, worth float64)
	every = func(row int, worth float64) {
		if row == len(sets) {
			found(sets, worth)
			return
		}
		for n := range p.rows[row].qty + 1 {
			sets[row] = n
			every(row+1, worth+float64(n)*p.rows[row].worth)
		}
	}
	every(0, 0)
}

// TestPartsKeepPace: the larger the hide, the more steps go by for each part; fewer on a sheet, all
// of whose bands are alike.
func TestPartsKeepPace(t *testing.T) {
	steps := func(length, slant, depth, deepest float64) int {
		s := hide.Spec{Name: "s", Leather: "strap", Form: "bend", Outline: []orb.Point{{0, 0}, {length, 0}, {length - slant, depth}, {0, depth}}}
		job := nest.Job{
			Hides: []*hide.Hide{newHide(t, s)}, Uses: uses(),
			Orders: []nest.Order{pieces("A", 1, 300, 10, 90), pieces("B", 1, 400, 12, 90), pieces("C", 1, 500, 17, 90)},
			Tools:  nest.Tools{Mark: 1, CutterMin: 10, CutterMax: 200, Deepest: deepest, Part: 10},
		}
		p := problemOf(t, job)
		return newWhole(newBound(p, newShapes(), p.whole()), nil).steps()
	}
	plain, bend, side, sheet := steps(2000, 400, 900, 0), steps(1200, 400, 600, 100), steps(2400, 400, 900, 100), steps(2400, 0, 900, 100)
	if plain > bend || bend >= side || sheet >= side {
		t.Errorf("%d, %d, %d and %d steps for plain strips, bands of a bend, of a side and of a sheet", plain, bend, side, sheet)
	}
}

// TestPartsGiveUp: a set of more pieces of a kind than a packing tells apart is given up, and bounds all plans as it is.
func TestPartsGiveUp(t *testing.T) {
	one := pieces("A", 1, 60, 20, 90)
	one.Parts[0].Count = mostOfKind + 1
	job := nest.Job{
		Hides: []*hide.Hide{sheet(t, "s", "strap", 600, 200)}, Orders: []nest.Order{one},
		Uses: uses(), Tools: nest.Tools{Mark: 10, CutterMin: 10, CutterMax: 200},
	}
	looks := 0
	p := problemOf(t, job)
	b := newBound(p, newShapes(), p.whole())
	if err := newWhole(b, nil).improve(50, 0, func() bool { looks++; return looks > 10_000 }); err != nil {
		t.Fatal(err)
	}
	if looks > 10_000 || b.worth() != 90 {
		t.Errorf("%d looks at the time; bounded by %v, the set is worth 90", looks, b.worth())
	}
}

// TestFindsSets: a lay is found of sets that can be made, though sets worth more are asked for, and is not
// looked for again.
func TestFindsSets(t *testing.T) {
	job := bench(t, 3, 60, 4, 12)
	p := problemOf(t, job)
	plan := laid(t, job, Options{Steps: 2000})
	sets, worth := make([]int, len(p.rows)), 0.0
	for i := range p.rows {
		for _, s := range plan.Sets {
			if s.Order == p.rows[i].order.ID {
				sets[i] = s.Complete / 2
			}
		}
		worth += float64(sets[i]) * p.rows[i].worth
	}
	s := newSearch(p, newShapes(), 1)
	if got := s.find(sets, never); got < worth || worth == 0 {
		t.Fatalf("found lays worth %v for sets worth %v", got, worth)
	}
	for k, n := range p.making(sets).demand {
		if s.best.laid[k] < n {
			t.Errorf("found %d pieces of kind %d, want %d", s.best.laid[k], k, n)
		}
	}
	s.best, s.worth = p.emptyLay(), 0
	if got := s.find(sets, never); got != 0 {
		t.Errorf("looked again, and found %v", got)
	}
}

// TestLayFindsSetsOfParts: in few steps, that chains alone are too few for, a lay comes to the worth of the
// sets that a part of the bound ends with.
func TestLayFindsSetsOfParts(t *testing.T) {
	const steps = 40
	for _, seed := range []uint64{136, 188} {
		job, r := small(t, seed, 6)
		job.Tools.Mark = 5
		for i := range job.Orders {
			o := &job.Orders[i]
			o.Qty, o.Worth = 2+r.IntN(4), float64(10+r.IntN(30))
			for j := range o.Parts {
				o.Parts[j].Count = 1 + r.IntN(3)
			}
		}
		if plan := laid(t, job, Options{Steps: steps}); !plan.Result.Proven {
			t.Errorf("seed %d: laid %v of %v", seed, plan.Result.Value, plan.Result.Bound)
		}
	}
}

// TestMuchMoney: a bound is not a cent below what is laid, however much money the sets are worth.
func TestMuchMoney(t *testing.T) {
	for seed := range uint64(60) {
		r := rand.New(rand.NewPCG(seed, 77))
		job := nest.Job{Hides: []*hide.Hide{sheet(t, "s", "strap", 600, 90)}, Uses: uses(), Tools: nest.Tools{Mark: 10, CutterMin: 10, CutterMax: 100}}
		for i := range 6 {
			worth := math.Round(1e9*r.Float64()) / 100
			job.Orders = append(job.Orders, pieces(string(rune('A'+i)), 3, float64(100+10*r.IntN(20)), float64(20+10*r.IntN(2)), worth))
		}
		const half = 0.005
		if plan := laid(t, job, Options{Steps: 60}); plan.Result.Bound < plan.Result.Value-half {
			t.Errorf("seed %d: bounded by %.2f, laid %.2f", seed, plan.Result.Bound, plan.Result.Value)
		}
	}
}

// TestSettlesWhateverAnOrderIsWorth: prices settle, though one order is worth a million times all that can be made.
func TestSettlesWhateverAnOrderIsWorth(t *testing.T) {
	const many = 1000 // askings
	for seed := range uint64(150) {
		job, r := small(t, seed, 8)
		job.Tools.Deepest, job.Tools.Part = 100, 30
		for i := range job.Orders {
			job.Orders[i].Worth, job.Orders[i].Qty = 1e-3*float64(1+r.IntN(9)), 1+r.IntN(6)
		}
		dear := pieces("Z", 1, 5000, 30, []float64{1e4, 1e6, 1e9}[seed%3])
		dear.Parts = append(dear.Parts, job.Orders[0].Parts...)
		job.Orders = append(job.Orders, dear)
		p, asked := problemOf(t, job), 0
		if err := newBound(p, newShapes(), p.whole()).improve(boundRounds, 0, func() bool { asked++; return asked > many }); err != nil {
			t.Fatal(err)
		}
		if asked > many {
			t.Errorf("seed %d: asked over and over", seed)
		}
	}
}
