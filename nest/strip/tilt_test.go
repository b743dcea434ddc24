package strip

import (
	"context"
	"math"
	"slices"
	"testing"
	"time"

	"github.com/paulmach/orb"

	"strapwise/hide"
	"strapwise/hide/measure"
	"strapwise/hide/plane"
	"strapwise/nest"
	"strapwise/nest/trial"
)

const degree = measure.Angle(math.Pi / 180)

// slanting is a sheet of which only a channel is good that rises 35 mm over 1000 mm,
// 2.005 degrees, and is 30 mm deep: pieces 20 mm wide and 900 mm long would have to rise
// 31 mm on their way through it, and lie level there is room for 10.
func slanting(t *testing.T, pieces int) nest.Job {
	t.Helper()
	ring := func(pts ...orb.Point) plane.Ring {
		r, err := plane.NewRing(pts)
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	h, err := hide.New(hide.Spec{
		Name: "s", Leather: "strap", Form: "sheet",
		Outline: []orb.Point{{0, 0}, {1000, 0}, {1000, 300}, {0, 300}},
		Zones: []hide.Zone{
			{Quality: hide.Waste, Area: ring(orb.Point{-10, -10}, orb.Point{1010, -10}, orb.Point{1010, 95.35}, orb.Point{-10, 59.65})},
			{Quality: hide.Waste, Area: ring(orb.Point{-10, 89.65}, orb.Point{1010, 125.35}, orb.Point{1010, 310}, orb.Point{-10, 310})},
		},
	})
	if err != nil {
		t.Fatal(err)
	}
	return nest.Job{
		Hides: []*hide.Hide{h},
		Uses:  map[string]hide.Use{"load": {Name: "load", Quality: hide.Firm, Angle: 3 * degree}},
		Tools: nest.Tools{Mark: 1, CutterMin: 5, CutterMax: 100, Deepest: 100, Part: 25},
		Orders: []nest.Order{{ID: "A", FirstSet: 1, Qty: pieces, Worth: 10, Parts: []nest.Part{
			{Name: "main", Leather: "strap", Use: "load", Length: 900 / float64(pieces), Width: 20, Count: 1},
		}}},
	}
}

// Where good leather lies aslant, a tilted edge gives what a level one cannot.
func TestTilt(t *testing.T) {
	for _, c := range []struct {
		rule  string
		tilt  measure.Angle
		use   measure.Angle
		worth float64
	}{
		{"level", 0, 3 * degree, 0},
		{"tilted", 2 * degree, 3 * degree, 10},
		{"a third of what is allowed", 6 * degree, 6 * degree, 10},
		{"no more than the use allows", 2 * degree, degree, 0},
	} {
		j := slanting(t, 1)
		j.Tools.Tilt = c.tilt
		j.Uses["load"] = hide.Use{Name: "load", Quality: hide.Firm, Angle: c.use}
		plan, err := Lay(context.Background(), j, Options{Seed: 1, Steps: 20})
		if err != nil {
			t.Fatal(err)
		}
		if r := plan.Result; r.Value != c.worth || !r.Proven {
			t.Errorf("%s: worth %v of at most %v, expected %v proven", c.rule, r.Value, r.Bound, c.worth)
		}
		for _, v := range nest.Check(j, plan) {
			t.Errorf("%s: %v", c.rule, v)
		}
		if c.worth > 0 {
			s := plan.Hides[0].Strike
			if want := math.Atan(35.0/1000) / float64(degree); math.Abs(s.AngleDeg-want) > 0.1 {
				t.Errorf("%s: struck at %v degrees, expected about %v", c.rule, s.AngleDeg, want)
			}
		}
	}
}

// Tilted lays hold on any hide, and so does what is laid again when some of one is cut:
// it stays tilted. No bound, which holds for all tilts, is below any of their lays.
func TestTiltedLaysHold(t *testing.T) {
	for seed := range uint64(2) {
		j := trial.Worth(trial.Bend(seed, 60), seed)
		j.Tools.Tilt = 3 * degree
		name := j.Hides[0].Name()
		all, err := newProblem(j)
		if err != nil {
			t.Fatal(err)
		}
		if err := all.look(); err != nil {
			t.Fatal(err)
		}
		if n := len(all.ways[0]); n != 7 {
			t.Fatalf("found %d ways to lie, expected seven", n)
		}
		best := 0.0
		for _, way := range []int{1 + int(seed), 6 - int(seed)} {
			p := all.under([]int{way})
			p.ways = nil // this tilt and no other
			turn := p.grounds[0].tilt
			plan, err := p.plan(context.Background(), Options{Seed: seed, Steps: 12})
			if err != nil {
				t.Fatal(err)
			}
			best = max(best, plan.Result.Value)
			written, err := nest.DecodePlan("plan.json", plan.Encode())
			if err != nil {
				t.Fatal(err)
			}
			for _, v := range nest.Check(j, written) {
				t.Errorf("bend %d at %v: %v", seed, turn, v)
			}
			b := written.Begin()
			b.Cut(name, len(written.Hides[0].Bands)/2)
			again, err := Relay(context.Background(), j, b.Plan, Options{Seed: seed, Steps: 4})
			if err != nil {
				t.Fatal(err)
			}
			for _, v := range nest.CheckRelaid(j, b.Plan, again) {
				t.Errorf("bend %d at %v, laid again: %v", seed, turn, v)
			}
			fresh, err := Relay(context.Background(), j, written.Begin().Plan, Options{Seed: seed, Stay: true})
			if err != nil {
				t.Fatal(err)
			}
			stays, err := Relay(context.Background(), j, b.Plan, Options{Seed: seed, Stay: true})
			if err != nil {
				t.Fatal(err)
			}
			if c := nest.Compare(j, written, b.Plan, stays); c.Kept < c.Marks*4/5 || len(c.Moved) > 0 || c.Marks == 0 {
				t.Errorf("bend %d at %v: of %d marks that may all stay %d do, %d pieces are moved", seed, turn, c.Marks, c.Kept, len(c.Moved))
			}
			if was, now := written.Hides[0].Strike.AngleDeg, fresh.Hides[0].Strike.AngleDeg; math.Abs(was-now) > 1e-6 {
				t.Errorf("bend %d: was struck at %v degrees, and laid again at %v", seed, was, now)
			}
		}
		plan, err := all.plan(context.Background(), Options{Seed: seed, Steps: 12})
		if err != nil {
			t.Fatal(err)
		}
		if bound := plan.Result.Bound; best > bound+proof(bound) {
			t.Errorf("bend %d: a lay of %v, and a bound of %v", seed, best, bound)
		}
	}
}

// Where the grain turns, it counts for a piece how far that lies off both the grain there
// and the backbone: of pieces that may turn 3 degrees none finds a place level where the
// grain is turned by 4, nor tilted away from it; tilted by 1 to 3 degrees towards it, they do.
func TestTiltTowardsTurnedGrain(t *testing.T) {
	for _, c := range []struct {
		rule  string
		grain measure.Angle
		side  float64 // of the tilt: 1 anticlockwise
	}{{"anticlockwise", 4 * degree, 1}, {"clockwise", -4 * degree, -1}} {
		j := slanting(t, 1)
		all, err := plane.NewRing([]orb.Point{{-10, -10}, {1010, -10}, {1010, 310}, {-10, 310}})
		if err != nil {
			t.Fatal(err)
		}
		h, err := hide.New(hide.Spec{
			Name: "s", Leather: "strap", Form: "sheet", Outline: j.Hides[0].Outline().Corners(),
			Zones: []hide.Zone{{Quality: hide.Firm, Area: all, Turned: true, Grain: c.grain}},
		})
		if err != nil {
			t.Fatal(err)
		}
		j.Hides = []*hide.Hide{h}
		for _, tilt := range []measure.Angle{0, 3 * degree} {
			j.Tools.Tilt = tilt
			plan, err := Lay(context.Background(), j, Options{Seed: 1, Steps: 20})
			if err != nil {
				t.Fatal(err)
			}
			for _, v := range nest.Check(j, plan) {
				t.Errorf("%s: %v", c.rule, v)
			}
			switch r := plan.Result; {
			case tilt == 0 && r.Value != 0:
				t.Errorf("%s: level, found a worth of %v", c.rule, r.Value)
			case tilt > 0 && (r.Value != 10 || plan.Hides[0].Strike.AngleDeg*c.side < 1):
				t.Errorf("%s: tilted, found a worth of %v and hides %+v", c.rule, r.Value, plan.Hides)
			}
		}
	}
}

// Whatever the tilt and the edge, a line through marks is at most half a mark over the
// length of rise and run from it, less than anybody sees; and what is struck passes its marks.
func TestStruckThroughMarks(t *testing.T) {
	for _, mark := range []float64{1, 25.4 / 32, 25.4 / 16, 0.5} {
		j := slanting(t, 1)
		j.Tools.Mark, j.Tools.Tilt = mark, 3*degree
		p, err := newProblem(j)
		if err != nil {
			t.Fatal(err)
		}
		if err := p.look(); err != nil {
			t.Fatal(err)
		}
		if len(p.ways[0]) != 7 {
			t.Fatalf("found %d ways to lie, expected seven", len(p.ways[0]))
		}
		for i, g := range p.ways[0][1:] {
			wanted := []float64{-3, 3, -2, 2, -1, 1}[i]
			if got := g.degrees(); math.Abs(got) > math.Abs(wanted) || math.Abs(got-wanted) > 0.03*math.Abs(wanted) {
				t.Errorf("mark %v: tilted by %v degrees, expected %v", mark, got, wanted)
			}
			for edge := g.y0; edge <= g.y1; edge += 7 {
				square := g.x0 + edge%50
				lies, s := g.struck(square, edge)
				from, was := s.From, g.frame.OutOf(orb.Point{float64(square) * mark, float64(edge) * mark})
				by := g.frame.Into(from)
				by[0], by[1] = by[0]-float64(square)*mark, by[1]-float64(edge)*mark
				if math.Abs(by[0]) > g.spare[0] || math.Abs(by[1]) > g.spare[1] || g.spare[1] > 0.005 {
					t.Errorf("mark %v, edge %d: moved by %v from %v, pieces keep off %v", mark, edge, by, was, g.spare)
				}
				for _, through := range s.Through {
					at := j.Hides[0].Frame().Into(through)
					for _, mm := range at {
						if math.Abs(mm-math.Round(mm/mark)*mark) > 1e-6 {
							t.Errorf("mark %v, edge %d: struck through %v, no mark", mark, edge, at)
						}
					}
					if off := lies.frame.Into(through); math.Abs(off[1]-float64(edge)*mark) > 1e-6 {
						t.Errorf("mark %v, edge %d: the edge passes %v at %v mm", mark, edge, at, off[1]-float64(edge)*mark)
					}
				}
				first := lies.frame.Into(s.Through[0])[0] / mark
				if math.Abs(first-math.Round(first)) > 1e-6 {
					t.Errorf("mark %v, edge %d: the first mark lies at %v marks along the edge", mark, edge, first)
				}
			}
		}
	}
}

// Tilts are looked at on the hides that are marked the most, and on none without a mark;
// level, there and where the tools forbid them, all hides lie as they are.
func TestTiltsAreLookedAt(t *testing.T) {
	j := trial.Stock(1, 2)
	j.Hides = nil
	for i, flaws := range []int{3, 0, 9, 1, 5, 7} {
		s := trial.Bend(uint64(i), flaws).Spec()
		h, err := hide.New(s)
		if err != nil {
			t.Fatal(err)
		}
		j.Hides = append(j.Hides, h)
	}
	for _, c := range []struct {
		rule string
		tilt measure.Angle
		use  measure.Angle
		want []int // ways to lie, by hide
	}{
		{"the four most marked", 3 * degree, 3 * degree, []int{7, 1, 7, 1, 7, 7}},
		{"level", 0, 3 * degree, nil},
		{"a use that allows none", 3 * degree, 0, nil},
	} {
		j.Tools.Tilt = c.tilt
		for name, u := range j.Uses {
			u.Angle = c.use
			j.Uses[name] = u
		}
		p, err := newProblem(j)
		if err != nil {
			t.Fatal(err)
		}
		if err := p.look(); err != nil {
			t.Fatal(err)
		}
		var got []int
		for _, ways := range p.ways {
			got = append(got, len(ways))
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s: found %v ways to lie, expected %v", c.rule, got, c.want)
		}
	}
}

// Orders that come first, and several hides, may be tilted as well: two hides with a
// channel each, that rise and fall, give a piece each.
func TestTiltOfEachHide(t *testing.T) {
	j := slanting(t, 1)
	rises := j.Hides[0]
	s := rises.Spec()
	s.Name = "t"
	for i, z := range s.Zones {
		var corners []orb.Point
		for _, c := range z.Area.Corners() {
			corners = append(corners, orb.Point{1000 - c[0], c[1]})
		}
		var err error
		if s.Zones[i].Area, err = plane.NewRing(corners); err != nil {
			t.Fatal(err)
		}
	}
	falls, err := hide.New(s)
	if err != nil {
		t.Fatal(err)
	}
	j.Hides, j.Tools.Tilt = append(j.Hides, falls), 2*degree
	first := j.Orders[0]
	first.ID, first.Worth, first.Due = "B", 1, time.Date(2027, 2, 1, 0, 0, 0, 0, time.UTC)
	j.Orders, j.By = append(j.Orders, first), first.Due
	plan, err := Lay(context.Background(), j, Options{Seed: 1, Steps: 60})
	if err != nil {
		t.Fatal(err)
	}
	for _, v := range nest.Check(j, plan) {
		t.Error(v)
	}
	if r := plan.Result; r.Value != 11 || !r.Proven || len(plan.Hides) != 2 {
		t.Fatalf("found a worth of %v of at most %v on %d hides, expected 11 proven on 2", r.Value, r.Bound, len(plan.Hides))
	}
	if up, down := plan.Hides[0].Strike.AngleDeg, plan.Hides[1].Strike.AngleDeg; up < 1.9 || down > -1.9 {
		t.Errorf("struck at %v and %v degrees, expected about 2 and -2", up, down)
	}
}

// A hide that is not begun stays tilted when it is laid again, unless the tools no longer
// allow it; and what a plan says of its strike never stops a relay.
func TestRelayOfTiltsNoLongerAllowed(t *testing.T) {
	j := slanting(t, 1)
	j.Tools.Tilt = 2 * degree
	plan, err := Lay(context.Background(), j, Options{Seed: 1, Steps: 20})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		rule   string
		tilt   measure.Angle
		change func(s *nest.Strike)
		worth  float64
	}{
		{"as it was", 2 * degree, func(*nest.Strike) {}, 10},
		{"level now", 0, func(*nest.Strike) {}, 0},
		{"through no marks", 2 * degree, func(s *nest.Strike) { s.Through = [2]orb.Point{} }, 0},
		{"straight across", 2 * degree, func(s *nest.Strike) { s.Through = [2]orb.Point{{1, 1}, {1, 9}} }, 0},
		{"backwards", 2 * degree, func(s *nest.Strike) { s.Through[0], s.Through[1] = s.Through[1], s.Through[0] }, 0},
	} {
		before := plan.Begin().Plan
		j.Tools.Tilt = c.tilt
		c.change(&before.Hides[0].Strike)
		after, err := Relay(context.Background(), j, before, Options{Seed: 1, Steps: 4})
		if err != nil {
			t.Fatal(err)
		}
		if after.Result.Value != c.worth {
			t.Errorf("%s: found a worth of %v, expected %v", c.rule, after.Result.Value, c.worth)
		}
		for _, v := range nest.Check(j, after) {
			t.Errorf("%s: %v", c.rule, v)
		}
	}
}

// TestShapesOfEachTilt: a band that is known under one tilt is not taken for known under another of the same rise.
func TestShapesOfEachTilt(t *testing.T) {
	known := newShapes()
	for _, run := range []int{120, 240} {
		g := &ground{hide: sheet(t, "s", "strap", 600, 60), tilt: tilt{1, run}, y1: 60, across: 10}
		known.add(&bands{g: g, as: []int{0, 1, 2, 3, 4, 5, 6}}, shape{y: 10, depth: 30})
		if from, shared := known.from(g, 10); len(from) != 1 || shared {
			t.Errorf("1 to %d: the band is not known", run)
		}
	}
}
