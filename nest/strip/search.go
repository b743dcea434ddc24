package strip

import (
	"cmp"
	"fmt"
	"math/rand/v2"
	"slices"
)

// search has chains compete in contests. In a contest each chain at first gives up a good
// part of a set's worth for what may come of it, and ever less, until it gives up nothing
// (annealing); where one comes to rest is a matter of luck, so a few go, and the next contest
// is longer. Chains do not know of each other, so that goroutines share them
// out and the result is the same. What the winner has found, and the lays that won
// before, are then mixed: a dive takes from each the bands that go best together. Then parts of the best are
// laid anew (renew.go).
type search struct {
	p       *problem
	known   *shapes
	seed    uint64
	number  uint64 // of chains begun
	price   []float64
	lean    [][]float64 // weights of the tilts of each hide; nil: all as they lie
	chains  []*chain    // of the contest that goes on
	length  int         // of that contest, in steps of each chain
	done    int         // of them
	held    int         // contests that are over
	had     float64     // what the best lay was worth when the last contest began
	idle    int         // contests, up to the last, that found nothing better
	won     []winner    // of contests, the last few
	best    *lay
	on      *problem // with hides as they lie in it
	made    []int
	worth   float64
	sought  map[string]bool // sets for which a lay was looked for
	kept    *chain          // of a relay: where all stays that can
	forager *forager        // nil until contests find nothing better
}

// winner is the lay that a contest ended with, its hides as they lie in the problem.
type winner struct {
	lay *lay
	on  *problem
}

// under gives what of the lay lies under the tilts of a problem.
func (w winner) under(p *problem) []mixture {
	var out []mixture
	for gi, bands := range w.lay.bands {
		if w.on.grounds[gi] == p.grounds[gi] {
			out = append(out, mixture{gi, bands})
		}
	}
	return out
}

const (
	entrants   = 4   // chains of a contest
	firstSteps = 780 // of each, in the first; every contest takes half as many again as the one before
	fewSteps   = 260 // of a chain: for fewer, fewer enter
	stages     = 4   // of a contest, after each of which it is told what was found
	warmth     = 0.3 // of the mean worth of a set: the heat at its start
	winners    = 6   // lays of contests kept for mixing
	mostMixed  = 2   // hides: a dive over more takes longer than it gains
)

func newSearch(p *problem, known *shapes, seed uint64) *search {
	return &search{p: p, known: known, seed: seed, best: p.emptyLay(), on: p, made: make([]int, len(p.rows)), sought: map[string]bool{}}
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

// begin has chains enter the next contest, for no more than so many steps in all.
func (s *search) begin(most int) {
	s.length, s.done, s.had = firstSteps, 0, s.worth
	for range s.held {
		s.length += s.length / 2
	}
	n := min(entrants, max(1, most/fewSteps))
	s.length = max(1, min(s.length, most/n))
	for range n {
		s.chains = append(s.chains, s.entrant())
	}
}

// round goes on with the contest, or begins one, for no more than so many
// steps. It returns the steps taken.
func (s *search) round(most int, bound float64, stop func() bool) (int, error) {
	if len(s.chains) == 0 {
		s.begin(most)
	}
	n := min((s.length+stages-1)/stages, s.length-s.done)
	heat := func(done int) float64 { return warmth * s.p.meanWorth() * float64(s.length-done) / float64(s.length) }
	each(len(s.chains), func(i int) {
		c := s.chains[i]
		if c.now == nil {
			c.first()
		}
		c.improve(n, heat(s.done), heat(s.done+n), bound, stop)
	})
	s.done += n
	taken := n * len(s.chains)
	slices.SortStableFunc(s.chains, func(a, b *chain) int { return cmp.Compare(b.worth, a.worth) })
	first := s.chains[0]
	s.take(first)
	if s.done < s.length {
		return taken, nil
	}
	steps := s.length * len(s.chains)
	s.chains, s.held = nil, s.held+1
	s.won = append(s.won, winner{first.best, first.p})
	if len(s.won) > winners {
		s.won = s.won[1:]
	}
	err := s.mix(first, stop)
	if err == nil {
		err = s.renew(steps, bound, stop)
	}
	if s.idle++; s.worth > s.had+proof(s.had) {
		s.idle = 0
	}
	return taken, err
}

// mix dives over the lays that won, and keeps what it finds if it is better.
func (s *search) mix(c *chain, stop func() bool) error {
	p := c.p
	used := p.used()
	if p.large(used) > mostMixed {
		return nil
	}
	for try := range uint64(len(s.won)) {
		d := newDive(p, c.build, rand.New(rand.NewPCG(s.seed, s.number<<8|try)), p.emptyLay(), used)
		for i := range s.won { // the newest first, or the one whose turn it is
			d.known = append(d.known, s.won[(uint64(i)+try)%uint64(len(s.won))].under(p)...)
		}
		if err := d.run(stop); err != nil {
			return err
		}
		c.keep(d.lay)
	}
	s.take(c)
	return nil
}

// show keeps a lay that makes those sets if it is the best, and gives the worth of the best.
func (s *search) show(l *lay, sets []int) float64 {
	c := s.aside(s.p, 0)
	c.keep(l)
	if w := s.p.worthOf(sets); s.p.job.Tools.Effort == 0 && w > c.worth+proof(w) { // what is chosen from its pieces is not always the most
		c.best, c.made, c.worth = l, sets, w
	}
	s.take(c)
	return s.worth
}

// bestSets are those that the best lay makes.
func (s *search) bestSets() []int { return s.made }

// aside begins a chain that is in no contest.
func (s *search) aside(p *problem, i int) *chain {
	c := newChain(p, s.known, s.seed, uint64(len(s.sought))<<32|uint64(i)) // no number of a contest's
	c.reprice(s.price)
	return c
}

// find looks for a lay that makes those sets, unless it did before, and gives the worth of the best lay known.
func (s *search) find(sets []int, stop func() bool) float64 {
	const steps = 300 // of a chain; what is found is mostly found at once
	key := fmt.Sprint(sets)
	if s.sought[key] {
		return s.worth
	}
	s.sought[key] = true
	q, chains, worth := s.p.making(sets), make([]*chain, entrants), s.p.worthOf(sets)
	q.survey()
	each(len(chains), func(i int) {
		chains[i] = s.aside(q, i)
		chains[i].first()
		chains[i].improve(steps, warmth*s.p.meanWorth(), 0, worth, stop)
	})
	all := s.aside(s.p, 0) // in which the lays are worth what else they make, too
	for _, c := range chains {
		all.keep(c.best)
	}
	s.take(all)
	return s.worth
}
