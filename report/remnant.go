package report

import (
	"cmp"
	"fmt"
	"math"
	"strings"

	"github.com/paulmach/orb"

	"strapwise/hide/plane"
	"strapwise/nest"
)

// endless is from one end of the hide to the other.
var endless = plane.Span{Lo: math.Inf(-1), Hi: math.Inf(1)}

// ripped is from where to where rips of the hide go: from the squared end, if that is cut.
func (l *lay) ripped() plane.Span {
	if l.lines[0].cut {
		return plane.Span{Lo: 0, Hi: endless.Hi}
	}
	return endless
}

// remnant is what goes back on the rack, in the frame of the struck edge.
type remnant struct {
	n       int         // from 1, in the plan
	outline []orb.Point // in the coordinates of the hide's file
	area    float64
	bound   orb.Bound
}

// readRemnants looks up what goes back on the rack; what has no sound outline, or is not
// worth its place there, does not, and yield counts it as scrap.
func (l *lay) readRemnants() {
	for i, r := range l.cuts.Remnants {
		ring, err := plane.NewRing(r)
		if err != nil {
			continue
		}
		if _, worth, err := nest.Keep(l.hide, r, l.job.Least); worth || err != nil {
			l.remnants = append(l.remnants, remnant{i + 1, r, ring.Area(), ring.In(l.frame).Bound()})
		}
	}
}

// area is a rectangle of the hide in the frame of the struck edge.
type area struct{ along, across plane.Span }

// in reports whether the remnant lies within an area.
func (r remnant) in(of area) bool {
	const rim = 1 // mm
	a, b := of.along.Padded(rim), of.across.Padded(rim)
	return r.bound.Min[0] >= a.Lo && r.bound.Max[0] <= a.Hi && r.bound.Min[1] >= b.Lo && r.bound.Max[1] <= b.Hi
}

// keeps names what goes back on the rack of areas that give no piece; empty: nothing.
func (l *lay) keeps(areas ...area) string {
	var ns []int
	for _, a := range areas {
		for _, r := range l.remnants {
			if r.in(a) {
				ns = append(ns, r.n)
			}
		}
	}
	switch len(ns) {
	case 0:
		return ""
	case 1:
		return fmt.Sprintf("remnant %d", ns[0])
	}
	return "remnants " + numbers(ns)
}

// leaves is what keeps tells, or scrap.
func (l *lay) leaves(areas ...area) string { return cmp.Or(l.keeps(areas...), "scrap") }

// from says where a remnant comes from, and whether it is from a band or a block of one.
func (l *lay) from(r remnant) (name string, banded bool) {
	if l.lines[0].cut && r.in(area{plane.Span{Lo: endless.Lo, Hi: 0}, plane.Span{Lo: 0, Hi: max(l.cuts.FarMM(), l.cuts.SquaredMM)}}) {
		return "left of the squared end", false
	}
	for i, b := range l.bands {
		if i > 0 && r.in(area{endless, plane.Span{Lo: l.bands[i-1].far(), Hi: b.from}}) {
			return fmt.Sprintf("between %d and %d", l.bands[i-1].n, b.n), false
		}
		if !r.in(area{endless, b.across()}) {
			continue
		}
		for _, k := range b.blocks {
			if r.in(area{k.whole(), b.across()}) {
				return k.name, true
			}
		}
		return b.name(), true
	}
	if r.bound.Center()[1] < 0 {
		return "below the struck edge", false
	}
	return "beyond the last rip", false
}

// putAway writes what goes back on the rack: first what lies outside the bands, which
// the struck edge and the rips have cut free, then what the bands leave.
func (w *writer) putAway() {
	var banded []string
	sum := 0.0
	for _, r := range w.remnants {
		from, inBand := w.from(r)
		if inBand {
			banded, sum = append(banded, fmt.Sprintf("%d from %s", r.n, from)), sum+r.area
			continue
		}
		w.add(Step{Do: join(words(fmt.Sprintf("put back remnant %d, %s, ", r.n, from)), figure(w.rule, r.bound.Max[1]-r.bound.Min[1]), words(" × "),
			figure(w.rule, r.bound.Max[0]-r.bound.Min[0]), words(", "+w.rule.Area(r.area)))})
	}
	if len(banded) > 0 {
		w.add(Step{Do: words(fmt.Sprintf("put back what bands leave, %s: remnant %s", w.rule.Area(sum), strings.Join(banded, ", ")))})
	}
}
