package money

import (
	"math"
	"math/big"
	"slices"

	"github.com/shopspring/decimal"
)

// Share shares a sum out by weights, in whole pennies that add up to the sum
// rounded to the penny. Everyone has the whole pennies of his exact share; those
// that are left go one each to the largest remainders, among equals to the
// earliest (the method of largest remainders; Hamilton, 1792). So nobody is as
// much as a penny off. A weight that is no number, or below 0 by what floats lose,
// counts as 0; if all are 0 they count alike. The sum is 0 or more.
func Share(sum decimal.Decimal, weights []float64) []decimal.Decimal {
	if len(weights) == 0 {
		return nil
	}
	whole := new(big.Rat)
	exact := make([]*big.Rat, len(weights))
	for i, w := range weights {
		if !(w > 0 && w <= math.MaxFloat64) {
			w = 0
		}
		exact[i] = new(big.Rat).SetFloat64(w)
		whole.Add(whole, exact[i])
	}
	if whole.Sign() == 0 {
		for i := range exact {
			exact[i] = big.NewRat(1, 1)
		}
		whole.SetInt64(int64(len(exact)))
	}
	pennies := sum.Shift(Places).Round(0).BigInt()
	each := new(big.Rat).Quo(new(big.Rat).SetInt(pennies), whole)
	out := make([]decimal.Decimal, len(weights))
	order := make([]int, len(weights))
	left := new(big.Int).Set(pennies)
	for i, w := range exact {
		w.Mul(w, each)
		floor := new(big.Int).Quo(w.Num(), w.Denom())
		w.Sub(w, new(big.Rat).SetInt(floor)) // the remainder
		out[i] = decimal.NewFromBigInt(floor, -Places)
		left.Sub(left, floor)
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return exact[b].Cmp(exact[a]) })
	penny := decimal.New(1, -Places)
	for _, i := range order[:left.Int64()] {
		out[i] = out[i].Add(penny)
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
