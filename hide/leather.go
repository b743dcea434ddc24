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
// last bits of a coordinate.
const Touch = 1e-6

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
	edges    []edge   // of all polygons
	polygons int      // how many: the outline, then what is refused
	buckets  [][]int  // indices of edges, by the slices of Y that they cross
	base     float64  // Y where bucket 0 begins
	pitch    float64  // depth of a bucket
	spots    []Spot   // refused, in the frame
	strokes  []Stroke // refused, in the frame
	bound    orb.Bound
}

// edge is one side of a polygon, a below b. Polygon 0 is the outline; in all
// others the leather is refused.
type edge struct {
	a, b    orb.Point
	polygon int
}

// Serving returns the leather of the hide that serves the use, seen in a frame
// that is turned so far from the hide's own as pieces are to lie off the
// backbone. It is the outline moved inward by the trim, edge by edge with
// mitred corners, less the flaws and zones that the use refuses and less the
// leather whose thickness it refuses; there, the nearest reading counts.
func (h *Hide) Serving(u Use, f plane.Frame) (*Leather, error) {
	outline, err := h.trimmed(f)
	if err != nil {
		return nil, err
	}
	off := measure.Angle(f.Radians() - h.frame.Radians())
	polygons := [][]plane.Ring{outline}
	refuse := func(r plane.Ring) { polygons = append(polygons, []plane.Ring{r.In(f)}) }
	l := &Leather{}
	for _, flaw := range h.spec.Flaws {
		switch {
		case !u.Refuses(flaw):
		case flaw.Patch != nil:
			refuse(*flaw.Patch)
		case flaw.Spot != nil:
			l.spots = append(l.spots, Spot{f.Into(flaw.Spot.At), flaw.Spot.Diameter})
		case flaw.Stroke != nil:
			s := Stroke{Width: flaw.Stroke.Width}
			for _, p := range flaw.Stroke.Line {
				s.Line = append(s.Line, f.Into(p))
			}
			l.strokes = append(l.strokes, s)
		}
	}
	for _, z := range h.spec.Zones {
		if u.RefusesZone(z, off) {
			refuse(z.Area)
		}
	}
	for _, cell := range h.refusedCells(u) {
		refuse(cell)
	}
	if u.Quality > Firm {
		ungraded, err := h.ungraded(u, f)
		if err != nil {
			return nil, err
		}
		polygons = append(polygons, ungraded)
	}
	l.build(polygons)
	return l, nil
}

// Whole returns all leather within the outline, trim and flaws included.
func (h *Hide) Whole(f plane.Frame) *Leather {
	l := &Leather{}
	l.build([][]plane.Ring{{h.outline.In(f)}})
	return l
}

// Bound is the smallest rectangle, in the frame, round the trimmed outline.
func (l *Leather) Bound() orb.Bound { return l.bound }

// trimmed gives the rings, in the frame, between which leather lies once the
// trim is taken off.
func (h *Hide) trimmed(f plane.Frame) ([]plane.Ring, error) {
	if h.spec.Trim == 0 {
		return []plane.Ring{h.outline.In(f)}, nil
	}
	const mitre = 5 // the usual limit of overlay libraries: sharper corners are cut off square
	g, err := geom.Buffer(h.outline.Polygon().AsGeometry(), -h.spec.Trim, geom.BufferJoinStyleMitre(mitre))
	if err != nil {
		return nil, fmt.Errorf("hide %s: trimming the outline: %w", h.spec.Name, err)
	}
	return ringsOf(g, f), nil
}

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

// build takes in polygons, each of rings even within odd: the outline, then
// what is refused.
func (l *Leather) build(polygons [][]plane.Ring) {
	l.polygons = len(polygons)
	for n, rings := range polygons {
		for i, r := range rings {
			switch {
			case n > 0:
			case i == 0:
				l.bound = r.Bound()
			default:
				l.bound = l.bound.Union(r.Bound())
			}
			l.add(r, n)
		}
	}
	if len(l.edges) == 0 {
		return
	}
	const perBucket = 2 // edges of the outline that a bucket should begin with
	n := max(1, len(l.edges)/perBucket)
	l.base = l.bound.Min[1]
	l.pitch = max(Touch, (l.bound.Max[1]-l.base)/float64(n))
	l.buckets = make([][]int, n)
	for i, e := range l.edges {
		if e.b[1] < l.base || e.a[1] > l.bound.Max[1] {
			continue // beyond the leather
		}
		for b := l.bucket(e.a[1]); b <= l.bucket(e.b[1]); b++ {
			l.buckets[b] = append(l.buckets[b], i)
		}
	}
}

func (l *Leather) add(r plane.Ring, polygon int) {
	for i := range r.Len() {
		a, b := r.Corner(i), r.Corner(i+1)
		if a[1] > b[1] {
			a, b = b, a
		}
		l.edges = append(l.edges, edge{a, b, polygon})
	}
}

func (l *Leather) bucket(y float64) int {
	return min(max(int((y-l.base)/l.pitch), 0), len(l.buckets)-1)
}

// Runs gives the stretches of a band, in order, that lie wholly in the
// leather. Touching is allowed; see Touch.
func (l *Leather) Runs(band plane.Span) []plane.Span {
	band.Lo, band.Hi = band.Lo+Touch, band.Hi-Touch
	if len(l.edges) == 0 || band.Lo >= band.Hi || band.Lo < l.bound.Min[1] || band.Hi > l.bound.Max[1] {
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
			if s, ok := l.edges[i].shadow(band); ok {
				out = append(out, s)
			}
		}
	}
	for _, s := range l.spots {
		if s, ok := discShadow(s.At, s.Diameter/2, band); ok {
			out = append(out, s)
		}
	}
	for _, s := range l.strokes {
		for i := 1; i < len(s.Line); i++ {
			if s, ok := stretchShadow(s.Line[i-1], s.Line[i], s.Width/2, band); ok {
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
		if e := l.edges[i]; e.a[1] <= y && y < e.b[1] {
			out = append(out, crossing{e.at(y), e.polygon})
		}
	}
	slices.SortFunc(out, func(a, b crossing) int { return cmp.Compare(a.x, b.x) })
	return out
}

// at is the X of the edge at height y, which it must reach.
func (e edge) at(y float64) float64 {
	if e.b[1] == e.a[1] {
		return e.a[0]
	}
	return e.a[0] + (y-e.a[1])/(e.b[1]-e.a[1])*(e.b[0]-e.a[0])
}

// shadow is the stretch of X over which the edge runs within the band.
func (e edge) shadow(band plane.Span) (plane.Span, bool) {
	if e.b[1] <= band.Lo || e.a[1] >= band.Hi {
		return plane.Span{}, false
	}
	p, q := e.a[0], e.b[0]
	if e.a[1] < band.Lo {
		p = e.at(band.Lo)
	}
	if e.b[1] > band.Hi {
		q = e.at(band.Hi)
	}
	return plane.Span{Lo: min(p, q), Hi: max(p, q)}, true
}

// discShadow is the stretch of X over which a disc reaches into the band.
func discShadow(c orb.Point, r float64, band plane.Span) (plane.Span, bool) {
	d := max(band.Lo-c[1], c[1]-band.Hi, 0)
	if d >= r {
		return plane.Span{}, false
	}
	half := math.Sqrt(r*r - d*d)
	return plane.Span{Lo: c[0] - half, Hi: c[0] + half}, true
}

// stretchShadow is the stretch of X over which all that is nearer than r to
// the line a-b reaches into the band. That shape is convex: two discs and the
// rectangle between them.
func stretchShadow(a, b orb.Point, r float64, band plane.Span) (plane.Span, bool) {
	out, found := discShadow(a, r, band)
	join := func(s plane.Span, ok bool) {
		switch {
		case ok && found:
			out = plane.Span{Lo: min(out.Lo, s.Lo), Hi: max(out.Hi, s.Hi)}
		case ok:
			out, found = s, true
		}
	}
	join(discShadow(b, r, band))
	n := math.Hypot(b[0]-a[0], b[1]-a[1])
	if n == 0 {
		return out, found
	}
	nx, ny := -(b[1]-a[1])/n*r, (b[0]-a[0])/n*r
	corners := [4]orb.Point{{a[0] + nx, a[1] + ny}, {b[0] + nx, b[1] + ny}, {b[0] - nx, b[1] - ny}, {a[0] - nx, a[1] - ny}}
	for i, p := range corners {
		q := corners[(i+1)%4]
		if p[1] > q[1] {
			p, q = q, p
		}
		join(edge{a: p, b: q}.shadow(band))
	}
	return out, found
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
