package workshop

import (
	"cmp"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"strapwise/hide"
	"strapwise/hide/measure"
	"strapwise/hide/money"
	"strapwise/hide/source"
	"strapwise/nest/rates"
)

// pricesTable is [prices] as it is written.
type pricesTable struct {
	Hour      any                  `toml:"hour"`
	Stitching any                  `toml:"stitching"`
	Minutes   map[string]any       `toml:"minutes"`
	Thread    any                  `toml:"thread"`
	Leathers  map[string]areaTable `toml:"leathers"`
	Hardware  map[string]any       `toml:"hardware"`
	Overhead  any                  `toml:"overhead"`
	Margin    any                  `toml:"margin"`
	Tax       any                  `toml:"tax"`
}

type areaTable struct {
	Price any `toml:"price"`
	Waste any `toml:"waste"`
}

type offerTable struct {
	Leather  string `toml:"leather"`
	Form     string `toml:"form"`
	Grade    string `toml:"grade"`
	Supplier string `toml:"supplier"`
	Price    any    `toml:"price"`
	Size     []any  `toml:"size"`
	Area     any    `toml:"area"`
}

// prices reads [prices] and [[offers]]. The patterns are known by then.
func (r *ruleReader) prices(w *Workshop) rates.Rates {
	p := r.said.Prices
	out := rates.Rates{
		Hour:      r.amount("prices.hour", p.Hour),
		Stitching: r.rate("prices.stitching", p.Stitching, money.PerLength),
		Thread:    r.rate("prices.thread", p.Thread, money.PerLength),
		Overhead:  r.share("prices.overhead", p.Overhead, 1000),
		Margin:    r.share("prices.margin", p.Margin, 95),
		Tax:       r.share("prices.tax", p.Tax, 100),
		Minutes:   map[string]decimal.Decimal{}, Leathers: map[string]rates.ByArea{}, Hardware: map[string]rates.ByWidth{},
	}
	for _, name := range slices.Sorted(maps.Keys(p.Minutes)) {
		at := source.Key("prices.minutes", name)
		r.known(at, "pattern", name, w.House.Patterns())
		out.Minutes[name] = r.minutes(at, p.Minutes[name])
	}
	for _, name := range slices.Sorted(maps.Keys(p.Leathers)) {
		at := source.Key("prices.leathers", name)
		r.known(at, "leather", name, w.House.AllLeathers())
		if !r.doc.Has(source.Key(at, "price")) {
			r.fail(at, "found no price, expected money for an area", `write price = "7.20/sqft"`)
		}
		a := rates.ByArea{Waste: r.share(source.Key(at, "waste"), p.Leathers[name].Waste, 95)}
		if price := r.rate(source.Key(at, "price"), p.Leathers[name].Price, money.PerArea); price != nil {
			a.Price = *price
		}
		out.Leathers[name] = a
	}
	for _, name := range slices.Sorted(maps.Keys(p.Hardware)) {
		at := source.Key("prices.hardware", name)
		r.known(at, "hardware", name, w.House.Hardware())
		out.Hardware[name] = r.hardware(at, p.Hardware[name])
	}
	for i, o := range r.said.Offers {
		out.Offers = append(out.Offers, r.offer(source.Item("offers", i), o, w.House.Leathers()))
	}
	return out
}

// hardware reads a price for any width, one by length, or a table by width.
func (r *ruleReader) hardware(at string, said any) rates.ByWidth {
	switch v := said.(type) {
	case map[string]any:
		var out rates.ByWidth
		for _, width := range slices.Sorted(maps.Keys(v)) {
			here := source.Key(at, width)
			out.Widths = append(out.Widths, rates.Width{MM: r.length(here, width, leastMark, greatestStrip), Price: r.amount(here, v[width]).Decimal})
		}
		slices.SortFunc(out.Widths, func(a, b rates.Width) int {
			if a.MM == b.MM {
				r.fail(at, fmt.Sprintf("found %s twice, expected each width once", millimetres(a.MM)), "")
			}
			return cmp.Compare(a.MM, b.MM)
		})
		return out
	case string:
		if strings.Contains(v, "/") {
			return rates.ByWidth{Length: r.rate(at, v, money.PerLength)}
		}
	}
	return rates.ByWidth{Any: r.amount(at, said)}
}

// offer reads one of the leathers that are on offer.
func (r *ruleReader) offer(at string, said offerTable, leathers []string) rates.Offer {
	o := rates.Offer{Line: r.doc.Line(at), Leather: said.Leather, Form: said.Form, Grade: said.Grade, Supplier: said.Supplier}
	for _, key := range []string{"leather", "form", "price"} {
		if !r.doc.Has(source.Key(at, key)) {
			r.fail(at, fmt.Sprintf("found an offer without %s, expected leather, form and price", key), "")
		}
	}
	r.known(source.Key(at, "leather"), "leather", o.Leather, leathers)
	r.known(source.Key(at, "form"), "form", o.Form, hide.Forms())
	if strings.ContainsFunc(o.Supplier, source.IsControl) {
		r.fail(source.Key(at, "supplier"), "found no name, expected a few words on one line", "")
	}
	if text, ok := said.Price.(string); ok && strings.Contains(text, "/") {
		o.ByArea = r.rate(source.Key(at, "price"), said.Price, money.PerArea)
	} else {
		o.Each = r.amount(source.Key(at, "price"), said.Price)
	}
	if here := source.Key(at, "size"); r.doc.Has(here) {
		if len(said.Size) != 2 {
			r.fail(here, fmt.Sprintf("found a list of %d, expected length and depth", len(said.Size)), `write ["52in", "26in"]`)
			return o
		}
		o.Length = r.length(source.Item(here, 0), said.Size[0], measure.MMPerInch, greatestHide)
		o.Depth = r.length(source.Item(here, 1), said.Size[1], measure.MMPerInch, greatestHide)
	}
	if here := source.Key(at, "area"); r.doc.Has(here) {
		mm2, err := measure.Area(said.Area)
		if err != nil && r.err == nil {
			r.err = r.doc.Wrap(here, err)
		}
		o.Area = mm2
	}
	return o
}

// known refuses a name that is none of those known.
func (r *ruleReader) known(at, what, name string, known []string) {
	if !slices.Contains(known, name) {
		r.fail(at, fmt.Sprintf("found the %s %q, expected one of %s", what, name, strings.Join(known, ", ")), source.DidYouMean(name, known))
	}
}

// minutes reads how long the work on a set takes.
func (r *ruleReader) minutes(at string, said any) decimal.Decimal {
	d, err := money.Amount(said)
	if err != nil {
		r.fail(at, fmt.Sprintf("found \"%v\", expected minutes such as 20", said), "write the number alone, 0 or more: the work on one set without its stitching")
	}
	return d
}

// amount reads money.
func (r *ruleReader) amount(at string, said any) decimal.NullDecimal {
	if !r.doc.Has(at) {
		return decimal.NullDecimal{}
	}
	d, err := money.Amount(said)
	r.paid(at, err)
	return decimal.NewNullDecimal(d)
}

func (r *ruleReader) rate(at string, said any, read func(any) (money.Rate, error)) *money.Rate {
	if !r.doc.Has(at) {
		return nil
	}
	rate, err := read(said)
	r.paid(at, err)
	return &rate
}

// share reads a share of at most so many per cent.
func (r *ruleReader) share(at string, said any, most int64) decimal.NullDecimal {
	if !r.doc.Has(at) {
		return decimal.NullDecimal{}
	}
	s, err := money.Percent(said)
	r.paid(at, err)
	if s.GreaterThan(decimal.New(most, -2)) {
		r.fail(at, fmt.Sprintf("found %v, expected at most %d%%", said, most), "")
	}
	return decimal.NewNullDecimal(s)
}

func (r *ruleReader) paid(at string, err error) {
	if e := (*money.Error)(nil); errors.As(err, &e) {
		r.fail(at, e.Rule, e.Hint)
	}
}
