package main

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"strapwise/hide"
	"strapwise/hide/measure"
	"strapwise/hide/source"
	"strapwise/nest"
	"strapwise/nest/rack"
	"strapwise/nest/record"
	"strapwise/nest/workshop"
	"strapwise/report"
)

func newPutAway(u *ui) *cobra.Command {
	var hides []string
	var on string
	c := &cobra.Command{
		Use:   "put-away [PLAN]",
		Short: "take hides that have been cut off the rack, and put back what they leave",
		Long: `put-away is for when the cutting is done. It takes the hides of a plan off the
rack, and puts what is left of each on it as hides of their own, ash-3-r1, ash-3-r2:
with the flaws and zones that lie on them, the backbone and their share of the cost by
area; what the trim takes along the old edge is a zone of waste. What is smaller than
[rack] least in workshop.toml, or has no leather within its trim, is scrap. The files of
cut hides are kept in the folder cut.

Without PLAN it is plans/plan.json of the workshop. Where only some of its hides have
been cut, --hide names them; the others can follow. The record says which sets are
made. The order book is left as it is: strike from it what is made.`,
		Example: "  strapwise rack put-away\n  strapwise rack put-away plans/plan.json --hide ash-3",
		Args:    atMostOne("plan"),
		RunE: func(c *cobra.Command, args []string) error {
			date, err := u.entryDay(c.Context(), on)
			if err != nil {
				return err
			}
			plan, path, err := u.readPlan(c.Context(), first(args))
			if err != nil {
				return err
			}
			return u.change(c.Context(), func(r *rack.Rack) error {
				u.changed(plan, r.Shop)
				away, err := r.PutAway(date, plan, report.Mark(plan), once(hides)...)
				if err != nil {
					return err
				}
				if u.json {
					return u.value(away)
				}
				u.text("put away by plan %s of %s: entry %d of %s\n", report.Mark(plan), path, away.Entry, record.File)
				u.table(awayRows(r.Shop.Rule, away))
				u.text("%s", madeText(away))
				return nil
			})
		},
	}
	c.Flags().StringArrayVar(&hides, "hide", nil, "put away only this `hide` (may be given again)")
	dayFlag(c, &on)
	return c
}

// change opens the rack for one change.
func (u *ui) change(ctx context.Context, make func(*rack.Rack) error) error {
	r, err := rack.Open(ctx, u.workshop)
	if err != nil {
		return err
	}
	defer r.Close()
	return refused(make(r))
}

// changed tells which hides of a plan are on the rack with another file than when
// it was made.
func (u *ui) changed(plan nest.Plan, w *workshop.Workshop) {
	stale := plan.Stale(w.Inputs)
	for _, l := range plan.Hides {
		file := workshop.HideFile(l.Hide)
		now := slices.ContainsFunc(w.Hides, func(h *hide.Hide) bool { return h.Name() == l.Hide })
		if now && slices.Contains(stale, file) {
			u.note("note: %s has changed since the plan was made", file)
		}
	}
}

func awayRows(rule measure.Rule, a rack.Away) []string {
	rows := []string{"  hide\tbecame\tarea\tcost"}
	amount := func(a record.Amount) string { return rule.ColumnArea(float64(a.AreaMM2)) + "\t" + costOf(a) }
	for _, h := range a.Hides {
		rows = append(rows, "  "+h.Hide+"\t\t"+amount(h.Whole))
		rows = append(rows, "  \t"+source.Count(h.Pieces, "piece")+"\t"+amount(h.Used))
		for _, r := range h.Remnants {
			rows = append(rows, fmt.Sprintf("  \tremnant %d: %s\t%s", r.Remnant, r.Hide, amount(r.Amount)))
		}
		scrap := "scrap"
		if len(h.Small) > 0 {
			scrap += fmt.Sprintf(", with %s, not worth keeping", numbered("remnant", record.SetNumbers(h.Small)))
		}
		rows = append(rows, "  \t"+scrap+"\t"+amount(h.Scrap))
	}
	return rows
}

// numbered names things by their numbers, as the record writes them: "set 4", "remnants
// 2-4 and 6".
func numbered(what, numbers string) string {
	if strings.ContainsAny(numbers, "- ") {
		what += "s"
	}
	return what + " " + strings.ReplaceAll(numbers, " ", " and ")
}

// costOf is the cost of an amount of leather, a dash if it is not known.
func costOf(a record.Amount) string {
	if a.Cost.IsZero() {
		return "-"
	}
	return a.Cost.StringFixed(2)
}

// madeText tells which sets are made, and what is left to do.
func madeText(a rack.Away) string {
	var b strings.Builder
	if len(a.Made) > 0 {
		var made []string
		for _, m := range a.Made {
			made = append(made, m.Order+" "+numbered("set", record.SetNumbers(m.Sets)))
		}
		fmt.Fprintf(&b, "made: %s\nstrike them from orders.csv before you lay again: the book is left as it is\n", strings.Join(made, ", "))
	}
	if len(a.Waiting) > 0 {
		fmt.Fprintf(&b, "still on the rack: %s\n", strings.Join(a.Waiting, ", "))
	}
	return b.String()
}
