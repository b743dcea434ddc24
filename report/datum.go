package report

import (
	"math"
	"slices"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	"github.com/peterstace/simplefeatures/geom"

	"strapwise/hide"
	"strapwise/hide/plane"
	"strapwise/report/internal/shape"
)

// datum is what the first cuts of a hide are measured from, in the hide's own frame: the
// struck edge up from the backbone or the lower edge; then, along it, the squared end or a
// chalk line from what is the start or the left end of the leather that is left.
type datum struct {
	edge   string  // what a person calls it
	at     float64 // where it lies, across the hide
	ragged bool    // it is not straight: up from it is told at a place along it
	before end     // what lies along the hide is measured from it until the edge is struck
	then   end
}

// end is where a hide begins, along it.
type end struct {
	name string
	at   float64
}

// reach is how far, in mm, leather may lie off the backbone and still be measured from it.
const reach = 10

// findDatum gives the backbone and where it starts, as far as leather lies there. Elsewhere,
// and on a remnant, whose backbone went with another part of the hide or is no edge to
// see, it is the leather's own lower edge and left end.
func (l *lay) findDatum() datum {
	what, bone := "the hide", len(l.hide.Backbone()) > 0
	if l.hide.Form() == hide.Remnant {
		what, bone = "the remnant", false
	}
	d := datum{edge: "the backbone"}
	whose := " of " + what
	if b := l.whole.Bound(); !bone || b.Min[1] > reach || b.Max[1] < -reach {
		d.edge, d.at, d.ragged = "the lower edge"+whose, b.Min[1], !straightAt(1, l.whole)
		whose = ""
	}
	d.before = l.endOf(bone, whose, l.whole)
	var left []plane.Ring
	for _, r := range l.struckOff() {
		left = append(left, r.In(l.hide.Frame()))
	}
	if d.then = l.endOf(bone, whose, left...); d.then.at > d.before.at+1 {
		d.then = l.endOf(false, " of what is left", left...)
	}
	return d
}

// endOf is where leather begins along the hide: at the start of the backbone, if there is
// some, and otherwise at its own left end. Whose that is may be plain; then it is "its".
func (l *lay) endOf(bone bool, whose string, leather ...plane.Ring) end {
	starts := func(r plane.Ring) bool {
		off, _ := geom.Distance(r.Polygon().AsGeometry(), geom.NewPointXY(0, 0).AsGeometry())
		return off <= reach
	}
	if bone && slices.ContainsFunc(leather, starts) {
		return end{"the start of the backbone", 0}
	}
	name, at := "left end", math.Inf(1)
	if !straightAt(0, leather...) {
		name = "leftmost point"
	}
	for _, r := range leather {
		at = min(at, r.Bound().Min[0])
	}
	if whose == "" {
		return end{"its " + name, at}
	}
	return end{"the " + name + whose, at}
}

// struckOff is the hide, in the coordinates of its file, without what lies before the struck edge or,
// of one that is begun, has been ripped off.
func (l *lay) struckOff() []plane.Ring {
	far := plane.Span{Lo: -1e5, Hi: 1e5} // mm, beyond any hide
	outline, off := l.hide.Outline(), 0.0
	for _, b := range l.cuts.Bands {
		if b.Cut {
			off = b.FromMM + b.DepthMM
		}
	}
	var out []plane.Ring
	if half, err := shape.Of(l.frame.Rect(far, plane.Span{Lo: off, Hi: far.Hi})); err == nil {
		for _, corners := range shape.Rings(shape.On(half, outline.Polygon().AsGeometry())) {
			if r, err := plane.NewRing(corners); err == nil {
				out = append(out, r)
			}
		}
	}
	if len(out) == 0 {
		out = append(out, outline)
	}
	return out
}

// straightAt reports whether the least place of rings on an axis is a straight edge, at
// least half as long as they are.
func straightAt(axis int, rings ...plane.Ring) bool {
	const off = 1 // mm
	b, along := rings[0].Bound(), 0.0
	for _, r := range rings {
		b = b.Union(r.Bound())
	}
	for _, r := range rings {
		for i := range r.Len() {
			p, q := r.Corner(i), r.Corner(i+1)
			if max(p[axis], q[axis])-b.Min[axis] <= off {
				along += math.Abs(q[1-axis] - p[1-axis])
			}
		}
	}
	return along >= (b.Max[1-axis]-b.Min[1-axis])/2
}

// lowest is where the leather begins, across the hide, at a place along it.
func (l *lay) lowest(x float64) (y float64, ok bool) {
	y = math.Inf(1)
	for i := range l.whole.Len() {
		p, q := l.whole.Corner(i), l.whole.Corner(i+1)
		if min(p[0], q[0]) <= x && x <= max(p[0], q[0]) {
			at := min(p[1], q[1])
			if p[0] != q[0] {
				at = p[1] + (x-p[0])/(q[0]-p[0])*(q[1]-p[1])
			}
			y = min(y, at)
		}
	}
	return y, !math.IsInf(y, 1)
}

// footing is two places far apart on the struck edge, in the hide's frame and at round figures
// from the left end, at which leather lies; false if there are none.
func (l *lay) footing() (a, b orb.Point, ok bool) {
	from, to := l.hide.Frame().Into(l.cuts.Strike.From), l.hide.Frame().Into(l.cuts.Strike.To)
	step, leather := l.roundStep(), l.whole.Orb()
	var on []orb.Point
	for n := 1.0; n*step < l.whole.Bound().Max[0]-l.datum.before.at; n++ {
		x := l.datum.before.at + n*step
		p := orb.Point{x, from[1] + (x-from[0])*(to[1]-from[1])/(to[0]-from[0])}
		if planar.RingContains(leather, orb.Point{x, p[1] + 1}) { // a mm in
			on = append(on, p)
		}
	}
	in := len(on) / 8 // not where an end may be round
	if len(on) < 2 {
		return a, b, false
	}
	a, b = on[in], on[len(on)-1-in]
	return a, b, b[0]-a[0] >= (l.whole.Bound().Max[0]-l.whole.Bound().Min[0])/3
}

// onLeather reports whether a place of the hide's file lies on the hide, or beside it by less
// than a tape tells.
func (l *lay) onLeather(p orb.Point) bool {
	const beside = 5 // mm
	ring := l.hide.Outline().Orb()
	return planar.RingContains(ring, p) || planar.DistanceFrom(ring, p) <= beside
}

// twoMarks tells two places of the hide's own frame, through which the edge is struck: how far
// they lie from the backbone or the lower edge, and how far along the hide.
func (l *lay) twoMarks(a, b orb.Point) []Run {
	fig := func(mm float64) []Run { return figure(l.rule, math.Abs(mm)) }
	u, from := " "+unitShort(l.rule), l.datum
	place := func(p orb.Point) []Run {
		out, edge, near := p[1]-from.at, " from "+from.edge, ", on the near side,"
		if y, ok := l.lowest(p[0]); ok && from.ragged {
			out, edge = p[1]-y, " up from the lower edge"
			if out < -sameMark {
				edge, near = " below the lower edge", ""
			}
		}
		told := join(fig(out), words(u+edge))
		if out < -sameMark {
			told = join(told, words(near))
		}
		along := " from "
		if p[0] < from.before.at-sameMark {
			along = " before "
		}
		return join(told, words(" at "), fig(p[0]-from.before.at), words(u+along+from.before.name))
	}
	return join(place(a), words("; and "), place(b))
}
