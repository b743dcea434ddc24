package nest

import (
	"math"
	"slices"

	"github.com/paulmach/orb"

	"strapwise/hide/plane"
)

// Template is an outline of its own to which a part is cut with the knife.
type Template struct {
	File string // that draws it, relative to the workshop

	// Outline lies in the rectangle round it, from (0, 0) to the length and the width
	// of its part, in millimetres. The grain runs along x, and y away from the backbone.
	Outline plane.Ring
}

// Same reports whether pieces cut to both can stand for each other, whatever their
// files are called. Nil is a rectangle.
func (t *Template) Same(o *Template) bool {
	if t == nil || o == nil {
		return t == o
	}
	return slices.EqualFunc(t.Outline.Corners(), o.Outline.Corners(), func(p, q orb.Point) bool {
		return math.Abs(p[0]-q[0]) <= SameLength && math.Abs(p[1]-q[1]) <= SameLength
	})
}

// At is the outline as it lies on a hide, with the corner of the rectangle round it
// that is nearest to the origin of the frame at a place in that frame.
func (t *Template) At(f plane.Frame, place orb.Point) []orb.Point {
	out := t.Outline.Corners()
	for i, p := range out {
		out[i] = f.OutOf(orb.Point{place[0] + p[0], place[1] + p[1]})
	}
	return out
}

// Rectangular reports whether an outline in a plan is a rectangle; otherwise it can
// only be that of a template.
func Rectangular(outline []orb.Point) bool {
	_, err := rectFrom(outline)
	return err == nil
}

// Area is what a piece of the part covers, in square millimetres.
func (p Part) Area() float64 {
	if p.Template != nil {
		return p.Template.Outline.Area()
	}
	return p.Length * p.Width
}
