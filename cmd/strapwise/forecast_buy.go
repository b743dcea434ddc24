package main

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"strapwise/hide"
	"strapwise/hide/measure"
	"strapwise/hide/source"
	"strapwise/nest/forecast"
	"strapwise/nest/rack"
	"strapwise/nest/rates"
	"strapwise/nest/workshop"
)

// shelf is one leather of the order book: what it lacks, and what is on offer.
type shelf struct {
	forecast.Purchase
	offers  []rates.Offer
	assumed []string
}

func forecastBuy(ctx context.Context, u *ui, f forecastFlags) error {
	sure, err := sureOf(f.sure)
	if err != nil {
		return err
	}
	if err := some("trials", f.trials); err != nil {
		return err
	}
	w, err := workshop.Open(u.workshop)
	if err != nil {
		return err
	}
	job, err := w.Job()
	if err != nil {
		return err
	}
	past, _, err := rack.Past(ctx, w)
	if err != nil {
		return err
	}
	world := forecast.NewWorld(w.Models, everyHide(w, past))
	for i, o := range w.Rates.Offers {
		if err := world.Check(kindOf(w, o), w.Rule); err != nil {
			return offered(i, o, err)
		}
	}
	u.notes(w)
	needs := forecast.Needs(job)
	if len(needs) == 0 {
		u.text("the order book is empty\n")
		return nil
	}
	all, err := shelves(ctx, u, w, world, needs, sure, f)
	if err != nil {
		return err
	}
	if u.json {
		return u.value(buyFigures(all, f.seed))
	}
	for i, s := range all {
		if i > 0 {
			u.text("\n")
		}
		u.table(s.rows(w.Rule))
	}
	u.text("\nof %d trials each, from seed %d; sure of all orders: %s\n", f.trials, f.seed, f.sure)
	tellAssumed(u, assumedBy(all))
	return nil
}

// offered says where an offer stands of which there can be no forecast.
func offered(i int, o rates.Offer, err error) error {
	at := source.Item("offers", i)
	if fault := (*hide.Fault)(nil); errors.As(err, &fault) {
		return &source.Error{File: workshop.RulesFile, Line: o.Line, Path: source.Key(at, fault.Path), Rule: fault.Rule, Hint: fault.Hint}
	}
	return &source.Error{File: workshop.RulesFile, Line: o.Line, Path: at, Rule: err.Error()}
}

// shelves settles leather by leather. Where several must be bought, each is to be so
// sure that all together are as sure as asked.
func shelves(ctx context.Context, u *ui, w *workshop.Workshop, world *forecast.World, needs []forecast.Need, sure float64, f forecastFlags) ([]shelf, error) {
	var all []shelf
	short := 0
	buy := func(i int, level float64, offers []rates.Offer) (forecast.Purchase, error) {
		var onOffer []forecast.Offer
		for _, o := range offers {
			onOffer = append(onOffer, forecast.Offer{Kind: kindOf(w, o), Cost: o.Cost})
		}
		u.progress("%s", needs[i].Leather)
		return world.Buy(ctx, needs[i], hidesOf(w, needs[i].Leather), onOffer, forecast.Terms{Sure: level, Trials: f.trials, Seed: f.seed})
	}
	for i, n := range needs {
		s := shelf{}
		for _, o := range w.Rates.Offers {
			if o.Leather == n.Leather {
				s.offers = append(s.offers, o)
				s.assumed = append(s.assumed, world.Assumed(kindOf(w, o), w.Rule)...)
			}
		}
		var err error
		if s.Purchase, err = buy(i, sure, nil); err != nil { // what the rack gives
			return nil, outOfTime(err, "--time allows more")
		}
		if s.OnRack < s.Asked {
			short++
		}
		all = append(all, s)
	}
	for i := range all {
		s := &all[i]
		if s.OnRack == s.Asked || len(s.offers) == 0 {
			continue
		}
		var err error
		if s.Purchase, err = buy(i, math.Pow(sure, 1/float64(short)), s.offers); err != nil {
			return nil, outOfTime(err, "--trials tries less often, --time allows more")
		}
	}
	return all, nil
}

func kindOf(w *workshop.Workshop, o rates.Offer) forecast.Kind {
	return forecast.Kind{Leather: o.Leather, Form: o.Form, Grade: o.Grade, Length: o.Length, Depth: o.Depth, Area: o.Area, Supplier: o.Supplier, Nominal: w.Nominal(o.Leather)}
}

func hidesOf(w *workshop.Workshop, leather string) []*hide.Hide {
	var out []*hide.Hide
	for _, h := range w.Hides {
		if h.Leather() == leather {
			out = append(out, h)
		}
	}
	return out
}

// offerName names an offer, so many hides of it.
func offerName(o rates.Offer, n int, rule measure.Rule) string {
	s := fmt.Sprintf("%d %s", n, o.Form)
	if n != 1 {
		s += "s"
	}
	if o.Grade != "" {
		s += " " + o.Grade
	}
	if o.Length > 0 && o.Depth > 0 {
		s += " " + rule.Length(o.Length) + " × " + rule.Length(o.Depth)
	}
	if o.Supplier != "" {
		s += ", " + o.Supplier
	}
	return s
}

func (s shelf) name(lots []forecast.Lot, rule measure.Rule) string {
	var out []string
	for _, l := range lots {
		out = append(out, offerName(s.offers[l.Offer], l.Hides, rule))
	}
	return strings.Join(out, " + ")
}

// rows is what to buy of one leather.
func (s shelf) rows(rule measure.Rule) []string {
	head := fmt.Sprintf("%s: the rack gives %d of %d sets", s.Leather, s.OnRack, s.Asked)
	switch {
	case s.OnRack == s.Asked:
		return []string{head + "; nothing to buy"}
	case len(s.offers) == 0:
		return []string{head + "; it is not among the offers in workshop.toml"}
	}
	rows := []string{head + "; of the rest, enough are", "  buy\tcosts about\tenough in"}
	told := func(c forecast.Choice, mark string) {
		rows = append(rows, fmt.Sprintf("  %s\t%s\t%.0f %% of trials%s", s.name(c.Lots, rule), paid(c.Cost), 100*c.Sure, mark))
	}
	if len(s.Best.Lots) > 0 {
		told(s.Best, "\tthe cheapest")
	}
	for i, c := range s.Single {
		switch {
		case len(c.Lots) == 0:
			rows = append(rows, fmt.Sprintf("  %s\t-\tno number", strings.TrimPrefix(offerName(s.offers[i], 1, rule), "1 ")))
		case !slices.Equal(c.Lots, s.Best.Lots):
			told(c, "")
		}
	}
	if !s.All {
		rows = append(rows, "  the time was used up: two offers together may be cheaper yet")
	}
	return rows
}

// assumedBy are the assumptions of all leathers, each once.
func assumedBy(all []shelf) []string {
	var out []string
	for _, s := range all {
		if s.OnRack == s.Asked {
			continue
		}
		for _, a := range s.assumed {
			if !slices.Contains(out, a) {
				out = append(out, a)
			}
		}
	}
	return append(out, "what the rack gives is cut from it first, each hide bought is laid by itself, the largest first; sets count by their leather, so that least is left to buy, where lay goes by worth and may make others, and more of them")
}
