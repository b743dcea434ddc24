package strip

import (
	"cmp"
	"slices"
)

// chooser decides which sets to make from the pieces laid. Rows come in a
// fixed order of preference: most gained over the price of the pieces, then
// earliest due, then as in the book. Each takes as many sets as the pieces
// allow; then rows that share scarce kinds may trade places.
type chooser struct {
	p     *problem
	order []int // rows, preferred first
}

func newChooser(p *problem, price []float64) *chooser {
	c := &chooser{p: p}
	gain := make([]float64, len(p.rows))
	for i, r := range p.rows {
		cost := 0.0
		for _, n := range r.needs {
			cost += price[n.kind] * float64(n.count)
		}
		gain[i] = r.worth
		if cost > 0 {
			gain[i] = r.worth / cost
		}
		if r.qty > 0 {
			c.order = append(c.order, i)
		}
	}
	slices.SortStableFunc(c.order, func(a, b int) int {
		return cmp.Or(
			cmp.Compare(gain[b], gain[a]),
			cmp.Compare(p.rows[b].worth, p.rows[a].worth),
			p.earlier(a, b),
		)
	})
	return c
}

// earlier orders rows by due date, rows without one last.
func (p *problem) earlier(a, b int) int {
	da, db := p.rows[a].order.Due, p.rows[b].order.Due
	switch {
	case da.IsZero() && db.IsZero():
		return 0
	case da.IsZero():
		return 1
	case db.IsZero():
		return -1
	}
	return da.Compare(db)
}

// choose gives for each row how many sets to make from the pieces laid, and
// their worth. laid is used up: on return it holds what is left over.
func (c *chooser) choose(laid, sets []int) float64 {
	clear(sets)
	worth := 0.0
	for _, i := range c.order {
		r := &c.p.rows[i]
		n := r.qty
		for _, need := range r.needs {
			n = min(n, laid[need.kind]/need.count)
		}
		if n > 0 {
			c.shift(i, n, laid, sets)
			worth += float64(n) * r.worth
		}
	}
	return worth + c.trade(laid, sets)
}

// shift makes n more sets of a row, or fewer if n is negative.
func (c *chooser) shift(row, n int, laid, sets []int) {
	sets[row] += n
	for _, need := range c.p.rows[row].needs {
		laid[need.kind] -= n * need.count
	}
}

// trade gives up a set of one row for one of another that is worth more, or
// as much and due earlier, while that helps. It returns what was gained.
func (c *chooser) trade(laid, sets []int) float64 {
	gained := 0.0
	for again := true; again; {
		again = false
		for _, in := range c.order {
			if sets[in] == c.p.rows[in].qty || !c.scarce(in, laid) {
				continue
			}
			for _, out := range c.order {
				if sets[out] == 0 || out == in || !c.better(in, out) {
					continue
				}
				c.shift(out, -1, laid, sets)
				if c.fits(in, laid) {
					c.shift(in, 1, laid, sets)
					gained += c.p.rows[in].worth - c.p.rows[out].worth
					again = true
					break
				}
				c.shift(out, 1, laid, sets)
			}
		}
	}
	return gained
}

// better reports whether a set of row a is worth more than one of row b, or as
// much and due earlier.
func (c *chooser) better(a, b int) bool {
	wa, wb := c.p.rows[a].worth, c.p.rows[b].worth
	return wa > wb || wa == wb && c.p.earlier(a, b) < 0
}

// scarce reports whether a set of the row lacks only kinds that other sets hold.
func (c *chooser) scarce(row int, laid []int) bool {
	for _, need := range c.p.rows[row].needs {
		if laid[need.kind] < need.count && c.p.demand[need.kind] == need.count*c.p.rows[row].qty {
			return false
		}
	}
	return true
}

func (c *chooser) fits(row int, laid []int) bool {
	for _, need := range c.p.rows[row].needs {
		if laid[need.kind] < need.count {
			return false
		}
	}
	return true
}
