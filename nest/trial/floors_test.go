package trial_test

import (
	"bufio"
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
# with seed 1 and so many steps. TestFloors fails if one becomes worse. After a change for the
# better: go test ./nest/trial -run Floors -write
# job	steps	worth	bound
`

// floor is a line of testdata/floors.tsv.
type floor struct{ worth, bound float64 }

// floorSteps are the jobs whose worth and bound must not get worse, and how many
// steps a lay of each may take. None looks at a clock, so that a slow machine
// comes to the same.
var floorSteps = []struct {
	name  string
	steps int
}{
	{"worth-bend-0", 800},
	{"worth-bend-10", strip.DefaultSteps}, // three contests
	{"worth-bend-25", 800},
	{"worth-bend-60", 800},
	{"worth-side-60", 400},
	{"sets-bend", 400},
	{"stock-5", 200},
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
		const seed = 1
		job := jobs[f.name].Job(seed)
		plan, err := strip.Lay(context.Background(), job, strip.Options{Seed: seed, Steps: f.steps})
		if err != nil {
			t.Fatalf("%s: %v", f.name, err)
		}
		for _, v := range nest.Check(job, plan) {
			t.Errorf("%s: %v", f.name, v)
		}
		got := plan.Result
		key := fmt.Sprintf("%s\t%d", f.name, f.steps)
		fmt.Fprintf(&reached, "%s\t%.2f\t%.2f\n", key, got.Value, got.Bound)
		want, known := floors[key]
		delete(floors, key)
		const cent = 0.01
		switch {
		case *write:
		case !known:
			t.Errorf("%s: %s has no floor for %d steps", f.name, file, f.steps)
		case got.Value < want.worth-cent:
			t.Errorf("%s: worth %.2f, was %.2f", f.name, got.Value, want.worth)
		case got.Bound > want.bound+cent:
			t.Errorf("%s: bound %.2f, was %.2f", f.name, got.Bound, want.bound)
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

func readFloors(t *testing.T, name string) map[string]floor {
	t.Helper()
	file, err := os.Open(name)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	out := map[string]floor{}
	for s := bufio.NewScanner(file); s.Scan(); {
		if strings.HasPrefix(s.Text(), "#") {
			continue
		}
		cells := strings.Split(s.Text(), "\t")
		if len(cells) != 4 {
			t.Fatalf("%s: found %q, expected job, steps, worth and bound", name, s.Text())
		}
		worth, err := strconv.ParseFloat(cells[2], 64)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		bound, err := strconv.ParseFloat(cells[3], 64)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		out[cells[0]+"\t"+cells[1]] = floor{worth, bound}
	}
	return out
}
