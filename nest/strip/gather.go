package strip

// gathered is the best lay, without the pieces that no set takes, and with the
// pieces of each leather laid anew on as few hides as the first lay would take
// for them, wherever they all find a place there. A search scatters pieces over
// all the hides it may use; a bench would rather not cut into a hide for one
// strap. The pieces stay the same.
func (s *search) gathered() *lay {
	p, c := s.p, s.chain()
	l := s.best.without(p, s.best.over(p, s.made))
	byArea := make([]float64, len(p.kinds))
	for k, kd := range p.kinds {
		byArea[k] = kd.area*p.unit + 2*p.job.Tools.Effort
	}
	out := l.clone()
	for _, leather := range p.leathers() {
		for _, price := range [][]float64{byArea, c.price} {
			if c.gather(out, leather, price) {
				break
			}
		}
	}
	return out
}

// gather lays the pieces of one leather anew and keeps that if all are placed,
// on fewer hides or with fewer cuts.
func (s *chain) gather(l *lay, leather string, price []float64) bool {
	p := s.p
	want := make([]int, len(p.kinds))
	wanted, used := 0, 0
	for k, kd := range p.kinds {
		if kd.leather == leather {
			want[k] = l.laid[k]
			wanted += want[k]
		}
	}
	trial := l.clone()
	var grounds []int
	for _, gi := range p.cheapestFirst() {
		if p.grounds[gi].hide.Leather() == leather {
			grounds = append(grounds, gi)
			if len(l.bands[gi]) > 0 {
				used++
			}
			trial.clear(gi, p.grounds[gi].y0, p.grounds[gi].y1)
		}
	}
	now := 0
	for _, gi := range grounds {
		s.lay(trial, gi, price, want)
		if len(trial.bands[gi]) > 0 {
			now++
		}
	}
	placed := 0
	for k, kd := range p.kinds {
		if kd.leather == leather {
			placed += trial.laid[k]
		}
	}
	if placed < wanted || now > used || now == used && trial.cuts(p) >= l.cuts(p) {
		return false
	}
	*l = *trial
	return true
}
