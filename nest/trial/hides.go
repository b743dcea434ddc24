package trial

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"github.com/paulmach/orb"

	"strapwise/hide"
	"strapwise/hide/measure"
	"strapwise/hide/plane"
)

// knot is a corner of an animal's outline before it is smoothed: how deep the
// leather is, as a share of the greatest depth, so far along the backbone, as a
// share of its length.
type knot struct{ at, depth float64 }

// form is a kind of hide: its measures and the line of its edge away from the
// backbone.
type form struct {
	name   string
	length [2]float64 // mm along the backbone, least and greatest
	depth  [2]float64 // mm across it, where it is deepest
	knots  []knot
	firm   float64  // share of the depth at which the leather turns soft
	shanks [][2]int // knots between which a shank bulges, its grain turned
}

// The forms. A bend is what is left of a side between butt and shoulder once
// the belly is cut off, so its edges are nearly straight.
//
//	side:  butt                                             neck
//	      ______________________ backbone ___________________
//	      |                                                  |
//	      |                                              ___/
//	       \      flank  ___________ belly ___       ___/
//	        \__     ____/                     \     /
//	           \___/                           \___/
//	         hind shank                      fore shank
var (
	bend = form{
		"bend",
		[2]float64{1270, 1350},
		[2]float64{630, 670},
		[]knot{{0, 0.86}, {0.04, 0.95}, {0.12, 0.99}, {0.45, 1}, {0.85, 0.98}, {0.96, 0.95}, {1, 0.9}},
		0.93, nil,
	}
	side = form{
		"side",
		[2]float64{2200, 2400},
		[2]float64{860, 940},
		[]knot{
			{0, 0.42},
			{0.03, 0.62},
			{0.08, 0.86},
			{0.13, 1},
			{0.19, 0.97},
			{0.26, 0.76},
			{0.36, 0.74},
			{0.5, 0.8},
			{0.62, 0.79},
			{0.68, 0.86},
			{0.73, 0.98},
			{0.79, 0.9},
			{0.86, 0.6},
			{0.93, 0.5},
			{1, 0.44},
		},
		0.72,
		[][2]int{{2, 5}, {9, 12}},
	}
)

// Corners of an outline: along the backbone, along the edge away from it, and
// at each of the two ends. All told 300.
const (
	cornersNear = 100
	cornersFar  = 160
	cornersEnd  = 20
)

const trimmed = 5 // mm round every outline

// Bend is a bend of about 1300 × 650 mm with so many flaws and a strip of soft
// leather where the belly was cut off. Its outline has 300 corners.
func Bend(seed uint64, flaws int) *hide.Hide {
	return must(hide.New(grown(bend, fmt.Sprintf("bend-%d", seed), seed, flaws)))
}

// Side is a side of about 2300 × 900 mm with so many flaws: butt and neck, two
// shanks whose grain turns off the backbone, a soft belly between them. Its
// outline has 300 corners.
func Side(seed uint64, flaws int) *hide.Hide {
	return must(hide.New(grown(side, fmt.Sprintf("side-%d", seed), seed, flaws)))
}

// grown is a hide of the form. Its backbone runs along X, Y is across it.
func grown(f form, name string, seed uint64, flaws int) hide.Spec {
	r := chance(seed, ofOutline)
	length, depth := between(r, f.length[0], f.length[1]), between(r, f.depth[0], f.depth[1])
	knots := slices.Clone(f.knots)
	for i := range knots {
		const much = 0.02 // of the depth, more or less, from one animal to the next
		knots[i].depth *= 1 + between(r, -much, much)
	}
	far, near := ripple(r, 4), ripple(r, 1.5)
	edge := func(x float64) float64 { return depth*smooth(knots, x/length) + far(x) }

	s := hide.Spec{Name: name, Leather: strapLeather, Form: f.name, Trim: trimmed, Backbone: []orb.Point{{0, 0}, {length, 0}}}
	along := func(i, n int) float64 { return length * float64(i) / float64(n-1) }
	for i := range cornersNear {
		x := along(i, cornersNear)
		s.Outline = append(s.Outline, orb.Point{x, near(x)})
	}
	s.Outline = append(s.Outline, end(r, length, 1, near(length), edge(length))...)
	for i := range cornersFar {
		x := along(cornersFar-1-i, cornersFar)
		s.Outline = append(s.Outline, orb.Point{x, edge(x)})
	}
	s.Outline = append(s.Outline, end(r, 0, -1, edge(0), near(0))...)

	soft := []orb.Point{{0, depth + 50}, {length, depth + 50}}
	for i := 40; i >= 0; i-- {
		x := along(i, 41)
		soft = append(soft, orb.Point{x, f.firm*depth + 3*near(x)})
	}
	s.Zones = append(s.Zones, hide.Zone{Quality: hide.Soft, Area: must(plane.NewRing(soft))})
	for i, k := range f.shanks {
		from, to := length*knots[k[0]].at, length*knots[k[1]].at
		turn := measure.Angle(between(r, 20, 35)) * measure.Degree
		if i == 0 {
			turn = -turn
		}
		s.Zones = append(s.Zones, hide.Zone{
			Quality: hide.Soft, Turned: true, Grain: turn,
			Area: must(plane.NewRing([]orb.Point{{from, 0.8 * depth}, {to, 0.8 * depth}, {to, depth + 50}, {from, depth + 50}})),
		})
	}
	s.Flaws = flawed(chance(seed, ofFlaws), flaws, func(p orb.Point) bool {
		return p[0] > 0 && p[0] < length && p[1] > near(p[0]) && p[1] < edge(p[0])
	}, orb.Point{length, depth})
	return s
}

// end is the edge at one end of a hide, which a knife has cut nearly square:
// from one depth to the other, and never inward of x.
func end(r *rand.Rand, x, out, from, to float64) []orb.Point {
	var corners []orb.Point
	belly := between(r, 4, 14)
	for i := range cornersEnd {
		share := float64(i+1) / (cornersEnd + 1)
		corners = append(corners, orb.Point{x + out*(belly*math.Sin(math.Pi*share)+r.Float64()), from + (to-from)*share})
	}
	return corners
}

// ripple is an uneven line about 0, of three waves that together reach at most
// so far from it.
func ripple(r *rand.Rand, most float64) func(x float64) float64 {
	const waves = 3
	var length, phase [waves]float64
	for i := range waves {
		length[i], phase[i] = between(r, 90, 420), between(r, 0, 2*math.Pi)
	}
	return func(x float64) float64 {
		y := 0.0
		for i := range waves {
			y += math.Sin(2*math.Pi*x/length[i] + phase[i])
		}
		return y * most / waves
	}
}

// smooth runs through the knots, level at each that is higher or lower than
// both its neighbours and nowhere beyond two neighbouring ones (Fritsch and
// Carlson, SIAM Journal on Numerical Analysis 17, 1980, with the harmonic mean
// of slopes).
func smooth(knots []knot, at float64) float64 {
	i := 0
	for i < len(knots)-2 && at > knots[i+1].at {
		i++
	}
	slope := func(i int) float64 {
		return (knots[i+1].depth - knots[i].depth) / (knots[i+1].at - knots[i].at)
	}
	lean := func(i int) float64 {
		if i == 0 {
			return slope(0)
		}
		if i == len(knots)-1 {
			return slope(i - 1)
		}
		a, b := slope(i-1), slope(i)
		if a*b <= 0 {
			return 0
		}
		return 2 * a * b / (a + b)
	}
	h := knots[i+1].at - knots[i].at
	t := (at - knots[i].at) / h
	a, b := knots[i].depth, knots[i+1].depth
	return a*(1+2*t)*(1-t)*(1-t) + b*t*t*(3-2*t) + h*t*(1-t)*((1-t)*lean(i)-t*lean(i+1))
}
