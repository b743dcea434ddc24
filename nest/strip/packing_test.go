package strip

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
)

// TestPackingAgainstSlow: whether hides hold some pieces is told as by trying everything, and lays that do
// hold them.
func TestPackingAgainstSlow(t *testing.T) {
	told, asked, sharpened := map[answer]int{}, 0, 0
	for seed := uint64(0); seed < 60; seed++ {
		job, r := cutSmall(t, seed)
		p := problemOf(t, job)
		p.gap = 1 + r.IntN(p.grounds[0].lanes[0].width) // no strip is narrower than waste must be
		most := make([]int, len(p.kinds))
		for k := range most {
			most[k] = 1 + r.IntN(8)
		}
		all := slowHoldsAll(t, p, most, p.gap)
		var views []*bound
		for range 1 + r.IntN(mostViews) {
			b := newBound(p, newShapes(), p.whole())
			b.asked.toll = 0
			b.ask(randomPrices(p, r), allBands)
			views = append(views, b)
		}
		ask := func(price []float64, b *bound) *bound {
			if b == nil {
				b = newBound(p, newShapes(), views[0].asked)
			}
			b.ask(price, allBands)
			return b
		}
		for range 40 {
			need := needNear(all, most, r)
			held := holds(all, need)
			w := newPacking(p, need, slices.Clone(views), ask, 0)
			if seed%2 == 0 {
				w.often = 1 + r.IntN(200)
			}
			got, l := w.tell(1<<22, never)
			sharpened += len(w.sharp.found)
			asked++
			told[got]++
			switch {
			case got == holdAll && !held:
				t.Errorf("seed %d: says that %v are held, of %v", seed, need, all)
			case got == holdNone && held:
				t.Errorf("seed %d: says that %v are not held, of %v", seed, need, all)
			case got == holdAll:
				checkHolds(t, fmt.Sprintf("seed %d", seed), p, l, need)
			}
		}
	}
	t.Logf("%v of %d, %d views found on the way", told, asked, sharpened)
	if told[holdAll] < asked/4 || told[holdNone] < asked/5 || sharpened < asked/5 {
		t.Error("the jobs show too little")
	}
}

// holds reports whether one of those multisets has all that is needed.
func holds(all [][]int, need []int) bool {
	return slices.ContainsFunc(all, func(v []int) bool {
		for k, n := range need {
			if v[k] < n {
				return false
			}
		}
		return true
	})
}

// needNear is some pieces that hides hold, or a little more.
func needNear(all [][]int, most []int, r *rand.Rand) []int {
	need := slices.Clone(all[r.IntN(len(all))])
	for range r.IntN(3) {
		k := r.IntN(len(need))
		need[k] = max(0, need[k]-1)
	}
	for range 1 + r.IntN(3) {
		k := r.IntN(len(need))
		need[k] = min(most[k], need[k]+1)
	}
	return need
}

// checkHolds fails if a lay lacks some of the pieces or breaks a rule that nest.Check knows.
func checkHolds(t *testing.T, name string, p *problem, l *lay, need []int) {
	t.Helper()
	laid := make([]int, len(p.kinds))
	for gi, bands := range l.bands {
		g := p.grounds[gi]
		end := g.y0 - p.gap
		for i := range bands {
			b := &bands[i]
			if gap := b.y - end; gap < 0 || gap > 0 && gap < p.gap && i > 0 {
				t.Errorf("%s: bands lie %d marks apart", name, gap)
			}
			end = b.end()
			b.strips(func(k *block, s *placed) {
				x := k.lo
				for _, c := range s.cuts {
					laid[c.kind]++
					if c.x < x || c.x+p.kinds[c.kind].length > k.hi || !g.holdsCut(&g.lanes[s.lane], c, s.y) {
						t.Errorf("%s: piece %v in the strip at %d, where it does not serve", name, c, s.y)
					}
					x = c.x + p.kinds[c.kind].length
				}
			})
		}
	}
	for k, n := range need {
		if laid[k] < n {
			t.Errorf("%s: %d of %d pieces of a kind are laid", name, laid[k], n)
		}
	}
}
