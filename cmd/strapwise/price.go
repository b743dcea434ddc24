package main

import (
	"context"
	"fmt"
	"os"
	"os/signal"
	"slices"
	"syscall"
	"time"

	"github.com/shopspring/decimal"
	"github.com/spf13/cobra"

	"strapwise/hide"
	"strapwise/nest"
	"strapwise/nest/rack"
	"strapwise/nest/strip"
	"strapwise/report/price"
	"strapwise/report/yield"
)

// priceFlags are the flags of price.
type priceFlags struct {
	article tallyFlags // of a price list: pattern, width, sizes, leathers
	step    string
	flaws   bool
	record  bool
	out, as string
	effort
}

func newPrice(u *ui) *cobra.Command {
	var f priceFlags
	c := &cobra.Command{
		Use:   "price [PLAN]",
		Short: "what each order used and cost, what the waste and each flaw cost",
		Long: `price tells what a plan cost and what its orders must sell for: the leather of
every order with its share of the waste and of the flaws, what is bought by area since
the workshop lists no such leather, hardware, thread, work, overhead, margin and tax.
The shares add up to what was paid for the hides, to the penny; what goes back on the
rack keeps its share.
Without PLAN it is plans/plan.json of the workshop. Rates stand under [prices] in
workshop.toml; what is not told there is named as not counted, and is not taken as 0.

It also tells what each flaw and the soft leather took: each hide is laid again
without it, for what the plan cuts from it and more. --flaws=false leaves that out.

With --pattern, --width and --size it is a price list instead, and needs no plan:
--size 12in..22in --step 2in. Leather then comes from the hides of the rack, filled
with that article; from [prices.leathers] where the rack has none.

With --record it tells what the hides gave that were put away, by leather, supplier and
grade, and needs no plan.

--out names a folder for pictures: where the leather went, or price against size.`,
		Example: `  strapwise price
  strapwise price --record
  strapwise price --pattern raised --width 1in --size 12in..22in --leather bridle-tan --lining calf`,
		Args: atMostOne("plan"),
		RunE: func(c *cobra.Command, args []string) error {
			ctx, stop := signal.NotifyContext(c.Context(), os.Interrupt, syscall.SIGTERM)
			defer stop()
			if err := f.check(); err != nil {
				return err
			}
			if err := pictureForm(f.as); err != nil {
				return err
			}
			if f.article.pattern == "" {
				for _, name := range []string{"width", "size", "step", "leather", "lining"} {
					if c.Flags().Changed(name) {
						return &usage{fmt.Sprintf("--%s: found it without --pattern, expected both", name), "--pattern, --width and --size make a price list"}
					}
				}
				if !f.record {
					return pricePlan(ctx, u, args, f)
				}
				if len(args) > 0 {
					return &usage{fmt.Sprintf("found the plan %q and --record, expected only one of them", args[0]), "the record needs no plan"}
				}
				return priceRecord(ctx, u, f)
			}
			if f.record {
				return &usage{"--record: found it with --pattern, expected only one of them", "it tells of hides that were cut"}
			}
			if len(args) > 0 {
				return &usage{fmt.Sprintf("found the plan %q and --pattern, expected only one of them", args[0]), "a price list needs no plan"}
			}
			return priceList(ctx, u, f)
		},
	}
	c.Flags().StringVar(&f.article.pattern, "pattern", "", "a price list: the `pattern` of the article")
	c.Flags().StringVar(&f.article.width, "width", "", "its finished `width`, as 1in")
	c.Flags().StringVar(&f.article.size, "size", "", "its `sizes`, as 12in..22in")
	c.Flags().StringVar(&f.step, "step", "", "from one size to the next: a `length` (default 1in, or 20mm)")
	c.Flags().StringVar(&f.article.leather, "leather", "", "the order's `leather`")
	c.Flags().StringVar(&f.article.lining, "lining", "", "the lining `leather`")
	c.Flags().BoolVar(&f.flaws, "flaws", true, "tell what each flaw took, laying hides again")
	c.Flags().BoolVar(&f.record, "record", false, "tell what the hides gave that were put away")
	c.Flags().StringVar(&f.out, "out", "", "write pictures to this `folder`")
	c.Flags().StringVar(&f.as, "as", "svg", "form of the pictures: svg, html or pdf")
	c.Flags().DurationVar(&f.limit, "time", 5*time.Minute, "longest time to lay hides again, for all together")
	c.Flags().IntVar(&f.steps, "steps", 300, "most steps to look for a better lay, each time")
	c.Flags().Uint64Var(&f.seed, "seed", 1, "of the search")
	return c
}

// priced is all that is told of a plan.
type priced struct {
	plan    string
	account price.Account
	orders  []price.Order
	none    []price.Used // leather of no order, by leather
	wanted  []price.Wanted
	thread  float64
	regain  []price.Regain
	cuts    []price.Cut
	past    []price.Cut // by the record
}

func pricePlan(ctx context.Context, u *ui, args []string, f priceFlags) error {
	o, err := u.openHolding(ctx, args)
	if err != nil {
		return err
	}
	past, _, err := rack.Past(ctx, o.shop)
	if err != nil {
		return err
	}
	u.notes(o.shop)
	report := yield.Of(o.job, o.plan)
	p := priced{plan: report.Plan, account: price.Leather(o.job, o.plan, report)}
	p.orders = price.Orders(o.shop.Lines, o.job, o.plan, p.account, o.shop.Rates)
	p.none, _ = p.account.Used(o.job, price.NoRow)
	p.wanted, p.thread = price.Shopping(o.shop.Lines, o.shop.Rates)
	if f.flaws {
		if p.regain, err = regained(ctx, u, o, f); err != nil {
			return err
		}
	}
	p.cuts, p.past = cutUp(o, p), cutBefore(past)
	files := []string{}
	if f.out != "" {
		if files, err = writePages(ctx, u, f.out, f.as, leatherPages(o.shop.Rule, p)); err != nil {
			return err
		}
	}
	if u.json {
		return u.value(p.figures(files))
	}
	p.tell(u, o)
	wrote(u, files)
	return nil
}

// regained lays every hide of the plan again without its flaws.
func regained(ctx context.Context, u *ui, o opened, f priceFlags) ([]price.Regain, error) {
	end := time.Now().Add(f.limit)
	var all []price.Regain
	for i, l := range o.plan.Hides {
		h := o.job.Hide(l.Hide)
		lays := 2 + len(h.Flaws())
		left := time.Until(end) / time.Duration(len(o.plan.Hides)-i)
		lay := func(j nest.Job) (nest.Plan, error) {
			u.progress("%s laid again without its flaws", h.Name())
			return planned(ctx, o.shop, j, max(left/time.Duration(lays), time.Millisecond), strip.Options{Seed: f.seed, Steps: f.steps})
		}
		r, err := price.Without(o.job, o.plan, h, lay)
		if err != nil {
			return nil, err
		}
		all = append(all, r)
	}
	switch {
	case ctx.Err() != nil:
		return nil, &shortfall{"it was stopped before the hides had been laid again", "--flaws=false leaves out what flaws took"}
	case time.Now().After(end):
		u.note("note: the time was used up: flaws may have taken other than told; --time allows more")
	}
	return all, nil
}

// quick makes a quick plan of a job and has it checked.
func quick(ctx context.Context, j nest.Job, seed uint64) (nest.Plan, error) {
	plan, err := strip.Quick(ctx, j, seed)
	if err != nil {
		return nest.Plan{}, &shortfall{err.Error(), "nothing was written"}
	}
	return checked(j, plan)
}

// cutUp is what is known of the hides of the plan as they were bought.
func cutUp(o opened, p priced) []price.Cut {
	var all []price.Cut
	for i, h := range p.account.Hides {
		c := price.Cut{Hide: h.Hide, MM2: h.MM2, Paid: h.Paid, Cost: h.Cost, Away: slices.Contains(o.awayNames(), h.Hide)}
		if known := o.job.Hide(h.Hide); known != nil {
			c.Remnant = known.From() != ""
			c.Leather, c.Bought, c.Marked = known.Leather(), price.Bought{Supplier: known.Supplier(), Grade: known.Grade()}, known.CuttingValue(hide.MarkedOff)
		}
		if i < len(p.regain) {
			c.Laid = p.regain[i].Laid()
		}
		all = append(all, c)
	}
	return all
}

// cutBefore is what the record tells of hides that were cut and put away, and of all
// that they left. What they wasted in flaws is not in it, and is waste like any other.
func cutBefore(past []rack.Once) []price.Cut {
	var all []price.Cut
	for _, once := range past {
		h := once.Hide
		c := price.Cut{
			Hide: h.Name(), Leather: h.Leather(), Bought: price.Bought{Supplier: h.Supplier(), Grade: h.Grade()},
			MM2:    price.Split[float64]{Net: float64(once.Pieces.AreaMM2), Waste: float64(once.Scrap.AreaMM2 + once.Gone.AreaMM2), Remnant: float64(once.OnRack.AreaMM2)},
			Cost:   price.Split[decimal.Decimal]{Net: once.Pieces.Cost, Waste: once.Scrap.Cost.Add(once.Gone.Cost), Remnant: once.OnRack.Cost},
			Marked: h.CuttingValue(hide.MarkedOff),
		}
		if !once.Came.Cost.IsZero() {
			c.Paid = decimal.NewNullDecimal(once.Came.Cost)
		}
		all = append(all, c)
	}
	return all
}
