package hide

import (
	"slices"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	"github.com/peterstace/simplefeatures/geom"
	"github.com/peterstace/simplefeatures/rtree"

	"strapwise/hide/plane"
)

// rim is the leather of a part of the hide that lies within the hide's trim of the hide's
// own edge. Along cuts there is none: they are clean. ok is false if it cannot be told as
// simple rings; then the trim has to be kept all round.
func (h *Hide) rim(part plane.Ring) (rim []plane.Ring, ok bool) {
	leather := part.Polygon().AsGeometry()
	for _, line := range h.ragged(part) {
		smooth, within := smoothed(line, h.spec.Trim/20)
		near, err := geom.Buffer(smooth, h.spec.Trim+within)
		if err != nil {
			return nil, false
		}
		both, err := geom.Intersection(near, leather)
		if err != nil {
			return nil, false
		}
		for _, g := range both.Dump() {
			p, is := g.AsPolygon()
			if !is || p.Area() < smallestHide*smallestHide {
				continue
			}
			if p.NumInteriorRings() > 0 {
				return nil, false
			}
			rim = append(rim, ringsOf(g, plane.Identity)...)
		}
	}
	return rim, true
}

// ragged are the stretches of a part's outline that lie along the hide's own.
func (h *Hide) ragged(part plane.Ring) []geom.LineString {
	const off = 0.01 // mm: a hundred times what places in files are rounded to
	var own []rtree.BulkItem
	for i := range h.outline.Len() {
		b := orb.MultiPoint{h.outline.Corner(i), h.outline.Corner(i + 1)}.Bound().Pad(off)
		own = append(own, rtree.BulkItem{Box: rtree.Box{MinX: b.Min[0], MinY: b.Min[1], MaxX: b.Max[0], MaxY: b.Max[1]}, RecordID: i})
	}
	tree := rtree.BulkLoad(own)
	onOwn := func(p orb.Point) bool {
		found := false
		_ = tree.RangeSearch(rtree.Box{MinX: p[0], MinY: p[1], MaxX: p[0], MaxY: p[1]}, func(i int) error {
			found = found || planar.DistanceFromSegment(h.outline.Corner(i), h.outline.Corner(i+1), p) <= off
			return nil
		})
		return found
	}
	n := part.Len()
	ragged := make([]bool, n) // by edge
	for i := range n {
		a, b := part.Corner(i), part.Corner(i+1)
		ragged[i] = onOwn(a) && onOwn(b) && onOwn(orb.Point{(a[0] + b[0]) / 2, (a[1] + b[1]) / 2})
	}
	first := max(0, slices.Index(ragged, false)) // no stretch goes on over it
	var out []geom.LineString
	var line []float64
	for i := range n {
		e := first + i
		if a := part.Corner(e); ragged[e%n] && len(line) == 0 {
			line = append(line, a[0], a[1])
		}
		if b := part.Corner(e + 1); ragged[e%n] {
			line = append(line, b[0], b[1])
		}
		if (!ragged[e%n] || i == n-1) && len(line) > 0 {
			out, line = append(out, geom.NewLineString(geom.NewSequence(line, geom.DimXY))), nil
		}
	}
	return out
}

// smoothed is a line with no more corners than make a quick rim, and how far it may be off.
func smoothed(line geom.LineString, tolerance float64) (geom.Geometry, float64) {
	const most = 500
	out, within := line.AsGeometry(), 0.0
	for line.Coordinates().Length() > most {
		s, err := line.AsGeometry().Simplify(tolerance)
		if err != nil || !s.IsLineString() {
			break
		}
		line, out, within = s.MustAsLineString(), s, within+tolerance
		tolerance *= 2
	}
	return out, within
}
