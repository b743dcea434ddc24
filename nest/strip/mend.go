package strip

import (
	"math"
	"slices"
)

// mended is the best lay, without the pieces that no set takes, in which bands
// of the plan before that the search has put aside are laid again wherever
// nothing is lost by it: what is moved to make room for them must find another
// place. It begins with all of them at once and ends with each by itself. The
// search leaves a lay only for a better one, so that what this undoes is what
// came along with a gain.
func (s *search) mended(stop func() bool) *lay {
	p, c := s.p, s.chain()
	s.nearer(stop)
	best := s.best.without(p, s.best.over(p, s.made))
	kept := p.begun.kept(p, best)
	try := func(trial *lay, price []float64) {
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
				c.build.window(trial, gi, w.lo, w.hi, w.near, w.far, price, want)
			}
		}
		over := slices.Clone(trial.laid)
		made := make([]int, len(p.rows))
		c.chooser.choose(over, made)
		trial = trial.without(p, over)
		worth := trial.worth(p, c.chooser, c.sets)
		n := p.begun.kept(p, trial)
		if more := worth > s.worth+proof(s.worth); more || n > kept && worth >= s.worth-proof(s.worth) {
			best, kept, s.made, s.worth = trial, n, slices.Clone(c.sets), worth
		}
	}
	shaken := func(much float64) []float64 {
		price := slices.Clone(c.price)
		for k := range price {
			price[k] *= math.Exp(much * c.random.NormFloat64())
		}
		return price
	}
	for gi, old := range p.begun.warm.bands {
		for most := len(old); most > 0 && !stop(); most /= 2 {
			for from := 0; from < len(old) && !stop(); from += most {
				if trial := best.clone(); trial.bringBack(gi, old[from:min(from+most, len(old))], p.gap) {
					try(trial, c.price)
				}
			}
		}
		if len(old) == 0 && len(best.bands[gi]) > 0 && !stop() { // a hide that was not to be cut into
			trial := best.clone()
			trial.clear(gi, math.MinInt, math.MaxInt)
			try(trial, c.price)
		}
	}
	var had []int // grounds with bands to bring back
	for gi, old := range p.begun.warm.bands {
		if len(old) > 0 {
			had = append(had, gi)
		}
	}
	const tries = 200
	for i := 0; i < tries && len(had) > 0 && !stop(); i++ {
		gi := had[c.random.IntN(len(had))]
		old := p.begun.warm.bands[gi]
		from := c.random.IntN(len(old))
		trial := best.clone()
		if !trial.bringBack(gi, old[from:min(from+1+c.random.IntN(4), len(old))], p.gap) {
			continue
		}
		if also := had[c.random.IntN(len(had))]; i%2 == 1 { // what was moved may need more room
			g := p.grounds[also]
			lo := g.y0 + c.random.IntN(max(1, g.y1-g.y0))
			trial.clearUnkept(p, also, lo, lo+(g.y1-g.y0)/4)
		}
		try(trial, shaken(mostShaken))
	}
	return best
}

// clearUnkept takes the bands that begin between two marks off the lay, but for
// those of the plan before.
func (l *lay) clearUnkept(p *problem, gi, lo, hi int) {
	l.bands[gi] = slices.DeleteFunc(slices.Clone(l.bands[gi]), func(b band) bool {
		if b.y < lo || b.y >= hi || slices.ContainsFunc(p.begun.warm.bands[gi], func(o band) bool { return o.same(&b) }) {
			return false
		}
		b.cuts(func(c cut) { l.laid[c.kind]-- })
		return true
	})
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
	l.bands[gi] = slices.DeleteFunc(slices.Clone(l.bands[gi]), func(b band) bool {
		if slices.ContainsFunc(bands, func(o band) bool {
			return b.y < o.end()+gap && o.y < b.end()+gap && b.y != o.end() && o.y != b.end()
		}) {
			b.cuts(func(c cut) { l.laid[c.kind]-- })
			return true
		}
		return false
	})
	for i := range bands {
		bands[i].cuts(func(c cut) { l.laid[c.kind]++ })
		l.bands[gi] = append(l.bands[gi], bands[i])
	}
	slices.SortFunc(l.bands[gi], func(a, b band) int { return a.y - b.y })
	return true
}
