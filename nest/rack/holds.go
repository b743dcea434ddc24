package rack

import (
	"slices"

	"strapwise/hide/measure"
	"strapwise/nest"
)

// truths are the rules of nest.Check that a plan must keep to be what was cut. Of
// the others, the book, the house rules or the price of leather may have changed
// since the plan was made, and what is cut is cut.
var truths = []string{
	nest.RuleFormat, nest.RuleHide, nest.RuleShape, nest.RuleOutline, nest.RuleOverlap, nest.RuleInStrip, nest.RulePosition,
	nest.RuleStrike, nest.RuleStrip, nest.RuleApart, nest.RuleNumbers, nest.RuleBands, nest.RuleBlocks, nest.RuleStack, nest.RuleRemnant,
	nest.RuleCut,
}

// anyTools have limits as wide as those of any house rules, and marks as far apart, to which
// rectangles round templates are rounded up: those by which a hide was laid may have changed.
var anyTools = nest.Tools{Mark: measure.MMPerInch, CutterMin: 0.1, Deepest: 10_000, Tilt: 90 * measure.Degree}

// untrue gives what keeps a plan from being what was cut of some hides, which are
// on the rack: it is checked by itself, against an order book that asks for as many
// pieces. What they are cut for does not matter.
func (r *Rack) untrue(plan nest.Plan, names []string) []nest.Violation {
	job := nest.Job{Uses: r.Shop.Uses, Tools: anyTools}
	for _, name := range names {
		job.Hides = append(job.Hides, r.hide(name))
	}
	on := func(pieces []nest.Piece) []nest.Piece {
		return slices.DeleteFunc(slices.Clone(pieces), func(p nest.Piece) bool { return !slices.Contains(names, p.Hide) })
	}
	alone := nest.Plan{Format: plan.Format, Pieces: on(plan.Pieces), Spare: on(plan.Spare), Spoilt: on(plan.Spoilt)}
	for _, l := range plan.Hides {
		if slices.Contains(names, l.Hide) {
			alone.Hides = append(alone.Hides, l)
		}
	}
	job.Orders = []nest.Order{{Qty: 1, Parts: []nest.Part{{Count: len(alone.Pieces)}}}}
	return slices.DeleteFunc(nest.Check(job, alone), func(v nest.Violation) bool { return !slices.Contains(truths, v.Rule) })
}
