package strip

import (
	"cmp"
	"math"
	"slices"
)

// ranked is the lay with bands exchanged so that the strongest lie nearest to
// the backbone, where the leather is best, and among equals the longest: straps
// are cut from the back outward, longest and strongest first (Hasluck, Harness
// Making, 1904). What is hidden goes outward, into the poorest leather that serves
// it. Two neighbours trade places where all their pieces serve in the other's,
// and no more cuts are needed than before.
func (p *problem) ranked(l *lay) *lay {
	out := l.clone()
	f, strength := &filler{p: p}, p.strengths()
	for gi, g := range p.grounds {
		for again := true; again; {
			again = false
			for i := 1; i < len(out.bands[gi]); i++ {
				again = f.exchange(out, g, gi, i, strength) || again
			}
		}
	}
	return out
}

// exchange has bands i-1 and i of a hide trade places, if they lie on the same
// side of the backbone and the outer ranks before the inner. It reports whether
// it did.
func (f *filler) exchange(l *lay, g *ground, gi, i int, strength []float64) bool {
	bands := l.bands[gi]
	low, high := bands[i-1], bands[i]
	mid := max(g.y0, 0)
	switch order := f.p.rank(&low, strength).compare(f.p.rank(&high, strength)); {
	case low.y >= mid && order > 0:
	case high.end() <= mid && order < 0:
	default:
		return false
	}
	outward, fits := f.moved(g, &low, high.end()-low.end())
	inward, also := f.moved(g, &high, low.y-high.y)
	if !fits || !also || !g.begins(&outward) || !g.begins(&inward) {
		return false
	}
	trial := l.clone()
	trial.bands[gi][i-1], trial.bands[gi][i] = inward, outward
	if trial.cuts(f.p) > l.cuts(f.p) {
		return false
	}
	l.bands = trial.bands
	return true
}

// begins reports whether the band's near edge lies where one may: on any mark if
// it is one strip, otherwise on one that divides all widths in use.
func (g *ground) begins(b *band) bool { return g.isPlain(b) || b.y%g.across == 0 }

// rank says how near to the backbone a band belongs.
type rank struct {
	strength int // of its pieces on the mean, in quarters of the way from the weakest to the strongest
	longest  int // marks, of its pieces
	depth    int // so that strips of one width lie together
}

// compare is negative if a belongs nearer to the backbone than b.
func (a rank) compare(b rank) int {
	return cmp.Or(cmp.Compare(b.strength, a.strength), cmp.Compare(b.longest, a.longest), cmp.Compare(b.depth, a.depth))
}

func (p *problem) rank(b *band, strength []float64) rank {
	const quarters = 4
	r, sum, area := rank{depth: b.depth}, 0.0, 0.0
	b.cuts(func(c cut) {
		kd := p.kinds[c.kind]
		r.longest = max(r.longest, kd.length)
		sum, area = sum+strength[c.kind]*kd.area, area+kd.area
	})
	r.strength = int(math.Round(quarters * sum / area))
	return r
}

// strengths grades kinds by what their uses ask of the leather, from 0 for those
// that ask least to 1: a better quality before a poorer, then fewer flaws, then
// the grain more nearly along the piece.
func (p *problem) strengths() []float64 {
	stronger := func(a, b string) int {
		u, v := p.useNamed(a), p.useNamed(b)
		return cmp.Or(cmp.Compare(v.Quality, u.Quality), cmp.Compare(len(u.Flaws), len(v.Flaws)), cmp.Compare(u.Angle, v.Angle))
	}
	var uses []string // one of each grade
	for _, kd := range p.kinds {
		if !slices.ContainsFunc(uses, func(u string) bool { return stronger(u, kd.use) == 0 }) {
			uses = append(uses, kd.use)
		}
	}
	slices.SortFunc(uses, stronger)
	out := make([]float64, len(p.kinds))
	for k, kd := range p.kinds {
		place := slices.IndexFunc(uses, func(u string) bool { return stronger(u, kd.use) == 0 })
		if len(uses) > 1 {
			out[k] = 1 - float64(place)/float64(len(uses)-1)
		}
	}
	return out
}
