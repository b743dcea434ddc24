package money

import (
	"math"
	"math/big"
	"slices"

	"github.com/shopspring/decimal"
)

// Share shares a sum out by weights, in whole pennies that add up to the sum
// rounded to the penny, as Portions does. The sum is 0 or more.
func Share(sum decimal.Decimal, weights []float64) []decimal.Decimal {
	var out []decimal.Decimal
	for _, n := range Portions(sum.Shift(Places).Round(0).IntPart(), weights) {
		out = append(out, decimal.New(n, -Places))
	}
	return out
}

// Portions shares a whole number of 0 or more out by weights, in whole portions
// that add up to it. Everyone has the whole part of his exact share; what is left
// goes, one each, to the largest remainders, among equals to the earliest (the method
// of largest remainders; Hamilton, 1792). So nobody is as much as one off. A weight
// that is no number, or below 0 by what floats lose, counts as 0; if all are 0 they
// count alike.
func Portions(total int64, weights []float64) []int64 {
	out := make([]int64, len(weights))
	if len(weights) == 0 {
		return out
	}
	sum := new(big.Rat)
	exact := make([]*big.Rat, len(weights))
	for i, w := range weights {
		if !(w > 0 && w <= math.MaxFloat64) {
			w = 0
		}
		exact[i] = new(big.Rat).SetFloat64(w)
		sum.Add(sum, exact[i])
	}
	if sum.Sign() == 0 {
		for i := range exact {
			exact[i].SetInt64(1)
		}
		sum.SetInt64(int64(len(exact)))
	}
	each := new(big.Rat).Quo(new(big.Rat).SetInt64(total), sum)
	order := make([]int, len(weights))
	left := total
	for i, share := range exact {
		share.Mul(share, each)
		floor := new(big.Int).Quo(share.Num(), share.Denom())
		out[i] = floor.Int64()
		left -= out[i]
		share.Sub(share, new(big.Rat).SetInt(floor)) // the remainder
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return exact[b].Cmp(exact[a]) })
	for _, i := range order[:left] {
		out[i]++
	}
	return out
}

// Gross is what must be had so that net is left when a part of it, less than 1,
// is lost: the loss divides, since it is a part of what is had. Of what a fee or a
// margin takes it holds as of waste. It is not rounded to the penny.
func Gross(net, lost decimal.Decimal) decimal.Decimal {
	const places = 12
	return net.DivRound(decimal.NewFromInt(1).Sub(lost), places)
}
