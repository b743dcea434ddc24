package strip

import (
	"math"
	"slices"
)

// mended is the best lay with as many marks of the plan before as the search
// finds without a loss, and without the pieces that no set takes. The search
// leaves a lay only for a better one, so that what this undoes is what came along
// with a gain: chains look for as much worth nearer to the plan before; then bands
// of it that were put aside are laid again, all at once, in ever smaller lots, and
// at random, and what is moved to make room for them must find another place.
func (s *search) mended(stop func() bool) *lay {
	s.nearer(stop)
	m := mender{s: s, p: s.p, c: s.chain()}
	m.best = s.best.without(s.p, s.best.over(s.p, s.made))
	m.kept = s.p.begun.kept(s.p, m.best)
	m.inLots(stop)
	m.atRandom(stop)
	return m.best
}

// stay lays only what the plan before leaves free, at good prices.
func (s *search) stay(price []float64) {
	s.price = price
	c := s.chain()
	c.number = 0 // from the plan before
	c.first()
	s.kept = c
	s.take(c)
}

// nearer looks for as much worth closer to the plan before: chains begin there
// once more, now that it is known what can be had, and end as soon as they have
// it.
func (s *search) nearer(stop func() bool) {
	const (
		chains = 4
		steps  = 300
		heat   = 0.0005 // of the worth
	)
	p := s.p
	var tries []*chain
	for range chains {
		c := s.chain()
		c.number = 0 // from the plan before
		tries = append(tries, c)
	}
	each(len(tries), func(i int) {
		tries[i].first()
		tries[i].improve(steps, heat*s.worth, 0, s.worth, stop)
	})
	kept := p.begun.kept(p, s.best.without(p, s.best.over(p, s.made)))
	for _, c := range tries {
		if c.worth < s.worth-proof(s.worth) {
			continue
		}
		if n := p.begun.kept(p, c.best.without(p, c.best.over(p, c.made))); n > kept || c.worth > s.worth+proof(s.worth) {
			s.best, s.made, s.worth, kept = c.best, c.made, c.worth, n
		}
	}
}

// mender brings back bands of the plan before.
type mender struct {
	s    *search
	p    *problem
	c    *chain // whose builder fills the gaps
	best *lay
	kept int // marks of the plan before that best has
}

// inLots tries the bands of each ground, all at once, then halves of them, and so
// on to each by itself; and to do without the hides that were not to be cut into.
func (m *mender) inLots(stop func() bool) {
	for gi, old := range m.p.begun.warm.bands {
		for most := len(old); most > 0 && !stop(); most /= 2 {
			for from := 0; from < len(old) && !stop(); from += most {
				if trial := m.best.clone(); trial.bringBack(gi, old[from:min(from+most, len(old))], m.p.gap) {
					m.try(trial, m.c.price)
				}
			}
		}
		if len(old) == 0 && len(m.best.bands[gi]) > 0 && !stop() {
			trial := m.best.clone()
			trial.clear(gi, math.MinInt, math.MaxInt)
			m.try(trial, m.c.price)
		}
	}
}

// atRandom tries a few neighbouring bands at prices shaken a little; every second
// time some of the new bands elsewhere make room for what is moved.
func (m *mender) atRandom(stop func() bool) {
	const (
		tries  = 200
		lot    = 4       // bands at the most
		room   = 1.0 / 4 // of the depth of a ground
		shaken = 0.1     // prices, as the deviation of their logarithm
	)
	random, warm := m.c.random, m.p.begun.warm.bands
	var had []int // grounds with bands to bring back
	for gi, old := range warm {
		if len(old) > 0 {
			had = append(had, gi)
		}
	}
	price := make([]float64, len(m.c.price))
	for i := 0; i < tries && len(had) > 0 && !stop(); i++ {
		gi := had[random.IntN(len(had))]
		from := random.IntN(len(warm[gi]))
		trial := m.best.clone()
		if !trial.bringBack(gi, warm[gi][from:min(from+1+random.IntN(lot), len(warm[gi]))], m.p.gap) {
			continue
		}
		if i%2 == 1 {
			other := had[random.IntN(len(had))]
			g := m.p.grounds[other]
			lo := g.y0 + random.IntN(max(1, g.y1-g.y0))
			trial.clearNew(other, lo, lo+int(room*float64(g.y1-g.y0)), warm[other])
		}
		for k := range price {
			price[k] = m.c.price[k] * math.Exp(shaken*random.NormFloat64())
		}
		m.try(trial, price)
	}
}

// try fills the gaps of a lay with what its sets lack, and takes it over if it is
// worth more than the best, or as much and has more marks of the plan before.
func (m *mender) try(trial *lay, price []float64) {
	p, s := m.p, m.s
	want := make([]int, len(p.kinds))
	for i, n := range s.made {
		for _, need := range p.rows[i].needs {
			want[need.kind] += n * need.count
		}
	}
	for k := range want {
		want[k] -= trial.laid[k]
	}
	for _, gi := range p.cheapestFirst() {
		for _, w := range p.free(trial, []int{gi}) {
			m.c.build.window(trial, gi, w.lo, w.hi, w.near, w.far, price, want)
		}
	}
	over := slices.Clone(trial.laid)
	m.c.chooser.choose(over, m.c.sets)
	trial = trial.without(p, over)
	worth, kept := trial.worth(p, m.c.chooser, m.c.sets), p.begun.kept(p, trial)
	if more := worth > s.worth+proof(s.worth); more || kept > m.kept && worth >= s.worth-proof(s.worth) {
		m.best, m.kept, s.made, s.worth = trial, kept, slices.Clone(m.c.sets), worth
	}
}

// bringBack lays bands in place of all that is in their way, or so near that the
// waste between could not be ripped off; or reports false if they lie there
// already.
func (l *lay) bringBack(gi int, bands []band, gap int) bool {
	there := 0
	for i := range bands {
		if slices.ContainsFunc(l.bands[gi], func(b band) bool { return b.same(&bands[i]) }) {
			there++
		}
	}
	if there == len(bands) {
		return false
	}
	l.takeOff(gi, func(b *band) bool {
		return slices.ContainsFunc(bands, func(o band) bool {
			return b.y < o.end()+gap && o.y < b.end()+gap && b.y != o.end() && o.y != b.end()
		})
	})
	for i := range bands {
		bands[i].cuts(func(c cut) { l.laid[c.kind]++ })
		l.bands[gi] = append(l.bands[gi], bands[i])
	}
	slices.SortFunc(l.bands[gi], func(a, b band) int { return a.y - b.y })
	return true
}

// clearNew takes the bands that begin between two marks off a ground, but for the
// old ones.
func (l *lay) clearNew(gi, lo, hi int, old []band) {
	l.takeOff(gi, func(b *band) bool {
		return b.y >= lo && b.y < hi && !slices.ContainsFunc(old, func(o band) bool { return o.same(b) })
	})
}

// takeOff takes the bands named off a ground.
func (l *lay) takeOff(gi int, named func(b *band) bool) {
	l.bands[gi] = slices.DeleteFunc(slices.Clone(l.bands[gi]), func(b band) bool {
		off := named(&b)
		if off {
			b.cuts(func(c cut) { l.laid[c.kind]-- })
		}
		return off
	})
}
