package trial_test

import (
	"context"
	"os"
	"strconv"
	"testing"
	"time"

	"strapwise/nest"
	"strapwise/nest/strip"
	"strapwise/nest/trial"
)

// halfCut is a plan of which the nearer half of the bands are cut, and two more
// are ripped off.
func halfCut(t testing.TB, job nest.Job, steps int) (nest.Plan, *nest.Begun) {
	t.Helper()
	plan, err := strip.Lay(context.Background(), job, strip.Options{Seed: 1, Steps: steps})
	if err != nil {
		t.Fatal(err)
	}
	b := plan.Begin()
	l := plan.Hides[0]
	half := len(l.Bands) / 2
	for n := range half {
		b.Cut(l.Hide, n+1)
	}
	b.Rip(l.Hide, min(len(l.Bands), half+2))
	return plan, b
}

// afresh is what is cut of a plan, without a word on what was to be cut.
func afresh(p nest.Plan) nest.Plan {
	p = p.Begin().Plan
	var cut []nest.Piece
	for _, piece := range p.Pieces {
		if piece.Cut {
			cut = append(cut, piece)
		}
	}
	p.Pieces = cut
	return p
}

// TestFinds: half a bend is cut, and a flaw turns up somewhere. Wherever it is,
// what is cut stays, the plan keeps all rules, and no more than half as many marks are lost
// as if the rest were laid without a look at the plan before, which is not worth more.
func TestFinds(t *testing.T) {
	const bends, finds, steps = 5, 10, 60
	var kept, fresh, marks int
	var worth, freshWorth float64
	for bend := uint64(1); bend <= bends; bend++ {
		job := trial.Worth(trial.Bend(bend, 10), bend)
		plan, cut := halfCut(t, job, 800)
		for seed := range uint64(finds) {
			found, flaw := trial.Find(job, job.Hides[0].Name(), seed)
			b := cut.Plan.Begin()
			b.Judge(found, func(nest.Piece) bool { return false })
			o := strip.Options{Seed: 1, Steps: steps}
			after, err := strip.Relay(context.Background(), found, b.Plan, o)
			if err != nil {
				t.Fatal(err)
			}
			if v := nest.CheckRelaid(found, b.Plan, after); v != nil {
				t.Errorf("bend %d, find %d, a %s: %v", bend, seed, flaw.Kind, v)
			}
			c := nest.Compare(found, plan, b.Plan, after)
			other, err := strip.Relay(context.Background(), found, afresh(b.Plan), o)
			if err != nil {
				t.Fatal(err)
			}
			kept, marks, fresh = kept+c.Kept, marks+c.Marks, fresh+nest.Compare(found, plan, b.Plan, other).Kept
			worth, freshWorth = worth+after.Result.Value, freshWorth+other.Result.Value
		}
	}
	const compared = bends * finds
	t.Logf("%d %% of %d marks stay, %d %% of them where the rest is laid afresh; worth %.1f and %.1f", 100*kept/marks, marks, 100*fresh/marks, worth/compared, freshWorth/compared)
	if kept < marks/2 || 2*(marks-kept) > marks-fresh {
		t.Errorf("found %d of %d marks kept, %d of them by a lay without a look at the plan before", kept, marks, fresh)
	}
	if worth < 0.99*freshWorth {
		t.Errorf("found a worth of %.1f in the mean, a lay without a look at the plan before has %.1f", worth/compared, freshWorth/compared)
	}
}

// TestRelaySoon measures how soon an answer is there, and how near to its bound it
// comes in a time: STRAPWISE_RELAY=3s go test ./nest/trial -run RelaySoon -v
func TestRelaySoon(t *testing.T) {
	limit, err := time.ParseDuration(os.Getenv("STRAPWISE_RELAY"))
	if err != nil {
		t.Skip("a measurement by the clock")
	}
	for _, flaws := range []int{0, 10, 25, 60} {
		job := trial.Worth(trial.Bend(1, flaws), 1)
		plan, cut := halfCut(t, job, 0)
		for seed := range uint64(4) {
			found, _ := trial.Find(job, job.Hides[0].Name(), seed)
			b := cut.Plan.Begin()
			b.Judge(found, func(nest.Piece) bool { return false })
			start, first := time.Now(), time.Duration(0)
			ctx, cancel := context.WithTimeout(context.Background(), limit)
			after, err := strip.Relay(ctx, found, b.Plan, strip.Options{Seed: 1, Steps: 1 << 30, Progress: func(worth, _ float64) {
				if first == 0 && worth > 0 {
					first = time.Since(start)
				}
			}})
			cancel()
			if err != nil {
				t.Fatal(err)
			}
			c, r := nest.Compare(found, plan, b.Plan, after), after.Result
			t.Logf("%s find %d: first %v; %v: %.1f of %.1f, gap %.2f %%; %d of %d marks stay; lost %d", "bend-"+strconv.Itoa(flaws), seed,
				first.Round(time.Millisecond), time.Since(start).Round(10*time.Millisecond), r.Value, r.Bound, 100*(1-r.Value/r.Bound), c.Kept, c.Marks, len(c.Lost))
		}
	}
}
