package record

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/shopspring/decimal"
)

// The widely printed example of largest remainders with Hare's quota: ten seats
// for 47000, 16000, 15800, 12000, 6100 and 3100 votes (from memory, recomputed by
// hand: quotas 4.7, 1.6, 1.58, 1.2, 0.61, 0.31).
func TestShareByPrintedExample(t *testing.T) {
	if got, want := Share(10, []int64{47000, 16000, 15800, 12000, 6100, 3100}), []int64{5, 2, 1, 1, 1, 0}; !slices.Equal(got, want) {
		t.Errorf("found %v, expected %v", got, want)
	}
}

func TestShare(t *testing.T) {
	for _, c := range []struct {
		rule    string
		total   int64
		weights []int64
		want    []int64
	}{
		{"of equals the earlier", 2, []int64{1, 1, 1}, []int64{1, 1, 0}},
		{"nothing to divide", 0, []int64{3, 4}, []int64{0, 0}},
		{"no weights: the last has it", 7, []int64{0, 0}, []int64{0, 7}},
		{"one has all", 7, []int64{0, 5, 0}, []int64{0, 7, 0}},
		{"nobody", 7, nil, []int64{}},
		{"more than 64 bits between", 100_000_000_000, []int64{4e12, 4e12, 1}, []int64{50_000_000_000, 50_000_000_000, 0}},
	} {
		if got := Share(c.total, c.weights); !slices.Equal(got, c.want) {
			t.Errorf("%s: found %v, expected %v", c.rule, got, c.want)
		}
	}
}

// Shares add up, none is below 0, and each is its quota rounded up or down.
func TestShareLaws(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 20_000 {
		weights, sum := make([]int64, 1+r.IntN(9)), int64(0)
		for i := range weights {
			weights[i] = r.Int64N(1 + r.Int64N(1_000_000))
			sum += weights[i]
		}
		total := r.Int64N(1 + r.Int64N(1_000_000))
		shares, all := Share(total, weights), int64(0)
		for i, s := range shares {
			all += s
			if quota := total * weights[i]; sum > 0 && (s*sum > quota+sum-1 || (s+1)*sum <= quota) {
				t.Fatalf("%d by %v: %v: share %d is no quota rounded", total, weights, shares, i)
			}
		}
		if all != total {
			t.Fatalf("%d by %v: %v add up to %d", total, weights, shares, all)
		}
	}
}

func TestShareCost(t *testing.T) {
	// 10.00 in three: the odd penny goes to the earliest.
	got := ShareCost(Pennies(decimal.RequireFromString("10")), []int64{5, 5, 5})
	if got[0].Decimal.StringFixed(2) != "3.34" || got[1].Decimal.StringFixed(2) != "3.33" || got[2].Decimal.StringFixed(2) != "3.33" {
		t.Errorf("found %v", got)
	}
	if got := ShareCost(Pennies(decimal.Decimal{}), []int64{1, 2}); got[0].Valid || got[1].Valid {
		t.Errorf("shares of a cost not known: %v", got)
	}
	if got := Pennies(decimal.RequireFromString("14.205")).Decimal.String(); got != "14.21" {
		t.Errorf("found %s", got)
	}
}
