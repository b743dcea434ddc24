package price

import (
	"fmt"
	"slices"

	"github.com/shopspring/decimal"

	"strapwise/hide/measure"
	"strapwise/hide/money"
	"strapwise/nest"
	"strapwise/nest/orders"
	"strapwise/nest/rates"
)

// Amount is money, or not known.
type Amount = decimal.NullDecimal

// Bill is what some sets of one article cost, in whole pennies, and what they
// must sell for. Sums are of what is known: Missing names the rest.
type Bill struct {
	Sets    int
	NetMM2  float64 // of the pieces from hides
	Leather Split[Amount]
	ByArea  Amount // leather that is bought by area as it is needed: linings, foam
	Fitted  Amount // hardware
	Thread  Amount
	Minutes Amount // of work, no money
	Work    Amount

	Cost     decimal.Decimal // of all the above
	Overhead Amount
	Margin   Amount
	Before   decimal.Decimal // the price before tax
	Tax      Amount
	Price    decimal.Decimal
	Missing  []string // what is not counted, and why; sorted
}

// Each is the price of one set, rounded up to the penny.
func (b Bill) Each() decimal.Decimal {
	return b.Price.Div(decimal.NewFromInt(int64(max(1, b.Sets)))).RoundUp(money.Places)
}

// Of makes the bill for so many sets of a line. leather is what they took from
// hides, netMM2 the area of those pieces; missing says which leather is not in
// it. byArea are the parts that no hide gives and that are bought by area.
func Of(l orders.Line, sets int, leather Split[Amount], netMM2 float64, byArea []nest.Part, missing []string, r rates.Rates) Bill {
	b := Bill{Sets: sets, Leather: leather, NetMM2: netMM2, Missing: slices.Clone(missing)}
	n := decimal.NewFromInt(int64(sets))
	b.area(byArea, r)
	b.hardware(l, r)
	if l.Thread > 0 {
		if r.Thread == nil {
			b.miss("thread: no prices.thread")
		} else {
			b.Thread = penny(r.Thread.Of(l.Thread).Mul(n))
		}
	}
	b.work(l, r)
	for _, a := range []Amount{leather.Net, leather.Flaws, leather.Waste, b.ByArea, b.Fitted, b.Thread, b.Work} {
		b.Cost = b.Cost.Add(a.Decimal)
	}
	b.charge(r)
	slices.Sort(b.Missing)
	b.Missing = slices.Compact(b.Missing)
	return b
}

func penny(d decimal.Decimal) Amount { return decimal.NewNullDecimal(d.Round(money.Places)) }

func (b *Bill) miss(what string) { b.Missing = append(b.Missing, what) }

// area adds what is bought by area.
func (b *Bill) area(parts []nest.Part, r rates.Rates) {
	sum, some := decimal.Zero, false
	for _, p := range parts {
		rate, known := r.Leathers[p.Leather]
		if !known {
			b.miss(fmt.Sprintf("%s: no hide gives it, and there is no prices.leathers.%s", p.Leather, p.Leather))
			continue
		}
		if !rate.Waste.Valid {
			b.miss(fmt.Sprintf("waste of %s: no prices.leathers.%s.waste", p.Leather, p.Leather))
		}
		sum, some = sum.Add(rate.Of(float64(b.Sets*p.Count)*p.Area())), true
	}
	if some {
		b.ByArea = penny(sum)
	}
}

func (b *Bill) hardware(l orders.Line, r rates.Rates) {
	sum, some := decimal.Zero, false
	for _, h := range l.Hardware {
		each, known := r.Piece(h)
		if !known {
			b.miss(unpriced(h, r))
			continue
		}
		sum, some = sum.Add(each.Mul(decimal.NewFromInt(int64(h.Count*b.Sets)))), true
	}
	if some {
		b.Fitted = penny(sum)
	}
}

// unpriced says what price of a piece of hardware is missing: where there are prices by
// width, for exactly which width.
func unpriced(h orders.Hardware, r rates.Rates) string {
	if len(r.Hardware[h.Name].Widths) == 0 {
		return h.Name + ": no price in prices.hardware"
	}
	metric, inches := measure.RuleOf(measure.Metric), measure.RuleOf(measure.Inch)
	return fmt.Sprintf("%s: no price for %s (%s) in prices.hardware.%s", h.Name, metric.Exact(h.Width), inches.Exact(h.Width), h.Name)
}

// work counts the minutes of the pattern and of the seam, and what they cost.
func (b *Bill) work(l orders.Line, r rates.Rates) {
	sum, some := decimal.Zero, false
	if m, known := r.Minutes[l.Pattern]; known {
		sum, some = sum.Add(m), true
	} else {
		b.miss(fmt.Sprintf("making: no prices.minutes.%s", l.Pattern))
	}
	switch {
	case l.Seam == 0:
	case r.Stitching == nil:
		b.miss("stitching: no prices.stitching")
	default:
		sum, some = sum.Add(r.Stitching.Of(l.Seam)), true
	}
	if !some {
		return
	}
	sum = sum.Mul(decimal.NewFromInt(int64(b.Sets)))
	b.Minutes = decimal.NewNullDecimal(sum.Round(1))
	if !r.Hour.Valid {
		b.miss("work: no prices.hour")
		return
	}
	b.Work = penny(r.Hour.Decimal.Mul(sum).Div(decimal.NewFromInt(60)))
}

// charge adds overhead, margin and tax. The margin is a part of the price, so it
// divides, as waste does.
func (b *Bill) charge(r rates.Rates) {
	before := b.Cost
	if r.Overhead.Valid {
		b.Overhead = penny(b.Cost.Mul(r.Overhead.Decimal))
		before = before.Add(b.Overhead.Decimal)
	} else {
		b.miss("overhead: no prices.overhead")
	}
	b.Before = before
	if r.Margin.Valid {
		b.Before = money.Gross(before, r.Margin.Decimal).Round(money.Places)
		b.Margin = decimal.NewNullDecimal(b.Before.Sub(before))
	} else {
		b.miss("margin: no prices.margin")
	}
	b.Price = b.Before
	if r.Tax.Valid {
		b.Tax = penny(b.Before.Mul(r.Tax.Decimal))
		b.Price = b.Price.Add(b.Tax.Decimal)
	} else {
		b.miss("tax: no prices.tax")
	}
}
