package strip

import (
	"cmp"
	"slices"
)

// When it is known which sets are made, the question is from which hides; what is said
// here of every set holds for those (see problem.making). Each leather is a question of
// its own. At any prices u the hides chosen must be able to sell
// what is asked for:
//
//	Σ most_h(u) over the hides cut into  ≥  u·demand
//
// (see bound.go for most), which is a demand on the choice (see cover.go, and refute.go
// for the prices). The cheapest choice that meets all demands known costs no more than
// any that does; what it costs is proven, and no lay of it need exist. So choices are
// tried that meet the demands with some margin: deals and chains lay the pieces on them,
// and the margin is halved between what did and what did not. Between two tries the
// cheapest choice is asked whether prices rule it out.

const (
	mostMargin  = 0.3   // of what is asked for: more than a lay wastes beyond the sweep's hopes
	firstMargin = 0.02  // tried first: deals seldom want more
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
	learnt  int     // how often they were asked for all bands at its own prices
	sound   []bool  // the last choice that prices did not rule out
	effort  int     // how hard a choice is tried, from 1
	asked   int     // choices that were laid on, or not
	alike   int     // of them, those with the margin that failed
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
	c.fails, c.alike, c.done = c.fails/2, 0, false
	c.tried.demands = slices.Clone(c.proven.demands)
	return true
}

// chosen is the lay on the cheapest hides found, and what hides must cost at the
// least. All sets of the problem are made by the lay. Leathers of which some hide has no cost
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
		for range c.rounds(firstRounds) {
			if err := c.learn(stop); err != nil {
				return nil, 0, err
			}
		}
		for c.asked < tries && !stop() {
			if c.done && !c.harder(steps/8) {
				break
			}
			better, err := s.tryChoice(c, l, cost, steps/8, stop)
			if err != nil {
				return nil, 0, err
			}
			if better != nil {
				l = better
			}
			if err := s.prove(c, c.paid(l, cost), stop); err != nil {
				return nil, 0, err
			}
		}
		if err := s.prove(c, c.paid(l, cost), func() bool { return true }); err != nil {
			return nil, 0, err
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

// named are the grounds of a choice.
func (c *choice) named(in []bool) []int {
	var out []int
	for i, is := range in {
		if is {
			out = append(out, c.hides[i])
		}
	}
	return out
}

// margin is that of the next choice tried: twice what failed until one has held, then
// halfway between the two, and at last others as good as the last that failed.
func (c *choice) margin() float64 {
	switch {
	case c.holds == mostMargin:
		return min(max(firstMargin, 2*c.fails), mostMargin)
	case c.holds-c.fails > leastMargin:
		return (c.fails + c.holds) / 2
	}
	return c.fails
}

// tryChoice tries the cheapest choice with the margin whose turn it is, if that
// would be a gain. It returns a lay that costs less than the one given, or nil.
func (s *search) tryChoice(c *choice, l *lay, cost []float64, steps int, stop func() bool) (*lay, error) {
	margin := c.margin()
	in, _, err := c.tried.with(margin).choose()
	if err != nil {
		return nil, err
	}
	paid, now := 0.0, c.paid(l, cost)
	for _, gi := range c.named(in) {
		paid += cost[gi]
	}
	switch {
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
	holds, err := s.holding(c, in, stop)
	if err != nil || stop() {
		return nil, err
	}
	if holds.master.Value() < 1 { // as far as bands are known: no proof, but a hint
		c.bound.ask(slices.Clone(holds.price), knownBands)
		c.tried.add(c.sold())
		c.tried.leaveOut(in) // this search does not try it again
		return nil, nil
	}
	found, err := s.layOn(c, l, holds, steps, stop)
	switch {
	case err != nil || found == nil && stop():
		return nil, err
	case found != nil:
		c.holds = margin
	default:
		if margin > c.fails {
			c.fails, c.alike = margin, 0
		}
		c.tried.leaveOut(in) // this search does not try it again
	}
	return found, nil
}

// layOn lays the pieces of a leather on hides that may hold them: by deals, and where
// these leave some out, by chains that begin with the best of them, of so many steps if
// the hides are worth as many. It gives nil if not all are placed.
func (s *search) layOn(c *choice, l *lay, holds *bound, steps int, stop func() bool) (*lay, error) {
	const (
		lot    = 2     // deals at a time
		deals  = 4     // for each effort
		chains = 2     // that go on with the best
		parts  = 4     // of their way: after each a few hides are dealt anew
		cooler = 0.56  // each part than that before
		short  = 50    // steps: a search that takes so many for each deal deals no more
		warmth = 0.001 // of the worth that a hide holds
	)
	p, grounds := s.p, holds.question.hides
	steps = max(100, min(steps, enoughSteps*c.effort*len(grounds)))
	start := l.clone()
	for _, gi := range c.hides {
		start.clear(gi, p.grounds[gi].y0, p.grounds[gi].y1)
	}
	all := 0.0
	for _, r := range p.rows {
		all += float64(r.qty) * r.worth
	}
	done := func(ch *chain) *lay {
		// With a price on cuts, hides are not worth more cuts.
		if p.complete(ch.made) && (p.job.Tools.Effort == 0 || ch.worth >= all-p.job.Tools.Effort*float64(l.cuts(p))) {
			return ch.best.without(p, ch.best.over(p, ch.made))
		}
		return nil
	}
	price := slices.Clone(holds.price)
	for k := range price {
		price[k] *= all
	}
	var tries []*chain
	for n := 0; n < deals*c.effort && n*short < steps && !stop(); n += lot {
		var dealt [lot]*chain
		var errs [lot]error
		for i := range dealt {
			ch := s.chain()
			ch.grounds = grounds
			ch.reprice(price)
			ch.placeAll(all)
			dealt[i] = ch
		}
		each(lot, func(i int) {
			ch := dealt[i]
			ch.now, errs[i] = newDeal(ch, c.leather, start, grounds, holds).run(start, n+i > 0, stop)
			ch.keep(ch.now)
			ch.energy = ch.rate(ch.now)
		})
		for i, ch := range dealt {
			if errs[i] != nil {
				return nil, errs[i]
			}
			if found := done(ch); found != nil {
				return found, nil
			}
		}
		tries = append(tries, dealt[:]...)
	}
	slices.SortStableFunc(tries, func(a, b *chain) int { return cmp.Compare(b.energy, a.energy) })
	tries = tries[:min(len(tries), chains)]
	errs := make([]error, len(tries))
	each(len(tries), func(i int) {
		heat := warmth * all / float64(len(grounds))
		for range parts {
			tries[i].improve(steps/parts, heat, heat*cooler, all, stop)
			if errs[i] = tries[i].again(c.leather, holds, stop); errs[i] != nil {
				return
			}
			heat *= cooler
		}
	})
	for i, ch := range tries {
		if errs[i] != nil {
			return nil, errs[i]
		}
		if found := done(ch); found != nil {
			return found, nil
		}
	}
	return nil, nil
}
