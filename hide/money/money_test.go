package money

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/shopspring/decimal"
	"pgregory.net/rapid"

	"strapwise/hide/measure"
)

// The parts add up to what was paid, and nobody is a penny off his exact share.
func TestShareAddsUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		pennies := rapid.Int64Range(0, 1e12).Draw(t, "pennies")
		weights := rapid.SliceOfN(rapid.OneOf(rapid.Just(0.0), rapid.Float64Range(0, 1e7)), 1, 60).Draw(t, "weights")
		whole := 0.0
		for _, w := range weights {
			whole += w
		}
		sum := decimal.Zero
		for i, part := range Share(decimal.New(pennies, -Places), weights) {
			sum = sum.Add(part)
			want := float64(pennies) / float64(len(weights))
			if whole > 0 {
				want = float64(pennies) * weights[i] / whole
			}
			if got := part.Shift(Places).InexactFloat64(); math.Abs(got-want) >= 1+1e-9*float64(pennies) || part.IsNegative() {
				t.Fatalf("part %d is %v, its exact share %.4f pennies", i, part, want)
			}
		}
		if !sum.Equal(decimal.New(pennies, -Places)) {
			t.Fatalf("the parts add up to %v, paid were %d pennies", sum, pennies)
		}
	})
}

// Ten seats for 100 000 votes: the example with which the method of largest
// remainders is commonly explained (from memory).
func TestShareOfSeats(t *testing.T) {
	want := []int64{5, 2, 1, 1, 1, 0}
	for i, got := range Share(decimal.New(10, -Places), []float64{47000, 16000, 15900, 12000, 6000, 3100}) {
		if got.Shift(Places).IntPart() != want[i] {
			t.Errorf("party %d has %v seats, expected %d", i, got.Shift(Places), want[i])
		}
	}
}

func TestPortions(t *testing.T) {
	for _, c := range []struct {
		rule    string
		total   int64
		weights []float64
		want    []int64
	}{
		{"of equals the earlier", 2, []float64{1, 1, 1}, []int64{1, 1, 0}},
		{"nothing to divide", 0, []float64{3, 4}, []int64{0, 0}},
		{"no weights: alike", 7, []float64{0, 0}, []int64{4, 3}},
		{"one has all", 7, []float64{0, 5, 0}, []int64{0, 7, 0}},
		{"nobody", 7, nil, []int64{}},
		{"more than 64 bits between", 100_000_000_000, []float64{4e12, 4e12, 1}, []int64{50_000_000_000, 50_000_000_000, 0}},
	} {
		if got := Portions(c.total, c.weights); !slices.Equal(got, c.want) {
			t.Errorf("%s: found %v, expected %v", c.rule, got, c.want)
		}
	}
}

// 280.00 for 22 sq ft at 15 % waste is 14.97 a usable square foot (common
// practice, arithmetic); and a cost of 75 at 25 % is 100, not 93.75.
func TestGross(t *testing.T) {
	foot := Rate{decimal.RequireFromString("280.00"), decimal.NewFromFloat(22 * measure.MM2PerSqFt)}.Of(measure.MM2PerSqFt)
	for _, c := range []struct{ net, lost, want string }{{foot.String(), "0.15", "14.97"}, {"75", "0.25", "100"}, {"7", "0", "7"}} {
		if got := Gross(decimal.RequireFromString(c.net), decimal.RequireFromString(c.lost)).Round(Places); !got.Equal(decimal.RequireFromString(c.want)) {
			t.Errorf("%s at %s lost: %v, expected %s", c.net, c.lost, got, c.want)
		}
	}
}

func TestShareOfOddWeights(t *testing.T) {
	got := Share(decimal.RequireFromString("1.00"), []float64{-1e-9, math.NaN(), math.Inf(1), 3, 1})
	for i, want := range []string{"0", "0", "0", "0.75", "0.25"} {
		if !got[i].Equal(decimal.RequireFromString(want)) {
			t.Errorf("part %d is %v, expected %s", i, got[i], want)
		}
	}
	if len(Share(decimal.RequireFromString("1.00"), nil)) != 0 {
		t.Error("nobody has a share")
	}
}

func TestRates(t *testing.T) {
	for text, want := range map[string]float64{"7.20/sqft": 7.20, "77.50015/m2": 7.2, "280.00/22 sqft": 280.0 / 22, "91/22³": 4} {
		r, err := PerArea(text)
		if err != nil {
			t.Fatal(err)
		}
		if got := r.Of(measure.MM2PerSqFt).InexactFloat64(); math.Abs(got-want) > 1e-6 {
			t.Errorf("%s: a square foot is %v, expected %v", text, got, want)
		}
	}
	for text, want := range map[string]float64{"0.04/m": 0.04, "2.5/in": 2.5 / 0.0254, "1.20/ft": 1.2 / 0.3048, "3.50/100m": 0.035} {
		r, err := PerLength(text)
		if err != nil {
			t.Fatal(err)
		}
		if got := r.Of(1000).InexactFloat64(); math.Abs(got-want) > 1e-9 {
			t.Errorf("%s: a metre is %v, expected %v", text, got, want)
		}
	}
}

func TestMistakes(t *testing.T) {
	for _, c := range []struct {
		read func(any) error
		v    any
		rule string
	}{
		{amount, -1.0, `found "-1", expected money`},
		{amount, "1e9", `found "1e9", expected money`},
		{amount, true, `found "true", expected money`},
		{perArea, "7.20", `found "7.20", expected money for an area`},
		{perArea, "7.20/m", `found "7.20/m", expected money for an area`},
		{perLength, "0.9/sqft", `found "0.9/sqft", expected a number for a length`},
		{perLength, "x/m", `found "x/m", expected a number for a length`},
		{perLength, "1/", `found "1/", expected`},
		{share, 20.0, `found "20", expected a share`},
		{share, "1000%", `found "1000%", expected a share`},
		{share, strings.Repeat("9", 999), `..."`},
	} {
		err := c.read(c.v)
		var e *Error
		if !errors.As(err, &e) || !strings.Contains(e.Rule, c.rule) {
			t.Errorf("%v: got %v, expected %s", c.v, err, c.rule)
		}
	}
	if p, err := Percent(" 12.5 % "); err != nil || p.String() != "0.125" {
		t.Errorf("got %v, %v", p, err)
	}
}

func amount(v any) error    { _, err := Amount(v); return err }
func perArea(v any) error   { _, err := PerArea(v); return err }
func perLength(v any) error { _, err := PerLength(v); return err }
func share(v any) error     { _, err := Percent(v); return err }
