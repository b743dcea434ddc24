package price

import (
	"math"
	"slices"
	"strconv"

	"github.com/shopspring/decimal"

	"strapwise/hide"
	"strapwise/nest"
)

// What a flaw took is found by laying again without it. Each hide is asked by
// itself, for the articles that the plan cuts from it, in the same proportions
// and more than it can hold; a set is worth its area. So the worth of a lay is
// leather in complete sets, and what it would have cost to buy is money.
//
//	Regained  ≥ 0: a lay of the hide with its flaws is one of the hide without.
//	Most      what no lay of straight strips could exceed.
//
// A search may find a better lay only because it was luckier. So every lay that
// was found is tried on every other state of the hide, by nest.Check, and a gain
// counts only against the best that the hide with all its flaws allows.

// Lay plans a job, from the same job always the same.
type Lay func(nest.Job) (nest.Plan, error)

// Lost is what a hide would give more were something about it better.
type Lost struct {
	Flaw     int     // of the hide, from 0; -1: all of what What says
	What     string  // kind of flaw, "all flaws", "soft leather"
	Regained float64 // mm² of pieces in complete sets
	Most     float64 // no lay of straight strips regains more
	Cost     Amount  // of so much leather, at what the hide cost
}

// Regain is what a hide gave and what it could have given.
type Regain struct {
	Hide string
	MM2  float64 // in complete sets, from the hide as it is
	Lost []Lost  // each flaw as the hide's file lists them, then all, then the soft leather
}

// Laid is the hide's cutting value as lays have it: what it gives of what it would
// give without a flaw, in per cent; 0 if it gives nothing.
func (r Regain) Laid() float64 {
	if r.MM2 <= 0 {
		return 0
	}
	most := 0.0
	for _, l := range r.Lost {
		if l.What != SoftLeather {
			most = max(most, l.Regained)
		}
	}
	return 100 * r.MM2 / (r.MM2 + most)
}

// AllFlaws and SoftLeather are what Lost says of more than one flaw.
const (
	AllFlaws    = "all flaws"
	SoftLeather = "soft leather"
)

// Without tells what each flaw and the soft leather of a hide took, if the plan
// cuts anything from it. The error is that of lay.
func Without(j nest.Job, p nest.Plan, h *hide.Hide, lay Lay) (Regain, error) {
	out := Regain{Hide: h.Name()}
	job := ample(j, p, h)
	if len(job.Orders) == 0 {
		return out, nil
	}
	states, lost := better(h)
	jobs, plans := make([]nest.Job, len(states)), make([]nest.Plan, len(states))
	for i, s := range states {
		jobs[i] = job
		jobs[i].Hides = []*hide.Hide{s}
		var err error
		if plans[i], err = lay(jobs[i]); err != nil {
			return out, err
		}
	}
	best, most := make([]float64, len(states)), make([]float64, len(states))
	for i := range jobs {
		for k, plan := range plans {
			if plan.Result.Value > best[i] && (k == i || stands(jobs[i], plan)) {
				best[i] = plan.Result.Value
			}
		}
		best[i] = max(best[i], best[0]) // a better hide holds every lay of the worse
		most[i] = max(plans[i].Result.Bound, best[i])
	}
	out.MM2 = best[0] * mm2PerWorth
	for i, l := range lost {
		l.Regained, l.Most = (best[i+1]-best[0])*mm2PerWorth, (most[i+1]-best[0])*mm2PerWorth
		if l.Flaw >= 0 { // all flaws took no less than one
			l.Most = max(l.Regained, min(l.Most, (most[allAt(lost)]-best[0])*mm2PerWorth))
		}
		if !h.Cost().IsZero() && out.MM2 > 0 {
			l.Cost = penny(h.Cost().Mul(decimal.NewFromFloat(l.Regained / out.MM2)))
		}
		out.Lost = append(out.Lost, l)
	}
	return out, nil
}

// allAt is the state, as better numbers them, of the hide without any flaw, or
// with one flaw that without it.
func allAt(lost []Lost) int {
	return 1 + max(0, slices.IndexFunc(lost, func(l Lost) bool { return l.What == AllFlaws }))
}

// better are the hide as it is, without each of its flaws, without any if there
// are several, and with all its soft leather firm if there is some; and what is
// lost in each state but the first.
func better(h *hide.Hide) (states []*hide.Hide, lost []Lost) {
	states = []*hide.Hide{h}
	add := func(flaw int, what string, change func(*hide.Spec)) {
		s := h.Spec()
		change(&s)
		if mended, err := hide.New(s); err == nil { // less of what is valid is valid
			states, lost = append(states, mended), append(lost, Lost{Flaw: flaw, What: what})
		}
	}
	for i, f := range h.Flaws() {
		add(i, f.Kind, func(s *hide.Spec) { s.Flaws = slices.Delete(s.Flaws, i, i+1) })
	}
	if len(h.Flaws()) > 1 {
		add(-1, AllFlaws, func(s *hide.Spec) { s.Flaws = nil })
	}
	if slices.ContainsFunc(h.Zones(), isSoft) {
		add(-1, SoftLeather, func(s *hide.Spec) {
			for i, z := range s.Zones {
				if isSoft(z) {
					s.Zones[i].Quality = hide.Firm
				}
			}
		})
	}
	return states, lost
}

func isSoft(z hide.Zone) bool { return z.Quality < hide.Firm }

// mm2PerWorth is the leather in sets that counts 1 in a lay: with so much, a hide
// comes to some thousands, like money.
const mm2PerWorth = 100

// ample asks of one hide for what the plan cuts from it, of each row at least
// half as much again as would fill the hide in these proportions.
func ample(j nest.Job, p nest.Plan, h *hide.Hide) nest.Job {
	const more = 1.5
	out := nest.Job{Uses: j.Uses, Tools: j.Tools}
	out.Tools.Effort = 0
	laid, all := areas(j, p.Pieces, h.Name()), 0.0
	for _, a := range laid {
		all += a
	}
	for row, o := range j.Orders {
		if laid[row] == 0 {
			continue
		}
		var own []nest.Part
		set := 0.0
		for _, part := range o.Parts {
			if part.Leather == h.Leather() {
				own = append(own, part)
				set += float64(part.Count) * part.Area()
			}
		}
		o.ID, o.FirstSet, o.Parts, o.Worth = strconv.Itoa(row+1), 1, own, set/mm2PerWorth
		o.Qty = int(math.Ceil(more * h.Area() * laid[row] / all / set))
		out.Orders = append(out.Orders, o)
	}
	return out
}

// stands reports whether a plan may stand as one of the job, which is of another
// state of the same hide.
func stands(j nest.Job, p nest.Plan) bool { return len(nest.Check(j, p)) == 0 }
