package hide

import (
	"github.com/paulmach/orb"

	"strapwise/hide/measure"
	"strapwise/hide/plane"
)

// Face is the side of the leather on which a flaw shows.
type Face int

// The faces. A flaw on either face refuses the same pieces; only drawing
// tells them apart.
const (
	Grain Face = iota
	Flesh
)

// Flaw is a fault in the leather. Exactly one of Spot, Stroke and Patch is set.
type Flaw struct {
	Kind   string
	Face   Face
	Spot   *Spot
	Stroke *Stroke
	Patch  *plane.Ring
}

// Spot is a round flaw.
type Spot struct {
	At       orb.Point
	Diameter float64 // mm, greater than 0
}

// Stroke is a long flaw: all within half a width of a line of at least two points.
type Stroke struct {
	Line  []orb.Point
	Width float64 // mm, greater than 0
}

// Zone is a part of the leather with a quality, and perhaps a grain, of its own.
type Zone struct {
	Quality Quality
	Area    plane.Ring
	Turned  bool          // the grain here differs from the backbone
	Grain   measure.Angle // if Turned: from the backbone, anticlockwise
}

// Reading is a thickness measured at a place.
type Reading struct {
	At orb.Point
	MM float64
}
