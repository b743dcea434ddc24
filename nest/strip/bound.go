package strip

import (
	"math"
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
// the way is a bound. Nothing else is reported, unless parts of all plans prove less (whole.go).
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
	question question
	p        *problem
	shapes   *shapes
	hides    []*seller
	least    float64   // no plan is worth more: the least L(u) of all bands under all tilts, capped, or what parts of all plans prove (whole.go)
	best     float64   // the least L(u) of all bands under the tilts that are asked, capped
	at       []float64 // the prices that gave it
	low      float64   // the least L(u) of the lays known, not capped
	price    []float64 // the prices that gave low
	master   *linear.Program
	columns  []offered
	units    []int32 // of the last asking
	fullAsks int     // for all bands
	last     asking
	finders  []finder
	narrow   bool    // tilts are ruled out under which no lay can be worth more than the target
	ruled    float64 // the greatest target by which one was
	unit     float64 // of money in which prices are rounded, at the last asking
	rules    *rules  // that take note of every asking for all bands; nil: nobody does
	depths   int     // bands from one near edge that become known of an asking, at the most: the likeliest, each of another depth
	falls    int     // how often it was time to ask for all tilts, or might have been
}

// offered is a lay of a hide in the master.
type offered struct {
	number  int // in the master
	of      *way
	gain    float64
	entries []linear.Entry
}

// asking is what L(u) was the last time, and what of each leather was sold and wanted.
type asking struct {
	capped       float64
	sold, wanted map[string]float64
}

func newBound(p *problem, known *shapes, q question) *bound {
	b := &bound{depths: 1, p: p, question: q, shapes: known, low: math.Inf(1), price: make([]float64, len(p.kinds))}
	for _, gi := range q.hides {
		s := &seller{}
		if q.cost != nil {
			s.cost = q.cost[gi]
		}
		for i, g := range p.waysOf(gi) {
			s.ways = append(s.ways, b.way(g, i == 0))
		}
		b.hides = append(b.hides, s)
	}
	b.begin()
	all, area := b.all(), 0.0
	b.least, b.best = all, all
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

// depths is how many bands from one near edge become known of an asking for the most worth. Windows of a search begin and end where
// no sweep does, and want other depths; but a plan that is begun is to stay much as it is, where the search is
// shorter than a contest there is no time for more than the likeliest, and of many hides they would be too many to keep.
func (p *problem) depths(o Options) int {
	const (
		many      = 12 // in 5 s of a side, three gained little, and twenty or all as much
		mostHides = 2
	)
	if p.begun != nil || o.Steps < entrants*firstSteps || p.large(p.used()) > mostHides {
		return 1
	}
	return many
}

// begin makes the master, with all lays offered so far under tilts that are not ruled out.
func (b *bound) begin() {
	p := b.p
	limits := make([]float64, len(p.kinds)+len(b.hides))
	for k, n := range p.gifts {
		limits[k] = float64(n)
	}
	for i := range b.hides {
		limits[len(p.kinds)+i] = 1
	}
	b.master = linear.New(limits)
	for i, r := range p.rows {
		var takes []linear.Entry
		for _, n := range r.needs {
			if b.counts(n.kind) {
				takes = append(takes, linear.Entry{Row: n.kind, By: float64(n.count)})
			}
		}
		b.master.Add(b.question.gain[i], float64(r.qty), takes)
	}
	b.columns = slices.DeleteFunc(b.columns, func(c offered) bool { return c.of.out })
	for i := range b.columns {
		c := &b.columns[i]
		c.number = b.master.Add(c.gain, 1, c.entries)
	}
}

// all is what all sets that are asked for gain, as at no price at all they are made.
func (b *bound) all() float64 {
	all := 0.0
	for i, r := range b.p.rows {
		all += float64(r.qty) * b.question.gain[i]
	}
	return all
}

// beyond is what a set of each row gains beyond the price of its pieces.
func (b *bound) beyond(u []float64) []float64 {
	out := slices.Clone(b.question.gain)
	for i, r := range b.p.rows {
		for _, n := range r.needs {
			out[i] -= u[n.kind] * float64(n.count)
		}
	}
	return out
}

// counts reports whether pieces of the kind are asked about.
func (b *bound) counts(k int) bool {
	return b.question.leather == "" || b.question.leather == b.p.kinds[k].leather
}

// ask rounds the prices in place to whole units, and gives L(u), where no leather sells more than is asked for and where it may.
func (b *bound) ask(u []float64, of scope) (capped, total float64) {
	p := b.p
	unit := p.unitFor(u)
	b.units, b.unit = inUnits(u, unit, b.units), unit
	for k, n := range b.units {
		u[k] = float64(n) * unit
	}
	for i, gain := range b.beyond(u) {
		total += max(0, float64(p.rows[i].qty)*gain)
	}
	if b.sell(b.waysIn(of), unit, of != knownBands); of != knownBands {
		b.fullAsks++
	}

	sold := map[string]float64{}
	capped = total
	for k, n := range p.gifts { // what is cut already is sold, too
		sold[p.kinds[k].leather] += u[k] * float64(n)
		total += u[k] * float64(n)
	}
	for _, s := range b.hides {
		most := s.most(of)
		sold[s.leather()] += most
		total += most
	}
	wanted := map[string]float64{}
	for k, kd := range p.kinds {
		wanted[kd.leather] += u[k] * float64(p.demand[k])
	}
	for _, l := range p.leathers() {
		capped += min(sold[l], wanted[l])
	}
	b.last = asking{capped, sold, wanted}
	if b.rules != nil && of != knownBands {
		for _, l := range p.leathers() {
			if b.question.leather == "" || b.question.leather == l {
				b.rules.add(l, u, sold[l])
			}
		}
	}
	return capped, total
}

// improve asks for better prices so many times over all bands, each time after
// the master has learnt all that is known. It ends at once when the bound meets
// the target, the worth of the best plan known, or cannot fall. From time to time it asks
// for all tilts (see close).
func (b *bound) improve(rounds int, target float64, stop func() bool) error {
	if err := b.lower(rounds, target, stop); err != nil || b.at == nil || stop() {
		return err
	}
	if b.idle() && b.best < b.least && (b.due() || b.down(b.best) <= target+proof(target)) && b.close(target) {
		if err := b.lower(rounds, target, stop); err != nil {
			return err
		}
	}
	if !b.idle() && b.best < b.least {
		b.least = b.best
	}
	return nil
}

// lower looks for better prices under the tilts that are asked.
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
		news := b.offer(allBands)
		if b.ruleOut(target, allBands) {
			b.begin()
			_, total = b.ask(u, knownBands)
		}
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
		if value := b.master.Value(); b.low-value <= exact*value {
			return nil
		}
		for k := range u {
			u[k] = between*b.price[k] + (1-between)*b.master.Price(k)
		}
		_, total := b.ask(u, knownBands)
		news := b.offer(knownBands)
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
func (b *bound) offer(of scope) int {
	const pays = 1e-7 // of the worth
	news := 0
	for i, s := range b.hides {
		row := len(b.p.kinds) + i
		for _, w := range s.ways {
			if !w.in(of) {
				continue
			}
			gain := w.value
			entries := []linear.Entry{{Row: row, By: 1}}
			for k, n := range w.laid {
				if n > 0 {
					gain -= n * float64(b.units[k]) * w.unit // what is left is the effort
					entries = append(entries, linear.Entry{Row: k, By: -n})
				}
			}
			if gain = min(gain, 0) - s.cost; b.master.Pays(gain, entries, pays*max(b.low, 1)) {
				b.columns = append(b.columns, offered{b.master.Add(gain, 1, entries), w, gain, entries})
				news++
			}
		}
	}
	return news
}

// meets reports whether no plan can be worth more than target.
func (b *bound) meets(target float64) bool { return b.worth() <= target+proof(target) }

// worth is the bound, rounded down to what a plan's worth can be. Under the tilts that
// were ruled out, no plan is worth more than what they were ruled out by.
func (b *bound) worth() float64 { return max(b.down(b.least), b.ruled) }

// down is an L(u) rounded down to what a plan's worth can be, though sums of money have lost their last
// digits: by the least that counts, or of much money by what is far more than such sums lose.
func (b *bound) down(l float64) float64 {
	const least, digits = 1e-7, 1e-12
	unit := worthUnit(b.question)
	if unit == 0 {
		return l
	}
	units := l / unit
	return math.Floor(units+max(least, digits*units)) * unit
}

// proof is how near two sums of money must be to be the same.
func proof(worth float64) float64 { return 1e-9 * max(1, math.Abs(worth)) }
