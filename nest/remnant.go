package nest

import (
	"cmp"
	"errors"
	"math"
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
// goes back on the rack when the hide has been cut as the plan says: of all that then
// falls apart, what is no piece and is at least MinRemnantArea large and MinRemnantDepth
// deep. Largest first, each simple and anticlockwise. A hide that the plan does not cut
// goes back whole; of one without a struck edge, nothing can be told.
//
// Pieces of no strip are not looked at: a lay does not list them.
func Remnants(h *hide.Hide, p Plan) [][]orb.Point {
	lay := p.Lay(h.Name())
	if lay == nil || len(lay.Strips) == 0 && len(lay.Bands) == 0 {
		return [][]orb.Point{h.Outline().Corners()}
	}
	struck := struckOn(h, lay)
	if !struck.known {
		return nil
	}
	var seen orb.MultiPoint
	for _, p := range h.Outline().Corners() {
		seen = append(seen, struck.into(p))
	}
	var rings []plane.Ring
	outline := h.Outline().Polygon().AsGeometry()
	for _, c := range within(offcuts(lay, struck.squaredOff(h, lay), p.from(lay.Hide)), seen.Bound()) {
		rings = append(rings, remnantsIn(outline, struck, c)...)
	}
	slices.SortStableFunc(rings, func(a, b plane.Ring) int { return cmp.Compare(b.Area(), a.Area()) })
	return mapped(rings, plane.Ring.Corners)
}

// Keep is what there is to say of a remnant of a hide as a hide of its own, and whether it
// is worth a place on the rack: not if it is smaller than least, in mm², nor if the trim
// leaves nothing of it.
func Keep(h *hide.Hide, outline []orb.Point, least float64) (spec hide.Spec, worth bool, err error) {
	if len(outline) < 3 || polygonOf(outline).Area() < least {
		return spec, false, nil
	}
	spec, err = h.Part(outline)
	if f, ok := errors.AsType[*hide.Fault](err); ok && f.Path == "trim" {
		return spec, false, nil
	}
	return spec, true, err
}

// Numbered are remnants of a hide in an order in which those that it left before, by the plan
// that is laid again, have the numbers that they had, as far as there are so many now.
func Numbered(before, now [][]orb.Point) [][]orb.Point {
	out := make([][]orb.Point, len(now))
	var others [][]orb.Point
	for _, r := range now {
		if i := slices.IndexFunc(before, func(b []orb.Point) bool { return sameLeather(r, b) }); i >= 0 && i < len(out) && out[i] == nil {
			out[i] = r
		} else {
			others = append(others, r)
		}
	}
	for i := range out {
		if out[i] == nil {
			out[i], others = others[0], others[1:]
		}
	}
	return out
}

// sameLeather reports whether two outlines are of the same leather of a hide.
func sameLeather(a, b []orb.Point) bool {
	p, q := orb.MultiPoint(a).Bound(), orb.MultiPoint(b).Bound()
	return norm(sub(p.Min, q.Min)) < lengthTol && norm(sub(p.Max, q.Max)) < lengthTol && math.Abs(polygonOf(a).Area()-polygonOf(b).Area()) < 1
}

// touchesItself reports whether a ring is no simple one as a plan file writes it.
func touchesItself(r plane.Ring) bool {
	return polygonOf(written(r.Corners())).Validate() != nil
}

// written are places as a plan file has them.
func written(places []orb.Point) []orb.Point {
	return mapped(places, func(p orb.Point) orb.Point { return orb.Point{rounded(p[0], 1e4), rounded(p[1], 1e4)} })
}

// from are the pieces that are cut from strips of a hide, also those of no set.
func (p *Plan) from(hide string) []Piece {
	all := slices.Concat(p.Pieces, p.Spare, p.Spoilt)
	return slices.DeleteFunc(all, func(p Piece) bool { return p.Hide != hide || p.Strip == 0 })
}

// struckOn is the struck edge of a lay, as far as one is given.
func struckOn(h *hide.Hide, l *HideLay) strike {
	along := sub(l.Strike.To, l.Strike.From)
	if !(norm(along) > lengthTol) {
		return strike{}
	}
	along = scale(along, 1/norm(along))
	out := l.out(along)
	if l.drawn() == nil && !l.lieOn(h, out) {
		out = scale(out, -1)
	}
	return strike{l.Strike.From, along, out, true}
}

// lieOn reports whether bands without strips lie on that side of the struck edge: where
// it is counted from the backbone outward or, if it lies on the backbone, where the hide is.
func (l *HideLay) lieOn(h *hide.Hide, out orb.Point) bool {
	origin := h.Frame().OutOf(orb.Point{})
	away := sub(h.Frame().OutOf(orb.Point{0, 1}), origin)
	if dot(away, out) < 0 {
		away = scale(away, -1)
	}
	if from := dot(sub(l.Strike.From, origin), away); !near(from, 0) {
		return near(from, l.Strike.EdgeMM)
	}
	middle := orb.MultiPoint(h.Outline().Corners()).Bound().Center()
	return dot(sub(middle, l.Strike.From), out) >= 0
}

// SquaredOff is how far outward from the struck edge the squared end of a hide is cut
// before any rip, as sheets have it: through all bands, where it lies on leather in every
// one of them, and otherwise not, 0. Of a hide that is begun, the plan says so.
func SquaredOff(h *hide.Hide, l *HideLay) float64 { return struckOn(h, l).squaredOff(h, l) }

func (s strike) squaredOff(h *hide.Hide, l *HideLay) float64 {
	if l.Ripped() > 0 {
		if l.SquaredMM == 0 && len(l.Chalked) == 0 {
			return l.FarMM()
		}
		return l.SquaredMM
	}
	leather := h.Outline().Polygon().AsGeometry()
	for _, b := range l.Bands {
		if len(b.Blocks) == 0 || !(b.DepthMM > 2*lengthTol) {
			continue
		}
		// a hair further on, so that an end that touches the outline counts
		r := s.rect(plane.Span{Lo: lengthTol, Hi: lengthTol}, plane.Span{Lo: b.FromMM + lengthTol, Hi: b.FromMM + b.DepthMM - lengthTol}).corners()
		if off, err := geom.Difference(plane.Line(r[0], r[3]).AsGeometry(), leather); err == nil && off.Length() > lengthTol {
			return 0
		}
	}
	return l.FarMM()
}

// remnantsIn are the remnants that an offcut gives.
//
// A corner of the hide that lies on a cut leaves an outline that touches itself
// there, once its places are rounded for the plan file, or crosses itself by the
// last bits of a float64. A cut a hair further out leaves a sound one; what is left of the others
// is what a knife a hair wide gets round, without spikes.
func remnantsIn(outline geom.Geometry, struck strike, c offcut) []plane.Ring {
	var rings []plane.Ring
	for _, hair := range []float64{0, 1e-3, 1e-2} { // mm
		leather, err := geom.Intersection(outline, struck.rect(c.along.Padded(-hair), c.across.Padded(-hair)).geometry())
		if err != nil {
			continue
		}
		var sound bool
		if rings, sound = worthKeeping(polygonsOf(leather)); sound {
			return rings
		}
		if core, err := geom.Buffer(leather, -hair, geom.BufferJoinStyleMitre(5)); err == nil && hair > 0 {
			if again, err := geom.Buffer(core, hair, geom.BufferJoinStyleMitre(5)); err == nil {
				if rings, sound = worthKeeping(polygonsOf(again)); sound {
					return rings
				}
			}
		}
	}
	return rings
}

// worthKeeping are the outlines of leather that goes back on the rack, and whether all of
// them can be written.
func worthKeeping(leather []geom.Polygon) (rings []plane.Ring, sound bool) {
	sound = true
	for _, part := range leather {
		if part.Area() < MinRemnantArea || !deep(part, MinRemnantDepth) {
			continue
		}
		ring, err := plane.NewRing(cornersOf(part))
		if err == nil {
			rings = append(rings, ring)
		}
		sound = sound && err == nil && !touchesItself(ring)
	}
	return rings, sound
}

// deep reports whether a circle of that diameter fits in the polygon, which has no hole.
func deep(p geom.Polygon, diameter float64) bool {
	edge := cornersOf(p)
	if len(edge) <= 50 { // more take long to offset as a whole
		core, err := geom.Buffer(p.AsGeometry(), -diameter/2)
		return err == nil && !core.IsEmpty()
	}
	near, err := plane.Around(append(edge, edge[0]), diameter/2)
	if err != nil {
		return false
	}
	core := p.AsGeometry()
	for _, n := range near {
		if core, err = geom.Difference(core, n); err != nil || core.Area() <= areaTol {
			return false
		}
	}
	return true
}
