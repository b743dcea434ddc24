package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"strapwise/hide/source"
	"strapwise/nest"
	"strapwise/report"
)

func newCheck(u *ui) *cobra.Command {
	return &cobra.Command{
		Use:   "check [PLAN]",
		Short: "verify a plan against its hides and orders",
		Long: `check verifies a plan from the files alone, by another way than the one that made
it: every piece within the leather and clear of the flaws its use refuses, true
to the grain, none overlapping; strips that can be ripped in the order given;
sets complete; and a worth that is what it says and not above its bound.
Without PLAN it checks plans/plan.json of the workshop.`,
		Example: "  strapwise check plans/plan.json",
		Args:    atMostOne("plan"),
		RunE: func(c *cobra.Command, args []string) error {
			o, err := u.open(c.Context(), args)
			if err != nil {
				return err
			}
			u.notes(o.shop)
			if len(o.plan.Inputs) == 0 {
				u.note("note: the plan names no files that it was made from, so none can be told to have changed")
			} else {
				for _, file := range o.stale() {
					u.note("note: %s has changed since the plan was made", file)
				}
			}
			if len(o.away) > 0 {
				u.note("note: put away since: %s", strings.Join(o.awayNames(), ", "))
			}
			faults := nest.Check(o.asMade(), o.plan)
			if u.json {
				if err := u.value(checkResult{Plan: o.path, Holds: len(faults) == 0, Faults: append([]nest.Violation{}, faults...)}); err != nil {
					return err
				}
			} else {
				for _, f := range faults {
					u.text("%s\n", message(f.String()))
				}
			}
			if len(faults) > 0 {
				return &shortfall{fmt.Sprintf("%s: the plan breaks %s", o.path, source.Count(broken(faults), "rule")), "lay again, or undo what was changed in the files"}
			}
			if !u.json {
				u.text("%s holds: %s on %s, worth %.2f, bound %.2f, plan %s\n",
					o.path, source.Count(len(o.plan.Pieces), "piece"), source.Count(len(o.plan.Hides), "hide"), o.plan.Result.Value, o.plan.Result.Bound, report.Mark(o.plan))
			}
			return nil
		},
	}
}

// checkResult is what check prints as JSON.
type checkResult struct {
	Plan   string           `json:"plan"`
	Holds  bool             `json:"holds"`
	Faults []nest.Violation `json:"faults"`
}

// broken is how many rules are broken, some of them perhaps in many places.
func broken(faults []nest.Violation) int {
	rules := map[string]bool{}
	for _, f := range faults {
		rules[f.Rule] = true
	}
	return len(rules)
}
