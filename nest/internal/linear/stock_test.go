package linear

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
)

// stock is a cutting-stock job: rolls of one width, orders of narrower ones.
type stock struct {
	roll   int
	widths []int
	demand []float64
}

// best finds the pattern whose pieces are worth most: an unbounded knapsack.
func (s stock) best(worth []float64) (total float64, pieces []Entry) {
	most := make([]float64, s.roll+1)
	last := make([]int, s.roll+1)
	for room := 1; room <= s.roll; room++ {
		most[room], last[room] = most[room-1], -1
		for i, w := range s.widths {
			if w <= room && most[room-w]+worth[i] > most[room] {
				most[room], last[room] = most[room-w]+worth[i], i
			}
		}
	}
	count := make([]int, len(s.widths))
	for room := s.roll; room > 0; {
		if i := last[room]; i >= 0 {
			count[i]++
			room -= s.widths[i]
		} else {
			room--
		}
	}
	for i, n := range count {
		if n > 0 {
			pieces = append(pieces, Entry{i, -float64(n)})
		}
	}
	return most[s.roll], pieces
}

// generate finds the fewest rolls by column generation in the form of the
// package: each order is worth a lot, each roll costs 1, and no more is delivered
// than is cut, which makes every limit 0. It gives the rolls, and how often it
// solved.
func (s stock) generate(tb testing.TB) (rolls float64, solves int) {
	const lot = 2
	p := New(make([]float64, len(s.widths)))
	total := 0.0
	for i := range s.widths {
		p.Add(lot, s.demand[i], []Entry{{i, 1}})
		total += lot * s.demand[i]
	}
	worth := make([]float64, len(s.widths))
	for {
		solves++
		if status, err := p.Solve(100000); status != Optimal || err != nil {
			tb.Fatalf("solve %d: %v, %v", solves, status, err)
		}
		for i := range worth {
			worth[i] = p.Price(i)
		}
		gain, pieces := s.best(worth)
		if gain <= 1+1e-7 {
			return total - p.Value(), solves
		}
		p.Add(-1, math.Inf(1), pieces)
	}
}

// Chvátal, Linear Programming, 1983, ch. 13: 97 rolls 45 wide, 610 of 36, 395 of
// 31 and 211 of 14, from rolls of 100, take 452.25.
func Example() {
	s := stock{100, []int{45, 36, 31, 14}, []float64{97, 610, 395, 211}}
	rolls, _ := s.generate(new(testing.B))
	fmt.Printf("%.2f\n", rolls)
	// Output: 452.25
}

// Rolls are at least what the widths add up to, and, as no width is above half a
// roll, not far above it.
func TestStock(t *testing.T) {
	for seed := range uint64(20) {
		s := randomStock(seed, 5+int(seed))
		rolls, _ := s.generate(t)
		volume := 0.0
		for i, w := range s.widths {
			volume += float64(w) * s.demand[i]
		}
		if least := volume / float64(s.roll); rolls < least-1e-6 || rolls > 2*least+1 {
			t.Errorf("seed %d: %g rolls, at least %g hold the orders", seed, rolls, least)
		}
	}
}

// randomStock orders widths from a tenth to half of a roll.
func randomStock(seed uint64, kinds int) stock {
	rng := rand.New(rand.NewPCG(seed, 3))
	s := stock{roll: 1000}
	for _, w := range rng.Perm(400)[:kinds] {
		s.widths = append(s.widths, 100+w)
		s.demand = append(s.demand, float64(1+rng.IntN(50)))
	}
	return s
}

func BenchmarkStock(b *testing.B) {
	for _, kinds := range []int{60, 250} {
		b.Run(fmt.Sprint(kinds, " rows"), func(b *testing.B) {
			s := randomStock(1, kinds)
			solves := 0
			for b.Loop() {
				_, solves = s.generate(b)
			}
			b.ReportMetric(float64(solves), "solves/op")
		})
	}
}
