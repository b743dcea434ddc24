package report

import (
	"math"

	"github.com/paulmach/orb"
)

// tilted reports whether the struck edge lies off the backbone.
func (l *lay) tilted() bool { return l.cuts.Strike.AngleDeg != 0 }

// aslant tells the two marks through which a tilted edge is struck: how far from the
// hide's edge they lie, and how far along it from its end.
func (l *lay) aslant(from datum) []Run {
	fig := func(mm float64) []Run { return figure(l.rule, math.Abs(mm)) }
	u := " " + unitShort(l.rule)
	place := func(p orb.Point) []Run {
		p = l.hide.Frame().Into(p)
		p = orb.Point{p[0] - from.at[0], p[1] - from.at[1]}
		out, along := join(fig(p[1]), words(u+" from "+from.edge)), " from "
		if p[1] < -sameMark {
			out = join(out, words(", on the near side,"))
		}
		if p[0] < -sameMark {
			along = " before "
		}
		return join(out, words(" at "), fig(p[0]), words(u+along+from.end))
	}
	t := l.cuts.Strike.Through
	return join(place(t[0]), words("; and "), place(t[1]))
}
