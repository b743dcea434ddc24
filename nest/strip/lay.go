package strip

import (
	"math"
	"slices"
)

// lay is an arrangement on all hides, bands of a hide in order of y.
type lay struct {
	bands [][]band // by ground
	laid  []int    // pieces of each kind
}

// emptyLay has no bands, and no pieces but those that are cut already.
func (p *problem) emptyLay() *lay {
	return &lay{bands: make([][]band, len(p.grounds)), laid: slices.Clone(p.gifts)}
}

// clone is a copy whose bands may be exchanged, but not written to.
func (l *lay) clone() *lay {
	c := &lay{bands: make([][]band, len(l.bands)), laid: slices.Clone(l.laid)}
	for i, s := range l.bands {
		c.bands[i] = slices.Clone(s)
	}
	return c
}

// worth chooses the sets that the lay gives, and their worth less the effort
// of its cuts.
func (l *lay) worth(p *problem, c *chooser, sets []int) float64 {
	left := slices.Clone(l.laid)
	worth := c.choose(left, sets)
	if p.job.Tools.Effort == 0 {
		return worth
	}
	return worth - p.job.Tools.Effort*float64(l.cuts(p))
}

// square is the squared end of a hide: where the first of its pieces begins, or
// where it was made.
func (l *lay) square(p *problem, gi int) int {
	square := math.MaxInt
	if part := p.grounds[gi].part; part.lay != nil {
		return part.x0
	}
	for i := range l.bands[gi] {
		l.bands[gi][i].cuts(func(c cut) { square = min(square, c.x) })
	}
	return square
}

// cuts counts rips and cross-cuts as nest.Cuts does.
func (l *lay) cuts(p *problem) int {
	n := 0
	for gi, bands := range l.bands {
		g, square := p.grounds[gi], l.square(p, gi)
		for i := range bands {
			b := &bands[i]
			if i > 0 && b.y != bands[i-1].end() {
				n++ // a waste strip
			}
			n++
			last := b.blocks[len(b.blocks)-1].hi
			at := square // the last cut across the band
			for j := range b.blocks {
				k := &b.blocks[j]
				if lo := max(k.lo, square); lo != at {
					n++
					at = lo
				}
				for _, s := range k.strips {
					if s.y+g.lanes[s.lane].width != b.end() {
						n++
					}
					n += p.crossCuts(s.cuts, at, k.hi, k.hi != last)
				}
				if k.hi != last {
					n++
				}
				at = k.hi
			}
		}
	}
	return n
}

// crossCuts counts those of a strip from lo to hi; closed says that the block
// was cross-cut at hi.
func (p *problem) crossCuts(cuts []cut, lo, hi int, closed bool) int {
	n := 0
	for _, c := range cuts {
		if c.x != lo {
			n++
		}
		lo = c.x + p.kinds[c.kind].length
		if !closed || lo != hi {
			n++
		}
	}
	return n
}

// clear takes the bands of hide g that begin between lo and hi off the lay.
func (l *lay) clear(gi, lo, hi int) {
	var kept []band
	for _, s := range l.bands[gi] {
		if s.y >= lo && s.y < hi {
			s.cuts(func(c cut) { l.laid[c.kind]-- })
		} else {
			kept = append(kept, s)
		}
	}
	l.bands[gi] = kept
}

// over is how many pieces of each kind no set takes, if so many of each row are
// made.
func (l *lay) over(p *problem, sets []int) []int {
	over := slices.Clone(l.laid)
	for i, n := range sets {
		for _, need := range p.rows[i].needs {
			over[need.kind] -= n * need.count
		}
	}
	return over
}

// without is the lay less the pieces that are over, of each kind so many.
// Bands that hold nothing else go first and whole, so that leather is left in
// one piece; then pieces from the far end of the last strips.
func (l *lay) without(p *problem, over []int) *lay {
	out := l.clone()
	over = slices.Clone(over)
	spare := func(b *band) bool {
		count, all := map[int]int{}, true
		b.cuts(func(c cut) {
			count[c.kind]++
			all = all && count[c.kind] <= over[c.kind]
		})
		return all
	}
	drop := func(c cut) {
		over[c.kind]--
		out.laid[c.kind]--
	}
	for gi := len(out.bands) - 1; gi >= 0; gi-- {
		for i := len(out.bands[gi]) - 1; i >= 0; i-- {
			if b := &out.bands[gi][i]; spare(b) {
				b.cuts(drop)
				out.bands[gi] = slices.Delete(out.bands[gi], i, i+1)
			}
		}
	}
	for gi := len(out.bands) - 1; gi >= 0; gi-- {
		for i := len(out.bands[gi]) - 1; i >= 0; i-- {
			b := out.bands[gi][i].clone()
			b.strips(func(_ *block, s *placed) {
				cuts := slices.Clone(s.cuts)
				for j := len(cuts) - 1; j >= 0; j-- {
					if over[cuts[j].kind] > 0 {
						drop(cuts[j])
						cuts = slices.Delete(cuts, j, j+1)
					}
				}
				s.cuts = cuts
			})
			if b, some := p.tidied(p.grounds[gi], b); some {
				out.bands[gi][i] = b
			} else {
				out.bands[gi] = slices.Delete(out.bands[gi], i, i+1)
			}
		}
	}
	return out
}
