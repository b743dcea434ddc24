package hide

import (
	"slices"

	"github.com/paulmach/orb"
	"github.com/shopspring/decimal"

	"strapwise/hide/plane"
)

// Part is what there is to say of a part of the hide with that outline, in the
// coordinates of the hide's file: all that is said of the hide, less the flaws and
// zones that lie wholly beyond the part, the cost and the area as sold. A reading
// counts beyond the outline, so the part keeps them. Where the hide's backbone lies
// farther off than New takes, the grain is told by a line along the part's edge.
// The error is a *Fault.
func (h *Hide) Part(outline []orb.Point) (Spec, error) {
	s := h.Spec()
	s.Form, s.Outline, s.Cost, s.Stamped = Remnant, slices.Clone(outline), decimal.Decimal{}, 0
	ring, f := s.checkOutline()
	if f != nil {
		return s, f
	}
	g := newGround(ring)
	s.Flaws = slices.DeleteFunc(s.Flaws, func(f Flaw) bool { return f.check(g, 0) != nil })
	s.Zones = slices.DeleteFunc(s.Zones, func(z Zone) bool { return !g.meets(z.Area) })
	if len(s.Readings) > 1 {
		near := slices.DeleteFunc(slices.Clone(s.Readings), func(r Reading) bool { return !g.nears(r.At, farthestAlong) })
		if len(near) > 0 {
			s.Readings = near
		}
	}
	if _, f := s.checkBackbone(ring); f != nil {
		s.Backbone = edgeAlong(ring.In(h.frame).Bound(), h.frame)
	}
	return s, nil
}

// edgeAlong is the side of a box, seen in the frame, that is nearer to the frame's
// X axis.
func edgeAlong(box orb.Bound, f plane.Frame) []orb.Point {
	y := box.Min[1]
	if y < 0 {
		y = box.Max[1]
	}
	return []orb.Point{f.OutOf(orb.Point{box.Min[0], y}), f.OutOf(orb.Point{box.Max[0], y})}
}
