package drawing

import (
	"fmt"
	"math"
	"strings"

	"github.com/paulmach/orb"

	"strapwise/hide/source"
)

// affine takes (x, y) to (a x + c y + e, b x + d y + f), in the order of the
// standard's matrix(a b c d e f).
type affine [6]float64

var same = affine{1, 0, 0, 1, 0, 0}

func (m affine) of(p orb.Point) orb.Point {
	return orb.Point{m[0]*p[0] + m[2]*p[1] + m[4], m[1]*p[0] + m[3]*p[1] + m[5]}
}

// turned is a direction, which does not care where it begins.
func (m affine) turned(v orb.Point) orb.Point {
	return orb.Point{m[0]*v[0] + m[2]*v[1], m[1]*v[0] + m[3]*v[1]}
}

// after is first n, then m.
func (m affine) after(n affine) affine {
	x, y, at := m.turned(orb.Point{n[0], n[1]}), m.turned(orb.Point{n[2], n[3]}), m.of(orb.Point{n[4], n[5]})
	return affine{x[0], x[1], y[0], y[1], at[0], at[1]}
}

// parseTransform reads a list of transforms: "translate(10 5) rotate(45)".
func parseTransform(text string) (affine, error) {
	m := same
	const known = "expected matrix, translate, scale, rotate, skewX or skewY"
	for rest := strings.TrimLeft(text, blanks+","); rest != ""; rest = strings.TrimLeft(rest, blanks+",") {
		name, after, opened := strings.Cut(rest, "(")
		inside, next, closed := strings.Cut(after, ")")
		if !opened || !closed {
			return same, fmt.Errorf("found %q, %s with its numbers in ( )", source.Shorten(rest, source.Quoted), known)
		}
		n, err := numbers(inside)
		if err != nil {
			return same, err
		}
		name = strings.Trim(name, blanks)
		one, ok := transform(name, n)
		if !ok {
			return same, fmt.Errorf("found %s with %s, %s", source.Shorten(name, source.Quoted), source.Count(len(n), "number"), known)
		}
		m, rest = m.after(one), next
	}
	return m, nil
}

// transform is one of a list, if it is known by that name with so many numbers.
func transform(name string, n []float64) (affine, bool) {
	rad := func(deg float64) float64 { return deg * math.Pi / 180 }
	switch {
	case name == "matrix" && len(n) == 6:
		return affine(n), true
	case name == "translate" && len(n) == 1:
		return affine{1, 0, 0, 1, n[0], 0}, true
	case name == "translate" && len(n) == 2:
		return affine{1, 0, 0, 1, n[0], n[1]}, true
	case name == "scale" && len(n) == 1:
		return affine{n[0], 0, 0, n[0], 0, 0}, true
	case name == "scale" && len(n) == 2:
		return affine{n[0], 0, 0, n[1], 0, 0}, true
	case name == "rotate" && len(n) == 1:
		sin, cos := math.Sincos(rad(n[0]))
		return affine{cos, sin, -sin, cos, 0, 0}, true
	case name == "rotate" && len(n) == 3:
		turn, _ := transform("rotate", n[:1])
		return affine{1, 0, 0, 1, n[1], n[2]}.after(turn).after(affine{1, 0, 0, 1, -n[1], -n[2]}), true
	case name == "skewX" && len(n) == 1:
		return affine{1, 0, math.Tan(rad(n[0])), 1, 0, 0}, true
	case name == "skewY" && len(n) == 1:
		return affine{1, math.Tan(rad(n[0])), 0, 1, 0, 0}, true
	}
	return same, false
}
