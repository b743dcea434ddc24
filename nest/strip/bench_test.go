package strip

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"

	"strapwise/hide"
	"strapwise/nest"
)

// bench is a bend or side of so many corners and flaws, and an order book of
// collars in mains, fillers and keepers that is more than it can give.
func bench(t testing.TB, seed uint64, corners, flaws, sets int) nest.Job {
	r := rand.New(rand.NewPCG(seed, 9))
	const in = 25.4
	length, depth := 2400.0, 650.0
	s := hide.Spec{Name: "bend", Leather: "strap", Form: "bend", Trim: 3}
	for i := range corners {
		a := 2 * math.Pi * float64(i) / float64(corners)
		c, d := math.Cos(a), math.Sin(a)
		k := 1 / math.Pow(math.Pow(math.Abs(c), 8)+math.Pow(math.Abs(d), 8), 1.0/8) * (0.985 + 0.015*r.Float64())
		s.Outline = append(s.Outline, orb.Point{length / 2 * (1 + c*k), depth / 2 * (1 + d*k)})
	}
	kinds := hide.FlawKinds()
	for range flaws {
		at := orb.Point{length * (0.05 + 0.9*r.Float64()), depth * (0.05 + 0.9*r.Float64())}
		f := hide.Flaw{Kind: kinds[r.IntN(len(kinds))]}
		if r.IntN(2) == 0 {
			f.Spot = &hide.Spot{At: at, Diameter: 4 + 20*r.Float64()}
		} else {
			f.Stroke = &hide.Stroke{Width: 3 + 8*r.Float64(), Line: []orb.Point{at, {at[0] + 120*(r.Float64()-0.5), at[1] + 60*(r.Float64()-0.5)}}}
		}
		s.Flaws = append(s.Flaws, f)
	}
	job := nest.Job{
		Hides: []*hide.Hide{newHide(t, s)}, Uses: uses(),
		Tools: nest.Tools{Mark: in / 32, CutterMin: in / 4, CutterMax: 4 * in, Grips: in, Part: in},
	}
	for i := range sets {
		w, n := []float64{0.75, 1, 1.25}[r.IntN(3)]*in, float64(12+r.IntN(10))*in
		job.Orders = append(job.Orders, nest.Order{
			ID: fmt.Sprintf("A%d", i), FirstSet: 1, Qty: 1 + r.IntN(3), Worth: math.Round(30 + n/in + 20*r.Float64()),
			Parts: []nest.Part{
				{Name: "main", Leather: "strap", Use: "load", Length: n + 9.25*in, Width: w + 0.375*in, Count: 1},
				{Name: "filler", Leather: "strap", Use: "hidden", Length: n - 6*in, Width: w - 0.375*in, Count: 1},
				{Name: "keeper", Leather: "strap", Use: "loop", Length: 2*w + 1.1*in, Width: 0.5 * in, Count: 1},
			},
		})
	}
	return job
}

// BenchmarkFirstPlan is the time until there is a plan at all: a bend of 300
// corners and 60 flaws, 100 pieces asked for.
func BenchmarkFirstPlan(b *testing.B) {
	job := bench(b, 1, 300, 60, 17)
	asked := 0
	for _, o := range job.Orders {
		asked += o.Qty * len(o.Parts)
	}
	b.ReportMetric(float64(asked), "pieces")
	for b.Loop() {
		p, err := newProblem(job)
		if err != nil {
			b.Fatal(err)
		}
		s := newChain(p, newShapes(), 1, 0)
		s.first()
		p.record(s.best, s.made, s.price)
	}
}

// BenchmarkLay is a whole lay with the default number of steps, by how many
// flaws the bend has; the gap to the bound is reported with it.
func BenchmarkLay(b *testing.B) {
	for _, flaws := range []int{0, 10, 25, 60} {
		b.Run(fmt.Sprintf("flaws=%d", flaws), func(b *testing.B) {
			job := bench(b, 1, 300, flaws, 60)
			var r nest.Result
			for b.Loop() {
				plan, err := Lay(context.Background(), job, Options{Seed: 1})
				if err != nil {
					b.Fatal(err)
				}
				r = plan.Result
			}
			b.ReportMetric(100*(r.Bound-r.Value)/r.Bound, "gap%")
			b.ReportMetric(r.Value, "worth")
		})
	}
}

// BenchmarkBound is one asking of all bands.
func BenchmarkBound(b *testing.B) {
	for _, deepest := range []float64{0, 4} {
		b.Run(fmt.Sprintf("deepest=%vin", deepest), func(b *testing.B) {
			job := bench(b, 1, 300, 25, 60)
			job.Tools.Deepest = deepest * 25.4
			p, err := newProblem(job)
			if err != nil {
				b.Fatal(err)
			}
			bd := newBound(p, newShapes(), p.whole())
			if err := bd.improve(1, 0, func() bool { return false }); err != nil {
				b.Fatal(err)
			}
			for b.Loop() {
				bd.price[0] *= 1.0001 // no table is kept
				bd.ask(bd.price, allBands)
			}
		})
	}
}
