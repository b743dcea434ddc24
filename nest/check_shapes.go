package nest

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"
	"github.com/peterstace/simplefeatures/rtree"

	"strapwise/hide/plane"
)

// rect is a rectangle anywhere in the plane: centre, two directions of length 1
// at a right angle, and half its extent along each.
type rect struct {
	centre orb.Point
	dir    [2]orb.Point
	half   [2]float64
}

// rectFrom reads an outline as a rectangle. Its corners may start anywhere, go
// round either way, and repeat the first at the end; they may miss the
// rectangle returned by lengthTol. The error says what is wrong.
func rectFrom(outline []orb.Point) (rect, error) {
	c := outline
	if len(c) == 5 && c[0] == c[4] {
		c = c[:4]
	}
	if len(c) != 4 {
		return rect{}, fmt.Errorf("found %d corners, expected the 4 of a rectangle", len(c))
	}
	for i, p := range c {
		for _, v := range p {
			if math.IsNaN(v) || math.Abs(v) > plane.MaxCoordinate {
				return rect{}, fmt.Errorf("corner %d (%v, %v) is not a place on a bench", i+1, p[0], p[1])
			}
		}
	}
	if gap := norm(sub(add(c[0], c[2]), add(c[1], c[3]))); gap > lengthTol {
		return rect{}, fmt.Errorf("opposite sides differ by %.4g mm", gap)
	}
	a := scale(add(sub(c[1], c[0]), sub(c[2], c[3])), 0.5)
	b := scale(add(sub(c[2], c[1]), sub(c[3], c[0])), 0.5)
	la, lb := norm(a), norm(b)
	if min(la, lb) < 4*lengthTol {
		return rect{}, fmt.Errorf("a side of %.4g mm is none", min(la, lb))
	}
	if lean := math.Abs(dot(a, b)) / max(la, lb); lean > lengthTol {
		return rect{}, fmt.Errorf("the corners are out of square by %.4g mm", lean)
	}
	// The longer side tells the direction more exactly than the shorter.
	u := scale(a, 1/la)
	v := orb.Point{-u[1], u[0]}
	if lb > la {
		v = scale(b, 1/lb)
		u = orb.Point{v[1], -v[0]}
	}
	return rect{
		centre: scale(add(add(c[0], c[1]), add(c[2], c[3])), 0.25),
		dir:    [2]orb.Point{u, v},
		half:   [2]float64{math.Abs(dot(a, u)) / 2, math.Abs(dot(b, v)) / 2},
	}, nil
}

// rectAt is the rectangle that runs from a length along the unit vector u, and
// to the depth across along v, at a right angle to it.
func rectAt(from, u, v orb.Point, length, depth float64) rect {
	mid := add(from, add(scale(u, length/2), scale(v, depth/2)))
	return rect{mid, [2]orb.Point{u, v}, [2]float64{length / 2, depth / 2}}
}

// side is the extent along direction i.
func (r rect) side(i int) float64 { return 2 * r.half[i] }

// drawnIn is the rectangle with each side moved inward by d, never past the middle.
func (r rect) drawnIn(d float64) rect {
	for i := range r.half {
		r.half[i] = max(r.half[i]-d, r.half[i]/2)
	}
	return r
}

func (r rect) corners() []orb.Point {
	x, y := scale(r.dir[0], r.half[0]), scale(r.dir[1], r.half[1])
	return []orb.Point{
		sub(sub(r.centre, x), y), sub(add(r.centre, x), y),
		add(add(r.centre, x), y), add(sub(r.centre, x), y),
	}
}

func (r rect) geometry() geom.Geometry { return polygonOf(r.corners()).AsGeometry() }

// reach is how far from its centre the rectangle extends along the unit vector u.
func (r rect) reach(u orb.Point) float64 {
	return r.half[0]*math.Abs(dot(r.dir[0], u)) + r.half[1]*math.Abs(dot(r.dir[1], u))
}

// extent is the stretch that the rectangle covers along the unit vector u,
// counted from the point origin.
func (r rect) extent(origin, u orb.Point) plane.Span {
	at, reach := dot(sub(r.centre, origin), u), r.reach(u)
	return plane.Span{Lo: at - reach, Hi: at + reach}
}

// box is the smallest upright rectangle round it, padded.
func (r rect) box(pad float64) rtree.Box {
	x, y := r.reach(orb.Point{1, 0})+pad, r.reach(orb.Point{0, 1})+pad
	return rtree.Box{MinX: r.centre[0] - x, MinY: r.centre[1] - y, MaxX: r.centre[0] + x, MaxY: r.centre[1] + y}
}

// overlap reports whether two rectangles share more than a rim lengthTol wide.
func overlap(a, b rect) bool {
	for _, u := range []orb.Point{a.dir[0], a.dir[1], b.dir[0], b.dir[1]} {
		// A line that parts them by more than the last bits spares the overlay.
		if gap := math.Abs(dot(sub(a.centre, b.centre), u)) - a.reach(u) - b.reach(u); gap > 0 {
			return false
		}
	}
	return geom.Intersects(a.drawnIn(lengthTol/2).geometry(), b.drawnIn(lengthTol/2).geometry())
}

// halfPlane is what lies within limit along the vector normal.
type halfPlane struct {
	normal orb.Point
	limit  float64
}

// clip cuts a convex polygon to the half plane.
func (h halfPlane) clip(polygon []orb.Point) []orb.Point {
	var out []orb.Point
	for i, p := range polygon {
		q := polygon[(i+1)%len(polygon)]
		dp, dq := dot(p, h.normal)-h.limit, dot(q, h.normal)-h.limit
		if dp <= 0 {
			out = append(out, p)
		}
		if dp*dq < 0 {
			out = append(out, add(p, scale(sub(q, p), dp/(dp-dq))))
		}
	}
	return out
}

func polygonOf(corners []orb.Point) geom.Polygon {
	if len(corners) < 3 {
		return geom.Polygon{}
	}
	return geom.NewPolygon([]geom.LineString{plane.Line(append(corners[:len(corners):len(corners)], corners[0])...)})
}

// polygonsOf are the polygons in the result of an overlay; what an overlay
// leaves of lines and points has no area and is of no concern.
func polygonsOf(g geom.Geometry) []geom.Polygon {
	var out []geom.Polygon
	for _, part := range g.Dump() {
		if part.IsPolygon() && !part.IsEmpty() {
			out = append(out, part.MustAsPolygon())
		}
	}
	return out
}

// cornersOf are the corners round a polygon, the first not repeated.
func cornersOf(p geom.Polygon) []orb.Point {
	seq := p.ExteriorRing().Coordinates()
	out := make([]orb.Point, 0, seq.Length())
	for i := range max(0, seq.Length()-1) {
		xy := seq.GetXY(i)
		out = append(out, orb.Point{xy.X, xy.Y})
	}
	return out
}

// acute is the acute angle in radians between two directions of length 1.
func acute(u, v orb.Point) float64 {
	return math.Atan2(math.Abs(cross(u, v)), math.Abs(dot(u, v)))
}

// turned is u turned anticlockwise by an angle in radians.
func turned(u orb.Point, by float64) orb.Point {
	s, c := math.Sincos(by)
	return orb.Point{c*u[0] - s*u[1], s*u[0] + c*u[1]}
}

func add(a, b orb.Point) orb.Point            { return orb.Point{a[0] + b[0], a[1] + b[1]} }
func sub(a, b orb.Point) orb.Point            { return orb.Point{a[0] - b[0], a[1] - b[1]} }
func scale(a orb.Point, by float64) orb.Point { return orb.Point{a[0] * by, a[1] * by} }
func dot(a, b orb.Point) float64              { return a[0]*b[0] + a[1]*b[1] }
func cross(a, b orb.Point) float64            { return a[0]*b[1] - a[1]*b[0] }
func norm(a orb.Point) float64                { return math.Hypot(a[0], a[1]) }
