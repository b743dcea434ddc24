// Package shape turns what lies on a hide into polygons for overlays, and
// polygons back into corners. It works in the coordinates it is given.
package shape

import (
	"math"
	"slices"

	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"

	"strapwise/hide"
	"strapwise/hide/plane"
)

// segments is into how many chords a quarter of a round flaw is cut: at 16 a
// spot of 100 mm is drawn 0.12 mm too small at most, below any printed line.
const segments = 16

// Of is the polygon of an outline. The error says why it is none.
func Of(outline []orb.Point) (geom.Geometry, error) {
	r, err := plane.NewRing(outline)
	if err != nil {
		return geom.Geometry{}, err
	}
	return r.Polygon().AsGeometry(), nil
}

// Flaw is the leather that a flaw takes, and so many millimetres round it, as one
// polygon or several that may overlap. There is always something to draw: where
// the overlay library fails, or it goes round a place, a stroke falls into its
// straight parts; and a patch is as it was.
func Flaw(f hide.Flaw, round float64) geom.Geometry {
	switch {
	case f.Spot != nil:
		return swollen(f.Spot.At, f.Spot.At, f.Spot.Diameter/2+round)
	case f.Stroke != nil:
		var parts []geom.Polygon
		for l := f.Stroke.Line; len(l) > 1; l = l[min(bends, len(l)-1):] {
			parts = append(parts, stroke(l[:min(bends+1, len(l))], f.Stroke.Width/2+round)...)
		}
		return geom.NewMultiPolygon(parts).AsGeometry()
	case f.Patch != nil:
		g := f.Patch.Polygon().AsGeometry()
		if round > 0 {
			if wider, err := geom.Buffer(g, round, geom.BufferQuadSegments(segments)); err == nil {
				return wider
			}
		}
		return g
	}
	return geom.Geometry{}
}

// bends is how many straight parts of a stroke are grown at once: the library
// compares each with each, and a line of a thousand that crosses itself takes it
// a minute.
const bends = 24

func stroke(l []orb.Point, by float64) []geom.Polygon {
	g, err := geom.Buffer(line(l), by, geom.BufferQuadSegments(segments))
	whole := polygons(g)
	ringed := func(p geom.Polygon) bool { return p.NumInteriorRings() > 0 } // whose outer outline would hide what it goes round
	if err == nil && !slices.ContainsFunc(whole, ringed) {
		return whole
	}
	var parts []geom.Polygon
	for i := 1; i < len(l); i++ {
		parts = append(parts, swollen(l[i-1], l[i], by).MustAsPolygon())
	}
	return parts
}

// line is a line through the points, or a point if they are all one.
func line(pts []orb.Point) geom.Geometry {
	if len(pts) > 0 && !slices.ContainsFunc(pts, func(p orb.Point) bool { return p != pts[0] }) {
		return geom.XY{X: pts[0][0], Y: pts[0][1]}.AsPoint().AsGeometry()
	}
	return plane.Line(pts...).AsGeometry()
}

// swollen is what lies within a radius of the line from a to b.
func swollen(a, b orb.Point, radius float64) geom.Geometry {
	from := math.Atan2(b[1]-a[1], b[0]-a[0]) + math.Pi/2
	var flat []float64
	for i := range 4*segments + 2 { // half a turn round a, then half a turn round b
		at, k := a, i
		if i > 2*segments {
			at, k = b, i-1
		}
		sin, cos := math.Sincos(from + 2*math.Pi*float64(k)/(4*segments))
		flat = append(flat, at[0]+radius*cos, at[1]+radius*sin)
	}
	flat = append(flat, flat[0], flat[1])
	return geom.NewPolygon([]geom.LineString{geom.NewLineString(geom.NewSequence(flat, geom.DimXY))}).AsGeometry()
}

// On is the part of a shape that lies within an outline. A polygon of it for
// which the overlay library fails stays whole.
func On(outline, g geom.Geometry) geom.Geometry {
	var parts []geom.Polygon
	for _, p := range polygons(g) {
		part := p.AsGeometry()
		if within, err := geom.Intersection(outline, part); err == nil {
			part = within
		}
		parts = append(parts, polygons(part)...)
	}
	return Areas(geom.NewMultiPolygon(parts).AsGeometry())
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
