// Package chance makes hides that nobody has seen: of a form, with an outline, soft
// leather and flaws as animals and tanners leave them, drawn at random and the same
// for the same seed on every machine. They stand in for leather not yet bought, and
// for all leather where planners are measured.
//
// What they look like follows common practice, no source, unless said otherwise.
// Lengths are millimetres. The backbone runs along X, and Y is across it.
package chance

import (
	"math/rand/v2"

	"github.com/paulmach/orb"

	"strapwise/hide"
)

// Streams of chance: what is drawn for one purpose does not depend on how much
// was drawn for another. Streams from Others on are the caller's.
const (
	OfOutline = iota
	OfFlaws
	Others
)

// Rand is the chance of a seed for one purpose.
func Rand(seed, stream uint64) *rand.Rand { return rand.New(rand.NewPCG(seed, stream)) }

// Between draws a length from a range.
func Between(r *rand.Rand, lo, hi float64) float64 { return lo + (hi-lo)*r.Float64() }

// must is for what this package builds itself: a ring that plane refuses is a
// mistake in here, whatever the seed.
func must[T any](v T, err error) T {
	if err != nil {
		panic("chance: " + err.Error())
	}
	return v
}

// Grown is a hide before it had a flaw.
type Grown struct {
	Spec hide.Spec
	box  orb.Bound // in which flaws are strewn
	on   func(orb.Point) bool
}

// Size is how long the hide is along the backbone, and how deep all across it.
func (g Grown) Size() (length, depth float64) {
	return g.box.Max[0] - g.box.Min[0], g.box.Max[1] - g.box.Min[1]
}

// Flawed is the hide with so many flaws. The first for a number
// are those for a lesser number.
func (g Grown) Flawed(r *rand.Rand, made Maker, n int) hide.Spec {
	s := g.Spec
	s.Flaws = nil
	for range n {
		s.Flaws = append(s.Flaws, made(r, g))
	}
	return s
}

// place is any place on the hide.
func (g Grown) place(r *rand.Rand) orb.Point {
	size := orb.Point{g.box.Max[0] - g.box.Min[0], g.box.Max[1] - g.box.Min[1]}
	for {
		at := orb.Point{g.box.Min[0] + size[0]*r.Float64(), g.box.Min[1] + size[1]*r.Float64()}
		if g.on(at) {
			return at
		}
	}
}
