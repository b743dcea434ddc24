package plane

import (
	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"
)

// Line is the line through places, for overlays. Two of them at least must differ.
func Line(places ...orb.Point) geom.LineString {
	flat := make([]float64, 0, 2*len(places))
	for _, p := range places {
		flat = append(flat, p[0], p[1])
	}
	return geom.NewLineString(geom.NewSequence(flat, geom.DimXY))
}
