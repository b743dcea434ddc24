package report

import (
	"math"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
)

// tilted reports whether the struck edge lies off the backbone.
func (l *lay) tilted() bool {
	s := l.cuts.Strike
	return s.AngleDeg != 0 && math.Abs(l.hide.Frame().Into(s.From)[1]-l.hide.Frame().Into(s.To)[1]) > sameMark
}

// aslant tells two marks through which a tilted edge is struck, as far apart as it
// crosses marks on the leather: how far from the hide's edge they lie, and how far along
// it from its end.
func (l *lay) aslant(edge, end string) []Run {
	a, b := l.aslantThrough()
	fig := func(mm float64) []Run { return figure(l.rule, math.Abs(mm)) }
	u := " " + unitShort(l.rule)
	place := func(p orb.Point) []Run {
		out, along := join(fig(p[1]), words(u+" from "+edge)), " from "
		if p[1] < -sameMark {
			out = join(out, words(", on the near side"))
		}
		if p[0] < -sameMark {
			along = " before "
		}
		return join(out, words(" at "), fig(p[0]), words(u+along+end))
	}
	return join(place(a), words("; and "), place(b))
}

// aslantThrough gives the two places, in the hide's frame.
func (l *lay) aslantThrough() (a, b orb.Point) {
	f, s := l.hide.Frame(), l.cuts.Strike
	a, b = f.Into(s.From), f.Into(s.To)
	mark := l.rule.Up(sameMark)
	run, rise := int(math.Round((b[0]-a[0])/mark)), int(math.Round((b[1]-a[1])/mark))
	parts := run
	for r := rise; r != 0; {
		parts, r = r, parts%r
	}
	if parts < 0 {
		parts = -parts
	}
	step := orb.Point{float64(run/parts) * mark, float64(rise/parts) * mark}
	outline := l.hide.Outline().In(f)
	first, last := orb.Point{}, orb.Point{}
	found := 0
	for i := -parts; i <= 3*parts; i++ { // as far as the hide reaches either way
		p := orb.Point{a[0] + float64(i)*step[0], a[1] + float64(i)*step[1]}
		if !planar.RingContains(outline.Orb(), p) {
			continue
		}
		if found++; found == 1 {
			first = p
		}
		last = p
	}
	if found < 2 {
		return a, b
	}
	return first, last
}
