package strip

import "slices"

// sharpening finds new views, of the leather that is left, in which lays are seen not to come to hold all.
type sharpening struct {
	market *market
	hide   int         // from which on hides sell
	left   int         // work that was left when it was last tried
	wait   int         // work until the next try
	found  [][]float64 // prices
	next   int         // view to be given up for a new one
}

// sharpen looks for views in which some of the lays that have got to end are not worth enough, and drops those, as
// often as much work has been done. Others have got to y; both are marks from the hide's first.
func (w *packing) sharpen(hide, y, end int, free *front, ends []front) {
	const (
		few   = 2 // labels: not worth the trouble
		tries = 4
	)
	s := &w.sharp
	if s.wait == 0 {
		s.wait, s.left = w.often, w.left
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
	if n := count(); n < few || end > 0 && s.left-w.left < s.wait || w.left < 0 {
		return
	}
	if s.market == nil || s.hide != hide {
		var hides []int
		for _, i := range w.order[slices.Index(w.order, hide):] {
			hides = append(hides, w.views[0].asked.hides[i])
		}
		s.market, s.hide = newMarket(w.p, w.views[0].shapes, hides, "", make([]int, len(w.p.kinds))), hide
	}
	s.market.b.columns = nil
	way := s.market.b.hides[0].ways[0]
	way.from = end + way.g.y0
	found, asks := 0, s.market.b.asks
	for try := range tries {
		n := count()
		if n < few {
			break
		}
		if w.sharpenOn(labels((2*try + 1) * n / (2 * tries))) {
			found++
			w.look(hide, y, free, ends)
		}
	}
	cost := (s.market.b.asks - asks + found) * w.asking
	w.left -= cost
	s.left = w.left
	if s.wait = max(w.often, 2*cost); found == 0 {
		s.wait *= 4
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

// look has all lays seen in new views.
func (w *packing) look(hide, y int, free *front, ends []front) {
	for i := range w.hands {
		clear(w.hands[i].held)
	}
	w.edges.known = 0
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
