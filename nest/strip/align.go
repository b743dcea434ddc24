package strip

import "slices"

// alignWithin is how far, in millimetres, a piece is moved along its strip so
// that its neighbour's marks serve it too: an inch, no more than a strip loses
// where its end is squared.
const alignWithin = 25.4

// aligned is the lay with the pieces of neighbouring strips that hold the same
// kinds moved to the same marks, where their runs allow it, so that one setting
// and one set of marks serve several strips. It never takes more cuts than
// before.
func (p *problem) aligned(l *lay) *lay {
	out := l.clone()
	most := out.cuts(p)
	for gi, g := range p.grounds {
		bands := out.bands[gi]
		for from := 0; from < len(bands); {
			to := from + 1
			for to < len(bands) && g.follows(&bands[to-1], &bands[to]) {
				before := slices.Clone(bands[from : to+1])
				if !p.alignGroup(g, bands[from:to+1]) {
					break
				}
				if out.cuts(p) > most {
					copy(bands[from:], before)
					break
				}
				to++
			}
			from = to
		}
	}
	return out
}

// follows reports whether two bands are strips edge to edge, equally wide, that
// hold the same kinds in the same order.
func (g *ground) follows(a, b *band) bool {
	if !g.isPlain(a) || !g.isPlain(b) || b.y != a.end() {
		return false
	}
	s, t := a.blocks[0].strips[0], b.blocks[0].strips[0]
	return s.lane == t.lane && slices.EqualFunc(s.cuts, t.cuts, func(c, d cut) bool { return c.kind == d.kind })
}

// alignGroup moves the pieces of strips that are alike away from the squared end
// to the farthest of their marks, or leaves them all where they are.
func (p *problem) alignGroup(g *ground, bands []band) bool {
	strips := make([]placed, len(bands))
	for i := range bands {
		strips[i] = bands[i].blocks[0].strips[0]
	}
	within := int(alignWithin / p.mark)
	moved := make([]cut, len(strips[0].cuts))
	for i := range moved {
		lo, hi := strips[0].cuts[i], strips[0].cuts[i]
		for _, s := range strips {
			if s.cuts[i].x < lo.x {
				lo = s.cuts[i]
			}
			if s.cuts[i].x > hi.x {
				hi = s.cuts[i]
			}
		}
		if hi.x-lo.x > within {
			return false
		}
		for _, s := range strips {
			if !g.holdsCut(&g.lanes[s.lane], hi, s.y) {
				return false
			}
		}
		moved[i] = hi
	}
	for i, s := range strips {
		bands[i] = g.plain(placed{s.lane, s.y, moved}) // the cuts are shared, and never changed in place
	}
	return true
}
