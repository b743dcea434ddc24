// Package plane is the flat geometry of leather, on orb's types: rings that
// are simple by construction, frames turned along a grain, spans of a line.
//
// Coordinates are millimetres. Nothing in here knows about hides.
package plane

import (
	"errors"
	"fmt"
	"math"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	"github.com/peterstace/simplefeatures/geom"

	"strapwise/hide/measure"
)

// MaxCoordinate is the farthest from the origin, in millimetres, that a
// corner may lie: a kilometre. Beyond it float64 no longer resolves the
// tolerances that plans are checked to, and no hide is that large.
const MaxCoordinate = 1e6

// Ring is the outline of a simple polygon: at least three corners, none
// repeated, no two edges crossing, counter-clockwise. It is closed without
// repeating the first corner. The zero value is an empty ring with no inside.
type Ring struct {
	corners []orb.Point
	bound   orb.Bound
}

// ErrCorners says that an outline has fewer than three distinct corners.
var ErrCorners = errors.New("an outline needs at least 3 different corners")

var errNothing = errors.New("the outline encloses nothing")

// Crossing says that an outline crosses itself, and where.
type Crossing struct{ At orb.Point }

func (c *Crossing) Error() string { return c.In(measure.Metric) }

// In says so in a system of measures.
func (c *Crossing) In(s measure.System) string {
	return "the outline crosses itself near " + s.Place(c.At[0], c.At[1])
}

// NewRing returns the ring through the given corners, in either direction of
// travel. Corners equal to the one before, and a last equal to the first, are
// dropped. The error names the rule that the corners break and, for a
// crossing, as a *Crossing, the place.
func NewRing(corners []orb.Point) (Ring, error) {
	var kept []orb.Point
	for i, c := range corners {
		for _, v := range c {
			if math.IsNaN(v) || math.IsInf(v, 0) || math.Abs(v) > MaxCoordinate {
				return Ring{}, fmt.Errorf("corner %d (%v, %v) is not a place on a bench", i+1, c[0], c[1])
			}
		}
		if len(kept) == 0 || kept[len(kept)-1] != c {
			kept = append(kept, c)
		}
	}
	for len(kept) > 1 && kept[0] == kept[len(kept)-1] {
		kept = kept[:len(kept)-1]
	}
	if len(kept) < 3 {
		return Ring{}, ErrCorners
	}
	if inLine(kept) {
		return Ring{}, errNothing
	}
	if at, crosses := crossing(kept); crosses {
		return Ring{}, &Crossing{at}
	}
	r := Ring{corners: kept, bound: orb.MultiPoint(kept).Bound()}
	if planar.Area(r.Orb()) == 0 {
		return Ring{}, errNothing
	}
	if r.Orb().Orientation() == orb.CW {
		for i, j := 0, len(kept)-1; i < j; i, j = i+1, j-1 {
			kept[i], kept[j] = kept[j], kept[i]
		}
	}
	return r, nil
}

// inLine reports whether all corners, of which the first two differ, lie on one line.
func inLine(corners []orb.Point) bool {
	a, b := corners[0], corners[1]
	for _, c := range corners[2:] {
		if (b[0]-a[0])*(c[1]-a[1]) != (b[1]-a[1])*(c[0]-a[0]) {
			return false
		}
	}
	return true
}

// Box returns the rectangle with the given lower left and upper right corner.
func Box(min, max orb.Point) Ring {
	r, err := NewRing([]orb.Point{min, {max[0], min[1]}, max, {min[0], max[1]}})
	if err != nil {
		return Ring{}
	}
	return r
}

// Len is the number of corners, and of edges.
func (r Ring) Len() int { return len(r.corners) }

// Corner is corner i, counted from 0 and taken round the ring: Corner(Len())
// is Corner(0).
func (r Ring) Corner(i int) orb.Point { return r.corners[i%len(r.corners)] }

// Corners is a copy of the corners in order.
func (r Ring) Corners() []orb.Point { return append([]orb.Point(nil), r.corners...) }

// Bound is the smallest upright rectangle round the ring.
func (r Ring) Bound() orb.Bound { return r.bound }

// Area is the area inside, in square millimetres.
func (r Ring) Area() float64 {
	if r.Len() == 0 {
		return 0
	}
	return math.Abs(planar.Area(r.Orb()))
}

// Orb is the ring in orb's form, which repeats the first corner at the end.
func (r Ring) Orb() orb.Ring {
	out := make(orb.Ring, 0, len(r.corners)+1)
	out = append(out, r.corners...)
	if len(out) > 0 {
		out = append(out, out[0])
	}
	return out
}

// Polygon is the ring as a polygon of simplefeatures, for overlays.
func (r Ring) Polygon() geom.Polygon {
	if r.Len() == 0 {
		return geom.Polygon{}
	}
	return geom.NewPolygon([]geom.LineString{Line(r.Orb()...)})
}

// In returns the ring as seen in frame f.
func (r Ring) In(f Frame) Ring { return r.mapped(f.Into) }

// mapped applies a rigid motion, under which a simple ring stays simple.
func (r Ring) mapped(move func(orb.Point) orb.Point) Ring {
	out := make([]orb.Point, len(r.corners))
	for i, c := range r.corners {
		out[i] = move(c)
	}
	return Ring{corners: out, bound: orb.MultiPoint(out).Bound()}
}
