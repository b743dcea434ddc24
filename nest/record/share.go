package record

import (
	"math"
	"math/big"
	"slices"

	"github.com/shopspring/decimal"
)

// Share divides a whole number among parts by their weights, so that the shares
// add up to it exactly: each has its quota rounded down, and what is left goes, one
// each, to those whose quotas were rounded down most, of equals to the earlier
// (the method of largest remainders, Hamilton, 1792). No weight is below 0; where
// all are 0 the last part has it all.
func Share(total int64, weights []int64) []int64 {
	shares := make([]int64, len(weights))
	sum := new(big.Int)
	for _, w := range weights {
		sum.Add(sum, big.NewInt(w))
	}
	if sum.Sign() == 0 {
		if n := len(shares); n > 0 {
			shares[n-1] = total
		}
		return shares
	}
	rests := make([]*big.Int, len(weights))
	left := total
	for i, w := range weights {
		quota, rest := new(big.Int).QuoRem(new(big.Int).Mul(big.NewInt(total), big.NewInt(w)), sum, new(big.Int))
		shares[i], rests[i] = quota.Int64(), rest
		left -= shares[i]
	}
	order := make([]int, len(weights))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return rests[b].Cmp(rests[a]) })
	for _, i := range order[:left] {
		shares[i]++
	}
	return shares
}

// ShareArea divides an area in whole mm² among parts that were measured in mm².
func ShareArea(total int64, measured []float64) []int64 {
	const fine = 1e4 // of a mm², as weights
	weights := make([]int64, len(measured))
	for i, a := range measured {
		weights[i] = int64(math.Round(max(0, a) * fine))
	}
	return Share(total, weights)
}

// ShareCost divides a cost, to the penny, among parts by their area. The shares of
// a cost that is not known are not known.
func ShareCost(cost decimal.NullDecimal, areas []int64) []decimal.NullDecimal {
	out := make([]decimal.NullDecimal, len(areas))
	if !cost.Valid {
		return out
	}
	for i, p := range Share(cost.Decimal.Shift(2).IntPart(), areas) {
		out[i] = decimal.NewNullDecimal(decimal.New(p, -2))
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
