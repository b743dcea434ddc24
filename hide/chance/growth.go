package chance

import (
	"math"
	"math/rand/v2"

	"github.com/paulmach/orb"

	"strapwise/hide"
)

// further is what a deviation measured on a few hides is multiplied by for the next one:
// the mean may be off, and the deviation too (as in Spread.Beyond).
func (g Growth) further(r *rand.Rand) float64 {
	if g.Of < 2 {
		return 1
	}
	squares := 0.0
	for range g.Of - 1 {
		z := r.NormFloat64()
		squares += z * z
	}
	return math.Sqrt((1 + 1/float64(g.Of)) * float64(g.Of-1) / squares)
}

// ragged draws how ragged a hide is: the logarithm of it is a normal number, or of the
// range of few hides a Student one.
func (g Growth) ragged(r *rand.Rand) float64 {
	if g.Ragged[1] <= 0 {
		return 0
	}
	const (
		nine    = 1.645 // deviations from the mean to each end of nine tenths
		largest = 3     // times the greatest: no hide is all fringe
	)
	lo, hi := math.Log(g.Ragged[0]), math.Log(g.Ragged[1])
	return min(largest*g.Ragged[1], math.Exp((lo+hi)/2+(hi-lo)/2/nine*g.further(r)*r.NormFloat64()))
}

// Shaped tells whether hides differ in shape.
func (g Growth) Shaped() bool { return g.Uneven > 0 || g.Slant > 0 }

// Size draws how long a hide of the form is, and how deep all across it.
func (f Form) Size(r *rand.Rand) (length, depth float64) {
	length, depth = Between(r, f.Length[0], f.Length[1]), Between(r, f.Depth[0], f.Depth[1])
	if f.Whole {
		depth *= 2
	}
	return length, depth
}

// Shape draws how a hide of the form differs from the form: both sides of an animal
// half alike.
func (g Growth) Shape(r *rand.Rand) Shape {
	var s Shape
	further := g.further(r)
	for k := range parts {
		both := r.NormFloat64()
		for side := range s.Depth {
			s.Depth[side][k] = g.Uneven * further * (both + r.NormFloat64()) / math.Sqrt2
		}
	}
	for end := range s.Slant {
		s.Slant[end] = g.Slant * further * r.NormFloat64()
	}
	return s
}

// Worn is the hide with flaws up to a cutting value, when so much is marked off round
// each: as many as its form has, made by the maker, lie anywhere, and what is left to lose in
// a few poor places, which on this hide all reach in from the edge, or none.
func (g Grown) Worn(r *rand.Rand, made Maker, grew Growth, value, markedOff float64) (hide.Spec, error) {
	clean, err := hide.New(g.Spec)
	if err != nil {
		return hide.Spec{}, err
	}
	const (
		largest = 220e3 // mm²: the largest of eleven on six hides of a cutting room
		most    = 3     // places, unless that takes more
		least   = 2e3   // mm²: less is not worth a grader's chalk
	)
	s := g.Spec
	s.Flaws = nil
	left := (100 - value) / 100 * clean.Area()
	for range grew.Strewn[0] + r.IntN(grew.Strewn[1]-grew.Strewn[0]+1) {
		f := made(r, g)
		if lost := f.Marked(markedOff); lost <= left {
			s.Flaws, left = append(s.Flaws, f), left-lost
		}
	}
	poor := g.poorAtEdge
	if r.Float64() >= grew.AtEdge {
		poor = g.poorAnywhere
	}
	places := max(1+r.IntN(most), int(math.Ceil(left/largest)))
	for ; places > 0 && left > least; places-- {
		lost := left
		if places > 1 {
			lost *= min(1, 2*r.Float64()/float64(places))
		}
		if of := poor(r); of != nil {
			f := losing(of, lost, markedOff)
			s.Flaws, left = append(s.Flaws, f), left-f.Marked(markedOff)
		}
	}
	return s, nil
}

// losing is a flaw by which so much is lost, of those that grow with a size in mm.
func losing(of func(size float64) hide.Flaw, lost, markedOff float64) hide.Flaw {
	small, large := 0.1, math.Sqrt(2*lost) // of so little and so much is less and more lost
	for range 30 {
		if mid := (small + large) / 2; of(mid).Marked(markedOff) > lost {
			large = mid
		} else {
			small = mid
		}
	}
	return of(small)
}

// poorAnywhere are places of all sizes at one place where the leather is loose, twice
// as long as they are deep.
func (g Grown) poorAnywhere(r *rand.Rand) func(size float64) hide.Flaw {
	at, round := g.place(r), blob(r, orb.Point{}, 2, 1)
	return func(size float64) hide.Flaw {
		return mapped(hide.Flaw{Kind: "loose", Patch: &round}, func(p orb.Point) orb.Point {
			return orb.Point{at[0] + size*p[0], at[1] + size*p[1]}
		})
	}
}

// poorAtEdge are the same along the edge of belly or flank; nil, where there is none.
func (g Grown) poorAtEdge(r *rand.Rand) func(size float64) hide.Flaw {
	const neck = 0.15 // of the length at each end has no belly
	x := g.box.Min[0] + Between(r, neck, 1-neck)*(g.box.Max[0]-g.box.Min[0])
	out := 1.0
	if g.box.Min[1] < -0.25*g.box.Max[1] && r.IntN(2) == 0 { // the other side of the animal
		out = -1
	}
	if _, _, ok := chord(g.Spec.Outline, 0, x); !ok {
		return nil
	}
	round := blob(r, orb.Point{}, 2, 1)
	return func(size float64) hide.Flaw {
		edge, lean := g.along(x, size, out)
		return mapped(hide.Flaw{Kind: "loose", Patch: &round}, func(p orb.Point) orb.Point {
			return orb.Point{x + size*p[0], out*(edge+lean*size*p[0]-size/2) + size*p[1]}
		})
	}
}

// along is a straight line along the edge, so far either way of x, that leaves what bays
// there are outside it: how far out it lies at x, and how it leans.
func (g Grown) along(x, reach, out float64) (at, lean float64) {
	var places []orb.Point // from x, and how far out
	for _, share := range []float64{-0.8, -0.4, 0, 0.4, 0.8} {
		if lo, hi, ok := chord(g.Spec.Outline, 0, x+share*reach); ok {
			places = append(places, orb.Point{share * reach, max(out*lo, out*hi)})
		}
	}
	last := len(places) - 1
	if last > 0 {
		const steepest = 1
		lean = min(steepest, max(-steepest, (places[last][1]-places[0][1])/(places[last][0]-places[0][0])))
	}
	at = math.Inf(1)
	for _, p := range places {
		at = min(at, p[1]-lean*p[0])
	}
	return at, lean
}
