package forecast

import (
	"context"
	"slices"
	"strconv"

	"strapwise/hide"
	"strapwise/nest"
	"strapwise/nest/strip"
)

// Need is what an order book asks of one leather.
type Need struct {
	Leather string
	rows    []nest.Order // their parts of this leather; a set is worth its area
	uses    map[string]hide.Use
	tools   nest.Tools
}

// rest is how many sets of each row are still to be made.
type rest []int

func (r rest) sets() int {
	n := 0
	for _, q := range r {
		n += q
	}
	return n
}

// Needs are what a job's orders ask, leather by leather, in the order in which the
// book first asks for them.
func Needs(j nest.Job) []Need {
	const perWorth = 100 // mm²: a set is worth some hundreds, like money
	var out []Need
	for i, o := range j.Orders {
		for _, part := range o.Parts {
			at := slices.IndexFunc(out, func(n Need) bool { return n.Leather == part.Leather })
			if at < 0 {
				at = len(out)
				out = append(out, Need{Leather: part.Leather, uses: j.Uses, tools: j.Tools})
				out[at].tools.Effort = 0
			}
			n := &out[at]
			id := strconv.Itoa(i + 1)
			if len(n.rows) == 0 || n.rows[len(n.rows)-1].ID != id {
				n.rows = append(n.rows, nest.Order{ID: id, Line: o.Line, FirstSet: 1, Qty: o.Qty, Due: o.Due})
			}
			row := &n.rows[len(n.rows)-1]
			row.Parts = append(row.Parts, part)
			row.Worth += float64(part.Count) * part.Area() / perWorth
		}
	}
	return out
}

// all is what is to be made before anything is laid.
func (n Need) all() rest {
	var r rest
	for _, o := range n.rows {
		r = append(r, o.Qty)
	}
	return r
}

// area is what the pieces of a rest cover, in the worth of sets.
func (n Need) area(r rest) float64 {
	sum := 0.0
	for i, o := range n.rows {
		sum += float64(r[i]) * o.Worth
	}
	return sum
}

// job asks the hides for a rest.
func (n Need) job(r rest, hides []*hide.Hide) nest.Job {
	j := nest.Job{Hides: hides, Uses: n.uses, Tools: n.tools}
	for i, o := range n.rows {
		if o.Qty = r[i]; o.Qty > 0 {
			j.Orders = append(j.Orders, o)
		}
	}
	return j
}

// after is what a plan leaves of a rest.
func (n Need) after(r rest, p nest.Plan) rest {
	out := slices.Clone(r)
	for _, s := range p.Sets {
		for i, o := range n.rows {
			if o.ID == s.Order {
				out[i] -= s.Complete
			}
		}
	}
	return out
}

// laid is what is left of a rest when it has been laid on one hide.
func (n Need) laid(ctx context.Context, r rest, h *hide.Hide, seed uint64) (rest, error) {
	plan, err := strip.Quick(ctx, n.job(r, []*hide.Hide{h}), seed)
	if err != nil {
		return nil, err
	}
	return n.after(r, plan), nil
}
