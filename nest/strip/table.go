package strip

import "strapwise/nest/internal/maxplus"

// table is the most that pieces of some kinds can fetch in a stretch of strip,
// for every length of it up to the longest run there is: a knapsack, of each
// kind no more than its cap. Values are whole units (see sweep).
type table struct {
	best []int32
	last []int32 // of the kinds without a cap that tells, the one added last, counted from 1; 0: none
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
	clear(t.last)
	t.lots = t.lots[:0]
	free := func(k int) bool { return caps == nil || caps[k] >= room/p.kinds[k].length }
	for _, k := range kinds {
		value, length := price[k]-effort, p.kinds[k].length
		if value <= 0 || !free(k) {
			continue
		}
		maxplus.Repeat(t.best, t.last, length, value, int32(k)+1)
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
			t.lots = offerLot(t.lots, t.best, k, c, c*length, int32(c)*value)
		}
	}
}

// offerLot has every length of a stretch take one more lot if that pays, best being what it holds
// of those before.
func offerLot(lots []lot, best []int32, kind, count, length int, value int32) []lot {
	if n := len(lots); n < cap(lots) {
		lots = lots[:n+1] // with the room for what is taken that it had
	} else {
		lots = append(lots, lot{})
	}
	l := &lots[len(lots)-1]
	l.kind, l.count, l.length = kind, count, length
	l.taken = grown(l.taken, len(best)/64+1)
	clear(l.taken)
	maxplus.Take(best, l.taken, length, value)
	return lots
}

// takenAt reports whether a stretch of length x takes the lot.
func (l *lot) takenAt(x int) bool { return l.taken[x/64]>>(x%64)&1 != 0 }

// each calls found for the pieces that fill a stretch of length x best: so many of a kind.
func (t *table) each(p *problem, x int, found func(kind, count int)) {
	for i := len(t.lots) - 1; i >= 0; i-- {
		if l := &t.lots[i]; l.takenAt(x) {
			found(l.kind, l.count)
			x -= l.length
		}
	}
	for t.last[x] > 0 {
		k := int(t.last[x]) - 1
		found(k, 1)
		x -= p.kinds[k].length
	}
}
