package strip

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"strapwise/nest"
)

// leftOf is the problem of what is left when some of a job's plan is cut: of every hide a band is ripped, or cut
// apart, or a piece is cut; or false if nothing was laid.
func leftOf(t *testing.T, job nest.Job, r *rand.Rand) (*problem, bool) {
	t.Helper()
	plan := laidOut(t, job, 20)
	if len(plan.Hides) == 0 {
		return nil, false
	}
	b := plan.Begin()
	for _, l := range plan.Hides {
		switch n := 1 + r.IntN(len(l.Bands)); r.IntN(3) {
		case 0:
			b.Rip(l.Hide, n)
		case 1:
			b.CutApart(l.Hide, n)
		case 2:
			if err := b.CutPiece(r.IntN(len(plan.Pieces))); err != nil {
				t.Fatal(err)
			}
		}
	}
	before := &begun{plan: &b.Plan}
	p, err := newProblemOn(job, before, nil)
	if err != nil {
		t.Fatal(err)
	}
	return p, true
}

// slowHoldsLeft is slowHoldsAll with the pieces that are cut already.
func slowHoldsLeft(t *testing.T, p *problem, want []int) [][]int {
	t.Helper()
	all := slowHoldsAll(t, p, want, p.gap)
	for _, v := range all {
		for k := range v {
			v[k] += p.gifts[k]
		}
	}
	return all
}

// TestPackingOfWhatIsLeft: packings tell of ripped hides, and of bands, blocks and strips that lie loose, what
// trying everything does.
func TestPackingOfWhatIsLeft(t *testing.T) {
	told, loose := map[answer]int{}, 0
	for seed := uint64(0); seed < 60; seed++ {
		r := rand.New(rand.NewPCG(seed, 99))
		job, _ := cutSmall(t, seed)
		if seed%3 != 0 {
			job.Tools.Deepest, job.Tools.Part = float64(60+10*r.IntN(4)), float64(40+10*r.IntN(3))
		}
		if seed%2 == 0 {
			job.Tools.Grips = 0
		}
		job.Tools.CutterMin = float64(10 * (1 + r.IntN(2)))
		p, some := leftOf(t, job, r)
		if !some {
			continue
		}
		for _, g := range p.grounds {
			if g.part.loose {
				loose++
			}
		}
		most := make([]int, len(p.kinds))
		for k := range most {
			most[k] = 1 + r.IntN(6)
		}
		all := slowHoldsLeft(t, p, most)
		ask := func(price []float64, b *bound) *bound {
			if b == nil {
				b = newBound(p, newShapes(), p.whole())
				b.question.toll = 0
			}
			b.ask(price, allBands)
			return b
		}
		for range 20 {
			var views []*bound
			for range 1 + r.IntN(4) {
				views = append(views, ask(randomPrices(p, r), nil))
			}
			sum := slices.Clone(most)
			for k := range sum {
				sum[k] += p.gifts[k]
			}
			need := needNear(all, sum, r)
			w := newPacking(p, need, views, ask, 0)
			if seed%2 == 0 {
				w.sharpenEvery = 1 + r.IntN(20)
			}
			got, l := w.tell(1<<22, never)
			told[got]++
			switch held := holds(all, need); {
			case got == holdNone && held, got == holdAll && !held:
				t.Errorf("seed %d: answer %v for %v of %v, besides %v that are cut", seed, got, need, all, p.gifts)
			case got == holdNone && holds(all, w.core()):
				t.Errorf("seed %d: of %v says that %v alone are not held, of %v", seed, need, w.core(), all)
			case got == holdAll:
				checkHolds(t, fmt.Sprintf("seed %d", seed), p, l, need)
			}
		}
	}
	t.Logf("%v, of %d loose parts", told, loose)
	if told[holdAll] < 200 || told[holdNone] < 200 || told[unclear] > 20 || loose < 60 {
		t.Error("the jobs show too little")
	}
}

// TestPartsOfWhatIsLeft: what is left is bounded by the most that it can give, as trying everything has it.
func TestPartsOfWhatIsLeft(t *testing.T) {
	exact, n := 0, 0
	for seed := uint64(0); seed < 30; seed++ {
		r := rand.New(rand.NewPCG(seed, 99))
		job, _ := small(t, seed, 3)
		severalEach(&job, seed, r)
		job.Tools.Grips = float64(10 * r.IntN(3))
		p, some := leftOf(t, job, r)
		if !some {
			continue
		}
		all, most := slowHoldsLeft(t, p, p.demand), 0.0
		everySets(p, func(sets []int, worth float64) {
			if worth > most && holds(all, p.making(sets).demand) {
				most = worth
			}
		})
		_, bound := wholeOf(t, p, 300)
		if n++; bound < most-1e-9 {
			t.Errorf("seed %d: bounded by %v, hides hold %v", seed, bound, most)
		} else if bound < most+1e-9 {
			exact++
		}
	}
	if n < 20 || exact < n*9/10 {
		t.Errorf("%d of %d bounds are exact", exact, n)
	}
}
