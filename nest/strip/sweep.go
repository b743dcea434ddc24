package strip

import "math"

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
type sweep struct {
	p      *problem
	shapes *shapes // known of the hides; nil: none
	of     *bands  // of the hide swept; nil: none
	caps   []int   // most pieces of each kind in a run; nil: any number, a bound needs that
	unit   float64 // money of one unit
	tables []table // per lane and class, then per lane over all its classes
	toll   float64 // money that a cut costs at the least
	gap    int     // marks: least waste strip between two bands
	start  []int32 // by y-y0: from y on, where a band begins
	free   []int32
	next   []int32
	pick   []int32 // the band that begins there: a lane, or past the lanes a shape, or -j for the band found of the depth at place j
}

// unitFor gives a unit of money so large that the worth of any hide at those
// prices fits in a number of 28 bits, and no larger. It is a power of two.
func (p *problem) unitFor(price []float64) float64 {
	dearest, largest := 0.0, 1.0
	for k, kd := range p.kinds {
		dearest = max(dearest, price[k]/kd.area)
	}
	for _, g := range p.everyWay() {
		largest = max(largest, float64(g.y1-g.y0+1)*float64(g.span+1)*p.mark*p.mark)
	}
	if dearest == 0 {
		return 1
	}
	const room = 1 << 28
	return math.Exp2(math.Ceil(math.Log2(dearest * largest / room)))
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
	s.unit = unit
	effort := s.effort()
	n := 0
	next := func(kinds []int) {
		if n == len(s.tables) {
			s.tables = append(s.tables, table{})
		}
		if t := &s.tables[n]; !t.holds(g, kinds, price, s.caps) {
			t.fill(s.p, kinds, price, s.caps, effort, g.span)
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
	if hi <= lo {
		return 0
	}
	n := g.y1 - g.y0 + 1
	s.start, s.pick, s.free, s.next = grown(s.start, n), grown(s.pick, n), grown(s.free, n), grown(s.next, n)
	start, free, next := s.start[lo-g.y0:hi-g.y0+1], s.free[lo-g.y0:hi-g.y0+1], s.next[lo-g.y0:hi-g.y0+1]
	last := hi - lo
	start[last], free[last], next[last] = 0, 0, 0
	effort := s.effort()
	for y := last - 1; y >= 0; y-- {
		if g.part.loose && lo+y > g.y0 { // it is one band, from its near edge
			start[y], free[y], next[y] = 0, 0, 0
			continue
		}
		best, pick := int32(0), int32(0)
		try := func(v int32, depth int, as int32) {
			end := y + depth
			if v <= effort || end > last || far && end < last && last-end < s.gap {
				return
			}
			if v += next[end] - effort; v > best {
				best, pick = v, as
			}
		}
		for i := range g.lanes {
			if w := g.lanes[i].width; y+w <= last {
				v, _ := s.worth(g.strip(i, lo+y))
				try(v, w, int32(i))
			}
		}
		if s.shapes != nil {
			for _, i := range s.shapes.from(g, lo+y) {
				if sh := &s.shapes.all[i]; y+sh.depth <= last {
					try(s.shape(sh), sh.depth, int32(len(g.lanes))+i)
				}
			}
		}
		if s.of != nil && (lo+y)%g.across == 0 {
			for j, v := range s.of.value[s.of.near(lo+y)] {
				try(v, s.of.heights[j]*g.across, int32(-j))
			}
		}
		start[y], s.pick[lo+y-g.y0] = best, pick
		free[y], next[y] = max(best, free[y+1]), best
		if y+s.gap < last {
			next[y] = max(best, free[y+s.gap])
		}
	}
	if near {
		return next[0]
	}
	return free[0]
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
// between lo and hi.
func (s *sweep) walk(g *ground, lo, hi int, near bool, found func(rips []rip)) {
	for y := s.ahead(g, lo, hi, near); y < hi; y = s.ahead(g, y, hi, true) {
		switch i := int(s.pick[y-g.y0]); {
		case i >= 0 && i < len(g.lanes):
			found([]rip{*g.strip(i, y)})
			y += g.lanes[i].width
		case i < 0:
			sh := s.of.shape(y, -i)
			found(sh.rips)
			y += sh.depth
		default:
			sh := &s.shapes.all[i-len(g.lanes)]
			found(sh.rips)
			y += sh.depth
		}
	}
}

// count adds to laid the pieces of some strips.
func (s *sweep) count(rips []rip, laid []float64) {
	for i := range rips {
		_, fits := s.worth(&rips[i])
		for _, f := range fits {
			s.tables[f.table].count(s.p, int(f.room), laid)
		}
	}
}
