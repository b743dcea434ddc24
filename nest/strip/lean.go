package strip

import (
	"math"
	"slices"
)

// Under the prices that are best for a hide as it lies, most tilts sell less than that,
// or hardly more; to ask for all of them each time would take so many times as long. So
// prices are first found for level hides; then all tilts are asked once, which gives a
// bound for all of them, and those that sell clearly more are asked from there on.
// Where a lay under some tilt cannot be worth more than the best plan known,
//
//	L(u) − most(u) + most under that tilt(u) ≤ worth,
//
// that tilt is ruled out for good.

// idle reports whether there are tilts that are neither asked nor ruled out.
func (b *bound) idle() bool {
	return slices.ContainsFunc(b.hides, func(s *seller) bool { return s.idle() })
}

func (s *seller) idle() bool {
	return slices.ContainsFunc(s.ways, func(w *way) bool { return !w.regular && !w.out })
}

// due reports whether it is time to ask for all tilts: the first, the second, the fourth,
// the eighth time that it might be.
func (b *bound) due() bool {
	b.falls++
	return b.falls&(b.falls-1) == 0
}

// close asks for all tilts at the best prices, and reports whether some sell so much more
// than those asked so far that they are asked from now on.
func (b *bound) close(target float64) bool {
	const clearly = 0.001 // of what the hide sells
	u := slices.Clone(b.at)
	capped, total := b.ask(u, allTilts)
	if capped < b.least {
		b.least = capped
	}
	ruled, more := b.ruleOut(target, allTilts), false
	for _, s := range b.hides {
		most := s.sold(allBands) * (1 + clearly)
		for _, w := range s.ways {
			if !w.regular && !w.out && w.value > most {
				w.regular, more = true, true
			}
		}
	}
	if more {
		b.best, b.at, b.low, b.price = capped, u, total, slices.Clone(u)
		b.offer(allBands)
	}
	if ruled {
		b.begin()
		_, b.low = b.ask(b.price, knownBands)
	}
	return more
}

// conclude asks for all tilts at the best prices if that was not done since these fell.
func (b *bound) conclude(target float64) {
	if b.at != nil && b.best < b.least && b.idle() {
		b.close(target)
	}
}

// ruleOut rules out the tilts under which no lay can be worth more than the target, by
// what was last asked, and reports whether there are any.
func (b *bound) ruleOut(target float64, of scope) bool {
	if !b.narrow {
		return false
	}
	ruled := false
	for _, s := range b.hides {
		others := slices.ContainsFunc(b.hides, func(o *seller) bool { return o != s && o.idle() })
		if len(s.ways) == 1 || others && of != allTilts {
			continue // the others might sell more
		}
		l, most := s.leather(), s.most(of)
		for _, w := range s.ways {
			if !w.in(of) {
				continue
			}
			sold := b.last.sold[l] - most + max(0, w.value-s.cost)
			least := b.last.capped - min(b.last.sold[l], b.last.wanted[l]) + min(sold, b.last.wanted[l])
			if w.hope = max(0, least-target); b.down(least) <= target+proof(target) {
				w.out, ruled = true, true
				b.ruled = max(b.ruled, target)
			}
		}
	}
	return ruled
}

// leaning gives, of each ground and each of its tilts, how much the master's mixture
// uses it; a share goes to all that are asked, by the square of what is hoped for.
func (b *bound) leaning() ([][]float64, error) {
	const (
		most   = 2000 // pivots
		shared = 0.3
	)
	if _, err := b.master.Solve(most); err != nil {
		return nil, err
	}
	used := map[*way]float64{}
	for _, c := range b.columns {
		used[c.of] += b.master.X(c.number)
	}
	out := make([][]float64, len(b.p.grounds))
	for i, s := range b.hides {
		all, hopes, none := 0.0, 0.0, true
		for _, w := range s.ways {
			if w.in(allBands) {
				all, hopes, none = all+used[w], hopes+w.hope*w.hope, false
			}
		}
		for k, w := range s.ways {
			weight := 0.0
			if w.in(allBands) {
				if all > 0 {
					weight = (1 - shared) * used[w] / all
				}
				if hopes > 0 {
					weight += shared * w.hope * w.hope / hopes
				}
			}
			if none && k == 0 {
				weight = 1
			}
			out[b.question.hides[i]] = append(out[b.question.hides[i]], weight)
		}
	}
	return out, nil
}

// lying is the problem with its hides under tilts that are drawn by their weights, evenly
// over the numbers of draws.
func (p *problem) lying(weights [][]float64, draw uint64) *problem {
	if p.ways == nil || weights == nil {
		return p
	}
	const golden = 0.6180339887498949
	way := make([]int, len(p.grounds))
	for gi, ws := range weights {
		sum := 0.0
		for _, w := range ws {
			sum += w
		}
		_, at := math.Modf(golden * float64(draw+1) * float64(2*gi+1))
		at *= sum
		for i, w := range ws {
			if w > 0 {
				way[gi] = i
			}
			if at -= w; at < 0 {
				break
			}
		}
	}
	return p.under(way)
}

// under is the problem with its hides under those tilts.
func (p *problem) under(way []int) *problem {
	q := *p
	q.grounds = make([]*ground, len(p.grounds))
	for gi, i := range way {
		q.grounds[gi] = p.waysOf(gi)[i]
	}
	return &q
}

// waysOf are all ways in which a hide may lie, first the one in which it does.
func (p *problem) waysOf(gi int) []*ground {
	if p.ways == nil {
		return p.grounds[gi : gi+1]
	}
	return p.ways[gi]
}

// everyWay are the ways of all hides.
func (p *problem) everyWay() []*ground {
	var out []*ground
	for gi := range p.grounds {
		out = append(out, p.waysOf(gi)...)
	}
	return out
}
