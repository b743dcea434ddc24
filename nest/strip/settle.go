package strip

import (
	"math"
	"slices"
)

// settled is the lay with every band slid, as far as its pieces go, towards the
// backbone and the band that lies there: no waste strip is ripped off without
// need, and what is left of the hide is left in one piece on the outside. It
// never takes more cuts than before.
func (p *problem) settled(l *lay) *lay {
	out := l.clone()
	f := &filler{p: p}
	for gi := range p.grounds {
		// A band that moves away from the next opens a waste strip, which closes
		// when the next follows; if too few did, only whole gaps may be closed.
		for _, follow := range []bool{true, false} {
			trial := out.clone()
			f.settle(trial, gi, follow)
			if trial.cuts(p) <= out.cuts(p) {
				out = trial
				break
			}
		}
	}
	return out
}

// risen is the lay with bands that all begin with scrap beginning beyond it: a waste strip
// is one rip, and the first band of a hide needs none. It never takes more cuts than before.
func (p *problem) risen(l *lay) *lay {
	out := l.clone()
	for gi, g := range p.grounds {
		for i := range out.bands[gi] {
			if !g.part.loose {
				out.bands[gi][i] = p.rise(g, out.bands[gi][i])
			}
		}
	}
	return out
}

// rise is the band as far out as it may begin.
func (p *problem) rise(g *ground, b band) band {
	var scrap []int // how deep blocks may begin, each to be without so many strips
	for i, k := range b.blocks {
		deep := []int{}
		for _, s := range k.strips {
			if len(s.cuts) > 0 {
				break
			}
			if end := s.y + g.lanes[s.lane].width - b.y; i == 0 || slices.Contains(scrap, end) {
				deep = append(deep, end)
			}
		}
		scrap = deep
	}
	for _, by := range slices.Backward(scrap) {
		out := band{b.y + by, b.depth - by, slices.Clone(b.blocks)}
		for i := range out.blocks {
			k := &out.blocks[i]
			for len(k.strips) > 0 && k.strips[0].y < out.y {
				k.strips = k.strips[1:]
			}
		}
		if s, alike := g.alike(&out); alike && out.depth == g.lanes[s.lane].width {
			out = g.plain(s)
		}
		if by >= p.gap && g.begins(&out) {
			return out
		}
	}
	return b
}

// settle slides the bands of one hide, those nearest to the backbone first.
func (f *filler) settle(l *lay, gi int, follow bool) {
	g, bands := f.p.grounds[gi], l.bands[gi]
	mid := min(max(g.y0, 0), g.y1) // the backbone, or the edge next to it where it runs outside the leather
	const none = math.MaxInt
	for i := range bands {
		if b := &bands[i]; b.y > mid {
			room, gap := b.y-mid, none
			switch {
			case i > 0:
				gap = b.y - bands[i-1].end()
			case g.part.ripped():
				gap = b.y - g.y0
			}
			f.slide(g, b, -1, min(room, gap), gap, i+1 < len(bands) && bands[i+1].y == b.end(), follow)
		}
	}
	for i := len(bands) - 1; i >= 0; i-- {
		if b := &bands[i]; b.end() < mid {
			room, gap := mid-b.end(), none
			if i+1 < len(bands) {
				gap = bands[i+1].y - b.end()
			}
			before := g.y0
			if i > 0 {
				before = bands[i-1].end()
			}
			f.slide(g, b, 1, min(room, gap), gap, b.y == before && (i > 0 || g.part.ripped()), follow)
		}
	}
}

// slide moves a band up to room marks in the direction of step, as far as its
// pieces go. gap is how far off the next band lies that way; adjoins says that
// one touches it on the other side. It opens and leaves no gap too narrow to rip
// off.
func (f *filler) slide(g *ground, b *band, step, room, gap int, adjoins, follow bool) {
	near := gap == room // a band lies where the room ends
	for by := room; by > 0; by-- {
		left := gap - by
		switch {
		case left > 0 && left < f.p.gap || near && left > 0 && adjoins && !follow:
		case adjoins && by < f.p.gap:
		default:
			if to, ok := f.moved(g, b, step*by); ok {
				*b = to
				return
			}
		}
	}
}

// moved is the band so many marks further out, its pieces laid anew where they
// no longer serve as they lie; or false if they do not all find a place.
func (f *filler) moved(g *ground, b *band, by int) (band, bool) {
	out, ok := b.clone(), true
	out.y += by
	out.strips(func(k *block, s *placed) {
		s.y += by
		if !ok || g.holds(s) {
			return
		}
		s.cuts, ok = f.refit(g, k, s)
	})
	return out, ok
}

// refit lays the strip's pieces anew where it lies, or reports false if they do
// not all find a place.
func (f *filler) refit(g *ground, k *block, s *placed) ([]cut, bool) {
	left, length := make([]int, len(f.p.kinds)), make([]float64, len(f.p.kinds))
	for _, c := range s.cuts {
		left[c.kind]++
		length[c.kind] = float64(f.p.kinds[c.kind].length) + f.p.job.Tools.Effort
	}
	cuts, _ := f.fill(g, &g.lanes[s.lane], s.y, k.lo, k.hi, length, left)
	return cuts, len(cuts) == len(s.cuts)
}

// holds reports whether the strip's pieces may lie as they do.
func (g *ground) holds(s *placed) bool {
	for _, c := range s.cuts {
		if !g.holdsCut(&g.lanes[s.lane], c, s.y) {
			return false
		}
	}
	return true
}

func (g *ground) holdsCut(l *lane, c cut, y int) bool {
	for i := range l.classes {
		class := &l.classes[i]
		length, known := class.lengths[c.kind]
		if !known {
			continue
		}
		for _, r := range g.at(l, class, y) {
			if r.lo <= c.x && c.x+length <= r.hi {
				return true
			}
		}
	}
	return false
}
