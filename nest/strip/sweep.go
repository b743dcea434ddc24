package strip

// sweep is the dynamic program over the depth of a hide under prices. It knows
// for each mark y the most that strips beginning at y or beyond can be worth.
//
// The value of a single strip is its fillings' optimum with as many pieces of
// each kind as one likes. Where classes share the leather of a strip it is the
// lesser of two relaxations, each at least the truth: every class has the
// strip to itself, and every piece may lie in any run of the strip. So a sweep
// over a whole hide bounds what the hide can give; which is all that bound.go
// asks of it, and guide enough for search.go.
type sweep struct {
	p      *problem
	tables []table   // per lane and class, then per lane over all its classes
	most   []float64 // most[y-y0]: from y on, up to the end of the swept span
	pick   []int16   // lane taken at y, or -1 for none
}

// table is an unbounded knapsack for every room up to the longest run there is.
type table struct {
	best []float64
	kind []int32 // the kind added last, or -1 if nothing fits

	of    *ground // the hide and the prices, kind by kind, that it was made for
	price []float64
}

// fit is one part of the relaxed filling of a strip: so much room in a table.
type fit struct{ table, room int }

// price prepares the tables of a hide for prices on kinds. Tables whose kinds
// kept their prices are left as they are.
func (s *sweep) price(g *ground, price []float64) {
	effort := s.p.job.Tools.Effort
	n := 0
	next := func(kinds []int) {
		if n == len(s.tables) {
			s.tables = append(s.tables, table{})
		}
		if t := &s.tables[n]; !t.holds(g, kinds, price) {
			t.knapsack(s.p.kinds, kinds, price, effort, g.span)
			t.of = g
		}
		n++
	}
	for i := range g.lanes {
		l := &g.lanes[i]
		for j := range l.classes {
			next(l.classes[j].kinds)
		}
		if len(l.classes) > 1 {
			next(l.kinds)
		}
	}
}

// holds reports whether the table was made for that hide at those prices, and
// takes note of them.
func (t *table) holds(g *ground, kinds []int, price []float64) bool {
	same := t.of == g && len(t.price) == len(kinds)
	t.price = grown(t.price, len(kinds))
	for i, k := range kinds {
		same = same && t.price[i] == price[k]
		t.price[i] = price[k]
	}
	return same
}

// knapsack fills the table for every room up to the one given.
func (t *table) knapsack(kinds []kind, of []int, price []float64, effort float64, room int) {
	t.best, t.kind = grown(t.best, room+1), grown(t.kind, room+1)
	clear(t.best)
	for x := range t.kind {
		t.kind[x] = -1
	}
	for _, k := range of {
		value, length := price[k]-effort, kinds[k].length
		if value <= 0 {
			continue
		}
		for x := length; x <= room; x++ {
			if v := t.best[x-length] + value; v > t.best[x] {
				t.best[x], t.kind[x] = v, int32(k)
			}
		}
	}
}

// strip gives the relaxed value of the strip of lane i that begins at y, and
// the fits it is made of, appended to fits. first is the lane's first table.
func (s *sweep) strip(g *ground, i, first, y int, fits []fit) (float64, []fit) {
	l := &g.lanes[i]
	apart, mark := 0.0, len(fits)
	for j := range l.classes {
		for _, r := range g.at(l, &l.classes[j], y) {
			if v := s.tables[first+j].best[r.hi-r.lo]; v > 0 {
				apart += v
				fits = append(fits, fit{first + j, r.hi - r.lo})
			}
		}
	}
	if apart == 0 {
		return 0, fits[:mark]
	}
	if n := len(l.classes); n > 1 {
		shared := 0.0
		var over []fit
		for _, r := range union(g, l, y) {
			shared += s.tables[first+n].best[r.hi-r.lo]
			over = append(over, fit{first + n, r.hi - r.lo})
		}
		if shared < apart {
			return shared - s.p.job.Tools.Effort, append(fits[:mark], over...)
		}
	}
	return apart - s.p.job.Tools.Effort, fits
}

// union merges the runs of all classes of a lane.
func union(g *ground, l *lane, y int) []run {
	var all []run
	for j := range l.classes {
		all = append(all, g.at(l, &l.classes[j], y)...)
	}
	for i := 1; i < len(all); i++ { // few and nearly in order
		for j := i; j > 0 && all[j].lo < all[j-1].lo; j-- {
			all[j], all[j-1] = all[j-1], all[j]
		}
	}
	out := all[:0]
	for _, r := range all {
		if n := len(out); n > 0 && r.lo < out[n-1].hi {
			out[n-1].hi = max(out[n-1].hi, r.hi)
			continue
		}
		out = append(out, r)
	}
	return out
}

// run sweeps the hide from mark hi back to mark lo, under the prices last
// prepared, and returns the most that strips between them can be worth.
func (s *sweep) run(g *ground, lo, hi int) float64 {
	if hi <= lo {
		return 0
	}
	n := g.y1 - g.y0 + 1
	s.most, s.pick = grown(s.most, n+1), grown(s.pick, n+1)
	s.most[hi-g.y0] = 0
	var fits []fit
	for y := hi - 1; y >= lo; y-- {
		best, pick := s.most[y+1-g.y0], int16(-1)
		first := 0
		for i := range g.lanes {
			if end := y + g.lanes[i].width; end <= hi {
				var v float64
				if v, fits = s.strip(g, i, first, y, fits[:0]); v > 0 {
					if v += s.most[end-g.y0]; v > best {
						best, pick = v, int16(i)
					}
				}
			}
			first += tablesOf(&g.lanes[i])
		}
		s.most[y-g.y0], s.pick[y-g.y0] = best, pick
	}
	return s.most[lo-g.y0]
}

func tablesOf(l *lane) int {
	if n := len(l.classes); n > 1 {
		return n + 1
	}
	return len(l.classes)
}

// count adds to laid the pieces of the relaxed lay that the last run found
// between lo and hi.
func (s *sweep) count(g *ground, lo, hi int, laid []float64) {
	firsts := make([]int, len(g.lanes))
	for i := 1; i < len(g.lanes); i++ {
		firsts[i] = firsts[i-1] + tablesOf(&g.lanes[i-1])
	}
	var fits []fit
	for y := lo; y < hi; {
		i := int(s.pick[y-g.y0])
		if i < 0 {
			y++
			continue
		}
		_, fits = s.strip(g, i, firsts[i], y, fits[:0])
		for _, f := range fits {
			t := &s.tables[f.table]
			for x := f.room; t.kind[x] >= 0; {
				k := t.kind[x]
				laid[k]++
				x -= s.p.kinds[k].length
			}
		}
		y += g.lanes[i].width
	}
}
