package strip

import "runtime"

// seller is a hide that sells pieces to the master, under any of the tilts that are
// looked at.
type seller struct {
	ways []*way  // as the hide lies in the job first
	cost float64 // of cutting into the hide
}

// way is a hide under one tilt.
type way struct {
	sweep
	g       *ground
	from    int       // mark from which on it sells
	bands   *bands    // nil where every band is one strip
	laid    []float64 // pieces of the last lay
	value   float64   // what they fetched, less effort
	regular bool      // whenever prices are
	out     bool      // ruled out: no lay under this tilt is worth more than the best that is known
	hope    float64   // what a lay under this tilt might be worth more than that, when last told
}

// scope is what hides look at when they are asked what they sell.
type scope int

const (
	knownBands scope = iota // strips and the shapes in stock, which guides the master but bounds nothing
	allBands                // under the tilts that are asked
	allTilts                // and under all others that are not ruled out
)

// in reports whether the way is looked at.
func (w *way) in(of scope) bool { return !w.out && (w.regular || of == allTilts) }

func (b *bound) way(g *ground, asked bool) *way {
	p := b.p
	w := &way{sweep: sweep{p: p, shapes: b.shapes, gap: p.leastGap(), toll: b.question.toll}, g: g, from: g.y0, laid: make([]float64, len(p.kinds)), regular: asked}
	if p.job.Tools.Deepest > 0 && g.across > 0 && g.cells > 0 {
		w.bands = newBands(&w.sweep, g)
	}
	return w
}

func (s *seller) leather() string { return s.ways[0].g.hide.Leather() }

// sold is what the hide sold when it was last asked, under the best of the tilts.
func (s *seller) sold(of scope) float64 {
	most := 0.0
	for _, w := range s.ways {
		if w.in(of) {
			most = max(most, w.value)
		}
	}
	return most
}

// most is what that is worth beyond the cost of cutting into the hide.
func (s *seller) most(of scope) float64 { return max(0, s.sold(of)-s.cost) }

// waysIn are those of all hides that are looked at.
func (b *bound) waysIn(of scope) []*way {
	var out []*way
	for _, s := range b.hides {
		for _, w := range s.ways {
			if w.in(of) {
				out = append(out, w)
			}
		}
	}
	return out
}

// sell has hides sell at the prices that were asked, over all bands or those known.
func (b *bound) sell(ways []*way, unit float64, all bool) {
	each(len(ways), func(i int) { ways[i].price(ways[i].g, b.units, unit) })
	if all {
		b.findBands(ways)
	}
	each(len(ways), func(i int) { ways[i].sell(all) })
	if all {
		for _, w := range ways { // one after another, since they share what is known
			w.learn(b.depths)
		}
	}
}

// findBands finds the bands of all hides under the prices of their sweeps. The
// near edges of a hide are shared out in lots.
func (b *bound) findBands(ways []*way) {
	const most = 20 // near edges of a lot
	type work struct {
		bands *bands
		lot   []int
	}
	each(len(ways), func(i int) { ways[i].g.survey() })
	var all []*bands
	var works []work
	for _, w := range ways {
		if w.bands == nil {
			continue
		}
		w.bands.price()
		all = append(all, w.bands)
		n := len(w.bands.unlike)
		lots := ceilDiv(n, most)
		if procs := runtime.GOMAXPROCS(0); len(ways) == 1 {
			lots = min(n, ceilDiv(lots, procs)*procs) // as many for each
		}
		for i := range lots {
			works = append(works, work{w.bands, w.bands.unlike[i*n/lots : (i+1)*n/lots]})
		}
	}
	b.finders = grown(b.finders, runtime.GOMAXPROCS(0))
	share(b.finders, len(works), func(w *finder, i int) { w.find(works[i].bands, works[i].lot) })
	for _, b := range all {
		b.spread()
	}
}

// sell sweeps the hide, over all bands or those known, and counts what it sells.
func (w *way) sell(all bool) {
	w.of = nil
	if all {
		w.of = w.bands
	}
	w.value = float64(w.run(w.g, w.from, w.g.y1, false, false)) * w.unit
	clear(w.laid)
	w.walk(w.g, w.from, w.g.y1, false, func(_, _ int, rips []rip) { w.count(rips, w.laid) })
}

// learn makes known the bands of the last sweep, and from every near edge those that come closest to being
// part of it.
func (w *way) learn(most int) {
	const near = 0.003 // of the hide's worth
	if w.bands == nil {
		return
	}
	slack := int32(near * w.value / w.unit)
	var found []bandAt
	seen := map[bandAt]bool{}
	for y := ceilDiv(w.from, w.g.across) * w.g.across; y < w.g.y1; y += w.g.across {
		for _, j := range w.bands.likely(y, &w.sweep, slack, most) {
			if at := (bandAt{w.bands.first(y), j}); !seen[at] {
				seen[at] = true
				found = append(found, at)
			}
		}
	}
	for _, sh := range w.bands.shapesOf(found) {
		w.shapes.add(w.bands, sh)
	}
}
