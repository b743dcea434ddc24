package intake

import (
	"errors"
	"math/big"
	"strings"

	"github.com/shopspring/decimal"

	"strapwise/hide"
	"strapwise/hide/measure"
	"strapwise/hide/money"
	"strapwise/hide/source"
)

// substance reads the thickness: one for all, or readings [x, y, thickness].
func (r *reader) substance() ([]hide.Reading, error) {
	if !r.doc.Has("substance") {
		return nil, nil
	}
	list, several := r.form.Substance.([]any)
	if !several {
		mm, err := r.thickness("substance", r.form.Substance)
		return []hide.Reading{{MM: mm}}, err
	}
	if len(list) == 0 {
		return nil, r.doc.Fault("substance", "found an empty list, expected readings", "write [[410, 220, 3.8]]")
	}
	var out []hide.Reading
	for i, v := range list {
		path := source.Item("substance", i)
		reading, ok := v.([]any)
		if !ok || len(reading) != 3 {
			return nil, r.doc.Fault(path, "found no reading, expected x, y and thickness", "write [[410, 220, 3.8]]")
		}
		at, err := r.point(path, reading[:2])
		if err != nil {
			return nil, err
		}
		mm, err := r.thickness(source.Item(path, 2), reading[2])
		if err != nil {
			return nil, err
		}
		out = append(out, hide.Reading{At: at, MM: mm})
	}
	return out, nil
}

func (r *reader) thickness(path string, v any) (float64, error) {
	mm, err := measure.Thickness(v)
	if err != nil {
		return 0, r.doc.Wrap(path, err)
	}
	return mm, nil
}

// money reads the cost, or works it out from price and area, to the penny as it is
// paid; and the area as stamped, in square millimetres.
func (r *reader) money() (cost decimal.Decimal, stamped float64, err error) {
	var area *big.Rat
	if r.doc.Has("area") {
		if area, err = measure.ExactArea(r.form.Area); err != nil {
			return cost, 0, r.doc.Wrap("area", err)
		}
		stamped, _ = area.Float64()
	}
	hasCost, hasPrice := r.doc.Has("cost"), r.doc.Has("price")
	switch {
	case hasCost && hasPrice:
		return cost, 0, r.doc.Fault("price", "found cost and price, expected only one of them", "")
	case hasCost:
		cost, err = r.amount("cost", r.form.Cost)
	case hasPrice && area == nil:
		return cost, 0, r.doc.Fault("price", "found a price without an area, expected both", `give the area as it is stamped: area = "13 3/4 sqft"`)
	case hasPrice:
		cost, err = r.bill(area)
	}
	return cost, stamped, err
}

const priceHint = `write price = "7.20/sqft"`

// bill is the price of an area, in square millimetres, halves of a penny up.
func (r *reader) bill(area *big.Rat) (cost decimal.Decimal, err error) {
	text, ok := r.form.Price.(string)
	amount, unit, both := strings.Cut(text, "/")
	if !ok || !both {
		return cost, r.doc.Fault("price", "expected money for a unit of area", priceHint)
	}
	price, err := r.amount("price", strings.TrimSpace(amount))
	if err != nil {
		return cost, err
	}
	per, err := measure.ExactUnit(unit)
	if err != nil {
		e := r.doc.Wrap("price", err)
		e.Hint = priceHint
		return cost, e
	}
	total := new(big.Rat).Mul(price.Rat(), area)
	return decimal.NewFromBigRat(total.Quo(total, per), money.Places), nil
}

// amount reads money of 0 or more.
func (r *reader) amount(path string, v any) (decimal.Decimal, error) {
	d, err := money.Amount(v)
	if e := (*money.Error)(nil); errors.As(err, &e) {
		return d, r.doc.Fault(path, e.Rule, e.Hint)
	}
	return d, err
}
