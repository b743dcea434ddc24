package main

import (
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/peterstace/simplefeatures/geom"

	"strapwise/hide"
	"strapwise/hide/intake"
	"strapwise/hide/plane"
	"strapwise/nest"
	"strapwise/nest/rack"
	"strapwise/nest/record"
)

// sequencesEnv is how many random sequences TestRecord runs; a few seconds' worth
// if it is not set.
const sequencesEnv = "STRAPWISE_SEQUENCES"

// TestRecord: whatever is taken in, laid, put away, changed by hand and undone, in
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
	for _, what := range []string{"remnants put back", "remnants cut again", "undone to the byte", "sets made"} {
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
	b := &benchman{maker: maker{rand.New(rand.NewPCG(seed, 77))}, t: t, dir: t.TempDir(), did: map[string]int{}}
	writeFile(t, filepath.Join(b.dir, "workshop.toml"), "[leathers.russet]\nsubstance = \"3.8mm\"\n[leathers.calf]\nsubstance = \"0.9mm\"\n[tools]\nmarks = \"1mm\"\n"+b.one("", "[rack]\nleast = \"400cm2\"\n"))
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
		b.sound(plan, c)
	}
	b.did["sets made"] += len(away.Made)
}

// sound looks at a hide that was cut with other eyes: those of the overlay library,
// on the outline of the file that is kept, and of plain sums.
func (b *benchman) sound(plan nest.Plan, c rack.CutHide) {
	whole := b.outline("cut", c.Hide)
	lay := plan.Hides[slices.IndexFunc(plan.Hides, func(l nest.HideLay) bool { return l.Hide == c.Hide })]
	used := 0.0
	for _, p := range plan.Pieces {
		if p.Hide == c.Hide {
			ring, err := plane.NewRing(p.Outline)
			if err != nil {
				b.t.Fatal(err)
			}
			used += ring.Polygon().Area()
		}
	}
	near := func(what string, got int64, want float64, within float64) {
		if math.Abs(float64(got)-want) > within {
			b.t.Errorf("%s: %s: %d mm², expected %.1f", c.Hide, what, got, want)
		}
	}
	near("whole", c.Whole.AreaMM2, whole.Area(), record.AreaTol)
	near("pieces", c.Used.AreaMM2, used, 1+float64(c.Pieces)/2+used/whole.Area()*record.AreaTol)
	// Outline less bands is remnants, of which those that are small are scrap.
	rest, err := geom.Difference(whole.AsGeometry(), bandsOf(lay, whole).AsGeometry())
	if err != nil {
		b.t.Fatal(err)
	}
	left := rest.Area()
	back, scrap := 0.0, c.Scrap.AreaMM2
	for _, r := range c.Remnants {
		b.did["remnants put back"]++
		outline := b.outline("hides", r.Hide)
		b.remnant(r.Hide, outline, whole, plan)
		near(r.Hide, r.AreaMM2, outline.Area(), 2+r2(outline, whole)*record.AreaTol)
		back += outline.Area()
	}
	if back > left+1 || float64(scrap)+1+record.AreaTol < left-back {
		b.t.Errorf("%s: %.0f mm² lie beyond the bands, %.0f go back and %d are scrap", c.Hide, left, back, scrap)
	}
	if sum := c.Used.AreaMM2 + scrap; sum+restOf(c) != c.Whole.AreaMM2 {
		b.t.Errorf("%s: the parts have %d mm², the whole %d", c.Hide, sum+restOf(c), c.Whole.AreaMM2)
	}
}

func r2(part, whole geom.Polygon) float64 { return part.Area() / whole.Area() }

func restOf(c rack.CutHide) int64 {
	sum := int64(0)
	for _, r := range c.Remnants {
		sum += r.AreaMM2
	}
	return sum
}

// bandsOf is all from the struck edge to the last band, from one end of the hide
// to the other, by the figures of the plan.
func bandsOf(l nest.HideLay, whole geom.Polygon) geom.Polygon {
	far := 0.0
	for _, band := range l.Bands {
		far = max(far, band.FromMM+band.DepthMM)
	}
	f := plane.NewFrame(l.Strike.From, [2]float64{l.Strike.To[0] - l.Strike.From[0], l.Strike.To[1] - l.Strike.From[1]})
	const beyond = 1e5
	ring, err := plane.NewRing(f.Rect(plane.Span{Lo: -beyond, Hi: beyond}, plane.Span{Lo: 0, Hi: far}))
	if err != nil {
		panic(err)
	}
	return ring.Polygon()
}

// remnant looks at what has come back on the rack: no crossed edges, no sliver, all
// within the hide that it was cut from and clear of what was cut from that.
func (b *benchman) remnant(name string, outline, whole geom.Polygon, plan nest.Plan) {
	if err := outline.Validate(); err != nil {
		b.t.Errorf("%s: %v", name, err)
	}
	smooth, err := outline.AsGeometry().Simplify(1)
	if err != nil {
		b.t.Errorf("%s: %v", name, err)
		return
	}
	if core, err := geom.Buffer(smooth, -12); err != nil || core.IsEmpty() {
		b.t.Errorf("%s: a sliver: nowhere 24 mm deep", name)
	}
	if out, err := geom.Difference(outline.AsGeometry(), whole.AsGeometry()); err != nil || out.Area() > 2 {
		b.t.Errorf("%s: %.1f mm² lie beyond the hide", name, out.Area())
	}
	from := b.spec("hides", name).From()
	for _, p := range plan.Pieces {
		if ring, err := plane.NewRing(p.Outline); p.Hide == from && err == nil {
			if both, err := geom.Intersection(outline.AsGeometry(), ring.Polygon().AsGeometry()); err != nil || both.Area() > 0.5 {
				b.t.Errorf("%s: shares %.2f mm² with a piece", name, both.Area())
			}
		}
	}
}

func (b *benchman) spec(folder, name string) *hide.Hide {
	b.t.Helper()
	file := filepath.Join(b.dir, folder, name+".toml")
	h, err := intake.Read(file, readFile(b.t, file), name, nil)
	if err != nil {
		b.t.Fatal(err)
	}
	return h
}

func (b *benchman) outline(folder, name string) geom.Polygon {
	return b.spec(folder, name).Outline().Polygon()
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

// acceptAll takes what a hand has changed for what it is: an accept that was undone
// leaves the files as they are, and the audit says so.
func (b *benchman) acceptAll() {
	out, _ := b.run(mayFail, "rack", "audit", "--json")
	var a rack.Audited
	if err := json.Unmarshal([]byte(out), &a); err != nil {
		b.t.Fatal(err)
	}
	for _, f := range a.Findings {
		if name, ok := strings.CutPrefix(f.Where, "hides/"); ok && !f.Note {
			b.run(done, "rack", "accept", strings.TrimSuffix(name, ".toml"))
			b.before = append(b.before, nil)
		}
	}
}

// known is a hide on the rack that the record has.
func (b *benchman) known() (name, file string, ok bool) {
	rack := b.rack()
	for _, f := range slices.Sorted(maps.Keys(rack)) {
		name = strings.TrimSuffix(f, ".toml")
		data, err := os.ReadFile(filepath.Join(b.dir, record.File))
		if err != nil {
			return "", "", false
		}
		j, err := record.Decode(record.File, data)
		if err != nil {
			b.t.Fatal(err)
		}
		l, err := j.Ledger()
		if err != nil {
			b.t.Fatal(err)
		}
		if h := l.Hide(name); h != nil && h.OnRack() && b.maybe(0.5) {
			return name, filepath.Join(b.dir, "hides", f), true
		}
	}
	return "", "", false
}

// changeFile writes a flaw into a hide's file, which the audit takes note of, or
// another cost, which it does not pass; accepted, it holds again.
func (b *benchman) changeFile() {
	name, file, ok := b.known()
	if !ok {
		return
	}
	data := string(readFile(b.t, file))
	if line := costLine(data); line != "" && b.maybe(0.5) {
		writeFile(b.t, file, strings.Replace(data, line, "cost = 7.77", 1))
		if out, code := b.run([]int{1}, "rack", "audit"); code != 1 || !strings.Contains(out, "its cost is 7.77") {
			b.t.Errorf("the audit says of another cost: %s", out)
		}
	} else {
		writeFile(b.t, file, data+"\n# seen again\n")
		b.run(done, "rack", "audit")
	}
	b.byHand()
	b.run(done, "rack", "accept", name)
	b.before = append(b.before, nil)
}

func costLine(data string) string {
	for _, line := range strings.Split(data, "\n") {
		if strings.HasPrefix(line, "cost = ") && line != "cost = 7.77" {
			return line
		}
	}
	return ""
}

// loseFile takes a file away, which the audit does not pass; accepted as gone, it
// holds again.
func (b *benchman) loseFile() {
	name, file, ok := b.known()
	if !ok {
		return
	}
	data := readFile(b.t, file)
	if err := os.Remove(file); err != nil {
		b.t.Fatal(err)
	}
	if out, code := b.run([]int{1}, "rack", "audit"); code != 1 || !strings.Contains(out, "its file is not there") {
		b.t.Errorf("the audit says of a lost file: %s", out)
	}
	if b.maybe(0.5) { // found again
		writeFile(b.t, file, string(data))
		return
	}
	b.byHand()
	b.run(done, "rack", "accept", name)
	b.before = append(b.before, nil)
}
