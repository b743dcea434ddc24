package strip

import (
	"math"
	"math/rand/v2"
	"testing"

	"strapwise/nest/trial"
)

// TestForage: bands that a forager makes known lie where it asked, and some are new; what is sold
// in the end is, unless it gave up, no more of a kind than the lay lacks.
func TestForage(t *testing.T) {
	p := problemOf(t, trial.Worth(trial.Bend(1, 10), 1))
	s := newSearch(p, newShapes(), 1)
	s.first()
	s.price = p.shares
	f := &forager{s: s, market: newBound(p, s.known, p.whole()), random: rand.New(rand.NewPCG(1, 1))}
	agreed := 0
	for range 8 {
		l, before := s.best.clone(), len(s.known.all)
		at := p.cleared(l, p.used(), f.random)[0]
		lo, hi, _, _ := p.between(l, at.ground, at.y)
		rounds := f.ask(l, at.ground, lo, hi, never)
		if len(s.known.all) == before {
			t.Errorf("between %d and %d: no band is new", lo, hi)
		}
		for _, sh := range s.known.all[before:] {
			if sh.y < lo || sh.y+sh.depth > hi {
				t.Errorf("asked between %d and %d: made a band known from %d to %d", lo, hi, sh.y, sh.y+sh.depth)
			}
		}
		if rounds == forageRounds {
			continue
		}
		agreed++
		for k, n := range f.market.hides[at.ground].ways[0].laid {
			if wanted := max(0, p.demand[k]-l.laid[k]); n > float64(wanted) {
				t.Errorf("between %d and %d: %v pieces of kind %d sold of %d wanted, after %d rounds", lo, hi, n, k, wanted, rounds)
			}
		}
	}
	if agreed == 0 {
		t.Error("no asking came to what is wanted")
	}
}

// TestIdle: contests count as idle in a row, and one that finds a better lay is not.
func TestIdle(t *testing.T) {
	s := newSearch(problemOf(t, trial.Worth(trial.Bend(1, 10), 1)), newShapes(), 1)
	s.first()
	idle, found, nothing := 0, 0, 0
	for s.held < 6 {
		held, worth := s.held, s.worth
		for s.held == held {
			if _, err := s.round(40, math.Inf(1), never); err != nil {
				t.Fatal(err)
			}
		}
		if idle++; s.worth > worth {
			idle, found = 0, found+1
		} else {
			nothing++
		}
		if s.idle != idle {
			t.Errorf("contest %d: %d idle in a row, want %d", s.held, s.idle, idle)
		}
	}
	if found == 0 || nothing == 0 {
		t.Errorf("%d contests found better, %d nothing: want some of both", found, nothing)
	}
}
