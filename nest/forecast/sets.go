package forecast

import (
	"context"
	"math"

	"strapwise/nest"
	"strapwise/nest/strip"
)

// Yield is what hides of a kind give of one article.
type Yield struct {
	Sets Distribution
	Area float64 // mm², of a hide on the average
	Net  float64 // the share of it that becomes pieces
	// Bound is the mean of what no lay of straight strips can exceed: how much
	// more a thorough planner might make of the same hides.
	Bound float64
}

// mostSets is how many sets are asked of one hide at the most.
const mostSets = 2000

// Sets draws so many hides of the kind and counts the sets of an article that each
// gives. The parts of the order are those that this leather has to give; uses and
// tools are those of the job. If the context ends first, the error is the context's.
func (w *World) Sets(ctx context.Context, k Kind, order nest.Order, job nest.Job, hides int, seed uint64) (Yield, error) {
	const lost = 1e-6 // by floats, of a whole number of sets
	job.Tools.Effort = 0
	order.Worth = 1
	set := 0.0
	for _, p := range order.Parts {
		set += float64(p.Count) * p.Area()
	}
	counts, areas, bounds := make([]int, hides), make([]float64, hides), make([]float64, hides)
	err := each(ctx, hides, func(i int) error {
		h, err := w.Draw(k, hideSeed(seed, i))
		if err != nil {
			return err
		}
		order, job := order, job
		most := max(1, int(h.Area()/set+lost)) // by area
		order.Qty = min(mostSets, most)
		job.Orders, job.Hides = []nest.Order{order}, job.Hides[:0:0]
		job.Hides = append(job.Hides, h)
		plan, err := strip.Quick(ctx, job, seed)
		counts[i], areas[i] = int(math.Round(plan.Result.Value)), h.Area()
		if bounds[i] = math.Floor(plan.Result.Bound + lost); bounds[i] >= float64(order.Qty) {
			bounds[i] = float64(most) // no more were asked
		}
		return err
	})
	if err == nil {
		err = ctx.Err()
	}
	if err != nil {
		return Yield{}, err
	}
	y := Yield{Sets: newDistribution(counts)}
	for i := range areas {
		y.Area += areas[i] / float64(hides)
		y.Bound += bounds[i] / float64(hides)
	}
	y.Net = y.Sets.Mean() * set / y.Area
	return y, nil
}

// hideSeed is the seed of one of many hides.
func hideSeed(seed uint64, i int) uint64 { return seed<<20 + uint64(i) }
