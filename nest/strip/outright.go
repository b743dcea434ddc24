package strip

import (
	"cmp"
	"math"
	"slices"
)

// outright solves a cover by trying choices one hide after another. At the prices u of the
// root's relaxation no choice costs less than
//
//	Σ u·need  +  Σ over the hides in it  (cost − u·gives)
//
// and a hide that is not settled yet adds no less than min(0, cost − u·gives). So all that
// come to no less than the best known are passed over, hides that tell the most being
// settled first. Where the relaxation is within a few hundredths of the best choice,
// a rack of 20 hides leaves some thousands of them, and each takes a few additions.
type outright struct {
	c      *cover
	order  []int
	beyond []float64   // of a hide: what taking it adds to the least cost
	rest   [][]float64 // by place in order: what all hides from there on give, demand by demand
	given  [][]float64 // by place in order: what those taken before it give
	in     []bool
	best   []bool
	worth  float64
	left   int // visits
}

// outright gives the cheapest choice and its cost, if a choice as good as the one given,
// or infinity and nil, is found to be the cheapest within so many visits.
func (c *cover) outright(price []float64, best []bool, worth float64, visits int) ([]bool, float64, bool) {
	n, m := len(c.cost), len(c.demands)
	o := &outright{c: c, in: make([]bool, n), best: best, worth: worth, left: visits, beyond: slices.Clone(c.cost)}
	least := 0.0
	for j, d := range c.demands {
		least += price[j] * d.need
		for i, g := range d.gives {
			o.beyond[i] -= price[j] * g
		}
	}
	for i, b := range o.beyond {
		o.order = append(o.order, i)
		least += min(0, b)
	}
	slices.SortStableFunc(o.order, func(a, b int) int {
		return cmp.Compare(math.Abs(o.beyond[b]), math.Abs(o.beyond[a]))
	})
	o.rest, o.given = make([][]float64, n+1), make([][]float64, n+1)
	for k := n; k >= 0; k-- {
		o.rest[k], o.given[k] = make([]float64, m), make([]float64, m)
		for j, d := range c.demands {
			if k < n {
				o.rest[k][j] = o.rest[k+1][j] + d.gives[o.order[k]]
			}
		}
	}
	o.visit(0, least, 0)
	return o.best, o.worth, o.left > 0
}

// visit settles the hide at a place in order, where no choice costs less than least and
// those taken cost so much.
func (o *outright) visit(k int, least, cost float64) {
	if o.left--; o.left <= 0 || least >= o.worth-proof(o.worth) {
		return
	}
	enough := true
	for j, d := range o.c.demands {
		const digits = 1e-9 // as met has it; sums in another order differ by less
		if o.given[k][j]+o.rest[k][j] < d.need*(1-2*digits) {
			return
		}
		enough = enough && o.given[k][j] >= d.need
	}
	if enough || k == len(o.order) { // none of the others is needed
		if cost < o.worth && o.c.met(o.in) {
			o.best, o.worth = slices.Clone(o.in), cost
		}
		return
	}
	i := o.order[k]
	for _, take := range [2]bool{o.beyond[i] < 0, o.beyond[i] >= 0} {
		copy(o.given[k+1], o.given[k])
		if !take {
			o.visit(k+1, least-min(0, o.beyond[i]), cost)
			continue
		}
		for j, d := range o.c.demands {
			o.given[k+1][j] += d.gives[i]
		}
		o.in[i] = true
		o.visit(k+1, least+max(0, o.beyond[i]), cost+o.c.cost[i])
		o.in[i] = false
	}
}
