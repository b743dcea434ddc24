package strip

import (
	"container/heap"
	"math"
	"slices"
)

// A bound takes sets in parts: it mixes lays that each make other sets, until a row
// is made two and a half times. No plan makes half a set. So the plans are parted into
// those that make at most so many sets of a row and those that make more, and each part
// is bounded by itself (branch and bound: Land and Doig, Econometrica 28, 1960), by what the rules
// that askings have made leave of it (rules.go). What none of the parts
// exceeds, no plan does. The part that may hold the most is looked at first.
//
// A part's blend is uneven as a rule. Then a rule is looked for that it breaks (market.go), or the part is
// parted. Where it is of whole sets and breaks none, either the hides hold the pieces of those, and that is a plan,
// or they do not, and then those of no more pieces either (packing.go). Either way the part falls
// into those of other sets.
type whole struct {
	b       *bound   // of all plans, which this lowers
	asks    question // as b is asked, but for cuts, which are free; sets are worth less a cut for each piece, the least that it takes
	spared  float64  // what those would cost of what is cut already
	rules   *rules
	markets []*market
	views   []sight
	open    parts
	sharp   [][]float64 // prices that told lays of packings apart, the last few
	denied  [][]int     // pieces of each kind that hides do not hold
	hard    []hardSets
	asked   float64 // how often the hides were asked for all bands, or what took as long
	priced  float64 // of that, for parts of sets
	blended float64 // and without asking
	nears   float64 // as many times of asking went by for plans near to the best
	nearTo  []int   // sets of a plan: others near to them were looked for
	found   float64 // the worth of the best plan found on the way
	plans   planner // nil: nobody keeps plans
}

// planner keeps the best of the plans it is shown, or looks for one that makes such sets; and gives the worth of the best.
type planner interface {
	show(l *lay, sets []int) float64
	find(sets []int, stop func() bool) float64
	bestSets() []int
}

// planPart is all plans that make so many sets of each row, from and to included.
type planPart struct {
	from, to []int
	most     float64 // no plan of it is worth more
}

// hardSets are sets of which it is not known whether hides hold the pieces or, where cuts cost, what a plan of them is worth.
type hardSets struct {
	sets   []int
	needed []int   // pieces of each kind
	most   float64 // no plan that makes them is worth more
	work   int     // that was of no avail
	given  bool    // up: more work would tell nothing
}

// sight is a bound that was last asked at such prices.
type sight struct {
	of    []float64
	bound *bound
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

func newWhole(b *bound, plans planner) *whole {
	w := &whole{b: b, plans: plans, asks: b.asked}
	if !w.looks() {
		return w
	}
	w.asks.toll, w.asks.gain = 0, slices.Clone(b.asked.gain)
	for i, r := range b.p.rows {
		for _, n := range r.needs {
			w.asks.gain[i] -= b.asked.toll * float64(n.count)
		}
	}
	for _, n := range b.p.gifts {
		w.spared += b.asked.toll * float64(n)
	}
	w.rules = &rules{p: b.p, gain: w.asks.gain}
	if b.asked.toll == 0 {
		b.rules = w.rules
	}
	return w
}

// steps is how many steps of the search are taken for each time that the hides are asked for
// a part: more where that takes longer, so that neither waits long for the other. Plain strips
// and a bend of nest/trial have the least, a side 300.
func (w *whole) steps() int {
	const least, sums = 100, 575_000 // of those that bands take, for one step
	all := 0
	for _, s := range w.b.hides {
		for _, way := range s.ways {
			if b := way.bands; b != nil {
				all += b.sums()
			}
		}
	}
	return max(least, all/sums)
}

// looks reports whether parts are looked at. Where edges may be tilted or hides are
// many, each asking takes too long for what it gains, and none is made.
func (w *whole) looks() bool {
	const mostHides = 2
	return w.b.p.ways == nil && w.b.p.large(w.b.asked.hides) <= mostHides
}

// begin takes all plans as one part, when their bound is as low as may be.
func (w *whole) begin(target float64, stop func() bool) error {
	before := w.b.asks
	if err := w.b.improve(boundRounds, target, stop); err != nil {
		return err
	}
	w.asked += float64(w.b.asks - before)
	for _, l := range w.b.p.leathers() {
		var hides []int
		for i, g := range w.b.p.grounds {
			if g.hide.Leather() == l {
				hides = append(hides, i)
			}
		}
		m := newMarket(w.b.p, w.b.shapes, hides, l, w.b.p.gifts)
		m.b.rules = w.rules
		w.markets = append(w.markets, m)
	}
	all := planPart{from: make([]int, len(w.b.p.rows)), most: w.b.worth()}
	for _, r := range w.b.p.rows {
		all.to = append(all.to, r.qty)
	}
	w.open = parts{all}
	return nil
}

// improve lowers the bound, until the hides have been asked so often in all, or it meets
// the target, the worth of the best plan known.
func (w *whole) improve(asked int, target float64, stop func() bool) error {
	if !w.looks() {
		return nil
	}
	if w.markets == nil && asked > 0 {
		if err := w.begin(target, stop); err != nil {
			return err
		}
	}
	for more := true; more && w.asked < float64(asked) && !w.b.meets(target) && !stop(); {
		var err error
		if more, err = w.next(asked, target, stop); err != nil {
			return err
		}
		target = max(target, w.found)
		w.b.least = min(w.b.least, max(target, w.most()))
	}
	return nil
}

// most is no less than what any plan is worth that is not known.
func (w *whole) most() float64 {
	most := math.Inf(-1)
	if len(w.open) > 0 {
		most = max(most, w.open[0].most)
	}
	for _, h := range w.hard {
		most = max(most, h.most)
	}
	return most
}

// next looks at what may be worth the most: a part or, if none may be worth as much, sets that were too hard before; and reports
// whether there was anything. Those sets take more work than before. Until a quarter as much has been spent in all, and if it
// is more than all that may be, parts are looked at instead that may be worth less.
func (w *whole) next(asked int, target float64, stop func() bool) (bool, error) {
	const harder = 8
	part := math.Inf(-1)
	if len(w.open) > 0 {
		part = w.open[0].most
	}
	w.hard = slices.DeleteFunc(w.hard, func(h hardSets) bool { return w.deniesPieces(h.needed) })
	hardest := -1
	for i, h := range w.hard {
		if !h.given && h.most > max(part, target+proof(target)) && (hardest < 0 || h.most > w.hard[hardest].most) {
			hardest = i
		}
	}
	if hardest >= 0 {
		h := w.hard[hardest]
		if takes := w.labels(harder * h.work); takes <= min(2*float64(asked), max(4*w.asked, float64(asked))) {
			w.hard = slices.Delete(w.hard, hardest, hardest+1)
			w.pack(h.sets, h.needed, h.work*harder, stop)
			return true, nil
		}
	}
	if part <= target+proof(target) {
		return false, nil
	}
	return true, w.look(heap.Pop(&w.open).(planPart), target, stop)
}

// denies reports whether hides were found not to hold what such sets need.
func (w *whole) denies(sets []int) bool { return w.deniesPieces(w.b.p.making(sets).demand) }

func (w *whole) deniesPieces(needed []int) bool {
	return slices.ContainsFunc(w.denied, func(core []int) bool { return allOf(core, needed) })
}

// allOf reports whether others have no fewer pieces of any kind.
func allOf(pieces, others []int) bool {
	return slices.EqualFunc(pieces, others, func(n, of int) bool { return n <= of })
}

// labels is how often all bands might be asked for in the time that so many labels of a packing take.
func (w *whole) labels(n int) float64 { return float64(n) / float64(w.asking()) }

// asking is how many labels of a packing take as long as asking for all bands.
func (w *whole) asking() int {
	const inStep = 120 // of the search
	return inStep * w.steps()
}

// look bounds a part, and parts it if it may hold more than the target.
func (w *whole) look(s planPart, target float64, stop func() bool) error {
	if w.denies(s.from) {
		return nil
	}
	const blending = 0.01 // of an asking
	best, most, err := w.rules.blend(s.from, s.to)
	if err != nil {
		return err
	}
	w.asked += blending
	w.blended += blending
	if most = w.b.down(most + w.spared); most <= target+proof(target) {
		return nil
	}
	if most < s.most {
		if s.most = most; len(w.open) > 0 && most < w.open[0].most {
			heap.Push(&w.open, s)
			return nil
		}
	}
	row, down := w.uneven(best)
	sets := make([]int, len(best))
	for i, n := range best {
		sets[i] = int(math.Round(n))
	}
	if row < 0 && w.denies(sets) {
		w.partFewer(s, sets)
		return nil
	}
	if row < 0 || w.priced <= w.blended {
		before := w.asked
		denied, err := w.price(best, row < 0, stop)
		if err != nil {
			return err
		}
		if row >= 0 {
			w.priced += w.asked - before
		}
		if denied || stop() {
			heap.Push(&w.open, s)
			return nil
		}
	}
	if row >= 0 {
		w.partBySets(s, row, down)
		return nil
	}
	w.decide(s, sets, target, stop)
	return nil
}

// price looks for a rule that such sets break, and reports whether there is one.
func (w *whole) price(sets []float64, nearest bool, stop func() bool) (bool, error) {
	for _, m := range w.markets {
		needed, price := make([]int, len(w.b.p.kinds)), []float64(nil)
		for i, r := range w.b.p.rows {
			for _, n := range r.needs {
				if m.b.counts(n.kind) {
					needed[n.kind] += int(math.Round(buyerScale * sets[i] * float64(n.count)))
				}
			}
		}
		if tight := w.rules.tight(m.b.asked.leather, sets, 1); len(tight) > 0 {
			u := &w.rules.list[tight[0]]
			for _, v := range u.price {
				price = append(price, v*buyerGain/buyerScale/u.fetch(sets))
			}
		}
		before := len(w.rules.list)
		denied, err := m.denies(needed, price, nearest, func() bool { return w.rules.broken(len(w.rules.list)-1, sets) }, stop)
		w.asked += float64(len(w.rules.list) - before)
		if denied || err != nil {
			return denied, err
		}
	}
	return false, nil
}

// partBySets parts the plans into those that make no more than so many sets of a row and those that make more.
func (w *whole) partBySets(s planPart, row, sets int) {
	fewer, more := s, s
	fewer.to, more.from = slices.Clone(s.to), slices.Clone(s.from)
	fewer.to[row], more.from[row] = sets, sets+1
	heap.Push(&w.open, fewer)
	heap.Push(&w.open, more)
}

// decide tells whether hides hold what such sets need, and parts the other sets of the part.
func (w *whole) decide(s planPart, sets []int, target float64, stop func() bool) {
	const work = 100_000 // labels
	needed := w.b.p.making(sets).demand
	held := unclear
	if i := slices.IndexFunc(w.hard, func(h hardSets) bool { return !h.given && allOf(h.needed, needed) }); i >= 0 {
		w.hard = append(w.hard, hardSets{sets, needed, w.worth(sets), w.hard[i].work, false})
	} else {
		held = w.pack(sets, needed, work, stop)
	}
	if w.found = max(w.found, target); held != holdNone && s.most <= w.found+proof(w.found) {
		return
	}
	w.partFewer(s, sets)
	if held != holdNone {
		w.partMore(s, sets)
	}
}

// pack tells whether hides hold what such sets need, if it can be told with so much work, or with more another time.
func (w *whole) pack(sets, needed []int, work int, stop func() bool) answer {
	held, more, l, core := unclear, false, (*lay)(nil), needed
	if pk := newPacking(w.b.p, needed, w.viewsOf(sets), w.view, w.asking()); pk != nil {
		if held, l = pk.tell(work, stop); held == holdNone {
			core = pk.core()
		}
		w.sharp = append(w.sharp, pk.sharp.found...)
		w.sharp = w.sharp[max(0, len(w.sharp)-sharpViews):]
		more = pk.left < 0
		w.asked += w.labels(work - max(0, pk.left))
	}
	worth := w.worth(sets)
	switch held {
	case holdNone:
		w.denied = append(w.denied, core)
		return held
	case holdAll:
		if w.plans != nil {
			w.found = max(w.found, w.plans.show(l, sets))
		}
		more = false // what the cuts of the best such plan cost is not known
	default:
		if w.plans != nil {
			w.found = max(w.found, w.plans.find(sets, stop))
		}
	}
	w.hard = append(w.hard, hardSets{sets, needed, worth, work, !more})
	return held
}

// worth is what a plan that makes such sets is worth at the most, less the cuts that no plan saves.
func (w *whole) worth(sets []int) float64 {
	worth := w.spared
	for i, n := range sets {
		worth += float64(n) * w.rules.gain[i]
	}
	return worth
}

// viewsOf gives views of hides to begin a packing of such sets with: at prices at which they cost the
// most of what is sold, and at those that packings found last. No view is there twice, since one that
// is given up is asked anew.
func (w *whole) viewsOf(sets []int) []*bound {
	part := make([]float64, len(sets))
	for i, n := range sets {
		part[i] = float64(n)
	}
	var tight [][]int
	count := 0
	for _, m := range w.markets {
		tight = append(tight, w.rules.tight(m.b.asked.leather, part, firstViews))
		count = max(count, len(tight[len(tight)-1]))
	}
	var out []*bound
	add := func(price []float64) {
		if b := w.view(price, nil); !slices.Contains(out, b) {
			out = append(out, b)
		}
	}
	for i := range max(1, count) {
		price := make([]float64, len(w.b.p.kinds))
		for _, rules := range tight {
			if len(rules) > 0 {
				for k, u := range w.rules.list[rules[min(i, len(rules)-1)]].price {
					price[k] += u
				}
			}
		}
		add(price)
	}
	for _, price := range w.sharp {
		add(price)
	}
	return out
}

// view is a bound that was last asked at such prices: that one, asked anew, unless it is nil.
func (w *whole) view(price []float64, of *bound) *bound {
	const kept = 2 * mostViews // twice as many as one packing looks at
	i := slices.IndexFunc(w.views, func(s sight) bool { return of == nil && slices.Equal(s.of, price) || of != nil && s.bound == of })
	s := sight{bound: of}
	switch {
	case i >= 0:
		s = w.views[i]
		w.views = slices.Delete(w.views, i, i+1)
	case len(w.views) == kept:
		s = w.views[0]
		w.views = slices.Delete(w.views, 0, 1)
	default:
		s.bound = newBound(w.b.p, w.b.shapes, w.asks)
	}
	if !slices.Equal(s.of, price) {
		s.of = slices.Clone(price)
		s.bound.ask(slices.Clone(price), allBands)
		w.asked++
	}
	w.views = append(w.views, s)
	return s.bound
}

// partFewer takes up the plans of the part that make fewer sets of some row.
func (w *whole) partFewer(s planPart, sets []int) {
	from := slices.Clone(s.from)
	for i, n := range sets {
		part := s
		part.from, part.to = slices.Clone(from), slices.Clone(s.to)
		part.to[i] = min(part.to[i], n-1)
		if from[i] <= part.to[i] {
			heap.Push(&w.open, part)
		}
		from[i] = max(from[i], n)
	}
}

// partMore takes up those that make no fewer of any row, and more of some.
func (w *whole) partMore(s planPart, sets []int) {
	from, to := slices.Clone(s.from), slices.Clone(s.to)
	for i, n := range sets {
		from[i] = max(from[i], n)
	}
	for i, n := range sets {
		part := s
		part.from, part.to = slices.Clone(from), slices.Clone(to)
		part.from[i] = n + 1
		if n < s.to[i] {
			heap.Push(&w.open, part)
		}
		to[i] = n
	}
}

// uneven is the row of which the most uneven number of sets is made, by their
// worth, and that number rounded down; or -1 if all are whole.
func (w *whole) uneven(made []float64) (row, sets int) {
	const last = 1e-6 // digits of what the program says
	row, most := -1, last
	for i, gain := range w.rules.gain {
		x := made[i]
		down := math.Floor(x + last)
		if off := min(x-down, down+1-x) * gain; off > most {
			row, sets, most = i, int(down), off
		}
	}
	return row, sets
}
