package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/signal"
	"syscall"
	"time"

	"github.com/spf13/cobra"

	"strapwise/hide/money"
)

// forecastFlags are the flags of forecast.
type forecastFlags struct {
	article             tallyFlags // pattern, width, size, leather, lining
	form, grade         string
	supplier            string
	length, depth, area string
	hides, trials       int
	sure                string
	out, as             string
	limit               time.Duration
	seed                uint64
}

func newForecast(u *ui) *cobra.Command {
	var f forecastFlags
	c := &cobra.Command{
		Use:   "forecast",
		Short: "what leather would yield before it is bought, and what to buy",
		Long: `forecast draws many hides of a form and grade at random, lays each, and tells how
many sets of an article they give: what to expect, and what 9 in 10 give. What such
hides look like is a model, which [models] in workshop.toml changes; of the forms and
grades of which five or more hides are on the rack, or were and are in the record, it
goes by those, and by a supplier's own where there are five. It says what it assumed.

Without --pattern it tells what to buy for the order book: leather by leather, what
the rack does not give, and the cheapest of the [[offers]] in workshop.toml that are
90 % sure to be enough, alone or two together.

The same files, --seed, --hides and --trials give the same figures. --out names a
folder for a picture of how often each count came.`,
		Example: `  strapwise forecast --pattern raised --width 1in --size 16in --form side --grade B
  strapwise forecast --sure 90%`,
		Args: noArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			ctx, stop := signal.NotifyContext(c.Context(), os.Interrupt, syscall.SIGTERM)
			defer stop()
			ctx, cancel := context.WithTimeout(ctx, f.limit)
			defer cancel()
			only := map[bool][]string{
				true:  {"trials", "sure"},
				false: {"width", "size", "leather", "lining", "form", "grade", "supplier", "length", "depth", "area", "hides", "out", "as"},
			}
			article := f.article.pattern != ""
			for _, name := range only[article] {
				if c.Flags().Changed(name) && article {
					return &usage{fmt.Sprintf("--%s: found it with --pattern, expected only one of them", name), "it says how sure to be of the order book"}
				} else if c.Flags().Changed(name) {
					return &usage{fmt.Sprintf("--%s: found it without --pattern, expected both", name), "without --pattern forecast tells what to buy for the order book"}
				}
			}
			if err := pictureForm(f.as); err != nil {
				return err
			}
			if f.limit <= 0 {
				return &usage{fmt.Sprintf("--time: found %s, expected more than 0", f.limit), "write 10s or 2m"}
			}
			if article {
				return forecastSets(ctx, u, f)
			}
			return forecastBuy(ctx, u, f)
		},
	}
	c.Flags().StringVar(&f.article.pattern, "pattern", "", "the `pattern` of the article")
	c.Flags().StringVar(&f.article.width, "width", "", "its finished `width`, as 1in")
	c.Flags().StringVar(&f.article.size, "size", "", "its `size`: neck, waist or length, as 16in")
	c.Flags().StringVar(&f.article.leather, "leather", "", "the order's `leather`, if the form is cut for it (default)")
	c.Flags().StringVar(&f.article.lining, "lining", "", "the lining `leather`, if the form is cut for it")
	c.Flags().StringVar(&f.form, "form", "", "bend, side, shoulder: the `form` of the hides")
	c.Flags().StringVar(&f.grade, "grade", "", "their `grade`, A to F (default: as those of the form that are known)")
	c.Flags().StringVar(&f.supplier, "supplier", "", "whose own hides to go by, if five are known: the `supplier`")
	c.Flags().StringVar(&f.length, "length", "", "their `length` along the backbone (default: as the form usually is)")
	c.Flags().StringVar(&f.depth, "depth", "", "their `depth`, all across")
	c.Flags().StringVar(&f.area, "area", "", "their `area`, as 9 1/4 sqft")
	c.Flags().IntVar(&f.hides, "hides", 200, "how many hides to draw")
	c.Flags().IntVar(&f.trials, "trials", 60, "how often to try what is bought")
	c.Flags().StringVar(&f.sure, "sure", "90%", "how sure to be of all orders")
	c.Flags().StringVar(&f.out, "out", "", "write a picture to this `folder`")
	c.Flags().StringVar(&f.as, "as", "svg", "form of the picture: svg, html or pdf")
	c.Flags().DurationVar(&f.limit, "time", 2*time.Minute, "longest time to take")
	c.Flags().Uint64Var(&f.seed, "seed", 1, "of what is drawn")
	return c
}

// mostDrawn is how many hides, or trials, may be asked for.
const mostDrawn = 10_000

// some refuses a number that is none to draw.
func some(flag string, n int) error {
	if n < 10 || n > mostDrawn {
		return &usage{fmt.Sprintf("--%s: found %d, expected 10 to %d", flag, n, mostDrawn), ""}
	}
	return nil
}

// sureOf reads how sure to be.
func sureOf(text string) (float64, error) {
	d, err := money.Percent(text)
	if err != nil || d.InexactFloat64() < 0.5 || d.InexactFloat64() > 0.99 {
		return 0, &usage{fmt.Sprintf("--sure: found %q, expected 50%% to 99%%", text), "write 90%"}
	}
	return d.InexactFloat64(), nil
}

// outOfTime is an error of what ended before it had its figures.
func outOfTime(err error, help string) error {
	switch {
	case errors.Is(err, context.DeadlineExceeded):
		return &shortfall{"the time was used up before all was laid", help}
	case errors.Is(err, context.Canceled):
		return &shortfall{"it was stopped before all was laid", help}
	}
	return &shortfall{err.Error(), ""}
}

// tellAssumed says what a forecast rests on.
func tellAssumed(u *ui, assumed []string) {
	u.text("\nassumed\n")
	for _, s := range assumed {
		u.text("  %s\n", s)
	}
}
