package report

import (
	"slices"

	"github.com/paulmach/orb"

	"strapwise/nest"
)

// past draws what is cut already, quietly: fine lines, and a stroke from corner to
// corner of what is spoilt or of no set.
func (p *picture) past() {
	for _, s := range p.lay.cuts.Strips {
		for _, piece := range p.lay.done[s.N] {
			pts := p.onPage(piece.Outline)
			p.k.polygon(fine, None, pts...)
			p.k.keep(pts, true)
		}
	}
	for _, piece := range p.gone {
		pts := p.onPage(piece.Outline)
		b := orb.MultiPoint(pts).Bound()
		p.k.polygon(fine, None, pts...)
		p.k.line(fine, nil, orb.Point{b.Min[0], b.Max[1]}, orb.Point{b.Max[0], b.Min[1]})
	}
}

// quiet is the weight of a cut: fine, if it has been made.
func (p *picture) quiet(made bool, weight float64) float64 {
	if made {
		return fine
	}
	return weight
}

// found reports whether a flaw of the hide was met since the plan before.
func (l *lay) found(flaw int) bool {
	return l.plan.Relaid != nil && slices.Contains(l.plan.Relaid.Found, nest.Found{Hide: l.hide.Name(), Flaw: flaw})
}

// changed reports whether the sheet shows anything that has changed since the
// last lay.
func (s *sheet) changed() bool {
	step := func(s Step) bool {
		return s.New || slices.ContainsFunc(s.Cuts, func(c Cut) bool { return c.New })
	}
	for i := range s.hide.Flaws() {
		if s.found(i) {
			return true
		}
	}
	return slices.ContainsFunc(s.steps, step) || anyNew(s.loose)
}
