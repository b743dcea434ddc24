package rack

import (
	"slices"

	"strapwise/nest"
)

// truths are the rules of nest.Check that a plan must keep to be what was cut. Of
// the others, the book, the house rules or the price of leather may have changed
// since the plan was made, and what is cut is cut.
var truths = []string{
	nest.RuleFormat, nest.RuleHide, nest.RuleShape, nest.RuleOutline, nest.RuleOverlap, nest.RuleInStrip,
	nest.RuleStrike, nest.RuleStrip, nest.RuleApart, nest.RuleNumbers, nest.RuleBands, nest.RuleBlocks, nest.RuleStack, nest.RuleRemnant,
	nest.RuleCut,
}

// untrue gives what keeps a plan from being what was cut of some hides, which are
// on the rack: it is checked by itself, against an order book of its own pieces.
func (r *Rack) untrue(plan nest.Plan, names []string) []nest.Violation {
	on := func(name string) bool { return slices.Contains(names, name) }
	job := nest.Job{Uses: r.Shop.Uses, Tools: r.Shop.Tools}
	for _, name := range names {
		job.Hides = append(job.Hides, r.hide(name))
	}
	alone := plan
	alone.Hides, alone.Pieces = nil, nil
	elsewhere := func(p nest.Piece) bool { return !on(p.Hide) }
	alone.Spare = slices.DeleteFunc(slices.Clone(plan.Spare), elsewhere)
	alone.Spoilt = slices.DeleteFunc(slices.Clone(plan.Spoilt), elsewhere)
	for _, l := range plan.Hides {
		if on(l.Hide) {
			alone.Hides = append(alone.Hides, l)
		}
	}
	for _, p := range plan.Pieces {
		if on(p.Hide) {
			alone.Pieces = append(alone.Pieces, p)
			job.Orders = append(job.Orders, ownOrder(p, r.hide(p.Hide).Leather()))
		}
	}
	return slices.DeleteFunc(nest.Check(job, alone), func(v nest.Violation) bool { return !slices.Contains(truths, v.Rule) })
}

// ownOrder is an order for one piece as it was cut: what is no rectangle was cut to a
// template, whatever its outline is.
func ownOrder(p nest.Piece, leather string) nest.Order {
	part := nest.Part{Name: p.Part, Leather: leather, Use: p.Use, Length: p.ToMM - p.FromMM, Width: p.ToMM - p.FromMM, Count: 1, Knife: p.Strip == 0}
	if !nest.Rectangular(p.Outline) {
		part.Template, part.Knife = &nest.Template{}, true
	}
	return nest.Order{ID: p.Order, FirstSet: p.Set, Qty: 1, Parts: []nest.Part{part}}
}
