package strip

import (
	"math"

	"gonum.org/v1/gonum/floats"
)

// The bound is Lagrangian. A plan makes s sets of each row from x pieces of
// each kind; it may not use more pieces than it lays: A s ≤ x. Put a price
// u ≥ 0 on each piece instead of that rule, and the most that is left falls
// apart into sets, which buy their pieces, and hides, which sell them:
//
//	L(u) = Σ rows qty · max(0, worth − u·A) + Σ leathers min( Σ hides sweep(u), u·demand )
//
// Every plan is worth at most L(u), whatever u is: the sets it makes are worth
// at most what they pay for pieces plus the first sum, and no hide can sell
// more than the second. A leather sells no more than is asked for, hence the
// min. The sweep itself is never less than the truth (see sweep), waste strips
// of any width are allowed it, and a price above 0 on every cut is charged to
// hides at most once. So the least L(u) met on the way is a bound, and nothing
// but an evaluated L(u) is ever reported.
//
// The prices that make L small also guide the search: they are what a piece of
// each kind is worth to the lay.

// bound improves prices by a subgradient method and keeps the least L(u).
type bound struct {
	p      *problem
	least  float64   // the least capped L(u): the bound
	low    float64   // the least L(u) without caps
	price  []float64 // the prices that gave it
	way    []float64 // the average slope there
	pace   float64
	sweeps []*sweep // one a hide
}

func newBound(p *problem) *bound {
	b := &bound{p: p, low: math.Inf(1), price: make([]float64, len(p.kinds))}
	for range p.grounds {
		b.sweeps = append(b.sweeps, &sweep{p: p})
	}
	for _, r := range p.rows { // at no price at all, every set is made
		b.least += float64(r.qty) * r.order.Worth
	}
	return b
}

// evaluate gives L(u) without the caps and, in slope, a subgradient of that:
// pieces laid less pieces bought, kind by kind. (With the caps L is flat
// wherever hides could sell more than is asked for, and shows no way down.)
// capped is the bound.
func (b *bound) evaluate(u, slope []float64) (total, capped float64) {
	p := b.p
	clear(slope)
	for _, r := range p.rows {
		gain := r.order.Worth
		for _, n := range r.needs {
			gain -= u[n.kind] * float64(n.count)
		}
		if gain <= 0 {
			continue
		}
		total += float64(r.qty) * gain
		for _, n := range r.needs {
			slope[n.kind] -= float64(r.qty * n.count)
		}
	}
	sold, asked := map[string]float64{}, map[string]float64{}
	var leathers []string
	for k, kd := range p.kinds {
		if _, known := asked[kd.leather]; !known {
			leathers = append(leathers, kd.leather)
		}
		asked[kd.leather] += u[k] * float64(p.demand[k])
	}
	for i, g := range p.grounds {
		s := b.sweeps[i]
		s.price(g, u)
		sold[g.hide.Leather()] += s.run(g, g.y0, g.y1)
	}
	capped = total
	for _, l := range leathers {
		total += sold[l]
		capped += min(sold[l], asked[l])
	}
	for i, g := range p.grounds {
		b.sweeps[i].count(g, g.y0, g.y1, slope)
	}
	return total, capped
}

// improve takes so many steps towards better prices, by the volume algorithm
// (Barahona and Anbil, Mathematical Programming 87, 2000): from the best prices
// so far, against an average of the slopes met, the newest weighted so that the
// average is shortest. target is the worth of the best plan known. It ends at
// once when the bound meets the target.
func (b *bound) improve(steps int, target float64, stop func() bool) {
	const (
		newest   = 0.2  // most weight of the newest slope
		oldest   = 0.01 // least
		farthest = 0.3  // of a piece's mean worth that a step may move its price
		patience = 8    // steps without gain before the pace drops
	)
	p := b.p
	n := len(p.kinds)
	u, slope := make([]float64, n), make([]float64, n)
	if b.way == nil {
		for k, kd := range p.kinds {
			b.price[k] = kd.area * p.unit
		}
		b.way, b.pace = make([]float64, n), 0.5
		var capped float64
		b.low, capped = b.evaluate(b.price, b.way)
		b.least = min(b.least, capped)
	}
	b.pace = max(b.pace, 0.1)
	red := 0
	for range steps {
		if stop() || b.meets(target) {
			return
		}
		norm := b.dot(b.way, b.way)
		if norm == 0 { // nothing can move the way the average points; how does it slope right here?
			b.evaluate(b.price, b.way)
			if norm = b.dot(b.way, b.way); norm == 0 {
				return
			}
		}
		// Steps are measured in areas, so that a keeper's price moves as readily
		// for its size as a main's.
		step := b.pace * max(b.low-target, 1e-6*math.Abs(b.low)) / norm
		step = min(step, farthest*p.unit/floats.Norm(b.way, math.Inf(1)))
		for k := range u {
			u[k] = max(0, b.price[k]-step*b.way[k]*p.kinds[k].area)
		}
		l, capped := b.evaluate(u, slope)
		b.least = min(b.least, capped)
		along := b.dot(slope, b.way)
		weight := newest
		if d := b.dot(slope, slope) - 2*along + norm; d > 0 {
			weight = min(max((norm-along)/d, oldest), newest)
		}
		switch {
		case l >= b.low:
			if red++; red >= patience {
				b.pace, red = b.pace*0.66, 0
			}
		case along >= 0:
			b.pace, red = min(b.pace*1.5, 2), 0
		default:
			b.pace, red = b.pace*1.1, 0
		}
		if l < b.low {
			b.low = l
			copy(b.price, u)
		}
		floats.Scale(1-weight, b.way)
		floats.AddScaled(b.way, weight, slope)
	}
}

// dot is the product of two slopes in the measure of areas, over the prices
// that can move that way: those at 0 cannot fall.
func (b *bound) dot(v, w []float64) float64 {
	sum := 0.0
	for k, kd := range b.p.kinds {
		if b.price[k] > 0 || w[k] < 0 {
			sum += v[k] * w[k] * kd.area
		}
	}
	return sum
}

// meets reports whether no plan can be worth more than target.
func (b *bound) meets(target float64) bool { return b.worth() <= target+proof(target) }

// worth is the bound, rounded down to what a plan's worth can be.
func (b *bound) worth() float64 {
	unit := b.p.worthUnit()
	if unit == 0 {
		return b.least
	}
	return math.Floor(b.least/unit+1e-7) * unit
}

// proof is how near two sums of money must be to be the same.
func proof(worth float64) float64 { return 1e-9 * max(1, math.Abs(worth)) }
