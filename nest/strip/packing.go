package strip

import "slices"

// packing finds out whether hides hold so many pieces of each kind: it goes over all lays that may,
// each told by what pieces it holds (labels), from the near edge of the first hide to the far edge of
// the last. Where a lay has got to, views tell at some prices what the leather beyond is worth at
// the most, as sweeps found it; what cannot come to be worth what all the pieces are is dropped. At
// the prices at which the pieces are all but more than the hides sell, that is nearly all.
//
// A band is gone over in the same way from its far end to the squared one, block by block, a block from
// its far edge to the near one, strip by strip, and a strip piece by piece (stretch.go). Of what holds no more
// than another nothing is kept.
type packing struct {
	budget          // labels that may still be looked at
	p               *problem
	kinds           []int // by field
	field           []int // of a kind; -1: none of it is needed
	need            content
	weighed         [mostFields]bool // whether some view gives a piece a price
	views           []*view
	order           []int                                   // of hides
	labelsPerAsking int                                     // labels that take as long as asking for all bands
	sharpenEvery    int                                     // after so many, views are sharpened
	long            int                                     // what a band may take before they are: twice as much once one took more
	ask             func(price []float64, of *bound) *bound // for all bands
	sharp           sharpening
	found           *lay // that holds all
	overLimit       bool // one was found that breaks a limit which labels do not show
	laid            []packedBand
	hands           [2]hand // that go over bands of two depths at a time, however many processors there are
	edges           edges
}

// budget is how many labels may still be looked at, unless it is time to stop.
type budget struct {
	left int
	stop func() bool
}

// use takes one label off the budget, and reports whether it is used up.
func (e *budget) use() bool {
	const between = 1 << 12 // two looks at the time
	if e.left--; e.left%between == 0 && e.stop() {
		e.left = -1
	}
	return e.left < 0
}

// view is what hides are worth at prices, in whole units, when all of their bands are looked at.
type view struct {
	*bound
	worth [mostFields]int // of a piece
	need  int             // of all that are needed
	rest  []int           // by hide: what those gone over after it sell at the most
}

// answer is what is known of whether hides hold pieces.
type answer int

const (
	unclear answer = iota
	holdNone
	holdAll
)

// packedBand is the last band of some bands, packedBlock the last block of some blocks and packedStrip the last
// strip of some strips, each as an index of what came before or -1.
type packedBand struct {
	before, blocks int32
	hand           int8 // whose blocks these are
	hide           int32
	y, depth       int32 // marks
}

type packedBlock struct {
	before, strips int32
	lo, hi         int32 // cells
}

type packedStrip struct {
	before  int32
	lane, y int32
	has     content
}

// newPacking is of so many pieces of each kind, with those that are cut already; or nil if they are too many to be
// told apart. Each view is a bound of all hides that was last asked for all bands.
func newPacking(p *problem, need []int, views []*bound, ask func(price []float64, of *bound) *bound, asking int) *packing {
	w := &packing{p: p, ask: ask, labelsPerAsking: asking, sharpenEvery: 20_000, field: make([]int, len(p.kinds))}
	for i := range w.hands {
		w.hands[i] = hand{packing: w, held: map[stretch]*held{}}
	}
	for k, n := range need {
		w.field[k] = -1
		if n -= p.gifts[k]; n <= 0 {
			continue
		}
		if n > mostOfKind || len(w.kinds) == mostFields {
			return nil
		}
		w.field[k] = len(w.kinds)
		w.need = w.need.with(len(w.kinds), n)
		w.kinds = append(w.kinds, k)
	}
	for _, loose := range []bool{false, true} { // what is told apart first are lays of hides
		for hide, s := range views[0].hides {
			if s.ways[0].g.part.loose == loose {
				w.order = append(w.order, hide)
			}
		}
	}
	for _, b := range views[:min(len(views), mostViews)] {
		w.views = append(w.views, w.view(b))
	}
	return w
}

// view is what a bound that was asked tells.
func (w *packing) view(b *bound) *view {
	v := &view{bound: b, rest: make([]int, len(b.hides))}
	for f, k := range w.kinds {
		v.worth[f] = int(b.units[k])
		w.weighed[f] = w.weighed[f] || v.worth[f] > 0
		v.need += v.worth[f] * w.need.of(f)
	}
	rest := 0
	for _, hide := range slices.Backward(w.order) {
		v.rest[hide] = rest
		rest += int(v.at(hide).free[0])
	}
	return v
}

// at is the hide as the view has it.
func (v *view) at(hide int) *way { return v.hides[hide].ways[0] }

// tell goes over all lays, for so much work at the most, and gives a lay that holds all pieces if there is one.
func (w *packing) tell(work int, stop func() bool) (answer, *lay) {
	w.budget, w.long = budget{work, stop}, w.sharpenEvery
	if w.need == (content{}) {
		return holdAll, w.p.emptyLay()
	}
	at := front{}
	at.add(&label{step: -1})
	for _, hide := range w.order {
		at = w.through(hide, &at)
		switch {
		case w.found != nil:
			return holdAll, w.found
		case w.left < 0:
			return unclear, nil
		}
	}
	if w.overLimit {
		return unclear, nil
	}
	for f := range w.weighed {
		w.weighed[f] = w.weighed[f] || len(at.labels) > 0 // lays were left that no view drops: none holds all, of any kind
	}
	return holdNone, nil
}

// core is what of the need hides were found not to hold: kinds that no view weighs are of no account.
func (w *packing) core() []int {
	out := make([]int, len(w.p.kinds))
	for f, k := range w.kinds {
		if w.weighed[f] {
			out[k] = w.need.of(f) + w.p.gifts[k]
		}
	}
	return out
}

// through is what the hides up to this one can hold, if those before it hold what is in from.
func (w *packing) through(hide int, from *front) front {
	g, gap := w.views[0].at(hide).g, w.p.leastGap()
	n := max(0, g.y1-g.y0)
	ends := make([]front, n+1) // by y-y0: of bands of which the last ends there
	var free front             // where none does
	if g.part.ripped() {
		ends[0] = *from
	} else {
		free = *from
	}
	for y := range n {
		if y >= gap {
			free.addAll(&ends[y-gap])
			ends[y-gap] = front{}
		}
		free.keep(func(l *label) bool {
			return w.may(l, func(v *view) int { return int(v.at(hide).free[y]) + v.rest[hide] })
		})
		w.sharpen(hide, y, y, &free, ends)
		if len(g.lanes) > 0 && (y == 0 || !g.part.loose) {
			s := bandStart{w, hide, y, [2]*front{&free, &ends[y]}, ends}
			s.strips()
			s.bands()
		}
		if w.left < 0 || w.found != nil {
			return front{}
		}
	}
	for y := max(0, n-gap); y <= n; y++ {
		free.addAll(&ends[y])
	}
	return free
}

// may reports whether a lay may still come to hold all, if beyond tells what the rest of the leather is worth.
func (w *packing) may(l *label, beyond func(v *view) int) bool {
	for i, v := range w.views {
		if l.worth[i]+beyond(v) < v.need {
			return false
		}
	}
	return true
}

// sum is both together, of each kind no more than is needed.
func (w *packing) sum(a, b *label) label {
	all := a.has.plus(b.has)
	out := label{has: all.atMost(&w.need)}
	for i := range w.views {
		out.worth[i] = a.worth[i] + b.worth[i]
	}
	if out.has != all {
		over := all.minus(out.has)
		over.each(func(field, n int) {
			for i, v := range w.views {
				out.worth[i] -= n * v.worth[field]
			}
		})
	}
	return out
}

// value tells what a label is worth.
func (w *packing) value(l *label) {
	l.worth = [mostViews]int{}
	l.has.each(func(field, n int) {
		for i, v := range w.views {
			l.worth[i] += n * v.worth[field]
		}
	})
}

// finish takes the lay of which that band is the last, which holds all, unless it breaks a limit which labels do not
// show: the gaps between bands, and the blocks of one. Then another may be found that holds as much.
func (w *packing) finish(last int32) {
	const work = 100 // labels
	w.left -= work
	w.found = w.built(last)
	w.overLimit = w.overLimit || w.found == nil
}

// built is the lay of which that band is the last, or nil if it breaks such a limit.
func (w *packing) built(last int32) *lay {
	l := w.p.emptyLay()
	for at := last; at >= 0; at = w.laid[at].before {
		of := w.laid[at]
		gi := w.views[0].question.hides[of.hide]
		g := w.p.grounds[gi]
		b, by := band{y: int(of.y), depth: int(of.depth)}, &w.hands[of.hand]
		for k := of.blocks; k >= 0; k = by.blocks[k].before {
			from := by.blocks[k]
			of := block{lo: g.x0 + int(from.lo)*g.along, hi: g.x0 + int(from.hi)*g.along}
			for s := from.strips; s >= 0; s = by.strips[s].before {
				r := by.strips[s]
				of.strips = append(of.strips, placed{int(r.lane), int(r.y), by.place(stretch{int(w.laid[at].hide), int(r.lane), int(r.y), of.lo, of.hi}, r.has)})
			}
			b.blocks = append(b.blocks, of)
		}
		if b, some := w.p.tidied(g, b); some {
			l.bands[gi] = append([]band{b}, l.bands[gi]...)
			b.cuts(func(c cut) { l.laid[c.kind]++ })
		}
	}
	for gi, bands := range l.bands {
		g := w.p.grounds[gi]
		for i := range bands {
			if most := w.p.job.Tools.Blocks; !w.p.mayFollow(g, bands[:i], &bands[i]) || most > 0 && len(bands[i].blocks) > most {
				return nil
			}
		}
	}
	for f, k := range w.kinds {
		if l.laid[k]-w.p.gifts[k] < w.need.of(f) {
			return nil
		}
	}
	return l
}
