package strip

import (
	"math"
	"slices"
	"testing"

	"strapwise/nest/internal/linear"
)

// ruled is a small job in which hides hold what all tells, and the rules that some askings made.
func ruled(t *testing.T, seed uint64) (p *problem, all [][]int, b *bound) {
	t.Helper()
	p, r := ofSets(t, seed)
	b = newBound(p, newShapes(), p.whole())
	b.rules = &rules{p: p, gain: b.question.gain}
	for range 1 + r.IntN(4) {
		b.ask(randomPrices(p, r), allBands)
	}
	ample := make([]int, len(p.kinds)) // a mixture holds of some pieces more than are wanted
	for k := range ample {
		ample[k] = 100
	}
	return p, slowHoldsAll(t, p, ample, p.gap), b
}

// TestRulesHold: no sets of which hides hold the pieces break a rule, and of those between any least and most sets none are worth more
// than a blend; where nothing is asked about but what hides hold, a blend may be.
func TestRulesHold(t *testing.T) {
	broken, tight := 0, 0
	for seed := uint64(0); seed < 20; seed++ {
		p, all, b := ruled(t, seed)
		from, to := make([]int, len(p.rows)), make([]int, len(p.rows))
		for i, r := range p.rows {
			from[i] = int(seed) / (i + 1) % 2
			to[i] = max(from[i], r.qty-int(seed)/(i+2)%2)
		}
		most := math.Inf(-1)
		everySets(p, func(sets []int, worth float64) {
			left := b.rules.left(sets)
			switch held := holds(all, p.making(sets).demand); {
			case held && left < 0:
				t.Errorf("seed %d: hides hold sets %v, which break a rule", seed, sets)
			case held:
				inside := true
				for i, n := range sets {
					inside = inside && from[i] <= n && n <= to[i]
				}
				if inside {
					most = max(most, worth)
				}
			case left < 0:
				broken++
			}
		})
		_, bound, err := b.rules.blend(from, to)
		if err != nil {
			t.Fatal(err)
		}
		if bound < most-1e-9 {
			t.Errorf("seed %d: a blend is worth %v, sets that are held are worth %v", seed, bound, most)
		}
		if most > 0 && bound < p.worthOf(to)-1e-9 {
			tight++
		}
	}
	if broken < 20 || tight < 5 {
		t.Errorf("%d sets broke a rule, %d blends were worth less than all sets", broken, tight)
	}
}

// TestMarketDenies: prices that make a rule which sets break are found just if no mixture of lays holds their pieces, which
// another program tells of the lays that trying everything gave.
func TestMarketDenies(t *testing.T) {
	told := map[bool]int{}
	for seed := uint64(0); seed < 20; seed++ {
		p, all, b := ruled(t, seed)
		shared := false
		for _, l := range p.grounds[0].lanes {
			shared = shared || len(l.classes) > 1
		}
		m := newMarket(p, newShapes(), []int{0}, "", p.gifts)
		m.b.rules = b.rules
		everySets(p, func(sets []int, _ float64) {
			need, part := p.making(sets).demand, make([]float64, len(sets))
			scaled := slices.Clone(need)
			for k := range scaled {
				scaled[k] *= buyerScale
			}
			for i, n := range sets {
				part[i] = float64(n)
			}
			broken := func() bool { return b.rules.list[len(b.rules.list)-1].broken(part) }
			denied, err := m.denies(scaled, nil, false, broken, never)
			if err != nil {
				t.Fatal(err)
			}
			times := mixedTimes(t, all, need)
			told[denied]++
			if denied && times > 1-1e-9 {
				t.Errorf("seed %d: sets %v are denied, a mixture holds them %v times", seed, sets, times)
			}
			if !denied && !shared && times < 1-1e-5 {
				t.Errorf("seed %d: sets %v are not denied, mixtures hold them %v times", seed, sets, times)
			}
		})
	}
	if told[true] < 50 || told[false] < 50 {
		t.Errorf("%d sets were denied, %d were not", told[true], told[false])
	}
}

// mixedTimes is how many times over a mixture of such lays holds what is needed, at the most.
func mixedTimes(t *testing.T, all [][]int, need []int) float64 {
	t.Helper()
	limits := append(make([]float64, len(need)), 1)
	lp := linear.New(limits)
	var takes []linear.Entry
	for k, n := range need {
		if n > 0 {
			takes = append(takes, linear.Entry{Row: k, By: float64(n)})
		}
	}
	if takes == nil {
		return math.Inf(1)
	}
	times := lp.Add(1, 1, takes)
	for _, v := range all {
		gives := []linear.Entry{{Row: len(need), By: 1}}
		for k, n := range v {
			if n > 0 {
				gives = append(gives, linear.Entry{Row: k, By: -float64(n)})
			}
		}
		lp.Add(0, 1, gives)
	}
	if _, err := lp.Solve(10_000); err != nil {
		t.Fatal(err)
	}
	return lp.X(times)
}
