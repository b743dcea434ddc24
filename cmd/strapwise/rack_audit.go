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
	var each bool
	c := &cobra.Command{
		Use:   "audit",
		Short: "prove that the record adds up and is true to the rack",
		Long: `audit adds up the record: of every hide that was ever on the rack, pieces, remnants
and scrap must have its area, to the square millimetre, and its cost, to the penny.
Then it holds the record against the files: each hide that is on the rack by the record
must be there, as it was. It says in one sentence each what does not hold and what to
do, and changes nothing. --each shows the sums of every hide that ever came, with all
remnants that it left.`,
		Example: "  strapwise rack audit --each",
		Args:    noArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			a, err := rack.Audit(c.Context(), u.workshop)
			if err != nil {
				return err
			}
			if u.json {
				if err := u.value(auditedOf(a)); err != nil {
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
				u.table(sumRows(a.Shop.Rule, len(a.Bought), a.Sums))
				if each && len(a.Bought) > 0 {
					u.text("\n")
					u.table(boughtRows(a.Shop.Rule, a.Bought))
				}
			}
			if !a.Holds() {
				return &shortfall{"the record does not hold", "what to do stands under each sentence"}
			}
			return nil
		},
	}
	c.Flags().BoolVar(&each, "each", false, "show the sums of every hide")
	return c
}

// sumRows tells what came and where it is.
func sumRows(rule measure.Rule, hides int, s record.Sums) []string {
	row := func(what string, a record.Amount) string {
		return fmt.Sprintf("  %s\t%s\t%s", what, rule.ColumnArea(float64(a.AreaMM2)), costOf(a))
	}
	return []string{
		"  leather\tarea\tcost",
		row(source.Count(hides, "hide")+" taken in", s.Came),
		row("in pieces", s.Pieces),
		row("in scrap", s.Scrap),
		row("on the rack", s.OnRack),
		row("written off", s.Gone),
	}
}

// boughtRows tells of each hide that came what became of it.
func boughtRows(rule measure.Rule, bought []record.Bought) []string {
	rows := []string{"  hide\tsupplier\tgrade\tcame\tpieces\tscrap\ton the rack\twritten off\tcost"}
	area := func(a record.Amount) string { return rule.ColumnArea(float64(a.AreaMM2)) }
	for _, b := range bought {
		rows = append(rows, fmt.Sprintf("  %s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s", b.Hide.Name, orDash(b.Hide.Supplier), orDash(b.Hide.Grade),
			area(b.Came), area(b.Pieces), area(b.Scrap), area(b.OnRack), area(b.Gone), costOf(b.Came)))
	}
	return rows
}

// audited is what audit prints as JSON.
type audited struct {
	Holds bool `json:"holds"`
	rack.Audited
	Hides []boughtHide `json:"hides"` // that ever came from outside
}

type boughtHide struct {
	Hide     string `json:"hide"`
	Leather  string `json:"leather"`
	Form     string `json:"form"`
	Supplier string `json:"supplier"`
	Grade    string `json:"grade"`
	record.Sums
}

func auditedOf(a rack.Audited) audited {
	out := audited{Holds: a.Holds(), Audited: a, Hides: []boughtHide{}}
	for _, b := range a.Bought {
		out.Hides = append(out.Hides, boughtHide{b.Hide.Name, b.Hide.Leather, b.Hide.Form, b.Hide.Supplier, b.Hide.Grade, b.Sums})
	}
	return out
}
