package linear

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os/exec"
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

// generate finds the most that the hides can be worth when shares of layouts are
// allowed: each round may add a layout a hide. It gives the program as written at
// the end, the number of columns at each solve, and the value.
func (w workshop) generate(tb testing.TB) (all written, rounds []int, value float64) {
	kinds := len(w.widths)
	all.limits = make([]float64, kinds+len(w.hides))
	for h := range w.hides {
		all.limits[kinds+h] = 1
	}
	for a, needs := range w.needs {
		all.cols = append(all.cols, column{w.worth[a], w.asked[a], needs})
	}
	p := all.program()
	for {
		rounds = append(rounds, len(all.cols))
		if status, err := p.Solve(100000); status != Optimal || err != nil {
			tb.Fatalf("solve %d: %v, %v", len(rounds), status, err)
		}
		all.keepsLimits(tb, p)
		worth := make([]float64, kinds)
		for k := range worth {
			worth[k] = p.Price(k)
		}
		for h, size := range w.hides {
			gain, pieces := stock{roll: size, widths: w.widths}.best(worth)
			if gain > p.Price(kinds+h)+1e-7 {
				c := column{0, math.Inf(1), append(pieces, Entry{kinds + h, 1})}
				p.Add(c.gain, c.upper, c.entries)
				all.cols = append(all.cols, c)
			}
		}
		if len(all.cols) == rounds[len(rounds)-1] {
			return all, rounds, p.Value()
		}
	}
}

// A generation of warm starts ends where one cold start does.
func TestWorkshop(t *testing.T) {
	for seed := range uint64(6) {
		all, _, value := randomWorkshop(seed, 20+5*int(seed), 8, 25).generate(t)
		p := all.program()
		if status, err := p.Solve(100000); status != Optimal || err != nil {
			t.Fatalf("seed %d: %v, %v", seed, status, err)
		}
		all.isOptimal(t, p)
		if math.Abs(p.Value()-value) > 1e-9*value || value == 0 {
			t.Errorf("seed %d: %.12g warm, %.12g cold", seed, value, p.Value())
		}
		if program, err := exec.LookPath("cbc"); err == nil {
			if want := all.cbc(t, program); math.Abs(want-value) > 1e-6*want {
				t.Errorf("seed %d: value %.12g, cbc's %.12g", seed, value, want)
			}
		}
	}
}

// BenchmarkWorkshop solves the programs of a generation again, without the search
// for layouts: the time is that of all solves together.
func BenchmarkWorkshop(b *testing.B) {
	for _, size := range []struct{ kinds, hides, articles int }{{45, 15, 40}, {200, 50, 150}} {
		b.Run(fmt.Sprint(size.kinds+size.hides, " rows"), func(b *testing.B) {
			all, rounds, _ := randomWorkshop(1, size.kinds, size.hides, size.articles).generate(b)
			for b.Loop() {
				p := New(all.limits)
				for _, n := range rounds {
					for _, c := range all.cols[p.Columns():n] {
						p.Add(c.gain, c.upper, c.entries)
					}
					if status, _ := p.Solve(100000); status != Optimal {
						b.Fatal(status)
					}
				}
			}
			b.ReportMetric(float64(len(rounds)), "solves/op")
			b.ReportMetric(float64(len(all.cols)), "columns")
		})
	}
}
