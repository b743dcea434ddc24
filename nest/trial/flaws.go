package trial

import (
	"math"
	"math/rand/v2"

	"github.com/paulmach/orb"

	"strapwise/hide"
	"strapwise/hide/plane"
)

// habit is how a kind of flaw looks and how often it is met. Sizes are least
// and greatest, in millimetres.
type habit struct {
	kind   string
	often  int        // of every 100 flaws
	spot   [2]float64 // diameter; or
	long   [2]float64 // length of a stroke, or the size of a patch either way
	width  [2]float64 // of a stroke; none: a patch
	slant  float64    // greatest angle of a stroke off the backbone, radians
	fleshy bool       // may show on the flesh side only
}

// habits: holes of warbles and ticks are round; cuts of the flaying knife are
// short and on the flesh; scars and scratches run with the animal's walk,
// wrinkles of growth across it; brands and loose grain cover an area.
var habits = []habit{
	{kind: "hole", often: 17, spot: [2]float64{3, 10}},
	{kind: "tick", often: 18, spot: [2]float64{2, 5}},
	{kind: "scratch", often: 18, long: [2]float64{30, 140}, width: [2]float64{1.5, 3}, slant: 0.4},
	{kind: "scar", often: 14, long: [2]float64{20, 90}, width: [2]float64{2, 7}, slant: 0.6},
	{kind: "cut", often: 12, long: [2]float64{10, 45}, width: [2]float64{2, 4}, slant: math.Pi / 2, fleshy: true},
	{kind: "vein", often: 10, long: [2]float64{40, 140}, width: [2]float64{2, 4}, slant: 0.5, fleshy: true},
	{kind: "wrinkle", often: 6, long: [2]float64{30, 100}, width: [2]float64{3, 7}, slant: math.Pi / 2},
	{kind: "loose", often: 3, long: [2]float64{30, 70}},
	{kind: "brand", often: 2, long: [2]float64{45, 80}},
}

// flawed gives so many flaws, each at a place on the leather within the
// rectangle from the origin to the given corner. The first flaws for a number
// are those for a lesser number.
func flawed(r *rand.Rand, n int, on func(orb.Point) bool, corner orb.Point) []hide.Flaw {
	var out []hide.Flaw
	for range n {
		at := orb.Point{corner[0] * r.Float64(), corner[1] * r.Float64()}
		for !on(at) {
			at = orb.Point{corner[0] * r.Float64(), corner[1] * r.Float64()}
		}
		out = append(out, drawn(r).flaw(r, at))
	}
	return out
}

func drawn(r *rand.Rand) habit {
	n := r.IntN(100)
	for _, h := range habits {
		if n -= h.often; n < 0 {
			return h
		}
	}
	return habits[0]
}

// flaw is one flaw of that habit at a place.
func (h habit) flaw(r *rand.Rand, at orb.Point) hide.Flaw {
	f := hide.Flaw{Kind: h.kind}
	if h.fleshy && r.IntN(3) > 0 {
		f.Face = hide.Flesh
	}
	switch {
	case h.spot[1] > 0:
		f.Spot = &hide.Spot{At: at, Diameter: between(r, h.spot[0], h.spot[1])}
	case h.width[1] > 0:
		f.Stroke = &hide.Stroke{Line: wander(r, at, between(r, h.long[0], h.long[1]), between(r, -h.slant, h.slant)), Width: between(r, h.width[0], h.width[1])}
	default:
		patch := blob(r, at, between(r, h.long[0], h.long[1]), between(r, h.long[0], h.long[1]))
		f.Patch = &patch
	}
	return f
}

// wander is a line of two to four points from a place, so long along its bends,
// that keeps more or less to an angle, one way or the other.
func wander(r *rand.Rand, at orb.Point, length, angle float64) []orb.Point {
	parts := 1 + r.IntN(3)
	step := length / float64(parts) * float64(1-2*r.IntN(2))
	line := []orb.Point{at}
	for range parts {
		const bend = 0.3 // radians either way
		sin, cos := math.Sincos(angle + between(r, -bend, bend))
		at = orb.Point{at[0] + step*cos, at[1] + step*sin}
		line = append(line, at)
	}
	return line
}

// blob is a round patch about a place with eight to twelve corners, in a
// rectangle of the given sides.
func blob(r *rand.Rand, at orb.Point, length, depth float64) plane.Ring {
	n := 8 + r.IntN(5)
	var corners []orb.Point
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * (float64(i) + 0.6*r.Float64()) / float64(n))
		k := between(r, 0.75, 1) / 2
		corners = append(corners, orb.Point{at[0] + k*length*cos, at[1] + k*depth*sin})
	}
	return must(plane.NewRing(corners))
}
