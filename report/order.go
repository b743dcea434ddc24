package report

import (
	"cmp"
	"container/heap"
	"encoding/binary"
	"slices"
)

// rips are the settings that the cutter needs on one hide. The hide is ripped
// outward, band by band, since none comes off before the one below it. Blocks
// come free with their bands and are ripped from the near edge outward too, but
// when is free: they may lie by, with their names on them, until the cutter
// stands right for them.
//
//	bands           3   2   3   1
//	block 2a                3   1       comes free with the second band
//
//	band by band    3   2  [3   1]  3   1       six settings of the cutter
//	lying by        3   2   3  [3]  1  [1]      four: the block waits for bands 3 and 4
//
// Settings are numbered from 1; 0 is a step that needs none.
type rips struct {
	hide   []int   // outward
	frees  [][]int // for each of those, the blocks that come free with it
	blocks [][]int // settings of each block, outward
}

// hideNext stands in an order for the next rip of the hide.
const hideNext = -1

// mostLooked is how many states of the work are looked at before the rest is
// settled by the plain rule: the hide first, then the blocks as they came free.
// Bends and sides with twenty blocks take some hundreds.
const mostLooked = 5_000

// order gives the rips in an order that sets the cutter the fewest times and, of
// several such, has blocks lie by for the fewest rips of the hide. Each entry is
// hideNext or a block that the cutter is set for; at each setting all blocks are
// ripped as far as it serves them (ready), which never costs a setting: who
// has less left to do can do it as those do who have more.
//
// It is a shortest way through the states of the work, sought from those that
// cannot do without few more settings (Hart, Nilsson and Raphael, IEEE
// Transactions on Systems Science and Cybernetics 4(2), 1968).
func (r rips) order() []int {
	open := agenda{r.begun()}
	seen := map[string]bool{}
	best := open[0]
	for made := 1; len(open) > 0 && len(seen) < mostLooked; {
		w := heap.Pop(&open).(*work)
		if r.over(w) {
			return w.moves()
		}
		key := w.key()
		if seen[key] {
			continue
		}
		seen[key] = true
		if w.ripped > best.ripped {
			best = w
		}
		for _, move := range r.choices(w) {
			next := r.after(w, move)
			next.n = made
			made++
			heap.Push(&open, next)
		}
	}
	for !r.over(best) {
		best = r.after(best, r.choices(best)[0])
	}
	return best.moves()
}

// work is how far a hide is ripped.
type work struct {
	ripped int   // of the hide
	done   []int // of each block; locked: it is not free yet
	set    int   // how the cutter stands
	before *work
	move   int // that led here from before

	settings int // so far
	least    int // settings, so far and at least to come
	waited   int // sum of blocks that lay by at each rip of the hide
	n        int // in order of making, which settles ties
}

const locked = -1

func (r rips) begun() *work {
	w := &work{done: make([]int, len(r.blocks))}
	for k := range w.done {
		w.done[k] = locked
	}
	return w
}

func (r rips) over(w *work) bool {
	return w.ripped == len(r.hide) && len(r.waiting(w)) == 0
}

// waiting are the blocks that are free and not ripped to the end.
func (r rips) waiting(w *work) []int {
	var out []int
	for k, done := range w.done {
		if done != locked && done < len(r.blocks[k]) {
			out = append(out, k)
		}
	}
	return out
}

// choices are the moves worth trying: the hide's next rip, alone if the cutter
// stands right for it, and one block for each setting that waits.
func (r rips) choices(w *work) []int {
	var out []int
	if w.ripped < len(r.hide) {
		out = append(out, hideNext)
		if next := r.hide[w.ripped]; next == 0 || next == w.set {
			return out
		}
	}
	var asked []int
	for _, k := range r.waiting(w) {
		if set := r.blocks[k][w.done[k]]; !slices.Contains(asked, set) {
			asked = append(asked, set)
			out = append(out, k)
		}
	}
	return out
}

// after is the work after a move and all that can then be ripped without setting
// the cutter.
func (r rips) after(w *work, move int) *work {
	next := *w
	next.done, next.before, next.move = slices.Clone(w.done), w, move
	var set int
	if move == hideNext {
		next.waited += len(r.waiting(w))
		set = r.hide[w.ripped]
		for _, k := range r.frees[w.ripped] {
			next.done[k] = 0
		}
		next.ripped++
	} else {
		set = r.blocks[move][w.done[move]]
	}
	if set != 0 && set != w.set {
		next.set = set
		next.settings++
	}
	for k, done := range next.done {
		for done != locked && done < len(r.blocks[k]) && ready(r.blocks[k][done], next.set) {
			done++
		}
		next.done[k] = done
	}
	next.least = next.settings + r.toCome(&next)
	return &next
}

// ready reports whether a rip needs no other setting than the cutter has.
func ready(asked, set int) bool { return asked == 0 || asked == set }

// toCome is how many settings are needed at least: those of the hide, and one for
// each setting that only blocks ask for.
func (r rips) toCome(w *work) int {
	n := 0
	set := w.set
	served := map[int]bool{0: true, set: true}
	for _, s := range r.hide[w.ripped:] {
		if !ready(s, set) {
			n++
			set = s
		}
		served[s] = true
	}
	for k, done := range w.done {
		for _, s := range r.blocks[k][max(done, 0):] {
			if !served[s] {
				served[s] = true
				n++
			}
		}
	}
	return n
}

// key tells states apart from which the same work is left.
func (w *work) key() string {
	b := binary.AppendUvarint(nil, uint64(w.ripped))
	b = binary.AppendUvarint(b, uint64(w.set))
	for _, d := range w.done {
		b = binary.AppendVarint(b, int64(d))
	}
	return string(b)
}

// moves are those that led to a state.
func (w *work) moves() []int {
	var out []int
	for ; w.before != nil; w = w.before {
		out = append(out, w.move)
	}
	slices.Reverse(out)
	return out
}

// agenda holds states to look at, the most promising first.
type agenda []*work

func (a agenda) Len() int { return len(a) }
func (a agenda) Less(i, j int) bool {
	return cmp.Or(cmp.Compare(a[i].least, a[j].least), cmp.Compare(a[i].waited, a[j].waited), cmp.Compare(a[i].n, a[j].n)) < 0
}
func (a agenda) Swap(i, j int) { a[i], a[j] = a[j], a[i] }
func (a *agenda) Push(w any)   { *a = append(*a, w.(*work)) }
func (a *agenda) Pop() any {
	last := len(*a) - 1
	w := (*a)[last]
	*a = (*a)[:last]
	return w
}
