package strip

import (
	"math"
	"math/rand/v2"
	"testing"
)

// TestCoverAgainstAll: the cheapest choice is that of trying all, and where no
// choice meets the demands none is given.
func TestCoverAgainstAll(t *testing.T) {
	none, tight := 0, 0
	for seed := range uint64(200) {
		r := rand.New(rand.NewPCG(seed, 1))
		n := 1 + r.IntN(9)
		var c cover
		for range n {
			c.cost = append(c.cost, float64(1+r.IntN(40)))
		}
		for range 1 + r.IntN(4) {
			gives, sum := make([]float64, n), 0.0
			for i := range gives {
				gives[i] = float64(r.IntN(30))
				sum += gives[i]
			}
			c.add(gives, 1+sum*(0.2+0.85*r.Float64()))
		}
		best := math.Inf(1)
		for set := range 1 << n {
			in, cost := make([]bool, n), 0.0
			for i := range in {
				if in[i] = set>>i&1 == 1; in[i] {
					cost += c.cost[i]
				}
			}
			if c.met(in) {
				best = min(best, cost)
			}
		}
		in, least, err := c.choose()
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(least-best) > 1e-6 && least != best {
			t.Errorf("seed %d: no choice is said to cost less than %v, the cheapest costs %v", seed, least, best)
		}
		if math.IsInf(best, 1) {
			none++
			if in != nil {
				t.Errorf("seed %d: a choice where there is none", seed)
			}
			continue
		}
		cost := 0.0
		for i, is := range in {
			if is {
				cost += c.cost[i]
			}
		}
		if !c.met(in) || cost != best {
			t.Errorf("seed %d: the choice costs %v, the cheapest %v", seed, cost, best)
		}
		if len(c.demands) > 1 {
			tight++
		}
	}
	if none < 5 || tight < 50 {
		t.Errorf("%d cases without a choice, %d with several demands: the test shows little", none, tight)
	}
}
