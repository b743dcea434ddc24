package linear

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
)

// workshop is the job the package was made for: articles need sets of pieces,
// hides give them, and an article is worth something only when whole.
type workshop struct {
	widths []int     // of the kinds of pieces
	hides  []int     // what each can give, in all
	worth  []float64 // of the articles
	asked  []float64
	needs  [][]Entry // in rows of kinds
}

func randomWorkshop(seed uint64, kinds, hides, articles int) workshop {
	rng := rand.New(rand.NewPCG(seed, 4))
	var w workshop
	for range kinds {
		w.widths = append(w.widths, 12+rng.IntN(90))
	}
	for range hides {
		w.hides = append(w.hides, 500+rng.IntN(500))
	}
	for range articles {
		size := 0
		var needs []Entry
		for _, k := range rng.Perm(kinds)[:2+rng.IntN(min(8, kinds-1))] {
			n := 1 + rng.IntN(3)
			needs = append(needs, Entry{k, float64(n)})
			size += n * w.widths[k]
		}
		w.needs = append(w.needs, needs)
		w.worth = append(w.worth, float64(size)*(0.3+0.2*rng.Float64()))
		w.asked = append(w.asked, float64(1+rng.IntN(6)))
	}
	return w
}

// generate finds the most that the hides can be worth when shares of layouts
// are allowed, and how often it solved. Each round may add a layout a hide. After
// some rounds it drops layouts that have long not paid.
func (w workshop) generate(tb testing.TB) (value float64, solves int) {
	kinds := len(w.widths)
	limits := make([]float64, kinds+len(w.hides))
	for h := range w.hides {
		limits[kinds+h] = 1
	}
	p := New(limits)
	for a, needs := range w.needs {
		p.Add(w.worth[a], w.asked[a], needs)
	}
	worth := make([]float64, kinds)
	for {
		solves++
		if status, err := p.Solve(100000); status != Optimal || err != nil {
			tb.Fatalf("solve %d: %v, %v", solves, status, err)
		}
		for k := range worth {
			worth[k] = p.Price(k)
		}
		added := false
		for h, size := range w.hides {
			s := stock{roll: size, widths: w.widths}
			gain, pieces := s.best(worth)
			if gain > p.Price(kinds+h)+1e-7 {
				p.Add(0, math.Inf(1), append(pieces, Entry{kinds + h, 1}))
				added = true
			}
		}
		if !added {
			return p.Value(), solves
		}
	}
}

func BenchmarkWorkshop(b *testing.B) {
	for _, size := range []struct{ kinds, hides, articles int }{{45, 15, 40}, {200, 50, 150}} {
		b.Run(fmt.Sprint(size.kinds+size.hides, " rows"), func(b *testing.B) {
			w := randomWorkshop(1, size.kinds, size.hides, size.articles)
			solves := 0
			for b.Loop() {
				_, solves = w.generate(b)
			}
			b.ReportMetric(float64(solves), "solves/op")
		})
	}
}
