package strip

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"strapwise/hide"
	"strapwise/hide/plane"
	"strapwise/nest"
)

// uses are the built-in ones, by name.
func uses() map[string]hide.Use {
	m := map[string]hide.Use{}
	for _, u := range hide.BuiltInUses() {
		m[u.Name] = u
	}
	return m
}

// sheet is a rectangle of leather without a flaw.
func sheet(t testing.TB, name, leather string, length, depth float64) *hide.Hide {
	t.Helper()
	return newHide(t, hide.Spec{
		Name: name, Leather: leather, Form: "sheet",
		Outline: []orb.Point{{0, 0}, {length, 0}, {length, depth}, {0, depth}},
	})
}

func newHide(t testing.TB, s hide.Spec) *hide.Hide {
	t.Helper()
	h, err := hide.New(s)
	if err != nil {
		t.Fatal(err)
	}
	return h
}

// pieces is an order for single pieces, each a set of its own.
func pieces(id string, qty int, length, width, worth float64) nest.Order {
	return nest.Order{
		ID: id, FirstSet: 1, Qty: qty, Worth: worth,
		Parts: []nest.Part{{Name: "main", Leather: "strap", Use: "load", Length: length, Width: width, Count: 1}},
	}
}

// laid plans a job and checks the plan.
func laid(t testing.TB, job nest.Job, o Options) nest.Plan {
	t.Helper()
	plan, err := Lay(context.Background(), job, o)
	if err != nil {
		t.Fatal(err)
	}
	for _, v := range nest.Check(job, plan) {
		t.Errorf("%+v", v)
	}
	return plan
}

// TestRolls lays published cutting-stock instances as strips of one sheet, as
// many as the instance has rolls: all pieces fit in the optimum number of
// strips, and the bound there is no more than all. The search may need several
// starts to find a lay that wastes four parts in a thousand.
func TestRolls(t *testing.T) {
	tests := []struct {
		source  string
		rolls   int
		length  float64
		demands [][2]int // length, how many
		fewer   int      // strips that the bound shows are too few
	}{
		{
			"Chvátal, Linear Programming, 1983, ch. 13: LP 452.25, optimum 453", 453, 100,
			[][2]int{{45, 97}, {36, 610}, {31, 395}, {14, 211}},
			452,
		},
		{"widely printed example of 13 widths on 5600 mm: LP 72.917, optimum 73 (recomputed)", 73, 5600, [][2]int{
			{1380, 22},
			{1520, 25},
			{1560, 12},
			{1710, 14},
			{1820, 18},
			{1880, 18},
			{1930, 20},
			{2000, 10},
			{2050, 12},
			{2100, 14},
			{2140, 16},
			{2150, 18},
			{2200, 20},
		}, 72},
	}
	for _, tt := range tests {
		t.Run(tt.source, func(t *testing.T) {
			const width = 10
			job := nest.Job{Uses: uses(), Tools: nest.Tools{Mark: 1, CutterMin: 1, CutterMax: 100}}
			all := 0
			for i, d := range tt.demands {
				job.Orders = append(job.Orders, pieces(fmt.Sprintf("P%d", i), d[1], float64(d[0]), width, 1))
				all += d[1]
			}
			strips := func(n int) []*hide.Hide {
				return []*hide.Hide{sheet(t, "roll", "strap", tt.length, float64(width*n))}
			}
			job.Hides = strips(tt.rolls)
			const starts = 8
			best := 0.0
			for seed := uint64(0); seed < starts && best < float64(all); seed++ {
				got := laid(t, job, Options{Steps: 6000, Seed: seed}).Result
				if got.Bound != float64(all) {
					t.Errorf("%d strips: bound %v, want %d", tt.rolls, got.Bound, all)
				}
				best = max(best, got.Value)
			}
			if best != float64(all) {
				t.Errorf("%d strips: laid %v of %d pieces", tt.rolls, best, all)
			}
			job.Hides = strips(tt.fewer)
			if got := laid(t, job, Options{Steps: 30}).Result; got.Bound >= float64(all) {
				t.Errorf("%d strips: bound %v does not show that %d pieces are too many (laid %v)", tt.fewer, got.Bound, all, got.Value)
			}
		})
	}
}

// TestButt: a butt of 55 × 55 in gives 36 belts of 1 1/2 in by geometry; a
// maker counts on 30 (common practice).
func TestButt(t *testing.T) {
	const in = 25.4
	job := nest.Job{
		Orders: []nest.Order{pieces("belts", 60, 55*in, 1.5*in, 1)},
		Hides:  []*hide.Hide{sheet(t, "butt", "strap", 55*in, 55*in)},
		Uses:   uses(),
		Tools:  nest.Tools{Mark: in / 32, CutterMin: in / 4, CutterMax: 4 * in, Grips: in},
	}
	if got := laid(t, job, Options{}).Result; got.Value != 36 || got.Bound != 36 || !got.Proven {
		t.Errorf("%+v, want 36 proven", got)
	}
}

// TestSide: a side 35 in deep, 10 in of it at least 8 ft long and 20 in
// (those included) at least 7 ft, gives 6 and 13 straps of 1 1/2 in of those
// lengths (common practice, arithmetic).
func TestSide(t *testing.T) {
	const in = 25.4
	h := newHide(t, hide.Spec{
		Name: "side", Leather: "strap", Form: "side",
		Outline: []orb.Point{{0, 0}, {96 * in, 0}, {96 * in, 10 * in}, {84 * in, 10 * in}, {84 * in, 20 * in}, {60 * in, 35 * in}, {0, 35 * in}},
	})
	for _, tt := range []struct {
		feet float64
		want float64
	}{{8, 6}, {7, 13}} {
		job := nest.Job{
			Orders: []nest.Order{pieces("straps", 40, tt.feet*12*in, 1.5*in, 1)},
			Hides:  []*hide.Hide{h},
			Uses:   uses(),
			Tools:  nest.Tools{Mark: in / 32, CutterMin: in / 4, CutterMax: 4 * in}, // geometry alone: no grip asked
		}
		if got := laid(t, job, Options{}).Result; got.Value != tt.want || got.Bound != tt.want {
			t.Errorf("%v ft: %+v, want %v proven", tt.feet, got, tt.want)
		}
	}
}

// TestWasteStrip: two strips lie on either side of a brand over the whole length
// if what lies between them can be ripped off, and one otherwise.
func TestWasteStrip(t *testing.T) {
	brand := plane.Box(orb.Point{-1, 45}, orb.Point{501, 55})
	h := newHide(t, hide.Spec{
		Name: "h", Leather: "strap", Form: "sheet", Outline: []orb.Point{{0, 0}, {500, 0}, {500, 100}, {0, 100}},
		Flaws: []hide.Flaw{{Kind: "brand", Patch: &brand}},
	})
	for _, tt := range []struct{ least, want float64 }{{20, 2}, {21, 1}} {
		job := nest.Job{
			Orders: []nest.Order{pieces("A", 3, 400, 40, 1)}, Hides: []*hide.Hide{h}, Uses: uses(),
			Tools: nest.Tools{Mark: 1, CutterMin: tt.least, CutterMax: 100},
		}
		if got := laid(t, job, Options{}).Result; got.Value != tt.want || !got.Proven {
			t.Errorf("waste strips of %v mm or more: %+v, want %v proven", tt.least, got, tt.want)
		}
	}
}

// TestEffort: with a price on each cut the planner's count of cuts is the
// plan's own, and its worth what the plan is worth.
func TestEffort(t *testing.T) {
	for seed := range uint64(4) {
		job := bench(t, seed, 60, 10, 40)
		job.Tools.Effort = 0.4
		p := problemOf(t, job)
		s := newChain(p, newShapes(), seed, 0)
		s.first()
		plan := p.record(s.best, s.made, s.price)
		settled := p.settled(s.best).cuts(p)
		if cuts := s.best.cuts(p); settled > cuts {
			t.Errorf("seed %d: %d cuts, settled %d", seed, cuts, settled)
		}
		want := nest.Value(job, plan) - job.Tools.Effort*float64(s.best.without(p, s.best.over(p, s.made)).cuts(p)-nest.Cuts(plan))
		if math.Abs(s.worth-want) > 1e-6 {
			t.Errorf("seed %d: the search counts on %v, the plan gives %v before it is settled", seed, s.worth, want)
		}
		laid(t, job, Options{Steps: 60, Seed: seed})
	}
}

// TestInterrupted: a lay that is stopped, at once or on its way, is still a plan
// that holds, and says that it was stopped.
func TestInterrupted(t *testing.T) {
	job := bench(t, 1, 60, 10, 60)
	ctx, cancel := context.WithCancel(context.Background())
	for _, after := range []int{0, 4} {
		seen := 0
		plan, err := Lay(ctx, job, Options{Steps: 1_000_000, Progress: func(float64, float64) {
			if seen++; seen > after {
				cancel()
			}
		}})
		if err != nil {
			t.Fatal(err)
		}
		if r := plan.Result; r.Stop != nest.StopInterrupted || r.Proven || r.Value <= 0 || r.Value > r.Bound {
			t.Errorf("%+v", r)
		}
		for _, v := range nest.Check(job, plan) {
			t.Errorf("%+v", v)
		}
		ctx, cancel = context.WithCancel(context.Background())
	}
	cancel()
}

// TestWhy: what keeps sets out is said of the part that is in the way.
func TestWhy(t *testing.T) {
	const in = 25.4
	job := nest.Job{
		Hides: []*hide.Hide{sheet(t, "bend", "strap", 50*in, 10*in), sheet(t, "calf", "calf", 12*in, 1*in), newHide(t, hide.Spec{
			Name: "veal", Leather: "veal", Form: "sheet", Outline: []orb.Point{{0, 0}, {50 * in, 0}, {50 * in, in}, {0, in}},
			Flaws: []hide.Flaw{{Kind: "scar", Stroke: &hide.Stroke{Line: []orb.Point{{30 * in, -1}, {30 * in, 30}}, Width: 10}}},
		})},
		Uses:  uses(),
		Tools: nest.Tools{Mark: in / 32, CutterMin: in / 4, CutterMax: 4 * in},
	}
	set := func(id string, parts ...nest.Part) {
		job.Orders = append(job.Orders, nest.Order{ID: id, FirstSet: 1, Qty: 1, Worth: 10, Parts: parts})
	}
	part := func(name, leather string, length, width float64) nest.Part {
		return nest.Part{Name: name, Leather: leather, Use: "load", Length: length * in, Width: width * in, Count: 1}
	}
	set("long", part("main", "strap", 60, 1))
	set("broad", part("main", "strap", 20, 5))
	set("deep", part("keeper", "calf", 4, 0.5), part("main", "calf", 10, 3))
	set("scarred", part("main", "veal", 40, 1))
	set("absent", part("main", "strap", 20, 1), part("foam", "foam", 20, 1))
	set("first", part("main", "strap", 20, 1), part("lining", "calf", 10, 1))
	set("second", part("main", "strap", 20, 1), part("lining", "calf", 10, 1))
	want := map[string][2]string{
		"long":    {"main", "longer than any run of strap fit for load: 1524 mm (60 in) asked, 1270 mm (50 in) is the longest"},
		"broad":   {"main", "the strap cutter does not take that width"},
		"deep":    {"main", "no stretch of calf anywhere is 76.2 mm (3 in) wide and fit for load"},
		"scarred": {"main", "longer than any run of veal fit for load: 1016 mm (40 in) asked, 756.444 mm (29 25/32 in) is the longest; veal has room for it, if load may contain a scar"},
		"absent":  {"foam", "no foam on the rack"},
		"second":  {"lining", "its leather went to sets worth more or due earlier; one more set takes 1.3 dm² (0.14 sq ft) of strap, 64.5 cm² (10.0 sq in) of calf"},
	}
	plan := laid(t, job, Options{})
	for _, u := range plan.Unplaced {
		if got := [2]string{u.Part, u.Why}; got != want[u.Order] {
			t.Errorf("%s: %q, want %q", u.Order, got, want[u.Order])
		}
		delete(want, u.Order)
	}
	for order := range want {
		t.Errorf("%s is not said to be missing", order)
	}

	job.Tools.Effort = 20
	job.Orders = job.Orders[5:6]
	plan = laid(t, job, Options{})
	if u := plan.Unplaced; len(u) != 1 || u[0].Why != "not worth its cuts: they cost at least 40.00, a set brings 10.00" {
		t.Errorf("%+v", u)
	}

	job.Hides, job.Orders = []*hide.Hide{sheet(t, "rest", "strap", 600, 50)}, []nest.Order{pieces("gripped", 1, 500, 40, 10)}
	job.Tools.Effort, job.Tools.Grips = 0, in
	plan = laid(t, job, Options{})
	if u := plan.Unplaced; len(u) != 1 || !strings.HasSuffix(u[0].Why, "; rest has room for it, but not for the 25.4 mm (1 in) that the strap cutter grips beside it") {
		t.Errorf("%+v", u)
	}
}

// TestEdgesOfFiles: a remnant that is as wide as a strip serves it, though a file has rounded
// its edges off the marks of a rule in inches.
func TestEdgesOfFiles(t *testing.T) {
	const in, lower, upper = 25.4, 165.8938, 191.2938 // 209/32 in is 165.89375 mm
	for _, tilt := range []orb.Point{{1000, 0}, {999.9962, 2.7684}} {
		f := plane.NewFrame(orb.Point{}, tilt)
		outline := f.Rect(plane.Span{Lo: 100, Hi: 700}, plane.Span{Lo: 209 * in / 32, Hi: 241 * in / 32})
		if tilt[1] == 0 {
			outline = []orb.Point{{100, lower}, {700, lower}, {700, upper}, {100, upper}}
		}
		for i, p := range outline {
			outline[i] = orb.Point{math.Round(p[0]*1e4) / 1e4, math.Round(p[1]*1e4) / 1e4}
		}
		job := nest.Job{
			Hides: []*hide.Hide{newHide(t, hide.Spec{Name: "rest", Leather: "strap", Form: hide.Remnant, Outline: outline, Backbone: []orb.Point{{}, tilt}})},
			Uses:  uses(), Tools: nest.Tools{Mark: in / 32, CutterMin: in / 4, CutterMax: 4 * in, Grips: in},
			Orders: []nest.Order{pieces("A", 1, 500, in, 1)},
		}
		if plan := laid(t, job, Options{}); len(plan.Pieces) != 1 {
			t.Errorf("grain along %v: %+v", tilt, plan.Unplaced)
		}
	}
}
