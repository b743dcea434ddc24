package chance

import (
	"math"
	"math/rand/v2"
	"slices"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"strapwise/hide"
	"strapwise/hide/plane"
)

// As is another hide of the outline, soft leather and thickness of one that is
// known, stretched along the backbone and across it. It has no flaws yet.
func As(h *hide.Hide, name string, along, across float64) Grown {
	s := h.Spec()
	s.Name = name
	g := Grown{Spec: s}.mapped(h.Frame().Into)
	g.Spec.Backbone = []orb.Point{{0, 0}, {1, 0}}
	return g.mapped(func(p orb.Point) orb.Point { return orb.Point{p[0] * along, p[1] * across} })
}

// mapped is the hide with each of its points moved, and without flaws.
func (g Grown) mapped(to func(orb.Point) orb.Point) Grown {
	s := g.Spec
	s.Flaws = nil
	s.Outline = moved(s.Outline, to)
	s.Readings = slices.Clone(s.Readings)
	for i := range s.Readings {
		s.Readings[i].At = to(s.Readings[i].At)
	}
	s.Zones = slices.Clone(s.Zones)
	for i, z := range s.Zones {
		if area, err := plane.NewRing(moved(z.Area.Corners(), to)); err == nil { // stretched, it stays simple
			s.Zones[i].Area = area
		}
	}
	return Grown{Spec: s, box: orb.MultiPoint(s.Outline).Bound(), on: within(s.Outline)}
}

func moved(pts []orb.Point, to func(orb.Point) orb.Point) []orb.Point {
	var out []orb.Point
	for _, p := range pts {
		out = append(out, to(p))
	}
	return out
}

// within tells the places within an outline.
func within(outline []orb.Point) func(orb.Point) bool {
	ring := append(orb.Ring{}, outline...)
	ring = append(ring, outline[0])
	return func(p orb.Point) bool { return planar.RingContains(ring, p) }
}

// Met is a flaw that has been met on a hide: as it lies along the grain, its middle
// at the origin, and where that was: as a share of the hide's length, and of its breadth
// there, from edge to edge.
type Met struct {
	flaw hide.Flaw
	at   orb.Point
}

// MetOn are the flaws of a hide.
func MetOn(h *hide.Hide) []Met {
	outline := h.Outline().In(h.Frame())
	box := outline.Bound()
	var out []Met
	for _, f := range h.Flaws() {
		f = mapped(f, h.Frame().Into)
		around := orb.Bound{}
		switch {
		case f.Spot != nil:
			around = f.Spot.At.Bound()
		case f.Stroke != nil:
			around = orb.MultiPoint(f.Stroke.Line).Bound()
		case f.Patch != nil:
			around = f.Patch.Bound()
		}
		middle := around.Center()
		m := Met{
			flaw: mapped(f, func(p orb.Point) orb.Point { return orb.Point{p[0] - middle[0], p[1] - middle[1]} }),
			at:   orb.Point{(middle[0] - box.Min[0]) / (box.Max[0] - box.Min[0]), 0.5},
		}
		if lo, hi, ok := chord(outline.Corners(), 0, middle[0]); ok {
			m.at[1] = min(1, max(0, (middle[1]-lo)/(hi-lo)))
		}
		out = append(out, m)
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

// near is a place about so far along the hide and across it; other, if none is found. What
// lay at the edge lies at the edge: across, the logarithm of the odds strays, by a tenth of the
// breadth in the middle and by little near an edge.
func (g Grown) near(r *rand.Rand, share, other orb.Point) orb.Point {
	const (
		about = 0.1  // of the length, a deviation
		least = 0.01 // of the breadth from an edge
		tries = 20
	)
	for range tries {
		at := orb.Point{g.box.Min[0] + (share[0]+about*r.NormFloat64())*(g.box.Max[0]-g.box.Min[0]), 0}
		lo, hi, ok := chord(g.Spec.Outline, 0, at[0])
		if !ok {
			continue
		}
		y := min(1-least, max(least, share[1]))
		odds := math.Log(y/(1-y)) + 4*about*r.NormFloat64()
		at[1] = lo + (hi-lo)/(1+math.Exp(-odds))
		if g.on(at) {
			return at
		}
	}
	return other
}

// mapped is the flaw with each of its points moved; its shape and size stay.
func mapped(f hide.Flaw, to func(orb.Point) orb.Point) hide.Flaw {
	switch {
	case f.Spot != nil:
		f.Spot = &hide.Spot{At: to(f.Spot.At), Diameter: f.Spot.Diameter}
	case f.Stroke != nil:
		f.Stroke = &hide.Stroke{Line: moved(f.Stroke.Line, to), Width: f.Stroke.Width}
	case f.Patch != nil:
		patch := must(plane.NewRing(moved(f.Patch.Corners(), to)))
		f.Patch = &patch
	}
	return f
}
