package hide_test

import (
	"testing"

	"github.com/paulmach/orb"

	"strapwise/hide"
	"strapwise/hide/plane"
)

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
		s, err := whole.Part(c.outline)
		if err != nil {
			t.Fatal(err)
		}
		part, err := hide.New(s)
		if err != nil {
			t.Fatalf("%s: %v", c.rule, err)
		}
		if len(part.Flaws()) != c.flaws || len(part.Zones()) != c.zones || len(part.Readings()) != c.readings || part.Stamped() != 0 || part.Form() != "remnant" {
			t.Errorf("%s: %+v", c.rule, s)
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
