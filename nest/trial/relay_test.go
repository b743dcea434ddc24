package trial_test

import (
	"context"
	"fmt"
	"os"
	"testing"
	"time"

	"strapwise/nest"
	"strapwise/nest/strip"
	"strapwise/nest/trial"
)

// begun is a plan of which the nearer half of the bands are cut, and two more
// are ripped.
func begun(t *testing.T, job nest.Job, steps int) *nest.Begun {
	t.Helper()
	plan, err := strip.Lay(context.Background(), job, strip.Options{Seed: 1, Steps: steps})
	if err != nil {
		t.Fatal(err)
	}
	b := plan.Begin()
	l := plan.Hides[0]
	for n := range len(l.Bands) / 2 {
		b.Cut(l.Hide, n+1)
	}
	b.Rip(l.Hide, min(len(l.Bands), len(l.Bands)/2+2))
	return b
}

func TestRelayMeasure(t *testing.T) {
	if os.Getenv("M") == "" {
		t.Skip()
	}
	for _, flaws := range []int{0, 10} {
		job := trial.Worth(trial.Bend(1, flaws), 1)
		b := begun(t, job, 0)
		name := job.Hides[0].Name()
		for seed := range uint64(3) {
			found, _ := trial.Find(job, name, seed)
			bb := b.Plan.Begin()
			was := b.Plan.Result.Value
			met := bb.Judge(found, func(nest.Piece) bool { return false })
			start, first := time.Now(), time.Duration(-1)
			ctx, cancel := context.WithTimeout(context.Background(), relayTime())
			var firstWorth float64
			plan, err := strip.Relay(ctx, found, bb.Plan, strip.Options{Seed: 1, Steps: 1 << 30, Progress: func(v, bd float64) {
				if first < 0 && v > 0 {
					first, firstWorth = time.Since(start), v
				}
			}})
			cancel()
			if err != nil {
				t.Fatal(err)
			}
			took := time.Since(start)
			faults := nest.CheckRelaid(found, bb.Plan, plan)
			gap := 100 * (plan.Result.Bound - plan.Result.Value) / plan.Result.Bound
			n := 0
			uncut := 0
			for _, p := range plan.Pieces {
				if !p.Cut {
					uncut++
					if !p.New {
						n++
					}
				}
			}
			fmt.Printf("flaws %d seed %d: was %.1f first %.1f in %v, then %.1f, bound %.1f, gap %.2f%%, %v, kept %d/%d, spoilt %d faults %d\n", flaws, seed, was, firstWorth, first.Round(time.Millisecond), plan.Result.Value, plan.Result.Bound, gap, took.Round(time.Millisecond), n, uncut, len(met), len(faults))
			for i, f := range faults {
				if i < 5 {
					fmt.Println("  ", f)
				}
			}
		}
	}
}

func relayTime() time.Duration {
	d, err := time.ParseDuration(os.Getenv("M"))
	if err != nil {
		return 3 * time.Second
	}
	return d
}
