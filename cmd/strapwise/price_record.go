package main

import (
	"context"
	"fmt"
	"strings"

	"github.com/shopspring/decimal"

	"strapwise/hide"
	"strapwise/hide/measure"
	"strapwise/hide/money"
	"strapwise/nest/rack"
	"strapwise/nest/workshop"
	"strapwise/report"
	"strapwise/report/chart"
	"strapwise/report/price"
)

// priceRecord tells what the hides gave that were cut and put away, and by whom they
// were sold as what: it needs no plan.
func priceRecord(ctx context.Context, u *ui, f priceFlags) error {
	w, err := workshop.OpenRack(u.workshop)
	if err != nil {
		return err
	}
	past, missing, err := rack.Past(ctx, w)
	if err != nil {
		return err
	}
	for _, file := range missing {
		u.note("note: %s is missing: what its hide gave is left out", file)
	}
	switch {
	case len(past) == 0 && len(missing) > 0:
		return &shortfall{fmt.Sprintf("found no %s, expected the files of the hides that were cut", strings.Join(missing, ", no ")), "put them back from a copy; strapwise rack audit tells what else is amiss"}
	case len(past) == 0:
		return &shortfall{"the record tells of no hide that was cut", "rack put-away enters what a plan cuts"}
	}
	u.notes(w)
	cuts := cutBefore(past)
	sources := price.Sources(cuts)
	files := []string{}
	if f.out != "" {
		if files, err = writePages(ctx, u, f.out, f.as, sourcePages(sources, w.Rule)); err != nil {
			return err
		}
	}
	if u.json {
		return u.value(recordFigures(cuts, sources, files))
	}
	u.table(pastRows(cuts, w.Rule))
	u.text("\n")
	u.table(sourceRows(sources, w.Rule))
	u.text("\nassumed\n")
	u.text("  what of a hide is back on the rack is not used yet, and counts for nothing\n")
	u.text("  leather written off, and what flaws took, is waste like any other\n")
	u.text("  flaws are those written in the hides' files; %d mm all round are marked off\n", int(hide.MarkedOff))
	wrote(u, files)
	return nil
}

// pastRows is what each hide gave, with all that it left.
func pastRows(all []price.Cut, rule measure.Rule) []string {
	unit, name := unitArea(rule)
	rows := []string{"what each hide gave, with all that it left", fmt.Sprintf("  hide\tbought as\tby its flaws\tproved to be\tpaid\tused\tin pieces\tback on the rack\twaste\ta %s in pieces", name)}
	for _, c := range all {
		each := "-"
		if c.Paid.Valid && c.MM2.Net > 0 {
			each = eachOf(c.Paid.Decimal.Sub(c.Cost.Remnant), decimal.NewFromFloat(c.MM2.Net), unit)
		}
		rows = append(rows, fmt.Sprintf("  %s\t%s\t%.0f %%\t%s\t%s\t%s\t%s\t%s\t%.1f %%\t%s", c.Hide, orDash(c.Grade), c.Marked, orDash(c.Graded()), amount(c.Paid),
			rule.ColumnArea(c.Used()), rule.ColumnArea(c.MM2.Net), rule.ColumnArea(c.MM2.Remnant), 100*c.Wasted(), each))
	}
	return rows
}

// sourceRows is yield by supplier and grade.
func sourceRows(all []price.Source, rule measure.Rule) []string {
	unit, name := unitArea(rule)
	rows := []string{"yield by supplier and grade", fmt.Sprintf("  leather\tsupplier\tgrade\thides\tby their flaws\tused\tin pieces\twaste\ta %s in pieces", name)}
	for _, s := range all {
		each, marked := "-", "-"
		if s.Usable.IsPositive() {
			each = eachOf(s.Paid, s.Usable, unit)
		}
		if s.Hides > 0 {
			marked = fmt.Sprintf("%.0f %%", s.Marked)
		}
		rows = append(rows, fmt.Sprintf("  %s\t%s\t%s\t%d\t%s\t%s\t%s\t%.1f %%\t%s", s.Leather, orDash(s.Supplier), orDash(s.Grade), s.Hides, marked,
			rule.ColumnArea(s.Used()), rule.ColumnArea(s.MM2.Net), 100*s.Wasted(), each))
	}
	return rows
}

// eachOf is what a unit of area cost.
func eachOf(cost, mm2 decimal.Decimal, unit float64) string {
	return paid(money.Rate{Amount: cost, Per: mm2}.Of(unit))
}

// sourcePages is the picture of what came of the leather of each source.
func sourcePages(all []price.Source, rule measure.Rule) map[string]report.Page {
	unit, name := unitArea(rule)
	var bars []chart.Bar
	for _, s := range all {
		var of []string
		for _, word := range []string{s.Leather, s.Supplier, s.Grade} {
			if word != "" {
				of = append(of, word)
			}
		}
		b := chart.Bar{Label: strings.Join(of, ", "), Note: rule.BothAreas(s.Used() + s.MM2.Remnant), Parts: wentTo(s.MM2)}
		if s.Usable.IsPositive() {
			b.Note = eachOf(s.Paid, s.Usable, unit) + " a " + name + " in pieces; " + b.Note
		}
		bars = append(bars, b)
	}
	return map[string]report.Page{"record": chart.Bars("yield by supplier and grade", "hides that were cut, by the record", bars)}
}
