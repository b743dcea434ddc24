package strip

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"

	"strapwise/hide"
	"strapwise/nest"
)

// TestPackingAgainstSlow: whether hides hold some pieces is told as by trying everything, and lays that do
// hold them.
func TestPackingAgainstSlow(t *testing.T) {
	told, asked, sharpened, fewer := map[answer]int{}, 0, 0, 0
	for seed := uint64(0); seed < 100; seed++ {
		job, r := cutSmall(t, seed)
		p := problemOf(t, job)
		p.gap = 1 + r.IntN(p.grounds[0].lanes[0].width) // no strip is narrower than waste must be
		if seed%2 == 0 {
			p.gap = p.grounds[0].lanes[0].width
		}
		most := make([]int, len(p.kinds))
		for k := range most {
			most[k] = 1 + r.IntN(8)
		}
		all := slowHoldsAll(t, p, most, p.gap)
		var views []*bound
		for range 1 + r.IntN(mostViews) {
			b := newBound(p, newShapes(), p.whole())
			b.question.toll = 0
			price := randomPrices(p, r)
			for k := range price {
				if seed%3 == 1 && k%2 == 1 {
					price[k] = 0 // by no view
				}
			}
			b.ask(price, allBands)
			views = append(views, b)
		}
		ask := func(price []float64, b *bound) *bound {
			if b == nil {
				b = newBound(p, newShapes(), views[0].question)
			}
			b.ask(price, allBands)
			return b
		}
		for range 40 {
			need := needNear(all, most, r)
			held := holds(all, need)
			w := newPacking(p, need, slices.Clone(views), ask, 0)
			if seed%2 == 0 {
				w.sharpenEvery = 1 + r.IntN(20)
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
			case got == holdNone:
				core := w.core()
				if holds(all, core) {
					t.Errorf("seed %d: of %v says that %v alone are not held, of %v", seed, need, core, all)
				}
				for k, n := range core {
					if n < need[k] {
						fewer++
						break
					}
				}
			case got == holdAll:
				checkHolds(t, fmt.Sprintf("seed %d", seed), p, l, need)
			}
		}
	}
	t.Logf("%v of %d, %d views found on the way, %d cores are less than all", told, asked, sharpened, fewer)
	if told[holdAll] < asked/4 || told[holdNone] < asked/5 || sharpened < asked/5 || fewer < asked/40 {
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
		if laid[k]+p.gifts[k] < n {
			t.Errorf("%s: %d of %d pieces of a kind are laid", name, laid[k], n)
		}
	}
}

// TestPackingOfTwoSheets: two sheets hold a strip each, at the near edge, with as much waste beyond as must be at the least: what the
// first holds is told with what the second does.
func TestPackingOfTwoSheets(t *testing.T) {
	var hides []*hide.Hide
	for _, name := range []string{"s", "t"} {
		spec := sheet(t, name, "strap", 300, 50).Spec()
		spec.Flaws = []hide.Flaw{{Kind: "cut", Stroke: &hide.Stroke{Line: []orb.Point{{0, 35}, {300, 35}}, Width: 2}}}
		hides = append(hides, newHide(t, spec))
	}
	job := nest.Job{
		Hides: hides, Orders: []nest.Order{pieces("A", 3, 300, 30, 9)},
		Uses: uses(), Tools: nest.Tools{Mark: 10, CutterMin: 20, CutterMax: 200},
	}
	p := problemOf(t, job)
	b := newBound(p, newShapes(), p.whole())
	b.ask([]float64{1}, allBands)
	for need, want := range []answer{holdAll, holdAll, holdAll, holdNone} {
		got, l := newPacking(p, []int{need}, []*bound{b}, nil, 0).tell(1000, never)
		if got != want {
			t.Errorf("%d strips: found %v, want %v", need, got, want)
		} else if got == holdAll {
			checkHolds(t, "two sheets", p, l, []int{need})
		}
	}
}

// TestViewsDiffer: a packing begins with no view twice, though packings found the same prices more than once.
func TestViewsDiffer(t *testing.T) {
	p, r := ofSets(t, 1)
	w := newWhole(newBound(p, newShapes(), p.whole()), nil)
	if err := w.begin(0, never); err != nil {
		t.Fatal(err)
	}
	price := randomPrices(p, r)
	w.sharp = [][]float64{price, slices.Clone(price), randomPrices(p, r)}
	views := w.viewsOf(make([]int, len(p.rows)))
	for i, b := range views {
		if slices.Contains(views[:i], b) {
			t.Errorf("view %d is one before", i)
		}
	}
	if len(views) < 2 {
		t.Errorf("only %d views", len(views))
	}
}

// TestPlaceThoughStopped: a strip of many sizes of piece is written down though there is no more time.
func TestPlaceThoughStopped(t *testing.T) {
	job := nest.Job{Hides: []*hide.Hide{sheet(t, "s", "strap", 2000, 30)}, Uses: uses(), Tools: nest.Tools{Mark: 1, CutterMin: 10, CutterMax: 200}}
	const sizes = 13 // so that all that some of them may be is more than is looked at between two looks at the time
	for i := range sizes {
		job.Orders = append(job.Orders, pieces(string(rune('A'+i)), 1, 100+float64(i), 30, 1))
	}
	p := problemOf(t, job)
	need, price := make([]int, len(p.kinds)), make([]float64, len(p.kinds))
	for k := range need {
		need[k], price[k] = 1, p.kinds[k].area
	}
	b := newBound(p, newShapes(), p.whole())
	b.ask(price, allBands)
	w := newPacking(p, need, []*bound{b}, nil, 1)
	h := &w.hands[0]
	h.budget = budget{1 << 22, func() bool { return true }}
	if got := h.place(stretch{0, 0, 0, 0, 2000}, w.need); len(got) != sizes {
		t.Errorf("%d pieces are placed of %d", len(got), sizes)
	}
}
