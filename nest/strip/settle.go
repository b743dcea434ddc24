package strip

// settled is the lay with every strip slid back, as far as its pieces go,
// towards the strip before it: no waste strip is ripped off without need, and
// what is left of the hide is left in one piece beyond the last. Strips on the
// near side of the backbone stay, for they would slide away from it.
func (p *problem) settled(l *lay) *lay {
	out := l.clone()
	for gi, strips := range out.strips {
		g := p.grounds[gi]
		for i := range strips {
			s := &strips[i]
			if s.y <= 0 && g.y0 < 0 {
				continue
			}
			width := g.lanes[s.lane].width
			from, behind := max(g.y0, 0), false
			if i > 0 {
				if end := strips[i-1].y + g.lanes[strips[i-1].lane].width; end > from {
					from, behind = end, true
				}
			}
			adjoins := i+1 < len(strips) && strips[i+1].y == s.y+width
			for y := from; y < s.y; y++ {
				before, after := y-from, s.y-y
				switch {
				case behind && before > 0 && (before < p.gap || adjoins):
					continue // a waste strip too narrow to rip off, or one more than there was
				case adjoins && after < p.gap:
					continue // the like, between it and the next
				}
				if g.holds(s, y) {
					s.y = y
					break
				}
			}
		}
	}
	return out
}

// holds reports whether the strip's pieces, as they lie along it, may lie in the
// strip that begins at y.
func (g *ground) holds(s *placed, y int) bool {
	l := &g.lanes[s.lane]
	for _, c := range s.cuts {
		if !g.holdsCut(l, c, y) {
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
