package record

import (
	"math"

	"github.com/shopspring/decimal"

	"strapwise/hide/money"
)

// ShareCost divides a cost among parts by their area. The shares of a cost that is
// not known are not known.
func ShareCost(cost decimal.NullDecimal, areas []int64) []decimal.NullDecimal {
	out := make([]decimal.NullDecimal, len(areas))
	if !cost.Valid {
		return out
	}
	weights := make([]float64, len(areas))
	for i, a := range areas {
		weights[i] = float64(a)
	}
	for i, part := range money.Share(cost.Decimal, weights) {
		out[i] = decimal.NewNullDecimal(part)
	}
	return out
}

// WholeArea is an area in whole mm², halves up.
func WholeArea(mm2 float64) int64 { return int64(math.Round(mm2)) }

// Pennies is a cost as the record has it: to the penny, halves up; not known, if it
// is 0.
func Pennies(cost decimal.Decimal) decimal.NullDecimal {
	if cost.IsZero() {
		return decimal.NullDecimal{}
	}
	return decimal.NewNullDecimal(cost.Round(2))
}
