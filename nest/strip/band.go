package strip

import "slices"

// band is a stretch of a hide's depth as it is cut: cross-cut into blocks, each
// ripped into strips. A band that is one strip is one block over the whole hide.
type band struct {
	y, depth int
	blocks   []block
}

// block is a stretch of a band, its strips from the band's near edge outward.
type block struct {
	lo, hi int
	strips []placed
}

// placed is a strip with its cuts, in marks of its hide. Within a block it may
// have none: then it is scrap that has to be ripped off for those beyond it.
type placed struct {
	lane int
	y    int
	cuts []cut
}

// plain is a band of one strip.
func (g *ground) plain(s placed) band {
	return band{s.y, g.lanes[s.lane].width, []block{{g.x0, g.x1, []placed{s}}}}
}

// isPlain reports whether the band is one strip over the whole hide.
func (g *ground) isPlain(b *band) bool {
	return len(b.blocks) == 1 && len(b.blocks[0].strips) == 1 && b.blocks[0].strips[0].y == b.y &&
		g.lanes[b.blocks[0].strips[0].lane].width == b.depth
}

// end is the far edge of the band.
func (b *band) end() int { return b.y + b.depth }

// strips calls found for each strip of the band.
func (b *band) strips(found func(k *block, s *placed)) {
	for i := range b.blocks {
		k := &b.blocks[i]
		for j := range k.strips {
			found(k, &k.strips[j])
		}
	}
}

// cuts calls found for each piece of the band.
func (b *band) cuts(found func(c cut)) {
	b.strips(func(_ *block, s *placed) {
		for _, c := range s.cuts {
			found(c)
		}
	})
}

// same reports whether two bands are cut alike.
func (b *band) same(o *band) bool {
	return b.y == o.y && b.depth == o.depth && slices.EqualFunc(b.blocks, o.blocks, func(k, m block) bool {
		return k.lo == m.lo && k.hi == m.hi && slices.EqualFunc(k.strips, m.strips, func(s, t placed) bool {
			return s.lane == t.lane && s.y == t.y && slices.Equal(s.cuts, t.cuts)
		})
	})
}

// clone is a copy that shares no blocks and no strips; cuts are not written to.
func (b *band) clone() band {
	out := band{b.y, b.depth, slices.Clone(b.blocks)}
	for i := range out.blocks {
		out.blocks[i].strips = slices.Clone(out.blocks[i].strips)
	}
	return out
}

// tidied is the band without strips and blocks that hold nothing and that
// nothing needs; or false if it holds no piece. It is no deeper than its strips
// if the cutter can still hold what is left beside each, and rip off what the
// band gives up.
func (p *problem) tidied(g *ground, b band) (band, bool) {
	out := band{y: b.y}
	for _, k := range b.blocks {
		strips := k.strips
		for len(strips) > 0 && len(strips[len(strips)-1].cuts) == 0 {
			strips = strips[:len(strips)-1]
		}
		if len(strips) == 0 {
			continue
		}
		last := strips[len(strips)-1]
		out.depth = max(out.depth, last.y+g.lanes[last.lane].width-b.y)
		out.blocks = append(out.blocks, block{k.lo, k.hi, slices.Clone(strips)})
	}
	if len(out.blocks) == 0 {
		return band{}, false
	}
	if given := b.depth - out.depth; given > 0 && given < p.gap {
		out.depth = b.depth
	}
	if s, alike := g.alike(&out); alike && out.depth == g.lanes[s.lane].width {
		return g.plain(s), true
	}
	out.strips(func(_ *block, s *placed) {
		if left := out.end() - s.y - g.lanes[s.lane].width; left > 0 && left < p.grips {
			out.depth = b.depth
		}
	})
	return out, true
}

// alike gives the one strip that the band may as well be, if each block is a
// strip of the same lane.
func (g *ground) alike(b *band) (placed, bool) {
	all := placed{b.blocks[0].strips[0].lane, b.y, nil}
	for _, k := range b.blocks {
		if len(k.strips) != 1 || k.strips[0].lane != all.lane {
			return placed{}, false
		}
		all.cuts = append(all.cuts, k.strips[0].cuts...)
	}
	return all, true
}
