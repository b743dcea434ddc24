package strip_test

import (
	"context"
	"testing"

	"strapwise/hide"
	"strapwise/nest"
	"strapwise/nest/strip"
	"strapwise/nest/trial"
)

// A quick lay is a plan like any other, the same each time, with a bound that Lay
// keeps as well, and it is not far behind: counted over hides of each form.
func TestQuick(t *testing.T) {
	quick, full := 0.0, 0.0
	for seed := range uint64(3) {
		for _, h := range []*hide.Hide{trial.Bend(seed, 10), trial.Bend(seed, 25), trial.Side(seed, 10), trial.Side(seed, 25)} {
			job := trial.Sets(h, seed)
			plan, err := strip.Quick(context.Background(), job, 1)
			if err != nil {
				t.Fatal(err)
			}
			for _, f := range nest.Check(job, plan) {
				t.Errorf("%s: %v", h.Name(), f)
			}
			again, err := strip.Quick(context.Background(), job, 1)
			if err != nil || string(again.Encode()) != string(plan.Encode()) {
				t.Errorf("%s: another plan the second time, %v", h.Name(), err)
			}
			best, err := strip.Lay(context.Background(), job, strip.Options{Seed: 1})
			if err != nil {
				t.Fatal(err)
			}
			if best.Result.Value > plan.Result.Bound {
				t.Errorf("%s: Lay makes %v sets, the quick bound is %v", h.Name(), best.Result.Value, plan.Result.Bound)
			}
			quick, full = quick+plan.Result.Value, full+best.Result.Value
		}
	}
	t.Logf("%.0f sets against %.0f", quick, full)
	if quick < 0.97*full {
		t.Errorf("%.0f sets, Lay makes %.0f", quick, full)
	}
}
