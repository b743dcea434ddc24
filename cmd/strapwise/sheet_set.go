package main

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"strapwise/nest/workshop"
	"strapwise/report"
)

func newSheetSet(u *ui) *cobra.Command {
	var f paperFlags
	var part string
	c := &cobra.Command{
		Use:   "set ORDER/SET",
		Short: "the patterns of one set of an order, at full size",
		Long: `set draws the pieces of one set, as they are cut, at full size: as pdf on as many
sheets of the paper as they take, as svg on one page. It needs no plan.`,
		Example: "  strapwise sheet set A105/1\n  strapwise sheet set A105/1 --part filler --paper letter",
		Args: func(c *cobra.Command, args []string) error {
			if len(args) != 1 {
				return &usage{fmt.Sprintf("found %d arguments, expected one set", len(args)), "write A105/1 for the first of order A105"}
			}
			return nil
		},
		RunE: func(c *cobra.Command, args []string) error {
			order, set, err := orderAndSet(args[0])
			if err != nil {
				return err
			}
			if err := f.check(); err != nil {
				return err
			}
			w, err := workshop.Open(u.workshop)
			if err != nil {
				return err
			}
			options, err := sheetOptions(w, f.paper)
			if err != nil {
				return err
			}
			job, err := w.Job()
			if err != nil {
				return err
			}
			for i, l := range w.Lines { // what is cut by eye has patterns too
				job.Orders[i].Parts = slices.Concat(l.Parts, l.Aside)
			}
			page, err := report.SetDrawing(job, order, set, part, options.Rule)
			if err != nil {
				return &usage{err.Error(), "strapwise pieces lists orders, sets and parts"}
			}
			name := "set-" + fileName(order) + "+" + strconv.Itoa(set)
			if part != "" {
				name += "+" + part
			}
			return f.drawn(c.Context(), u, page, name, options)
		},
	}
	f.of(c, "patterns")
	c.Flags().StringVar(&part, "part", "", "only this `part` of the set")
	return c
}

// orderAndSet reads "A105/1". An order's name may have strokes in it.
func orderAndSet(s string) (order string, set int, err error) {
	i := strings.LastIndex(s, "/")
	if i > 0 {
		set, err = strconv.Atoi(s[i+1:])
	}
	if i <= 0 || err != nil {
		return "", 0, &usage{fmt.Sprintf("found %q, expected an order and the number of a set", s), "write A105/1 for the first of order A105"}
	}
	return s[:i], set, nil
}

// fileName is a name of the order book with only such letters as go into the names
// of files everywhere.
func fileName(s string) string {
	return strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || r == '-' || r == '_' {
			return r
		}
		return '_'
	}, s)
}
