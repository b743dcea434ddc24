package plane

import (
	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"
)

// Around is all that lies within so many millimetres of a line of two or more places,
// as shapes without holes, which may overlap; none has more than 10 000 corners.
//
// Offsets of long ragged lines take minutes, so these are put together from short ones.
func Around(line []orb.Point, mm float64) ([]geom.Geometry, error) {
	const short = 16 // edges
	if len(line) <= short+1 {
		near, err := geom.Buffer(Line(line...).AsGeometry(), mm, geom.BufferQuadSegments(16))
		if err != nil || isWhole(near) || len(line) <= 2 { // one edge's has no hole
			return []geom.Geometry{near}, err
		}
	}
	first, err := Around(line[:len(line)/2+1], mm)
	if err != nil {
		return nil, err
	}
	rest, err := Around(line[len(line)/2:], mm)
	if err != nil {
		return nil, err
	}
	if len(first) == 1 && len(rest) == 1 {
		near, err := geom.Union(first[0], rest[0])
		if err != nil || isWhole(near) {
			return []geom.Geometry{near}, err
		}
	}
	return append(first, rest...), nil
}

// isWhole reports whether a shape is one polygon without a hole, and not too large.
func isWhole(g geom.Geometry) bool {
	const most = 10_000 // corners
	return g.IsPolygon() && g.MustAsPolygon().NumInteriorRings() == 0 && g.DumpCoordinates().Length() <= most
}
