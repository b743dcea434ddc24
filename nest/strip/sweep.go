package strip

import "math"

// A sweep gives the most that a hide can be worth when a piece of each kind
// fetches a price, by dynamic programming over its depth:
//
//	most[y] = max( most[y+1],
//	               strip(y, lane) + most[y + width],     for every lane
//	               band(y, shape) + most[y + depth] )    for every shape known there
//
// The value of a strip is that of a relaxed filling: pieces without limit of
// number, or of each kind so many a run. Where classes share the
// leather of a strip it is the lesser of two relaxations, each at least the
// truth: every class has the strip to itself, and every piece may lie in any run.
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
	most   []int32 // most[y-y0]: from y on, up to the end of the swept span
	pick   []int32 // taken at y: a lane, or past the lanes a shape, or -1 for none, or -1-j for the band found there of the depth at place j
}

// unitFor gives a unit of money so large that the worth of any hide at those
// prices fits in a number of 28 bits, and no larger. It is a power of two.
func (p *problem) unitFor(price []float64) float64 {
	dearest, largest := 0.0, 1.0
	for k, kd := range p.kinds {
		dearest = max(dearest, price[k]/kd.area)
	}
	for _, g := range p.grounds {
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
func (s *sweep) effort() int32 { return int32(min(s.p.job.Tools.Effort/s.unit, 1<<28)) }

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
// them can be worth.
func (s *sweep) run(g *ground, lo, hi int) int32 {
	if hi <= lo {
		return 0
	}
	n := g.y1 - g.y0 + 1
	s.most, s.pick = grown(s.most, n+1), grown(s.pick, n+1)
	s.most[hi-g.y0] = 0
	effort := s.effort()
	for y := hi - 1; y >= lo; y-- {
		best, pick := s.most[y+1-g.y0], int32(-1)
		for i := range g.lanes {
			if end := y + g.lanes[i].width; end <= hi {
				if v, _ := s.worth(g.strip(i, y)); v > effort {
					if v += s.most[end-g.y0] - effort; v > best {
						best, pick = v, int32(i)
					}
				}
			}
		}
		if s.shapes != nil {
			for _, i := range s.shapes.from(g, y) {
				sh := &s.shapes.all[i]
				if end := y + sh.depth; end <= hi {
					if v := s.shape(sh); v > effort {
						if v += s.most[end-g.y0] - effort; v > best {
							best, pick = v, int32(len(g.lanes))+i
						}
					}
				}
			}
		}
		if s.of != nil && y%g.across == 0 {
			for j, v := range s.of.value[s.of.near(y)] {
				if end := y + s.of.heights[j]*g.across; v > effort && end <= hi {
					if v += s.most[end-g.y0] - effort; v > best {
						best, pick = v, int32(-1-j)
					}
				}
			}
		}
		s.most[y-g.y0], s.pick[y-g.y0] = best, pick
	}
	return s.most[lo-g.y0]
}

// walk calls found for each band of the relaxed lay that the last run found
// between lo and hi.
func (s *sweep) walk(g *ground, lo, hi int, found func(y, end int, pick int32, rips []rip)) {
	for y := lo; y < hi; {
		end, pick := y+1, s.pick[y-g.y0]
		switch i := int(pick); {
		case i == -1:
		case i >= 0 && i < len(g.lanes):
			end = y + g.lanes[i].width
			found(y, end, pick, []rip{*g.strip(i, y)})
		default:
			var sh shape
			if i < 0 {
				sh = s.of.shape(y, -1-i)
			} else {
				sh = s.shapes.all[i-len(g.lanes)]
			}
			end = y + sh.depth
			found(y, end, pick, sh.rips)
		}
		y = end
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
