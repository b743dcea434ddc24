package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"strapwise/hide"
	"strapwise/hide/measure"
	"strapwise/hide/money"
	"strapwise/nest/orders"
	"strapwise/report/price"
)

// amount is money for people; what is not known is a dash.
func amount(a price.Amount) string {
	if !a.Valid {
		return "-"
	}
	return a.Decimal.StringFixed(money.Places)
}

func paid(d decimal.Decimal) string { return d.StringFixed(money.Places) }

// article names what a line makes.
func articleOf(l orders.Line, rule measure.Rule) string {
	return l.Pattern + " " + rule.Exact(l.Width) + " × " + rule.Exact(l.Size)
}

// tell prints what a plan used and cost.
func (p priced) tell(u *ui, o opened) {
	rule := o.shop.Rule
	u.text("plan %s\n\n", p.plan)
	u.table(p.hideRows(o))
	u.text("\n")
	u.table(p.usedRows(rule))
	u.text("\n")
	u.table(p.leatherRows(rule))
	u.text("\n")
	u.table(p.priceRows(rule))
	if missing := missingIn(p.orders); len(missing) > 0 {
		u.text("\nnot counted, so that costs and prices above are too low by it\n")
		u.table(missing)
	}
	u.text("\n")
	u.table(p.shoppingRows(o))
	if len(p.regain) > 0 {
		u.text("\n")
		u.table(p.lostRows(o))
	}
	u.text("\n")
	u.table(p.gradeRows())
	u.text("\n")
	u.table(sourceRows(price.Sources(slices.Concat(p.cuts, p.past)), rule))
}

// unitArea is the area for which leather is priced in the rule's system.
func unitArea(rule measure.Rule) (mm2 float64, name string) {
	if rule.System == measure.Inch {
		return measure.MM2PerSqFt, "sq ft"
	}
	return measure.MM2PerDM2, "dm²"
}

// hideRows is what each hide cost, by where its leather went.
func (p priced) hideRows(o opened) []string {
	unit, name := unitArea(o.shop.Rule)
	rows := []string{"what each hide cost, and what for", fmt.Sprintf("  hide\tform\tpaid\tin pieces\tin flaws\tother waste\tback on the rack\twaste\ta %s in pieces", name)}
	var sum price.Split[decimal.Decimal]
	all := decimal.Zero
	for _, h := range p.account.Hides {
		row := fmt.Sprintf("  %s\t%s\t", h.Hide, o.job.Hide(h.Hide).Form())
		if h.Paid.Valid {
			row += fmt.Sprintf("%s\t%s\t%s\t%s\t%s", paid(h.Paid.Decimal), paid(h.Cost.Net), paid(h.Cost.Flaws), paid(h.Cost.Waste), paid(h.Cost.Remnant))
		} else {
			row += "not told\t-\t-\t-\t-"
		}
		each := "-"
		if h.Paid.Valid && h.MM2.Net > 0 {
			used := money.Rate{Amount: h.Paid.Decimal.Sub(h.Cost.Remnant), Per: decimal.NewFromFloat(h.MM2.Net)}
			each = paid(used.Of(unit))
		}
		rows = append(rows, fmt.Sprintf("%s\t%.1f %%\t%s", row, 100*h.Wasted(), each))
		all = all.Add(h.Paid.Decimal)
		sum.Net, sum.Flaws, sum.Waste, sum.Remnant = sum.Net.Add(h.Cost.Net), sum.Flaws.Add(h.Cost.Flaws), sum.Waste.Add(h.Cost.Waste), sum.Remnant.Add(h.Cost.Remnant)
	}
	return append(rows, fmt.Sprintf("  total\t\t%s\t%s\t%s\t%s\t%s", paid(all), paid(sum.Net), paid(sum.Flaws), paid(sum.Waste), paid(sum.Remnant)))
}

// usedRows is the leather that each order took.
func (p priced) usedRows(rule measure.Rule) []string {
	unit, name := unitArea(rule)
	rows := []string{"leather that each order took", fmt.Sprintf("  order\tarticle\tsets\tleather\t%s\tin pieces\tits flaws\tits waste", name)}
	row := func(of string, l price.Used) {
		rows = append(rows, fmt.Sprintf("  %s\t%s\t%.2f\t%s\t%s\t%s", of, l.Leather, l.MM2/unit, amount(l.Cost.Net), amount(l.Cost.Flaws), amount(l.Cost.Waste)))
	}
	for _, x := range p.orders {
		for _, l := range x.Used {
			row(fmt.Sprintf("%s\t%s\t%d", x.Line.ID, articleOf(x.Line, rule), x.Sets), l)
		}
	}
	for _, l := range p.none {
		row("none\tspare pieces, hides that gave none\t", l)
	}
	return rows
}

// leatherRows is what each order cost to make.
func (p priced) leatherRows(rule measure.Rule) []string {
	rows := []string{"what each order cost", "  order\tarticle\tsets\tleather\tits flaws\tits waste\tby area\thardware\tthread\thours\twork\tcost"}
	var b price.Bill
	for _, x := range p.orders {
		rows = append(rows, fmt.Sprintf("  %s\t%s\t%d\t%s", x.Line.ID, articleOf(x.Line, rule), x.Sets, costs(x.Bill)))
		b.Sets += x.Sets
		b.Leather.Net = price.Add(b.Leather.Net, x.Leather.Net)
		b.Leather.Flaws = price.Add(b.Leather.Flaws, x.Leather.Flaws)
		b.Leather.Waste = price.Add(b.Leather.Waste, x.Leather.Waste)
		b.ByArea = price.Add(b.ByArea, x.ByArea)
		b.Fitted = price.Add(b.Fitted, x.Fitted)
		b.Thread = price.Add(b.Thread, x.Thread)
		b.Minutes = price.Add(b.Minutes, x.Minutes)
		b.Work = price.Add(b.Work, x.Work)
		b.Cost = b.Cost.Add(x.Cost)
	}
	return append(rows, fmt.Sprintf("  total\t\t%d\t%s", b.Sets, costs(b)))
}

func costs(b price.Bill) string {
	hours := "-"
	if b.Minutes.Valid {
		hours = b.Minutes.Decimal.Div(decimal.NewFromInt(60)).StringFixed(2)
	}
	return strings.Join([]string{
		amount(b.Leather.Net), amount(b.Leather.Flaws), amount(b.Leather.Waste), amount(b.ByArea),
		amount(b.Fitted), amount(b.Thread), hours, amount(b.Work), paid(b.Cost),
	}, "\t")
}

// priceRows is what each order must sell for.
func (p priced) priceRows(rule measure.Rule) []string {
	rows := []string{"what each order must sell for", "  order\tarticle\tsets\tcost\toverhead\tmargin\tbefore tax\ttax\tprice\tone\tthe book asks"}
	for _, x := range p.orders {
		rows = append(rows, fmt.Sprintf("  %s\t%s\t%d\t%s\t%s\t%s", x.Line.ID, articleOf(x.Line, rule), x.Sets, charges(x.Bill), paid(x.Each()), amount(x.Line.Price)))
	}
	return rows
}

func charges(b price.Bill) string {
	return strings.Join([]string{paid(b.Cost), amount(b.Overhead), amount(b.Margin), paid(b.Before), amount(b.Tax), paid(b.Price)}, "\t")
}

// missingIn tells what is not counted, and in which orders.
func missingIn(bills []price.Order) []string {
	in := map[string][]string{}
	var all []string
	for _, x := range bills {
		for _, m := range x.Missing {
			if in[m] == nil {
				all = append(all, m)
			}
			if !slices.Contains(in[m], x.Line.ID) {
				in[m] = append(in[m], x.Line.ID)
			}
		}
	}
	slices.Sort(all)
	var rows []string
	for _, m := range all {
		rows = append(rows, fmt.Sprintf("  %s\t%s", m, strings.Join(in[m], ", ")))
	}
	return rows
}

// shoppingRows is the hardware of the whole book.
func (p priced) shoppingRows(o opened) []string {
	rule := o.shop.Rule
	rows := []string{"hardware and thread for the whole book", "  pieces\twhat\tcost"}
	sum, total := decimal.Zero, "total"
	for _, w := range p.wanted {
		one := orders.Hardware{Name: w.Name, Count: 1, Width: w.Width, Length: w.Length}
		rows = append(rows, fmt.Sprintf("  %d\t%s\t%s", w.Count, hardware(orders.Line{Hardware: []orders.Hardware{one}}, rule), amount(w.Cost)))
		if sum = sum.Add(w.Cost.Decimal); !w.Cost.Valid {
			total = "total of what has a price"
		}
	}
	if p.thread > 0 {
		cost := price.Amount{}
		if r := o.shop.Rates.Thread; r != nil {
			cost = decimal.NewNullDecimal(r.Of(p.thread).Round(money.Places))
			sum = sum.Add(cost.Decimal)
		}
		rows = append(rows, fmt.Sprintf("  \t%.0f m of thread\t%s", p.thread/1000, amount(cost)))
	}
	return append(rows, "  \t"+total+"\t"+paid(sum))
}

// lostRows is what flaws and soft leather took.
func (p priced) lostRows(o opened) []string {
	rule := o.shop.Rule
	unit, name := unitArea(rule)
	rows := []string{
		"what a flaw took: leather in sets that the hide would give more without it, laid again for the articles cut from it",
		fmt.Sprintf("  hide\tflaw\t%s\tno lay more %s than\tat cost", name, name),
	}
	for _, r := range p.regain {
		h := o.job.Hide(r.Hide)
		for _, l := range r.Lost {
			what := l.What
			if l.Flaw >= 0 {
				what = fmt.Sprintf("%d  %s", l.Flaw+1, describe(h, h.Flaws()[l.Flaw], rule))
			}
			rows = append(rows, fmt.Sprintf("  %s\t%s\t%.2f\t%.2f\t%s", r.Hide, what, l.Regained/unit, l.Most/unit, amount(l.Cost)))
		}
	}
	return rows
}

// gradeRows is what each hide was worth beside what it was bought as.
func (p priced) gradeRows() []string {
	rows := []string{
		fmt.Sprintf("what a grade was worth (flaws marked off %d mm all round; by laying: what the hide gave of what it would have given without a flaw)", int(hide.MarkedOff)),
		"  hide\tbought as\tby its flaws\tby laying\tproved to be\tpaid\tworth",
	}
	for _, c := range p.cuts {
		laid := "-"
		if c.Laid > 0 {
			laid = fmt.Sprintf("%.0f %%", c.Laid)
		}
		rows = append(rows, fmt.Sprintf("  %s\t%s\t%.0f %%\t%s\t%s\t%s\t%s", c.Hide, orDash(c.Grade), c.Marked, laid, orDash(c.Graded()), amount(c.Paid), amount(c.Worth())))
	}
	return rows
}
