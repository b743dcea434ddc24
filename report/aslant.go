package report

import (
	"math"

	"github.com/paulmach/orb"
)

// tilted reports whether the struck edge lies off the backbone.
func (l *lay) tilted() bool { return l.cuts.Strike.AngleDeg != 0 }

// marks tells two places of the hide's own frame, through which the edge is struck: how far
// they lie from the backbone or the lower edge, and how far along the hide.
func (l *lay) marks(a, b orb.Point) []Run {
	fig := func(mm float64) []Run { return figure(l.rule, math.Abs(mm)) }
	u, from := " "+unitShort(l.rule), l.datum
	place := func(p orb.Point) []Run {
		out, edge := p[1]-from.at, " from "+from.edge
		if y, ok := l.lowest(p[0]); ok && from.ragged {
			out, edge = p[1]-y, " up from the lower edge"
		}
		told := join(fig(out), words(u+edge))
		if out < -sameMark {
			told = join(told, words(", on the near side,"))
		}
		along := " from "
		if p[0] < from.before.at-sameMark {
			along = " before "
		}
		return join(told, words(" at "), fig(p[0]-from.before.at), words(u+along+from.before.name))
	}
	return join(place(a), words("; and "), place(b))
}
