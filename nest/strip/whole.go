package strip

import (
	"container/heap"
	"math"
	"slices"
)

// A bound takes sets in parts: it mixes lays that each make other sets, until a row
// is made two and a half times. No plan makes half a set. So the plans are parted into
// those that make at most so many sets of a row and those that make more, and each part
// is bounded by itself (branch and bound: Land and Doig, Econometrica 28, 1960):
//
//	L(u) = Σ rows max over from ≤ s ≤ to of s · (worth − u·A) + Σ leathers min( … )
//
// as in bound.go, where from is 0 and to what is asked for. What none of the parts
// exceeds, no plan does. The part that may hold the most is looked at first. Prices at
// which the hides were asked for one part bound others, at the cost of a few sums.
//
// Where the mixture makes whole sets, a plan may be found that does. Else the part is parted by where
// a hide is ripped (ripping.go). Where bands of all its lays begin alike, it is parted no further.
type whole struct {
	b      *bound    // of all plans, which this lowers
	of     *bound    // of the part at hand; nil: none yet
	lays   []offered // met for any part, the last many
	open   parts
	closed float64 // the most that a part can hold which is parted no further
	asked  int     // how often the hides were asked for all bands
	found  float64 // the worth of the best plan found on the way
	find   finding // nil: nobody looks for plans
}

// finding looks for a plan that makes such sets, and gives the worth of the best plan known.
type finding func(sets []int, stop func() bool) float64

// planPart is all plans that make so many sets of each row, from and to included, of hides ripped so.
type planPart struct {
	from, to []int
	ripped   *ripping
	most     float64   // no plan of it is worth more
	price    []float64 // that were good where it came from
}

// parts is a heap, the part that may hold the most on top.
type parts []planPart

func (s parts) Len() int           { return len(s) }
func (s parts) Less(i, j int) bool { return s[i].most > s[j].most }
func (s parts) Swap(i, j int)      { s[i], s[j] = s[j], s[i] }
func (s *parts) Push(x any)        { *s = append(*s, x.(planPart)) }
func (s *parts) Pop() any {
	last := (*s)[len(*s)-1]
	*s = (*s)[:len(*s)-1]
	return last
}

func newWhole(b *bound, find finding) *whole { return &whole{b: b, closed: math.Inf(-1), find: find} }

// steps is how many steps of the search are taken for each time that the hides are asked for
// a part: more where that takes longer, so that neither waits long for the other. Plain strips
// and a bend of nest/trial have the least, a side 300.
func (w *whole) steps() int {
	const least, sums = 100, 225_000 // of those that bands take, for one step
	all := 0
	for _, s := range w.b.hides {
		for _, way := range s.ways {
			if b := way.bands; b != nil {
				all += len(b.value) * len(b.heights) * b.g.cells * b.g.cells
			}
		}
	}
	return max(least, all/sums)
}

// begin takes all plans as one part.
func (w *whole) begin() {
	w.of = newBound(w.b.p, w.b.shapes, w.b.asked)
	w.of.meet(w.b)
	w.lays = w.of.columns
	all := planPart{from: make([]int, len(w.b.p.rows)), ripped: &ripping{}, most: w.b.worth(), price: w.b.proof}
	if all.price == nil { // a mixture makes all sets
		all.price = w.b.price
	}
	for _, r := range w.b.p.rows {
		all.to = append(all.to, r.qty)
	}
	w.open = parts{all}
}

// improve lowers the bound, until the hides have been asked so often in all, or it meets
// the target, the worth of the best plan known. Where edges may be tilted or hides are
// many, each asking takes too long for what it gains, and none is made.
func (w *whole) improve(asked int, target float64, stop func() bool) error {
	const mostHides = 2
	if w.b.p.ways != nil || w.b.p.large(w.b.asked.hides) > mostHides {
		return nil
	}
	if w.of == nil {
		w.begin()
	}
	for w.asked < asked && len(w.open) > 0 && w.open[0].most > w.closed && !w.b.meets(target) && !stop() {
		if err := w.look(heap.Pop(&w.open).(planPart), target, stop); err != nil {
			return err
		}
		target = max(target, w.found)
		most := max(w.closed, target) // of the parts given up, too
		if len(w.open) > 0 {
			most = max(most, w.open[0].most)
		}
		w.b.least = min(w.b.least, most)
	}
	return nil
}

// look bounds a part, and parts it in two if it may hold more than the target.
func (w *whole) look(s planPart, target float64, stop func() bool) error {
	b := w.of
	if known := b.down(w.bounded(s)); known < s.most {
		if s.most = known; known > target+proof(target) {
			heap.Push(&w.open, s) // others may hold more
		}
		return nil
	}
	const (
		rounds = 3   // of asking for all bands, if a row can be parted
		most   = 40  // and if none can
		enough = 0.3 // of what must be gained: the rest may come from parting

		dearest = 8   // times the worth of all sets: beyond, prices lose the digits that tell lays apart
		asks    = 300 // of bands known, before all are asked: at dear prices the last digits never settle
	)
	left := 0
	enoughKnown := func() bool { left--; return left < 0 || stop() }
	b.asked.from, b.asked.to = s.from, s.to
	b.low, b.price, b.dear = math.Inf(1), slices.Clone(s.price), 1
	met := w.takeUp(s.ripped)
	b.begin() // drops none of them, since no way is ever ruled out here
	defer func() { w.lays = append(w.lays, b.columns[met:]...) }()
	row, sets := -1, 0
	for round := 1; ; round++ {
		left = asks
		if err := b.settle(enoughKnown); err != nil {
			return err
		}
		if stop() {
			heap.Push(&w.open, s)
			return nil
		}
		if w.short(s) && b.dear < dearest {
			b.dear = dearest
			b.begin()
			continue
		}
		row, sets = w.uneven(s)
		lays := b.low
		s.most = min(s.most, b.down(w.ask(s)))
		if s.most <= target+proof(target) {
			return nil
		}
		news := b.offer(allBands)
		if news == 0 && row < 0 { // the master may hold prices as good, at which there are lays that it lacks
			for k := range b.price {
				b.price[k] = b.master.Price(k)
			}
			s.most = min(s.most, b.down(w.ask(s)))
			news = b.offer(allBands)
		}
		if news == 0 || round >= most || row >= 0 && (round >= rounds || s.most-lays < enough*(s.most-target)) {
			break
		}
		_, b.low = b.ask(slices.Clone(b.price), knownBands)
	}
	s.price = b.price
	if row >= 0 {
		w.partBySets(s, row, sets)
		return nil
	}
	if w.find != nil {
		w.found = max(w.found, w.find(w.making(s), stop))
	}
	if s.most > w.found+proof(w.found) {
		w.partByRips(s)
	}
	return nil
}

// partBySets parts the plans into those that make no more than so many sets of a row and those that make more.
func (w *whole) partBySets(s planPart, row, sets int) {
	fewer, more := s, s
	fewer.to, more.from = slices.Clone(s.to), slices.Clone(s.from)
	fewer.to[row], more.from[row] = sets, sets+1
	heap.Push(&w.open, fewer)
	heap.Push(&w.open, more)
}

// partByRips parts the plans where the mixture is at odds with itself, if it is.
func (w *whole) partByRips(s planPart) {
	at, some := w.mostAtOdds()
	if !some {
		w.closed = max(w.closed, s.most)
		return
	}
	for _, nearer := range []bool{true, false} {
		part := s
		part.ripped = s.ripped.parted(at, nearer)
		heap.Push(&w.open, part)
	}
}

// making is the sets that the part's mixture makes, if they are whole.
func (w *whole) making(s planPart) []int {
	sets := make([]int, len(s.from))
	for i, from := range s.from {
		sets[i] = int(math.Round(max(float64(from), w.of.made(i))))
	}
	return sets
}

// takeUp has hides be ripped so, and the master know the last lays met that are, and says how many.
func (w *whole) takeUp(r *ripping) int {
	const most, kept = 1500, 1000 // since the master begins with all
	if c := w.lays; len(c) > most {
		w.lays = slices.Clone(c[len(c)-kept:])
	}
	for i, s := range w.of.hides {
		s.ways[0].within(r.reach(i, s.ways[0].g))
	}
	w.of.columns = nil
	for _, c := range w.lays {
		if c.of.holds(c.lies) {
			w.of.columns = append(w.of.columns, c)
		}
	}
	return len(w.of.columns)
}

// ask gives L(u) of a part at the prices at hand, and takes note of what was sold.
func (w *whole) ask(s planPart) float64 {
	b := w.of
	u := slices.Clone(b.price)
	capped, total := b.ask(u, allBands)
	w.asked++
	found := selling{gain: b.beyond(u)}
	found.sold = total - s.made(found.gain)
	s.ripped.known = append(s.ripped.known, found)
	return capped
}

// made is what the part's sets gain at the most.
func (s *planPart) made(gain []float64) float64 {
	sum := 0.0
	for i, g := range gain {
		sum += max(float64(s.from[i])*g, float64(s.to[i])*g)
	}
	return sum
}

// bounded is the least L(u) of a part at all prices that were asked of hides that are ripped so or that
// may be.
func (w *whole) bounded(s planPart) float64 {
	least := math.Inf(1)
	for r := s.ripped; r != nil; r = r.of {
		for _, k := range r.known {
			least = min(least, k.sold+s.made(k.gain))
		}
	}
	return least
}

// uneven is the row of which the master makes the most uneven number of sets, by their
// worth, and that number rounded down; or -1 if all are whole.
func (w *whole) uneven(s planPart) (row, sets int) {
	const last = 1e-6 // digits of what the master says
	row, most := -1, last
	for i, gain := range w.of.asked.gain {
		x := max(float64(s.from[i]), w.of.made(i))
		down := math.Floor(x + last)
		if off := min(x-down, down+1-x) * gain; off > most {
			row, sets, most = i, int(down), off
		}
	}
	return row, sets
}

// short reports whether the master makes fewer sets than it must, since it has no lays
// for more or they are not dear enough to it.
func (w *whole) short(s planPart) bool {
	const part = 1e-6
	for i, n := range s.from {
		if w.of.made(i) < float64(n)-part {
			return true
		}
	}
	return false
}
