package strip

import (
	"math"
	"math/rand/v2"
	"slices"
)

// chain improves a lay by ruin and recreate: a few windows of the depth of
// hides are cleared and filled again by their own sweep at prices shaken a
// little, for the pieces then wanted. Lays that are a little worse are kept at
// first and less and less so (annealing), always from the same seed the same.
type chain struct {
	p       *problem
	number  uint64
	build   *builder
	chooser *chooser
	random  *rand.Rand
	price   []float64 // what a piece of each kind is worth to the lay
	grounds []int     // the hides it may lay anew
	sets    []int     // scratch
	over    []int     // scratch
	weight  []float64 // what a piece of each kind counts, where all are to be placed; nil: sets count
	now     *lay      // where the chain stands
	energy  float64   // of now
	best    *lay
	made    []int   // sets of each row that best gives
	worth   float64 // of best
}

func newChain(p *problem, known *shapes, seed, number uint64) *chain {
	s := &chain{
		p: p, number: number, build: newBuilder(p, known), random: rand.New(rand.NewPCG(seed, number)),
		sets: make([]int, len(p.rows)), best: p.emptyLay(), made: make([]int, len(p.rows)), grounds: p.used(),
	}
	s.reprice(nil)
	return s
}

// reprice takes the bound's prices.
func (s *chain) reprice(u []float64) {
	s.price = s.p.prices(u)
	s.chooser = newChooser(s.p, s.price)
}

// prices are what pieces are worth to a lay at the bound's, or by their area if it has none. A kind
// that the bound deems free still gets a little for its area, or it would never be laid.
func (p *problem) prices(u []float64) []float64 {
	const little = 0.05
	out := make([]float64, len(p.kinds))
	for k, kd := range p.kinds {
		out[k] = kd.area * p.unit
		if u != nil {
			out[k] = u[k] + little*out[k]
		}
		out[k] += 2 * p.job.Tools.Effort
	}
	return out
}

// first lays the hides one after another, each swept whole: remnants first,
// then the least of them that are left, so that little is cut into. It asks for
// no more sets, the most gainful first, than the area of the leather may give.
func (s *chain) first() {
	p := s.p
	const full = 0.9 // of a leather's area: more is rarely laid
	free := map[string]float64{}
	for _, g := range p.grounds {
		free[g.hide.Leather()] += full * g.area
	}
	for k, n := range p.gifts {
		free[p.kinds[k].leather] += float64(n) * p.kinds[k].area
	}
	want := make([]int, len(p.kinds))
	for _, i := range s.chooser.order {
		for range p.rows[i].qty {
			area := map[string]float64{}
			fits := true
			for _, n := range p.rows[i].needs {
				kd := p.kinds[n.kind]
				area[kd.leather] += kd.area * float64(n.count)
				fits = fits && area[kd.leather] <= free[kd.leather]
			}
			if !fits {
				break
			}
			for _, n := range p.rows[i].needs {
				kd := p.kinds[n.kind]
				free[kd.leather] -= kd.area * float64(n.count)
				want[n.kind] += n.count
			}
		}
	}
	l := p.begun.start(p, s.number)
	for k := range want {
		want[k] -= l.laid[k]
	}
	for _, gi := range p.cheapestFirst() {
		s.lay(l, gi, s.price, want)
	}
	s.keep(l)
}

// lay fills a hide on which nothing lies with what is wanted, which it counts
// down: from the backbone outward, where that runs through the leather, and
// then on the other side of it. Where bands lie, it fills what is free.
func (s *chain) lay(l *lay, gi int, price []float64, want []int) {
	if len(l.bands[gi]) > 0 {
		for _, w := range s.p.free(l, []int{gi}) {
			s.build.window(l, gi, w.lo, w.hi, w.near, w.far, price, want)
		}
		return
	}
	for _, y := range s.p.grounds[gi].sides() {
		lo, hi, near, far := s.p.between(l, gi, y)
		s.build.window(l, gi, max(lo, y), hi, near, far, price, want)
	}
}

// sides are the marks from which a hide is first laid.
func (g *ground) sides() []int {
	if g.y0 < 0 && g.y1 > 0 {
		return []int{0, g.y0}
	}
	return []int{g.y0}
}

// cheapestFirst orders hides for the first lay.
func (p *problem) cheapestFirst() []int {
	order := make([]int, len(p.grounds))
	for i := range order {
		order[i] = i
	}
	fresh := func(i int) int {
		if p.grounds[i].part.loose {
			return -1
		}
		if p.grounds[i].hide.Form() == "remnant" {
			return 0
		}
		return 1
	}
	slices.SortStableFunc(order, func(a, b int) int {
		if d := fresh(a) - fresh(b); d != 0 {
			return d
		}
		return int(math.Copysign(1, p.grounds[a].area-p.grounds[b].area))
	})
	return order
}

// keep takes the lay as the best if it is worth more.
func (s *chain) keep(l *lay) bool {
	if w := s.tidied(l).worth(s.p, s.chooser, s.sets); w > s.worth+proof(s.worth) {
		s.best, s.made, s.worth = l.clone(), slices.Clone(s.sets), w
		return true
	}
	return false
}

// tidied is the lay without the pieces that complete no set.
func (s *chain) tidied(l *lay) *lay {
	if s.p.job.Tools.Effort == 0 {
		return l // what is over costs nothing; record leaves it out
	}
	over := slices.Clone(l.laid)
	s.chooser.choose(over, s.sets)
	return l.without(s.p, over)
}

// rate is what the chain climbs: the worth of complete sets, and of every
// row's next set a share that grows with what there is of it, so that a lay
// that lacks little is preferred to one that lacks much. Where all pieces are to
// be placed, it is the weight of those that are.
func (s *chain) rate(l *lay) float64 {
	if s.weight != nil {
		sum := 0.0
		for k, n := range l.laid {
			sum += s.weight[k] * float64(n)
		}
		return sum
	}
	const waiting = 0.85 // more, or less, found lays of less worth on sides
	s.over = append(s.over[:0], l.laid...)
	worth := s.chooser.choose(s.over, s.sets)
	for _, i := range s.chooser.order {
		r := &s.p.rows[i]
		if s.sets[i] == r.qty {
			continue
		}
		have, all := 0.0, 0.0
		for _, n := range r.needs {
			have += s.price[n.kind] * float64(min(n.count, s.over[n.kind]))
			all += s.price[n.kind] * float64(n.count)
		}
		worth += waiting * r.worth * (have / all) * (have / all)
		for _, n := range r.needs {
			s.over[n.kind] -= min(n.count, s.over[n.kind])
		}
	}
	return worth - s.p.job.Tools.Effort*float64(l.cuts(s.p))
}

// placeAll has the chain climb towards a lay of all pieces, which count what they
// cost, in shares of the worth of all sets.
func (s *chain) placeAll(worth float64) {
	sum := 0.0
	for k, n := range s.p.demand {
		sum += s.price[k] * float64(n)
	}
	s.weight = make([]float64, len(s.price))
	for k := range s.weight {
		s.weight[k] = s.price[k] * worth / sum
	}
}

// insist makes the kinds of which a piece is missing dearer and weightier, so
// that those hard to place are placed before the others.
func (s *chain) insist() {
	const by = 0.02 // 0.01 to 0.03 placed the most on racks of 20 hides; 0.1 was worse than none
	for k, n := range s.now.laid {
		if n < s.p.demand[k] {
			s.price[k] *= 1 + by
			s.weight[k] *= 1 + by
		}
	}
	s.energy = s.rate(s.now)
}

// aim says how many pieces of each kind to have: for the sets that the lay
// gives, and for as many more, the most gainful first but shaken, as the gap to
// the bound may pay for.
func (s *chain) aim(l *lay, gap float64) []int {
	s.over = append(s.over[:0], l.laid...)
	s.chooser.choose(s.over, s.sets)
	rows := slices.Clone(s.chooser.order)
	for i := range rows { // shake: swap with one of the next few
		const far = 6
		j := min(i+s.random.IntN(far), len(rows)-1)
		rows[i], rows[j] = rows[j], rows[i]
	}
	budget := gap * (0.5 + 1.5*s.random.Float64())
	for _, i := range rows {
		r := &s.p.rows[i]
		for s.sets[i] < r.qty && budget > 0 {
			s.sets[i]++
			budget -= max(r.worth, gap/100)
		}
	}
	want := make([]int, len(s.p.kinds))
	for i, n := range s.sets {
		for _, need := range s.p.rows[i].needs {
			want[need.kind] += n * need.count
		}
	}
	return want
}

// mostShaken is the most that prices are shaken, as the deviation of their logarithm. Most
// steps shake little: the bound's prices are good. Now and then a step goes by what pieces
// share of the worth of their sets, much shaken: the bound's prices favour nothing between
// lays that it mixes. Of these numbers, lesser ones find as much on bends and sides, and
// less often the optimum of a small job.
const (
	mostShaken = 0.3
	wildShaken = 1.0
	wildEvery  = 40
)

// A step clears up to so many windows, each as deep as up to so many of the widest
// strips. Lesser ones are sooner filled, and find less in the same time.
const (
	mostHoles = 8
	mostDeep  = 6
)

// patience is how many steps a chain that is to place all pieces takes before it
// insists on those that are missing.
const patience = 25

// improve takes so many steps, while the heat, in money, falls from one number
// to another. It ends early if stop says so, nothing is left to gain or no leather to lay on.
func (s *chain) improve(steps int, hot, cool, bound float64, stop func() bool) {
	if s.now == nil {
		s.now = s.best.clone()
	}
	s.energy = s.rate(s.now)
	shaken := make([]float64, len(s.price))
	for step := range steps {
		if stop() || s.worth >= bound-proof(bound) || len(s.grounds) == 0 {
			return
		}
		if s.weight != nil && step%patience == patience-1 {
			s.insist()
		}
		trial := s.now.clone()
		shake := s.random.Float64()
		price := s.price
		if shake *= shake * shake * mostShaken; step%wildEvery == wildEvery-1 {
			price, shake = s.p.shares, wildShaken*s.random.Float64()
		}
		for k := range shaken {
			shaken[k] = price[k] * math.Exp(shake*s.random.NormFloat64())
		}
		s.ruin(trial, s.grounds, shaken, s.aim(s.now, max(bound-s.worth, 0)))
		heat := hot + (cool-hot)*float64(step)/float64(steps)
		if e := s.rate(trial); e >= s.energy || s.random.Float64() < math.Exp((e-s.energy)/(heat+1e-12)) {
			s.now, s.energy = trial, e
			s.keep(s.now)
		}
	}
}

// used gives the hides that pieces are asked from.
func (p *problem) used() []int {
	var out []int
	for i, g := range p.grounds {
		if len(g.lanes) > 0 && g.y1 > g.y0 {
			out = append(out, i)
		}
	}
	return out
}

// ruin clears windows of the lay and fills them again at the prices given, with
// what is wanted and not there.
func (s *chain) ruin(l *lay, used []int, price []float64, want []int) {
	holes := s.p.cleared(l, used, s.random)
	for k := range want {
		want[k] -= l.laid[k]
	}
	s.random.Shuffle(len(holes), func(i, j int) { holes[i], holes[j] = holes[j], holes[i] })
	for _, h := range holes {
		lo, hi, near, far := s.p.between(l, h.ground, h.y)
		s.build.window(l, h.ground, lo, hi, near, far, price, want)
	}
}

// clearing is where a lay was cleared, from mark y on.
type clearing struct{ ground, y int }

// cleared clears some windows of the lay.
func (p *problem) cleared(l *lay, used []int, random *rand.Rand) []clearing {
	var holes []clearing
	for range 1 + random.IntN(mostHoles) {
		gi := used[random.IntN(len(used))]
		g := p.grounds[gi]
		deepest := g.lanes[len(g.lanes)-1].width
		depth := min(g.y1-g.y0, deepest*(1+random.IntN(mostDeep)))
		lo := g.y0 + random.IntN(max(1, g.y1-g.y0-depth+1))
		l.clear(gi, lo, lo+depth)
		holes = append(holes, clearing{gi, lo})
	}
	return holes
}

// between gives the free stretch of a hide about mark y, and whether strips
// adjoin it. A stretch that is filled already is empty.
func (p *problem) between(l *lay, gi, y int) (lo, hi int, near, far bool) {
	g := p.grounds[gi]
	lo, hi, near = g.y0, g.y1, g.part.ripped()
	for _, s := range l.bands[gi] {
		end := s.end()
		switch {
		case s.y <= y:
			lo, near = max(lo, end), true
		case s.y < hi:
			hi, far = s.y, true
		}
	}
	return lo, max(lo, hi), near, far
}
