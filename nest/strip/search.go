package strip

import (
	"cmp"
	"math/rand/v2"
	"slices"
)

// search has chains compete, in two kinds of contest: after two tournaments comes a slow
// one, and so on. In a tournament they hardly leave what is better for what is worse: a
// good lay is soon there, but where a chain comes to rest is much a matter of luck, and
// going on does not mend a bad start; so a few go some way, the better half of them twice
// as far, and so on to the last. In a slow contest each gives up as much as a set of a row for what may come of
// it, and ever less, all the way to its end: that takes longer, and finds lays that
// no tournament does. Chains do not know of each other, so that goroutines share them
// out and the result is the same. What the winner has found, and the lays that won
// before, are then mixed: a dive takes from each the bands that go best together.
type search struct {
	p      *problem
	known  *shapes
	seed   uint64
	number uint64 // of chains begun
	price  []float64
	lean   [][]float64 // weights of the tilts of each hide; nil: all as they lie
	chains []*chain    // of the contest that goes on
	held   int         // contests, with this one
	slow   bool        // whether chains cool down to the end of this one
	steps  int         // of the next round, for each chain
	heat   float64     // at its start
	won    []winner    // of contests, the last few
	best   *lay
	on     *problem // with hides as they lie in it
	made   []int
	worth  float64
	kept   *chain // of a relay: where all stays that can
}

// winner is the lay that a contest ended with, its hides as they lie in the problem.
type winner struct {
	lay *lay
	on  *problem
}

const (
	entrants   = 4     // chains of a contest
	roundSteps = 260   // of the first round of a tournament
	warmth     = 0.002 // of the bound: the heat at its start
	cooling    = 0.5   // from the start of a round to that of the next
	slowEvery  = 3     // of so many contests one is slow
	slowSteps  = 1300  // of the first slow contest, for each chain; each takes half as many again as the one before
	slowWarmth = 0.6   // of the mean worth of a set: the heat at its start
	winners    = 6     // lays of contests kept for mixing
	mostMixed  = 2     // hides: a dive over more takes longer than it gains
)

func newSearch(p *problem, known *shapes, seed uint64) *search {
	return &search{p: p, known: known, seed: seed, best: p.emptyLay(), on: p, made: make([]int, len(p.rows))}
}

// chain begins one more chain, its hides as they lie.
func (s *search) chain() *chain { return s.chainOn(s.p) }

// entrant begins one more chain, its hides under tilts of its own.
func (s *search) entrant() *chain {
	p := s.p.lying(s.lean, s.number)
	p.survey()
	return s.chainOn(p)
}

func (s *search) chainOn(p *problem) *chain {
	c := newChain(p, s.known, s.seed, s.number)
	s.number++
	if s.price != nil {
		c.reprice(s.price)
	}
	return c
}

// first lays all hides once.
func (s *search) first() {
	c := s.entrant()
	c.first()
	s.take(c)
}

// take keeps what a chain has found if it is the best. Of equals the earlier stays.
func (s *search) take(c *chain) {
	if c.worth > s.worth+proof(s.worth) {
		s.best, s.on, s.made, s.worth = c.best, c.p, slices.Clone(c.made), c.worth
	}
}

// begin has chains enter the next contest, for no more than so many steps in all: a slow
// one if it is its turn and half of its steps are left, since one cut short ends hot.
func (s *search) begin(most int, bound float64) {
	s.held++
	s.slow, s.steps, s.heat = false, roundSteps, warmth*bound
	if s.held%slowEvery == 0 {
		steps := slowSteps
		for range s.held/slowEvery - 1 {
			steps += steps / 2
		}
		if 2*most >= entrants*steps {
			s.slow, s.steps, s.heat = true, steps, slowWarmth*s.p.meanWorth()
		}
	}
	for range min(entrants, max(1, most/roundSteps)) {
		s.chains = append(s.chains, s.entrant())
	}
}

// round goes on with the contest, or begins one, for no more than so many
// steps. It returns the steps taken.
func (s *search) round(most int, bound float64, stop func() bool) (int, error) {
	if len(s.chains) == 0 {
		s.begin(most, bound)
	}
	n, cool := min(s.steps, max(1, most/len(s.chains))), s.heat*cooling
	if s.slow {
		cool = 0
	}
	each(len(s.chains), func(i int) {
		c := s.chains[i]
		if c.now == nil {
			c.first()
		}
		c.improve(n, s.heat, cool, bound, stop)
	})
	taken := n * len(s.chains)
	slices.SortStableFunc(s.chains, func(a, b *chain) int { return cmp.Compare(b.worth, a.worth) })
	last := s.chains[0]
	s.take(last)
	s.steps, s.heat = 2*s.steps, cool
	if len(s.chains) > 1 && !s.slow {
		s.chains = s.chains[:len(s.chains)/2]
		return taken, nil
	}
	s.chains = nil
	s.won = append(s.won, winner{last.best, last.p})
	if len(s.won) > winners {
		s.won = s.won[1:]
	}
	return taken, s.mix(last, stop)
}

// mix dives over the lays that won, and keeps what it finds if it is better.
func (s *search) mix(c *chain, stop func() bool) error {
	p := c.p
	used := p.used()
	if large := slices.DeleteFunc(slices.Clone(used), func(gi int) bool { return p.grounds[gi].part.loose }); len(large) > mostMixed {
		return nil
	}
	for try := range uint64(len(s.won)) {
		d := newDive(p, c.build, rand.New(rand.NewPCG(s.seed, s.number<<8|try)), p.emptyLay(), used)
		for i := range s.won { // the newest first, or the one whose turn it is
			w := s.won[(uint64(i)+try)%uint64(len(s.won))]
			for gi, bands := range w.lay.bands {
				if w.on.grounds[gi] == p.grounds[gi] { // under the same tilt
					d.known = append(d.known, mixture{gi, bands})
				}
			}
		}
		if err := d.run(stop); err != nil {
			return err
		}
		c.keep(d.lay)
	}
	s.take(c)
	return nil
}
