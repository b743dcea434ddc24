package strip

import "slices"

// sharpening finds new views, of the leather that is left, in which lays are seen not to come to hold all.
type sharpening struct {
	market *market
	hide   int         // from which on hides sell
	left   int         // work that was left when it was last tried
	wait   int         // work until the next try; 0: none yet
	found  [][]float64 // prices
	next   int         // view to be given up for a new one
}

// sharpen adds views in which some of the lays that have got to end are not worth enough, and drops those; it does so
// now and then, and where a hide begins. What is in free has got to y; both are marks from the hide's first.
func (w *packing) sharpen(hide, y, end int, free *front, ends []front) {
	const (
		fewest      = 2 // labels worth the trouble
		tries       = 4
		payback     = 2 // labels until it is tried again, for each that it costs
		discouraged = 4 // times as long, after none was found
	)
	s := &w.sharp
	if s.wait == 0 {
		s.wait, s.left = w.sharpenEvery, w.left
	}
	at := &ends[end]
	labels := func(i int) *label {
		if i < len(at.labels) {
			return &at.labels[i]
		}
		return &free.labels[i-len(at.labels)]
	}
	count := func() int {
		if end > y {
			return len(at.labels)
		}
		return len(at.labels) + len(free.labels)
	}
	if n := count(); n < fewest || end > 0 && s.left-w.left < s.wait || w.left < 0 {
		return
	}
	if s.market == nil || s.hide != hide {
		var hides []int
		for _, i := range w.order[slices.Index(w.order, hide):] {
			hides = append(hides, w.views[0].question.hides[i])
		}
		s.market, s.hide = newMarket(w.p, w.views[0].shapes, hides, "", make([]int, len(w.p.kinds))), hide
	}
	s.market.b.columns = nil
	way := s.market.b.hides[0].ways[0]
	way.from = end + way.g.y0
	found, asks := 0, s.market.b.fullAsks
	for try := range tries {
		n := count()
		if n < fewest {
			break
		}
		if w.sharpenOn(labels((2*try + 1) * n / (2 * tries))) {
			found++
			w.revalue(hide, y, free, ends)
		}
	}
	cost := (s.market.b.fullAsks - asks + found) * w.labelsPerAsking
	w.left -= cost
	s.left = w.left
	if s.wait = max(w.sharpenEvery, payback*cost); found == 0 {
		s.wait *= discouraged
	}
}

// sharpenOn adds a view in which that lay is not worth enough, if there is one.
func (w *packing) sharpenOn(l *label) bool {
	s := &w.sharp
	b := s.market.b
	needed := make([]int, len(w.p.kinds))
	for f, k := range w.kinds {
		needed[k] = buyerScale * (w.need.of(f) - l.has.of(f))
	}
	price := make([]float64, len(w.p.kinds))
	all := 0
	for f, k := range w.kinds {
		price[k] = float64(w.views[0].worth[f])
		all += w.views[0].worth[f] * (w.need.of(f) - l.has.of(f))
	}
	for k := range price {
		price[k] *= buyerGain / buyerScale / float64(max(1, all))
	}
	broken := func() bool {
		sold, paid := 0.0, 0.0
		for _, v := range b.last.sold {
			sold += v
		}
		for k, n := range needed {
			paid += float64(n) / buyerScale * float64(b.units[k]) * b.unit
		}
		return paid > sold*(1+1e-9)
	}
	denied, err := s.market.denies(needed, price, false, broken, w.stop)
	if err != nil || !denied {
		return false
	}
	for k := range price {
		price[k] = float64(b.units[k]) * b.unit
	}
	s.found = append(s.found, slices.Clone(price))
	if len(w.views) < mostViews {
		w.views = append(w.views, w.view(w.ask(price, nil)))
	} else {
		s.next = max(firstViews, (s.next+1)%mostViews)
		w.views[s.next] = w.view(w.ask(price, w.views[s.next].bound))
	}
	return true
}

// revalue has all lays seen in new views.
func (w *packing) revalue(hide, y int, free *front, ends []front) {
	for i := range w.hands {
		clear(w.hands[i].held)
	}
	w.edges.current = 0
	free.keep(func(l *label) bool {
		w.value(l)
		return w.may(l, func(v *view) int { return int(v.at(hide).free[y]) + v.rest[hide] })
	})
	for e := range ends {
		ends[e].keep(func(l *label) bool {
			w.value(l)
			return w.may(l, func(v *view) int { return int(v.at(hide).next[e]) + v.rest[hide] })
		})
	}
}
