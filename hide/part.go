package hide

import (
	"cmp"
	"slices"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	"github.com/shopspring/decimal"

	"strapwise/hide/plane"
)

// Part is what there is to say of a part of the hide with that outline, in the
// coordinates of the hide's file: all that is said of the hide, less the flaws and
// zones that lie wholly beyond the part, the readings that hold nowhere on it, the cost
// and the area as sold. Where the hide's backbone lies farther off than New takes, the
// grain is told by a line along the part's edge.
//
// The edges that the part was cut along are clean and need no trim. So, if it can be told, it
// has none, and what the trim takes along the hide's own edge is a zone of waste. The error is
// a *Fault.
func (h *Hide) Part(outline []orb.Point) (Spec, error) {
	s := h.Spec()
	s.Form, s.Outline, s.Cost, s.Stamped = Remnant, slices.Clone(outline), decimal.Decimal{}, 0
	ring, f := s.checkOutline()
	if f != nil {
		return s, f
	}
	g := newGround(ring, s.System)
	s.Flaws = slices.DeleteFunc(s.Flaws, func(f Flaw) bool { return f.check(g, 0) != nil })
	s.Zones = slices.DeleteFunc(s.Zones, func(z Zone) bool { return !g.meets(z.Area) })
	if len(s.Readings) > 1 {
		s.Readings = g.readings(s.Readings)
	}
	if f := h.trimPart(&s, g); f != nil {
		return s, f
	}
	if _, f := s.checkBackbone(ring); f != nil {
		s.Backbone = edgeAlong(ring.In(h.frame).Bound(), h.frame)
	}
	return s, nil
}

// readings are those that hold somewhere on the hide. Where some of several were taken
// farther off than New takes, they go; of none that is nearer, the nearest holds everywhere.
func (g *ground) readings(all []Reading) []Reading {
	var holding, near []Reading
	for i, r := range all {
		if cell, ok := cellOf(all, i, g.ring.Bound()); ok && g.meets(cell) {
			holding = append(holding, r)
			if g.nears(r.At, farthestAlong) {
				near = append(near, r)
			}
		}
	}
	if len(near) > 0 {
		return near
	}
	if len(holding) == 0 {
		holding = all // cells too thin to be told
	}
	off := func(r Reading) float64 { return planar.DistanceFrom(g.orb, r.At) }
	return []Reading{slices.MinFunc(holding, func(a, b Reading) int { return cmp.Compare(off(a), off(b)) })}
}

// leastLeft is the side of a square, in mm, that the trim must leave of a part (common
// practice, no source: keepers are as narrow).
const leastLeft = 10

// trimPart has a part trimmed along the hide's own edge alone, if that can be told.
func (h *Hide) trimPart(s *Spec, part *ground) *Fault {
	if h.spec.Trim == 0 {
		return nil
	}
	rim, err := h.rim(part.ring)
	if err != nil {
		return s.checkTrim(part)
	}
	left := within(part.ring.In(h.frame), 0)
	for _, r := range rim {
		left.polygon(0, r.In(h.frame))
	}
	if !left.holds(leastLeft) {
		return s.noneWithin()
	}
	s.Trim = 0
	for _, r := range rim {
		s.Zones = append(s.Zones, Zone{Quality: Waste, Area: r})
	}
	return nil
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
