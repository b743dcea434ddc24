package strip

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"strapwise/hide"
	"strapwise/nest"
)

// slowRun is what sweep says of itself, mark by mark: the most between two marks, where a band
// adjoins or not.
func slowRun(s *sweep, g *ground, lo, hi int, near, far bool) int32 {
	start, free, next := make([]int32, hi-lo+1), make([]int32, hi-lo+1), make([]int32, hi-lo+1)
	effort := s.effort()
	for y := hi - 1; y >= lo; y-- {
		best := int32(0)
		try := func(v int32, depth int) {
			end := y + depth
			if v > effort && end <= hi && (!far || end == hi || hi-end >= s.gap) {
				best = max(best, v-effort+next[end-lo])
			}
		}
		for i := range g.lanes {
			if y+g.lanes[i].width <= g.y1 {
				v, _ := s.worth(g.strip(i, y))
				try(v, g.lanes[i].width)
			}
		}
		known, _ := s.shapes.from(g, y)
		for _, i := range known {
			v := int32(0)
			for j := range s.shapes.all[i].rips {
				one, _ := s.worth(&s.shapes.all[i].rips[j])
				v += one
			}
			try(v, s.shapes.all[i].depth)
		}
		start[y-lo], free[y-lo], next[y-lo] = best, max(best, free[y+1-lo]), best
		if y+s.gap < hi {
			next[y-lo] = max(best, free[y+s.gap-lo])
		}
	}
	if near {
		return next[0]
	}
	return free[0]
}

// TestSweepMarkByMark: a sweep that compares many marks at once, and keeps what it knows from one
// window to the next, comes to what it would mark by mark; and the bands it takes fetch that.
func TestSweepMarkByMark(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 6))
	for seed := range uint64(6) {
		job := bench(t, seed, 60, 10, 12)
		if seed >= 4 { // a rectangle, where bands are alike from many near edges
			job.Hides = []*hide.Hide{sheet(t, "s", job.Hides[0].Leather(), 1500, 600)}
		}
		job.Tools.Deepest, job.Tools.Effort = 3*25.4, 0.02*float64(seed%2)
		p := problemOf(t, job)
		g := p.grounds[0]
		b := newBound(p, newShapes(), p.whole())
		if err := b.improve(2, 0, never); err != nil {
			t.Fatal(err)
		}
		s := sweep{p: p, shapes: b.shapes, toll: job.Tools.Effort}
		for range 40 {
			price := slices.Clone(b.price)
			for k := range price {
				price[k] *= math.Exp(0.3 * r.NormFloat64())
			}
			unit := p.unitFor(price)
			s.gap, s.caps = 1+r.IntN(30), make([]int, len(p.kinds))
			for k := range s.caps {
				s.caps[k] = r.IntN(4)
			}
			set := s.price
			for range 3 {
				lo, hi := g.y0+r.IntN(g.y1-g.y0), g.y0+r.IntN(g.y1-g.y0+1)
				lo, hi = min(lo, hi), max(lo, hi)
				near, far := r.IntN(2) == 0, hi < g.y1 && r.IntN(2) == 0
				set(g, inUnits(price, unit, nil), unit)
				set = s.lower
				got, want := s.run(g, lo, hi, near, far), slowRun(&s, g, lo, hi, near, far)
				if got != want {
					t.Fatalf("seed %d: %d from mark %d to %d with bands adjoining %v, %v; mark by mark %d", seed, got, lo, hi, near, far, want)
				}
				fetched := int32(0)
				s.walk(g, lo, hi, near, func(_, _ int, rips []rip) {
					for i := range rips {
						v, _ := s.worth(&rips[i])
						fetched += v
					}
					fetched -= s.effort()
				})
				if fetched != got {
					t.Fatalf("seed %d: the bands taken from mark %d to %d fetch %d, not %d", seed, lo, hi, fetched, got)
				}
				k := r.IntN(len(price)) // of which no more is wanted
				price[k], s.caps[k] = 0, 0
			}
		}
	}
}

// TestSameUnitsOfOtherMoney: prices twice as high are as many units of money as before, each worth twice
// as much, in which a cut costs half; a hide sells then what it does to one that never asked before.
func TestSameUnitsOfOtherMoney(t *testing.T) {
	job := nest.Job{
		Hides: []*hide.Hide{sheet(t, "s", "strap", 600, 90)}, Uses: uses(),
		Orders: []nest.Order{pieces("A", 3, 100, 30, 40), pieces("B", 4, 150, 20, 13)},
		Tools:  nest.Tools{Mark: 10, CutterMin: 10, CutterMax: 100, Effort: 1},
	}
	p := problemOf(t, job)
	b := newBound(p, newShapes(), p.whole())
	for _, price := range [][]float64{{8, 4}, {16, 8}, {32, 16}} {
		b.ask(slices.Clone(price), allBands)
		afresh := newBound(p, newShapes(), p.whole())
		afresh.ask(slices.Clone(price), allBands)
		if got, want := b.hides[0].sold(allBands), afresh.hides[0].sold(allBands); got != want {
			t.Errorf("at %v the hide sells %v, asked for the first time %v", price, got, want)
		}
	}
}

// TestManyUsesOfAWidth: twenty uses share a hide that is one strip, and each might fill it.
func TestManyUsesOfAWidth(t *testing.T) {
	job := nest.Job{Hides: []*hide.Hide{sheet(t, "s", "strap", 600, 30)}, Uses: uses(), Tools: nest.Tools{Mark: 10, CutterMin: 10, CutterMax: 100}}
	for i := range 20 {
		use := hide.Use{Name: fmt.Sprint("use ", i), Quality: hide.Firm}
		o := pieces(fmt.Sprint("order ", i), 3, 100, 30, 10)
		o.Parts[0].Use, job.Uses[use.Name], job.Orders = use.Name, use, append(job.Orders, o)
	}
	if r := laid(t, job, Options{Steps: 60}).Result; r.Value != 60 || r.Bound != 60 {
		t.Errorf("laid %v of %v, want six pieces and no more", r.Value, r.Bound)
	}
}
