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

// find is a flaw that turns up on a bend that is half cut.
type find struct {
	name  string
	job   nest.Job  // with the flaw
	plan  nest.Plan // before
	begun nest.Plan // what is cut of it
}

// finds gives ten on each of five bends with so many flaws, of plans of so many steps.
func finds(t testing.TB, flaws, steps int) []find {
	t.Helper()
	const bends, each = 5, 10
	var out []find
	for bend := uint64(1); bend <= bends; bend++ {
		job := trial.Worth(trial.Bend(bend, flaws), bend)
		plan, cut := halfCut(t, job, steps)
		for seed := range uint64(each) {
			found, flaw := trial.Find(job, job.Hides[0].Name(), seed)
			b := cut.Plan.Begin()
			b.Judge(found, func(nest.Piece) bool { return false })
			out = append(out, find{fmt.Sprintf("bend %d of %d flaws, find %d, a %s", bend, flaws, seed, flaw.Kind), found, plan, b.Plan})
		}
	}
	return out
}

// relay lays what is not cut again, which must keep all rules and move nothing that is cut.
func (f find) relay(ctx context.Context, t testing.TB, begun nest.Plan, o strip.Options) (nest.Plan, nest.Changes) {
	t.Helper()
	after, err := strip.Relay(ctx, f.job, begun, o)
	if err != nil {
		t.Fatal(err)
	}
	if v := nest.CheckRelaid(f.job, begun, after); v != nil {
		t.Errorf("%s: %v", f.name, v)
	}
	return after, nest.Compare(f.job, f.plan, f.begun, after)
}

// TestFinds: half a bend is cut, and a flaw turns up somewhere. Wherever it is,
// what is cut stays, the plan keeps all rules, and no more than half as many marks are lost
// as if the rest were laid without a look at the plan before, which is not worth more.
func TestFinds(t *testing.T) {
	o := strip.Options{Seed: 1, Steps: 60}
	var kept, fresh, marks int
	var worth, freshWorth float64
	all := finds(t, 10, 800)
	for _, f := range all {
		after, c := f.relay(context.Background(), t, f.begun, o)
		other, d := f.relay(context.Background(), t, afresh(f.begun), o)
		kept, marks, fresh = kept+c.Kept, marks+c.Marks, fresh+d.Kept
		worth, freshWorth = worth+after.Result.Value, freshWorth+other.Result.Value
	}
	compared := float64(len(all))
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
	const near = 0.005 // of the bound
	for _, flaws := range []int{0, 10, 25, 60} {
		within, proven, kept, marks := 0, 0, 0, 0
		var mean, worst float64
		var latest time.Duration
		all := finds(t, flaws, 0)
		for _, f := range all {
			start, first := time.Now(), time.Duration(0)
			ctx, cancel := context.WithTimeout(context.Background(), limit)
			after, c := f.relay(ctx, t, f.begun, strip.Options{Seed: 1, Steps: 1 << 30, Progress: func(worth, _ float64) {
				if first == 0 && worth > 0 {
					first = time.Since(start)
				}
			}})
			cancel()
			r := after.Result
			gap := 1 - r.Value/r.Bound
			if gap <= near {
				within++
			} else {
				t.Logf("%s: %.1f of %.1f, gap %.2f %%", f.name, r.Value, r.Bound, 100*gap)
			}
			if r.Proven {
				proven++
			}
			kept, marks = kept+c.Kept, marks+c.Marks
			mean, worst, latest = mean+gap/float64(len(all)), max(worst, gap), max(latest, first)
		}
		t.Logf("%d flaws: %d of %d within %.1f %%, mean %.2f, worst %.2f %%, %d proven; first answers within %v; %d %% of marks stay",
			flaws, within, len(all), 100*near, 100*mean, 100*worst, proven, latest.Round(time.Millisecond), 100*kept/marks)
	}
}
