package nest

import (
	"fmt"
	"slices"

	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"

	"strapwise/hide/plane"
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
	var cuts []cutLine
	if l.strike.known {
		cuts = l.cutLines(c.plan.from(l.hide.Name()))
	}
	var shapes []geom.Geometry
	for i := range l.lay.Remnants {
		if shape, ok := c.remnant(l, i, cuts, shapes); ok {
			shapes = append(shapes, shape)
		}
		if c.full(RuleRemnant) {
			return
		}
	}
	c.leftOut(l, cuts, shapes)
}

// remnant verifies remnant i of a hide, also against the cuts and those before it. It
// gives its shape, and whether it is one.
func (c *checker) remnant(l *laid, i int, cuts []cutLine, before []geom.Geometry) (geom.Geometry, bool) {
	where := fmt.Sprintf("%s, remnant %d", l.hide.Name(), i+1)
	shape := polygonOf(written(l.lay.Remnants[i])).AsGeometry() // overlays of shapes that differ by the last bits of a float64 can come to nothing
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
	for _, gone := range l.gone {
		if gone.meets(shape) {
			c.fail(RuleRemnant, where, "shares leather with a piece that is cut and of no set")
		}
	}
	if cut, through := l.strike.cutThrough(l.lay.Remnants[i], cuts); through {
		c.fail(RuleRemnant, where, "is cut through %s", cut.what)
	}
	for _, other := range before {
		if !shape.Envelope().Intersects(other.Envelope()) {
			continue
		}
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
// remnant, or in a piece: the hide is cut along all cuts, and what falls apart looked at. A
// piece takes all of its strip between its ends, also where it is narrower or round.
// Where strips and pieces do not lie as they are told to, that cannot be told.
func (c *checker) leftOut(l *laid, cuts []cutLine, given []geom.Geometry) {
	for _, rule := range []string{RuleStrike, RuleStrip, RuleApart, RuleNumbers, RuleBands, RuleBlocks, RuleShape, RuleOverlap, RuleInStrip, RulePosition, RuleCut} {
		if c.count[rule] > 0 {
			return
		}
	}
	for _, p := range slices.Concat(c.plan.Pieces, c.plan.Spare, c.plan.Spoilt) {
		switch s := l.byNumber[p.Strip]; {
		case p.Hide != l.hide.Name():
		case s != nil:
			across := plane.Span{Lo: s.FromMM, Hi: s.FromMM + s.WidthMM}
			given = append(given, l.strike.rect(plane.Span{Lo: p.FromMM, Hi: p.ToMM}, across).geometry())
		default:
			given = append(given, polygonOf(p.Outline).AsGeometry())
		}
	}
	parts, err := l.fallsInto(cuts)
	if err != nil {
		c.fail(RuleRemnant, l.hide.Name(), "cannot be cut along its cuts: %v", err)
		return
	}
	for _, whole := range parts {
		rest := []geom.Polygon{whole}
		for _, taken := range given {
			if len(rest) == 0 || !taken.Envelope().Intersects(whole.Envelope()) {
				continue
			}
			var left []geom.Polygon
			for _, part := range rest {
				d, err := geom.Difference(part.AsGeometry(), taken)
				if err != nil {
					return // named by remnant, which overlays the same shapes
				}
				left = append(left, worth(polygonsOf(d))...)
			}
			rest = left
		}
		for _, part := range rest {
			if part.NumInteriorRings() > 0 {
				continue // round a piece of no strip: one outline cannot hold it
			}
			if deep(part, clearly*MinRemnantDepth) {
				c.fail(RuleRemnant, l.hide.Name(), "leaves %.0f cm² that no remnant holds, expected leather of %d cm² or more, %d mm deep, to go back on the rack",
					part.Area()/100, MinRemnantArea/100, MinRemnantDepth)
			}
		}
	}
}

// worth are those of some polygons that are clearly as large as a remnant.
func worth(all []geom.Polygon) []geom.Polygon {
	return slices.DeleteFunc(all, func(p geom.Polygon) bool { return p.Area() < clearly*MinRemnantArea })
}

// fallsInto is what a hide falls into along its cuts, as far as it is clearly large enough.
func (l *laid) fallsInto(cuts []cutLine) ([]geom.Polygon, error) {
	const knife = 0.01 // mm, half of what a cut takes
	if len(l.lay.Bands) == 0 {
		return worth(polygonsOf(l.leather.outline)), nil
	}
	var lines []geom.LineString
	for _, c := range cuts {
		if ends := l.strike.rect(c.along, c.across).corners(); norm(sub(ends[2], ends[0])) > lengthTol { // not of NaN
			lines = append(lines, plane.Line(ends[0], ends[2]))
		}
	}
	slits, err := geom.Buffer(geom.NewMultiLineString(lines).AsGeometry(), knife, geom.BufferEndCapFlat())
	if err != nil {
		return nil, err
	}
	rest, err := geom.Difference(l.leather.outline, slits)
	return worth(polygonsOf(rest)), err
}

// cutLine is a cut: a stretch along the struck edge or outward from it, the other of its
// spans being of no length.
type cutLine struct {
	along, across plane.Span
	what          string
	may           bool // it is made in part only, where the hide's ragged end asks: a remnant may lie on both sides
}

// cutThrough is the first of the cuts that a remnant lies on both sides of.
func (s strike) cutThrough(remnant []orb.Point, cuts []cutLine) (cutLine, bool) {
	const beside, least = 2 * lengthTol, 8 * lengthTol
	remnant = mapped(remnant, s.into)
	box := orb.MultiPoint(remnant).Bound().Pad(-beside)
	within := func(at plane.Span, i int) bool { return at.Lo < box.Max[i] && box.Min[i] < at.Hi }
	i := slices.IndexFunc(cuts, func(c cutLine) bool {
		if c.may || !within(c.along, 0) || !within(c.across, 1) {
			return false
		}
		line, at, axis := c.along, c.across.Lo, 1
		if c.across.Len() > 0 {
			line, at, axis = c.across, c.along.Lo, 0
		}
		return lengthIn(remnant, axis, at-beside, line) > least && lengthIn(remnant, axis, at+beside, line) > least
	})
	if i < 0 {
		return cutLine{}, false
	}
	return cuts[i], true
}

// lengthIn is how much of a line lies in a ring: one at a place of that axis, along the other.
func lengthIn(ring []orb.Point, axis int, at float64, line plane.Span) float64 {
	var edges []float64
	for i, a := range ring {
		if b := ring[(i+1)%len(ring)]; (a[axis] <= at) != (b[axis] <= at) {
			edges = append(edges, a[1-axis]+(at-a[axis])/(b[axis]-a[axis])*(b[1-axis]-a[1-axis]))
		}
	}
	slices.Sort(edges)
	length := 0.0
	for i := 1; i < len(edges); i += 2 {
		length += max(0, min(edges[i], line.Hi)-max(edges[i-1], line.Lo))
	}
	return length
}

// cutLines are the cuts of a lay, as bands, blocks, strips and pieces tell them.
func (l *laid) cutLines(pieces []Piece) []cutLine {
	hide := orb.MultiPoint(mapped(l.hide.Outline().Corners(), l.strike.into)).Bound()
	ends := plane.Span{Lo: hide.Min[0] - 1, Hi: hide.Max[0] + 1}
	var out []cutLine
	rip := func(along plane.Span, at float64, what string) {
		out = append(out, cutLine{along, plane.Span{Lo: at, Hi: at}, what, false})
	}
	across := func(at float64, depth plane.Span, what string) {
		out = append(out, cutLine{plane.Span{Lo: at, Hi: at}, depth, what, false})
	}
	needed := map[int]bool{} // strips
	for _, s := range l.strips {
		needed[s.N] = s.Cut
	}
	for _, p := range pieces {
		s := l.byNumber[p.Strip]
		if s == nil {
			continue // named by inStrip
		}
		needed[s.N] = true
		width := plane.Span{Lo: s.FromMM, Hi: s.FromMM + s.WidthMM} // a round piece does not take all of it
		across(p.FromMM, width, "at an end of a piece")
		across(p.ToMM, width, "at an end of a piece")
	}
	rip(ends, 0, "along the struck edge")
	squared, far := l.strike.squaredOff(l.hide, l.lay), l.lay.FarMM()
	whole := ends
	if squared > 0 && len(l.lay.Bands) > 0 {
		whole.Lo = 0
		off := plane.Span{Lo: ends.Lo, Hi: 0}
		across(0, plane.Span{Lo: 0, Hi: max(squared, far)}, "at the squared end")
		rip(off, squared, "where the squared end ends")
		if far > squared+lengthTol {
			rip(off, far, "along the last rip")
		}
	}
	for i, b := range l.lay.Bands {
		band := fmt.Sprintf("band %d", i+1)
		depth := plane.Span{Lo: b.FromMM, Hi: b.FromMM + b.DepthMM}
		rip(whole, depth.Lo, "along "+band)
		rip(whole, depth.Hi, "along "+band)
		blocks := slices.DeleteFunc(slices.Clone(b.Blocks), func(k Block) bool {
			return !k.Cut && !slices.ContainsFunc(k.Strips, func(n int) bool { return needed[n] })
		})
		for j, k := range blocks {
			if j > 0 || k.FromMM > lengthTol {
				across(k.FromMM, depth, "at an end of a block of "+band)
			} else {
				k.FromMM = whole.Lo // its strips begin with the end of the hide
			}
			if j+1 < len(blocks) {
				across(k.ToMM, depth, "at an end of a block of "+band)
			} else {
				k.ToMM = ends.Hi
			}
			for beyond := len(k.Strips); beyond > 0; beyond-- {
				if needed[k.Strips[beyond-1]] {
					break
				}
				k.Strips = k.Strips[:beyond-1]
			}
			plain := len(blocks) == 1 && len(k.Strips) == 1 && l.byNumber[k.Strips[0]] != nil && near(l.byNumber[k.Strips[0]].WidthMM, b.DepthMM)
			if k.FromMM == ends.Lo && !plain {
				out = append(out, cutLine{plane.Span{}, depth, "at the squared end of " + band, true})
			}
			for _, n := range k.Strips {
				if s := l.byNumber[n]; s != nil {
					rip(plane.Span{Lo: k.FromMM, Hi: k.ToMM}, s.FromMM+s.WidthMM, fmt.Sprintf("along strip %d", n))
				}
			}
		}
	}
	return out
}
