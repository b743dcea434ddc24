package report

import (
	"cmp"
	"math"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	"github.com/peterstace/simplefeatures/geom"

	"strapwise/hide"
	"strapwise/hide/measure"
	"strapwise/hide/plane"
	"strapwise/nest"
	"strapwise/report/internal/shape"
)

// buckleTurn is how much of a main goes round the buckle, in millimetres: 2 to
// 2 1/2 in (common practice, no source). It bears the strain, and flaws that a use
// may contain stay off it.
const buckleTurn = 2.5 * measure.MMPerInch

// bearsBuckle reports whether a piece has a buckle end.
func (l *lay) bearsBuckle(p nest.Piece) bool {
	return p.Part == "main" && l.job.Uses[p.Use].Name == "load"
}

// buckleFar reports whether the buckle end of a piece is better at the end that is
// farther from the squared end: where the leather is of better quality, has fewer
// flaws or, with those alike, is thicker. Otherwise it is the nearer end, at which
// the strip is cut first.
func (l *lay) buckleFar(p nest.Piece) bool {
	b := l.bound(p.Outline)
	turn := min(buckleTurn, (b.Max[0]-b.Min[0])/2)
	across := plane.Span{Lo: b.Min[1], Hi: b.Max[1]}
	near := l.leatherOf(l.frame.Rect(plane.Span{Lo: b.Min[0], Hi: b.Min[0] + turn}, across))
	far := l.leatherOf(l.frame.Rect(plane.Span{Lo: b.Max[0] - turn, Hi: b.Max[0]}, across))
	return far.compare(near) > 0
}

// leather is what a patch of the hide is like.
type leather struct {
	quality hide.Quality // the worst in it
	flaws   int
	mm      float64 // thickness in its middle; 0: nobody has measured it
}

// compare is above 0 if a is better than b.
func (a leather) compare(b leather) int {
	return cmp.Or(cmp.Compare(a.quality, b.quality), cmp.Compare(b.flaws, a.flaws), cmp.Compare(a.mm, b.mm))
}

func (l *lay) leatherOf(patch []orb.Point) leather {
	out := leather{quality: hide.Prime}
	at, err := shape.Of(patch)
	if err != nil {
		return out
	}
	graded := false
	rest := at
	for _, z := range l.hide.Zones() {
		area := z.Area.Polygon().AsGeometry()
		if !geom.Intersects(at, area) {
			continue
		}
		out.quality = min(out.quality, z.Quality)
		if r, err := geom.Difference(rest, area); err == nil {
			rest, graded = r, true
		}
	}
	if !graded || rest.Area() > 1 { // mm²; what is in no zone is firm
		out.quality = min(out.quality, hide.Firm)
	}
	for _, f := range l.flaws {
		if geom.Intersects(at, f) {
			out.flaws++
		}
	}
	nearest := math.Inf(1)
	middle := orb.MultiPoint(patch).Bound().Center()
	for _, r := range l.hide.Readings() { // a place is as thick as the nearest reading
		if d := planar.Distance(middle, r.At); d < nearest {
			nearest, out.mm = d, r.MM
		}
	}
	return out
}
