package strip

import (
	"cmp"
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

// builder lays bands by sweeping hides under prices.
type builder struct {
	p *problem
	sweep
	filler
	price []float64 // of the kinds still wanted
	units []int32
	left  []int // scratch: what a shape's strips leave wanted
	tries []try // scratch
}

// try is a band that may be laid, and the most that it and all beyond it can
// be worth.
type try struct {
	lane  int // -1: a shape
	shape int32
	hope  float64
}

func newBuilder(p *problem, known *shapes) *builder {
	return &builder{p: p, sweep: sweep{p: p, shapes: known, gap: p.gap, toll: p.job.Tools.Effort}, filler: filler{p: p}, price: make([]float64, len(p.kinds))}
}

// window lays bands on hide g between marks lo and hi, where nothing lies,
// to the greatest total of prices, taking no more than want, which it counts
// down. near and far say whether a band adjoins the window at that end, so
// that what is left there must be wide enough to rip off or nothing.
func (b *builder) window(l *lay, gi, lo, hi int, near, far bool, price []float64, want []int) {
	g := b.p.grounds[gi]
	var out []band
	stale, adjoins, reprice := true, near, b.sweep.price
	for y := lo; y < hi; {
		if stale {
			for k := range b.price {
				b.price[k] = price[k]
				if want[k] <= 0 {
					b.price[k] = 0
				}
			}
			unit := b.p.unitFor(price)
			b.units = inUnits(b.price, unit, b.units)
			b.caps = b.caps[:0]
			for k, n := range want {
				b.caps = append(b.caps, min(n, g.span/b.p.kinds[k].length)) // no run holds more
			}
			reprice(g, b.units, unit)
			reprice = b.lower
			b.run(g, y, hi, adjoins, far)
			stale = false
		}
		if at := b.ahead(g, y, hi, adjoins); at > y {
			y, adjoins = at, false
			continue
		}
		s, ok := b.take(g, y, hi, far, want)
		if !ok { // the sweep hoped for more than there is
			if y++; adjoins {
				y += b.gap - 1
			}
			adjoins = false
			continue
		}
		s.cuts(func(c cut) {
			want[c.kind]--
			l.laid[c.kind]++
			stale = stale || want[c.kind] == 0
		})
		out = append(out, s)
		y, adjoins = s.end(), true
	}
	l.bands[gi] = append(l.bands[gi], out...)
	slices.SortFunc(l.bands[gi], func(a, b band) int { return cmp.Compare(a.y, b.y) })
}

// take gives the band that is best taken at y: its true filling, and what the
// sweep hopes for beyond it, which cannot be more than all that is still
// wanted. Among equals the band that makes most of its own depth is taken. It
// reports false if no band at y holds anything. Bands of which not even the
// sweep hopes for more than the best yet found are not filled.
func (b *builder) take(g *ground, y, hi int, far bool, want []int) (band, bool) {
	wanted := 0.0
	for k, n := range want {
		wanted += b.price[k] * float64(max(n, 0))
	}
	beyond := func(end int) float64 { return float64(b.next[end-g.y0]) * b.unit }
	fits := func(end int) bool { return end <= hi && (!far || end == hi || hi-end >= b.p.gap) }
	b.tries = b.tries[:0]
	for i := range g.lanes {
		if end := y + g.lanes[i].width; fits(end) {
			v, _ := b.sweep.worth(g.strip(i, y))
			b.tries = append(b.tries, try{lane: i, hope: float64(v)*b.unit + beyond(end)})
		}
	}
	for _, i := range b.shapes.from(g, y) {
		sh := &b.shapes.all[i]
		if end := y + sh.depth; fits(end) {
			v := b.sweep.shape(sh)
			b.tries = append(b.tries, try{-1, i, float64(v)*b.unit + beyond(end)})
		}
	}
	slices.SortStableFunc(b.tries, func(a, b try) int { return cmp.Compare(b.hope, a.hope) })
	best, dense, found, out := 0.0, 0.0, false, band{}
	const same = 1e-9
	for _, t := range b.tries {
		if found && t.hope < best*(1-1e-6) {
			break
		}
		var s band
		var v float64
		if t.lane >= 0 {
			var cuts []cut
			if cuts, v = b.fill(g, &g.lanes[t.lane], y, g.x0, g.x1, b.price, want); v > 0 {
				s = g.plain(placed{t.lane, y, cuts})
			}
		} else {
			s, v = b.fillShape(g, &b.shapes.all[t.shape], want)
		}
		if v <= 0 {
			continue
		}
		score, density := v+min(beyond(s.end()), wanted-v), v/float64(s.depth)
		if !found || score > best*(1+same) || score > best*(1-same) && density > dense {
			best, dense, found, out = score, density, true, s
		}
	}
	return out, found
}

// fillShape cuts pieces from a shape, strip by strip, no more than want, and
// tells what they fetch less the effort of cutting them.
func (b *builder) fillShape(g *ground, sh *shape, want []int) (band, float64) {
	b.left = append(b.left[:0], want...)
	out, total := band{y: sh.y, depth: sh.depth}, 0.0
	for _, st := range sh.blocks {
		k := block{lo: st.lo, hi: st.hi}
		y := sh.y
		for _, i := range st.lanes {
			cuts, v := b.fill(g, &g.lanes[i], y, st.lo, st.hi, b.price, b.left)
			for _, c := range cuts {
				b.left[c.kind]--
			}
			k.strips = append(k.strips, placed{int(i), y, cuts})
			total += v
			y += g.lanes[i].width
		}
		out.blocks = append(out.blocks, k)
	}
	out, _ = b.p.tidied(g, out)
	return out, total
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
