package report

import (
	"math"
	"slices"
	"strings"

	"strapwise/nest"
)

// What a block is, told once on a sheet that has any.
const blockNote = "blocks: cut a band apart at the marks, and write each block's name in its near left corner; " +
	"rip a block from its near edge outward, and cross-cut what comes off from its left end"

// blocks writes bands that are cut up alike: they are ripped off, cross-cut into
// blocks, and each block is ripped into strips.
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
		for _, b := range bands {
			from = append(from, w.origin(b))
		}
		w.square(w.lines[first.line], from...)
	}
	if cuts := w.blockCuts(bands...); len(cuts) > 0 {
		w.add(Step{Name: bandNames(bands), Again: true, Do: words("cross-cut at"), Cuts: cuts, With: true})
	}
	var left []block // along the bands, those of one place together
	for i := range first.blocks {
		for _, b := range bands {
			left = append(left, b.blocks[i])
		}
	}
	for len(left) > 0 {
		var alike, rest []block
		for _, k := range left {
			if w.alikeBlocks(left[0], k) {
				alike = append(alike, k)
			} else {
				rest = append(rest, k)
			}
		}
		w.stack(alike, first)
		left = rest
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
			cuts = append(cuts, Cut{At: mark(k.from), Off: "scrap", New: b.new})
		}
		at = k.to
		var named []string
		for _, b := range bands {
			named = append(named, b.blocks[i].name)
		}
		switch {
		case !k.last:
			cuts = append(cuts, Cut{mark(k.to), "block " + strings.Join(named, ", "), b.new})
		case b.lettered():
			cuts = append(cuts, Cut{words("rest"), "block " + strings.Join(named, ", "), b.new})
		}
	}
	return cuts
}

// stack writes the strips of blocks alike, from their near edges outward.
func (w *writer) stack(blocks []block, b band) {
	var named []string
	for _, k := range blocks {
		named = append(named, k.name)
	}
	name := strings.Join(named, ", ")
	strips := blocks[0].strips
	for i := 0; i < len(strips); {
		if s := strips[i]; s.Cut { // what is left of it, if pieces are
			if i++; len(w.pieces[s.N]) > 0 {
				w.add(Step{Name: name, In: true, Do: words("the rest of the strip ripped last"), New: anyNew(w.pieces[s.N])})
				w.crossCut([]int{s.N})
			}
			continue
		}
		n := 1
		for i+n < len(strips) && w.alikeStrips(strips[i+n-1], strips[i+n]) {
			n++
		}
		var group []int
		for _, k := range blocks {
			for _, s := range k.strips[i : i+n] {
				group = append(group, s.N)
			}
		}
		s := strips[i+n-1]
		over, full := b.far()-s.FromMM-s.WidthMM, len(w.pieces[s.N]) > 0
		switch {
		case !full:
			w.rip("", s.WidthMM, take("scrap,", n, len(blocks)))
		case over < sameMark && n == 1 && i == 0: // as deep as its band
			w.add(Step{Do: words(take("the block is", 1, len(blocks)))})
		case over < sameMark && n == 1:
			w.add(Step{Do: words(take("the rest is", 1, len(blocks)))})
		default:
			w.rip("", s.WidthMM, take("take", n, len(blocks)))
		}
		made := &w.out[len(w.out)-1]
		made.Name, made.In, made.Again = name, true, i > 0
		made.New = b.new && slices.ContainsFunc(group, func(n int) bool { return anyNew(w.pieces[n]) })
		made.Scrap = i+n == len(strips) && over > sameMark
		w.crossCut(group)
		i += n
	}
}

// alikeStrips reports whether strips are equally wide and, from their squared
// ends, are cut at the same marks into the same parts.
func (w *writer) alikeStrips(a, b nest.Strip) bool {
	from, start := w.cutFrom(a.N), w.cutFrom(b.N)
	return near(a.WidthMM, b.WidthMM) && w.squared[a.N] == w.squared[b.N] && w.line(a.N) == w.line(b.N) &&
		slices.EqualFunc(w.pieces[a.N], w.pieces[b.N], func(p, q nest.Piece) bool {
			return p.Part == q.Part && w.trim(p) == w.trim(q) && w.toEnd(p) == w.toEnd(q) && near(p.FromMM-from, q.FromMM-start) && near(p.ToMM-from, q.ToMM-start)
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
