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
	const tries = 3 // prices: those of the bound, and twice shaken
	for tried := range tries {
		price := slices.Clone(c.price)
		for k := range price {
			if tried > 0 {
				price[k] *= math.Exp(mostShaken * c.random.NormFloat64())
			}
		}
		for gi, old := range p.begun.warm.bands {
			for most := len(old); most > 0 && !stop(); most /= 2 {
				for from := 0; from < len(old) && !stop(); from += most {
					back := old[from:min(from+most, len(old))]
					if trial := best.clone(); trial.bringBack(gi, back, p.gap) {
						try(trial, price)
					}
				}
			}
			if len(old) == 0 && len(best.bands[gi]) > 0 && !stop() { // a hide that was not to be cut into
				trial := best.clone()
				trial.clear(gi, math.MinInt, math.MaxInt)
				try(trial, price)
			}
		}
	}
	return best
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
