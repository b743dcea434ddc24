package main

import (
	"strings"

	"github.com/spf13/cobra"

	"strapwise/nest/rack"
	"strapwise/nest/record"
)

func newUndo(u *ui) *cobra.Command {
	var on string
	c := &cobra.Command{
		Use:   "undo",
		Short: "take back the last take-in, put-away or accept",
		Long: `undo takes back the last entry of the record that counts, and its files with it:
what was taken in leaves the rack; of what was put away the remnants leave it, and
the hide comes back as it was. Again, it takes back the one before. Files that a
person has written or changed since are never taken away.`,
		Example: "  strapwise rack undo",
		Args:    noArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			date, err := u.entryDay(c.Context(), on)
			if err != nil {
				return err
			}
			return u.change(c.Context(), func(r *rack.Rack) error {
				done, err := r.Undo(date)
				if err != nil {
					return err
				}
				if u.json {
					return u.value(done)
				}
				u.text("undone: entry %d of %s, of %s\n", done.Entry, record.File, done.Date.Format("2006-01-02"))
				if len(done.Removed) > 0 {
					u.text("off the rack: %s\n", strings.Join(done.Removed, ", "))
				}
				if len(done.Back) > 0 {
					u.text("back on it: %s\n", strings.Join(done.Back, ", "))
				}
				return nil
			})
		},
	}
	dayFlag(c, &on)
	return c
}
