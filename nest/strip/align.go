package strip

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
		strips := out.strips[gi]
		for from := 0; from < len(strips); {
			to := from + 1
			for to < len(strips) && p.alike(g, strips[to-1], strips[to]) {
				before := append([]placed(nil), strips[from:to+1]...)
				if !p.alignGroup(g, strips[from:to+1]) {
					break
				}
				if out.cuts(p) > most {
					copy(strips[from:], before)
					break
				}
				to++
			}
			from = to
		}
	}
	return out
}

// alike reports whether two strips lie edge to edge, are equally wide and hold
// the same kinds in the same order.
func (p *problem) alike(g *ground, a, b placed) bool {
	if a.lane != b.lane || b.y != a.y+g.lanes[a.lane].width || len(a.cuts) != len(b.cuts) {
		return false
	}
	for i := range a.cuts {
		if a.cuts[i].kind != b.cuts[i].kind {
			return false
		}
	}
	return true
}

// alignGroup moves the pieces of strips that are alike away from the squared end
// to the farthest of their marks, or leaves them all where they are.
func (p *problem) alignGroup(g *ground, strips []placed) bool {
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
	for i := range strips {
		strips[i].cuts = moved // shared, and never changed in place
	}
	return true
}
