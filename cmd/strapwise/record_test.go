package main

import (
	"encoding/json"
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"strapwise/nest"
	"strapwise/nest/rack"
	"strapwise/nest/record"
)

// sequencesEnv is how many random sequences TestRecord runs; a few seconds' worth
// if it is not set.
const sequencesEnv = "STRAPWISE_SEQUENCES"

// TestRecord: whatever is taken in, laid, cut and laid again, put away, changed by hand and undone, in
// whatever order, the record adds up and is true to the rack after each step; each
// plan holds; what goes back on the rack is sound leather; and what is undone is as
// it was.
func TestRecord(t *testing.T) {
	t.Parallel()
	n := 48
	if s := os.Getenv(sequencesEnv); s != "" {
		var err error
		if n, err = strconv.Atoi(s); err != nil {
			t.Fatal(err)
		}
	}
	did := make([]map[string]int, n)
	t.Run("sequence", func(t *testing.T) { // ends when all of them have
		for i := range n {
			t.Run(fmt.Sprint(i), func(t *testing.T) {
				t.Parallel()
				b := newBenchman(t, uint64(i))
				for range 6 + b.IntN(9) {
					b.step()
					b.audit()
				}
				did[i] = b.did
			})
		}
	})
	all := map[string]int{}
	for _, d := range did {
		for what, times := range d {
			all[what] += times
		}
	}
	for _, s := range steps {
		if all[s.name] == 0 {
			t.Errorf("no sequence did %q", s.name)
		}
	}
	for _, what := range []string{"remnants put back", "remnants cut again", "relaid", "relaid hides put away", "undone to the byte", "sets made"} {
		if all[what] == 0 {
			t.Errorf("%s: 0 times", what)
		}
	}
	for _, what := range slices.Sorted(maps.Keys(all)) {
		t.Logf("%s: %d", what, all[what])
	}
}

// step is something that a person does, tried as often as its weight says. A new
// command joins here.
type step struct {
	name   string
	weight int
	do     func(*benchman)
}

var steps = []step{
	{"take in", 3, (*benchman).takeIn},
	{"put a file on the rack by hand", 1, (*benchman).putFile},
	{"lay", 6, (*benchman).lay},
	{"cut, find and relay", 4, (*benchman).relay},
	{"put all away", 5, func(b *benchman) { b.putAway() }},
	{"put one hide away", 2, (*benchman).putOneAway},
	{"undo", 3, (*benchman).undo},
	{"change a file by hand", 1, (*benchman).changeFile},
	{"lose a file", 1, (*benchman).loseFile},
}

// benchman does things in a workshop at random.
type benchman struct {
	maker
	t      *testing.T
	dir    string
	hides  int
	before []map[string]string // the rack before each entry that counts; nil where a hand has been at it since
	did    map[string]int
}

func newBenchman(t *testing.T, seed uint64) *benchman {
	b := &benchman{maker: maker{Rand: rand.New(rand.NewPCG(seed, 77))}, t: t, dir: t.TempDir(), did: map[string]int{}}
	writeFile(t, filepath.Join(b.dir, "workshop.toml"), "[leathers.russet]\nsubstance = \"3.8mm\"\n[leathers.calf]\nsubstance = \"0.9mm\"\n[tools]\nmarks = \"1mm\"\n"+b.one("", "[rack]\nleast = \"400cm2\"\n")+
		"[patterns.flat.pieces.keeper]\ntemplate = \"keeper.svg\"\ncut = \"knife\"\n")
	writeFile(t, filepath.Join(b.dir, "keeper.svg"), randomTemplate(seed))
	writeFile(t, filepath.Join(b.dir, "orders.csv"), "order,qty,pattern,width,size,leather,lining,price\n"+
		fmt.Sprintf("A1,%d,flat,1in,12in,russet,,%d\nA2,%d,strap,38mm,500mm,russet,,24.5\nA3,%d,lined,3/4in,10in,russet,calf,31\n", 1+b.IntN(3), 10+b.IntN(20), 1+b.IntN(3), b.IntN(2)+1))
	for range 1 + b.IntN(2) {
		b.takeIn()
	}
	return b
}

func (b *benchman) step() {
	all := 0
	for _, s := range steps {
		all += s.weight
	}
	n := b.IntN(all)
	for _, s := range steps {
		if n -= s.weight; n < 0 {
			b.did[s.name]++
			s.do(b)
			return
		}
	}
}

// run runs a command of the workshop, which must end with one of the exit codes.
func (b *benchman) run(codes []int, args ...string) (out string, code int) {
	b.t.Helper()
	out, errs, code := strapwise(append(args, "--workshop", b.dir)...)
	if !slices.Contains(codes, code) {
		b.t.Fatalf("%v: exit %d\n%s%s", args, code, out, errs)
	}
	return out, code
}

var (
	done    = []int{0}
	mayFail = []int{0, 1}
)

// audit holds the record against the rack after a step.
func (b *benchman) audit() {
	b.t.Helper()
	out, errs, code := strapwise("rack", "audit", "--workshop", b.dir)
	if code != 0 {
		b.t.Fatalf("the audit fails: %s%s", out, errs)
	}
}

// rack is what lies in the folder of hides.
func (b *benchman) rack() map[string]string {
	out := map[string]string{}
	entries, err := os.ReadDir(filepath.Join(b.dir, "hides"))
	if err != nil && !os.IsNotExist(err) {
		b.t.Fatal(err)
	}
	for _, e := range entries {
		out[e.Name()] = string(readFile(b.t, filepath.Join(b.dir, "hides", e.Name())))
	}
	return out
}

func (b *benchman) name() string {
	b.hides++
	return fmt.Sprintf("h%d", b.hides)
}

func (b *benchman) leather() string { return b.one("russet", "russet", "calf") }

// takeIn takes in a small sheet by its size, or a hide of any shape by its file.
func (b *benchman) takeIn() {
	before, name := b.rack(), b.name()
	if b.maybe(0.5) {
		b.run(done, "rack", "take-in", name, "--leather", b.leather(), "--form", "sheet",
			"--size", fmt.Sprintf("%dmm x %dmm", 500+b.IntN(600), 150+b.IntN(350)), "--cost", fmt.Sprintf("%d.%02d", b.IntN(90), b.IntN(100)))
	} else {
		file := filepath.Join(b.t.TempDir(), "measured.toml")
		writeFile(b.t, file, b.hide(b.leather()))
		b.run(done, "rack", "take-in", name, "--from", file)
	}
	b.before = append(b.before, before)
}

func (b *benchman) putFile() {
	writeFile(b.t, filepath.Join(b.dir, "hides", b.name()+".toml"), b.hide(b.leather()))
	b.byHand()
}

// byHand says that what comes back is no longer what was there.
func (b *benchman) byHand() {
	for i := range b.before {
		b.before[i] = nil
	}
}

func (b *benchman) lay() {
	if _, code := b.run(mayFail, "lay", "--steps", "2", "--time", "1m"); code == 0 {
		b.run(done, "check")
	}
}

// relay cuts some of a hide of the plan, mostly finds a scar, and lays the rest again;
// it is refused if the plan is no longer of the leather on the rack.
func (b *benchman) relay() {
	plan, some := b.plan()
	if !some || len(plan.Hides) == 0 {
		return
	}
	l := plan.Hides[b.IntN(len(plan.Hides))]
	n := 1 + b.IntN(len(l.Bands))
	args := []string{"relay", "--steps", "2", "--time", "1m", []string{"--cut", "--ripped", "--apart"}[b.IntN(3)], fmt.Sprintf("%s: %d", l.Hide, n)}
	if b.maybe(0.7) {
		at := b.IntN(400)
		args = append(args, "--found", fmt.Sprintf("%s: scar on band %d, %d to %d mm", l.Hide, 1+b.IntN(len(l.Bands)), at, at+10+b.IntN(60)))
	}
	before, entries := b.rack(), b.entries()
	if _, code := b.run([]int{0, 1, 2}, args...); code != 0 {
		if !maps.Equal(before, b.rack()) {
			b.t.Fatal("refused, and the rack has changed")
		}
		return
	}
	b.did["relaid"]++
	b.run(done, "check")
	if !maps.Equal(before, b.rack()) { // what was found is known for good
		b.byHand()
	}
	if b.entries() > entries {
		b.before = append(b.before, nil)
	}
}

// entries is how many lines the journal has.
func (b *benchman) entries() int {
	data, err := os.ReadFile(filepath.Join(b.dir, record.File))
	if err != nil && !os.IsNotExist(err) {
		b.t.Fatal(err)
	}
	return strings.Count(string(data), "\n")
}

// plan is the plan that was laid last, if there is one.
func (b *benchman) plan() (nest.Plan, bool) {
	data, err := os.ReadFile(filepath.Join(b.dir, "plans", planFile))
	if err != nil {
		return nest.Plan{}, false
	}
	p, err := nest.DecodePlan(planFile, data)
	if err != nil {
		b.t.Fatal(err)
	}
	return p, true
}

func (b *benchman) putOneAway() {
	if p, some := b.plan(); some && len(p.Hides) > 0 {
		b.putAway("--hide", p.Hides[b.IntN(len(p.Hides))].Hide)
	}
}

// putAway puts away what was laid; it is refused if a hide of the plan is no longer
// there, or not as it was.
func (b *benchman) putAway(only ...string) {
	plan, some := b.plan()
	if !some {
		return
	}
	before := b.rack()
	out, code := b.run(mayFail, append([]string{"rack", "put-away", "--json"}, only...)...)
	if code != 0 {
		if !maps.Equal(before, b.rack()) {
			b.t.Fatal("refused, and the rack has changed")
		}
		return
	}
	b.before = append(b.before, before)
	var away rack.Away
	if err := json.Unmarshal([]byte(out), &away); err != nil {
		b.t.Fatal(err)
	}
	for _, c := range away.Hides {
		if strings.Contains(c.Hide, "-r") {
			b.did["remnants cut again"]++
		}
		if plan.Relaid != nil && len(plan.Lay(c.Hide).Bands) > 0 && plan.Lay(c.Hide).Bands[0].Cut {
			b.did["relaid hides put away"]++
		}
		b.sound(plan, c)
	}
	b.did["sets made"] += len(away.Made)
}

// undo takes the last entry back, and finds the rack as it was before it; that may
// be refused only where a hand has been at the files.
func (b *benchman) undo() {
	n := len(b.before)
	if n == 0 {
		b.run([]int{1}, "rack", "undo")
		return
	}
	was := b.before[n-1]
	if was == nil {
		if _, code := b.run(mayFail, "rack", "undo"); code == 0 {
			b.before = b.before[:n-1]
			b.acceptAll()
		}
		return
	}
	b.run(done, "rack", "undo")
	b.before = b.before[:n-1]
	if now := b.rack(); !maps.Equal(now, was) {
		b.t.Fatalf("undone, the rack has %v, and had %v", slices.Sorted(maps.Keys(now)), slices.Sorted(maps.Keys(was)))
	}
	b.did["undone to the byte"]++
}
