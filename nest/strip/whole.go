package strip

import (
	"container/heap"
	"math"
	"slices"
)

// A bound takes sets in parts: it mixes lays that each make other sets, until a row
// is made two and a half times. No plan makes half a set. So the plans are parted into
// those that make at most so many sets of a row and those that make more, and each part
// is bounded by itself (branch and bound: Land and Doig, Econometrica 28, 1960), by the rules that
// askings have given so far (rules.go). No plan is worth more than the best part allows, so that part is
// looked at first.
//
// What a part allows is, as a rule, a mixture of sets. Then a rule is looked for that it breaks (market.go), or the
// part is parted. Whole sets that break no rule are packed (packing.go): if hides hold their pieces, that is a
// plan; if not, no sets that need as much can be made; if it cannot be told yet, they are set aside as hard. In
// each case the rest of the part is split into parts of other sets.
//
// Times are counted in askings of all hides for all bands, which take the most of it.
type whole struct {
	b                 *bound   // of all plans, which this lowers
	question          question // that of b, but cuts are free and a set is worth less by a cut for each piece
	spared            float64  // pieces that are cut already need no cut: so much is added again
	rules             *rules
	markets           []*market
	kept              []keptBound
	open              parts
	sharp             [][]float64 // prices that told lays of packings apart, the last few
	denied            [][]int     // pieces of each kind that hides do not hold
	hard              []hardSets
	time              float64
	timeForRules      float64 // of it, to refute mixtures of sets
	timeForBlends     float64 // of it
	timeForNeighbours float64 // not of it
	nearTo            []int   // sets of a plan: others near to them were looked for
	found             float64 // the worth of the best plan found on the way
	plans             planner // nil: nobody keeps plans
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

// keptBound is a bound that was last asked at such prices.
type keptBound struct {
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
	w := &whole{b: b, plans: plans, question: b.question}
	if !w.usesParts() {
		return w
	}
	w.question.toll, w.question.gain = 0, slices.Clone(b.question.gain)
	for i, r := range b.p.rows {
		for _, n := range r.needs {
			w.question.gain[i] -= b.question.toll * float64(n.count)
		}
	}
	for _, n := range b.p.gifts {
		w.spared += b.question.toll * float64(n)
	}
	w.rules = &rules{p: b.p, gain: w.question.gain}
	if b.question.toll == 0 {
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

// usesParts reports whether parts are looked at. Where edges may be tilted or hides are
// many, each asking takes too long for what it gains, and none is made.
func (w *whole) usesParts() bool {
	const mostHides = 2
	return w.b.p.ways == nil && w.b.p.large(w.b.question.hides) <= mostHides
}

// begin takes all plans as one part, when their bound is as low as may be.
func (w *whole) begin(target float64, stop func() bool) error {
	before := w.b.fullAsks
	if err := w.b.improve(boundRounds, target, stop); err != nil {
		return err
	}
	w.time += float64(w.b.fullAsks - before)
	for _, l := range w.b.p.leathers() {
		var hides []int
		for i, g := range w.b.p.grounds {
			if g.hide.Leather() == l {
				hides = append(hides, i)
			}
		}
		m := newMarket(w.b.p, w.b.shapes, hides, l, w.b.p.gifts)
		m.b.rules, m.b.depths = w.rules, w.b.depths
		w.markets = append(w.markets, m)
	}
	all := planPart{from: make([]int, len(w.b.p.rows)), most: w.b.worth()}
	for _, r := range w.b.p.rows {
		all.to = append(all.to, r.qty)
	}
	w.open = parts{all}
	return nil
}

// afterContest lowers the bound and looks for plans near to the best, worth so much, after so many steps of the
// search, of which the last few contests found nothing better. Parts take about as long as the search did; longer
// where it idles, and where some is cut already and proofs come soon; and less where the bound is far, since
// the first of them take the most off it, and all of them about half a set's worth.
func (w *whole) afterContest(taken, idle int, best float64, stop func() bool) error {
	const (
		fewParts   = 16 // askings at the least,
		mostIdle   = 4  // more by the idle contests, at most by this factor,
		begunParts = 8  // or by this one where some is cut already,
		begunNear  = 4  // and for plans near to the best by this one,
		farParts   = 10 // and fewer by this one while the bound is over a set's worth off
	)
	times, near, begun := min(1+idle, mostIdle), 1, w.b.p.begun != nil
	if begun {
		times, near = begunParts, begunNear
	}
	asked := max(min(taken, fewParts), times*taken/w.steps())
	if !begun && w.b.worth()-best > w.b.p.meanWorth() {
		asked = min(asked, max(1, taken/(farParts*w.steps())))
	}
	err := w.improve(asked, best, stop)
	w.tryNeighbours(near*taken/w.steps(), best, stop)
	return err
}

// improve lowers the bound, until the hides have been asked so often in all, or it meets
// the target, the worth of the best plan known.
func (w *whole) improve(asked int, target float64, stop func() bool) error {
	if !w.usesParts() {
		return nil
	}
	if w.markets == nil && asked > 0 {
		if err := w.begin(target, stop); err != nil {
			return err
		}
	}
	for more := true; more && w.time < float64(asked) && !w.b.meets(target) && !stop(); {
		var err error
		if more, err = w.next(asked, target, stop); err != nil {
			return err
		}
		target = max(target, w.found)
		w.b.least = min(w.b.least, max(target, w.most()))
	}
	return nil
}

// most bounds every plan that is worth more than the best one known.
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

// next works on what may be worth the most: a part, or hard sets that are worth more than any part, with
// eight times the work they had. Those wait if that is more than four times all that has been done, or more
// than twice what is allowed. It reports whether anything was left to do.
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
		const timesAllowed, timesSpent = 2, 4
		if w.askings(harder*h.work) <= min(timesAllowed*float64(asked), max(timesSpent*w.time, float64(asked))) {
			w.hard = slices.Delete(w.hard, hardest, hardest+1)
			w.settle(h.sets, h.needed, h.work*harder, stop)
			return true, nil
		}
	}
	if part <= target+proof(target) {
		return false, nil
	}
	return true, w.boundPart(heap.Pop(&w.open).(planPart), target, stop)
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

// askings is how often all bands might be asked for in the time that so many labels of a packing take.
func (w *whole) askings(n int) float64 { return float64(n) / float64(w.labelsPerAsking()) }

// labelsPerAsking is how many labels of a packing take as long as asking for all bands.
func (w *whole) labelsPerAsking() int {
	const inStep = 120 // of the search
	return inStep * w.steps()
}

// boundPart bounds a part, and parts it if it may hold more than the target.
func (w *whole) boundPart(s planPart, target float64, stop func() bool) error {
	if w.denies(s.from) {
		return nil
	}
	const blending = 0.01 // of an asking
	best, most, err := w.rules.blend(s.from, s.to)
	if err != nil {
		return err
	}
	w.time += blending
	w.timeForBlends += blending
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
	if row < 0 || w.timeForRules <= w.timeForBlends {
		before := w.time
		broken, err := w.findBroken(best, row < 0, stop)
		if err != nil {
			return err
		}
		if row >= 0 {
			w.timeForRules += w.time - before
		}
		if broken || stop() {
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

// findBroken looks for a rule that such sets break, and reports whether there is one.
func (w *whole) findBroken(sets []float64, nearest bool, stop func() bool) (bool, error) {
	for _, m := range w.markets {
		needed, price := make([]int, len(w.b.p.kinds)), []float64(nil)
		for i, r := range w.b.p.rows {
			for _, n := range r.needs {
				if m.b.counts(n.kind) {
					needed[n.kind] += int(math.Round(buyerScale * sets[i] * float64(n.count)))
				}
			}
		}
		if tight := w.rules.tight(m.b.question.leather, sets, 1); len(tight) > 0 {
			u := &w.rules.list[tight[0]]
			for _, v := range u.price {
				price = append(price, v*buyerGain/buyerScale/u.fetch(sets))
			}
		}
		before := len(w.rules.list)
		denied, err := m.denies(needed, price, nearest, func() bool { return w.rules.list[len(w.rules.list)-1].broken(sets) }, stop)
		w.time += float64(len(w.rules.list) - before)
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
		held = w.settle(sets, needed, work, stop)
	}
	if w.found = max(w.found, target); held != holdNone && s.most <= w.found+proof(w.found) {
		return
	}
	w.partFewer(s, sets)
	if held != holdNone {
		w.partMore(s, sets)
	}
}

// settle tells whether hides hold what such sets need, as far as so much work does. If they do not, that is kept
// as denied; if they do, it is a plan. Else a plan is looked for in the search's way, and the sets are kept
// as hard: for another time, or as given up if more work would tell nothing.
func (w *whole) settle(sets, needed []int, work int, stop func() bool) answer {
	held, more, l, core := unclear, false, (*lay)(nil), needed
	if pk := newPacking(w.b.p, needed, w.viewsOf(sets), w.boundAt, w.labelsPerAsking()); pk != nil {
		if held, l = pk.tell(work, stop); held == holdNone {
			core = pk.core()
		}
		w.sharp = append(w.sharp, pk.sharp.found...)
		w.sharp = w.sharp[max(0, len(w.sharp)-sharpViews):]
		more = pk.left < 0
		w.time += w.askings(work - max(0, pk.left))
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
		more = false // where cuts cost, another plan may still be worth as much as the sets are
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
	part := floats(sets)
	var tight [][]int
	count := 0
	for _, m := range w.markets {
		tight = append(tight, w.rules.tight(m.b.question.leather, part, firstViews))
		count = max(count, len(tight[len(tight)-1]))
	}
	var out []*bound
	add := func(price []float64) {
		if b := w.boundAt(price, nil); !slices.Contains(out, b) {
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

// boundAt is a bound that was last asked at such prices: any, or that one, asked anew.
func (w *whole) boundAt(price []float64, of *bound) *bound {
	const kept = 2 * mostViews // so that no view of the packing at hand is given up for a new one
	i := slices.IndexFunc(w.kept, func(s keptBound) bool { return of == nil && slices.Equal(s.of, price) || of != nil && s.bound == of })
	s := keptBound{bound: of}
	switch {
	case i >= 0:
		s = w.kept[i]
		w.kept = slices.Delete(w.kept, i, i+1)
	case len(w.kept) == kept:
		s = w.kept[0]
		w.kept = slices.Delete(w.kept, 0, 1)
	default:
		s.bound = newBound(w.b.p, w.b.shapes, w.question)
	}
	if !slices.Equal(s.of, price) {
		s.of = slices.Clone(price)
		s.bound.ask(slices.Clone(price), allBands)
		w.time++
	}
	w.kept = append(w.kept, s)
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
