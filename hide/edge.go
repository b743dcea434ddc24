package hide

import (
	"math"

	"github.com/paulmach/orb"

	"strapwise/hide/plane"
)

// edge is a line, a not above b, that refuses all leather nearer to it than
// reach. It is a side of a polygon, or a spot or part of a stroke. Polygon 0 is
// the outline; inside the others the leather is refused.
type edge struct {
	a, b    orb.Point
	reach   float64
	polygon int // -1 if it is none's
}

// at is the X of the edge at height y, which it must reach.
func (e edge) at(y float64) float64 {
	if e.b[1] == e.a[1] {
		return e.a[0]
	}
	return e.a[0] + (y-e.a[1])/(e.b[1]-e.a[1])*(e.b[0]-e.a[0])
}

// shadow is the stretch of X over which the edge, and what it refuses, shows
// within the band.
func (e edge) shadow(band plane.Span) (plane.Span, bool) {
	if e.reach > 0 {
		return stretchShadow(e.a, e.b, e.reach, band)
	}
	if e.b[1] <= band.Lo || e.a[1] >= band.Hi {
		return plane.Span{}, false
	}
	p, q := e.a[0], e.b[0]
	if e.a[1] < band.Lo {
		p = e.at(band.Lo)
	}
	if e.b[1] > band.Hi {
		q = e.at(band.Hi)
	}
	return plane.Span{Lo: min(p, q), Hi: max(p, q)}, true
}

// discShadow is the stretch of X over which a disc reaches into the band.
func discShadow(c orb.Point, r float64, band plane.Span) (plane.Span, bool) {
	d := max(band.Lo-c[1], c[1]-band.Hi, 0)
	if d >= r {
		return plane.Span{}, false
	}
	half := math.Sqrt(r*r - d*d)
	return plane.Span{Lo: c[0] - half, Hi: c[0] + half}, true
}

// stretchShadow is the stretch of X over which all that is nearer than r to
// the line a-b reaches into the band. That shape is convex: two discs and the
// rectangle between them.
func stretchShadow(a, b orb.Point, r float64, band plane.Span) (plane.Span, bool) {
	out, found := discShadow(a, r, band)
	join := func(s plane.Span, ok bool) {
		switch {
		case ok && found:
			out = plane.Span{Lo: min(out.Lo, s.Lo), Hi: max(out.Hi, s.Hi)}
		case ok:
			out, found = s, true
		}
	}
	join(discShadow(b, r, band))
	n := math.Hypot(b[0]-a[0], b[1]-a[1])
	if n == 0 {
		return out, found
	}
	nx, ny := -(b[1]-a[1])/n*r, (b[0]-a[0])/n*r
	corners := [4]orb.Point{{a[0] + nx, a[1] + ny}, {b[0] + nx, b[1] + ny}, {b[0] - nx, b[1] - ny}, {a[0] - nx, a[1] - ny}}
	for i, p := range corners {
		q := corners[(i+1)%4]
		if p[1] > q[1] {
			p, q = q, p
		}
		join(edge{a: p, b: q}.shadow(band))
	}
	return out, found
}

// mitres gives, for each corner that points into the leather, what the trim
// takes there beyond the corner's own distance: the two trimmed edges run on
// until they meet. Sharper corners than the limit, of which overlay libraries
// keep the same, are cut off square.
//
//	      ^
//	     / \   the mitre
//	    / . \
//	   / / \ \
//	  / /   \ \
//	trim  ^  trim
//	   outline
func mitres(outline plane.Ring, trim float64) []plane.Ring {
	const limit = 5 // times the trim, from the corner
	var out []plane.Ring
	for i := range outline.Len() {
		a, v, b := outline.Corner(i), outline.Corner(i+1), outline.Corner(i+2)
		m, n := inward(a, v), inward(v, b)
		if m[0]*n[1]-m[1]*n[0] >= 0 { // the corner points out of the leather
			continue
		}
		at := func(p orb.Point, by float64, d orb.Point) orb.Point { return orb.Point{p[0] + by*d[0], p[1] + by*d[1]} }
		p, q := at(v, trim, m), at(v, trim, n)
		along, back := orb.Point{m[1], -m[0]}, orb.Point{-n[1], n[0]} // on from a-v, and back from v-b
		half := math.Acos(max(-1, min(1, m[0]*n[0]+m[1]*n[1]))) / 2
		corners := []orb.Point{v, q}
		if reach := 1 / math.Cos(half); reach <= limit {
			corners = append(corners, at(p, trim*math.Tan(half), along))
		} else { // where the trimmed edges reach the square cut
			on := trim * (limit - math.Cos(half)) / math.Sin(half)
			corners = append(corners, at(q, on, back), at(p, on, along))
		}
		if r, err := plane.NewRing(append(corners, p)); err == nil {
			out = append(out, r)
		}
	}
	return out
}

// inward is the direction into the leather, of length 1, from an edge of an
// anticlockwise outline.
func inward(a, b orb.Point) orb.Point {
	n := math.Hypot(b[0]-a[0], b[1]-a[1])
	return orb.Point{-(b[1] - a[1]) / n, (b[0] - a[0]) / n}
}
