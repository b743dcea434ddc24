package main

import (
	"github.com/spf13/cobra"

	"strapwise/nest/rack"
	"strapwise/nest/record"
)

func newAccept(u *ui) *cobra.Command {
	var on string
	c := &cobra.Command{
		Use:   "accept HIDE...",
		Short: "take hides into the record as their files are now",
		Long: `accept takes hides into the record as a person has left them: a file that was put
into hides/ by hand comes in, one that was changed counts as it is now, and a hide
whose file is gone is written off. It changes no file but the journal.`,
		Example: "  strapwise rack accept ash-3",
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				return &usage{"found no argument, expected the names of hides", "strapwise rack audit tells which are not in the record as they are"}
			}
			return nil
		},
		RunE: func(c *cobra.Command, args []string) error {
			date, err := u.entryDay(c.Context(), on)
			if err != nil {
				return err
			}
			return u.change(c.Context(), func(r *rack.Rack) error {
				done, err := r.Accept(date, once(args)...)
				if err != nil {
					return err
				}
				if u.json {
					return u.value(done)
				}
				says := map[record.What]string{record.Found: "is in the record now", record.Changed: "is in the record as its file is now", record.Gone: "is written off"}
				for _, h := range done.Hides {
					u.text("%s %s: entry %d of %s\n", h.Hide, says[h.What], done.Entry, record.File)
				}
				return nil
			})
		},
	}
	dayFlag(c, &on)
	return c
}
