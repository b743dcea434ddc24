package report

import (
	"slices"
	"strings"

	"strapwise/hide/plane"
)

// pile is blocks of one place that are ripped and cut alike.
type pile struct {
	blocks []block
	band   band     // of the first
	takes  []taking // from the near edge of each block outward
	done   int      // of those
}

// taking is one rip, or what the rip before it leaves: so many strips of each
// block, side by side and alike.
type taking struct {
	first, n int
	over     float64 // mm, what of the block lies beyond
	ripped   bool    // already; it is one strip, of which a part is left
}

// piles are the blocks of bands that are cut up alike, along the bands; those of
// which all is cut are left out.
func (w *writer) piles(bands []band) []*pile {
	var left []block // those of one place together
	for i := range bands[0].blocks {
		for _, b := range bands {
			if w.left(b.blocks[i]) {
				left = append(left, b.blocks[i])
			}
		}
	}
	var out []*pile
	for len(left) > 0 {
		p := &pile{band: bands[0], blocks: left[:1:1]}
		var rest []block
		for _, k := range left[1:] {
			if w.alikeBlocks(left[0], k) {
				p.blocks = append(p.blocks, k)
			} else {
				rest = append(rest, k)
			}
		}
		strips := p.blocks[0].strips
		for i := 0; i < len(strips); {
			if s := strips[i]; s.Cut {
				if len(w.pieces[s.N]) > 0 {
					p.takes = append(p.takes, taking{first: i, n: 1, ripped: true})
				}
				i++
				continue
			}
			n := 1
			for i+n < len(strips) && w.alikeStrips(strips[i+n-1], strips[i+n]) {
				n++
			}
			last := strips[i+n-1]
			p.takes = append(p.takes, taking{first: i, n: n, over: p.band.far() - last.FromMM - last.WidthMM})
			i += n
		}
		out, left = append(out, p), rest
	}
	return out
}

// setting is what the cutter is set to for the next taking; 0: nothing is ripped
// with it.
func (w *writer) setting(p *pile) float64 {
	t := p.takes[p.done]
	width := p.blocks[0].strips[t.first].WidthMM
	if t.ripped || t.left() || w.byHand(width) {
		return 0
	}
	return width
}

// left reports whether a taking is what is left of the block by itself.
func (t taking) left() bool { return t.over < sameMark && t.n == 1 }

// rips are the settings of all that is to be ripped; blocks are numbered as
// their bands come off.
func (w *writer) rips(stages []stage) rips {
	var widths []float64
	number := func(width float64) int {
		if width == 0 || w.byHand(width) {
			return 0
		}
		i := slices.IndexFunc(widths, func(known float64) bool { return near(known, width) })
		if i < 0 {
			i, widths = len(widths), append(widths, width)
		}
		return i + 1
	}
	var r rips
	for _, s := range stages {
		var frees []int
		for _, p := range s.piles {
			var asked []int
			for ; p.done < len(p.takes); p.done++ {
				asked = append(asked, number(w.setting(p)))
			}
			p.done = 0
			frees, r.blocks = append(frees, len(r.blocks)), append(r.blocks, asked)
		}
		r.hide, r.frees = append(r.hide, number(s.width)), append(r.frees, frees)
	}
	return r
}

// stacks rips what lies by as far as one setting of the cutter serves: strips of
// several blocks that are cut at the same marks together.
func (w *writer) stacks(set float64) {
	next := func(p *pile) bool {
		return p.done < len(p.takes) && (w.setting(p) == 0 || near(w.setting(p), set))
	}
	for i := 0; i < len(w.lying); {
		p := w.lying[i]
		if !next(p) {
			i++
			continue
		}
		var alike []*pile
		for _, q := range w.lying[i:] {
			if next(q) && w.alikeTakes(p, q) {
				alike = append(alike, q)
			}
		}
		w.stack(alike)
		for _, q := range alike {
			q.done++
		}
	}
	w.lying = slices.DeleteFunc(w.lying, func(p *pile) bool { return p.done == len(p.takes) })
}

// alikeTakes reports whether what is to be taken next of two piles is told in
// the same words.
func (w *writer) alikeTakes(p, q *pile) bool {
	t, u := p.takes[p.done], q.takes[q.done]
	s := p.blocks[0].strips[t.first : t.first+t.n]
	return p == q || slices.EqualFunc(s, q.blocks[0].strips[u.first:u.first+u.n], w.alikeStrips) &&
		t.left() == u.left() && (t.first == 0) == (u.first == 0) && p.scrap() == q.scrap()
}

// scrap reports whether what lies beyond the next taking gives nothing more.
func (p *pile) scrap() bool {
	t := p.takes[p.done]
	return p.done == len(p.takes)-1 && t.over > sameMark
}

// stack writes the next taking of piles alike.
func (w *writer) stack(piles []*pile) {
	var named []string
	var group []int
	var taken, rest []area
	for _, p := range piles {
		t := p.takes[p.done]
		for _, k := range p.blocks {
			named = append(named, k.name)
			for _, s := range k.strips[t.first : t.first+t.n] {
				group, taken = append(group, s.N), append(taken, area{k.whole(), across(s)})
			}
			rest = append(rest, area{k.whole(), plane.Span{Lo: taken[len(taken)-1].across.Hi, Hi: w.blockOf[k.strips[0].N].band.far()}})
		}
	}
	p := piles[0]
	t := p.takes[p.done]
	width, full := p.blocks[0].strips[t.first].WidthMM, len(w.pieces[group[0]]) > 0
	name := strings.Join(named, ", ")
	again := w.out[len(w.out)-1].Name == name
	switch {
	case t.ripped:
		w.add(Step{Do: words("the rest of the strip ripped last")})
	case !full:
		do := take("scrap,", t.n, len(named))
		if kept := w.keeps(taken...); kept != "" {
			do = take("take", t.n, len(named)) + ", " + kept
		}
		w.rip("", width, do)
	case t.left() && t.first == 0: // as deep as its band
		w.add(Step{Do: words(take("the block is", 1, len(named)))})
	case t.left():
		w.add(Step{Do: words(take("the rest is", 1, len(named)))})
	default:
		w.rip("", width, take("take", t.n, len(named)))
	}
	made := &w.out[len(w.out)-1]
	made.Name, made.In, made.Again = name, true, again
	if p.scrap() {
		made.Rest = w.leaves(rest...)
	}
	made.New = p.band.new && slices.ContainsFunc(group, func(n int) bool { return anyNew(w.pieces[n]) })
	w.crossCut(group)
}
