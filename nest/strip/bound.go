package strip

import (
	"math"
	"runtime"
	"slices"

	"strapwise/nest/internal/linear"
)

// The bound is Lagrangian. A plan makes s sets of each row from x pieces of
// each kind; it may not use more pieces than it lays: A s ≤ x. Put a price
// u ≥ 0 on each piece instead of that rule, and the most that is left falls
// apart into sets, which buy their pieces, and hides, which sell them:
//
//	L(u) = Σ rows qty · max(0, worth − u·A) + Σ leathers min( Σ hides most(u), u·demand )
//
// Every plan is worth at most L(u), whatever u is: the sets it makes are worth
// at most what they pay for pieces plus the first sum, and no hide can sell
// more than the second. A leather sells no more than is asked for, hence the
// min. most(u) is never less than the truth (see sweep and bands), and of the
// price of cuts only what no lay can save is charged. So the least L(u) met on
// the way is a bound, and nothing but an evaluated L(u) is ever reported.
//
// The prices come from the master problem of Dantzig and Wolfe (Operations
// Research 8, 1960): the best mixture of the lays met so far. Its optimal prices
// swing wildly while few lays are known, so L is asked between them and the best
// prices so far (Wentges, International Transactions in Operational Research 4,
// 1997). Lays of strips and of shapes known are found in a tenth of a
// millisecond, those of all bands in a hundred times that; so the master is
// solved over the former until they have nothing new, and only then are all
// bands asked, whose best are shapes known from then on.
//
// The prices that make L small also guide the search: they are what a piece of
// each kind is worth to the lay.

// question is what a bound is asked about: usually all rows, at their worth,
// and all hides, which come free.
type question struct {
	gain    []float64 // of a set of each row
	hides   []int     // grounds
	cost    []float64 // of cutting into a hide, by ground; nil: none
	leather string    // whose pieces count; "": all
	toll    float64   // what a cut costs
}

// whole is the question of the most worth.
func (p *problem) whole() question {
	q := question{toll: p.job.Tools.Effort}
	for i := range p.rows {
		q.gain = append(q.gain, p.rows[i].worth)
	}
	for i := range p.grounds {
		q.hides = append(q.hides, i)
	}
	return q
}

// money is the question of the most worth in money, whatever is due.
func (p *problem) money() question {
	q := p.whole()
	for i := range p.rows {
		q.gain[i] = p.rows[i].order.Worth
	}
	return q
}

// bound improves prices and keeps the least L(u).
type bound struct {
	asked   question
	p       *problem
	shapes  *shapes
	hides   []*seller
	least   float64   // the least L(u) of all bands and all tilts, capped: the bound
	proof   []float64 // the prices that gave it
	best    float64   // the least L(u) of all bands with hides as they lie, capped
	at      []float64 // the prices that gave it
	low     float64   // the least L(u) of the lays known, not capped
	price   []float64 // the prices that gave low
	master  *linear.Program
	units   []int32 // of the last asking
	finders []finder
}

// seller is a hide that sells pieces to the master.
type seller struct {
	sweep
	g     *ground
	bands *bands    // nil where every band is one strip
	cost  float64   // of cutting into the hide
	laid  []float64 // pieces of the last lay
	value float64   // what they fetched, less effort

	others []*seller // the hide under other tilts
}

// most is what the hide sells, as it lies or under any tilt last asked.
func (s *seller) most(tilts bool) float64 {
	most := s.value
	if tilts {
		for _, o := range s.others {
			most = max(most, o.value)
		}
	}
	return max(0, most-s.cost)
}

func newBound(p *problem, known *shapes, q question) *bound {
	b := &bound{p: p, asked: q, shapes: known, low: math.Inf(1), price: make([]float64, len(p.kinds))}
	limits := make([]float64, len(p.kinds), len(p.kinds)+len(q.hides))
	for k, n := range p.gifts {
		limits[k] = float64(n)
	}
	sells := func(g *ground) *seller {
		s := &seller{sweep: sweep{p: p, shapes: known, gap: p.leastGap(), toll: q.toll}, g: g, laid: make([]float64, len(p.kinds))}
		if p.job.Tools.Deepest > 0 && g.across > 0 && g.cells > 0 {
			s.bands = newBands(&s.sweep, g)
		}
		return s
	}
	for _, gi := range q.hides {
		g := p.grounds[gi]
		s := sells(g)
		if q.cost != nil {
			s.cost = q.cost[gi]
		}
		for _, other := range p.others[g] {
			s.others = append(s.others, sells(other))
		}
		b.hides = append(b.hides, s)
		limits = append(limits, 1)
	}
	b.master = linear.New(limits)
	all := 0.0
	for i, r := range p.rows { // at no price at all, every set is made
		all += float64(r.qty) * q.gain[i]
		var takes []linear.Entry
		for _, n := range r.needs {
			if b.counts(n.kind) {
				takes = append(takes, linear.Entry{Row: n.kind, By: float64(n.count)})
			}
		}
		b.master.Add(q.gain[i], float64(r.qty), takes)
	}
	b.least, b.best = all, all
	area := 0.0
	for k, kd := range p.kinds {
		if b.counts(k) {
			area += kd.area * float64(p.demand[k])
		}
	}
	for k, kd := range p.kinds {
		if b.counts(k) {
			b.price[k] = kd.area * all / max(area, 1)
		}
	}
	return b
}

// counts reports whether pieces of the kind are asked about.
func (b *bound) counts(k int) bool {
	return b.asked.leather == "" || b.asked.leather == b.p.kinds[k].leather
}

// scope is what hides look at when they are asked what they sell.
type scope int

const (
	knownBands scope = iota // strips and the shapes in stock, which guides the master but bounds nothing
	allBands                // of the hides as they lie
	allTilts                // and of those under the other tilts
)

// ask gives L(u), with the caps and without. The prices are rounded to units first.
func (b *bound) ask(u []float64, of scope) (capped, total float64) {
	p := b.p
	unit := p.unitFor(u)
	b.units = inUnits(u, unit, b.units)
	for k, n := range b.units {
		u[k] = float64(n) * unit
	}
	for i, r := range p.rows {
		gain := b.asked.gain[i]
		for _, n := range r.needs {
			gain -= u[n.kind] * float64(n.count)
		}
		total += float64(r.qty) * max(0, gain)
	}
	asked := b.sellers(of)
	each(len(asked), func(i int) { asked[i].price(asked[i].g, b.units, unit) })
	if of != knownBands {
		b.findBands(asked)
	}
	each(len(asked), func(i int) { asked[i].sell(of != knownBands) })
	if of != knownBands {
		for _, s := range b.hides { // one after another, since they share what is known
			s.learn()
		}
	}

	sold := map[string]float64{}
	capped = total
	for k, n := range p.gifts { // what is cut already is sold, too
		sold[p.kinds[k].leather] += u[k] * float64(n)
		total += u[k] * float64(n)
	}
	for _, s := range b.hides {
		most := s.most(of == allTilts)
		sold[s.g.hide.Leather()] += most
		total += most
	}
	wanted := map[string]float64{}
	for k, kd := range p.kinds {
		wanted[kd.leather] += u[k] * float64(p.demand[k])
	}
	for _, l := range p.leathers() {
		capped += min(sold[l], wanted[l])
	}
	return capped, total
}

// sellers are those that are asked.
func (b *bound) sellers(of scope) []*seller {
	if of != allTilts {
		return b.hides
	}
	out := slices.Clone(b.hides)
	for _, s := range b.hides {
		out = append(out, s.others...)
	}
	return out
}

// findBands finds the bands of all hides under the prices of their sweeps. The
// near edges of a hide are shared out in lots.
func (b *bound) findBands(asked []*seller) {
	const lot = 64
	type work struct {
		bands  *bands
		lo, hi int
	}
	var works []work
	for _, s := range asked {
		if s.bands == nil {
			continue
		}
		s.g.survey()
		for n, lo := len(s.bands.value), 0; lo < n; lo += lot {
			works = append(works, work{s.bands, lo, min(lo+lot, n)})
		}
	}
	b.finders = grown(b.finders, runtime.GOMAXPROCS(0))
	share(b.finders, len(works), func(w *finder, i int) { w.find(works[i].bands, works[i].lo, works[i].hi) })
}

// sell sweeps the hide, over all bands or those known, and counts what it sells.
func (s *seller) sell(all bool) {
	s.of = nil
	if all {
		s.of = s.bands
	}
	s.value = float64(s.run(s.g, s.g.y0, s.g.y1, false, false)) * s.unit
	clear(s.laid)
	s.walk(s.g, s.g.y0, s.g.y1, false, func(rips []rip) { s.count(rips, s.laid) })
}

// learn makes known the bands of the last sweep, and from every near edge the
// one that comes closest to being part of it.
func (s *seller) learn() {
	const near = 0.003 // of the hide's worth
	if s.bands == nil {
		return
	}
	slack := int32(near * s.value / s.unit)
	for y := s.g.y0; y < s.g.y1; y++ {
		if j := s.bands.likely(y, &s.sweep, slack); j > 0 {
			s.shapes.add(s.g, s.bands.shape(y, j))
		}
	}
}

// improve asks for better prices so many times over all bands, each time after
// the master has learnt all that is known. It ends at once when the bound meets
// the target, the worth of the best plan known, or cannot fall. Other tilts are asked
// once, at the best prices.
func (b *bound) improve(rounds int, target float64, stop func() bool) error {
	if err := b.lower(rounds, target, stop); err != nil || b.at == nil {
		return err
	}
	switch {
	case b.best >= b.least:
	case len(b.p.others) == 0:
		b.least, b.proof = b.best, b.at
	case !stop():
		u := slices.Clone(b.at)
		if capped, _ := b.ask(u, allTilts); capped < b.least {
			b.least, b.proof = capped, u
		}
	}
	return nil
}

// lower looks for better prices with hides as they lie.
func (b *bound) lower(rounds int, target float64, stop func() bool) error {
	const exact = 1e-6 // of the worth: a gap between L and the master that no search would notice
	for range rounds {
		if err := b.settle(stop); err != nil {
			return err
		}
		if stop() {
			return nil
		}
		u := slices.Clone(b.price)
		capped, total := b.ask(u, allBands)
		if capped < b.best {
			b.best, b.at = capped, u
		}
		news := b.offer()
		if b.down(b.best) <= target+proof(target) || news == 0 || total-b.low < exact*total {
			return nil
		}
		b.low = total // of the lays known from here on
	}
	return nil
}

// settle finds the prices that are best while hides know only strips and the
// shapes in stock.
func (b *bound) settle(stop func() bool) error {
	const (
		exact = 1e-6 // of the worth
		most  = 2000 // pivots: far more than one new lay a hide takes
	)
	between := 0.7 // how near to the best prices so far L is asked
	u := make([]float64, len(b.price))
	for !stop() {
		if _, err := b.master.Solve(most); err != nil {
			return err
		}
		if gap := b.low - b.master.Value(); gap <= exact*b.master.Value() {
			return nil
		}
		for k := range u {
			u[k] = between*b.price[k] + (1-between)*b.master.Price(k)
		}
		_, total := b.ask(u, knownBands)
		news := b.offer()
		switch {
		case total < b.low:
			b.low = total
			copy(b.price, u)
		case news == 0 && between == 0:
			return nil
		case news == 0:
			if between -= 0.35; between < 0.1 {
				between = 0
			}
			continue
		}
		between = 0.7
	}
	return nil
}

// offer gives the master the lays of the last asking that its prices make
// worth having, and says how many they were.
func (b *bound) offer() int {
	const pays = 1e-7 // of the worth
	news := 0
	for i, s := range b.hides {
		row := len(b.p.kinds) + i
		gain, worth := s.value, 0.0
		entries := []linear.Entry{{Row: row, By: 1}}
		for k, n := range s.laid {
			if n > 0 {
				gain -= n * float64(b.units[k]) * s.unit // what is left is the effort
				worth += n * b.master.Price(k)
				entries = append(entries, linear.Entry{Row: k, By: -n})
			}
		}
		if gain = min(gain, 0) - s.cost; gain+worth-b.master.Price(row) > pays*max(b.low, 1) {
			b.master.Add(gain, 1, entries)
			news++
		}
	}
	return news
}

// meets reports whether no plan can be worth more than target.
func (b *bound) meets(target float64) bool { return b.worth() <= target+proof(target) }

// worth is the bound, rounded down to what a plan's worth can be.
func (b *bound) worth() float64 { return b.down(b.least) }

// down is an L(u) rounded down to what a plan's worth can be.
func (b *bound) down(l float64) float64 {
	unit := worthUnit(b.asked)
	if unit == 0 {
		return l
	}
	return math.Floor(l/unit+1e-7) * unit
}

// proof is how near two sums of money must be to be the same.
func proof(worth float64) float64 { return 1e-9 * max(1, math.Abs(worth)) }
