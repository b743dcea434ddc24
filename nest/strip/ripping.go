package strip

import "slices"

// ripping is what plans have in common by where their hides are ripped. The lays of a mixture are
// ripped elsewhere each, though a hide is ripped once. So plans are parted by where a band begins:
//
//	the band over mark m begins at mark t or nearer | it begins beyond t
//
// A plan without a band over m is of both. Either way what bands a hide may have follows from how far each
// may reach by where it begins: in the first case no band reaches beyond m that begins
// between t and m, and in the second none that begins at t or nearer.
type ripping struct {
	of     *ripping  // that was parted; nil: it is all plans
	at     odds      // where it was
	nearer bool      // which of the two this is
	known  []selling // what hides that are ripped so were found to sell
}

// selling is what was found at some prices: what a set of each row gains beyond them,
// and what all hides sell at the most.
type selling struct {
	gain []float64
	sold float64
}

// odds is where lays of a mixture are at odds: the bands over a mark of a hide begin, of some, at last or
// nearer, and of others beyond. Marks are counted from the ground's first.
type odds struct{ hide, over, last int }

// parted are the plans of r of which the band there begins at last or nearer, or else beyond.
func (r *ripping) parted(at odds, nearer bool) *ripping {
	return &ripping{of: r, at: at, nearer: nearer}
}

// reach is how far bands of a hide may reach by where they begin, in marks from the ground's first; nil: as
// far as there is leather.
func (r *ripping) reach(hide int, g *ground) []int32 {
	var reach []int32
	for ; r.of != nil; r = r.of {
		if r.at.hide != hide {
			continue
		}
		if reach == nil {
			reach = make([]int32, g.y1-g.y0+1)
			for y := range reach {
				reach[y] = int32(g.y1 - g.y0)
			}
		}
		for y := range r.at.over + 1 {
			if (y <= r.at.last) != r.nearer {
				reach[y] = min(reach[y], int32(r.at.over))
			}
		}
	}
	return reach
}

// mostAtOdds is where the master's mixture is most at odds with itself: where the lesser side has the most of it.
func (w *whole) mostAtOdds() (at odds, some bool) {
	const least = 1e-6 // of a lay, what counts as some
	type part struct {
		run
		by float64
	}
	most := least
	for i, s := range w.of.hides {
		g := s.ways[0].g
		if g.part.loose { // it is one band
			continue
		}
		var mixture []part
		for _, c := range w.of.columns {
			if x := w.of.master.X(c.number); x > least && slices.Contains(s.ways, c.of) {
				for _, b := range c.lies {
					mixture = append(mixture, part{b, x})
				}
			}
		}
		slices.SortStableFunc(mixture, func(a, b part) int { return a.lo - b.lo })
		for m := 0; m < g.y1-g.y0; m += g.across {
			all, nearer, last := 0.0, 0.0, -1
			over := func(b part) bool { return b.lo <= m && m < b.hi }
			for _, b := range mixture {
				if over(b) {
					all += b.by
				}
			}
			for _, b := range mixture {
				if !over(b) {
					continue
				}
				if lesser := min(nearer, all-nearer); last >= 0 && b.lo != last && lesser > most {
					at, most = odds{i, m, last}, lesser
				}
				last, nearer = b.lo, nearer+b.by
			}
		}
	}
	return at, most > least
}
