package nest

import (
	"fmt"
	"math"
)

// sets verifies which sets a plan completes, and what it says of them.
func (c *checker) sets() {
	have := setsOf(c.plan)
	given := map[string]*SetCount{} // complete sets of each order, as the pieces give them
	var orders []string
	missing := map[setKey]bool{}
	for i := range c.job.Orders {
		o := &c.job.Orders[i]
		if given[o.ID] == nil {
			given[o.ID] = &SetCount{Order: o.ID}
			orders = append(orders, o.ID)
		}
		given[o.ID].Asked += o.Qty
		for n := range o.Qty {
			k := setKey{o.ID, o.FirstSet + n}
			if o.complete(have[k]) {
				given[o.ID].Complete++
				continue
			}
			missing[k] = true
			if len(have[k]) > 0 {
				c.fail(RuleSets, k.String(), "%s", o.lacks(have[k]))
			}
		}
	}
	c.counts(orders, given)
	c.unplaced(missing)
}

func (k setKey) String() string { return fmt.Sprintf("%s set %d", k.order, k.set) }

// lacks says what keeps pieces from being one set.
func (o *Order) lacks(have map[string]int) string {
	for _, part := range o.Parts {
		if n := have[part.Name]; n != part.Count {
			return fmt.Sprintf("found %d of %s, expected %d", n, part.Name, part.Count)
		}
	}
	return ""
}

// counts verifies the counts of sets by order.
func (c *checker) counts(orders []string, given map[string]*SetCount) {
	seen := map[string]bool{}
	for _, s := range c.plan.Sets {
		want := given[s.Order]
		switch {
		case want == nil:
			c.fail(RuleOrder, s.Order, "sets are counted, but the book has no such order")
		case seen[s.Order]:
			c.fail(RuleCounts, s.Order, "is counted twice")
		case s != *want:
			c.fail(RuleCounts, s.Order, "asked %d and complete %d, expected %d and %d", s.Asked, s.Complete, want.Asked, want.Complete)
		}
		seen[s.Order] = true
	}
	for _, id := range orders {
		if !seen[id] {
			c.fail(RuleCounts, id, "its sets are not counted")
		}
	}
}

// unplaced verifies the list of sets that the plan does not give.
func (c *checker) unplaced(missing map[setKey]bool) {
	seen := map[setKey]bool{}
	for _, u := range c.plan.Unplaced {
		k := setKey{u.Order, u.Set}
		o := c.job.orderOf(u.Order, u.Set)
		switch {
		case o == nil:
			c.fail(RuleOrder, k.String(), "is listed as unplaced, but no order of the book has that set")
			continue
		case seen[k]:
			c.fail(RuleUnplaced, k.String(), "is listed twice")
		case !missing[k]:
			c.fail(RuleUnplaced, k.String(), "is listed, but complete")
		case u.Part != "" && o.part(u.Part) == nil:
			c.fail(RulePart, k.String(), "is unplaced for want of part %q, which the order does not have", u.Part)
		}
		seen[k] = true
	}
	for i := range c.job.Orders {
		o := &c.job.Orders[i]
		for n := range o.Qty {
			if k := (setKey{o.ID, o.FirstSet + n}); missing[k] && !seen[k] {
				c.fail(RuleUnplaced, k.String(), "is neither complete nor listed")
			}
		}
	}
}

// result verifies the figures of a plan. A bound that is not known is +Inf.
func (c *checker) result() {
	r := c.plan.Result
	if value := Value(c.job, c.plan); !(math.Abs(r.Value-value) <= valueTol*max(1, math.Abs(value))) {
		c.fail(RuleValue, "", "found %.9g, the plan is worth %.9g", r.Value, value)
	}
	slack := boundTol * max(1, math.Abs(r.Value))
	switch {
	case math.IsNaN(r.Bound) || r.Bound < r.Value-slack:
		c.fail(RuleBound, "", "the bound %.12g is below the value %.12g", r.Bound, r.Value)
	case r.Proven && r.Bound > r.Value+slack:
		c.fail(RuleProven, "", "the value %.12g is called proven, but the bound is %.12g", r.Value, r.Bound)
	}
	if cost := Cost(c.job, c.plan); !(math.Abs(r.Cost-cost) <= valueTol*max(1, cost)) {
		c.fail(RuleCost, "", "found %.9g, the hides cut into cost %.9g", r.Cost, cost)
	} else if !(r.CostBound <= cost+boundTol*max(1, cost)) {
		c.fail(RuleCost, "", "the bound of the cost %.12g is above the cost %.12g", r.CostBound, cost)
	}
	switch r.Stop {
	case StopProven, StopTime, StopInterrupted:
		if r.Proven != (r.Stop == StopProven) {
			c.fail(RuleStop, "", "found %q where proven is %v", r.Stop, r.Proven)
		}
	default:
		c.fail(RuleStop, "", "found %q, expected %s, %s or %s", r.Stop, StopProven, StopTime, StopInterrupted)
	}
}
