package trial_test

import (
	"context"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"strapwise/nest"
	"strapwise/nest/strip"
	"strapwise/nest/trial"
)

var write = flag.Bool("write", false, "write what the planner reaches now as floors")

const floorsHead = `# What the planner has reached: the least worth and the greatest bound of each job
# of seed 1 with so many steps and seed 1 of the search, and the mean worth over the first
# so many seeds of the search. TestFloors fails if one becomes worse. After a change for the
# better: go test ./nest/trial -run Floors -write
# job	steps	worth	bound	seeds	mean
`

// floor is a line of testdata/floors.tsv.
type floor struct{ worth, bound, mean float64 }

// floorSteps are the jobs whose worth and bound must not get worse, how many
// steps a lay of each may take, and over how many seeds of the search its mean worth is
// taken: what one seed finds in few steps is luck. None looks at a clock, so that a slow
// machine comes to the same.
var floorSteps = []struct {
	name  string
	steps int
	seeds uint64
}{
	{"worth-bend-0", 800, 8},
	{"worth-bend-0", 8000, 1}, // two contests
	{"worth-bend-10", 800, 8},
	{"worth-bend-10", strip.DefaultSteps, 1}, // three contests
	{"worth-bend-25", 800, 8},
	{"worth-bend-60", 800, 1}, // proven
	{"worth-side-60", 400, 8},
	{"sets-bend", 400, 1},
	{"stock-5", 200, 1},
}

// TestFloors: no change makes the planner lay less, or prove less, than it has.
func TestFloors(t *testing.T) {
	file := filepath.Join("testdata", "floors.tsv")
	jobs := map[string]trial.Instance{}
	for _, in := range trial.Instances() {
		jobs[in.Name] = in
	}
	floors := map[string]floor{}
	if !*write {
		floors = readFloors(t, file)
	}
	var reached strings.Builder
	reached.WriteString(floorsHead)
	for _, f := range floorSteps {
		job := jobs[f.name].Job(1)
		var got floor
		for seed := uint64(1); seed <= f.seeds; seed++ {
			r := laid(t, f.name, job, strip.Options{Seed: seed, Steps: f.steps})
			if seed == 1 {
				got.worth, got.bound = r.Value, r.Bound
			}
			got.mean += r.Value / float64(f.seeds)
		}
		key := floorKey(f.name, strconv.Itoa(f.steps), strconv.FormatUint(f.seeds, 10))
		fmt.Fprintf(&reached, "%s\t%d\t%.2f\t%.2f\t%d\t%.2f\n", f.name, f.steps, got.worth, got.bound, f.seeds, got.mean)
		want, known := floors[key]
		delete(floors, key)
		const cent = 0.01
		switch {
		case *write:
		case !known:
			t.Errorf("%s has no floor for %s", file, key)
		case got.worth < want.worth-cent:
			t.Errorf("%s: worth %.2f, was %.2f", key, got.worth, want.worth)
		case got.mean < want.mean-cent:
			t.Errorf("%s: mean worth %.2f, was %.2f", key, got.mean, want.mean)
		case got.bound > want.bound+cent:
			t.Errorf("%s: bound %.2f, was %.2f", key, got.bound, want.bound)
		}
	}
	if *write {
		if err := os.WriteFile(file, []byte(reached.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	for key := range floors {
		t.Errorf("%s has a floor for %q, which is not measured", file, key)
	}
}

// laid is what a lay of the job comes to, which must pass nest.Check.
func laid(t *testing.T, name string, job nest.Job, o strip.Options) nest.Result {
	t.Helper()
	plan, err := strip.Lay(context.Background(), job, o)
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	for _, v := range nest.Check(job, plan) {
		t.Errorf("%s: %v", name, v)
	}
	return plan.Result
}

// floorKey names a floor as messages do.
func floorKey(job, steps, seeds string) string {
	return fmt.Sprintf("%s, %s steps, seeds %s", job, steps, seeds)
}

func readFloors(t *testing.T, name string) map[string]floor {
	t.Helper()
	data, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]floor{}
	for line := range strings.Lines(string(data)) {
		if strings.HasPrefix(line, "#") {
			continue
		}
		cells := strings.Fields(line)
		if len(cells) != 6 {
			t.Fatalf("%s: found %q, expected job, steps, worth, bound, seeds and mean", name, line)
		}
		number := func(i int) float64 {
			n, err := strconv.ParseFloat(cells[i], 64)
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			return n
		}
		out[floorKey(cells[0], cells[1], cells[4])] = floor{number(2), number(3), number(5)}
	}
	return out
}
