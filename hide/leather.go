package hide

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"

	"strapwise/hide/measure"
	"strapwise/hide/plane"
)

// Touch is how deep, in millimetres, a band may reach into what its use
// refuses and still count as only touching it. It lets strips lie edge to
// edge with a flaw or with the outline after a turn of the frame has cost the
// last bits of a coordinate, or a file has rounded it to a ten thousandth.
const Touch = 1e-3

// Leather is the part of a hide that serves a use, prepared for asking which
// stretches of a band lie wholly in it. Its coordinates are those of the
// frame it was made for: X along the strips, Y across them.
//
// A band is blocked where an edge of the outline, or anything refused, shows
// within it:
//
//	      ______________________________
//	─────/─ ─ ─ ─ ─ ─( )─ ─ ─ ─ ─ ─ ─ ─ \───   band.Hi
//	    /             ‾     ▒▒▒          |
//	───/─ ─ ─ ─ ─ ─ ─ ─ ─ ─ ▒▒▒─ ─ ─ ─ ─/────   band.Lo
//	  /_________________________________/
//	   ▪▪|   run    |▪|run |▪▪▪|  run  |▪▪
//
// Between two blocked stretches no edge enters the band, so a gap is in
// or out as a whole, and one point tells which.
type Leather struct {
	edges    []edge  // of all polygons, and the lines of spots and strokes
	buckets  [][]int // indices of edges, by the slices of Y that they reach into
	base     float64 // Y where bucket 0 begins
	pitch    float64 // depth of a bucket
	polygons int     // how many: the outline, then what is refused
	bound    orb.Bound
}

// Serving returns the leather of the hide that serves the use, seen in a frame
// that is turned so far from the hide's own as pieces are to lie off the
// backbone. It is the outline moved inward by the trim, edge by edge with
// mitred corners, less the flaws and zones that the use refuses and less the
// leather whose thickness it refuses; there, the nearest reading counts.
func (h *Hide) Serving(u Use, f plane.Frame) (*Leather, error) {
	l := within(h.outline.In(f), h.spec.Trim)
	for _, flaw := range h.spec.Flaws {
		switch {
		case !u.Refuses(flaw):
		case flaw.Patch != nil:
			l.polygon(0, flaw.Patch.In(f))
		case flaw.Spot != nil:
			at := f.Into(flaw.Spot.At)
			l.line(at, at, flaw.Spot.Diameter/2, -1)
		case flaw.Stroke != nil:
			for i := 1; i < len(flaw.Stroke.Line); i++ {
				l.line(f.Into(flaw.Stroke.Line[i-1]), f.Into(flaw.Stroke.Line[i]), flaw.Stroke.Width/2, -1)
			}
		}
	}
	off := measure.Angle(f.Radians() - h.frame.Radians())
	for _, z := range h.spec.Zones {
		if u.RefusesZone(z, off) {
			l.polygon(0, z.Area.In(f))
		}
	}
	for _, cell := range h.refusedCells(u) {
		l.polygon(0, cell.In(f))
	}
	if u.Quality > Firm {
		ungraded, err := h.ungraded(u, f)
		if err != nil {
			return nil, err
		}
		l.polygon(0, ungraded...)
	}
	l.index()
	return l, nil
}

// Whole returns all leather within the outline, trim and flaws included.
func (h *Hide) Whole(f plane.Frame) *Leather {
	l := within(h.outline.In(f), 0)
	l.index()
	return l
}

// within begins the leather inside an outline, less the trim. It is to be
// indexed once all that is refused is in.
func within(outline plane.Ring, trim float64) *Leather {
	l := &Leather{bound: outline.Bound().Pad(-trim)}
	l.polygon(trim, outline)
	if trim > 0 {
		for _, m := range mitres(outline, trim) {
			l.polygon(0, m)
		}
	}
	return l
}

// holds indexes the leather, and reports whether a square of that side lies in it.
func (l *Leather) holds(side float64) bool {
	l.index()
	run, _ := l.Longest(side, smallestHide)
	return run.Len() >= side-2*Touch
}

// Bound is the rectangle, in the frame, round the outline, less the trim.
func (l *Leather) Bound() orb.Bound { return l.bound }

// ungraded gives the rings, even within odd, in the frame, round the leather
// that no zone raises to the quality of the use. Leather in no zone is firm.
func (h *Hide) ungraded(u Use, f plane.Frame) ([]plane.Ring, error) {
	left := h.outline.Polygon().AsGeometry()
	for _, z := range h.spec.Zones {
		if z.Quality < u.Quality {
			continue
		}
		var err error
		if left, err = geom.Difference(left, z.Area.Polygon().AsGeometry()); err != nil {
			return nil, fmt.Errorf("hide %s: taking out the zones: %w", h.spec.Name, err)
		}
	}
	return ringsOf(left, f), nil
}

// ringsOf gives the rings of all polygons of g, as seen in the frame.
func ringsOf(g geom.Geometry, f plane.Frame) []plane.Ring {
	var rings []plane.Ring
	for _, part := range g.Dump() {
		p, ok := part.AsPolygon()
		if !ok {
			continue
		}
		for _, line := range p.DumpRings() {
			seq := line.Coordinates()
			corners := make([]orb.Point, seq.Length())
			for i := range corners {
				xy := seq.GetXY(i)
				corners[i] = orb.Point{xy.X, xy.Y}
			}
			if r, err := plane.NewRing(corners); err == nil {
				rings = append(rings, r.In(f))
			}
		}
	}
	return rings
}

// polygon takes in a polygon of rings, even within odd, whose edges refuse what
// is nearer than reach: the outline first, then what is refused.
func (l *Leather) polygon(reach float64, rings ...plane.Ring) {
	for _, r := range rings {
		for i := range r.Len() {
			l.line(r.Corner(i), r.Corner(i+1), reach, l.polygons)
		}
	}
	l.polygons++
}

func (l *Leather) line(a, b orb.Point, reach float64, polygon int) {
	if a[1] > b[1] {
		a, b = b, a
	}
	l.edges = append(l.edges, edge{a, b, reach, polygon})
}

// index sorts the edges into buckets.
func (l *Leather) index() {
	const least = 4 // mm of depth: bands are deeper, and a bucket for each edge would be many to go through
	l.base = l.bound.Min[1]
	depth := max(l.bound.Max[1]-l.base, least)
	l.pitch = max(least, depth/float64(len(l.edges)))
	l.buckets = make([][]int, int(depth/l.pitch)+1)
	for i, e := range l.edges {
		lo, hi := e.a[1]-e.reach, e.b[1]+e.reach
		if hi < l.base || lo > l.bound.Max[1] {
			continue // beyond the leather
		}
		for b := l.bucket(lo); b <= l.bucket(hi); b++ {
			l.buckets[b] = append(l.buckets[b], i)
		}
	}
}

func (l *Leather) bucket(y float64) int {
	return min(max(int((y-l.base)/l.pitch), 0), len(l.buckets)-1)
}

// Runs gives the stretches of a band, in order, that lie wholly in the
// leather. Touching is allowed; see Touch.
func (l *Leather) Runs(band plane.Span) []plane.Span {
	band.Lo, band.Hi = band.Lo+Touch, band.Hi-Touch
	if band.Lo >= band.Hi || band.Lo < l.bound.Min[1] || band.Hi > l.bound.Max[1] {
		return nil
	}
	blocked := l.blocked(band)
	slices.SortFunc(blocked, func(a, b plane.Span) int { return cmp.Compare(a.Lo, b.Lo) })
	level := (band.Lo + band.Hi) / 2
	crossings := l.crossings(level)

	var runs []plane.Span
	in := make([]bool, l.polygons)
	refused, next, end := 0, 0, math.Inf(-1)
	for _, b := range blocked {
		if b.Lo > end && !math.IsInf(end, -1) {
			mid := (end + b.Lo) / 2
			for ; next < len(crossings) && crossings[next].x < mid; next++ {
				p := crossings[next].polygon
				in[p] = !in[p]
				if p > 0 && in[p] {
					refused++
				} else if p > 0 {
					refused--
				}
			}
			if in[0] && refused == 0 {
				runs = append(runs, plane.Span{Lo: end, Hi: b.Lo})
			}
		}
		end = max(end, b.Hi)
	}
	return runs
}

// blocked gives the stretches of the band in which an edge or a refused flaw shows.
func (l *Leather) blocked(band plane.Span) []plane.Span {
	var out []plane.Span
	first, last := l.bucket(band.Lo), l.bucket(band.Hi)
	for b := first; b <= last; b++ {
		for _, i := range l.buckets[b] {
			if b > first && l.bucket(l.edges[i].a[1]-l.edges[i].reach) < b {
				continue // met in the bucket before
			}
			if s, ok := l.edges[i].shadow(band); ok {
				out = append(out, s)
			}
		}
	}
	return out
}

type crossing struct {
	x       float64
	polygon int
}

// crossings gives where edges cross the line at height y, in order of x.
func (l *Leather) crossings(y float64) []crossing {
	var out []crossing
	for _, i := range l.buckets[l.bucket(y)] {
		if e := l.edges[i]; e.polygon >= 0 && e.a[1] <= y && y < e.b[1] {
			out = append(out, crossing{e.at(y), e.polygon})
		}
	}
	slices.SortFunc(out, func(a, b crossing) int { return cmp.Compare(a.x, b.x) })
	return out
}

// Longest gives the longest run of any band so deep, looked for every step
// across the leather, and where its band begins. Lengths are millimetres. The
// run is empty if no such band serves anywhere.
func (l *Leather) Longest(depth, step float64) (run plane.Span, at float64) {
	for y := l.bound.Min[1]; y+depth <= l.bound.Max[1]+Touch; y += step {
		for _, r := range l.Runs(plane.Span{Lo: y, Hi: y + depth}) {
			if r.Len() > run.Len() {
				run, at = r, y
			}
		}
	}
	return run, at
}

// Area is how much leather serves, in mm², as even lines across it tell, no farther apart
// than a step.
func (l *Leather) Area(step float64) float64 {
	const line = 4 * Touch
	depth := l.bound.Max[1] - l.bound.Min[1]
	lines := math.Ceil(depth / step)
	runs := 0.0
	for i := range int(lines) {
		y := l.bound.Min[1] + (float64(i)+0.5)*depth/lines
		for _, r := range l.Runs(plane.Span{Lo: y - line/2, Hi: y + line/2}) {
			runs += r.Len()
		}
	}
	return runs * depth / lines
}
