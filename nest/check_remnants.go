package nest

import (
	"fmt"

	"github.com/peterstace/simplefeatures/geom"

	"strapwise/hide/source"
)

// mostRemnantCorners bounds the corners of all remnants of a hide: twice the
// most that an outline may have, beyond which overlays take minutes.
const mostRemnantCorners = 40_000

// remnants verifies what goes back on the rack: that each outline given may go
// back, and that none is left out.
func (c *checker) remnants(l *laid) {
	if l.lay == nil {
		return
	}
	corners := 0
	for _, r := range l.lay.Remnants {
		corners += len(r)
	}
	if most := int(l.hide.Area() / MinRemnantArea); len(l.lay.Remnants) > most || corners > mostRemnantCorners {
		c.fail(RuleRemnant, l.hide.Name(), "found %s of %s, expected at most %d of %d", source.Count(len(l.lay.Remnants), "remnant"), source.Count(corners, "corner"), most, mostRemnantCorners)
		return
	}
	var shapes []geom.Geometry
	for i := range l.lay.Remnants {
		if shape, ok := c.remnant(l, i, shapes); ok {
			shapes = append(shapes, shape)
		}
		if c.full(RuleRemnant) {
			return
		}
	}
	c.leftOut(l, shapes)
}

// remnant verifies remnant i of a hide, also against those before it. It gives
// its shape, and whether it is one.
func (c *checker) remnant(l *laid, i int, before []geom.Geometry) (geom.Geometry, bool) {
	where := fmt.Sprintf("%s, remnant %d", l.hide.Name(), i+1)
	shape := polygonOf(l.lay.Remnants[i]).AsGeometry()
	if shape.IsEmpty() || shape.Validate() != nil {
		c.fail(RuleRemnant, where, "its outline is not a simple one")
		return shape, false
	}
	// An overlay has no length to be drawn in by: a rim lengthTol wide is granted.
	rim := max(areaTol, lengthTol*shape.MustAsPolygon().ExteriorRing().Length())
	if out, err := geom.Difference(shape, l.leather.outline); err != nil || out.Area() > rim {
		c.fail(RuleRemnant, where, "reaches out of the hide")
	}
	for _, p := range l.pieces {
		if p.drawn && p.shape.meets(shape) {
			c.fail(RuleRemnant, where, "shares leather with %s", p.where)
		}
	}
	for _, other := range before {
		if both, err := geom.Intersection(shape, other); err != nil || both.Area() > rim {
			c.fail(RuleRemnant, where, "shares leather with another remnant")
		}
	}
	return shape, true
}

// clearly is how many times the least remnant a piece of leather must be to be
// missed: at the limit, the rounding of places in a plan file decides.
const clearly = 1.05

// leftOut verifies that leather which is worth a place on the rack is in a
// remnant, or in a piece of no strip.
func (c *checker) leftOut(l *laid, given []geom.Geometry) {
	for _, s := range l.strips {
		if !s.drawn {
			return // named by strip; what it leaves cannot be told
		}
	}
	for _, p := range l.pieces {
		if p.drawn && p.Strip == 0 {
			given = append(given, p.shape.geometry())
		}
	}
	for _, outline := range Remnants(l.hide, *l.lay) {
		rest := []geom.Polygon{polygonOf(outline)}
		for _, taken := range given {
			var left []geom.Polygon
			for _, part := range rest {
				d, err := geom.Difference(part.AsGeometry(), taken)
				if err != nil {
					return // named by remnant, which overlays the same shapes
				}
				left = append(left, polygonsOf(d)...)
			}
			rest = left
		}
		for _, part := range rest {
			if part.NumInteriorRings() > 0 {
				continue // round a piece of no strip: one outline cannot hold it
			}
			if part.Area() >= clearly*MinRemnantArea && deep(part, clearly*MinRemnantDepth) {
				c.fail(RuleRemnant, l.hide.Name(), "leaves %.0f cm² that no remnant holds, expected leather of %d cm² or more, %d mm deep, to go back on the rack",
					part.Area()/100, MinRemnantArea/100, MinRemnantDepth)
			}
		}
	}
}
