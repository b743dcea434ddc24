package strip

import (
	"math/rand/v2"
	"slices"
	"testing"
)

// TestRippingsHoldAllLays: every lay is of one part or the other of those that are ripped as it is,
// and of both only if it has no band over the mark.
func TestRippingsHoldAllLays(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	g, both := &ground{y0: -7, y1: 53}, 0
	random := func() (lies []run) {
		for y := r.IntN(8); y < 50; {
			b := run{y, min(60, y+1+r.IntN(12))}
			lies = append(lies, b)
			y = b.hi + max(0, r.IntN(12)-6)
		}
		return lies
	}
	for range 2000 {
		lies := random()
		of := &ripping{}
		holds := func(r *ripping, hide int, lies []run) bool {
			s := sweep{reach: r.reach(hide, g)}
			return s.holds(lies)
		}
		for range 5 {
			at := odds{hide: 1, over: r.IntN(60)}
			at.last = r.IntN(at.over + 1)
			near, far := of.parted(at, true), of.parted(at, false)
			over := slices.IndexFunc(lies, func(b run) bool { return b.lo <= at.over && at.over < b.hi })
			switch nearer, beyond := holds(near, 1, lies), holds(far, 1, lies); {
			case !holds(near, 0, lies) || !holds(far, 0, lies):
				t.Fatalf("%+v: a part of one hide's rips limits another's", at)
			case over < 0 && nearer && beyond:
				both++
			case over < 0:
				t.Fatalf("%+v: %v has no band there, found %v, %v", at, lies, nearer, beyond)
			case nearer != (lies[over].lo <= at.last) || beyond == nearer:
				t.Fatalf("%+v: %v begins at %d, found %v, %v", at, lies, lies[over].lo, nearer, beyond)
			}
			if other := random(); !holds(of, 1, other) && (holds(near, 1, other) || holds(far, 1, other)) {
				t.Fatalf("%+v: %v is of a part, and not of the whole", at, other)
			}
			of = near // that the lay is of
			if !holds(near, 1, lies) {
				of = far
			}
		}
	}
	if both < 1000 {
		t.Errorf("only %d lays had no band over a mark", both)
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
