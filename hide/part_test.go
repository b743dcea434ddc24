package hide_test

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/paulmach/orb"

	"strapwise/hide"
	"strapwise/hide/plane"
)

// partOf is a part of a hide, as a hide of its own.
func partOf(t *testing.T, whole *hide.Hide, outline []orb.Point) *hide.Hide {
	t.Helper()
	s, err := whole.Part(outline)
	if err != nil {
		t.Fatal(err)
	}
	s.Name = whole.Name() + "-r1"
	part, err := hide.New(s)
	if err != nil {
		t.Fatal(err)
	}
	return part
}

// A part is as the hide is where it lies, whatever lies elsewhere.
func TestPart(t *testing.T) {
	whole, err := hide.New(hide.Spec{
		Name: "a", Leather: "foam", Form: "sheet", Outline: []orb.Point{{0, 0}, {2000, 0}, {2000, 4000}, {0, 4000}},
		Backbone: []orb.Point{{0, 0}, {2000, 20}}, Stamped: 8e6,
		Readings: []hide.Reading{{At: orb.Point{10, 10}, MM: 3}, {At: orb.Point{10, 3900}, MM: 4}},
		Flaws: []hide.Flaw{
			{Kind: "hole", Spot: &hide.Spot{At: orb.Point{100, 3990}, Diameter: 30}},
			{Kind: "hole", Spot: &hide.Spot{At: orb.Point{100, 3000}, Diameter: 30}},
		},
		Zones: []hide.Zone{{Quality: hide.Soft, Area: plane.Box(orb.Point{0, 0}, orb.Point{2000, 3000})}},
	})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		rule            string
		outline         []orb.Point
		flaws, readings int
		zones           int
		own             bool // the hide's own backbone serves
	}{
		{"by the backbone", []orb.Point{{0, 0}, {2000, 0}, {2000, 200}, {0, 200}}, 0, 1, 1, true},
		{"far from it", []orb.Point{{0, 3700}, {2000, 3700}, {2000, 4000}, {0, 4000}}, 1, 1, 0, false},
		{"in the midst", []orb.Point{{0, 1400}, {2000, 1400}, {2000, 3100}, {0, 3100}}, 1, 2, 1, true},
	} {
		part := partOf(t, whole, c.outline)
		if len(part.Flaws()) != c.flaws || len(part.Zones()) != c.zones || len(part.Readings()) != c.readings || part.Stamped() != 0 || part.Form() != "remnant" {
			t.Errorf("%s: %+v", c.rule, part.Spec())
		}
		if own := part.Backbone()[0] == whole.Backbone()[0]; own != c.own {
			t.Errorf("%s: its own backbone: %v", c.rule, own)
		}
		if d := part.Frame().Radians() - whole.Frame().Radians(); d > 1e-12 || d < -1e-12 {
			t.Errorf("%s: the grain turns by %g", c.rule, d)
		}
	}
	if _, err := whole.Part([]orb.Point{{0, 0}, {1, 1}, {1, 0}, {0, 1}}); err == nil {
		t.Error("a crossed outline is a part")
	}
}

// A part is trimmed along what was the hide's own edge, not along cuts: there, and there
// alone, a use finds leather up to the edge.
func TestPartIsCleanWhereItWasCut(t *testing.T) {
	const trim = 10
	whole, err := hide.New(hide.Spec{
		Name: "a", Leather: "strap", Form: "bend", Trim: trim,
		Outline: []orb.Point{{0, 0}, {600, 0}, {1000, 50}, {1000, 600}, {500, 650}, {0, 600}},
	})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		rule    string
		outline []orb.Point
		want    string // the longest run 20 mm deep, and where it is
		zones   int
	}{
		{"cut on two sides", []orb.Point{{0, 0}, {400, 0}, {400, 200}, {0, 200}}, "{10 400} 10", 1},
		{"cut all round", []orb.Point{{300, 100}, {800, 100}, {800, 121}, {300, 121}}, "{300 800} 100", 0},
		{"from end to end", []orb.Point{{0, 300}, {1000, 300}, {1000, 340}, {0, 340}}, "{10 990} 300", 2},
		{"at a corner", []orb.Point{{600, 0}, {1000, 50}, {1000, 80}, {600, 80}}, "", 1},
	} {
		part := partOf(t, whole, c.outline)
		if part.Trim() != 0 || len(part.Zones()) != c.zones {
			t.Errorf("%s: trim %v, zones %v", c.rule, part.Trim(), part.Zones())
		}
		serves := func(h *hide.Hide) *hide.Leather {
			l, err := h.Serving(load(), plane.Identity)
			if err != nil {
				t.Fatal(err)
			}
			return l
		}
		of, all := serves(part), serves(whole)
		if run, at := of.Longest(20, 1); c.want != "" && fmt.Sprint(run, at) != c.want {
			t.Errorf("%s: the longest run is %v at %v, expected %s", c.rule, run, at, c.want)
		}
		// wherever a part serves, the hide did
		for y := c.outline[0][1]; y < c.outline[2][1]; y += 3 {
			for _, r := range of.Runs(plane.Span{Lo: y, Hi: y + 12}) {
				if !slices.ContainsFunc(all.Runs(plane.Span{Lo: y, Hi: y + 12}), func(s plane.Span) bool { return s.Lo <= r.Lo+0.3 && r.Hi <= s.Hi+0.3 }) {
					t.Errorf("%s: %v at %v serves the part and not the hide", c.rule, r, y)
				}
			}
		}
		again, err := part.Part(c.outline)
		if err != nil || len(again.Zones) != c.zones || again.Trim != 0 {
			t.Errorf("%s: a part of the part has zones %v and trim %v, %v", c.rule, again.Zones, again.Trim, err)
		}
	}
	for _, right := range []float64{9, 19} { // 9 mm is no strip
		if _, err := whole.Part([]orb.Point{{0, 200}, {right, 200}, {right, 500}, {0, 500}}); err == nil {
			t.Errorf("a part that is all rim but for %v mm is leather", right-trim)
		}
	}
}

// Leather near the hide's own edge is trimmed also where that edge lies beyond a cut, and
// where it goes all round.
func TestPartIsTrimmedNearAllOwnEdge(t *testing.T) {
	stepped := []orb.Point{{0, 0}, {1000, 0}, {1000, 195}, {2000, 195}, {2000, 600}, {0, 600}}
	hook := []orb.Point{{0, 0}, {1000, 0}, {1000, 100}, {520, 100}, {520, 140}, {1000, 140}, {1000, 600}, {0, 600}}
	var ragged []orb.Point // teeth, all round
	const teeth = 2000
	for i := range teeth {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / teeth)
		r := 300 + 4*float64(i%2)
		ragged = append(ragged, orb.Point{r * cos, r * sin})
	}
	for _, c := range []struct {
		rule      string
		hide      []orb.Point
		part      []orb.Point
		zones     int
		at        float64 // a band 12 mm deep
		from, end float64 // and its runs, to 2 mm
	}{
		{"edge beyond the cut", stepped, []orb.Point{{0, 203}, {2000, 203}, {2000, 600}, {0, 600}}, 1, 203, 25, 976},
		{"clear of it", stepped, []orb.Point{{0, 203}, {2000, 203}, {2000, 600}, {0, 600}}, 1, 222, 25, 1975},
		{"round a gap", hook, []orb.Point{{480, 100}, {520, 100}, {520, 140}, {1000, 140}, {1000, 600}, {480, 600}}, 1, 150, 480, 497},
		{"all round", hook, hook, 2, 200, 25, 975},
		{"ragged all round", ragged, ragged, 2, -6, -275, 275},
	} {
		whole, err := hide.New(hide.Spec{Name: "a", Leather: "strap", Form: "side", Outline: c.hide, Trim: 25})
		if err != nil {
			t.Fatal(err)
		}
		part := partOf(t, whole, c.part)
		l, err := part.Serving(load(), plane.Identity)
		if err != nil {
			t.Fatal(err)
		}
		runs := l.Runs(plane.Span{Lo: c.at, Hi: c.at + 12})
		if len(runs) != 1 || math.Abs(runs[0].Lo-c.from) > 2 || math.Abs(runs[0].Hi-c.end) > 2 || part.Trim() != 0 || len(part.Zones()) != c.zones {
			t.Errorf("%s: %v with trim %v and %d zones, expected %v to %v with %d", c.rule, runs, part.Trim(), len(part.Zones()), c.from, c.end, c.zones)
		}
	}
}

// Where no reading was taken near a part, the nearest holds.
func TestPartKeepsTheNearestReading(t *testing.T) {
	whole, err := hide.New(hide.Spec{
		Name: "a", Leather: "strap", Form: "side", Outline: []orb.Point{{0, 0}, {6000, 0}, {6000, 600}, {0, 600}},
		Readings: []hide.Reading{{At: orb.Point{10, 10}, MM: 3}, {At: orb.Point{300, 10}, MM: 3.5}},
	})
	if err != nil {
		t.Fatal(err)
	}
	part := partOf(t, whole, []orb.Point{{4000, 203}, {6000, 203}, {6000, 600}, {4000, 600}})
	if r := part.Readings(); len(r) != 1 || r[0].MM != 3.5 {
		t.Errorf("%+v", r)
	}
}

// How a hide lies in its file says nothing of what is left of a part within the trim.
func TestPartIsLeatherHoweverItLies(t *testing.T) {
	for _, degrees := range []float64{0, 30, 45} {
		sin, cos := math.Sincos(degrees * math.Pi / 180)
		f := plane.NewFrame(orb.Point{}, orb.Point{cos, sin})
		box := func(depth float64) []orb.Point { return f.Rect(plane.Span{Hi: 600}, plane.Span{Hi: depth}) }
		whole, err := hide.New(hide.Spec{Name: "a", Leather: "strap", Form: "bend", Trim: 10, Outline: box(300), Backbone: box(300)[:2]})
		if err != nil {
			t.Fatal(err)
		}
		for depth, leather := range map[float64]bool{19: false, 22: true} {
			if _, err := whole.Part(box(depth)); (err == nil) != leather {
				t.Errorf("at %v°, %v mm deep: %v", degrees, depth, err)
			}
		}
	}
}
