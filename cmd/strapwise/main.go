// Strapwise plans how a leatherworker cuts strap goods from hides.
//
// One file a command; ui.go is the only one that prints, and this one decides
// the exit code:
//
//	0  done
//	1  the work could not be done as asked; what, why and what would help is said
//	2  the command line or a file is wrong; what was found and what was expected is said
package main

import (
	"context"
	"errors"
	"io"
	"os"

	"github.com/spf13/cobra"

	"strapwise/hide/measure"
	"strapwise/hide/source"
	"strapwise/nest/safe"
)

func main() {
	os.Exit(run(context.Background(), os.Args[1:], os.Stdout, os.Stderr))
}

// run is the whole program, and returns its exit code.
func run(ctx context.Context, args []string, out, errs io.Writer) int {
	u := newUI(out, errs)
	root := newRoot(u)
	root.SetArgs(args)
	root.SetOut(u.out)
	root.SetErr(errs)
	root.SetContext(ctx)
	err := root.ExecuteContext(ctx)
	if u.out.err != nil && (err == nil || errors.Is(err, u.out.err)) {
		err = &shortfall{"the result could not be printed: " + source.Cause(u.out.err), "look whether the disk is full; what was written to files stands"}
	}
	if err == nil {
		return 0
	}
	if s, ok := errors.AsType[*shortfall](err); ok {
		u.fail(s.what, s.help)
		return 1
	}
	if e, ok := errors.AsType[*safe.Error](err); ok {
		u.fail(e.What, e.Help)
		return 1
	}
	u.fail(err.Error(), hintOf(err))
	return 2
}

// shortfall says that the work could not be done as asked, though nothing was
// wrong with what was asked.
type shortfall struct{ what, help string }

func (s *shortfall) Error() string { return s.what }

// usage is a mistake on the command line.
type usage struct{ what, help string }

func (u *usage) Error() string { return u.what }

// hintOf is what would mend a mistake, if its finder knew.
func hintOf(err error) string {
	var file *source.Error
	var length *measure.Error
	var line *usage
	switch {
	case errors.As(err, &file):
		return file.Hint
	case errors.As(err, &length):
		return length.Hint
	case errors.As(err, &line):
		return line.help
	}
	return ""
}

// newRoot is the command tree.
func newRoot(u *ui) *cobra.Command {
	root := &cobra.Command{
		Use:   "strapwise",
		Short: "plan how strap goods are cut from hides",
		Long: `strapwise plans cuts across a hide for a bench leatherworker: collars, leads,
belts and straps to order, from sides and bends with scars in them.

It reads a workshop folder: workshop.toml (house rules), orders.csv (the order
book) and hides/NAME.toml (the leather on the rack). Lengths are written as at
the bench: 1 3/8in, 35mm, 2ft 6in.`,
		Example: `  strapwise pieces          what to cut for the orders
  strapwise lay             lay them out on the leather, and draw the cutting sheets
  strapwise relay           lay again around what has been cut and found
  strapwise tally           how many sets of one article each hide gives
  strapwise price           what the orders used and cost, and must sell for
  strapwise forecast        what to buy, and what leather would yield
  strapwise rack list       the leather on the rack
  strapwise rack put-away   when it is cut, put back what is left`,
		SilenceUsage:      true,
		SilenceErrors:     true,
		Args:              noSuchCommand,
		PersistentPreRunE: givenOnce,
		RunE:              func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	root.SetFlagErrorFunc(flagMistake)
	root.SetHelpCommand(newHelp())
	root.PersistentFlags().StringVar(&u.workshop, "workshop", ".", "the workshop `folder`")
	root.PersistentFlags().BoolVar(&u.json, "json", false, "print the result as JSON")
	root.PersistentFlags().BoolVar(&u.quiet, "quiet", false, "print nothing but results and errors")
	root.AddCommand(newPieces(u), newLay(u), newRelay(u), newTally(u), newCheck(u), newSheet(u), newPrice(u), newForecast(u), newRack(u))
	for _, c := range root.Commands() {
		c.DisableAutoGenTag = true
	}
	countFlags(root)
	return root
}

// newHelp is the help of a command, which must be one.
func newHelp() *cobra.Command {
	return &cobra.Command{
		Use:   "help [COMMAND]",
		Short: "help about a command",
		RunE: func(c *cobra.Command, args []string) error {
			of, rest, err := c.Root().Find(args)
			if err != nil {
				return err
			}
			if err := noSuchCommand(of, rest); err != nil {
				return err
			}
			return of.Help()
		},
	}
}
