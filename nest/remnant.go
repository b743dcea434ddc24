package nest

import (
	"cmp"
	"slices"

	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"

	"strapwise/hide"
	"strapwise/hide/plane"
)

// The least leather worth a place on the rack (common practice, no source: what
// still gives a pair of keepers or a key strap). Less is scrap.
const (
	MinRemnantArea  = 20_000 // mm², 100 mm × 200 mm
	MinRemnantDepth = 25     // mm, the diameter of a circle that fits somewhere in it
)

// Remnants are the outlines, in the coordinates of the hide's file, of what
// goes back on the rack when the hide has been cut as lay says: its outline
// less all between the struck edge and the far edge of the last band, from one
// end of the hide to the other. Leather on the far side of the struck edge
// counts. Largest first, each simple and anticlockwise, each at least
// MinRemnantArea large and MinRemnantDepth deep. Of a hide with no bands and no strips,
// that is the whole outline; of one without a struck edge, none can be told. A band that
// was ripped off and then holds nothing counts as any other.
//
// Pieces of no strip are not looked at: a lay does not list them.
func Remnants(h *hide.Hide, lay HideLay) [][]orb.Point {
	// A corner of the hide that lies on a rip leaves an outline that touches itself
	// there, once its places are rounded for the plan file, or crosses itself by the
	// last bits of a float64. Rips that are a hair further out leave a sound one.
	var rings []plane.Ring
	for _, hair := range []float64{0, 1e-3, 1e-2} { // mm
		var sound bool
		if rings, sound = remnantsPast(h, lay, hair); sound {
			break
		}
	}
	return mapped(rings, plane.Ring.Corners)
}

// touchesItself reports whether a ring is no simple one as a plan file writes it.
func touchesItself(r plane.Ring) bool {
	written := r.Corners()
	for i, p := range written {
		written[i] = orb.Point{rounded(p[0], 1e4), rounded(p[1], 1e4)}
	}
	return polygonOf(written).Validate() != nil
}

// remnantsPast are the remnants if the struck edge and the last rip were so far further
// out, and whether all of them have outlines that can be written.
func remnantsPast(h *hide.Hide, lay HideLay, hair float64) (rings []plane.Ring, sound bool) {
	outline := h.Outline().Polygon().AsGeometry()
	rest := outline
	if len(lay.Strips) > 0 || len(lay.Bands) > 0 {
		cut, known := used(h, lay, hair)
		if !known {
			return nil, true
		}
		var err error
		if rest, err = geom.Difference(outline, cut.geometry()); err != nil {
			return nil, false
		}
	}
	sound = true
	for _, part := range polygonsOf(rest) {
		if part.Area() < MinRemnantArea || !deep(part, MinRemnantDepth) {
			continue
		}
		ring, err := plane.NewRing(cornersOf(part))
		if err == nil {
			rings = append(rings, ring)
		}
		sound = sound && err == nil && !touchesItself(ring)
	}
	slices.SortStableFunc(rings, func(a, b plane.Ring) int { return cmp.Compare(b.Area(), a.Area()) })
	return rings, sound
}

// used is what lies between the struck edge and the far edge of the last band: a
// rectangle that reaches past the hide at both ends, and a hair past those edges.
func used(h *hide.Hide, lay HideLay, hair float64) (rect, bool) {
	from, along := lay.Strike.From, sub(lay.Strike.To, lay.Strike.From)
	if !(norm(along) > lengthTol) {
		return rect{}, false
	}
	along = scale(along, 1/norm(along))
	out := lay.out(along)
	if middle := orb.MultiPoint(h.Outline().Corners()).Bound().Center(); len(lay.Strips) == 0 && dot(sub(middle, from), out) < 0 {
		out = scale(out, -1) // no strip tells where the bands lie, but most of the hide does
	}
	far := 0.0
	for _, b := range lay.Bands {
		far = max(far, b.FromMM+b.DepthMM)
	}
	for _, s := range lay.Strips {
		far = max(far, s.FromMM+s.WidthMM)
	}
	lo, hi := 0.0, 0.0
	for _, p := range h.Outline().Corners() {
		at := dot(sub(p, from), along)
		lo, hi = min(lo, at), max(hi, at)
	}
	const past = 10 // mm
	corner := add(from, add(scale(along, lo-past), scale(out, -hair)))
	return rectAt(corner, along, out, hi-lo+2*past, far+2*hair), far > 0
}

// deep reports whether a circle of that diameter fits in the polygon, to
// within a millimetre, which is what its outline is first smoothed by: an offset
// of thousands of corners takes minutes.
func deep(p geom.Polygon, diameter float64) bool {
	smooth, err := p.AsGeometry().Simplify(1)
	if err != nil { // smoothed, it would be no polygon: too thin to matter
		return false
	}
	core, err := geom.Buffer(smooth, -diameter/2)
	return err == nil && !core.IsEmpty()
}
