package report

import (
	"testing"

	"github.com/paulmach/orb"

	"strapwise/hide"
	"strapwise/hide/plane"
	"strapwise/nest"
)

// The buckle end of a main lies in the better end, whatever makes it better, and in
// the nearer one where both are alike.
func TestBuckleEnd(t *testing.T) {
	box := func(x0, x1 float64) plane.Ring { return plane.Box(orb.Point{x0, 100}, orb.Point{x1, 200}) }
	prime := func(x0, x1 float64) hide.Zone { return hide.Zone{Quality: hide.Prime, Area: box(x0, x1)} }
	soft := func(x0, x1 float64) hide.Zone { return hide.Zone{Quality: hide.Soft, Area: box(x0, x1)} }
	tick := func(x float64) hide.Flaw {
		return hide.Flaw{Kind: "tick", Spot: &hide.Spot{At: orb.Point{x, 150}, Diameter: 3}}
	}
	thick := func(near, far float64) []hide.Reading {
		return []hide.Reading{{At: orb.Point{100, 150}, MM: near}, {At: orb.Point{900, 150}, MM: far}}
	}
	for rule, c := range map[string]struct {
		spec hide.Spec
		far  bool
	}{
		"alike":                         {hide.Spec{}, false},
		"the far end is prime":          {hide.Spec{Zones: []hide.Zone{prime(800, 1000)}}, true},
		"prime to half the turn":        {hide.Spec{Zones: []hide.Zone{prime(930, 1000)}}, false},
		"both are prime":                {hide.Spec{Zones: []hide.Zone{prime(0, 1000)}}, false},
		"a poorer zone counts":          {hide.Spec{Zones: []hide.Zone{prime(0, 1000), soft(110, 130)}}, true},
		"a tick in the nearer":          {hide.Spec{Flaws: []hide.Flaw{tick(120)}}, true},
		"a tick in each":                {hide.Spec{Flaws: []hide.Flaw{tick(120), tick(880)}}, false},
		"a tick beyond the turn":        {hide.Spec{Flaws: []hide.Flaw{tick(190)}}, false},
		"thicker":                       {hide.Spec{Readings: thick(3.4, 3.8)}, true},
		"thinner":                       {hide.Spec{Readings: thick(3.8, 3.4)}, false},
		"quality before flaws":          {hide.Spec{Zones: []hide.Zone{prime(800, 1000)}, Flaws: []hide.Flaw{tick(880)}}, true},
		"flaws before thickness":        {hide.Spec{Flaws: []hide.Flaw{tick(120)}, Readings: thick(3.8, 3.4)}, true},
		"one reading says of both ends": {hide.Spec{Readings: thick(3.8, 3.8)[:1]}, false},
	} {
		c.spec.Name, c.spec.Leather, c.spec.Form = "s", "strap", "sheet"
		c.spec.Outline = []orb.Point{{0, 0}, {1000, 0}, {1000, 500}, {0, 500}}
		h, err := hide.New(c.spec)
		if err != nil {
			t.Fatalf("%s: %v", rule, err)
		}
		l := &lay{hide: h, frame: h.Frame()}
		l.readFlaws()
		piece := nest.Piece{Outline: l.frame.Rect(plane.Span{Lo: 100, Hi: 900}, plane.Span{Lo: 130, Hi: 165})}
		if got := l.buckleFar(piece); got != c.far {
			t.Errorf("%s: the buckle end is the far one: %v", rule, got)
		}
	}
}
