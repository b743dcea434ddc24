package plane

import (
	"math"

	"github.com/paulmach/orb"
)

// Frame is a coordinate system turned and moved against another: its X runs
// along the grain, its Y away from the backbone. The zero Frame is not usable;
// NewFrame and Identity make them.
type Frame struct {
	origin   orb.Point
	cos, sin float64
}

// NewFrame returns the frame with the given origin whose X points along
// direction, a vector of any length but zero.
func NewFrame(origin, direction orb.Point) Frame {
	n := math.Hypot(direction[0], direction[1])
	return Frame{origin, direction[0] / n, direction[1] / n}
}

// Identity is the frame in which nothing moves.
var Identity = Frame{cos: 1}

// Into gives the coordinates in the frame of a point outside it.
func (f Frame) Into(p orb.Point) orb.Point {
	dx, dy := p[0]-f.origin[0], p[1]-f.origin[1]
	return orb.Point{dx*f.cos + dy*f.sin, dy*f.cos - dx*f.sin}
}

// OutOf is the inverse of Into.
func (f Frame) OutOf(p orb.Point) orb.Point {
	return orb.Point{
		f.origin[0] + p[0]*f.cos - p[1]*f.sin,
		f.origin[1] + p[0]*f.sin + p[1]*f.cos,
	}
}

// Shifted is the frame whose origin lies at p, given in f, turned as f is.
func (f Frame) Shifted(p orb.Point) Frame {
	return Frame{f.OutOf(p), f.cos, f.sin}
}

// Radians is the angle from the outer X axis to the frame's, anticlockwise.
func (f Frame) Radians() float64 { return math.Atan2(f.sin, f.cos) }

// Rect gives the corners, outside the frame, of the rectangle that spans x
// and y within it, anticlockwise from its lower left.
func (f Frame) Rect(x, y Span) []orb.Point {
	return []orb.Point{
		f.OutOf(orb.Point{x.Lo, y.Lo}), f.OutOf(orb.Point{x.Hi, y.Lo}),
		f.OutOf(orb.Point{x.Hi, y.Hi}), f.OutOf(orb.Point{x.Lo, y.Hi}),
	}
}
