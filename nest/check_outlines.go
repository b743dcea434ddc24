package nest

import (
	"fmt"
	"math"
	"slices"
	"sync"

	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"
	"github.com/peterstace/simplefeatures/rtree"

	"strapwise/hide/plane"
)

// shape is what a piece covers: a rectangle or, of a template, an outline in the
// rectangle round it.
type shape struct {
	rect
	outline []orb.Point          // of a template, in either direction; nil: the rectangle
	whole   geom.Geometry        // what it encloses
	core    func() geom.Geometry // the same with its edge moved inward by lengthTol, once asked: most pieces are clear of all without it
}

// mostOutline is how many corners a piece may have: more than any drawing is read
// with.
const mostOutline = 10_000

// outlineFrom reads an outline whose length runs along the unit vector u. The error
// says what is wrong.
func outlineFrom(outline []orb.Point, u orb.Point) (shape, error) {
	if len(outline) > mostOutline {
		return shape{}, fmt.Errorf("found %d corners, expected at most %d", len(outline), mostOutline)
	}
	ring, err := plane.NewRing(outline)
	if err != nil {
		return shape{}, err
	}
	s := shape{outline: ring.Corners(), whole: ring.Polygon().AsGeometry()}
	v := orb.Point{-u[1], u[0]}
	along, across := spread(s.outline, orb.Point{}, u), spread(s.outline, orb.Point{}, v)
	if min(along.Len(), across.Len()) < 4*lengthTol {
		return shape{}, fmt.Errorf("a side of %.4g mm is none", min(along.Len(), across.Len()))
	}
	s.rect = rectAt(add(scale(u, along.Lo), scale(v, across.Lo)), u, v, along.Len(), across.Len())
	s.core = sync.OnceValue(func() geom.Geometry { return s.moved(lengthTol) })
	return s, nil
}

// moved is what the outline encloses with its edge moved inward; where that leaves
// nothing, or the overlay library fails, all of it.
func (s shape) moved(by float64) geom.Geometry {
	core, err := geom.Buffer(s.whole, -by, geom.BufferQuadSegments(1))
	if err != nil || core.IsEmpty() {
		return s.whole
	}
	return core
}

// spread is the stretch that places cover along the unit vector u, counted from the
// point origin.
func spread(pts []orb.Point, origin, u orb.Point) plane.Span {
	x := plane.Span{Lo: math.Inf(1), Hi: math.Inf(-1)}
	for _, p := range pts {
		at := dot(sub(p, origin), u)
		x.Lo, x.Hi = min(x.Lo, at), max(x.Hi, at)
	}
	return x
}

// extent is the stretch that the shape covers along the unit vector u, counted from
// the point origin.
func (s shape) extent(origin, u orb.Point) plane.Span {
	if s.outline != nil {
		return spread(s.outline, origin, u)
	}
	return s.rect.extent(origin, u)
}

func (s shape) geometry() geom.Geometry {
	if s.outline != nil {
		return s.whole
	}
	return s.rect.geometry()
}

// drawn is the shape with its edge moved inward by lengthTol.
func (s shape) drawn() geom.Geometry {
	if s.outline != nil {
		return s.core()
	}
	return s.rect.drawnIn(lengthTol).geometry()
}

// meets reports whether the shape, its edge moved inward by lengthTol, shares a point
// with another geometry.
func (s shape) meets(g geom.Geometry) bool {
	return (s.outline == nil || geom.Intersects(g, s.whole)) && geom.Intersects(g, s.drawn())
}

// within reports whether the shape, its edge moved inward by lengthTol, lies in a
// geometry.
func (s shape) within(g geom.PreparedGeometry) (bool, error) {
	if s.outline != nil {
		if whole, err := g.Covers(s.whole); err == nil && whole {
			return true, nil
		}
	}
	return g.Covers(s.drawn())
}

// inside reports whether the shape lies in a rectangle, within lengthTol.
func (s shape) inside(o rect) bool {
	for i, u := range o.dir {
		if x := s.extent(o.centre, u); max(-x.Lo, x.Hi) > o.half[i]+lengthTol {
			return false
		}
	}
	return true
}

// overlap reports whether two shapes share more than a rim lengthTol wide.
func (s shape) overlap(o shape) bool {
	if !overlap(s.rect, o.rect) || s.outline == nil && o.outline == nil {
		return overlap(s.rect, o.rect)
	}
	half := func(x shape) geom.Geometry {
		if x.outline == nil {
			return x.rect.drawnIn(lengthTol / 2).geometry()
		}
		return x.moved(lengthTol / 2)
	}
	return geom.Intersects(half(s), half(o))
}

// pairs calls found for each two shapes, i < j, that overlap by more than lengthTol,
// in the order of i, then j, until it returns false.
func pairs(shapes []shape, found func(i, j int) bool) {
	items := make([]rtree.BulkItem, len(shapes))
	for i, s := range shapes {
		items[i] = rtree.BulkItem{Box: s.box(0), RecordID: i}
	}
	tree := rtree.BulkLoad(items)
	for i, s := range shapes {
		var hits []int
		_ = tree.RangeSearch(s.box(0), func(j int) error {
			if j > i && s.overlap(shapes[j]) {
				hits = append(hits, j)
			}
			return nil
		})
		slices.Sort(hits)
		for _, j := range hits {
			if !found(i, j) {
				return
			}
		}
	}
}

// shapeOf reads the outline of a piece: as a rectangle or, if its part is cut to a
// template, or is not known and it is no rectangle, as what it is. The error says
// what is wrong.
func (p *cutPiece) shapeOf(backbone orb.Point) (shape, error) {
	u := turned(backbone, p.AngleDeg*math.Pi/180)
	if p.part != nil && p.part.Template != nil {
		return outlineFrom(p.Outline, u)
	}
	r, err := rectFrom(p.Outline)
	if err != nil && p.part == nil {
		if s, err := outlineFrom(p.Outline, u); err == nil {
			return s, nil
		}
	}
	return shape{rect: r}, err
}

// isOutlineOf reports whether the shape is a template whose length runs along the unit
// vector u, either way round, the face that is drawn up; to lengthTol.
func (s shape) isOutlineOf(t *Template, u orb.Point) bool {
	drawn := t.Outline.Corners()
	if len(drawn) == 0 {
		return false
	}
	middle := t.Outline.Bound().Center()
	for _, u := range []orb.Point{u, scale(u, -1)} {
		v := orb.Point{-u[1], u[0]}
		x, y := spread(s.outline, orb.Point{}, u), spread(s.outline, orb.Point{}, v)
		centre := add(scale(u, (x.Lo+x.Hi)/2), scale(v, (y.Lo+y.Hi)/2))
		laid := mapped(drawn, func(p orb.Point) orb.Point {
			d := sub(p, middle)
			return add(centre, add(scale(u, d[0]), scale(v, d[1])))
		})
		if sameCorners(s.outline, laid) || follows(s.outline, laid) && follows(laid, s.outline) {
			return true
		}
	}
	return false
}

// follows reports whether every corner of an outline lies on another, to lengthTol.
func follows(corners, outline []orb.Point) bool {
	edges := plane.Line(append(outline[:len(outline):len(outline)], outline[0])...).AsGeometry()
	for _, p := range corners {
		if off, known := geom.Distance(geom.NewPointXY(p[0], p[1]).AsGeometry(), edges); !known || off > lengthTol {
			return false
		}
	}
	return true
}

// lieOf is the direction in which the length of a template runs, if the shape is one
// that has its corners in the same order, told by the two furthest apart from the first.
func (s shape) lieOf(t *Template) (orb.Point, bool) {
	drawn := t.Outline.Corners()
	if len(drawn) != len(s.outline) {
		return orb.Point{}, false
	}
	far := 0
	for i, p := range drawn {
		if norm(sub(p, drawn[0])) > norm(sub(drawn[far], drawn[0])) {
			far = i
		}
	}
	a, b := sub(drawn[far], drawn[0]), sub(s.outline[far], s.outline[0])
	u := turned(orb.Point{1, 0}, math.Atan2(cross(a, b), dot(a, b)))
	return u, s.isOutlineOf(t, u)
}
