package strip

import "strapwise/nest/internal/maxplus"

// table is the most that pieces of some kinds can fetch in a stretch of strip,
// for every length of it up to the longest run there is: a knapsack, of each
// kind no more than its cap. Values are whole units (see sweep).
type table struct {
	knapsack
	last []int32 // of the kinds without a cap that tells, the one added last, counted from 1; 0: none

	of     *ground // what it was made for: the hide, what a cut costs, and kind by kind,
	effort int32
	price  []int32
	caps   []int // empty: none
}

// knapsack is what stretches of any length hold at the most of the pieces that it was offered.
type knapsack struct {
	best []int32 // by length: what it fetches
	lots []lot   // that were offered, one after another
}

// lot is so many pieces of a kind, taken together or not at all.
type lot struct {
	kind, count, length int
	taken               []uint64 // bit x: in a stretch of length x
}

// empty makes the knapsack one of stretches up to that length, which hold nothing.
func (s *knapsack) empty(room int) {
	s.best, s.lots = grown(s.best, room+1), s.lots[:0]
	clear(s.best)
}

// offer has every length take of n pieces of a kind as many as pay: in lots of 1, 2, 4 … and what
// is left.
func (s *knapsack) offer(kind, n, length int, value int32) {
	for c := 1; n > 0; c *= 2 {
		c = min(c, n)
		n -= c
		if len(s.lots) < cap(s.lots) {
			s.lots = s.lots[:len(s.lots)+1] // with the room for what is taken that it had
		} else {
			s.lots = append(s.lots, lot{})
		}
		l := &s.lots[len(s.lots)-1]
		l.kind, l.count, l.length = kind, c, c*length
		l.taken = grown(l.taken, len(s.best)/64+1)
		clear(l.taken)
		maxplus.Take(s.best, l.taken, l.length, int32(c)*value)
	}
}

// unpack calls found for the lots that a stretch of length x holds, and gives what length is left.
func (s *knapsack) unpack(x int, found func(kind, count int)) int {
	for i := len(s.lots) - 1; i >= 0; i-- {
		if l := &s.lots[i]; l.taken[x/64]>>(x%64)&1 != 0 {
			found(l.kind, l.count)
			x -= l.length
		}
	}
	return x
}

// holds reports whether the table was made for that hide at those prices, caps and
// effort, and takes note of them. (The same prices may be of other units than before,
// in which a cut costs more or less.)
func (t *table) holds(g *ground, kinds []int, price []int32, caps []int, effort int32) bool {
	same := t.of == g && t.effort == effort && len(t.price) == len(kinds) && len(t.caps) == min(len(caps), len(kinds))
	t.of, t.effort, t.price, t.caps = g, effort, grown(t.price, len(kinds)), grown(t.caps, min(len(caps), len(kinds)))
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
// nil. A kind with a cap that a stretch may reach is taken in lots.
func (t *table) fill(p *problem, kinds []int, price []int32, caps []int, effort int32, room int) {
	t.empty(room)
	t.last = grown(t.last, room+1)
	clear(t.last)
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
		t.offer(k, caps[k], length, value)
	}
}

// each calls found for the pieces that fill a stretch of length x best: so many of a kind.
func (t *table) each(p *problem, x int, found func(kind, count int)) {
	for x = t.unpack(x, found); t.last[x] > 0; {
		k := int(t.last[x]) - 1
		found(k, 1)
		x -= p.kinds[k].length
	}
}
