package report

import (
	"math"
	"slices"
	"strings"

	"strapwise/hide/plane"
	"strapwise/nest"
)

// What a block is, told once on a sheet that has any.
const blockNote = "blocks: cut a band apart at the marks, and write each block's name in its near left corner; " +
	"rip a block from its near edge outward, and cross-cut what comes off from its left end; " +
	"a block that the list leaves lies by until the cutter is set for it"

// blocks writes bands that are cut up alike: they are ripped off and cross-cut
// into blocks.
func (w *writer) blocks(bands []band) {
	first := bands[0]
	if first.lettered() && !w.told {
		w.told = true
		w.add(Step{Note: true, Do: words(blockNote)})
	}
	do := "rip the band"
	if first.cut {
		do = "take the band"
	} else if len(bands) > 1 {
		do = "rip " + count(len(bands), "band")
	}
	if first.blocks[0].open && first.lettered() {
		do += ", measure from " + w.lines[first.line].name
	}
	w.off(bands, do)
	if !first.blocks[0].open {
		var from []float64
		var starts []area
		for _, b := range bands {
			from = append(from, w.origin(b))
			starts = append(starts, area{plane.Span{Lo: w.ripped().Lo, Hi: w.origin(b)}, b.across()})
		}
		w.square(w.lines[first.line], from...)
		w.out[len(w.out)-1].Start = w.keeps(starts...)
	}
	if cuts := w.blockCuts(bands...); len(cuts) > 0 {
		w.add(Step{Name: bandNames(bands), Again: true, Do: words("cross-cut at"), Cuts: cuts, With: true})
	}
}

// origin is where along the hide the cross-cuts of a band are counted from: its
// squared end, or if it has none the line.
func (w *writer) origin(b band) float64 {
	switch line := w.lines[b.line]; {
	case line.cut:
		return 0
	case b.blocks[0].open:
		return line.at
	}
	return b.blocks[0].from
}

// blockCuts are the marks at which bands alike are cut into blocks.
func (w *writer) blockCuts(bands ...band) []Cut {
	var cuts []Cut
	b := bands[0]
	from, sides := w.origin(b), b.blocks[0].open
	mark := func(x float64) []Run {
		switch s := side(x, line{at: from}); {
		case !sides:
			return figure(w.rule, x-from)
		case s == "":
			return words("on it")
		default:
			return join(figure(w.rule, math.Abs(x-from)), words(" "+s))
		}
	}
	at := from
	if sides {
		at = 0
	}
	for i, k := range b.blocks {
		if k.from > at+sameMark {
			var gaps []area
			for _, b := range bands {
				off := w.origin(b) - from
				gaps = append(gaps, area{plane.Span{Lo: at + off, Hi: k.from + off}, b.across()})
			}
			cuts = append(cuts, Cut{At: mark(k.from), MM: k.from - from, Off: w.leaves(gaps...), New: b.new})
		}
		at = k.to
		var named []string
		for _, b := range bands {
			named = append(named, b.blocks[i].name)
		}
		switch {
		case !k.last:
			cuts = append(cuts, Cut{At: mark(k.to), MM: k.to - from, Off: "block " + strings.Join(named, ", "), New: b.new})
		case b.lettered():
			cuts = append(cuts, Cut{At: words("rest"), MM: math.NaN(), Off: "block " + strings.Join(named, ", "), New: b.new})
		}
	}
	return cuts
}

// alikeStrips reports whether strips, not ripped yet, are equally wide and, from their squared
// ends, are cut at the same marks into the same parts.
func (w *writer) alikeStrips(a, b nest.Strip) bool {
	from, start := w.cutFrom(a.N), w.cutFrom(b.N)
	return !a.Cut && !b.Cut && near(a.WidthMM, b.WidthMM) && w.squared[a.N] == w.squared[b.N] && w.line(a.N) == w.line(b.N) &&
		slices.EqualFunc(w.pieces[a.N], w.pieces[b.N], func(p, q nest.Piece) bool {
			return p.Part == q.Part && w.trim(p) == w.trim(q) && w.forTemplate(p) == w.forTemplate(q) && w.toEnd(p) == w.toEnd(q) && near(p.FromMM-from, q.FromMM-start) && near(p.ToMM-from, q.ToMM-start)
		})
}

// alikeBlocks reports whether blocks of bands equally deep are ripped and cut alike.
func (w *writer) alikeBlocks(a, b block) bool {
	return a.open == b.open && slices.EqualFunc(a.strips, b.strips, w.alikeStrips)
}

// alikeMarks reports whether bands are cut into blocks at the same marks.
func (w *writer) alikeMarks(a, b band) bool {
	return a.plain || slices.EqualFunc(w.blockCuts(a), w.blockCuts(b), func(c, d Cut) bool { return Plain(c.At) == Plain(d.At) })
}
