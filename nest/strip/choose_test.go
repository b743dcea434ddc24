package strip

import (
	"context"
	"fmt"
	"math/rand/v2"
	"reflect"
	"runtime"
	"testing"

	"github.com/paulmach/orb"
	"github.com/shopspring/decimal"

	"strapwise/hide"
	"strapwise/nest"
)

// priced is a rectangle of leather that cost so much.
func priced(t testing.TB, name string, length, depth, cost float64) *hide.Hide {
	t.Helper()
	return newHide(t, hide.Spec{
		Name: name, Leather: "strap", Form: "sheet", Cost: decimal.NewFromFloat(cost),
		Outline: []orb.Point{{0, 0}, {length, 0}, {length, depth}, {0, depth}},
	})
}

// TestCheapestByHand: three straps that lie side by side on the cheap sheet,
// which is neither the least nor the first; and six that take it and the next. That
// another order cannot be made changes nothing, but then no least cost is told.
func TestCheapestByHand(t *testing.T) {
	for _, c := range []struct {
		straps int
		cost   float64
		lost   int
	}{{3, 20, 0}, {6, 50, 0}, {3, 20, 1}, {6, 50, 1}} {
		job := nest.Job{
			Orders: []nest.Order{pieces("A", c.straps, 500, 20, 10), pieces("long", c.lost, 900, 20, 10)}, Uses: uses(),
			Tools: nest.Tools{Mark: 1, CutterMin: 6, CutterMax: 100, Deepest: 60, Part: 25},
			Hides: []*hide.Hide{priced(t, "a", 510, 60, 30), priced(t, "b", 700, 60, 20), priced(t, "c", 510, 61, 45)},
		}
		least := c.cost * float64(1-c.lost)
		if r := laid(t, job, Options{}).Result; r.Value != float64(10*c.straps) || r.Cost != c.cost || r.CostBound != least {
			t.Errorf("%d straps, %d longer than any hide: %+v, want all others for %v, proven to be %v at the least", c.straps, c.lost, r, c.cost, least)
		}
	}
}

// TestCheapestAgainstSubsets lays every subset of the hides by itself: no choice
// that gives every set costs less than the bound says, and the choice found is
// seldom dearer than the cheapest of them.
func TestCheapestAgainstSubsets(t *testing.T) {
	dearer, chosen := 0, 0
	for seed := range uint64(8) {
		r := rand.New(rand.NewPCG(seed, 4))
		job := nest.Job{Uses: uses(), Tools: nest.Tools{Mark: 10, CutterMin: 10, CutterMax: 100, Deepest: 60, Part: 50}}
		for i := range 4 {
			job.Hides = append(job.Hides, priced(t, fmt.Sprint("h", i), float64(300+10*r.IntN(40)), float64(60+10*r.IntN(10)), float64(10+r.IntN(40))))
		}
		for i := range 3 {
			job.Orders = append(job.Orders, pieces(string(rune('A'+i)), 2+r.IntN(3), float64(100+10*r.IntN(15)), float64(20+10*r.IntN(3)), 5))
		}
		got := laid(t, job, Options{}).Result
		all := 0.0
		for _, o := range job.Orders {
			all += float64(o.Qty) * o.Worth
		}
		if got.Value != all {
			continue
		}
		chosen++
		best := got.Cost
		for set := 1; set < 1<<len(job.Hides); set++ {
			some := job
			some.Hides = nil
			for i, h := range job.Hides {
				if set>>i&1 == 1 {
					some.Hides = append(some.Hides, h)
				}
			}
			if one := laid(t, some, Options{Steps: 400}); one.Result.Value == all {
				best = min(best, nest.Cost(some, one))
			}
		}
		if got.CostBound > best+1e-6 || got.CostBound <= 0 {
			t.Errorf("seed %d: no choice is said to cost less than %v, one costs %v", seed, got.CostBound, best)
		}
		if got.Cost > best+1e-6 {
			dearer++
			t.Logf("seed %d: chosen for %v, the cheapest costs %v", seed, got.Cost, best)
		}
	}
	if chosen < 5 || dearer > 1 {
		t.Errorf("of %d choices %d are dearer than they need be", chosen, dearer)
	}
}

// TestProcessors: how many processors there are changes nothing in a plan, nor in the
// choice of hides.
func TestProcessors(t *testing.T) {
	flawed := bench(t, 2, 60, 12, 40)
	flawed.Tools.Deepest = 2 * 25.4
	rectangle := bench(t, 3, 60, 0, 12)
	rectangle.Tools.Deepest, rectangle.Hides = 3*25.4, []*hide.Hide{sheet(t, "s", rectangle.Hides[0].Leather(), 900, 500)}
	for name, job := range map[string]nest.Job{"two bends": flawed, "six sheets that cost": rackOf(t, 6), "one rectangle": rectangle} {
		var plans []nest.Plan
		for _, n := range []int{1, 4} {
			before := runtime.GOMAXPROCS(n)
			plan, err := Lay(context.Background(), job, Options{Seed: 1, Steps: 1200})
			runtime.GOMAXPROCS(before)
			if err != nil {
				t.Fatal(err)
			}
			plans = append(plans, plan)
		}
		if !reflect.DeepEqual(plans[0], plans[1]) {
			t.Errorf("%s: one processor gives %+v, four %+v", name, plans[0].Result, plans[1].Result)
		}
	}
}
