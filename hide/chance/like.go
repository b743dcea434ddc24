package chance

import (
	"math/rand/v2"

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

// Met is a flaw that has been met on a hide: as it lies along the grain, its first
// point at the origin, and where that was, as a share of the hide's length and depth.
type Met struct {
	flaw hide.Flaw
	at   orb.Point
}

// MetOn are the flaws of a hide.
func MetOn(h *hide.Hide) []Met {
	box := h.Outline().In(h.Frame()).Bound()
	var out []Met
	for _, f := range h.Flaws() {
		first := orb.Point{}
		switch {
		case f.Spot != nil:
			first = f.Spot.At
		case f.Stroke != nil:
			first = f.Stroke.Line[0]
		case f.Patch != nil:
			first = f.Patch.Corner(0)
		}
		first = h.Frame().Into(first)
		out = append(out, Met{
			flaw: mapped(f, func(p orb.Point) orb.Point {
				p = h.Frame().Into(p)
				return orb.Point{p[0] - first[0], p[1] - first[1]}
			}),
			at: orb.Point{(first[0] - box.Min[0]) / (box.Max[0] - box.Min[0]), (first[1] - box.Min[1]) / (box.Max[1] - box.Min[1])},
		})
	}
	return out
}

// Like makes flaws of the kinds, sizes and directions that have been met: near where
// they were on their hides, if they are of this form; otherwise anywhere. One at least
// must have been met.
func Like(met []Met, near bool) Maker {
	return func(r *rand.Rand, g Grown) hide.Flaw {
		m := met[r.IntN(len(met))]
		at := g.place(r)
		if near {
			at = g.near(r, m.at, at)
		}
		return mapped(m.flaw, func(p orb.Point) orb.Point { return orb.Point{p[0] + at[0], p[1] + at[1]} })
	}
}

// near is a place about so far along and across the hide; other, if none is found.
func (g Grown) near(r *rand.Rand, share, other orb.Point) orb.Point {
	const (
		about = 0.1 // of the hide, a deviation
		tries = 20
	)
	for range tries {
		at := orb.Point{}
		for k := range at {
			at[k] = g.box.Min[k] + (share[k]+about*r.NormFloat64())*(g.box.Max[k]-g.box.Min[k])
		}
		if g.on(at) {
			return at
		}
	}
	return other
}

// mapped is the flaw with each of its points moved; its shape and size stay.
func mapped(f hide.Flaw, to func(orb.Point) orb.Point) hide.Flaw {
	all := func(pts []orb.Point) []orb.Point {
		var out []orb.Point
		for _, p := range pts {
			out = append(out, to(p))
		}
		return out
	}
	switch {
	case f.Spot != nil:
		f.Spot = &hide.Spot{At: to(f.Spot.At), Diameter: f.Spot.Diameter}
	case f.Stroke != nil:
		f.Stroke = &hide.Stroke{Line: all(f.Stroke.Line), Width: f.Stroke.Width}
	case f.Patch != nil:
		patch := must(plane.NewRing(all(f.Patch.Corners())))
		f.Patch = &patch
	}
	return f
}
