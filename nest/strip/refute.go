package strip

import (
	"math"
	"slices"
)

// What no choice of hides can do without is told by demands (see choose.go). The first
// is that of the area of all pieces. Then all hides are asked for all bands at prices at
// which, cost for what they sell, none is better than the others. At last, the cheapest
// choice that meets all demands is asked by itself: at the prices at which its own hides
// hold the least of all pieces (deal.go) it may sell too little, and then all hides are
// asked at these.

const (
	mostDemands = 40  // of a leather
	firstRounds = 2   // of asking all hides for all bands, before any choice is tried
	mostRounds  = 3   // and in all, before choices are asked by themselves
	mostAsked   = 120 // hides, in these rounds: each takes a tenth of a second
)

// rounds are so many of asking all hides, as far as that takes no longer than it may.
func (c *choice) rounds(n int) int { return max(1, min(n, mostAsked/len(c.hides))) }

// byArea makes the simplest demand: the hides chosen must have the area of all
// pieces. It reports true if that shows already that nothing can cost less than
// what is paid.
func (s *search) byArea(c *choice, paid float64) (bool, error) {
	p := s.p
	gives, need := make([]float64, len(c.hides)), 0.0
	for i, gi := range c.hides {
		gives[i] = p.grounds[gi].hide.Area()
	}
	for k, kd := range p.kinds {
		if kd.leather == c.leather {
			need += kd.area * float64(p.demand[k])
		}
	}
	c.demand(gives, need)
	_, least, err := c.proven.choose()
	c.least = min(least, paid)
	return c.least >= paid-proof(paid), err
}

// boundOf asks at which prices the hides of a leather seem cheap: it is the bound
// where every set must be made and hides cost what they do.
func (s *search) boundOf(c *choice, cost []float64) *bound {
	p := s.p
	all, area := 1.0, 0.0
	for _, gi := range c.hides {
		all += cost[gi]
		area += p.grounds[gi].hide.Area()
	}
	q := question{hides: c.hides, cost: cost, leather: c.leather, gain: make([]float64, len(p.rows))}
	for i, r := range p.rows {
		for _, n := range r.needs {
			if p.kinds[n.kind].leather == c.leather {
				q.gain[i] += all * p.kinds[n.kind].area * float64(n.count)
			}
		}
	}
	smallest := math.Inf(1)
	for _, g := range q.gain {
		if g > 0 {
			smallest = min(smallest, g)
		}
	}
	for i := range q.gain { // one set is worth more than all hides
		q.gain[i] *= all / smallest
	}
	b := newBound(p, s.known, q)
	for k, kd := range p.kinds { // begin at the mean cost of leather
		if b.counts(k) {
			b.price[k] = kd.area * all / area
		}
	}
	return b
}

// learn asks all hides for all bands once, which makes a demand, and finds prices.
func (c *choice) learn(stop func() bool) error {
	b := c.bound
	if err := b.settle(stop); err != nil || stop() {
		return err
	}
	_, b.low = b.ask(slices.Clone(b.price), allTilts)
	c.demand(c.sold())
	b.offer(allBands)
	c.learnt++
	return b.settle(stop)
}

// sold is what each hide sold when the bound last asked, and what all that is asked for
// would fetch. It is a demand if all bands were asked.
func (c *choice) sold() (gives []float64, need float64) {
	b := c.bound
	for _, s := range b.hides {
		gives = append(gives, s.sold(allTilts))
	}
	for k, n := range b.units {
		if b.counts(k) {
			need += float64(n) * b.hides[0].ways[0].unit * float64(b.p.demand[k])
		}
	}
	return gives, need
}

// demand adds one that every lay must meet.
func (c *choice) demand(gives []float64, need float64) {
	c.proven.add(gives, need)
	c.tried.add(gives, need)
}

// prove makes a demand that the cheapest choice which meets all others does not, if one
// can be found; nothing is left to do when that costs what is paid.
func (s *search) prove(c *choice, paid float64, stop func() bool) error {
	in, least, err := c.proven.choose()
	if err != nil {
		return err
	}
	c.least = max(c.least, least)
	switch {
	case c.least >= paid-proof(paid):
		c.done, c.settled = true, true
	case stop() || in == nil || slices.Equal(in, c.sound) || len(c.proven.demands) >= mostDemands:
	case c.learnt < c.rounds(mostRounds):
		return c.learn(stop)
	case c.rounds(mostRounds) > 1: // otherwise to ask all hides once more takes too long to be cut short
		return s.refute(c, in, stop)
	}
	return nil
}

// refute has prices show that a choice cannot hold all pieces of its leather, which is one
// more demand, or takes note that they do not.
func (s *search) refute(c *choice, in []bool, stop func() bool) error {
	const rounds = 3
	for range rounds {
		b, err := s.holding(c, in, stop)
		if err != nil || stop() {
			return err
		}
		if b.master.Value() >= 1 {
			break
		}
		c.bound.ask(slices.Clone(b.price), allTilts)
		c.demand(c.sold())
		c.bound.offer(allBands)
		if !c.proven.met(in) {
			return nil
		}
	}
	c.sound = in
	return nil
}
