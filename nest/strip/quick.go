package strip

import (
	"context"
	"math"
	"time"

	"strapwise/nest"
)

// quickSteps are the steps of a quick lay, all of one chain.
const quickSteps = 50

// Quick is Lay in a few hundredths of a second a hide, to judge many hides by: the
// bound is asked for bands once, and one chain goes a short way at its prices. On
// the hides of nest/trial it makes 97 of the 100 sets that Lay makes, or more. Of
// several hides it does not look for the cheapest, and no order comes first for its
// date. The same job and seed give the same plan, unless the context ends first. The
// error is that of Lay.
func Quick(ctx context.Context, job nest.Job, seed uint64) (nest.Plan, error) {
	job.By = time.Time{}
	p, err := newProblem(job)
	if err != nil {
		return nest.Plan{}, err
	}
	stop := func() bool { return ctx.Err() != nil }
	s := newSearch(p, newShapes(), seed)
	b := newBound(p, s.known, p.whole())
	if err := b.improve(1, 0, stop); err != nil {
		return nest.Plan{}, err
	}
	s.price = b.price
	c := s.chain()
	c.first()
	c.improve(quickSteps, 0, 0, b.worth(), stop)
	s.take(c)
	plan := p.record(s.best, s.made, b.price)
	r := nest.Result{Cost: nest.Cost(job, plan), Value: nest.Value(job, plan), Bound: b.worth(), Stop: nest.StopTime, Seed: seed, Steps: quickSteps}
	if b.meets(r.Value) {
		const fine = 1e-6 // as in Lay
		if r.Proven, r.Stop = true, nest.StopProven; math.Abs(r.Bound-r.Value) <= fine {
			r.Bound = r.Value
		}
	}
	plan.Result = r
	return plan, nil
}
