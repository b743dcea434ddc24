package strip

import "slices"

// bands finds the best bands of a hide under prices, all of them: for every
// depth and every place across the hide the one of greatest relaxed value (see
// sweep), among bands whose near edge lies on a mark that divides the widths in
// use, whose depth is a sum of widths, and whose cross-cuts lie on the marks that
// part blocks. (A band deeper than any of its stacks is a shallower band.)
//
// A block is worth the best stack of strips in it. For a fixed near edge let
//
//	up[h][x0,x1] = max over lanes of width w of
//	                   up[h-w][x0,x1] + strip(near+h-w, lane, x0, x1)
//
// be the most that strips stacked without a gap up to height h give between x0
// and x1; a strip may be scrap for the sake of those beyond. In a band of depth d the cutter must find as much leather as it grips
// beside each strip that is ripped, or there must be nothing left to rip:
//
//	stack[d] = max( up[d] whose last strip is not narrower than the grip,
//	                up[h] for all h ≤ d - grip )
//
// and blocks are chained:
//
//	band[d][x1] = max over x0 of band[d][x0] + stack[d][x0,x1]
//
// The band's value is band[d] at the end of the hide. One x0 is taken after the
// other, for all near edges and depths, and all x1 at once as slices of whole
// numbers that stay in the processor's nearest cache; adding and comparing them
// is where a lay spends its time. Near edges do not depend on each other, so
// that goroutines share them out.
type bands struct {
	s       *sweep // whose tables hold the prices
	g       *ground
	heights []int       // sums of widths, in steps of across; 0 first
	index   []int       // of a height in steps: its place in heights, or -1
	below   []int       // of a place in heights: that of the greatest height a grip lower, or -1
	wide    []bool      // of a lane: not narrower than the grip
	narrow  bool        // whether some lane is
	layers  int         // of chains of blocks
	value   [][]int32   // by near edge and place in heights: of the best band; 0: none
	from    [][][]int16 // and, layer by layer, for each cell that where its last block begins, or -1 if it ends before
}

// limited reports whether a band may have only so many blocks.
func (b *bands) limited() bool { return b.s.p.job.Tools.Blocks > 0 }

// cell is the mark where a cell of the hide's length begins.
func (b *bands) cell(a int) int { return b.g.x0 + a*b.g.along }

// edge is the mark of a near edge, near the number of the edge at a mark that
// has one.
func (b *bands) edge(n int) int { return (ceilDiv(b.g.y0, b.g.across) + n) * b.g.across }
func (b *bands) near(y int) int { return y/b.g.across - ceilDiv(b.g.y0, b.g.across) }

func newBands(s *sweep, g *ground) *bands {
	b := &bands{s: s, g: g, layers: max(1, s.p.job.Tools.Blocks)}
	steps := floorMark(s.p.job.Tools.Deepest, g.mark) / g.across
	grips := max(1, ceilDiv(s.p.grips, g.across))
	b.index = make([]int, steps+1)
	for h := range b.index {
		b.index[h] = -1
		sum := h == 0
		for i := range g.lanes {
			w := g.lanes[i].width / g.across
			sum = sum || w <= h && b.index[h-w] >= 0
		}
		if sum {
			b.index[h] = len(b.heights)
			b.heights = append(b.heights, h)
		}
	}
	for _, h := range b.heights {
		below := -1
		for j, lower := range b.heights {
			if lower <= h-grips {
				below = j
			}
		}
		b.below = append(b.below, below)
	}
	for i := range g.lanes {
		wide := g.lanes[i].width >= s.p.grips
		b.wide, b.narrow = append(b.wide, wide), b.narrow || !wide
	}
	n := max(0, b.near(g.y1/g.across*g.across)+1)
	b.value, b.from = make([][]int32, n), make([][][]int16, n)
	for t := range n {
		b.value[t], b.from[t] = make([]int32, len(b.heights)), make([][]int16, len(b.heights))
	}
	return b
}

// finder is the room that one goroutine needs to find bands.
type finder struct {
	*bands
	rips  [][][]int32 // by near edge from the first of the lot, and lane: of the strip from a cell on; empty: worth nothing
	up    [][]int32   // by place in heights
	most  [][]int32   // and the greatest of all up to there
	flush [][]int32   // and of those whose last strip is wide
	best  [][][]int32 // by near edge of the lot and place in heights, layer by layer: of a chain up to each cell
	both  []int32     // of a strip where its classes share
	none  []int32
}

// find finds the bands with near edges from lo to hi, not included.
func (w *finder) find(b *bands, lo, hi int) {
	w.bands = b
	cells := b.g.cells
	last := min(hi+b.heights[len(b.heights)-1], len(b.value))
	w.rips, w.best = grown(w.rips, last-lo), grown(w.best, hi-lo)
	for i := range w.rips {
		w.rips[i] = grown(w.rips[i], len(b.g.lanes))
	}
	w.up, w.most, w.flush = grown(w.up, len(b.heights)), grown(w.most, len(b.heights)), grown(w.flush, len(b.heights))
	for j := range w.up {
		w.up[j], w.most[j], w.flush[j] = grown(w.up[j], cells), grown(w.most[j], cells), grown(w.flush[j], cells)
	}
	clear(w.up[0])
	clear(w.most[0])
	w.both, w.none = grown(w.both, cells), grown(w.none, cells+1)
	clear(w.none)
	for i := range w.best {
		w.best[i] = grown(w.best[i], len(b.heights))
		for j := range w.best[i] {
			w.best[i][j] = grown(w.best[i][j], b.layers*(cells+1))
			clear(w.best[i][j])
			b.from[lo+i][j] = grown(b.from[lo+i][j], b.layers*(cells+1))
			for e := range b.from[lo+i][j] {
				b.from[lo+i][j][e] = -1
			}
		}
	}
	for a := range cells {
		for i := range w.rips {
			for lane := range b.g.lanes {
				w.rips[i][lane] = w.fill(w.rips[i][lane], b.edge(lo+i), lane, a)
			}
		}
		for i := range w.best {
			w.from1(lo, i, a)
		}
	}
	for i := range w.best {
		for j, best := range w.best[i] {
			for l := range b.layers {
				end := (l+1)*(cells+1) - 1
				if cells > 0 && best[end] < best[end-1] {
					best[end], b.from[lo+i][j][end] = best[end-1], -1
				}
			}
			b.value[lo+i][j] = best[len(best)-1]
		}
	}
}

// from1 adds to the bands of near edge lo+i the blocks that begin at cell a.
func (w *finder) from1(lo, i, a int) {
	b, n := w.bands, w.g.cells+1
	deepest := 0
	for j := 1; j < len(b.heights) && b.edge(lo+i)+b.heights[j]*b.g.across <= b.g.y1; j++ {
		for l := range b.layers {
			best, from := w.best[i][j][l*n:], b.from[lo+i][j][l*n:]
			if a > 0 && best[a] < best[a-1] {
				best[a], from[a] = best[a-1], -1
			}
			if w.begins(w.before(i, j, l), a) {
				deepest = j
			}
		}
	}
	cells := w.g.cells - a
	for j := 1; j <= deepest; j++ {
		h := b.heights[j]
		up := w.up[j][:cells]
		clear(up)
		flush := up // all that may end the band
		if b.narrow {
			flush = w.flush[j][:cells]
			clear(flush)
		}
		for lane := range b.g.lanes {
			width := b.g.lanes[lane].width / b.g.across
			if width > h || b.index[h-width] < 0 {
				continue
			}
			rip, under, top := w.rips[i+h-width][lane], w.up[b.index[h-width]][:cells], up
			if b.wide[lane] || width == h {
				top = flush
			}
			if len(rip) == 0 { // scrap, for the sake of what lies beyond
				lift(top, top, under)
			} else {
				raise(top, under, rip)
			}
		}
		if b.narrow {
			lift(up, up, flush)
		}
		lift(w.most[j][:cells], w.most[j-1], up)
		rest := w.none[:cells]
		if b.below[j] > 0 {
			rest = w.most[b.below[j]][:cells]
		}
		for l := range b.layers {
			if before := w.before(i, j, l); w.begins(before, a) {
				link(w.best[i][j][l*n+a+1:(l+1)*n], b.from[lo+i][j][l*n+a+1:], flush, rest, before[a], int16(a))
			}
		}
	}
}

// before is the chain to which a layer adds a block: where blocks are limited,
// that of one block less.
func (w *finder) before(i, j, layer int) []int32 {
	n := w.g.cells + 1
	switch {
	case !w.limited():
		return w.best[i][j]
	case layer == 0:
		return w.none
	}
	return w.best[i][j][(layer-1)*n : layer*n]
}

// begins reports whether a block needs to begin at cell a: otherwise it may as
// well begin before.
func (w *finder) begins(before []int32, a int) bool { return a == 0 || before[a] > before[a-1] }

// link adds blocks that begin at cell a, after a chain worth base: stacks to
// the far edge, or with a rest left there.
func link(best []int32, from []int16, flush, rest []int32, base int32, a int16) {
	from, flush, rest = from[:len(best)], flush[:len(best)], rest[:len(best)]
	for e, v := range best {
		if to := base + max(flush[e], rest[e]); to > v {
			best[e], from[e] = to, a
		}
	}
}

// raise lifts each number of top to the sum of those of two others, where that
// is more.
func raise(top, a, b []int32) {
	a, b = a[:len(top)], b[:len(top)]
	for i, v := range top {
		top[i] = max(v, a[i]+b[i])
	}
}

// lift makes each number of top the greater of two others.
func lift(top, a, b []int32) {
	a, b = a[:len(top)], b[:len(top)]
	for i := range top {
		top[i] = max(a[i], b[i])
	}
}

// fill gives the value of the strip of lane i that begins at y, from cell a to
// each cell beyond, into the room of an old answer; or nothing if it has none.
func (w *finder) fill(out []int32, y, i, a int) []int32 {
	g := w.g
	l := &g.lanes[i]
	out = out[:0]
	for j := range l.classes {
		out = w.add(out, g.at(l, &l.classes[j], y), w.s.tables[l.table+j].best, a)
	}
	if n := len(l.classes); n > 1 && len(out) > 0 {
		for k, v := range w.add(w.both[:0], g.strip(i, y).union, w.s.tables[l.table+n].best, a) {
			out[k] = min(out[k], v)
		}
	}
	return out
}

// add adds the value of runs, cut off at cell a and at each beyond.
func (w *finder) add(out []int32, runs []run, best []int32, a int) []int32 {
	g := w.g
	for _, r := range runs {
		lo := max(w.cell(a), r.lo)
		if lo >= r.hi || best[r.hi-lo] == 0 {
			continue
		}
		if len(out) == 0 {
			out = grown(out, g.cells-a)
			clear(out)
		}
		e := (lo - g.x0) / g.along // the cell that lo is in, counted from a in what follows
		to, past := w.cell(e+1)-lo, out[e-a:]
		for k := range past {
			if to >= r.hi-lo {
				v := best[r.hi-lo]
				for k = range past[k:] {
					past[len(past)-1-k] += v
				}
				break
			}
			past[k] += best[to]
			to += g.along
		}
	}
	return out
}

// likely is the place in heights of the band from mark y that comes nearest to
// being part of the lay that the sweep found, if it comes within slack of it, or 0.
func (b *bands) likely(y int, s *sweep, slack int32) int {
	if y%b.g.across != 0 {
		return 0
	}
	most, place := s.free[y-b.g.y0]-slack+s.effort(), 0
	for j, v := range b.value[b.near(y)] {
		if end := y + b.heights[j]*b.g.across; v > 0 && end <= b.g.y1 && v+s.next[end-b.g.y0] > most {
			most, place = v+s.next[end-b.g.y0], j
		}
	}
	return place
}

// shape is the best band from mark y, of the depth at that place in heights.
func (b *bands) shape(y, j int) shape {
	var blocks []stack
	n := b.g.cells + 1
	for e, l := b.g.cells, b.layers-1; e > 0 && l >= 0; {
		a := int(b.from[b.near(y)][j][l*n+e])
		if a < 0 {
			e--
			continue
		}
		if b.limited() {
			l--
		}
		blocks = append(blocks, stack{b.cell(a), b.cell(e), b.lanes(y, j, b.cell(a), b.cell(e))})
		e = a
	}
	slices.Reverse(blocks)
	return newShape(b.g, y, b.heights[j]*b.g.across, blocks)
}

// lanes is the best stack of a block, from its near edge outward: the recursion
// of bands, for one block.
func (b *bands) lanes(y, j, lo, hi int) []int16 {
	type top struct {
		value int32
		lane  int16
	}
	up, flush := make([]top, j+1), top{0, -1}
	up[0].lane = -1
	for k := 1; k <= j; k++ {
		h := b.heights[k]
		up[k] = top{-1, -1} // a stack of no worth has its strips, too
		for i := range b.g.lanes {
			width := b.g.lanes[i].width / b.g.across
			if width > h || b.index[h-width] < 0 {
				continue
			}
			rip := b.g.rip(i, y+(h-width)*b.g.across, lo, hi)
			v, _ := b.s.worth(&rip)
			if v += up[b.index[h-width]].value; v > up[k].value {
				up[k] = top{v, int16(i)}
			}
			if k == j && (b.wide[i] || width == h) && v > flush.value {
				flush = top{v, int16(i)}
			}
		}
	}
	best, at := flush, j
	for k := 1; k <= b.below[j]; k++ {
		if up[k].value > best.value {
			best, at = up[k], k
		}
	}
	var out []int16
	for best.lane >= 0 {
		out = append(out, best.lane)
		at = b.index[b.heights[at]-b.g.lanes[best.lane].width/b.g.across]
		best = up[at]
	}
	slices.Reverse(out)
	return out
}

// floorDiv and ceilDiv are quotients rounded down and up.
func floorDiv(a, b int) int {
	q := a / b
	if a%b < 0 {
		q--
	}
	return q
}

func ceilDiv(a, b int) int { return -floorDiv(-a, b) }
