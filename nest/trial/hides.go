package trial

import (
	"fmt"

	"strapwise/hide"
	"strapwise/hide/chance"
)

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
	bend = chance.Form{
		Name:   "bend",
		Length: [2]float64{1270, 1350},
		Depth:  [2]float64{630, 670},
		Knots:  []chance.Knot{{0, 0.86}, {0.04, 0.95}, {0.12, 0.99}, {0.45, 1}, {0.85, 0.98}, {0.96, 0.95}, {1, 0.9}},
		Firm:   0.93,
	}
	side = chance.Form{
		Name:   "side",
		Length: [2]float64{2200, 2400},
		Depth:  [2]float64{860, 940},
		Knots: []chance.Knot{
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
		Firm:   0.72,
		Shanks: [][2]int{{2, 5}, {9, 12}},
	}
)

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

// grown is a hide of the form with so many flaws.
func grown(f chance.Form, name string, seed uint64, flaws int) hide.Spec {
	return strewn(f.Grow(name, strapLeather, seed), seed, flaws)
}

// strewn is the hide with so many flaws.
func strewn(g chance.Grown, seed uint64, flaws int) hide.Spec {
	return g.Flawed(chance.Rand(seed, chance.OfFlaws), chance.ByHabit(chance.Habits(), chance.Sizes{}), flaws)
}
