package strip

import (
	"math"

	"strapwise/hide"
	"strapwise/hide/plane"
	"strapwise/nest"
)

// What is left of a hide whose cutting has begun are parts, each a ground of its
// own. Beyond the last rip the hide goes on as before. What is off the hide is
// loose: a band that was ripped may still be cross-cut into any blocks; a block
// that was cut off is ripped as it is; and so are the rest of a block of which
// some strips were ripped, and the rest of a strip of which some pieces were cut.
//
//	 ──────────────────────────────────────────────   the hide beyond
//	══════════════════ ripped so far ═══════════════
//	|                   a loose band               |
//	 ══════════════════════════════════════════════
//	| ▒▒▒▒▒ |  loose  | rest of a block |  ▒▒▒▒▒▒▒ |   a band cut apart
//	| ▒▒▒▒▒ |  block  |▒▒▒▒▒▒▒▒▒▒| rest |  ▒▒▒▒▒▒▒ |   ▒ cut
//	 ══════════════════════════════════════════════  struck edge
type part struct {
	lay    *nest.HideLay // of the hide; nil: nothing of it is cut, and the part is all of it
	number int           // among the parts of the hide
	x0, x1 int           // marks from the origin of the hide's frame
	y0, y1 int
	loose  bool
	block  bool // one block
	lane   int  // width in marks of the only strips; 0: any. The rest of a strip
	home   home // of what is loose
}

// home is where the loose part belongs in the plan: a band, a block of it or -1,
// a strip of that by number or 0.
type home struct{ band, block, strip int }

// ripped reports whether the near edge of the part has been ripped.
func (p part) ripped() bool { return p.lay != nil && !p.loose }

// onMark is the mark nearest to a length.
func onMark(mm, mark float64) int { return int(math.Round(mm / mark)) }

// parts are those of a hide.
func (b *begun) parts(p *problem, h *hide.Hide) []part {
	if b == nil {
		return []part{{}}
	}
	l := b.plan.Lay(h.Name())
	if l == nil || len(l.Bands) == 0 || !l.Bands[0].Cut {
		return []part{{}}
	}
	square, edge := p.struckAt(h, l)
	mark := p.mark
	bound := h.Whole(p.frameOf(h, l)).Bound()
	end := floorMark(bound.Max[0], mark)
	var out []part
	add := func(of part) {
		of.lay, of.number = l, len(out)
		of.x0, of.x1 = max(of.x0, floorMark(bound.Min[0], mark)), min(of.x1, end) // whatever a plan says, it is leather
		of.y0, of.y1 = max(of.y0, floorMark(bound.Min[1], mark)), min(of.y1, ceilMark(bound.Max[1], mark))
		if of.x1 > of.x0 && of.y1 > of.y0 {
			out = append(out, of)
		}
	}
	y := func(mm float64) int { return edge + onMark(mm, mark) }
	x := func(mm float64) int { return square + onMark(mm, mark) }
	far := edge
	for i, band := range l.Bands {
		if !band.Cut {
			continue
		}
		far = y(band.FromMM + band.DepthMM)
		if !apart(band) {
			add(part{x0: square, x1: end, y0: y(band.FromMM), y1: far, loose: true, home: home{i, -1, 0}})
			continue
		}
		for k, block := range band.Blocks {
			rest := part{x0: x(block.FromMM), x1: x(block.ToMM), y0: y(band.FromMM), y1: far, loose: true, block: true, home: home{i, k, 0}}
			done := len(block.Strips) > 0
			for _, n := range block.Strips {
				s := l.Strip(n)
				if !s.Cut {
					done = false
					break
				}
				lo, hi := y(s.FromMM), y(s.FromMM+s.WidthMM)
				if at, some := b.cutTo(l.Hide, n); some {
					add(part{x0: max(rest.x0, x(at)), x1: rest.x1, y0: lo, y1: hi, loose: true, block: true, lane: hi - lo, home: home{i, k, n}})
				}
				rest.y0 = hi
			}
			if !done {
				add(rest)
			}
		}
	}
	out = append(out, part{lay: l, number: len(out), x0: square, x1: end, y0: far, y1: math.MaxInt})
	return out
}

// apart reports whether a band has been cut apart into its blocks.
func apart(b nest.Band) bool { return len(b.Blocks) > 0 && b.Blocks[0].Cut }

// cutTo is how far along a strip pieces are cut, in millimetres from the squared
// end, and whether it has others that are not.
func (b *begun) cutTo(hide string, strip int) (at float64, some bool) {
	at = math.Inf(-1)
	for _, list := range [][]nest.Piece{b.plan.Pieces, b.plan.Spare, b.plan.Spoilt} {
		for _, p := range list {
			switch {
			case p.Hide != hide || p.Strip != strip:
			case p.Cut:
				at = max(at, p.ToMM)
			default:
				some = true
			}
		}
	}
	return max(at, 0), some
}

// narrow keeps the ground to its part.
func (g *ground) narrow() {
	of := g.part
	from, to := of.y0-g.off, of.y1
	if to < math.MaxInt {
		to -= g.off
	}
	g.y0, g.y1 = max(g.y0, from), min(g.y1, to)
	if of.loose { // its edges are cut, whatever the outline does
		g.y0, g.y1 = from, to
	}
	g.span = min(g.span, of.x1-of.x0)
	if of.block {
		g.x0, g.x1, g.along, g.cells = of.x0, of.x1, of.x1-of.x0, 1
	} else {
		g.x0, g.x1 = floorDiv(of.x0, g.along)*g.along, ceilDiv(of.x1, g.along)*g.along
		g.cells = (g.x1 - g.x0) / g.along
	}
	const step, sliver = 10, 0.1 // mm
	g.area = 0
	for y := float64(g.y0) * g.mark; y < float64(g.y1)*g.mark; y += step {
		for _, s := range g.clip(g.whole.Runs(plane.Span{Lo: y, Hi: y + sliver})) {
			g.area += s.Len() * min(step, float64(g.y1)*g.mark-y)
		}
	}
}

// clip keeps stretches to the part.
func (g *ground) clip(spans []plane.Span) []plane.Span {
	if g.part.lay == nil {
		return spans
	}
	return both(spans, []plane.Span{spanOf(g.part.x0, g.part.x1-g.part.x0, g.mark)})
}

// held is gripped for what is loose: beside the strip lies as much of it as the
// cutter grips, or nothing.
func (g *ground) held(far, grips float64) []plane.Span {
	switch edge := float64(g.y1) * g.mark; {
	case math.Abs(edge-far) <= hide.Touch:
		return []plane.Span{{Lo: math.Inf(-1), Hi: math.Inf(1)}}
	case far+grips <= edge+hide.Touch:
		return g.whole.Runs(plane.Span{Lo: far, Hi: far + grips})
	}
	return nil
}
