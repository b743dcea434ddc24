package chance

import (
	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"strapwise/hide"
	"strapwise/hide/plane"
)

// As is another hide of the outline, soft leather and thickness of one that is
// known, stretched along the backbone and across it. It has no flaws yet.
func As(h *hide.Hide, name string, along, across float64) Grown {
	to := func(p orb.Point) orb.Point {
		p = h.Frame().Into(p)
		return orb.Point{p[0] * along, p[1] * across}
	}
	all := func(pts []orb.Point) []orb.Point {
		var out []orb.Point
		for _, p := range pts {
			out = append(out, to(p))
		}
		return out
	}
	s := h.Spec()
	s.Name, s.Flaws = name, nil
	s.Outline = all(s.Outline)
	s.Backbone = []orb.Point{{0, 0}, {1, 0}}
	for i := range s.Readings {
		s.Readings[i].At = to(s.Readings[i].At)
	}
	for i, z := range s.Zones {
		if area, err := plane.NewRing(all(z.Area.Corners())); err == nil { // stretched, it stays simple
			s.Zones[i].Area = area
		}
	}
	return Grown{Spec: s, box: orb.MultiPoint(s.Outline).Bound(), on: within(s.Outline)}
}

// within tells the places within an outline.
func within(outline []orb.Point) func(orb.Point) bool {
	ring := append(orb.Ring{}, outline...)
	ring = append(ring, outline[0])
	return func(p orb.Point) bool { return planar.RingContains(ring, p) }
}
