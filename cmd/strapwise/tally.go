package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/signal"
	"strings"
	"syscall"

	"github.com/spf13/cobra"

	"strapwise/hide"
	"strapwise/hide/measure"
	"strapwise/nest/orders"
	"strapwise/nest/workshop"
)

// tallyFlags are the flags of tally.
type tallyFlags struct {
	pattern, width, size string
	leather, lining      string
	hides                []string
	out, paper, as       string
	effort
}

func newTally(u *ui) *cobra.Command {
	var f tallyFlags
	c := &cobra.Command{
		Use:   "tally",
		Short: "how many complete sets of one article each hide gives",
		Long: `tally counts, for every hide on the rack, the most complete sets of one article
that it gives, and how many no lay of straight strips on it can exceed. It needs
no order book, and what cuts cost is left out of account.

An article may take several leathers. Each hide is counted for what its own
leather has to give, and the other parts are taken as at hand: of a raised
collar, a bend gives main, filler and keeper, a skin the lining. --leather and
--lining say which leathers those are. With neither, leather under 3 oz (1.2 mm)
counts as lining, other leather as the order's, and one that the pattern names,
as foam, for itself.

Nothing is written unless --out names a folder: then plan and sheet of each hide.
Every lay is checked by a second way before its sets are told. A count ends when
it is proven, or when --steps or --time are used up; if only --time is given, the
hides that are not proven share all of it. Ctrl-C keeps the best counts so far.`,
		Example: "  strapwise tally --pattern raised --width 1in --size 16in",
		Args:    noArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			if err := f.settle(c); err != nil {
				return err
			}
			return tally(c.Context(), u, f)
		},
	}
	c.Flags().StringVar(&f.pattern, "pattern", "", "the `pattern` of the article")
	c.Flags().StringVar(&f.width, "width", "", "its finished `width`, as 1in")
	c.Flags().StringVar(&f.size, "size", "", "its `size`: neck, waist or length, as 16in")
	c.Flags().StringVar(&f.leather, "leather", "", "the order's `leather`: count hides of it")
	c.Flags().StringVar(&f.lining, "lining", "", "the lining `leather`: count hides of it")
	c.Flags().StringArrayVar(&f.hides, "hide", nil, "count only this `hide` (may be given again)")
	c.Flags().StringVar(&f.out, "out", "", "write plan and sheet of each hide to this `folder`")
	c.Flags().StringVar(&f.as, "as", "svg", "of the sheets: svg or pdf")
	c.Flags().StringVar(&f.paper, "paper", "a4", "of the sheets: a4, a3 or letter")
	f.flags(c, ", for all hides together")
	return c
}

func tally(ctx context.Context, u *ui, f tallyFlags) error {
	ctx, stop := signal.NotifyContext(ctx, os.Interrupt, syscall.SIGTERM)
	defer stop()
	w, err := workshop.OpenRack(u.workshop)
	if err != nil {
		return err
	}
	if f.as != "svg" && f.as != "pdf" {
		return &usage{fmt.Sprintf("--as: found %q, expected svg or pdf", f.as), ""}
	}
	options, err := sheetOptions(w, f.paper)
	if err != nil {
		return err
	}
	a, err := f.article(w.House)
	if err != nil {
		return err
	}
	job, err := w.Job(f.hides...)
	if err != nil {
		return &usage{"--hide: " + err.Error(), "strapwise rack list shows the rack"}
	}
	chosen, others, err := a.choose(w.House, job.Hides)
	if err != nil {
		return err
	}
	if len(chosen) == 0 {
		return a.nothing(w, job.Hides)
	}
	u.notes(w)
	for _, h := range others {
		switch {
		case a.open():
			u.note("note: %s is left out: %s takes no %s unless --leather or --lining names it", h.Name(), a.pattern, h.Leather())
		case len(f.hides) > 0:
			u.note("note: %s is left out: it is of %s", h.Name(), h.Leather())
		}
	}
	all, err := countAll(ctx, u, w, chosen, f)
	if err != nil {
		return err
	}
	files := []string{}
	if f.out != "" {
		if files, err = writeTally(context.WithoutCancel(ctx), u, f.out, f.as, all, options); err != nil {
			return err
		}
	}
	if u.json {
		return u.value(tallyResult{Hides: all, Files: files})
	}
	u.text("%s\n\n", a.title(w.Rule))
	u.table(tallyRows(all))
	wrote(u, files)
	return nil
}

// tallyResult is what tally prints as JSON.
type tallyResult struct {
	Hides []tallied `json:"hides"`
	Files []string  `json:"files"`
}

// article is what is counted. Lengths are millimetres; leather and lining may
// be empty.
type article struct {
	pattern, leather, lining string
	width, size              float64
}

func (a article) title(rule measure.Rule) string {
	return fmt.Sprintf("%s %s × %s", a.pattern, rule.Exact(a.width), rule.Exact(a.size))
}

// open reports whether it was left to the hides what their leather is.
func (a article) open() bool { return a.leather == "" && a.lining == "" }

// article reads what is to be counted.
func (f tallyFlags) article(house *orders.House) (article, error) {
	a := article{pattern: f.pattern, leather: f.leather, lining: f.lining}
	if a.pattern == "" {
		return a, &usage{"--pattern: found nothing, expected one of " + strings.Join(house.Patterns(), ", "), ""}
	}
	for _, l := range []struct {
		flag, text, what string
		mm               *float64
	}{
		{"width", f.width, "the finished width", &a.width},
		{"size", f.size, "the neck of a collar, the waist of a belt or the length of a lead or strap", &a.size},
	} {
		if l.text == "" {
			return a, &usage{fmt.Sprintf("--%s: found nothing, expected %s", l.flag, l.what), "write 35mm or 1 3/8in"}
		}
		mm, err := measure.Length(l.text, 0)
		if err != nil {
			return a, &usage{fmt.Sprintf("--%s: %s", l.flag, err), hintOf(err)}
		}
		*l.mm = mm
	}
	set, err := house.Set(a.pattern, a.width, a.size, a.leather, a.lining)
	switch {
	case err != nil:
		return a, mistake(err)
	case a.leather != "" && len(set.Share(a.leather).Parts) == 0:
		return a, &usage{fmt.Sprintf("--leather: found %s, and the pattern %s cuts nothing from the order's leather", a.leather, a.pattern), ""}
	case a.lining != "" && len(set.Share(a.lining).Parts) == 0:
		return a, &usage{fmt.Sprintf("--lining: found %s, and the pattern %s cuts nothing from a lining", a.lining, a.pattern), ""}
	}
	return a, nil
}

// mistake puts a fault of the article into the words of the command line.
func mistake(err error) error {
	var fault *hide.Fault
	if errors.As(err, &fault) {
		return &usage{fmt.Sprintf("--%s: %s", fault.Path, fault.Rule), fault.Hint}
	}
	return err
}

// share is a hide with what it has to give for one set.
type share struct {
	hide *hide.Hide
	line orders.Line
}

// choose takes the hides whose leather has something to give, in their order,
// and tells which others there are.
func (a article) choose(house *orders.House, hides []*hide.Hide) (chosen []share, others []*hide.Hide, err error) {
	for _, h := range hides {
		leather, lining, named := a.leather, a.lining, a.leather == h.Leather() || a.lining == h.Leather()
		if a.open() {
			role := house.Role(a.pattern, h.Leather())
			named = role != orders.NoRole
			switch role {
			case orders.AsOrder:
				leather = h.Leather()
			case orders.AsLining:
				lining = h.Leather()
			}
		}
		if !named {
			others = append(others, h)
			continue
		}
		line, err := house.Set(a.pattern, a.width, a.size, leather, lining)
		if err != nil {
			return nil, nil, mistake(err)
		}
		if line = line.Share(h.Leather()); len(line.Parts) == 0 {
			others = append(others, h)
			continue
		}
		chosen = append(chosen, share{h, line})
	}
	return chosen, others, nil
}

// nothing says that no hide can be counted.
func (a article) nothing(w *workshop.Workshop, among []*hide.Hide) error {
	var wanted []string
	for _, name := range []string{a.leather, a.lining} {
		if name != "" {
			wanted = append(wanted, name)
		}
	}
	switch {
	case len(w.Hides) == 0:
		return &shortfall{"the rack is empty: there is no hide to count", "a hide is a file in the folder hides"}
	case a.open():
		return &shortfall{fmt.Sprintf("found no leather for %s among %s", a.pattern, hideNames(among)), "--leather or --lining says what a leather is to be"}
	default:
		return &shortfall{fmt.Sprintf("found no hide of %s among %s", strings.Join(wanted, " or "), hideNames(among)), "strapwise rack list shows the rack"}
	}
}

// hideNames lists hides with their leathers.
func hideNames(hides []*hide.Hide) string {
	var out []string
	for _, h := range hides {
		out = append(out, fmt.Sprintf("%s (%s)", h.Name(), h.Leather()))
	}
	return strings.Join(out, ", ")
}
