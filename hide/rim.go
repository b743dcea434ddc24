package hide

import (
	"errors"

	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"

	"strapwise/hide/plane"
)

// rim is the leather of a part of the hide that lies within the hide's trim of the hide's
// own edge, also of edge that lies beyond a cut. Along cuts there is none: they are clean.
// Its rings may overlap.
//
//	 ___________________
//	|                   |
//	|▒▒|    part        |   cut
//	|▒▒|________________|
//	|▒▒▒▒▒▒▒▒▒|
//	|_________/ own edge
func (h *Hide) rim(part plane.Ring) ([]plane.Ring, error) {
	var rim []plane.Ring
	leather := part.Polygon().AsGeometry()
	for _, line := range h.edgesNear(part.Bound().Pad(h.spec.Trim)) {
		shapes, err := plane.Around(line, h.spec.Trim)
		if err != nil {
			return nil, err
		}
		for _, near := range shapes {
			both, err := geom.Intersection(near, leather)
			if err != nil {
				return nil, err
			}
			for _, g := range both.Dump() {
				if !g.IsPolygon() || g.Area() < smallestHide*smallestHide {
					continue
				}
				rings := ringsOf(g, plane.Identity)
				if len(rings) != 1 {
					return nil, errors.New("what is within the trim has no simple outline")
				}
				rim = append(rim, rings[0])
			}
		}
	}
	return rim, nil
}

// edgesNear are the stretches of the hide's outline whose edges come near a box.
func (h *Hide) edgesNear(box orb.Bound) [][]orb.Point {
	n := h.outline.Len()
	near := func(i int) bool {
		return orb.MultiPoint{h.outline.Corner(i), h.outline.Corner(i + 1)}.Bound().Intersects(box)
	}
	first := 0 // begin where no edge is near, so that no stretch is split
	for first < n-1 && near(first) {
		first++
	}
	var out [][]orb.Point
	var line []orb.Point
	for i := first; i < first+n; i++ {
		if near(i % n) {
			if len(line) == 0 {
				line = append(line, h.outline.Corner(i))
			}
			line = append(line, h.outline.Corner(i+1))
		}
		if len(line) > 0 && (i == first+n-1 || !near((i+1)%n)) {
			out, line = append(out, line), nil
		}
	}
	return out
}
