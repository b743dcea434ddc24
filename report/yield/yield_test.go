package yield

import (
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"

	"strapwise/hide"
	"strapwise/hide/measure"
	"strapwise/hide/plane"
	"strapwise/nest"
	"strapwise/report"
	"strapwise/report/internal/made"
)

func (h Hide) sum() float64 {
	sum := h.Remnant + h.Waste.Sum()
	for _, u := range h.Used {
		sum += u.AreaMM2
	}
	return sum
}

func (h Hide) parts() map[string]float64 {
	m := map[string]float64{
		"flaws": h.Waste.FlawsMM2, "soft": h.Waste.SoftMM2, "edge": h.Waste.EdgeMM2,
		"ends": h.Waste.EndsMM2, "width": h.Waste.WidthMM2, "remnant": h.Remnant,
	}
	for _, u := range h.Used {
		m[u.Use] = u.AreaMM2
	}
	return m
}

// Every square millimetre is counted once, whatever overlaps whatever.
func TestPartsAddUpToTheHide(t *testing.T) {
	check := func(t *testing.T, j nest.Job, p nest.Plan, err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		for _, h := range Of(j, p).Hides {
			if h.Unknown != "" {
				t.Fatal(h.Unknown)
			}
			if d := math.Abs(h.sum() - h.AreaMM2); d > 1 {
				t.Errorf("%s: parts add up to %.2f mm², the hide has %.2f", h.Hide, h.sum(), h.AreaMM2)
			}
			for what, mm2 := range h.parts() {
				if mm2 < 0 || math.IsNaN(mm2) {
					t.Errorf("%s: %s is %g mm²", h.Hide, what, mm2)
				}
			}
		}
	}
	for name, f := range map[string]func() (nest.Job, nest.Plan, error){"side": made.Side, "whole": made.Whole, "sheet": made.Sheet} {
		t.Run(name, func(t *testing.T) { j, p, err := f(); check(t, j, p, err) })
	}
	for seed := range uint64(40) {
		j, p, err := made.Random(seed)
		check(t, j, p, err)
	}
}

// A sheet on which every figure can be worked out by hand:
//
//	100 ┌──────────────────────────────┐
//	    │ remnant            300 × 40  │
//	 60 ├────────────────┬─────────────┤
//	    │ piece 200 × 20 │ end 100 × 20│   strip 2, from 40
//	 40 ├────────────────┴─────────────┤
//	    │ waste 300 × 10               │
//	 30 ├───────────┬──────────────────┤
//	    │ 150 × 20  │ beside 150 × 10  │   strip 1 is 30 wide, its piece 20
//	  0 └───────────┴──────────────────┘
func TestOfByHand(t *testing.T) {
	h, err := hide.New(hide.Spec{
		Name: "s", Leather: "l", Form: "sheet", Outline: []orb.Point{{0, 0}, {300, 0}, {300, 100}, {0, 100}},
		Flaws: []hide.Flaw{{Kind: "cut", Patch: patch(280, 45, 290, 55)}, {Kind: "cut", Patch: patch(280, 50, 295, 55)}},
		Zones: []hide.Zone{{Quality: hide.Soft, Area: *patch(5, 30, 20, 40)}, {Quality: hide.Waste, Area: *patch(0, 30, 10, 40)}},
	})
	if err != nil {
		t.Fatal(err)
	}
	box := func(x0, y0, x1, y1 float64) []orb.Point { return []orb.Point{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}} }
	p := nest.Plan{
		Hides: []nest.HideLay{{
			Hide: "s", Strike: nest.Strike{To: orb.Point{300, 0}},
			Bands: []nest.Band{
				{FromMM: 0, DepthMM: 30, Blocks: []nest.Block{{FromMM: 0, ToMM: 150, Strips: []int{1}}}},
				{FromMM: 40, DepthMM: 20, Blocks: []nest.Block{{FromMM: 0, ToMM: 200, Strips: []int{2}}}},
			},
			Strips:   []nest.Strip{{N: 1, WidthMM: 30, Outline: box(0, 0, 150, 30)}, {N: 2, WidthMM: 20, FromMM: 40, Outline: box(0, 40, 200, 60)}},
			Remnants: [][]orb.Point{box(0, 60, 300, 100)},
		}},
		Pieces: []nest.Piece{
			{Hide: "s", Order: "A", Set: 1, Part: "main", Use: "load", Strip: 1, ToMM: 150, Outline: box(0, 0, 150, 20)},
			{Hide: "s", Order: "A", Set: 1, Part: "filler", Use: "hidden", Strip: 2, ToMM: 200, Outline: box(0, 40, 200, 60)},
		},
		Sets: []nest.SetCount{{Order: "A", Asked: 4, Complete: 1}},
		Unplaced: []nest.Unplaced{
			{Order: "A", Set: 2, Part: "main", Why: "no width left"},
			{Order: "A", Set: 3, Part: "filler", Why: "no run left"},
			{Order: "A", Set: 4, Part: "filler", Why: "no run left"},
		},
		Result: nest.Result{Value: 412, Bound: 413.1},
	}
	got := Of(nest.Job{Hides: []*hide.Hide{h}}, p)
	want := Report{
		Plan: report.Mark(p), Worth: 412, Bound: 413.1,
		Orders: []Order{{Order: "A", Asked: 4, Complete: 1, Short: []Lack{{2, "filler", "no run left"}, {1, "main", "no width left"}}}},
		Hides: []Hide{{
			Hide: "s", AreaMM2: 30000, Pieces: 2, Used: []Use{{"hidden", 4000}, {"load", 3000}}, Remnant: 12000,
			Waste: Waste{FlawsMM2: 125, SoftMM2: 100, EdgeMM2: 100, EndsMM2: 4500 + 2000 - 125, WidthMM2: 1500 + 3000 - 200},
		}},
	}
	near := cmp.Comparer(func(a, b float64) bool { return math.Abs(a-b) < 1e-6 })
	if d := cmp.Diff(want, got, near); d != "" {
		t.Error(d)
	}

	text := got.Text(measure.RuleOf(measure.Metric), 60)
	wantText := strings.TrimPrefix(`
no lay of straight strips on these hides is worth more than
413.10; this one is worth 412.00

order  asked  complete
A          4         1  2 sets short: filler, no run left
                        1 set short: main, no width left

s: 3.0 dm² (0.32 sq ft), 2 pieces
  hidden             0.4 dm²   13.3 %
  load               0.3 dm²   10.0 %
  flaws              0.0 dm²    0.4 %
  soft leather left  0.0 dm²    0.3 %
  edge, trim, waste  0.0 dm²    0.3 %
  ends of strips     0.6 dm²   21.2 %
  width left over    0.4 dm²   14.3 %
  remnants           1.2 dm²   40.0 %

plan `, "\n") + report.Mark(p) + "\n"
	if d := cmp.Diff(wantText, text); d != "" {
		t.Error(d)
	}
}

// In a band of blocks, too, every figure can be worked out by hand:
//
//	60 ┌──────────────┬────────────────────┐
//	   │ left 120×10  │                    │  block a: a strip of scrap,
//	50 ├────────┬─────┤                    │  one with a piece, and what
//	   │ 90 ×30 │ end │  piece 150 × 60    │  is left beyond; block b:
//	20 ├────────┴─────┤            ┌───────┤  one strip, ripped to the
//	   │ scrap 120×20 │            │ end   │  end of the hide
//	 0 └──────────────┴────────────┴───────┘
//	   0             120          270     300
func TestBlocksByHand(t *testing.T) {
	box := func(x0, y0, x1, y1 float64) []orb.Point { return []orb.Point{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}} }
	h, err := hide.New(hide.Spec{Name: "s", Leather: "l", Form: "sheet", Outline: box(0, 0, 300, 60)})
	if err != nil {
		t.Fatal(err)
	}
	p := nest.Plan{
		Hides: []nest.HideLay{{
			Hide: "s", Strike: nest.Strike{To: orb.Point{300, 0}},
			Bands: []nest.Band{{FromMM: 0, DepthMM: 60, Blocks: []nest.Block{
				{FromMM: 0, ToMM: 120, Strips: []int{1, 2}}, {FromMM: 120, ToMM: 280, Strips: []int{3}},
			}}},
			Strips: []nest.Strip{
				{N: 1, WidthMM: 20, Outline: box(0, 0, 120, 20)},
				{N: 2, WidthMM: 30, FromMM: 20, Outline: box(0, 20, 120, 50)},
				{N: 3, WidthMM: 60, Outline: box(120, 0, 280, 60)},
			},
		}},
		Pieces: []nest.Piece{
			{Hide: "s", Order: "A", Set: 1, Part: "main", Use: "load", Strip: 2, ToMM: 90, Outline: box(0, 20, 90, 50)},
			{Hide: "s", Order: "A", Set: 2, Part: "main", Use: "load", Strip: 3, FromMM: 120, ToMM: 270, Outline: box(120, 0, 270, 60)},
		},
	}
	got := Of(nest.Job{Hides: []*hide.Hide{h}}, p).Hides
	want := []Hide{{
		Hide: "s", AreaMM2: 18000, Pieces: 2, Used: []Use{{"load", 90*30 + 150*60}},
		Waste: Waste{EndsMM2: 30*30 + 30*60, WidthMM2: 120*20 + 120*10},
	}}
	near := cmp.Comparer(func(a, b float64) bool { return math.Abs(a-b) < 1e-6 })
	if d := cmp.Diff(want, got, near); d != "" {
		t.Error(d)
	}
}

func patch(x0, y0, x1, y1 float64) *plane.Ring {
	r := plane.Box(orb.Point{x0, y0}, orb.Point{x1, y1})
	return &r
}

// Leather between the outline and its trim is edge, not end of a strip.
func TestTrimIsEdge(t *testing.T) {
	j, p, err := made.Side()
	if err != nil {
		t.Fatal(err)
	}
	r := Of(j, p)
	w := r.Hides[0].Waste
	if w.EdgeMM2 < 5*2*(2400+900) {
		t.Errorf("edge is %.0f mm², expected at least a trim of 5 mm round a side", w.EdgeMM2)
	}
	for what, mm2 := range r.Hides[0].parts() {
		if mm2 == 0 {
			t.Errorf("%s is 0 on a side that has some of everything", what)
		}
	}
}

// Figures that cannot be had are told as such, and leave the rest of the report.
func TestOfSaysWhatItCannotTell(t *testing.T) {
	for rule, spoil := range map[string]func(*nest.Plan){
		"the job does not have this hide":        func(p *nest.Plan) { p.Hides[0].Hide = "none" },
		"piece main of set 1 of order C1":        func(p *nest.Plan) { p.Pieces[0].Outline = nil },
		"remnant 1":                              func(p *nest.Plan) { p.Hides[0].Remnants[0] = nil },
		"a struck edge of no length":             func(p *nest.Plan) { p.Hides[0].Strike.To = p.Hides[0].Strike.From },
		"found strip 9 in a band, which the pla": func(p *nest.Plan) { p.Hides[0].Bands[0].Blocks[0].Strips = []int{9, 1} },
	} {
		j, p, err := made.Sheet()
		if err != nil {
			t.Fatal(err)
		}
		spoil(&p)
		r := Of(j, p)
		if got := r.Hides[0].Unknown; !strings.Contains(got, rule) {
			t.Errorf("got %q, expected %q", got, rule)
		}
		text := r.Text(measure.Rule{}, 200)
		for _, want := range []string{"C1 ", "where the leather went cannot be told: " + r.Hides[0].Unknown} {
			if !strings.Contains(text, want) {
				t.Errorf("the report does not say %q:\n%s", want, text)
			}
		}
	}
}

func TestTextSaysWhatIsProven(t *testing.T) {
	for want, r := range map[string]Report{
		"proven: no lay of straight strips on these hides is worth more than this one, 3.00\n": {Worth: 3, Bound: 3, Proven: true},
		"proven: no lay of straight strips on these hides, level or tilted by 1, 2 or 3° on ash-3 and elm-2, is worth more than this one, 3.00\n": {
			Worth: 3, Bound: 3, Proven: true, Tilts: []nest.Tilts{{Hide: "ash-3", Deg: []float64{1, 2, 3}}, {Hide: "elm-2", Deg: []float64{1, 2, 3}}},
		},
		"no lay of straight strips on these hides is worth more than 413.10; this one is worth 412.00\n": {Worth: 412, Bound: 413.1},
		"proven: no lay of straight strips on these hides is worth more than this one, 3.00\n\nthe hides cost 40.00; proven: no choice of hides that gives all sets costs less\n": {
			Worth: 3, Bound: 3, Proven: true, Cost: 40, CostBound: 40,
		},
		"proven: no lay of straight strips on these hides is worth more than this one, 3.00\n\nthe hides cost 40.00; no choice of hides that gives all sets costs less than 35.00\n": {
			Worth: 3, Bound: 3, Proven: true, Cost: 40, CostBound: 35,
		},
		"this lay is worth 3.00; nothing is proven of better ones\n": {Worth: 3},
	} {
		if got := r.Text(measure.Rule{}, 200); got != want {
			t.Errorf("got %q, expected %q", got, want)
		}
	}
}
