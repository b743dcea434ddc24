package report

import (
	"fmt"
	"slices"

	"strapwise/hide/plane"
	"strapwise/nest"
)

// band is a stretch of the hide's depth between two rips, as sheets tell it.
// Bands are numbered outward from the struck edge, as they stand in the plan.
type band struct {
	n           int
	from, depth float64 // mm, from the struck edge
	blocks      []block // that give pieces, along the band
	plain       bool    // one strip over the whole hide
	loose       bool    // a strip that the plan has in no band
	line        int     // that its cross-cuts are measured from
	cut         bool    // ripped off already
	apart       bool    // and cut into its blocks
	new         bool    // it takes a cut that the plan before did not have
}

// block is a stretch of a band between two cross-cuts.
type block struct {
	name     string  // "7a"; of the only one in a band the band's number
	from, to float64 // mm, along the struck edge
	strips   []nest.Strip
	last     bool // of its band: its far end is not cut
	open     bool // it begins with the ragged end of the hide, uncut
}

// whole is where along the hide the block lies, with the ends of the hide that no cut
// has taken off it.
func (k block) whole() plane.Span {
	out := plane.Span{Lo: k.from, Hi: k.to}
	if near(k.from, 0) {
		out.Lo = endless.Lo
	}
	if k.last {
		out.Hi = endless.Hi
	}
	return out
}

// left reports whether pieces are still to be cut from a block.
func (l *lay) left(k block) bool {
	return slices.ContainsFunc(k.strips, func(s nest.Strip) bool { return len(l.pieces[s.N]) > 0 })
}

// far is the outer edge of the band.
func (b band) far() float64 { return b.from + b.depth }

// across is the depth that the band takes.
func (b band) across() plane.Span { return plane.Span{Lo: b.from, Hi: b.far()} }

// name is the band's number.
func (b band) name() string { return fmt.Sprint(b.n) }

// lettered reports whether the band is cut apart into blocks with names.
func (b band) lettered() bool { return len(b.blocks) > 1 }

// readBands looks up what the bands hold. It drops blocks that give no piece,
// and strips beyond the last that does: to whoever cuts they are scrap.
func (l *lay) readBands() error {
	name := l.hide.Name()
	held := map[int]bool{}
	for i, b := range l.cuts.Bands {
		made := band{n: i + 1, from: b.FromMM, depth: b.DepthMM, cut: b.Cut, new: b.New}
		for _, k := range b.Blocks {
			cut := block{from: k.FromMM, to: k.ToMM}
			full := 0
			for _, n := range k.Strips {
				s, known := l.strips[n]
				if !known {
					return fmt.Errorf("hide %q: band %d holds strip %d, which the plan does not describe", name, i+1, n)
				}
				if held[n] {
					return fmt.Errorf("hide %q: found strip %d in two blocks, expected it in one", name, n)
				}
				held[n] = true
				cut.strips = append(cut.strips, s)
				if len(l.pieces[n]) > 0 {
					full = len(cut.strips)
				}
			}
			made.apart = made.apart || k.Cut
			if cut.strips = cut.strips[:full]; full > 0 || k.Cut {
				made.blocks = append(made.blocks, cut)
			}
		}
		l.bands = append(l.bands, made)
	}
	for _, s := range l.cuts.Strips { // none is lost, whatever the bands say
		if !held[s.N] {
			b := l.bound(s.Outline)
			l.bands = append(l.bands, band{n: len(l.bands) + 1, from: s.FromMM, depth: s.WidthMM, loose: true, blocks: []block{
				{from: b.Min[0], to: b.Max[0], strips: []nest.Strip{s}},
			}})
		}
	}
	for i := range l.bands {
		l.nameBlocks(&l.bands[i])
	}
	return nil
}

// nameBlocks settles what the blocks of a band are called, which of their ends
// are cut, and which of their strips have to be squared by themselves.
func (l *lay) nameBlocks(b *band) {
	if len(b.blocks) == 0 {
		return
	}
	b.blocks[len(b.blocks)-1].last = true
	first := b.blocks[0]
	b.plain = len(b.blocks) == 1 && len(first.strips) == 1 && near(first.strips[0].WidthMM, b.depth)
	whole := l.hide.Whole(l.frame)
	for i := range b.blocks {
		k := &b.blocks[i]
		if k.name = b.name(); b.lettered() {
			k.name += letters(i)
		}
		hanging := func(s nest.Strip) bool { // over the edge of the leather, where its block begins
			return len(l.pieces[s.N]) > 0 && !ground{runs: whole.Runs(across(s))}.has(k.from, 0)
		}
		k.open = !b.plain && near(k.from, 0) && slices.ContainsFunc(k.strips, hanging)
		for _, s := range k.strips {
			l.squared[s.N] = len(l.cutOff(s.N)) == 0 && (b.plain || k.open || hanging(s))
		}
		for _, s := range k.strips {
			l.blockOf[s.N] = place{b, k}
		}
	}
}

// cutOff are the pieces that were cut off a strip already.
func (l *lay) cutOff(n int) []nest.Piece {
	out := slices.Clone(l.done[n])
	for _, p := range l.gone {
		if p.Strip == n {
			out = append(out, p)
		}
	}
	return out
}

// place is where a strip lies.
type place struct {
	band  *band
	block *block
}

// where is the name on the sheet of the strip or block that a piece is cut from;
// empty if it is in none.
func (l *lay) where(p nest.Piece) string {
	if in := l.blockOf[p.Strip]; in.block != nil {
		return in.block.name
	}
	return ""
}

// letters counts a, b, … z, aa, ab, …
func letters(i int) string {
	s := ""
	for ; i >= 0; i = i/26 - 1 {
		s = string(rune('a'+i%26)) + s
	}
	return s
}
