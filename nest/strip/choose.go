package strip

import (
	"math"
	"slices"
)

// When every set can be made, the question is from which hides. Each leather is
// a question of its own. At any prices u the hides chosen must be able to sell
// what is asked for:
//
//	Σ most_h(u) over the hides cut into  ≥  u·demand
//
// (see bound.go for most), which is a demand on the choice (see cover.go). The
// cheapest choice that meets all demands known costs no more than any that does;
// what it costs is proven, and no lay of it need exist. So choices are tried that
// meet the demands with some margin: chains lay the pieces on them, and the
// margin is halved between what did and what did not. If the choice without a
// margin fails, and prices can be found at which its hides sell too little, that
// is one more demand.

const (
	mostMargin  = 0.3   // of what is asked for: more than a lay wastes beyond the sweep's hopes
	leastMargin = 0.004 // between two margins tried
	enoughSteps = 150   // of a chain, for each hide of a choice, when it is first tried
	mostAlike   = 3     // choices tried with the margin that failed
)

// choice is what is known about the hides of one leather.
type choice struct {
	leather string
	hides   []int   // grounds
	proven  cover   // with demands that every lay must meet
	tried   cover   // and those that rule out what has failed
	fails   float64 // the margin that was too little
	holds   float64 // and the one that was not
	least   float64 // no choice costs less
	bound   *bound  // of all its hides, where every set must be made: gives demands and prices
	effort  int     // how hard a choice is tried, from 1
	asked   int     // choices that were laid on, or not
	alike   int     // of them, those with the margin that failed
	stuck   bool    // prices show no more: a choice that costs that little may do
	done    bool    // no choice that is left promises a gain
	settled bool    // none can be one
}

// harder has the choices that failed tried again, with four times the steps, if
// that is within the steps allowed and a gain is possible.
func (c *choice) harder(steps int) bool {
	if c.settled || c.effort*enoughSteps*len(c.hides) > steps {
		return false
	}
	c.effort *= 4
	c.fails, c.alike, c.stuck, c.done = c.fails/2, 0, false, false
	c.tried.demands = slices.Clone(c.proven.demands)
	return true
}

// chosen is the lay on the cheapest hides found, and what hides must cost at the
// least. All sets are made by the lay. Leathers of which some hide has no cost
// are left as they are, and cost nothing. steps are what the search was allowed:
// a short one tries a few choices a little.
func (s *search) chosen(l *lay, steps int, stop func() bool) (*lay, float64, error) {
	p, tries := s.p, min(max(2, steps/400), 200)
	cost := make([]float64, len(p.grounds))
	var choices []*choice
	for _, leather := range p.leathers() {
		c := &choice{leather: leather, holds: mostMargin, effort: 1}
		priced := true
		for gi, g := range p.grounds {
			if g.hide.Leather() != leather {
				continue
			}
			cost[gi] = g.hide.Cost().InexactFloat64()
			priced = priced && cost[gi] > 0
			c.hides = append(c.hides, gi)
			c.proven.cost = append(c.proven.cost, cost[gi])
			c.tried.cost = append(c.tried.cost, cost[gi])
		}
		if priced && len(c.hides) > 0 {
			choices = append(choices, c)
		}
	}
	least := 0.0
	for _, c := range choices {
		if enough, err := s.byArea(c, c.paid(l, cost)); err != nil {
			return nil, 0, err
		} else if enough {
			least += c.least
			continue
		}
		p.survey()
		c.bound = s.boundOf(c, cost)
		if err := c.learn(min(tries/4, 3), stop); err != nil {
			return nil, 0, err
		}
		for c.asked < tries && !stop() {
			if c.done {
				if !c.harder(steps / 8) {
					break
				}
				if err := c.learn(3, stop); err != nil {
					return nil, 0, err
				}
			}
			better, err := s.tryChoice(c, l, cost, steps/8, stop)
			if err != nil {
				return nil, 0, err
			}
			if better != nil {
				l = better
			}
		}
		least += min(c.least, c.paid(l, cost))
	}
	return l, least, nil
}

// paid is what the hides of the leather that the lay cuts into cost.
func (c *choice) paid(l *lay, cost []float64) float64 {
	sum := 0.0
	for _, gi := range c.hides {
		if len(l.bands[gi]) > 0 {
			sum += cost[gi]
		}
	}
	return sum
}

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
	c.proven.add(gives, need)
	c.tried.add(gives, need)
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

// learn makes demands, in so many rounds of asking for all bands, and prices.
func (c *choice) learn(rounds int, stop func() bool) error {
	const most = 120 // hides asked in all: each takes about a tenth of a second
	b := c.bound
	for range max(1, min(rounds, most/len(c.hides))) {
		if err := b.settle(stop); err != nil {
			return err
		}
		if stop() {
			return nil
		}
		_, b.low = b.ask(slices.Clone(b.price), allTilts)
		c.demand(b)
		b.offer(allBands)
	}
	return b.settle(stop)
}

// demand adds what a bound over all hides of the leather has just found.
func (c *choice) demand(b *bound) {
	gives, need := make([]float64, len(c.hides)), 0.0
	for i, s := range b.hides {
		gives[i] = s.sold(allTilts)
	}
	for k, n := range b.units {
		if b.counts(k) {
			need += float64(n) * b.hides[0].ways[0].unit * float64(b.p.demand[k])
		}
	}
	c.proven.add(gives, need)
	c.tried.add(gives, need)
}

// tryChoice tries the cheapest choice with the margin whose turn it is, if that
// would be a gain. It returns a lay that costs less than the one given, or nil.
func (s *search) tryChoice(c *choice, l *lay, cost []float64, steps int, stop func() bool) (*lay, error) {
	_, least, err := c.proven.choose()
	if err != nil {
		return nil, err
	}
	c.least = max(c.least, least)
	margin := c.fails // others as good as the last that failed
	if c.holds-c.fails > leastMargin {
		margin = (c.fails + c.holds) / 2
	}
	in, _, err := c.tried.with(margin).choose()
	if err != nil {
		return nil, err
	}
	paid, now := 0.0, c.paid(l, cost)
	var grounds []int
	for i, is := range in {
		if is {
			paid += cost[c.hides[i]]
			grounds = append(grounds, c.hides[i])
		}
	}
	switch {
	case c.least >= now-proof(now):
		c.done, c.settled = true, true
		return nil, nil
	case in == nil || paid >= now-proof(now): // no gain with so much margin
		c.holds = margin
		c.done = margin <= c.fails
		return nil, nil
	case margin == c.fails && c.fails > 0:
		if c.alike++; c.alike > mostAlike {
			c.done = true
			return nil, nil
		}
	}
	c.asked++
	if found := s.layOn(c, l, grounds, steps, stop); found != nil {
		c.holds = margin
		c.done = paid <= c.least+proof(paid)
		c.settled = c.done
		return found, nil
	}
	if stop() {
		return nil, nil
	}
	if margin > c.fails {
		c.fails, c.alike = margin, 0
	}
	return nil, s.ruleOut(c, in, margin, grounds, stop)
}

// layOn lays the pieces of a leather on some of its hides, by chains of so many
// steps if the hides are worth as many, or gives nil if not all are placed.
func (s *search) layOn(c *choice, l *lay, grounds []int, steps int, stop func() bool) *lay {
	const (
		chains = 4
		warmth = 0.001 // of the worth that a hide holds
	)
	p := s.p
	steps = max(100, min(steps, enoughSteps*c.effort*len(grounds)))
	all := 0.0
	for _, r := range p.rows {
		all += float64(r.qty) * r.worth
	}
	var tries []*chain
	for range chains {
		ch := s.chain()
		ch.reprice(c.bound.price)
		ch.placeAll(all)
		tries = append(tries, ch)
	}
	each(len(tries), func(i int) {
		ch := tries[i]
		ch.grounds = grounds
		start := l.clone()
		for _, gi := range c.hides {
			start.clear(gi, p.grounds[gi].y0, p.grounds[gi].y1)
		}
		price := slices.Clone(ch.price)
		want := make([]int, len(p.kinds))
		for k, kd := range p.kinds {
			if i > 0 { // the first goes by the bound's prices, the others astray
				price[k] *= math.Exp(0.03 * float64(i) * ch.random.NormFloat64())
			}
			if kd.leather == c.leather {
				want[k] = p.demand[k] - start.laid[k]
			}
		}
		for _, gi := range grounds {
			ch.lay(start, gi, price, want)
		}
		ch.keep(start)
		ch.now = start
		heat := warmth * all / float64(len(grounds))
		ch.improve(steps, heat, 0.1*heat, all, stop)
	})
	for _, ch := range tries {
		// With a price on cuts, hides are not worth more cuts.
		if p.complete(ch.made) && (p.job.Tools.Effort == 0 || ch.worth >= all-p.job.Tools.Effort*float64(l.cuts(p))) {
			return ch.best.without(p, ch.best.over(p, ch.made))
		}
	}
	return nil
}

// ruleOut adds the demand that a failed choice does not meet, if prices show
// one; otherwise only this search leaves the choice out.
func (s *search) ruleOut(c *choice, in []bool, margin float64, grounds []int, stop func() bool) error {
	p := s.p
	q := question{hides: grounds, leather: c.leather, gain: make([]float64, len(p.rows))}
	all := 0.0
	for i, r := range p.rows {
		for _, n := range r.needs {
			if p.kinds[n.kind].leather == c.leather {
				q.gain[i] += p.kinds[n.kind].area * float64(n.count)
			}
		}
		all += q.gain[i] * float64(r.qty)
	}
	const (
		rounds = 3
		enough = 40 // demands of a leather
	)
	if margin == 0 && !c.stuck {
		b := newBound(p, s.known, q)
		if err := b.improve(rounds, all*(1-1e-6), stop); err != nil {
			return err
		}
		if b.least < all*(1-1e-6) && len(c.proven.demands) < enough {
			q.hides = c.hides
			over := newBound(p, s.known, q)
			over.ask(slices.Clone(b.proof), allTilts)
			c.demand(over)
			if !c.tried.met(in) {
				return nil
			}
		}
		c.stuck = true
	}
	other := make([]float64, len(in))
	for i, is := range in {
		if !is {
			other[i] = 1
		}
	}
	c.tried.add(other, 1)
	return nil
}
