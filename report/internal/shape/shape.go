// Package shape turns what lies on a hide into polygons for overlays, and
// polygons back into corners. It works in the coordinates it is given.
package shape

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"

	"strapwise/hide"
	"strapwise/hide/plane"
)

// segments is into how many chords a quarter of a round flaw is cut: at 32 a
// spot of 100 mm is drawn 0.06 mm too small at most, below any printed line.
const segments = 32

// Of is the polygon of an outline. The error says why it is none.
func Of(outline []orb.Point) (geom.Geometry, error) {
	r, err := plane.NewRing(outline)
	if err != nil {
		return geom.Geometry{}, err
	}
	return r.Polygon().AsGeometry(), nil
}

// Flaw is the leather that a flaw takes.
func Flaw(f hide.Flaw) (geom.Geometry, error) {
	switch {
	case f.Patch != nil:
		return f.Patch.Polygon().AsGeometry(), nil
	case f.Spot != nil:
		return Round(f.Spot.At, f.Spot.Diameter/2), nil
	case f.Stroke != nil:
		return Swell(line(f.Stroke.Line), f.Stroke.Width/2)
	}
	return geom.Geometry{}, fmt.Errorf("found a %s without a place, expected a spot, a stroke or a patch", f.Kind)
}

// line is a line through the points, or a point if they are all one.
func line(pts []orb.Point) geom.Geometry {
	var flat []float64
	same := true
	for _, p := range pts {
		flat = append(flat, p[0], p[1])
		same = same && p == pts[0]
	}
	if same && len(pts) > 0 {
		return geom.XY{X: pts[0][0], Y: pts[0][1]}.AsPoint().AsGeometry()
	}
	return geom.NewLineString(geom.NewSequence(flat, geom.DimXY)).AsGeometry()
}

// Round is a disc.
func Round(at orb.Point, radius float64) geom.Geometry {
	var pts []orb.Point
	for i := range 4 * segments {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / (4 * segments))
		pts = append(pts, orb.Point{at[0] + radius*cos, at[1] + radius*sin})
	}
	g, _ := Of(pts)
	return g
}

// Swell grows a shape by so much on all sides.
func Swell(g geom.Geometry, by float64) (geom.Geometry, error) {
	return geom.Buffer(g, by, geom.BufferQuadSegments(segments))
}

// Areas keeps the polygons of an overlay's result and drops the lines and
// points it may leave where two outlines only touch.
func Areas(g geom.Geometry) geom.Geometry {
	var polys []geom.Polygon
	for _, p := range polygons(g) {
		if p.Area() > 0 {
			polys = append(polys, p)
		}
	}
	return geom.NewMultiPolygon(polys).AsGeometry()
}

func polygons(g geom.Geometry) []geom.Polygon {
	var out []geom.Polygon
	for _, part := range g.Dump() {
		if p, ok := part.AsPolygon(); ok && !p.IsEmpty() {
			out = append(out, p)
		}
	}
	return out
}

// Rings are the outer outlines of a shape's polygons, without the corner
// that repeats the first.
func Rings(g geom.Geometry) [][]orb.Point {
	var out [][]orb.Point
	for _, p := range polygons(g) {
		seq := p.ExteriorRing().Coordinates()
		var ring []orb.Point
		for i := range seq.Length() - 1 {
			xy := seq.GetXY(i)
			ring = append(ring, orb.Point{xy.X, xy.Y})
		}
		out = append(out, ring)
	}
	return out
}
