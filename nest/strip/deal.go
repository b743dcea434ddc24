package strip

import (
	"math"
	"slices"
)

// A deal lays the pieces of a leather on some of its hides, one hide after another,
// each whole and at prices of its own: those of the master problem
//
//	greatest λ   where   Σ lays of the hides left  ≥  λ · what is left to lay
//
// over whole hides (see bound.go), in which all that is left to lay is one set. At these
// prices a hide takes what the others can best do without, and the next is laid at those
// of what is then left. Where each hide holds but a small part of what is asked for, the
// master's mixture of lays wastes little less than what is dealt: of the racks of 20
// hides of nest/trial, choices with λ = 1.01 to 1.02 are laid in full, where chains that
// begin with all hides laid at the same prices want 1.03 and far more time. λ < 1 tells
// that the hides cannot hold all, as far as bands are known.
type deal struct {
	chain *chain // whose builder lays
	p     *problem
	rest  *problem // in which what is left to lay is one set
	bound *bound   // of the hides left
}

// mostSets is more than all hides of a choice ever hold of what is left to lay.
const mostSets = 100

// rest is the problem in which the pieces of a leather that a lay lacks are one set.
func (p *problem) rest(leather string, l *lay) *problem {
	q := *p
	q.gifts = make([]int, len(p.kinds))
	r := row{order: p.rows[0].order, qty: mostSets, worth: 1}
	for k, n := range p.demand {
		if p.kinds[k].leather == leather && n > l.laid[k] {
			r.needs = append(r.needs, need{k, n - l.laid[k]})
		}
	}
	q.rows = []row{r}
	return &q
}

// holding finds λ of a choice, the master's value, and its prices, as far as bands are known.
func (s *search) holding(c *choice, in []bool, stop func() bool) (*bound, error) {
	b := newBound(s.p.rest(c.leather, s.p.emptyLay()), s.known, question{hides: c.named(in), leather: c.leather, gain: []float64{1}})
	b.meet(c.bound)
	for k := range b.price { // at which one set is worth 1
		b.price[k] /= mostSets
	}
	_, b.low = b.ask(b.price, knownBands)
	return b, b.settle(stop)
}

// newDeal is one that begins with a lay, on hides of a leather of which so much is known.
func newDeal(c *chain, leather string, l *lay, hides []int, holds *bound) *deal {
	q := holds.question
	q.hides = hides
	d := &deal{chain: c, p: c.p, rest: c.p.rest(leather, l)}
	d.bound = newBound(d.rest, holds.shapes, q)
	d.bound.meet(holds)
	d.reprice(holds.price)
	return d
}

// meet makes lays that another bound has met known to the master.
func (b *bound) meet(other *bound) {
	for i, gi := range b.question.hides {
		j := slices.Index(other.question.hides, gi)
		if j < 0 {
			continue
		}
		for _, c := range other.columns {
			n := slices.Index(other.hides[j].ways, c.of)
			if n < 0 {
				continue
			}
			entries := slices.Clone(c.entries)
			entries[0].Row = len(b.p.kinds) + i // the hide's, see offer
			b.columns = append(b.columns, offered{of: b.hides[i].ways[n], gain: min(0, c.gain+other.hides[j].cost), entries: entries})
		}
	}
	b.begin()
}

// run deals until nothing is left to lay or no hide is left, and gives the lay. Of several
// deals all but one go a little astray.
func (d *deal) run(l *lay, astray bool, stop func() bool) (*lay, error) {
	for range d.bound.hides {
		if len(d.rest.rows[0].needs) == 0 {
			break
		}
		if err := d.bound.settle(stop); err != nil || stop() {
			return l, err
		}
		i := d.next(astray)
		l = d.lay(l, d.bound.question.hides[i])
		d.take(i, l)
	}
	return l, nil
}

// next is the hide whose turn it is: that of which the master uses one lay the most.
func (d *deal) next(astray bool) int {
	const most = 0.5 // of a lay, what goes astray
	best, turn := 0, -1.0
	for i, s := range d.bound.hides {
		if s.ways[0].out {
			continue
		}
		use := 0.0
		for _, c := range d.bound.columns {
			if slices.Contains(s.ways, c.of) {
				use = max(use, d.bound.master.X(c.number))
			}
		}
		if astray {
			use += most * d.chain.random.Float64()
		}
		if use > turn {
			best, turn = i, use
		}
	}
	return best
}

// lay lays a hide at the prices of the master, and at some near to them, and gives the
// lay that holds the most by the former. Pieces that the master deems free get a hair
// for their area.
func (d *deal) lay(l *lay, gi int) *lay {
	const (
		tries  = 5
		shaken = 0.03
		hair   = 0.001
	)
	p, needs, money := d.p, d.rest.rows[0].needs, 0.0
	for _, n := range needs {
		money += p.kinds[n.kind].area * float64(n.count) * p.unit
	}
	price, at := make([]float64, len(p.kinds)), make([]float64, len(p.kinds))
	for k, kd := range p.kinds {
		price[k] = d.bound.price[k]*money + hair*kd.area*p.unit + 2*p.job.Tools.Effort
	}
	var best *lay
	most := math.Inf(-1)
	for try := range tries {
		for k := range at {
			at[k] = price[k]
			if try > 0 {
				at[k] *= math.Exp(shaken * d.chain.random.NormFloat64())
			}
		}
		want := make([]int, len(p.kinds))
		for _, n := range needs {
			want[n.kind] = n.count
		}
		trial, worth := l.clone(), 0.0
		d.chain.lay(trial, gi, at, want)
		for k, n := range trial.laid {
			worth += price[k] * float64(n-l.laid[k])
		}
		if worth > most {
			best, most = trial, worth
		}
	}
	return best
}

// take has the master go on without a hide and with what the lay still lacks.
func (d *deal) take(i int, l *lay) {
	for _, w := range d.bound.hides[i].ways {
		w.out = true
	}
	d.rest.rows = d.p.rest(d.bound.question.leather, l).rows
	d.bound.begin()
	d.reprice(d.bound.price)
}

// reprice has the master begin at prices, but at which what is left to lay is worth 1.
func (d *deal) reprice(from []float64) {
	price, worth := make([]float64, len(d.p.kinds)), 0.0
	for _, n := range d.rest.rows[0].needs {
		price[n.kind] = from[n.kind]
		worth += price[n.kind] * float64(n.count)
	}
	for k := range price {
		price[k] /= max(worth, 1e-9)
	}
	d.bound.price = price
	_, d.bound.low = d.bound.ask(price, knownBands)
}

// again has a chain clear a few of its hides and deal them anew, some times, and go on with
// what places as much or more.
func (s *chain) again(leather string, holds *bound, stop func() bool) error {
	const times, few = 3, 3
	for range times {
		if stop() || s.p.complete(s.made) {
			return nil
		}
		hides := slices.Clone(s.grounds)
		s.random.Shuffle(len(hides), func(i, j int) { hides[i], hides[j] = hides[j], hides[i] })
		hides = hides[:min(len(hides), 1+s.random.IntN(few))]
		trial := s.now.clone()
		for _, gi := range hides {
			trial.clear(gi, s.p.grounds[gi].y0, s.p.grounds[gi].y1)
		}
		trial, err := newDeal(s, leather, trial, hides, holds).run(trial, true, stop)
		if err != nil {
			return err
		}
		if e := s.rate(trial); e >= s.energy {
			s.now, s.energy = trial, e
			s.keep(trial)
		}
	}
	return nil
}
