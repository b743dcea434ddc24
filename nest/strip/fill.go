package strip

import (
	"math"
	"slices"
)

// cut is a piece of a kind, where it begins along its strip.
type cut struct{ kind, x int }

// filler fills strips with the pieces still wanted. It owns the scratch that
// its dynamic programs need, so one filler serves one goroutine.
type filler struct {
	p     *problem
	best  []float64 // path
	from  []int32   // path: the kind that ends at this mark, or -1 for scrap
	start []int32   // where that piece or that scrap begins
	ends  [][]int32 // path: per class, the end of the run that a mark lies in
	sack  knapsack  // what a run holds
	used  []int     // by kind, of the strip at hand
	runs  []run     // of the strip at hand
}

// fill lays pieces between lo and hi in the strip of lane l that begins at y, to
// the greatest total of prices, no more of a kind than left. It reports the cuts
// from lesser to greater x, their value less the effort of making them.
//
// Runs that only one class of pieces can use are knapsacks, each filled to its
// own optimum, longest first. Where classes share leather, the best path along
// the marks is taken, each piece where its own runs allow.
func (f *filler) fill(g *ground, l *lane, y, lo, hi int, price []float64, left []int) ([]cut, float64) {
	effort := f.p.job.Tools.Effort
	var cuts []cut
	total := 0.0
	f.used = grown(f.used, len(left))
	clear(f.used)
	avail := func(k int) int { return left[k] - f.used[k] }
	take := func(cs []cut, v float64) {
		for _, c := range cs {
			f.used[c.kind]++
		}
		cuts, total = append(cuts, cs...), total+v
	}
	var active []*class
	for i := range l.classes {
		c := &l.classes[i]
		for _, k := range c.kinds {
			if left[k] > 0 && price[k] > effort {
				active = append(active, c)
				break
			}
		}
	}
	switch len(active) {
	case 0:
		return nil, 0
	case 1:
		f.runs = within(f.runs[:0], g.at(l, active[0], y), lo, hi)
		slices.SortStableFunc(f.runs, func(a, b run) int { return (b.hi - b.lo) - (a.hi - a.lo) })
		for _, r := range f.runs {
			cs := f.filled(active[0].kinds, r, price, avail)
			take(cs, f.row(cs, r, price))
		}
	default:
		take(f.path(g, l, y, lo, hi, active, price, avail))
	}
	if len(cuts) == 0 {
		return nil, 0
	}
	slices.SortFunc(cuts, func(a, b cut) int { return a.x - b.x })
	return cuts, total - effort // the rip
}

// within adds to out what of the runs lies between lo and hi.
func within(out, runs []run, lo, hi int) []run {
	for _, r := range runs {
		if c := (run{max(r.lo, lo), min(r.hi, hi)}); c.lo < c.hi {
			out = append(out, c)
		}
	}
	return out
}

// filled is what one run holds at the most of pieces of the given kinds.
func (f *filler) filled(kinds []int, r run, price []float64, avail func(int) int) []cut {
	const full = 1 << 30 // units of all that is offered, at the most
	room, effort := r.hi-r.lo, f.p.job.Tools.Effort
	count := func(k int) int { return min(avail(k), room/f.p.kinds[k].length) }
	all := 0.0
	for _, k := range kinds {
		all += float64(count(k)) * max(0, price[k]-effort)
	}
	if all == 0 {
		return nil
	}
	unit := math.Exp2(math.Ceil(math.Log2(all / full)))
	f.sack.empty(room)
	for _, k := range kinds {
		if value := int32(math.Round((price[k] - effort) / unit)); value > 0 {
			f.sack.offer(k, count(k), f.p.kinds[k].length, value)
		}
	}
	// What a stretch fetches never falls as it grows, but the same may be had in less room.
	var cuts []cut
	f.sack.unpack(room, func(kind, count int) {
		for range count {
			cuts = append(cuts, cut{kind: kind})
		}
	})
	return cuts
}

// row puts the pieces into the run, longest first from the lesser end, so that what is over stays
// in one piece at the other; and gives what they fetch less the effort of cutting them off.
func (f *filler) row(cuts []cut, r run, price []float64) float64 {
	effort := f.p.job.Tools.Effort
	slices.SortStableFunc(cuts, func(a, b cut) int { return f.p.kinds[b.kind].length - f.p.kinds[a.kind].length })
	value, at := 0.0, r.lo
	for i := range cuts {
		cuts[i].x = at
		at += f.p.kinds[cuts[i].kind].length
		value += price[cuts[i].kind] - effort
	}
	if len(cuts) > 0 && at != r.hi {
		value -= effort // the last piece is cut off from what is left of the run
	}
	return value
}

// path fills a strip whose leather several classes share. best[x] is the most
// that can be laid up to mark x; a kind is taken as often as it is wanted along
// the path that reaches x. Pieces slide towards lesser x until they meet a
// piece or the beginning of a run, so none need begin anywhere else.
func (f *filler) path(g *ground, l *lane, y, from, to int, active []*class, price []float64, avail func(int) int) ([]cut, float64) {
	effort := f.p.job.Tools.Effort
	lo, hi := math.MaxInt, math.MinInt
	for _, c := range active {
		if runs := within(nil, g.at(l, c, y), from, to); len(runs) > 0 {
			lo, hi = min(lo, runs[0].lo), max(hi, runs[len(runs)-1].hi)
		}
	}
	if lo >= hi {
		return nil, 0
	}
	n := hi - lo + 1
	f.best, f.from, f.start = grown(f.best, n), grown(f.from, n), grown(f.start, n)
	for i := range n {
		f.best[i], f.from[i] = 0, -1
	}
	if len(f.ends) < len(active) {
		f.ends = append(f.ends, make([][]int32, len(active)-len(f.ends))...)
	}
	for i, c := range active {
		f.ends[i] = grown(f.ends[i], n)
		clear(f.ends[i])
		for _, r := range within(nil, g.at(l, c, y), from, to) {
			for x := r.lo; x < r.hi; x++ {
				f.ends[i][x-lo] = int32(r.hi - lo)
			}
		}
	}
	for x := range n {
		if x > 0 && f.best[x-1] >= f.best[x] {
			f.best[x], f.from[x], f.start[x] = f.best[x-1], -1, int32(x-1)
			if f.from[x-1] < 0 {
				f.start[x] = f.start[x-1]
			}
		}
		for i, c := range active {
			end := int(f.ends[i][x])
			if f.from[x] < 0 && x > 0 && f.ends[i][x-1] == f.ends[i][x] {
				continue
			}
			for _, k := range c.kinds {
				length := f.p.kinds[k].length
				v := f.best[x] + price[k] - effort
				if x+length > end || v <= f.best[x+length] {
					continue
				}
				if a := avail(k); a == 0 || a <= x/length && f.along(x, k) >= a {
					continue
				}
				f.best[x+length], f.from[x+length], f.start[x+length] = v, int32(k), int32(x)
			}
		}
	}
	var cuts []cut
	for x := n - 1; x > 0; x = int(f.start[x]) {
		if f.from[x] >= 0 {
			cuts = append(cuts, cut{int(f.from[x]), lo + int(f.start[x])})
		}
	}
	return cuts, f.best[n-1]
}

// along counts the pieces of kind k on the best path to x.
func (f *filler) along(x, k int) int {
	count := 0
	for ; x > 0; x = int(f.start[x]) {
		if int(f.from[x]) == k {
			count++
		}
	}
	return count
}

// grown returns a slice of length n, s itself if it is long enough.
func grown[T any](s []T, n int) []T {
	if cap(s) < n {
		return make([]T, n)
	}
	return s[:n]
}
