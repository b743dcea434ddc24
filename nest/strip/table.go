package strip

import "strapwise/nest/internal/maxplus"

// table is the most that pieces of some kinds can fetch in a stretch of strip,
// for every length of it up to the longest run there is: a knapsack, of each
// kind no more than its cap. Values are whole units (see sweep).
type table struct {
	best []int32
	last []int32 // of the kinds without a cap that tells, the one added last; -1: none
	lots []lot   // of the others

	of    *ground // what it was made for: the hide, and kind by kind,
	price []int32
	caps  []int // empty: none
}

// lot is so many pieces of a kind, taken together or not at all.
type lot struct {
	kind, count, length int
	taken               []uint64 // bit x: in a stretch of length x
}

// holds reports whether the table was made for that hide at those prices and
// caps, and takes note of them.
func (t *table) holds(g *ground, kinds []int, price []int32, caps []int) bool {
	same := t.of == g && len(t.price) == len(kinds) && len(t.caps) == min(len(caps), len(kinds))
	t.of, t.price, t.caps = g, grown(t.price, len(kinds)), grown(t.caps, min(len(caps), len(kinds)))
	for i, k := range kinds {
		same = same && t.price[i] == price[k]
		t.price[i] = price[k]
		if len(caps) > 0 {
			same = same && t.caps[i] == caps[k]
			t.caps[i] = caps[k]
		}
	}
	return same
}

// fill fills the table for every length up to room. caps are of all kinds, or
// nil. A kind with a cap that a stretch may reach is taken in lots of 1, 2, 4 …
// and what is left.
func (t *table) fill(p *problem, kinds []int, price []int32, caps []int, effort int32, room int) {
	t.best, t.last = grown(t.best, room+1), grown(t.last, room+1)
	clear(t.best)
	for x := range t.last {
		t.last[x] = -1
	}
	t.lots = t.lots[:0]
	free := func(k int) bool { return caps == nil || caps[k] >= room/p.kinds[k].length }
	for _, k := range kinds {
		value, length := price[k]-effort, p.kinds[k].length
		if value <= 0 || !free(k) {
			continue
		}
		maxplus.Repeat(t.best, t.last, length, value, int32(k))
	}
	for _, k := range kinds {
		value, length := price[k]-effort, p.kinds[k].length
		if value <= 0 || free(k) {
			continue
		}
		n := caps[k]
		for c := 1; n > 0; c *= 2 {
			c = min(c, n)
			n -= c
			t.offer(k, c, c*length, int32(c)*value)
		}
	}
}

// offer has every length take a lot if that pays.
func (t *table) offer(kind, count, length int, value int32) {
	if n := len(t.lots); n < cap(t.lots) {
		t.lots = t.lots[:n+1]
	} else {
		t.lots = append(t.lots, lot{})
	}
	l := &t.lots[len(t.lots)-1]
	l.kind, l.count, l.length = kind, count, length
	l.taken = grown(l.taken, len(t.best)/64+1)
	clear(l.taken)
	maxplus.Take(t.best, l.taken, length, value)
}

// count adds to laid the pieces that fill a stretch of length x best.
func (t *table) count(p *problem, x int, laid []float64) {
	for i := len(t.lots) - 1; i >= 0; i-- {
		if l := &t.lots[i]; l.taken[x/64]>>(x%64)&1 != 0 {
			laid[l.kind] += float64(l.count)
			x -= l.length
		}
	}
	for t.last[x] >= 0 {
		laid[t.last[x]]++
		x -= p.kinds[t.last[x]].length
	}
}
