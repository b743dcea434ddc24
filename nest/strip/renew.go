package strip

import (
	"math/rand/v2"
	"slices"
)

// renew takes a few lays, at first the best, clears each in places and dives over what is free, time and again.
// Where a chain fills a window it goes by prices that stay as they are, and hopes for more of a piece than is
// wanted; a dive asks for prices anew after every band. At the master's own prices it would come to the same lay
// each time, so they are shaken. This is for rectangles, where a few deep bands are all there is and each may lie
// anywhere; on the leather of a hide, in the same time, chains find as much. The contest before took so many
// steps. (Ruin and recreate, with a diving heuristic that recreates.)
func (s *search) renew(steps int, bound float64, stop func() bool) error {
	const (
		patience = 4000 // tries in a row that find nothing better
		share    = 2    // of the steps: hides filled by all tries
		lot      = 4    // tries at a time, however many processors there are
		shaken   = 0.2  // the most that prices are, as the deviation of their logarithm
	)
	p := s.on
	used := s.rectangles()
	if len(used) == 0 || p.large(used) > mostMixed || p.begun != nil {
		return nil
	}
	var known []mixture
	for _, w := range append([]winner{{s.best, s.on}}, s.won...) {
		known = append(known, w.under(p)...)
	}
	chains := make([]*chain, lot)
	for i := range chains {
		chains[i] = s.aside(p, i)
		chains[i].best, chains[i].made, chains[i].worth = s.best, s.made, s.worth
	}
	left := share * float64(steps)
	for try, idle := 0, 0; left > 0 && idle < patience && !stop() && s.worth < bound-proof(bound); try += lot {
		had, errs, filled := s.worth, make([]error, lot), make([]float64, lot)
		each(lot, func(i int) {
			c := chains[i]
			random := rand.New(rand.NewPCG(s.seed^s.number<<32, uint64(try+i)))
			l := c.best.clone()
			p.open(l, used, random)
			d := newDive(p, c.build, random, l, used)
			d.known, d.shaken = append(d.known, known...), shaken*random.Float64()
			errs[i] = d.run(stop)
			filled[i] = d.filled
			if w := c.tidied(d.lay).worth(p, c.chooser, c.sets); w >= c.worth-proof(w) { // of equals the new one, so that they wander
				c.best, c.made, c.worth = d.lay, slices.Clone(c.sets), w
			}
		})
		for i, c := range chains {
			if errs[i] != nil {
				return errs[i]
			}
			s.take(c)
			left -= filled[i]
		}
		if idle += lot; s.worth > had+proof(had) {
			idle = 0
		}
	}
	return nil
}

// open clears one to three windows of a lay, from a tenth of the depth of a hide to all of it together.
func (p *problem) open(l *lay, used []int, random *rand.Rand) {
	const windows, least = 3, 0.1
	n := 1 + random.IntN(windows)
	for range n {
		gi := used[random.IntN(len(used))]
		g := p.grounds[gi]
		depth := int(float64(g.y1-g.y0) * (least + (1-least)*random.Float64()) / float64(n))
		lo := g.y0 + random.IntN(max(1, g.y1-g.y0-depth+1))
		l.clear(gi, lo, lo+depth)
	}
}

// rectangles are the hides of the best lay on which bands may lie as well at one near edge as at another.
func (s *search) rectangles() []int {
	return slices.DeleteFunc(s.on.used(), func(gi int) bool { return !s.known.alike(s.on.grounds[gi]) })
}
