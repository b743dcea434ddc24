package main

import (
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/spf13/cobra"

	"strapwise/hide/source"
	"strapwise/nest/rack"
)

func newRack(u *ui) *cobra.Command {
	c := &cobra.Command{
		Use:   "rack",
		Short: "the leather on hand: take in, list, show, put away what a plan leaves",
		Long: `rack keeps the leather on hand and its record. A hide comes on the rack with
take-in, or as a file that you put into hides/ yourself; put-away takes it off when it
has been cut, and puts what it leaves in its place. Each is an entry of journal.csv,
which says what became of every hide and what it cost, and audit proves that it adds
up.`,
		Example: "  strapwise rack list\n  strapwise rack take-in ash-4 --leather bridle --form bend --size \"52in x 26in\" --cost 96.50\n  strapwise rack put-away",
		Args:    noSuchCommand,
		RunE:    func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	c.AddCommand(newRackList(u), newRackShow(u), newTakeIn(u), newPutAway(u), newUndo(u), newAccept(u), newAudit(u))
	return c
}

// oneHide refuses all but the name of one hide.
func oneHide(_ *cobra.Command, args []string) error {
	if len(args) != 1 {
		return &usage{fmt.Sprintf("found %s, expected the name of one hide", source.Count(len(args), "argument")), "strapwise rack list shows the names"}
	}
	return nil
}

// dayFlag adds --on, the day to which an entry of the record is put.
func dayFlag(c *cobra.Command, on *string) {
	c.Flags().StringVar(on, "on", "", "the `date` of the entry, as 2027-03-01 (default today)")
}

// day reads a date of the command line; none is today.
func day(text string) (time.Time, error) {
	if text == "" {
		text = time.Now().Format(time.DateOnly)
	}
	on, ok := source.Day(text)
	if !ok {
		return on, &usage{fmt.Sprintf("--on: found %q, expected a date", text), "write 2027-03-01"}
	}
	return on, nil
}

// entryDay is the day of a new entry of the record. One that is told may not be before
// the last entry.
func (u *ui) entryDay(ctx context.Context, text string) (time.Time, error) {
	on, err := day(text)
	if err != nil || text == "" {
		return on, err
	}
	last, err := rack.LastDay(ctx, u.workshop)
	if err == nil && on.Before(last) {
		err = &usage{fmt.Sprintf("--on: found %s, expected the day of the last entry of the record, %s, or a later one", text, last.Format(time.DateOnly)), "entries follow one another; the day on which a hide was bought is told apart, with --bought or in its file"}
	}
	return on, err
}

// refused puts a change that is not made into the words of the command line.
func refused(err error) error {
	r, ok := errors.AsType[*rack.Refusal](err)
	switch {
	case !ok:
		return err
	case r.Asked:
		return &usage{r.What, r.Help}
	}
	return &shortfall{r.What, r.Help}
}
