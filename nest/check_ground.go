package nest

import (
	"math"

	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"
	"github.com/peterstace/simplefeatures/rtree"

	"strapwise/hide"
	"strapwise/hide/plane"
)

// ground is the leather of a hide as its file draws it, made ready to be asked
// about many pieces.
type ground struct {
	hide     *hide.Hide
	outline  geom.Geometry
	prepared geom.PreparedGeometry
	edges    []boxed
	flaws    []boxed // in the order of the hide's own
	zones    []boxed
	err      error // of preparing; nil for every valid outline known
}

// boxed is a shape with the upright rectangle round it.
type boxed struct {
	shape geom.Geometry
	box   rtree.Box
}

func newBoxed(g geom.Geometry) boxed {
	box, _ := g.Envelope().AsBox()
	return boxed{g, box}
}

func (b boxed) meets(o rtree.Box) bool {
	return b.box.MinX <= o.MaxX && o.MinX <= b.box.MaxX && b.box.MinY <= o.MaxY && o.MinY <= b.box.MaxY
}

// within reports whether the shape lies nearer than d to that of a piece. It is
// exact for points, lines and polygons.
func (b boxed) within(d float64, s shape) bool {
	if !b.meets(s.box(d)) {
		return false
	}
	found, known := geom.Distance(b.shape, s.geometry())
	return known && found < d
}

// touches reports whether the shape shares a point with what is within the rim of a
// piece's, lengthTol wide.
func (b boxed) touches(s shape) bool {
	return b.meets(s.box(0)) && s.meets(b.shape)
}

func newGround(h *hide.Hide) *ground {
	g := &ground{hide: h}
	ring := h.Outline()
	g.outline = ring.Polygon().AsGeometry()
	g.prepared, g.err = geom.Prepare(g.outline)
	for i := range ring.Len() {
		g.edges = append(g.edges, newBoxed(plane.Line(ring.Corner(i), ring.Corner(i+1)).AsGeometry()))
	}
	for _, f := range h.Flaws() {
		var shape geom.Geometry
		switch {
		case f.Spot != nil:
			shape = geom.NewPointXY(f.Spot.At[0], f.Spot.At[1]).AsGeometry()
		case f.Stroke != nil:
			shape = plane.Line(f.Stroke.Line...).AsGeometry()
		case f.Patch != nil:
			shape = f.Patch.Polygon().AsGeometry()
		}
		g.flaws = append(g.flaws, newBoxed(shape))
	}
	for _, z := range h.Zones() {
		g.zones = append(g.zones, newBoxed(z.Area.Polygon().AsGeometry()))
	}
	return g
}

// onGround verifies that a piece may lie where it does.
func (c *checker) onGround(l *laid, p *cutPiece) {
	g := l.leather
	inside := false
	err := g.err
	if err == nil {
		inside, err = p.shape.within(g.prepared)
	}
	switch {
	case err != nil:
		c.fail(RuleOutline, p.where, "cannot be compared with the outline of the hide: %v", err)
	case !inside:
		c.fail(RuleOutline, p.where, "reaches out of the hide")
	default:
		for _, e := range g.edges {
			if e.within(g.hide.Trim()-lengthTol, p.shape) {
				c.fail(RuleTrim, p.where, "lies nearer than %.6g mm to the outline", g.hide.Trim())
				break
			}
		}
	}
	if p.use == nil || p.Cut && p.Judged {
		return
	}
	for i, f := range g.hide.Flaws() {
		if p.use.Refuses(f) && g.touchesFlaw(i, p.shape) {
			c.fail(RuleFlaw, p.where, "touches a %s, which use %q refuses", f.Kind, p.use.Name)
		}
	}
	c.onZones(l, p)
	if at, refused := refusedReading(g.hide, *p.use, p.shape); refused {
		c.fail(RuleSubstance, p.where, "the leather is %.4g mm thick near (%.4g, %.4g), expected %.4g to %.4g",
			at.MM, at.At[0], at.At[1], p.use.Substance.From, p.use.Substance.To)
	}
}

// touchesFlaw reports whether flaw i of the hide reaches into a shape: a
// spot by the distance of its middle, a stroke by that of its line, a patch by
// overlay.
func (g *ground) touchesFlaw(i int, s shape) bool {
	switch f := g.hide.Flaws()[i]; {
	case f.Spot != nil:
		return g.flaws[i].within(f.Spot.Diameter/2-lengthTol, s) || g.flaws[i].touches(s)
	case f.Stroke != nil:
		return g.flaws[i].within(f.Stroke.Width/2-lengthTol, s) || g.flaws[i].touches(s)
	default:
		return g.flaws[i].touches(s)
	}
}

// onZones verifies a piece against the zones of its hide. Leather in no zone is
// firm, so a use that asks for better finds it only inside zones.
func (c *checker) onZones(l *laid, p *cutPiece) {
	g := l.leather
	for i, z := range g.hide.Zones() {
		if !g.zones[i].touches(p.shape) {
			continue
		}
		if z.Quality < p.use.Quality {
			c.fail(RuleZone, p.where, "touches a %v zone, use %q asks for %v", z.Quality, p.use.Name, p.use.Quality)
		}
		if off := acute(p.along(), turned(l.backbone, float64(z.Grain))); z.Turned && off > p.mayTurn() {
			c.fail(RuleZone, p.where, "lies %.3g° off the grain of a zone, use %q allows %.3g°", degrees(off), p.use.Name, p.use.Angle.Degrees())
		}
	}
	if p.use.Quality <= hide.Firm {
		return
	}
	switch bare, err := g.outside(p.shape, p.use.Quality); {
	case err != nil:
		c.fail(RuleZone, p.where, "cannot be compared with the zones of the hide: %v", err)
	case bare > areaTol:
		c.fail(RuleZone, p.where, "lies outside the %v leather that use %q asks for", p.use.Quality, p.use.Name)
	}
}

// outside is the area of a shape that lies in no zone of at least that
// quality. The zones are taken away one by one: the union of shapes that meet
// along an edge has been seen to lose one of them.
func (g *ground) outside(s shape, least hide.Quality) (float64, error) {
	rest := polygonsOf(s.drawn())
	for i, z := range g.hide.Zones() {
		if z.Quality < least || !g.zones[i].touches(s) {
			continue
		}
		var left []geom.Polygon
		for _, part := range rest {
			d, err := geom.Difference(part.AsGeometry(), g.zones[i].shape)
			if err != nil {
				return 0, err
			}
			left = append(left, polygonsOf(d)...)
		}
		rest = left
	}
	area := 0.0
	for _, part := range rest {
		area += part.Area()
	}
	return area, nil
}

// refusedReading finds a reading that the use refuses and that is the nearest
// one to some part of the shape.
func refusedReading(h *hide.Hide, u hide.Use, s shape) (hide.Reading, bool) {
	sites := mapped(h.Thickness(), func(x hide.Reading) orb.Point { return x.At })
	for i, reading := range h.Thickness() {
		if !u.RefusesThickness(reading.MM) {
			continue
		}
		cell := polygonOf(cellOf(sites, i, s.drawnIn(lengthTol).corners())).AsGeometry()
		if s.outline != nil && !cell.IsEmpty() {
			if part, err := geom.Intersection(cell, s.drawn()); err == nil {
				cell = part
			}
		}
		if cell.Area() > areaTol {
			return reading, true
		}
	}
	return hide.Reading{}, false
}

// cellOf is the part of a convex polygon nearer to site i than to any other. Of
// sites at one place, each has the whole of their cell.
func cellOf(sites []orb.Point, i int, polygon []orb.Point) []orb.Point {
	for _, other := range sites {
		if other == sites[i] {
			continue
		}
		toward := sub(other, sites[i])
		toward = scale(toward, 1/norm(toward))
		halfway := scale(add(sites[i], other), 0.5)
		polygon = halfPlane{toward, dot(halfway, toward)}.clip(polygon)
	}
	return polygon
}

// mayTurn is the most, in radians, that a piece may lie off a grain.
func (p *cutPiece) mayTurn() float64 { return float64(p.use.Angle) + p.turnTol() }

// turnTol is the turn, in radians, that moves the end of a piece by lengthTol.
func (p *cutPiece) turnTol() float64 { return lengthTol / max(p.shape.side(0), p.shape.side(1)) }

func degrees(radians float64) float64 { return radians * 180 / math.Pi }
