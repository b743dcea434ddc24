package main

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"strapwise/hide/measure"
	"strapwise/hide/money"
	"strapwise/nest"
	"strapwise/nest/orders"
	"strapwise/nest/workshop"
	"strapwise/report/price"
	"strapwise/report/yield"
)

// listed is a row of a price list: one set of a size, in millimetres.
type listed struct {
	size float64
	line orders.Line
	bill price.Bill
}

// mostSizes is how long a price list may be.
const mostSizes = 100

func priceList(ctx context.Context, u *ui, f priceFlags) error {
	w, err := workshop.OpenRack(u.workshop)
	if err != nil {
		return err
	}
	sizes, err := f.sizes(w.Rule)
	if err != nil {
		return err
	}
	first := f.article
	first.size = fmt.Sprintf("%gmm", sizes[0])
	a, err := first.article(w.House)
	if err != nil {
		return err
	}
	if a.leather == "" {
		return &usage{"--leather: found nothing, expected one of " + strings.Join(w.House.Leathers(), ", "), "a price is that of an article in some leather"}
	}
	u.notes(w)
	ctx, cancel := context.WithTimeout(ctx, f.limit)
	defer cancel()
	var rows []listed
	for _, size := range sizes {
		u.progress("%s %s", a.pattern, w.Rule.Exact(size))
		line, err := w.House.Set(a.pattern, a.width, size, a.leather, a.lining)
		if err != nil {
			return mistake(err)
		}
		bill, err := billOf(ctx, w, line, f.seed)
		if err != nil {
			return err
		}
		rows = append(rows, listed{size, line, bill})
	}
	if ctx.Err() != nil {
		return outOfTime(ctx.Err(), "a greater --step makes fewer prices, --time allows more")
	}
	title := a.pattern + " " + w.Rule.Exact(a.width) + ", " + a.leather
	if a.lining != "" {
		title += " lined with " + a.lining
	}
	files := []string{}
	if f.out != "" {
		if files, err = writePages(ctx, u, f.out, f.as, listPages(title, w.Rule, rows)); err != nil {
			return err
		}
	}
	if u.json {
		return u.value(listFigures(rows, files))
	}
	u.text("%s: the price of one\n", title)
	u.table(listRows(rows, w.Rule))
	if missing := missingIn(asOrders(rows, w.Rule)); len(missing) > 0 {
		u.text("\nnot counted, so that prices above are too low by it\n")
		u.table(missing)
	}
	wrote(u, files)
	return nil
}

// sizes reads --size and --step.
func (f priceFlags) sizes(rule measure.Rule) ([]float64, error) {
	from, to, several := strings.Cut(f.article.size, "..")
	if from == "" {
		return nil, &usage{"--size: found nothing, expected a size, or sizes from the least to the greatest", "write 16in or 12in..22in"}
	}
	read := func(flag, text string) (float64, error) {
		mm, err := measure.Length(strings.TrimSpace(text), 0)
		if err != nil {
			return 0, &usage{fmt.Sprintf("--%s: %s", flag, err), hintOf(err)}
		}
		return mm, nil
	}
	least, err := read("size", from)
	if err != nil || !several {
		return []float64{least}, err
	}
	most, err := read("size", to)
	if err != nil {
		return nil, err
	}
	step := 20.0
	if rule.System == measure.Inch {
		step = measure.MMPerInch
	}
	if f.step != "" {
		if step, err = read("step", f.step); err != nil {
			return nil, err
		}
	}
	n := math.Floor((most-least)/step + 1e-9)
	switch {
	case step <= 0:
		return nil, &usage{fmt.Sprintf("--step: found %q, expected more than 0", f.step), ""}
	case most < least:
		return nil, &usage{fmt.Sprintf("--size: found %q, expected the least size first", f.article.size), ""}
	case n >= mostSizes:
		return nil, &usage{fmt.Sprintf("--size: found %.0f sizes, expected at most %d", n+1, mostSizes), "--step says how far apart they are"}
	}
	var out []float64
	for i := range int(n) + 1 {
		out = append(out, least+float64(i)*step)
	}
	return out, nil
}

// billOf is what one set costs. Leather comes from the hides of the rack, filled
// with nothing but this article; by area, where the rack has none that is priced.
func billOf(ctx context.Context, w *workshop.Workshop, line orders.Line, seed uint64) (price.Bill, error) {
	var took price.Split[price.Amount]
	var byArea []nest.Part
	var missing []string
	net := 0.0
	byArea = append(byArea, line.Aside...)
	for _, leather := range leathersOf(line.Parts) {
		own := line.Share(leather)
		t, sets, err := filled(ctx, w, own, leather, seed)
		if err != nil {
			return price.Bill{}, err
		}
		if sets == 0 {
			if _, priced := w.Rates.Leathers[leather]; priced {
				byArea = append(byArea, own.Parts...)
			} else {
				missing = append(missing, fmt.Sprintf("%s: no hide on the rack with a cost gives a set, and there is no prices.leathers.%s", leather, leather))
			}
			continue
		}
		each := func(to *price.Amount, d decimal.Decimal) {
			*to = decimal.NewNullDecimal(to.Decimal.Add(d.Div(decimal.NewFromInt(int64(sets)))))
		}
		each(&took.Net, t.Cost.Net)
		each(&took.Flaws, t.Cost.Flaws)
		each(&took.Waste, t.Cost.Waste)
		for _, p := range own.Parts {
			net += float64(p.Count) * p.Area()
		}
	}
	for _, a := range []*price.Amount{&took.Net, &took.Flaws, &took.Waste} {
		a.Decimal = a.Decimal.Round(money.Places)
	}
	return price.Of(line, 1, took, net, byArea, missing, w.Rates), nil
}

func leathersOf(parts []nest.Part) []string {
	var out []string
	for _, p := range parts {
		if !slices.Contains(out, p.Leather) {
			out = append(out, p.Leather)
		}
	}
	return out
}

// filled is what the sets cost with which all hides of a leather that have a price
// are filled, each by itself, and how many they are.
func filled(ctx context.Context, w *workshop.Workshop, own orders.Line, leather string, seed uint64) (price.Taken, int, error) {
	var sum price.Taken
	sets := 0
	for _, h := range w.Hides {
		if h.Leather() != leather || h.Cost().IsZero() {
			continue
		}
		job := alone(w, h, share{hide: h, line: own}.asked())
		plan, err := quick(ctx, job, seed)
		if err != nil {
			return sum, 0, err
		}
		for _, t := range price.Leather(job, plan, yield.Of(job, plan)).Taken {
			if t.Row == price.NoRow { // of a hide that gives no set
				continue
			}
			sum.Cost.Net = sum.Cost.Net.Add(t.Cost.Net)
			sum.Cost.Flaws = sum.Cost.Flaws.Add(t.Cost.Flaws)
			sum.Cost.Waste = sum.Cost.Waste.Add(t.Cost.Waste)
		}
		sets += int(math.Round(plan.Result.Value))
	}
	return sum, sets, nil
}

func listRows(rows []listed, rule measure.Rule) []string {
	out := []string{"  size\tleather\tits flaws\tits waste\tby area\thardware\tthread\thours\twork\tcost\toverhead\tmargin\tbefore tax\ttax\tprice"}
	for _, r := range rows {
		_, after, _ := strings.Cut(charges(r.bill), "\t")
		out = append(out, "  "+rule.Exact(r.size)+"\t"+costs(r.bill)+"\t"+after)
	}
	return out
}

// asOrders gives a price list the form of an order book, a size for an order.
func asOrders(rows []listed, rule measure.Rule) []price.Order {
	var out []price.Order
	for _, r := range rows {
		o := price.Order{Line: r.line, Bill: r.bill}
		o.Line.ID = rule.Exact(r.size)
		out = append(out, o)
	}
	return out
}
