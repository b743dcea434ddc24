package strip

import (
	"cmp"
	"slices"

	"strapwise/nest/internal/maxplus"
)

// bands finds the best bands of a hide under prices, all of them: for every
// depth and every place across the hide the one of greatest relaxed value (see
// sweep), among bands whose near edge lies on a mark that divides the widths in
// use, whose depth is a sum of widths, and whose cross-cuts lie on the marks that
// part blocks. (A band deeper than any of its stacks is a shallower band, but where the cutter grips what it has
// beyond them; such a band no lay has unless its depth is a sum, too.)
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
// (of what lies loose the cutter grips what is beyond the band, too), and blocks are chained:
//
//	band[d][x1] = max over x0 of band[d][x0] + stack[d][x0,x1]
//
// The band's value is band[d] at the end of the hide. One x0 is taken after the
// other, for all near edges and depths, and all x1 at once as slices of whole
// numbers that stay in the processor's nearest cache; adding and comparing them
// is where a lay spends its time; what is stacked is not told again from a cell that finds all strips
// as the one before did, as on a rectangle. Near edges do not depend on each other, so
// that goroutines share them out. Where bands are as they are from the near edge before, they
// are not found again (edges.go).
type bands struct {
	s       *sweep // whose tables hold the prices
	g       *ground
	heights []int              // sums of widths, in steps of across; 0 first
	index   []int              // of a height in steps: its place in heights, or -1
	below   []int              // of a place in heights: that of the greatest height, no higher, beyond which the cutter grips enough, or -1
	wide    []bool             // of a lane: not narrower than the grip
	narrow  bool               // whether some lane is
	row     int                // how many numbers a row of cells takes; eight at the least, so that short ones are done at once
	stacks  []maxplus.Sums     // by place in heights: what up is the greatest of, of a strip that may not end a band
	ends    []maxplus.Sums     // and of one that may
	layers  int                // of chains of blocks
	unlike  []int              // near edges whose bands are found: all but those whose bands are as from the one before; nil: not told yet
	as      []int              // by near edge: whose bands it has
	like    []int              // by near edge: the first from which on strips are as those that begin there
	rooms   []int              // by near edge that is found: how deep a band may be from any that is so
	value   [][]int32          // by near edge and place in heights: of the best band; 0: none
	from    [][]int16          // by near edge, place in heights and layer: for each cell that where the last block before it begins, or -1 if it ends sooner
	blocks  map[[2]int][]stack // by near edge that is found, and place in heights: of the best band, once asked for
	places  []int              // scratch
	whole   [][]int32          // by table: what so many cells hold, from one on
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
	grips := max(1, ceilDiv(s.p.grips, g.across))
	b.heights, b.index = g.sums(floorMark(s.p.job.Tools.Deepest, g.mark) / g.across)
	for _, h := range b.heights {
		gripped := h - grips
		if g.part.loose { // the cutter grips what is left of it, be it no sum of widths
			gripped = min(h, floorDiv(g.y1-g.y0-max(1, s.p.grips), g.across))
		}
		below := -1
		for j, lower := range b.heights {
			if lower <= gripped {
				below = j
			}
		}
		b.below = append(b.below, below)
	}
	for i := range g.lanes {
		wide := g.lanes[i].width >= s.p.grips
		b.wide, b.narrow = append(b.wide, wide), b.narrow || !wide
	}
	b.row = max(g.cells, 8)
	b.stacks, b.ends = make([]maxplus.Sums, len(b.heights)), make([]maxplus.Sums, len(b.heights))
	for j, h := range b.heights {
		for i := range g.lanes {
			width := g.lanes[i].width / g.across
			if width > h || b.index[h-width] < 0 {
				continue
			}
			to := &b.stacks[j]
			if b.wide[i] || width == h {
				to = &b.ends[j]
			}
			to.Add(b.index[h-width]*b.row, ((h-width)*len(g.lanes)+i)*b.row)
		}
	}
	n := max(0, b.near(floorDiv(g.y1, g.across)*g.across)+1)
	b.value, b.from = make([][]int32, n), make([][]int16, n)
	for t := range n {
		b.value[t] = make([]int32, len(b.heights))
	}
	return b
}

// price makes ready for the prices of the sweep's tables.
func (b *bands) price() {
	b.compare()
	b.measure()
	b.blocks = map[[2]int][]stack{}
	b.whole = grown(b.whole, len(b.s.tables))
	for t := range b.whole {
		b.whole[t] = grown(b.whole[t], b.g.cells)
		for n := range b.whole[t] {
			b.whole[t][n] = b.s.tables[t].best[min((n+1)*b.g.along, b.g.span)]
		}
	}
}

// chains is how many chains of blocks there are of a near edge, and how many numbers each has: one
// for each cell that it may end before, and one for the end of the hide.
func (b *bands) chains() (count, length int) { return len(b.heights) * b.layers, b.g.cells + 1 }

// finder is the room that one goroutine needs to find bands: rows of numbers, one for each
// cell from the first of a block on.
type finder struct {
	*bands
	rips  []int32 // by near edge from the first of the lot, and lane: of the strip from there to each cell
	live  []int   // rows that may become others further along: all but those of nothing, and of a run to the end of the hide
	up    []int32 // by place in heights
	most  []int32 // and the greatest of all up to there
	flush []int32 // and of those whose last strip is wide
	told  int     // up to which place in heights they are, and the rows of strips as they were then
	best  []int32 // by near edge of the lot and chain: of a chain up to each cell
	base  []int32 // by chain: what it is worth where a block begins; -1: none needs to begin there
	both  []int32 // of a strip where its classes share
	none  []int32
}

// find finds the bands of some near edges, in their order.
func (w *finder) find(b *bands, lot []int) {
	w.bands = b
	cells, lanes := b.g.cells, len(b.g.lanes)
	chains, length := b.chains()
	lo := lot[0]
	edges := min(lot[len(lot)-1]+1+b.heights[len(b.heights)-1], len(b.value)) - lo
	w.rips = grown(w.rips, edges*lanes*b.row)
	w.up, w.most, w.flush = grown(w.up, len(b.heights)*b.row), grown(w.most, len(b.heights)*b.row), grown(w.flush, len(b.heights)*b.row)
	w.best, w.base = grown(w.best, len(lot)*chains*length), grown(w.base, chains)
	w.both, w.none = grown(w.both, cells), grown(w.none, b.row)
	w.live = w.live[:0]
	for i := range edges * lanes {
		w.live = append(w.live, i)
	}
	w.told = 0
	clear(w.up[:b.row])
	clear(w.most[:b.row])
	clear(w.best)
	clear(w.none)
	for _, t := range lot {
		b.from[t] = grown(b.from[t], chains*length)
		for e := range b.from[t] {
			b.from[t][e] = -1
		}
	}
	for a := range cells {
		w.step(lo, a)
		for n, t := range lot {
			if len(lot) > 1 {
				w.told = 0 // of another edge
			}
			w.from1(t, a, w.best[n*chains*length:], w.rips[(t-lo)*lanes*b.row:])
		}
	}
	for n, t := range lot {
		best := w.best[n*chains*length:]
		for c := range chains {
			w.carry(best[c*length:], b.from[t][c*length:], cells)
		}
		for j := range b.heights {
			b.value[t][j] = best[(j+1)*b.layers*length-1]
		}
	}
}

// step has the rows of strips begin at cell a, those of near edge lo first.
func (w *finder) step(lo, a int) {
	lanes, live := len(w.g.lanes), w.live
	w.live = live[:0]
	for _, i := range live {
		out, y, lane := w.rips[i*w.row:][:w.g.cells-a], w.edge(lo+i/lanes), i%lanes
		from, ok := w.goOn(out, y, lane, a)
		if ok && from >= len(out) {
			continue // as it was, from here on
		}
		w.told = 0
		if ok || w.fill(out, y, lane, a) {
			w.live = append(w.live, i)
		}
	}
}

// carry lets a chain end before a cell if it is worth no less so.
func (w *finder) carry(best []int32, from []int16, cell int) {
	if cell > 0 && best[cell] < best[cell-1] {
		best[cell], from[cell] = best[cell-1], -1
	}
}

// from1 adds to the bands of near edge t the blocks that begin at cell a.
func (w *finder) from1(t, a int, best, rips []int32) {
	b, from := w.bands, w.bands.from[t]
	_, n := b.chains()
	deepest := 0
	for j := 1; j < len(b.heights) && b.heights[j]*b.g.across <= b.rooms[t]; j++ {
		for l := range b.layers {
			c := j*b.layers + l
			w.carry(best[c*n:], from[c*n:], a)
			if w.base[c] = w.before(best, c, l, a); w.base[c] >= 0 {
				deepest = j
			}
		}
	}
	some := min(max(b.g.cells-a, 8), b.row) // what is beyond the cells is of no account
	for j := 1; j <= deepest; j++ {
		up, most := w.up[j*b.row:][:some], w.most[j*b.row:][:some]
		flush := up // all that may end the band
		if b.narrow {
			flush = w.flush[j*b.row:][:some]
		}
		if j > w.told {
			b.ends[j].Greatest(flush, w.none, w.up, rips)
			if b.narrow {
				b.stacks[j].Greatest(up, flush, w.up, rips)
			}
			maxplus.Lift(most, w.most[(j-1)*b.row:], up)
		}
		rest := w.none
		if b.below[j] > 0 {
			rest = w.most[b.below[j]*b.row:]
		}
		for l := range b.layers {
			if c := j*b.layers + l; w.base[c] >= 0 {
				maxplus.Chain(best[c*n+a+1:(c+1)*n], from[c*n+a+1:(c+1)*n], flush, rest, w.base[c], int16(a))
			}
		}
	}
	w.told = max(w.told, deepest)
}

// before is what the chain is worth to which chain c of the layer adds a block that begins at cell
// a: itself or, where blocks are limited, that of one block less. It is -1 if no block needs to
// begin there, since it may as well begin before.
func (w *finder) before(best []int32, c, layer, a int) int32 {
	_, n := w.chains()
	switch {
	case w.limited() && layer == 0:
		if a == 0 {
			return 0
		}
		return -1
	case w.limited():
		c--
	}
	if at := best[c*n+a]; a == 0 || at > best[c*n+a-1] {
		return at
	}
	return -1
}

// fill makes out the value of the strip of lane i that begins at y, from cell a to each cell
// beyond, and reports whether it has any.
func (w *finder) fill(out []int32, y, i, a int) bool {
	g := w.g
	l := &g.lanes[i]
	clear(out)
	some := false
	for j := range l.classes {
		some = w.add(out, g.at(l, &l.classes[j], y), l.table+j, a) || some
	}
	if n := len(l.classes); n > 1 && some {
		both := w.both[:len(out)]
		clear(both)
		w.add(both, g.strip(i, y).union, l.table+n, a)
		for k, v := range both {
			out[k] = min(out[k], v)
		}
	}
	return some
}

// goOn makes what fill would of a row that has the same strip's values from the cell before on, and
// reports whether it could: where that cell is in the strip's only run, so many cells from here hold
// what they held from there, but where the run ends. It says from which number on the row changes.
func (w *finder) goOn(out []int32, y, i, a int) (int, bool) {
	g, l := w.g, &w.g.lanes[i]
	if a == 0 || len(l.classes) > 1 {
		return 0, false
	}
	runs := g.at(l, &l.classes[0], y)
	if len(runs) != 1 || runs[0].lo > w.cell(a-1) || runs[0].hi <= w.cell(a) {
		return 0, false
	}
	v := w.s.tables[l.table].best[runs[0].hi-w.cell(a)]
	if v == 0 {
		return 0, false
	}
	from := (runs[0].hi-g.x0)/g.along - a
	for k := from; k < len(out); k++ {
		out[k] = v
	}
	return from, true
}

// add adds the value of runs, cut off at cell a and at each beyond, and reports whether they
// have any.
func (w *finder) add(out []int32, runs []run, table, a int) bool {
	g, some := w.g, false
	best := w.s.tables[table].best
	for _, r := range runs {
		lo := max(w.cell(a), r.lo)
		if lo >= r.hi || best[r.hi-lo] == 0 {
			continue
		}
		some = true
		e := (lo - g.x0) / g.along        // the cell that lo is in
		ends := (r.hi-g.x0-1)/g.along - e // cells before that in which the run ends
		past := out[e-a:]
		if lo == w.cell(e) {
			for k, v := range w.whole[table][:ends] {
				past[k] += v
			}
		} else {
			for k := range past[:ends] {
				past[k] += best[w.cell(e+k+1)-lo]
			}
		}
		v := best[r.hi-lo]
		for k := range past[ends:] {
			past[ends+k] += v
		}
	}
	return some
}

// likely are the places in heights of the bands from mark y that come nearest to being part of the lay
// that the sweep found, within slack of it: no more than so many, the nearest first.
func (b *bands) likely(y int, s *sweep, slack int32, most int) []int {
	least := s.free[y-b.g.y0] - slack + s.effort()
	value := b.value[b.near(y)]
	with := func(j int) int32 { return value[j] + s.next[y+b.heights[j]*b.g.across-b.g.y0] }
	b.places = b.places[:0]
	for j, v := range value {
		if v > 0 && y+b.heights[j]*b.g.across <= b.g.y1 && with(j) > least {
			b.places = append(b.places, j)
		}
	}
	slices.SortStableFunc(b.places, func(i, j int) int { return cmp.Compare(with(j), with(i)) })
	return b.places[:min(most, len(b.places))]
}

// bandAt is the best band from mark y, of the depth at place j in heights.
type bandAt struct{ y, j int }

// shape is that band.
func (b *bands) shape(y, j int) shape { return b.shapesOf([]bandAt{{y, j}})[0] }

// shapesOf are those bands.
func (b *bands) shapesOf(found []bandAt) []shape {
	of := func(at bandAt) [2]int { return [2]int{b.as[b.near(at.y)], at.j} }
	var open []bandAt // whose blocks are not told yet
	for _, at := range found {
		if _, told := b.blocks[of(at)]; !told {
			b.blocks[of(at)] = nil
			open = append(open, at)
		}
	}
	blocks := make([][]stack, len(open))
	each(len(open), func(i int) { blocks[i] = b.best(open[i].y, open[i].j) })
	for i, at := range open {
		b.blocks[of(at)] = blocks[i]
	}
	out := make([]shape, len(found))
	each(len(found), func(i int) {
		at := found[i]
		out[i] = newShape(b.g, at.y, b.heights[at.j]*b.g.across, b.blocks[of(at)])
	})
	return out
}

// best are the blocks of that band.
func (b *bands) best(y, j int) []stack {
	var blocks []stack
	n := b.g.cells + 1
	for e, l := b.g.cells, b.layers-1; e > 0 && l >= 0; {
		a := int(b.from[b.near(y)][(j*b.layers+l)*n+e])
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
	return blocks
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
	like, worth := make([]int, len(b.g.lanes)), make([]int32, len(b.g.lanes)) // of the strip last looked at in each lane
	for i := range like {
		like[i] = -1
	}
	for k := 1; k <= j; k++ {
		h := b.heights[k]
		up[k] = top{-1, -1} // a stack of no worth has its strips, too
		for i := range b.g.lanes {
			width := b.g.lanes[i].width / b.g.across
			if width > h || b.index[h-width] < 0 {
				continue
			}
			if t := b.near(y) + h - width; like[i] != b.like[t] {
				rip := b.g.rip(i, b.edge(t), lo, hi)
				worth[i], _ = b.s.worth(&rip)
				like[i] = b.like[t]
			}
			v := worth[i]
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
