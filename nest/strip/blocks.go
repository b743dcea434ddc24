package strip

import (
	"slices"

	"strapwise/nest/internal/maxplus"
)

// edgeSums are what a view has bands be worth that begin at a near edge: of their blocks from cell a to
// cell e, in rows by a, a number for each e beyond.
type edgeSums struct {
	finder
	bare  []bool    // by height in steps and lane: that row is nothing, and so is what it becomes further along
	rips  [][]int32 // by cell a: rows by height in steps and lane, of the strip that begins so far up
	up    [][]int32 // by cell a: rows by place in heights, of strips stacked up to there
	stack [][]int32 // and of the best stack of a band so deep
	chain []int32   // by place in heights, and cell: of the best blocks up to there
	from  []int16
}

// compute tells what bands are worth that begin at near edge t: as finder.from1 does, but of that edge
// alone, keeping the rows of every first cell, and not counting blocks.
func (s *edgeSums) compute(b *bands, t int) {
	s.bands = b
	cells, lanes, heights, row := b.g.cells, len(b.g.lanes), len(b.heights), b.row
	rips, n := b.heights[heights-1]*lanes, cells+1
	s.bare, s.none, s.both = grown(s.bare, rips), grown(s.none, row), grown(s.both, cells)
	s.most, s.flush = grown(s.most, heights*row), grown(s.flush, row)
	s.chain, s.from = grown(s.chain, heights*n), grown(s.from, n)
	clear(s.bare)
	clear(s.none)
	clear(s.chain)
	clear(s.most[:row])
	for len(s.rips) < cells {
		s.rips, s.up, s.stack = append(s.rips, nil), append(s.up, nil), append(s.stack, nil)
	}
	for a := range cells {
		s.rips[a], s.up[a], s.stack[a] = grown(s.rips[a], rips*row), grown(s.up[a], heights*row), grown(s.stack[a], heights*row)
		clear(s.up[a][:row])
		clear(s.stack[a][:row])
		for i := range s.bare {
			if out := s.rips[a][i*row:][:row]; s.bare[i] {
				clear(out)
			} else {
				s.bare[i] = !s.fill(out[:cells-a], b.edge(t+i/lanes), i%lanes, a)
			}
		}
		some := min(max(cells-a, 8), row)
		for j := 1; j < heights; j++ {
			up, stack := s.up[a][j*row:][:some], s.stack[a][j*row:][:some]
			b.ends[j].Greatest(stack, s.none, s.up[a], s.rips[a])
			b.stacks[j].Greatest(up, stack, s.up[a], s.rips[a])
			most := s.most[j*row:][:some]
			maxplus.Lift(most, s.most[(j-1)*row:], up)
			if b.below[j] > 0 {
				maxplus.Lift(stack, stack, s.most[b.below[j]*row:])
			}
			chain := s.chain[j*n:][:n]
			if a > 0 {
				chain[a] = max(chain[a], chain[a-1])
			}
			maxplus.Chain(chain[a+1:], s.from[:cells-a], stack, s.none, chain[a], 0)
		}
	}
}

// edges are what all views have bands be worth that begin at a near edge.
type edges struct {
	hide, edge int
	sums       []*edgeSums
	current    int // of them, that are of the views as they are
}

// tellEdge tells what all views have bands be worth that begin at near edge t.
func (w *packing) tellEdge(hide, t int) {
	e := &w.edges
	if e.hide != hide || e.edge != t {
		e.hide, e.edge, e.current = hide, t, 0
	}
	if e.current < len(w.views) {
		for len(e.sums) < len(w.views) {
			e.sums = append(e.sums, &edgeSums{})
		}
		each(len(w.views), func(i int) { e.sums[i].compute(w.views[i].at(hide).bands, t) })
		e.current = len(w.views)
	}
}

// band is what a band can hold that begins at near edge t, is as deep as that place in heights says and is
// worth so much; or some of that, if all takes too long. A block begins where the one before it ends, or with the
// hide: wider blocks hold no less.
func (h *hand) band(hide, t, j int, least [mostViews]int) (held []label, all bool) {
	until := h.left - h.long // the budget's end for one band
	sums := h.edges.sums[:len(h.views)]
	b := h.views[0].at(hide).bands
	cells := b.g.cells
	from := make([]front, cells+1) // by cell: of blocks from there on
	from[cells].add(&label{step: -1})
	for hi := cells; hi > 0; hi-- {
		at := &from[hi]
		if h.left < until {
			return from[0].labels, false
		}
		if len(at.labels) == 0 {
			continue
		}
		var known front // stacks that end here: one that begins further on is better
		for lo := hi - 1; lo >= 0; lo-- {
			need, enough := least, true
			for i := 0; i < len(sums) && enough; i++ {
				need[i] -= at.most[i] + int(sums[i].chain[j*(cells+1)+lo])
				enough = int(sums[i].stack[lo][j*b.row+hi-lo-1]) >= need[i]
			}
			if !enough {
				continue
			}
			for _, stack := range h.stack(hide, t, j, lo, hi, need) {
				if !known.add(&stack) {
					continue
				}
				for k := range at.labels {
					if h.use() {
						return nil, true
					}
					l := &at.labels[k]
					sum := h.sum(l, &stack)
					if !h.reaches(&sum, least, func(i int) int { return int(sums[i].chain[j*(cells+1)+lo]) }) {
						continue
					}
					for _, lo := range slices.Compact([]int{lo, 0}) {
						if lo == 0 && !h.enough(&sum, least) {
							break
						}
						sum.step = int32(len(h.blocks))
						if from[lo].add(&sum) {
							h.blocks = append(h.blocks, packedBlock{l.step, stack.step, int32(lo), int32(hi)})
						}
					}
				}
			}
		}
	}
	return from[0].labels, true
}

// stack is what strips hold that are stacked in a block of such a band and are worth so much, until it is asked again.
func (h *hand) stack(hide, t, j, lo, hi int, least [mostViews]int) []label {
	sums := h.edges.sums[:len(h.views)]
	b := h.views[0].at(hide).bands
	g, lanes, row := b.g, len(b.g.lanes), b.row
	h.stacks = grown(h.stacks, j+1)
	from := h.stacks // by place in heights: of strips from there on
	for k := range j + 1 {
		from[k].clear()
		if k <= b.below[j] || k == 0 || k == j {
			from[k].add(&label{step: -1})
		}
	}
	for k := j; k > 0; k-- {
		at, high := &from[k], b.heights[k]
		if len(at.labels) == 0 {
			continue
		}
		for i := range lanes {
			width := g.lanes[i].width / g.across
			if width > high || b.index[high-width] < 0 || k == j && b.below[j] < j && !b.wide[i] && width != high {
				continue
			}
			to := b.index[high-width]
			need, enough := least, true
			for v := 0; v < len(sums) && enough; v++ {
				need[v] -= at.most[v] + int(sums[v].up[lo][to*row+hi-lo-1])
				enough = int(sums[v].rips[lo][((high-width)*lanes+i)*row+hi-lo-1]) >= need[v]
			}
			if !enough {
				continue
			}
			y := b.edge(t + high - width)
			for _, strip := range h.stretch(stretch{hide, i, y, b.cell(lo), b.cell(hi)}, need) {
				for m := range at.labels {
					if h.use() {
						return nil
					}
					l := &at.labels[m]
					sum := h.sum(l, &strip)
					if !h.reaches(&sum, least, func(i int) int { return int(sums[i].up[lo][to*row+hi-lo-1]) }) {
						continue
					}
					sum.step = int32(len(h.strips))
					if from[to].add(&sum) {
						h.strips = append(h.strips, packedStrip{l.step, int32(i), int32(y), strip.has})
					}
				}
			}
		}
	}
	return from[0].labels
}

// reaches reports whether a label may come to be worth so much in all views, if more tells what may be added.
func (w *packing) reaches(l *label, least [mostViews]int, more func(i int) int) bool {
	for i := range w.views {
		if l.worth[i]+more(i) < least[i] {
			return false
		}
	}
	return true
}
