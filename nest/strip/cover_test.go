package strip

import (
	"math"
	"math/rand/v2"
	"testing"
)

// anyCover is a choice of n hides that is to meet some demands, each from a fifth of what all give to so much more.
func anyCover(r *rand.Rand, n int, spread float64) (c cover) {
	for range n {
		c.cost = append(c.cost, float64(1+r.IntN(40)))
	}
	for range 1 + r.IntN(4) {
		gives, sum := make([]float64, n), 0.0
		for i := range gives {
			gives[i] = float64(r.IntN(30))
			sum += gives[i]
		}
		c.add(gives, 1+sum*(0.2+spread*r.Float64()))
	}
	return c
}

// TestCoverAgainstAll: the cheapest choice is that of trying all, and where no
// choice meets the demands none is given.
func TestCoverAgainstAll(t *testing.T) {
	none, tight := 0, 0
	for seed := range uint64(200) {
		r := rand.New(rand.NewPCG(seed, 1))
		n := 1 + r.IntN(9)
		c := anyCover(r, n, 0.85)
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

// TestRelaxIsABound: the relaxation costs no more than the cheapest choice, and what is proven of it is
// what its own mixture of choices costs.
func TestRelaxIsABound(t *testing.T) {
	above := 0
	for seed := range uint64(100) {
		r := rand.New(rand.NewPCG(seed, 2))
		n := 2 + r.IntN(8)
		c := anyCover(r, n, 0.5)
		fixed := make([]int8, n)
		fixed[r.IntN(n)] = int8(r.IntN(3) - 1)
		root, some, err := c.relax(fixed)
		if err != nil {
			t.Fatal(err)
		}
		if !some {
			continue
		}
		mixed := 0.0
		for i, out := range root.x {
			mixed += c.cost[i] * (1 - out)
		}
		if math.Abs(root.least-mixed) > 1e-6 {
			t.Errorf("seed %d: proven are %v, the mixture costs %v", seed, root.least, mixed)
		}
		best := math.Inf(1)
		for set := range 1 << n {
			in, cost, may := make([]bool, n), 0.0, true
			for i := range in {
				if in[i] = set>>i&1 == 1; in[i] {
					cost += c.cost[i]
				}
				may = may && (fixed[i] == 0 || in[i] == (fixed[i] > 0))
			}
			if may && c.met(in) {
				best = min(best, cost)
			}
		}
		if root.least > best+1e-6 {
			t.Errorf("seed %d: no choice is said to cost less than %v, one costs %v", seed, root.least, best)
		} else if root.least > 0 {
			above++
		}
	}
	if above < 50 {
		t.Errorf("only %d relaxations cost anything", above)
	}
}

// TestOutright: on racks of twenty hides whose costs go by what they give but for a tenth,
// trying all that prices leave ends within the visits allowed, and no exchange of two hides
// makes its choice cheaper.
func TestOutright(t *testing.T) {
	for seed := range uint64(20) {
		r := rand.New(rand.NewPCG(seed, 3))
		const n = 20
		var c cover
		gives := make([]float64, n)
		for i := range gives {
			gives[i] = 100 + 100*r.Float64()
			c.cost = append(c.cost, math.Round(100*gives[i]*(0.95+0.1*r.Float64()))/100)
		}
		for range 3 {
			sum := 0.0
			other := make([]float64, n)
			for i, g := range gives {
				other[i] = g * (0.97 + 0.06*r.Float64())
				sum += other[i]
			}
			c.add(other, 0.45*sum)
		}
		root, feasible, err := c.relax(make([]int8, n))
		if err != nil || !feasible {
			t.Fatal(feasible, err)
		}
		best, worth, all := c.outright(root.price, nil, math.Inf(1), 1_000_000)
		if !all || !c.met(best) {
			t.Fatalf("seed %d: %v ends %v", seed, best, all)
		}
		if worth < root.least-1e-6 {
			t.Errorf("seed %d: %v, but nothing costs less than %v", seed, worth, root.least)
		}
		for i := range n {
			for j := range n {
				other := append([]bool{}, best...)
				other[i], other[j] = false, !best[j] || i == j
				cost := 0.0
				for k, is := range other {
					if is {
						cost += c.cost[k]
					}
				}
				if cost < worth-1e-6 && c.met(other) {
					t.Errorf("seed %d: %v without %d and with %d costs %v, not %v", seed, best, i, j, cost, worth)
				}
			}
		}
		if _, _, all := c.outright(root.price, nil, math.Inf(1), 10); all {
			t.Errorf("seed %d: ten visits are said to be enough", seed)
		}
	}
}
