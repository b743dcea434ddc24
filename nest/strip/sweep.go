package strip

import (
	"math"

	"strapwise/nest/internal/maxplus"
)

// A sweep gives the most that a hide can be worth when a piece of each kind
// fetches a price, by dynamic programming over its depth:
//
//	start[y] = max( strip(y, lane) + next[y + width],     for every lane
//	                band(y, shape) + next[y + depth] )    for every shape known there, or every band found
//	free[y]  = max( start[y], free[y+1] )                 where no band adjoins
//	next[y]  = max( start[y], free[y+gap] )               where one does: a waste strip must be wide enough
//
// The value of a strip is that of a relaxed filling: pieces without limit of
// number, or of each kind so many a run. Where classes share the leather of a
// strip it is the lesser of two relaxations, each at least the truth: every class
// has the strip to itself, and every piece may lie in any run.
//
// Prices are whole numbers of a small unit of money, so that sums are exact and
// equal lays have equal values.
//
// A band is at least as deep as the narrowest strip, so of so many marks no start hangs on another:
// the strips that begin there are compared all at once, as rows of numbers.
type sweep struct {
	p      *problem
	shapes *shapes // known of the hides; nil: none
	of     *bands  // of the hide swept; nil: none
	caps   []int   // most pieces of each kind in a run; nil: any number, a bound needs that
	unit   float64 // money of one unit
	tables []table // per lane and class, then per lane over all its classes
	worths []int32 // what stretches hold by each of them, one after another
	toll   float64 // money that a cut costs at the least
	gap    int     // marks: least waste strip between two bands
	reach  []int32 // by y-y0: how far a band may reach that begins there, less y0; nil: as far as there is leather
	start  []int32 // by y-y0: from y on, where a band begins
	free   []int32
	next   []int32 // barred where no band may end

	on     *ground      // that prices were last prepared for, and, of it,
	strips []int32      // by lane and y-y0: what a strip gives beyond its rip, or barred, if that is nothing
	ready  []run        // by lane: the marks where that is so
	begin  maxplus.Sums // from any y on: the strips that begin there and what lies beyond each
	zeros  []int32      // as many as the narrowest strip has marks
	beyond int          // marks: how wide the widest is

	changes int         // how often prices and caps were set
	falling int32       // and how often anew; since then they only fall
	top     []shelfTops // by shelf of several near edges
	place   []int       // scratch
	hopes   []hope      // by shape: what it was worth when it was last looked at
}

// hope is what a shape was worth after prices had been set anew so often: until they are again,
// the most that it is worth. Its depth stands here, too, since most shapes are passed over and need not be read.
type hope struct{ worth, since, depth int32 }

// barred is so little that, whatever is added to it, nothing is more.
const barred = math.MinInt32 / 2

// unitFor gives a unit of money so large that the worth of any hide at those
// prices fits in a number of 28 bits, as does each price, though a piece may be larger than all that
// is left of the hides; and no larger. It is a power of two. Where classes share a lane, each is
// worth that with a strip to itself, and so many at a time that their sum fits in a number with a sign.
func (p *problem) unitFor(price []float64) float64 {
	const atATime = 7
	most, largest := 0.0, 1.0
	for _, g := range p.everyWay() {
		area := float64(g.y1-g.y0+1) * float64(g.span+1) * p.mark * p.mark
		largest = max(largest, area)
		for i := range g.lanes {
			largest = max(largest, area*float64(len(g.lanes[i].classes))/atATime)
		}
	}
	for k, kd := range p.kinds {
		most = max(most, price[k], price[k]/kd.area*largest)
	}
	if most == 0 {
		return 1
	}
	const room = 1 << 28
	return math.Exp2(math.Ceil(math.Log2(most / room)))
}

// inUnits rounds prices to whole units.
func inUnits(price []float64, unit float64, out []int32) []int32 {
	out = grown(out, len(price))
	for k, v := range price {
		out[k] = int32(math.Round(v / unit))
	}
	return out
}

// price prepares the tables of a hide for prices on kinds, in units. Tables
// whose kinds kept their prices are left as they are.
func (s *sweep) price(g *ground, price []int32, unit float64) {
	s.falling++
	s.lower(g, price, unit)
}

// lower is price where no price and no cap of a kind is more than it was.
func (s *sweep) lower(g *ground, price []int32, unit float64) {
	s.turnTo(g)
	s.changes++
	s.unit = unit
	effort := s.effort()
	n := 0
	next := func(lane int, kinds []int) {
		if t := &s.tables[n]; !t.holds(g, kinds, price, s.caps, effort) {
			t.fill(s.p, kinds, price, s.caps, effort, g.span)
			s.ready[lane] = run{}
		}
		n++
	}
	for i := range g.lanes {
		l := &g.lanes[i]
		for j := range l.classes {
			next(i, l.classes[j].kinds)
		}
		if len(l.classes) > 1 {
			next(i, l.kinds)
		}
	}
}

// within has bands reach no farther than that.
func (s *sweep) within(reach []int32) {
	s.reach = reach
	clear(s.ready)
}

// end is how far a band may reach that begins at y-y0, and no farther than hi-y0.
func (s *sweep) end(y, hi int) int {
	if s.reach == nil {
		return hi
	}
	return min(hi, int(s.reach[y]))
}

// turnTo makes ready for another hide.
func (s *sweep) turnTo(g *ground) {
	if s.on == g {
		return
	}
	s.on, s.begin, s.beyond = g, maxplus.Sums{}, 0
	n := max(0, g.y1-g.y0+1)
	s.ready = grown(s.ready, len(g.lanes))
	clear(s.ready)
	for i, l := range g.lanes {
		s.begin.Add(i*n, l.width)
		s.beyond = max(s.beyond, l.width)
	}
	tables, length := 0, g.span+1
	for i := range g.lanes {
		if tables += len(g.lanes[i].classes); len(g.lanes[i].classes) > 1 {
			tables++
		}
	}
	for len(s.tables) < tables {
		s.tables = append(s.tables, table{})
	}
	s.worths = grown(s.worths, tables*length)
	for i := range tables {
		s.tables[i].best, s.tables[i].of = s.worths[i*length:][:length:length], nil
	}
	s.strips = grown(s.strips, len(g.lanes)*n)
	s.start, s.free, s.next = grown(s.start, n), grown(s.free, n), grown(s.next, n+s.beyond)
	if len(g.lanes) > 0 {
		s.zeros = grown(s.zeros, g.lanes[0].width)
	}
}

// prepare has the strips ready that lie between marks lo and hi.
func (s *sweep) prepare(g *ground, lo, hi int) {
	n, effort := g.y1-g.y0+1, s.effort()
	for i := range g.lanes {
		l, ready := &g.lanes[i], &s.ready[i]
		hi := hi - l.width + 1
		if ready.lo <= lo && ready.hi >= hi {
			continue
		}
		*ready = run{lo, hi}
		row := s.strips[i*n:][:n]
		for y := lo; y < hi; y++ {
			if end := y + l.width - g.y0; s.end(y-g.y0, end) < end {
				row[y-g.y0] = barred
				continue
			}
			v := int32(0)
			if len(l.classes) > 1 {
				v, _ = s.worth(g.strip(i, y))
			} else {
				for _, room := range l.roomsAt(y - g.y0) {
					v += s.tables[l.table].best[room]
				}
			}
			if v -= effort; v <= 0 {
				v = barred
			}
			row[y-g.y0] = v
		}
	}
}

// effort is what a cut costs, in units, never too much.
func (s *sweep) effort() int32 { return int32(min(s.toll/s.unit, 1<<28)) }

// worth gives the relaxed value of a strip, and the fits it is made of.
func (s *sweep) worth(r *rip) (int32, []fit) {
	apart := s.sum(r.apart)
	if r.shared != nil && apart > 0 {
		if shared := s.sum(r.shared); shared < apart {
			return shared, r.shared
		}
	}
	return apart, r.apart
}

func (s *sweep) sum(fits []fit) int32 {
	total := int32(0)
	for _, f := range fits {
		total += s.tables[f.table].best[f.room]
	}
	return total
}

// shape gives the relaxed value of a shape.
func (s *sweep) shape(sh *shape) int32 {
	total := int32(0)
	for _, f := range sh.simple {
		total += f.times * s.worths[f.at]
	}
	if sh.simple != nil {
		return total
	}
	for i := range sh.rips {
		v, _ := s.worth(&sh.rips[i])
		total += v
	}
	return total
}

// run sweeps the hide from mark hi back to mark lo, under the prices last
// prepared, and returns the most, in units, that strips and known shapes between
// them can be worth. near and far say whether a band adjoins at either end.
func (s *sweep) run(g *ground, lo, hi int, near, far bool) int32 {
	if hi <= lo || len(g.lanes) == 0 {
		return 0
	}
	g.survey()
	s.prepare(g, lo, hi)
	lo, hi = lo-g.y0, hi-g.y0
	s.start[hi], s.free[hi], s.next[hi] = 0, 0, 0
	for y := hi + 1; y <= hi+s.beyond; y++ {
		s.next[y] = barred
	}
	top := hi
	if g.part.loose { // it is one band, from its near edge
		for ; top > max(lo, 1); top-- {
			s.start[top-1], s.free[top-1], s.next[top-1] = 0, 0, 0
		}
	}
	known := s.shapes.of(g)
	if known != nil && len(s.hopes) < len(s.shapes.all) {
		for i := len(s.hopes); i < len(s.shapes.all); i++ {
			s.hopes = append(s.hopes, hope{depth: int32(s.shapes.all[i].depth)})
		}
	}
	for block := len(s.zeros); top > lo; top -= block {
		from := max(lo, top-block)
		s.begin.Greatest(s.start[from:top], s.zeros, s.strips[from:], s.next[from:])
		for y := top - 1; y >= from; y-- {
			best := s.start[y]
			switch {
			case known == nil || known[y] == nil:
			case known[y].number < 0:
				best = s.bestShape(known[y].shapes, y, hi, best)
			default:
				best = s.bestTop(known[y], y, hi, best)
			}
			if s.of != nil && (y+g.y0)%g.across == 0 {
				best = max(best, s.bestFound(y, hi))
			}
			s.start[y], s.free[y], s.next[y] = best, max(best, s.free[y+1]), best
			if y+s.gap < hi {
				s.next[y] = max(best, s.free[y+s.gap])
			} else if far && y+s.gap > hi {
				s.next[y] = barred // too near to the band beyond
			}
		}
	}
	if near {
		return max(s.start[lo], s.next[lo])
	}
	return s.free[lo]
}

// bestShape is the most from y-y0 on where one of those shapes begins, none deeper than to hi, or
// else best.
func (s *sweep) bestShape(known []int32, y, hi int, best int32) int32 {
	effort := s.effort()
	hi = s.end(y, hi)
	for _, i := range known {
		h := &s.hopes[i]
		end := y + int(h.depth)
		if end > hi || s.next[end] < 0 || h.since == s.falling && h.worth-effort+s.next[end] <= best {
			continue
		}
		if s.look(i) > effort {
			best = max(best, h.worth-effort+s.next[end])
		}
	}
	return best
}

// bestFound is that of all bands found.
func (s *sweep) bestFound(y, hi int) int32 {
	best, effort := int32(0), s.effort()
	hi = s.end(y, hi)
	for j, v := range s.of.value[s.of.near(y+s.on.y0)] {
		if end := y + s.of.heights[j]*s.on.across; v > effort && end <= hi && s.next[end] >= 0 {
			best = max(best, v-effort+s.next[end])
		}
	}
	return best
}

// ahead gives the first mark from y on, but before hi, at which the last run
// begins a band; adjoins says whether one ends at y. It is hi if there is none.
func (s *sweep) ahead(g *ground, y, hi int, adjoins bool) int {
	if adjoins && y < hi {
		if s.start[y-g.y0] > 0 && s.start[y-g.y0] >= s.next[y-g.y0] {
			return y
		}
		y += s.gap
	}
	for y < hi && (s.start[y-g.y0] == 0 || s.start[y-g.y0] < s.free[y-g.y0]) {
		y++
	}
	return min(y, hi)
}

// walk calls found for each band of the relaxed lay that the last run found
// between lo and hi: where it begins, how deep it is, and its strips.
func (s *sweep) walk(g *ground, lo, hi int, near bool, found func(y, depth int, rips []rip)) {
	for y := s.ahead(g, lo, hi, near); y < hi; y = s.ahead(g, y, hi, true) {
		rips, depth := s.taken(g, y, hi)
		found(y, depth, rips)
		y += depth
	}
}

// taken is the band that begins at y in the relaxed lay, the first of equals: a strip, a shape or
// a band found.
func (s *sweep) taken(g *ground, y, hi int) ([]rip, int) {
	most, effort := s.start[y-g.y0], s.effort()
	hi = g.y0 + s.end(y-g.y0, hi-g.y0)
	is := func(v int32, depth int) bool {
		return v > effort && y+depth <= hi && v-effort+s.next[y+depth-g.y0] == most
	}
	for i := range g.lanes {
		if w := g.lanes[i].width; is(s.strips[i*(g.y1-g.y0+1)+y-g.y0]+effort, w) {
			return []rip{*g.strip(i, y)}, w
		}
	}
	known, _ := s.shapes.from(g, y)
	for _, i := range known {
		if sh := &s.shapes.all[i]; is(s.shape(sh), sh.depth) {
			return sh.rips, sh.depth
		}
	}
	for j, v := range s.of.value[s.of.near(y)] {
		if is(v, s.of.heights[j]*g.across) {
			sh := s.of.shape(y, j)
			return sh.rips, sh.depth
		}
	}
	panic("strip: no band begins where the sweep has one")
}

// count adds to laid the pieces of some strips.
func (s *sweep) count(rips []rip, laid []float64) {
	for i := range rips {
		_, fits := s.worth(&rips[i])
		for _, f := range fits {
			s.tables[f.table].each(s.p, int(f.room), func(kind, count int) { laid[kind] += float64(count) })
		}
	}
}
