package hide

import (
	"github.com/paulmach/orb"

	"strapwise/hide/plane"
)

// refusedCells gives, in the hide's own coordinates, the leather that is too
// thick or too thin for the use. Every place has the thickness of the reading
// nearest to it, so each reading rules a convex cell. Where there is none, the hide is as
// thick as its leather is said to be; where nobody said, it is refused to no one.
func (h *Hide) refusedCells(u Use) []plane.Ring {
	if u.Substance == nil {
		return nil
	}
	var cells []plane.Ring
	all := h.Thickness()
	for i, r := range all {
		if !u.RefusesThickness(r.MM) {
			continue
		}
		if cell, ok := cellOf(all, i, h.outline.Bound()); ok {
			cells = append(cells, cell)
		}
	}
	return cells
}

// cellOf is where reading i is the nearest, in a box and a little beyond, if anywhere.
func cellOf(all []Reading, i int, box orb.Bound) (plane.Ring, bool) {
	const beyond = 1 // mm by which the cells reach past the outline
	box = box.Pad(beyond)
	cell := []orb.Point{box.Min, {box.Max[0], box.Min[1]}, box.Max, {box.Min[0], box.Max[1]}}
	for j, other := range all {
		if j != i {
			cell = nearer(cell, all[i].At, other.At)
		}
	}
	ring, err := plane.NewRing(cell)
	return ring, err == nil
}

// nearer clips a convex polygon to the half plane that is nearer to a than to b.
func nearer(polygon []orb.Point, a, b orb.Point) []orb.Point {
	dx, dy := b[0]-a[0], b[1]-a[1]
	limit := (b[0]*b[0] + b[1]*b[1] - a[0]*a[0] - a[1]*a[1]) / 2
	side := func(p orb.Point) float64 { return p[0]*dx + p[1]*dy - limit }
	var out []orb.Point
	for i, p := range polygon {
		q := polygon[(i+1)%len(polygon)]
		sp, sq := side(p), side(q)
		if sp <= 0 {
			out = append(out, p)
		}
		if sp < 0 && sq > 0 || sp > 0 && sq < 0 {
			t := sp / (sp - sq)
			out = append(out, orb.Point{p[0] + t*(q[0]-p[0]), p[1] + t*(q[1]-p[1])})
		}
	}
	return out
}
