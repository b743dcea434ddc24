package strip

import (
	"cmp"
	"math"
	"slices"
)

// placed is a strip with its cuts, in marks of its hide.
type placed struct {
	lane int
	y    int
	cuts []cut
}

// lay is an arrangement on all hides, strips of a hide in order of y.
type lay struct {
	strips [][]placed // by ground
	laid   []int      // pieces of each kind
}

func (p *problem) emptyLay() *lay {
	return &lay{strips: make([][]placed, len(p.grounds)), laid: make([]int, len(p.kinds))}
}

func (l *lay) clone() *lay {
	c := &lay{strips: make([][]placed, len(l.strips)), laid: slices.Clone(l.laid)}
	for i, s := range l.strips {
		c.strips[i] = slices.Clone(s)
	}
	return c
}

// worth chooses the sets that the lay gives, and their worth less the effort
// of its cuts.
func (l *lay) worth(p *problem, c *chooser, sets []int) float64 {
	left := slices.Clone(l.laid)
	worth := c.choose(left, sets)
	return worth - p.job.Tools.Effort*float64(l.cuts(p))
}

// cuts counts rips and cross-cuts as nest.Cuts does.
func (l *lay) cuts(p *problem) int {
	n := 0
	for g, strips := range l.strips {
		square := math.MaxInt
		for _, s := range strips {
			square = min(square, s.cuts[0].x)
		}
		for i, s := range strips {
			if i > 0 && s.y != strips[i-1].y+p.grounds[g].lanes[strips[i-1].lane].width {
				n++ // a waste strip
			}
			n++
			at := square
			for _, c := range s.cuts {
				if c.x != at {
					n++
				}
				at = c.x + p.kinds[c.kind].length
				n++
			}
		}
	}
	return n
}

// builder lays strips by sweeping hides under prices.
type builder struct {
	p *problem
	sweep
	filler
	price []float64 // of the kinds still wanted
}

func newBuilder(p *problem) *builder {
	return &builder{p: p, sweep: sweep{p: p}, filler: filler{p: p}, price: make([]float64, len(p.kinds))}
}

// window lays strips on hide g between marks lo and hi, where nothing lies,
// to the greatest total of prices, taking no more than want, which it counts
// down. near and far say whether a strip adjoins the window at that end, so
// that what is left there must be wide enough to rip off or nothing.
func (b *builder) window(l *lay, gi, lo, hi int, near, far bool, price []float64, want []int) {
	g := b.p.grounds[gi]
	var out []placed
	tight := func(gap int) bool { return gap > 0 && gap < b.p.gap }
	stale := true
	for y, end := lo, lo; y < hi; {
		if stale {
			for k := range b.price {
				b.price[k] = price[k]
				if want[k] <= 0 {
					b.price[k] = 0
				}
			}
			b.sweep.price(g, b.price)
			b.sweep.run(g, y, hi)
			stale = false
		}
		if b.pick[y-g.y0] < 0 { // nothing is worth more than to go on
			y++
			continue
		}
		s, ok := placed{}, false
		if !(near || end > lo) || !tight(y-end) {
			s, ok = b.strip(g, y, hi, far, want)
		}
		if !ok {
			y++
			continue
		}
		for _, c := range s.cuts {
			want[c.kind]--
			l.laid[c.kind]++
			stale = stale || want[c.kind] == 0
		}
		out = append(out, s)
		y += g.lanes[s.lane].width
		end = y
	}
	l.strips[gi] = append(l.strips[gi], out...)
	slices.SortFunc(l.strips[gi], func(a, b placed) int { return cmp.Compare(a.y, b.y) })
}

// strip gives the strip that is best taken at y: its true filling, and what the
// sweep hopes for beyond it, which cannot be more than all that is still
// wanted. Among equals the strip that makes most of its own width is taken. It
// reports false if no strip at y holds anything.
func (b *builder) strip(g *ground, y, hi int, far bool, want []int) (placed, bool) {
	wanted := 0.0
	for k, n := range want {
		wanted += b.price[k] * float64(max(n, 0))
	}
	best, dense, found, out := 0.0, 0.0, false, placed{}
	for i := range g.lanes {
		width := g.lanes[i].width
		end := y + width
		if end > hi || far && end < hi && hi-end < b.p.gap {
			continue
		}
		cuts, v := b.fill(g, &g.lanes[i], y, b.price, want)
		if v <= 0 {
			continue
		}
		score, density := v+min(b.most[end-g.y0], wanted-v), v/float64(width)
		const same = 1e-9
		if !found || score > best*(1+same) || score > best*(1-same) && density > dense {
			best, dense, found, out = score, density, true, placed{i, y, cuts}
		}
	}
	return out, found
}

// clear takes the strips of hide g that begin between lo and hi off the lay.
func (l *lay) clear(gi, lo, hi int) []placed {
	var gone, kept []placed
	for _, s := range l.strips[gi] {
		if s.y >= lo && s.y < hi {
			gone = append(gone, s)
			for _, c := range s.cuts {
				l.laid[c.kind]--
			}
		} else {
			kept = append(kept, s)
		}
	}
	l.strips[gi] = kept
	return gone
}

// over is how many pieces of each kind no set takes, if so many of each row are
// made.
func (l *lay) over(p *problem, sets []int) []int {
	over := slices.Clone(l.laid)
	for i, n := range sets {
		for _, need := range p.rows[i].needs {
			over[need.kind] -= n * need.count
		}
	}
	return over
}

// without is the lay less the pieces that are over, of each kind so many.
// Strips that hold nothing else go first and whole, so that leather is left in
// one piece; then pieces from the far end of the last strips.
func (l *lay) without(p *problem, over []int) *lay {
	out := l.clone()
	over = slices.Clone(over)
	spare := func(cuts []cut) bool {
		count := map[int]int{}
		for _, c := range cuts {
			if count[c.kind]++; count[c.kind] > over[c.kind] {
				return false
			}
		}
		return true
	}
	drop := func(c cut) {
		over[c.kind]--
		out.laid[c.kind]--
	}
	for g := len(out.strips) - 1; g >= 0; g-- {
		for i := len(out.strips[g]) - 1; i >= 0; i-- {
			if cuts := out.strips[g][i].cuts; spare(cuts) {
				for _, c := range cuts {
					drop(c)
				}
				out.strips[g] = slices.Delete(out.strips[g], i, i+1)
			}
		}
	}
	for g := len(out.strips) - 1; g >= 0; g-- {
		for i := len(out.strips[g]) - 1; i >= 0; i-- {
			cuts := slices.Clone(out.strips[g][i].cuts)
			for j := len(cuts) - 1; j >= 0; j-- {
				if over[cuts[j].kind] > 0 {
					drop(cuts[j])
					cuts = slices.Delete(cuts, j, j+1)
				}
			}
			out.strips[g][i].cuts = cuts
		}
	}
	return out
}
