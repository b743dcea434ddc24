package strip

import (
	"cmp"
	"container/heap"
	"slices"
)

// builder lays bands by sweeping hides under prices.
type builder struct {
	p *problem
	sweep
	filler
	price []float64 // of the kinds still wanted
	units []int32
	left  []int // scratch: what a shape's strips leave wanted
	tries tries // scratch
}

// try is a band that may be laid, and the most that it and all beyond it can
// be worth.
type try struct {
	lane  int // -1: a shape
	shape int32
	hope  float64
	place int // among all; of equals the first is tried first
}

// tries is a heap, what hopes for the most first.
type tries []try

func (t tries) Len() int { return len(t) }
func (t tries) Less(i, j int) bool {
	return t[i].hope > t[j].hope || t[i].hope == t[j].hope && t[i].place < t[j].place
}
func (t tries) Swap(i, j int) { t[i], t[j] = t[j], t[i] }
func (t *tries) Push(x any)   { *t = append(*t, x.(try)) }
func (t *tries) Pop() any {
	last := len(*t) - 1
	x := (*t)[last]
	*t = (*t)[:last]
	return x
}

// mostTries is how many bands are filled before one is taken, where bands are alike from several near edges: on sheets,
// where more of a piece is hoped for than is wanted, one after the twelfth was the best in one of 10, and half the
// time was theirs. On leather six are filled of themselves.
const mostTries = 12

func newBuilder(p *problem, known *shapes) *builder {
	return &builder{p: p, sweep: sweep{p: p, shapes: known, gap: p.gap, toll: p.job.Tools.Effort}, filler: filler{p: p}, price: make([]float64, len(p.kinds))}
}

// window lays bands on hide g between marks lo and hi, where nothing lies,
// to the greatest total of prices, taking no more than want, which it counts
// down. near and far say whether a band adjoins the window at that end, so
// that what is left there must be wide enough to rip off or nothing.
func (b *builder) window(l *lay, gi, lo, hi int, near, far bool, price []float64, want []int) {
	g := b.p.grounds[gi]
	var out []band
	stale, adjoins, reprice := true, near, b.sweep.price
	for y := lo; y < hi; {
		if stale {
			for k := range b.price {
				b.price[k] = price[k]
				if want[k] <= 0 {
					b.price[k] = 0
				}
			}
			unit := b.p.unitFor(price)
			b.units = inUnits(b.price, unit, b.units)
			b.caps = b.caps[:0]
			for k, n := range want {
				b.caps = append(b.caps, min(n, g.span/b.p.kinds[k].length)) // no run holds more
			}
			reprice(g, b.units, unit)
			reprice = b.lower
			b.run(g, y, hi, adjoins, far)
			stale = false
		}
		if at := b.ahead(g, y, hi, adjoins); at > y {
			y, adjoins = at, false
			continue
		}
		s, ok := b.take(g, y, hi, far, want)
		if !ok { // the sweep hoped for more than there is
			if y++; adjoins {
				y += b.gap - 1
			}
			adjoins = false
			continue
		}
		s.cuts(func(c cut) {
			want[c.kind]--
			l.laid[c.kind]++
			stale = stale || want[c.kind] == 0
		})
		out = append(out, s)
		y, adjoins = s.end(), true
	}
	l.bands[gi] = append(l.bands[gi], out...)
	slices.SortFunc(l.bands[gi], func(a, b band) int { return cmp.Compare(a.y, b.y) })
}

// take gives the band that is best taken at y: its true filling, and what the
// sweep hopes for beyond it, which cannot be more than all that is still
// wanted. Among equals the band that makes most of its own depth is taken. It
// reports false if no band at y holds anything. Bands of which not even the
// sweep hopes for more than the best yet found are not filled, nor more than a few.
func (b *builder) take(g *ground, y, hi int, far bool, want []int) (band, bool) {
	wanted := 0.0
	for k, n := range want {
		wanted += b.price[k] * float64(max(n, 0))
	}
	beyond := func(end int) float64 { return float64(b.next[end-g.y0]) * b.unit }
	fits := func(end int) bool { return end <= hi && (!far || end == hi || hi-end >= b.p.gap) }
	b.tries = b.tries[:0]
	for i := range g.lanes {
		if end := y + g.lanes[i].width; fits(end) {
			v, _ := b.sweep.worth(g.strip(i, y))
			b.tries = append(b.tries, try{i, -1, float64(v)*b.unit + beyond(end), len(b.tries)})
		}
	}
	known, shared := b.shapes.from(g, y)
	for _, i := range known {
		sh := &b.shapes.all[i]
		if end := y + sh.depth; fits(end) {
			v := b.sweep.shape(sh)
			b.tries = append(b.tries, try{-1, i, float64(v)*b.unit + beyond(end), len(b.tries)})
		}
	}
	heap.Init(&b.tries)
	best, dense, found, out := 0.0, 0.0, false, band{}
	const same = 1e-9
	for n := 0; len(b.tries) > 0 && !(shared && found && n >= mostTries); n++ {
		t := heap.Pop(&b.tries).(try)
		if found && t.hope < best*(1-1e-6) {
			break
		}
		var s band
		var v float64
		if t.lane >= 0 {
			var cuts []cut
			if cuts, v = b.fill(g, &g.lanes[t.lane], y, g.x0, g.x1, b.price, want); v > 0 {
				s = g.plain(placed{t.lane, y, cuts})
			}
		} else {
			s, v = b.fillShape(g, &b.shapes.all[t.shape], y, want)
		}
		if v <= 0 {
			continue
		}
		score, density := v+min(beyond(s.end()), wanted-v), v/float64(s.depth)
		if !found || score > best*(1+same) || score > best*(1-same) && density > dense {
			best, dense, found, out = score, density, true, s
		}
	}
	return out, found
}

// fillShape cuts pieces from a shape that begins at near, strip by strip, no more than want, and
// tells what they fetch less the effort of cutting them.
func (b *builder) fillShape(g *ground, sh *shape, near int, want []int) (band, float64) {
	b.left = append(b.left[:0], want...)
	out, total := band{y: near, depth: sh.depth}, 0.0
	for _, st := range sh.blocks {
		k := block{lo: st.lo, hi: st.hi}
		y := near
		for _, i := range st.lanes {
			cuts, v := b.fill(g, &g.lanes[i], y, st.lo, st.hi, b.price, b.left)
			for _, c := range cuts {
				b.left[c.kind]--
			}
			k.strips = append(k.strips, placed{int(i), y, cuts})
			total += v
			y += g.lanes[i].width
		}
		out.blocks = append(out.blocks, k)
	}
	out, _ = b.p.tidied(g, out)
	return out, total
}
