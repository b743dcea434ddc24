package strip

import (
	"context"
	"testing"
	"time"

	"strapwise/nest"
	"strapwise/nest/trial"
)

// TestBoundInMoneyThoughStopped: where some orders come first, what no plan is worth more than is told in money, and
// is less than all that is asked for though the time is up after the first contest.
func TestBoundInMoneyThoughStopped(t *testing.T) {
	job := trial.Worth(trial.Bend(1, 10), 1)
	job.By = time.Date(2027, 2, 1, 0, 0, 0, 0, time.UTC)
	all := 0.0
	for i := range job.Orders {
		if o := &job.Orders[i]; i%3 == 0 {
			o.Due = job.By
		}
		all += float64(job.Orders[i].Qty) * job.Orders[i].Worth
	}
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	told := 0
	plan, err := Lay(ctx, job, Options{Seed: 1, Steps: 2000, Progress: func(_, _ float64) {
		if told++; told == 3 { // of the first plan, before the contest, and on its way
			cancel()
		}
	}})
	if err != nil {
		t.Fatal(err)
	}
	for _, v := range nest.Check(job, plan) {
		t.Error(v)
	}
	if r := plan.Result; r.Stop != nest.StopInterrupted || r.Bound >= 0.9*all || r.Bound < r.Value {
		t.Errorf("%s: worth %v, bound %v of %v that are asked for", r.Stop, r.Value, r.Bound, all)
	}
}
