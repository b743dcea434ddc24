package drawing

import (
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// curve is a stretch of an outline as places by t, from 0 to 1.
type curve interface {
	at(t float64) orb.Point
	end() orb.Point
	moved(by affine) curve
	bend() float64    // no second derivative by t is longer
	turns() []float64 // where, between its ends, it goes back along x or y
}

// steps is into how many chords of equal t a curve is cut so that none is further
// than the tolerance from it: a chord over a step h is at most h²/8 times the
// greatest second derivative away (the error of linear interpolation).
func steps(c curve, tolerance float64) float64 {
	return math.Max(1, math.Ceil(math.Sqrt(c.bend()/(8*tolerance)))) + float64(len(c.turns()))
}

// flatten adds the corners of a curve but for its first, so many at the most.
func flatten(corners []orb.Point, c curve, most int) []orb.Point {
	turns := c.turns()
	n := most - len(turns)
	ts := turns
	for i := 1; i < n; i++ {
		ts = append(ts, float64(i)/float64(n))
	}
	slices.Sort(ts)
	for _, t := range ts {
		corners = append(corners, c.at(t))
	}
	return append(corners, c.end())
}

// bezier is a straight line or a Bézier curve of the second or third degree, as its
// control points.
type bezier []orb.Point

func (b bezier) at(t float64) orb.Point {
	p := slices.Clone(b)
	for n := len(p) - 1; n > 0; n-- { // de Casteljau
		for i := range n {
			p[i] = orb.Point{p[i][0] + t*(p[i+1][0]-p[i][0]), p[i][1] + t*(p[i+1][1]-p[i][1])}
		}
	}
	return p[0]
}

func (b bezier) end() orb.Point { return b[len(b)-1] }

func (b bezier) moved(by affine) curve {
	out := make(bezier, len(b))
	for i, p := range b {
		out[i] = by.of(p)
	}
	return out
}

func (b bezier) bend() float64 {
	most := 0.0
	for i := 2; i < len(b); i++ {
		most = max(most, math.Hypot(b[i][0]-2*b[i-1][0]+b[i-2][0], b[i][1]-2*b[i-1][1]+b[i-2][1]))
	}
	degree := float64(len(b) - 1)
	return degree * (degree - 1) * most
}

func (b bezier) turns() []float64 {
	var ts []float64
	for axis := range 2 {
		// the derivative, but for a factor, as c + 2 d t + e t² of control differences
		var c, d, e float64
		switch len(b) {
		case 3:
			c, d = b[1][axis]-b[0][axis], (b[2][axis]-2*b[1][axis]+b[0][axis])/2
		case 4:
			c, d = b[1][axis]-b[0][axis], b[2][axis]-2*b[1][axis]+b[0][axis]
			e = b[3][axis] - 3*b[2][axis] + 3*b[1][axis] - b[0][axis]
		default:
			continue
		}
		root := math.Sqrt(d*d - c*e)
		q := -(d + math.Copysign(root, d)) // neither root loses its last digits
		for _, t := range []float64{q / e, c / q} {
			if t > 0 && t < 1 {
				ts = append(ts, t)
			}
		}
	}
	return ts
}

// arc is part of an ellipse: centre + cos a · u + sin a · v, from an angle on, in
// radians, through so much.
type arc struct {
	centre, u, v  orb.Point
	from, through float64
	to            orb.Point // its end as it was given
}

func (c arc) at(t float64) orb.Point {
	sin, cos := math.Sincos(c.from + t*c.through)
	return orb.Point{c.centre[0] + cos*c.u[0] + sin*c.v[0], c.centre[1] + cos*c.u[1] + sin*c.v[1]}
}

func (c arc) end() orb.Point { return c.to }

func (c arc) moved(by affine) curve {
	return arc{by.of(c.centre), by.turned(c.u), by.turned(c.v), c.from, c.through, by.of(c.to)}
}

// bend is the longer half axis, by the square of the angle. It is the greater
// singular value of the matrix (u v).
func (c arc) bend() float64 {
	p, q := math.Hypot(c.u[0]+c.v[1], c.u[1]-c.v[0]), math.Hypot(c.u[0]-c.v[1], c.u[1]+c.v[0])
	return (p + q) / 2 * c.through * c.through
}

func (c arc) turns() []float64 {
	var ts []float64
	for axis := range 2 {
		first := math.Atan2(c.v[axis], c.u[axis])
		for k := -6.0; k <= 6; k++ {
			if t := (first + k*math.Pi - c.from) / c.through; t > 0 && t < 1 {
				ts = append(ts, t)
			}
		}
	}
	return ts
}

// newArc is the arc from one place to another that the standard's endpoint
// parameters tell: half axes, the turn of the first in degrees, and which of the
// four arcs. Radii too small are scaled up, as it says (SVG 2, B.2.4 and B.2.5; SVG
// 1.1, F.6). It is a line if a radius is nothing, and nil if both places are one.
func newArc(from orb.Point, rx, ry, turn float64, large, positive bool, to orb.Point) curve {
	rx, ry = math.Abs(rx), math.Abs(ry)
	switch {
	case from == to:
		return nil
	case rx == 0 || ry == 0:
		return bezier{from, to}
	}
	sin, cos := math.Sincos(turn * math.Pi / 180)
	dx, dy := (from[0]-to[0])/2, (from[1]-to[1])/2
	x, y := (cos*dx+sin*dy)/rx, (cos*dy-sin*dx)/ry // half the chord, where the ellipse is a circle of radius 1
	over := x*x + y*y
	if over > 1 {
		grown := math.Sqrt(over)
		rx, ry, x, y, over = rx*grown, ry*grown, x/grown, y/grown, 1
	}
	out := math.Sqrt((1 - over) / over)
	if large == positive {
		out = -out
	}
	cx, cy := out*y, -out*x // the centre, from the middle of the chord
	u, v := orb.Point{cos * rx, sin * rx}, orb.Point{-sin * ry, cos * ry}
	a := arc{
		centre: orb.Point{(from[0]+to[0])/2 + cx*u[0] + cy*v[0], (from[1]+to[1])/2 + cx*u[1] + cy*v[1]},
		u:      u, v: v, to: to,
		from: math.Atan2(y-cy, x-cx),
	}
	a.through = math.Atan2(-y-cy, -x-cx) - a.from
	switch {
	case positive && a.through < 0:
		a.through += 2 * math.Pi
	case !positive && a.through > 0:
		a.through -= 2 * math.Pi
	}
	return a
}

func apart(a, b orb.Point) float64 { return math.Hypot(a[0]-b[0], a[1]-b[1]) }
