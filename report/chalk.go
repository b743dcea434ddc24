package report

import (
	"math"
	"slices"

	"github.com/paulmach/orb"

	"strapwise/hide/measure"
	"strapwise/hide/plane"
)

// line is what the cross-cuts of a hide are found by. Where the squared end
// lies on leather in every strip, it is cut, and each strip begins with it:
//
//	┌──────────────────────────
//	│ 1
//	└──────────────────────────
//
// Elsewhere the squared end would lie off the leather, and what it lies on is
// ripped apart before the first cross-cut. Then a line is chalked square across
// the hide while it is whole, so that each strip bears its bit of it when it
// comes off. A strip is squared so far left or right of the line, and its marks
// count from its own squared end:
//
//	      ____┆_____________________
//	    /  |  ┆      |        |     \       ┆ chalked
//	──/────|──┆──────|────────|──────\──    | cut
//	 |  |     ┆   |        |          \
//	  \_|_____┆___|________|___________\
//	    └─ left ┘ of the line: squared here
//
// A hide of a shape that no one line crosses has several.
type line struct {
	at   float64 // along the struck edge, from the squared end
	cut  bool
	name string // "the line"; "line A" where there are several
}

// lines finds the lines of a hide, and which one each strip is measured from.
func (l *lay) findLines() {
	runs := l.groundRuns()
	if len(runs) == 0 || covered(runs, 0, 0) == len(runs) {
		l.lines = []line{{cut: true}}
		return
	}
	l.lineOf = map[int]int{}
	left := runs
	for len(left) > 0 {
		at := l.bestLine(left)
		var rest []ground
		for _, g := range left {
			if !g.has(at, 0) {
				rest = append(rest, g)
				continue
			}
			for _, n := range g.strips {
				l.lineOf[n] = len(l.lines)
			}
		}
		l.lines = append(l.lines, line{at: at, name: "the line"})
		if len(rest) == len(left) { // no place serves even one: told from the line all the same
			break
		}
		left = rest
	}
	if len(l.lines) > 1 {
		for i := range l.lines {
			l.lines[i].name = "line " + string(rune('A'+i%26))
		}
	}
}

// line is the one that a strip is measured from.
func (l *lay) line(strip int) line { return l.lines[l.lineOf[strip]] }

// ground is the leather of strips that come off in one rip.
type ground struct {
	runs   []plane.Span // where the whole width is on leather
	strips []int
	first  float64 // where its first cross-cut is
}

// has reports whether a line at x crosses it on leather, at least so far from
// the ends, or from those of a short run a quarter of it.
func (g ground) has(x, clear float64) bool {
	return slices.ContainsFunc(g.runs, func(r plane.Span) bool {
		off := min(clear, r.Len()/4)
		return r.Lo+off-sameMark <= x && x <= r.Hi-off+sameMark
	})
}

func covered(all []ground, x, clear float64) int {
	n := 0
	for _, g := range all {
		if g.has(x, clear) {
			n++
		}
	}
	return n
}

// groundRuns looks up the leather of every rip that gives pieces.
func (l *lay) groundRuns() []ground {
	whole := l.hide.Whole(l.frame)
	var out []ground
	add := func(from, width float64, strips []int) {
		g := ground{runs: whole.Runs(plane.Span{Lo: from, Hi: from + width}), strips: strips, first: math.Inf(1)}
		for _, n := range strips {
			for _, p := range l.pieces[n] {
				g.first = min(g.first, p.FromMM)
			}
		}
		if !math.IsInf(g.first, 1) {
			out = append(out, g)
		}
	}
	banded := map[int]bool{}
	for _, b := range l.cuts.Bands {
		strips := bandStrips(b)
		add(b.FromMM, b.DepthMM, strips)
		for _, n := range strips {
			banded[n] = true
		}
	}
	for _, s := range l.cuts.Strips {
		if !banded[s.N] {
			add(s.FromMM, s.WidthMM, []int{s.N})
		}
	}
	return out
}

// bestLine is the place, a round figure from where the hide's tape begins, that
// crosses the most strips well inside the leather; of those the one with the
// least way to the first cuts.
func (l *lay) bestLine(all []ground) float64 {
	const clear = 15 // mm, for an outline is measured by tape and ends are ragged
	far := 0.0
	for _, g := range all {
		for _, r := range g.runs {
			far = max(far, r.Hi)
		}
	}
	step, zero := l.roundStep(), l.tape(0)
	best, most, least := 0.0, 0, math.Inf(1)
	for n := math.Ceil(zero / step); n*step-zero <= far; n++ {
		x, way := n*step-zero, 0.0
		for _, g := range all {
			way += math.Abs(g.first - x)
		}
		if n := covered(all, x, clear); n > most || n == most && way < least-sameMark {
			best, most, least = x, n, way
		}
	}
	for _, g := range all { // where leather overlaps too little for a round figure
		for _, r := range g.runs {
			x := l.rule.Up(r.Lo+min(clear, r.Len()/4)+zero) - zero
			if n := covered(all, x, clear); n > most {
				best, most = x, n
			}
		}
	}
	return best
}

// roundStep is the distance of round figures: an inch or a centimetre, or ten
// marks of a rule that has neither.
func (l *lay) roundStep() float64 {
	step := 10.0
	if l.rule.System == measure.Inch {
		step = measure.MMPerInch
	}
	if math.Abs(l.rule.Nearest(step)-step) > sameMark {
		step = 10 * l.rule.Up(sameMark)
	}
	return step
}

// tape is what a tape reads, along the backbone from where the hide's marks
// begin, at a place on the struck edge.
func (l *lay) tape(x float64) float64 {
	return l.hide.Frame().Into(l.frame.OutOf(orb.Point{x, 0}))[0]
}
