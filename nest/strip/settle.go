package strip

// settled is the lay with every strip slid, as far as its pieces go, towards the
// backbone and the strip that lies there: no waste strip is ripped off without
// need, and what is left of the hide is left in one piece on the outside. It
// never takes more cuts than before.
func (p *problem) settled(l *lay) *lay {
	out := l.clone()
	f := &filler{p: p}
	for gi := range p.grounds {
		// A strip that moves away from the next opens a waste strip, which closes
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

// settle slides the strips of one hide, those nearest to the backbone first.
func (f *filler) settle(l *lay, gi int, follow bool) {
	g, strips := f.p.grounds[gi], l.strips[gi]
	end := func(i int) int { return strips[i].y + g.lanes[strips[i].lane].width }
	mid := max(g.y0, 0) // the backbone, or the near edge where it runs outside the leather
	for i := range strips {
		if s := &strips[i]; s.y > mid {
			to, behind := mid, i > 0 && end(i-1) > mid
			if behind {
				to = end(i - 1)
			}
			f.slide(g, s, -1, s.y-to, behind, i+1 < len(strips) && strips[i+1].y == end(i), follow)
		}
	}
	for i := len(strips) - 1; i >= 0; i-- {
		if s := &strips[i]; end(i) < mid {
			to, ahead := mid, i+1 < len(strips)
			if ahead {
				to = min(strips[i+1].y, mid)
			}
			f.slide(g, s, 1, to-end(i), ahead, i > 0 && end(i-1) == s.y, follow)
		}
	}
}

// slide moves a strip up to room marks in the direction of step, as far as its
// pieces go. stopped says that a strip lies there, adjoins that one touches it
// on the other side. It opens no gap too narrow to rip off.
func (f *filler) slide(g *ground, s *placed, step, room int, stopped, adjoins, follow bool) {
	for by := room; by > 0; by-- {
		left := room - by
		switch {
		case stopped && left > 0 && (left < f.p.gap || adjoins && !follow):
		case adjoins && by < f.p.gap:
		case g.holds(s, s.y+step*by):
			s.y += step * by
			return
		default:
			if cuts := f.refit(g, s, s.y+step*by); cuts != nil {
				s.y, s.cuts = s.y+step*by, cuts
				return
			}
		}
	}
}

// refit lays the strip's pieces anew in the strip that begins at y, or gives nil
// if they do not all find a place.
func (f *filler) refit(g *ground, s *placed, y int) []cut {
	left, length := make([]int, len(f.p.kinds)), make([]float64, len(f.p.kinds))
	for _, c := range s.cuts {
		left[c.kind]++
		length[c.kind] = float64(f.p.kinds[c.kind].length) + f.p.job.Tools.Effort
	}
	if cuts, _ := f.fill(g, &g.lanes[s.lane], y, length, left); len(cuts) == len(s.cuts) {
		return cuts
	}
	return nil
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
