package strip

import (
	"math"
	"math/rand/v2"
)

// A search fills windows with strips and with bands that are known, and bands become known when
// the bound asks for all of them: at its own prices, on a hide on which nothing lies, whatever is
// left to lay. Where contests find nothing better, what can be made of those is mostly made. Then
// a forager asks for bands as a window of a lay wants them, of what the lay lacks, at shaken prices,
// which fall for kinds of which they hold more than that. So bands become known that are the best at no
// prices of a whole hide, as where a piece or two of each size are wanted.
type forager struct {
	s      *search
	market *bound // whose hides are asked; what it bounds is of no account
	random *rand.Rand
}

const (
	foragePatience = 2   // contests that find nothing better
	forageHides    = 2   // more are asked longer than it gains
	forageTime     = 2.0 // of that of the contest before
	forageShaken   = 0.6 // the most that prices are shaken, see mostShaken
	forageSpared   = 0.3 // the greatest chance of a kind to be left for elsewhere
	forageRounds   = 10  // of asking, until no more of a kind is sold than is wanted
	forageCut      = 0.3 // the share of its price that a kind loses of which far more is
)

// seek makes bands known if the last contests found nothing better, and on rectangles after each. To ask all hides for all
// bands takes as long as so many steps.
func (s *search) seek(steps int, stop func() bool) {
	plain, used := s.p.job.Tools.Deepest == 0, s.p.used() // plain: there are no bands but strips
	patience := foragePatience
	if len(s.rectangles()) == len(used) { // where asking is cheap
		patience = 0
	}
	if s.held == 0 || s.idle < patience || plain || len(used) == 0 || s.p.ways != nil || s.p.large(used) > forageHides {
		return
	}
	if s.forager == nil {
		s.forager = &forager{s: s, market: newBound(s.p, s.known, s.p.whole())}
	}
	s.forager.run(forageTime*float64(entrants*s.length)/float64(steps), stop)
}

// run asks for bands in windows of the lays that won, as long as all bands of all hides are asked for so many times.
func (f *forager) run(times float64, stop func() bool) {
	p, won, used := f.s.p, f.s.won, f.s.p.used()
	f.random = rand.New(rand.NewPCG(f.s.seed, f.s.number<<16)) // no chain has that number
	all := 0.0
	for _, gi := range used {
		all += float64(p.grounds[gi].y1 - p.grounds[gi].y0)
	}
	for times > 0 && !stop() {
		l := won[f.random.IntN(len(won))].lay.clone()
		at := p.cleared(l, used, f.random)[0]
		lo, hi, _, _ := p.between(l, at.ground, at.y)
		n := f.ask(l, at.ground, lo, hi, stop)
		times -= float64(n) * max(float64(hi-lo), 1) / all
	}
}

// ask makes known which bands between two marks of a hide go best with what lies, and says how
// often it asked.
func (f *forager) ask(l *lay, gi, lo, hi int, stop func() bool) int {
	p, m := f.s.p, f.market
	w := m.hides[gi].ways[0]
	reach := make([]int32, w.g.y1-w.g.y0+1)
	for y := lo; y < hi; y++ {
		reach[y-w.g.y0] = int32(hi - w.g.y0)
	}
	w.within(reach)
	shake, spared := f.random.Float64(), forageSpared*f.random.Float64()
	shake *= shake * forageShaken
	price := p.prices(f.s.price)
	w.caps = grown(w.caps, len(price))
	for k := range price {
		w.caps[k] = max(0, p.demand[k]-l.laid[k])
		price[k] *= math.Exp(shake * f.random.NormFloat64())
		if w.caps[k] == 0 || f.random.Float64() < spared {
			price[k] = 0
		}
	}
	for round := 1; ; round++ {
		unit := p.unitFor(price)
		m.units = inUnits(price, unit, m.units)
		m.sell([]*way{w}, unit, true)
		over := false
		for k, n := range w.laid {
			if wanted := float64(w.caps[k]); n > wanted {
				over = true
				price[k] *= 1 - forageCut*(1-wanted/n)
			}
		}
		if !over || round == forageRounds || stop() {
			return round
		}
	}
}
