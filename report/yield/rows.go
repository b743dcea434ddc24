package yield

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"strapwise/hide/plane"
)

// The areas of a hide are counted in rows, from its struck edge outward. Along
// the middle of a row every shape is a few spans, and what lies on what is
// settled by taking spans from spans:
//
//	row  ├───────────────hide────────────────┤
//	         ├──piece──┤├─piece─┤                 taken first
//	      ├──flaw──┤              ├flaw┤          what the pieces left of it
//	     ▪│f│  piece   │ piece  │▪│flaw│▪▪▪▪▪▪    and so on; ▪ is left at last
//
// Rows begin and end wherever an outline has a corner and a round flaw its
// widest reach, and are no higher than rowHeight. Between two corners an
// outline's width grows evenly, so that its middle tells its area exactly; the
// sum of all the parts is the hide's area whatever the shapes do. The error is
// in how rounded and crossing edges are shared out within a row: below 1 % of a
// long flaw, and a tenth of a square millimetre at each rounded end.
const rowHeight = 0.5 // mm

// shape is a place on a hide, in the frame of the rows.
type shape interface {
	span() plane.Span                          // from where to where it reaches across the rows
	corners(ys []float64) []float64            // adds where its edge turns
	at(y float64, s []plane.Span) []plane.Span // adds what it covers at y; y never falls from call to call
}

// sweep keeps those of its items that a rising line crosses.
type sweep[T interface{ span() plane.Span }] struct {
	all  []T // in order of where they begin
	next int
	live []T
}

func newSweep[T interface{ span() plane.Span }](all []T) sweep[T] {
	slices.SortStableFunc(all, func(a, b T) int { return cmp.Compare(a.span().Lo, b.span().Lo) })
	return sweep[T]{all: all}
}

func (s *sweep[T]) at(y float64) []T {
	for s.next < len(s.all) && s.all[s.next].span().Lo < y {
		s.live = append(s.live, s.all[s.next])
		s.next++
	}
	s.live = slices.DeleteFunc(s.live, func(t T) bool { return t.span().Hi <= y })
	return s.live
}

// edge is one side of a polygon, its lower end first.
type edge struct{ a, b orb.Point }

func (e edge) span() plane.Span { return plane.Span{Lo: e.a[1], Hi: e.b[1]} }

// polygon is what lies within an outline.
type polygon struct {
	edges   sweep[edge]
	reach   plane.Span
	crossed []float64
}

func newPolygon(outline plane.Ring) *polygon {
	var edges []edge
	for i := range outline.Len() {
		a, b := outline.Corner(i), outline.Corner(i+1)
		if a[1] > b[1] {
			a, b = b, a
		}
		edges = append(edges, edge{a, b})
	}
	bound := outline.Bound()
	return &polygon{edges: newSweep(edges), reach: plane.Span{Lo: bound.Min[1], Hi: bound.Max[1]}}
}

func (p *polygon) span() plane.Span { return p.reach }

func (p *polygon) corners(ys []float64) []float64 {
	for _, e := range p.edges.all {
		ys = append(ys, e.a[1], e.b[1])
	}
	return ys
}

func (p *polygon) at(y float64, s []plane.Span) []plane.Span {
	p.crossed = p.crossed[:0]
	for _, e := range p.edges.at(y) {
		p.crossed = append(p.crossed, e.a[0]+(y-e.a[1])/(e.b[1]-e.a[1])*(e.b[0]-e.a[0]))
	}
	slices.Sort(p.crossed)
	for i := 1; i < len(p.crossed); i += 2 {
		s = append(s, plane.Span{Lo: p.crossed[i-1], Hi: p.crossed[i]})
	}
	return s
}

// swollen is what lies within a radius of the line from a to b.
type swollen struct {
	a, b   orb.Point
	radius float64
}

func (w swollen) span() plane.Span {
	return plane.Span{Lo: min(w.a[1], w.b[1]) - w.radius, Hi: max(w.a[1], w.b[1]) + w.radius}
}

func (w swollen) corners(ys []float64) []float64 {
	ys = append(ys, w.a[1]-w.radius, w.a[1]+w.radius, w.b[1]-w.radius, w.b[1]+w.radius)
	if d := math.Hypot(w.b[0]-w.a[0], w.b[1]-w.a[1]); d > 0 { // where its straight sides begin
		off := w.radius * math.Abs(w.b[0]-w.a[0]) / d
		ys = append(ys, w.a[1]-off, w.a[1]+off, w.b[1]-off, w.b[1]+off)
	}
	return ys
}

// at joins the discs at both ends and the straight part between them: what a
// line crosses of the three is one span, since they make a convex whole.
func (w swollen) at(y float64, s []plane.Span) []plane.Span {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, c := range []orb.Point{w.a, w.b} {
		if d := y - c[1]; math.Abs(d) < w.radius {
			half := math.Sqrt(w.radius*w.radius - d*d)
			lo, hi = min(lo, c[0]-half), max(hi, c[0]+half)
		}
	}
	along := orb.Point{w.b[0] - w.a[0], w.b[1] - w.a[1]}
	if d := math.Hypot(along[0], along[1]); d > 0 {
		n := orb.Point{-along[1] / d * w.radius, along[0] / d * w.radius}
		sides := [4]orb.Point{
			{w.a[0] + n[0], w.a[1] + n[1]},
			{w.b[0] + n[0], w.b[1] + n[1]},
			{w.b[0] - n[0], w.b[1] - n[1]},
			{w.a[0] - n[0], w.a[1] - n[1]},
		}
		for i, p := range sides {
			q := sides[(i+1)%len(sides)]
			if (p[1] <= y) != (q[1] <= y) {
				x := p[0] + (y-p[1])/(q[1]-p[1])*(q[0]-p[0])
				lo, hi = min(lo, x), max(hi, x)
			}
		}
	}
	if lo < hi {
		s = append(s, plane.Span{Lo: lo, Hi: hi})
	}
	return s
}

// upright is an upright rectangle.
type upright struct{ x, y plane.Span }

func (u upright) span() plane.Span { return u.y }

func (u upright) corners(ys []float64) []float64 { return append(ys, u.y.Lo, u.y.Hi) }

func (u upright) at(_ float64, s []plane.Span) []plane.Span {
	if u.x.Lo < u.x.Hi {
		s = append(s, u.x)
	}
	return s
}

// share divides what lies within an outline among layers of shapes, in mm²:
// each layer has what its shapes cover and no layer before it has taken. left
// is what none takes.
func share(outline plane.Ring, layers [][]shape) (taken []float64, left float64) {
	whole := newPolygon(outline)
	reach := whole.span()
	ys := whole.corners(nil)
	var sweeps []sweep[shape]
	for _, l := range layers {
		for _, s := range l {
			ys = s.corners(ys)
		}
		sweeps = append(sweeps, newSweep(slices.Clone(l)))
	}
	slices.Sort(ys)
	ys = slices.Compact(ys)
	taken = make([]float64, len(layers))
	var rest, spare, cover []plane.Span
	for i := 1; i < len(ys); i++ {
		lo, hi := ys[i-1], ys[i]
		if lo < reach.Lo || hi > reach.Hi {
			continue
		}
		rows := math.Ceil((hi - lo) / rowHeight)
		high := (hi - lo) / rows
		for n := range int(rows) {
			y := lo + (float64(n)+0.5)*high
			rest = whole.at(y, rest[:0])
			for k := range sweeps {
				cover = cover[:0]
				for _, s := range sweeps[k].at(y) {
					cover = s.at(y, cover)
				}
				if len(cover) == 0 {
					continue
				}
				before := length(rest)
				spare = without(rest, plane.Merge(cover), spare[:0])
				rest, spare = spare, rest
				taken[k] += high * max(0, before-length(rest))
			}
			left += high * length(rest)
		}
	}
	return taken, left
}

func length(spans []plane.Span) float64 {
	sum := 0.0
	for _, s := range spans {
		sum += s.Len()
	}
	return sum
}

// without appends to out what is left of spans where others are taken out;
// both come in order, and no two of either overlap.
func without(spans, others, out []plane.Span) []plane.Span {
	k := 0
	for _, s := range spans {
		for k < len(others) && others[k].Hi <= s.Lo {
			k++
		}
		for j := k; j < len(others) && others[j].Lo < s.Hi; j++ {
			if others[j].Lo > s.Lo {
				out = append(out, plane.Span{Lo: s.Lo, Hi: others[j].Lo})
			}
			s.Lo = min(s.Hi, max(s.Lo, others[j].Hi))
		}
		if s.Lo < s.Hi {
			out = append(out, s)
		}
	}
	return out
}
