package report

import (
	"math"
	"slices"

	"github.com/paulmach/orb"

	"strapwise/hide/measure"
	"strapwise/hide/plane"
	"strapwise/nest"
)

// line is what the cross-cuts of a hide are found by. Where the squared end
// lies on leather in every band, it is cut, and each band begins with it:
//
//	┌──────────────────────────
//	│ 1
//	└──────────────────────────
//
// Elsewhere the squared end would lie off the leather, and what it lies on is
// ripped apart before the first cross-cut. Then a line is chalked square across
// the hide while it is whole, so that each band bears its bit of it when it
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
// A band of blocks is squared likewise, and its blocks are marked from there.
// A block begins with a clean cut, and the marks within it count from that. But
// where the hide's ragged end runs through the first block, the blocks are marked
// from the line itself, and each strip of that one is squared by its own bit:
//
//	   ______┆________|____________
//	  /   |  ┆    |   |      |      cut at the mark from the line
//	 /____|__┆____|___|______|_____
//	/   |    ┆        |   |    |
//	 7a               | 7b
//
// A hide of a shape that no one line crosses has several.
type line struct {
	at    float64 // along the struck edge, from the squared end
	cut   bool
	there bool   // already
	name  string // "the line"; "line A" where there are several
}

// findLines finds the lines of a hide, and what is measured from which.
func (l *lay) findLines() {
	bands, blocks := l.grounds()
	left := slices.Concat(bands, blocks)
	switch {
	case l.begun():
		left = l.linesThere(left)
	case nest.SquaredOff(l.hide, &l.cuts) > 0 || len(bands) == 0:
		l.lines = []line{{cut: true}}
		left = blocks
	}
	chalked := 0
	if len(l.lines) > 0 && l.lines[0].cut {
		chalked = 1
	}
	for len(left) > 0 {
		at := l.bestLine(left)
		var rest []ground
		for _, g := range left {
			if !g.has(at, 0) {
				rest = append(rest, g)
				continue
			}
			g.measure(len(l.lines))
		}
		l.lines = append(l.lines, line{at: at, name: "the line"})
		if len(rest) == len(left) { // no place serves even one: told from the line all the same
			for _, g := range rest {
				g.measure(len(l.lines) - 1)
			}
			break
		}
		left = rest
	}
	if named := l.lines[chalked:]; len(named) > 1 {
		for i := range named {
			named[i].name = "line " + string(rune('A'+i%26))
		}
	}
}

// begun reports whether some of the hide is cut.
func (l *lay) begun() bool { return len(l.cuts.Bands) > 0 && l.cuts.Bands[0].Cut }

// linesThere are those of a hide that is begun: they lie where they were drawn.
// What crosses none of them is returned.
func (l *lay) linesThere(all []ground) []ground {
	if l.cuts.SquaredMM > 0 || len(l.cuts.Chalked) == 0 {
		l.lines = append(l.lines, line{cut: true, there: true})
	}
	for _, at := range l.cuts.Chalked {
		l.lines = append(l.lines, line{at: at, name: "the line", there: true})
	}
	for i, line := range l.lines {
		all = slices.DeleteFunc(all, func(g ground) bool {
			has := g.has(line.at, 0)
			if has {
				g.measure(i)
			}
			return has
		})
	}
	return all
}

// Lines tells what the cross-cuts of a hide of a plan are measured from, as its
// sheet has it, in the plan's own terms: how far out its squared end is cut, 0 if it is
// not, and where lines are chalked, in millimetres from there.
func Lines(j nest.Job, p nest.Plan, hideName string, rule measure.Rule) (squared float64, chalked []float64, err error) {
	l, err := readLay(j, p, hideName, rule)
	if err != nil {
		return 0, nil, err
	}
	for _, line := range l.lines {
		if line.cut {
			squared = l.cuts.FarMM()
		} else {
			chalked = append(chalked, line.at)
		}
	}
	return squared, chalked, nil
}

// chalked reports whether the hide has a line that is only chalked.
func (l *lay) chalked() bool { return !l.lines[len(l.lines)-1].cut }

// line is the one that a strip is measured from.
func (l *lay) line(strip int) line { return l.lines[l.lineOf[strip]] }

// ground is the leather of what comes off in one rip.
type ground struct {
	runs    []plane.Span // where the whole width is on leather
	first   float64      // where its first cross-cut is
	measure func(line int)
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

// across is the depth that a strip takes.
func across(s nest.Strip) plane.Span { return plane.Span{Lo: s.FromMM, Hi: s.FromMM + s.WidthMM} }

// grounds looks up the leather of every band that gives pieces, and that of the
// strips of blocks that have to be squared by themselves.
func (l *lay) grounds() (bands, strips []ground) {
	whole := l.hide.Whole(l.frame)
	for i := range l.bands {
		b := &l.bands[i]
		g := ground{runs: whole.Runs(plane.Span{Lo: b.from, Hi: b.far()}), first: math.Inf(1)}
		deep := len(g.runs) == 0
		g.measure = func(line int) {
			b.line = line
			if b.plain {
				l.lineOf[b.blocks[0].strips[0].N] = line
			}
		}
		for _, k := range b.blocks {
			for _, s := range k.strips {
				for _, p := range l.pieces[s.N] {
					g.first = min(g.first, p.FromMM)
				}
				if deep && len(l.pieces[s.N]) > 0 { // a line on part of the band is found too
					g.runs = append(g.runs, whole.Runs(across(s))...)
				}
				if l.squared[s.N] && !b.plain && len(l.pieces[s.N]) > 0 {
					strips = append(strips, ground{
						runs: within(whole.Runs(across(s)), k), first: l.pieces[s.N][0].FromMM,
						measure: func(line int) { l.lineOf[s.N] = line },
					})
				}
			}
		}
		if !math.IsInf(g.first, 1) && !b.apart {
			bands = append(bands, g)
		}
	}
	return bands, strips
}

// within is what of the runs lies in a block.
func within(runs []plane.Span, k block) []plane.Span {
	lo, hi := k.from, k.to
	if k.open {
		lo = math.Inf(-1)
	}
	if k.last {
		hi = math.Inf(1)
	}
	var out []plane.Span
	for _, r := range runs {
		if r = (plane.Span{Lo: max(r.Lo, lo), Hi: min(r.Hi, hi)}); r.Lo < r.Hi {
			out = append(out, r)
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
		x, way := l.rule.Nearest(n*step-zero), 0.0 // what is cut counts from it, at marks
		for _, g := range all {
			way += math.Abs(g.first - x)
		}
		if n := covered(all, x, clear); n > most || n == most && way < least-sameMark {
			best, most, least = x, n, way
		}
	}
	for _, g := range all { // where leather overlaps too little for a round figure
		for _, r := range g.runs {
			x := l.rule.Up(r.Lo + min(clear, r.Len()/4))
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

// tape is what a tape reads, along the hide from its datum, at a place on the struck
// edge; or, where that is tilted, along it from the first mark that it is struck through.
func (l *lay) tape(x float64) float64 {
	if l.tilted() {
		return x - l.frame.Into(l.cuts.Strike.Through[0])[0]
	}
	return l.hide.Frame().Into(l.frame.OutOf(orb.Point{x, 0}))[0] - l.datum.then.at
}
