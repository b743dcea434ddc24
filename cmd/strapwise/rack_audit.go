package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"strapwise/hide/measure"
	"strapwise/hide/source"
	"strapwise/nest/rack"
	"strapwise/nest/record"
)

func newAudit(u *ui) *cobra.Command {
	return &cobra.Command{
		Use:   "audit",
		Short: "prove that the record adds up and is true to the rack",
		Long: `audit adds up the record: of every hide that was ever on the rack, pieces, remnants
and scrap must have its area, to the square millimetre, and its cost, to the penny.
Then it holds the record against the files: each hide that is on the rack by the record
must be there, as it was. It says in one sentence each what does not hold and what to
do, and changes nothing.`,
		Example: "  strapwise rack audit",
		Args:    noArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			a, err := rack.Audit(c.Context(), u.workshop)
			if err != nil {
				return err
			}
			if u.json {
				if err := u.value(struct {
					Holds bool `json:"holds"`
					rack.Audited
				}{a.Holds(), a}); err != nil {
					return err
				}
			} else {
				wrong := 0
				for _, f := range a.Findings {
					if f.Note {
						u.note("note: %s; %s", f, f.Do)
						continue
					}
					wrong++
					u.text("%s\n  %s\n", message(f.String()), message(f.Do))
				}
				if wrong == 0 {
					u.text("the record holds: all that came on the rack is accounted for\n")
				}
				u.table(sumRows(a.Shop.Rule, a.Sums))
			}
			if !a.Holds() {
				return &shortfall{"the record does not hold", "what to do stands under each sentence"}
			}
			return nil
		},
	}
}

// sumRows tells what came and where it is.
func sumRows(rule measure.Rule, s record.Sums) []string {
	row := func(what string, a record.Amount) string {
		return fmt.Sprintf("  %s\t%s\t%s", what, rule.Area(float64(a.AreaMM2)), money(a))
	}
	return []string{
		"  leather\tarea\tcost",
		row(source.Count(s.Hides, "hide")+" taken in", s.Came),
		row("in pieces", s.Pieces),
		row("in scrap", s.Scrap),
		row("on the rack", s.OnRack),
		row("written off", s.Gone),
	}
}
