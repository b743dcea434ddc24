package strip

import (
	"math"
	"slices"
)

// bands finds the best bands of a hide under prices, all of them: for every
// depth and every place across the hide the one of greatest relaxed value (see
// sweep), among bands whose far edge lies on a mark that divides the widths in
// use, and whose cross-cuts lie on the marks that part blocks.
//
// A block is worth the best stack of strips in it. For a fixed far edge let
//
//	stack[d][x0,x1] = max over lanes of width w of
//	                      stack[d-w][x0,x1] + strip(far-d, lane, x0, x1)
//
// be the most that strips stacked without a gap from d below that edge upward
// give between x0 and x1. What is left at the far edge, and beside every strip
// when it is ripped, is nothing or as much as the cutter grips. With
//
//	band[d][x1] = max over x0 of band[d][x0] + stack[d][x0,x1]
//
// the band's value is band[d] at the end of the hide. All pairs x0 < x1 of a
// depth are one slice, so that the inner loop adds and compares two slices of
// whole numbers; it is where a lay spends its time.
type bands struct {
	s      *sweep // whose tables hold the prices
	g      *ground
	steps  int         // of the deepest band, in steps of across
	grips  int         // in steps: least leather beside a strip
	layers int         // of chains of blocks
	value  [][]int32   // by far edge and depth in steps: of the best band; 0: none
	from   [][][]int16 // and for each cell the one where its last block begins, or -1 if it ends before
}

// finder is the room that one goroutine needs to find the bands of a hide.
type finder struct {
	*bands
	row   []int       // where the pairs that begin at cell a start: pair (a, b) is row[a]+b-a-1
	pairs int         // of cells a < b
	rips  [][][]int32 // ring by y, then lane: value of the strip over each pair; empty if none is worth a thing
	ripAt []int       // the y, in steps, that each place of the ring holds
	stack [][]int32   // by depth in steps; over pairs
	best  [][]int32   // by layer: of a band up to each cell
	none  []int32     // of no band
	both  []int32     // of a strip where its classes share
}

// cell is the mark where a cell of the hide's length begins.
func (b *bands) cell(a int) int { return b.g.x0 + a*b.g.along }

func newBands(s *sweep, g *ground) *bands {
	b := &bands{s: s, g: g}
	b.steps = floorMark(s.p.job.Tools.Deepest, g.mark) / g.across
	b.grips = (s.p.grips + g.across - 1) / g.across
	b.layers = max(1, s.p.job.Tools.Blocks)
	n := b.far(g.y1) + 1
	b.value, b.from = make([][]int32, n), make([][][]int16, n)
	for t := range n {
		b.value[t], b.from[t] = make([]int32, b.steps+1), make([][]int16, b.steps+1)
	}
	return b
}

// take readies the finder for a hide under the prices of its sweep.
func (w *finder) take(b *bands) {
	w.bands = b
	w.row, w.pairs = w.row[:0], 0
	for a := range b.g.cells {
		w.row = append(w.row, w.pairs)
		w.pairs += b.g.cells - a
	}
	n := b.steps + 1
	w.rips, w.ripAt, w.stack = grown(w.rips, n), grown(w.ripAt, n), grown(w.stack, n)
	for i := range n {
		w.ripAt[i] = math.MinInt
		w.rips[i] = grown(w.rips[i], len(b.g.lanes))
		w.stack[i] = grown(w.stack[i], w.pairs)
	}
	w.best, w.none, w.both = grown(w.best, b.layers), grown(w.none, b.g.cells+1), grown(w.both, w.pairs)
	clear(w.none)
	for l := range w.best {
		w.best[l] = grown(w.best[l], b.g.cells+1)
	}
}

// far counts far edges: the last one not beyond mark y.
func (b *bands) far(y int) int { return floorDiv(y, b.g.across) - floorDiv(b.g.y0, b.g.across) }

// edge is the mark of a far edge.
func (b *bands) edge(t int) int { return (floorDiv(b.g.y0, b.g.across) + t) * b.g.across }

// under finds the bands below one far edge.
func (b *finder) under(t int) {
	g := b.g
	clear(b.value[t])
	for d := 0; d <= b.steps && b.edge(t)-d*g.across >= g.y0; d++ {
		top := b.stack[d]
		clear(top)
		some := false
		for i := range g.lanes {
			before := d - g.lanes[i].width/g.across
			if before < 0 || before > 0 && before < b.grips {
				continue
			}
			if rip := b.strip(t-d, i); rip != nil {
				raise(top, b.stack[before], rip)
				some = true
			}
		}
		if some {
			b.band(t, d)
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

// strip gives the value of the strip of lane i that begins at that step across,
// over each pair of cells, or nil if it is worth nothing anywhere.
func (b *finder) strip(step, i int) []int32 {
	n := len(b.rips)
	slot := ((step % n) + n) % n
	if b.ripAt[slot] != step {
		b.ripAt[slot] = step
		for lane := range b.g.lanes {
			b.rips[slot][lane] = b.fill(b.rips[slot][lane], b.edge(step), lane)
		}
	}
	if rip := b.rips[slot][i]; len(rip) > 0 {
		return rip
	}
	return nil
}

// fill computes what strip gives, into the room of an old answer.
func (b *finder) fill(out []int32, y, i int) []int32 {
	g := b.g
	l := &g.lanes[i]
	out = out[:0]
	for j := range l.classes {
		if runs := g.at(l, &l.classes[j], y); len(runs) > 0 {
			if len(out) == 0 {
				out = grown(out, b.pairs)
				clear(out)
			}
			b.add(out, runs, b.s.tables[l.table+j].best)
		}
	}
	if n := len(l.classes); n > 1 && len(out) > 0 {
		clear(b.both)
		b.add(b.both, l.union(g, y), b.s.tables[l.table+n].best)
		for k, v := range b.both {
			out[k] = min(out[k], v)
		}
	}
	return out
}

// add adds the value of runs, of which each pair of cells cuts out a stretch.
func (b *finder) add(out []int32, runs []run, best []int32) {
	g := b.g
	for _, r := range runs {
		for a := 0; a < g.cells; a++ {
			lo := max(b.cell(a), r.lo)
			if lo >= r.hi {
				break
			}
			last := max(a+1, (lo-g.x0)/g.along+1)     // the first cell end beyond lo
			row := out[b.row[a] : b.row[a]+g.cells-a] // of ends a+1 and on
			for e := last; e <= g.cells; e++ {
				hi := b.cell(e)
				if hi >= r.hi {
					v := best[r.hi-lo]
					for ; e <= g.cells; e++ {
						row[e-a-1] += v
					}
					break
				}
				row[e-a-1] += best[hi-lo]
			}
		}
	}
}

// limited reports whether a band may have only so many blocks.
func (b *bands) limited() bool { return b.s.p.job.Tools.Blocks > 0 }

// band chains blocks of a depth along the hide. Where their number is limited,
// a layer holds the best chains of so many, each a block more than one of the
// layer before; otherwise one layer holds all.
func (b *finder) band(t, d int) {
	n := b.g.cells + 1
	from := grown(b.from[t][d], b.layers*n)
	none := b.none[:n]
	for l := range b.layers {
		best, before := b.best[l], b.best[l]
		if b.limited() {
			if before = none; l > 0 {
				before = b.best[l-1]
			}
		}
		b.chain(best, before, b.stack[d], from[l*n:(l+1)*n])
	}
	b.from[t][d], b.value[t][d] = from, b.best[b.layers-1][b.g.cells]
}

// chain gives, for each cell, the most that blocks up to it are worth, the last
// of them after a chain of before, and where that block begins; -1: it ends
// before the cell.
func (b *finder) chain(best, before, stack []int32, from []int16) {
	clear(best)
	for e := range from {
		from[e] = -1
	}
	for a := range b.g.cells {
		if a > 0 && best[a] < best[a-1] {
			best[a], from[a] = best[a-1], -1
		}
		if a > 0 && before[a] <= before[a-1] {
			continue // a block that begins here may as well begin before
		}
		base := before[a]
		for k, v := range stack[b.row[a] : b.row[a]+b.g.cells-a] {
			if v += base; v > best[a+1+k] {
				best[a+1+k], from[a+1+k] = v, int16(a)
			}
		}
	}
	if n := b.g.cells; best[n] < best[n-1] {
		best[n], from[n] = best[n-1], -1
	}
}

// likely is the depth of the band from mark y that comes nearest to being part
// of the lay that the sweep found, if it comes within slack of it, or 0.
func (b *bands) likely(y int, s *sweep, slack int32) int {
	g := b.g
	if floorDiv(y, g.across)*g.across != y {
		return 0
	}
	most, depth := s.most[y-g.y0]-slack+s.effort(), 0
	for d, t := 1, b.far(y)+1; d <= b.steps && y+d*g.across <= g.y1; d, t = d+1, t+1 {
		if v := b.value[t][d]; v > 0 && v+s.most[y+d*g.across-g.y0] > most {
			most, depth = v+s.most[y+d*g.across-g.y0], d
		}
	}
	return depth
}

// shape is the best band of a depth, in steps, from mark y.
func (b *bands) shape(y, d int) shape {
	t := b.far(y) + d
	var blocks []stack
	n := b.g.cells + 1
	for e, l := b.g.cells, b.layers-1; e > 0 && l >= 0; {
		a := int(b.from[t][d][l*n+e])
		if a < 0 {
			e--
			continue
		}
		if b.limited() {
			l--
		}
		blocks = append(blocks, stack{b.cell(a), b.cell(e), b.lanes(t, d, b.cell(a), b.cell(e))})
		e = a
	}
	slices.Reverse(blocks)
	return newShape(b.g, y, d*b.g.across, blocks)
}

// lanes is the best stack of a block, from its near edge outward: the recursion
// of bands, for one pair of cells.
func (b *bands) lanes(t, d, lo, hi int) []int16 {
	g := b.g
	best, taken := make([]int32, d+1), make([]int16, d+1)
	for r := range d + 1 {
		taken[r] = -1
		for i := range g.lanes {
			before := r - g.lanes[i].width/g.across
			if before < 0 || before > 0 && before < b.grips {
				continue
			}
			rip := g.rip(i, b.edge(t-r), lo, hi)
			v, _ := b.s.worth(&rip)
			if v += best[before]; v > best[r] {
				best[r], taken[r] = v, int16(i)
			}
		}
	}
	var out []int16
	for r := d; taken[r] >= 0; r -= g.lanes[taken[r]].width / g.across {
		out = append(out, taken[r])
	}
	return out
}

// floorDiv is the quotient rounded down.
func floorDiv(a, b int) int {
	q := a / b
	if a%b < 0 {
		q--
	}
	return q
}
