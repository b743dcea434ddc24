// Package hide is the leather: outline, backbone, flaws, zones, substance, and
// which leather serves which use.
//
// A hide is any piece of leather on the rack, whatever its form. Lengths are
// millimetres in the coordinates of the hide's own file; Frame gives the
// coordinates along and across its grain in which lays are made.
package hide

import (
	"time"

	"github.com/paulmach/orb"
	"github.com/shopspring/decimal"

	"strapwise/hide/plane"
)

// Spec is all there is to say of a hide. It is what files and people supply;
// New turns it into a Hide.
type Spec struct {
	Name     string // unique on the rack; the file's name without .toml
	Leather  string // what orders ask for
	Form     string // one of Forms
	Outline  []orb.Point
	Backbone []orb.Point // two points, or none: the grain runs along X
	Trim     float64     // mm; no cut is made nearer than this to the outline
	Readings []Reading   // thickness; a single one holds everywhere
	Flaws    []Flaw
	Zones    []Zone
	Cost     decimal.Decimal // money; zero if not told
	Stamped  float64         // mm², the area as stamped or sold; zero if not told
	Bought   time.Time       // zero if not told
}

// Forms are the words for what part of an animal, or what else, a hide is.
func Forms() []string {
	return []string{"hide", "side", "back", "bend", "butt", "shoulder", "belly", "skin", "sheet", "remnant"}
}

// Hide is a valid piece of leather. It does not change; what its methods
// return must not be changed either. New is its only constructor.
type Hide struct {
	spec    Spec
	outline plane.Ring
	frame   plane.Frame
}

func (h *Hide) Name() string          { return h.spec.Name }
func (h *Hide) Leather() string       { return h.spec.Leather }
func (h *Hide) Form() string          { return h.spec.Form }
func (h *Hide) Outline() plane.Ring   { return h.outline }
func (h *Hide) Backbone() []orb.Point { return h.spec.Backbone }
func (h *Hide) Trim() float64         { return h.spec.Trim }
func (h *Hide) Readings() []Reading   { return h.spec.Readings }
func (h *Hide) Flaws() []Flaw         { return h.spec.Flaws }
func (h *Hide) Zones() []Zone         { return h.spec.Zones }
func (h *Hide) Cost() decimal.Decimal { return h.spec.Cost }
func (h *Hide) Stamped() float64      { return h.spec.Stamped }
func (h *Hide) Bought() time.Time     { return h.spec.Bought }

// Area is the area of the outline in square millimetres.
func (h *Hide) Area() float64 { return h.outline.Area() }

// Frame is the frame along the grain. X follows the backbone. Its origin is
// the backbone's first point; without a backbone, the lower left corner of
// the smallest upright rectangle round the outline, so that marks start at
// the leather. Cuts are set to marks counted from that origin.
func (h *Hide) Frame() plane.Frame { return h.frame }

// New checks a Spec and makes it a hide. The error is a *Fault.
func New(s Spec) (*Hide, error) {
	outline, err := plane.NewRing(s.Outline)
	if err != nil {
		return nil, &Fault{Path: "outline", Rule: err.Error(), Hint: "list the corners in the order in which a finger would follow the edge"}
	}
	h := &Hide{spec: s, outline: outline}
	switch {
	case len(s.Backbone) == 2 && s.Backbone[0] != s.Backbone[1]:
		a, b := s.Backbone[0], s.Backbone[1]
		h.frame = plane.NewFrame(a, orb.Point{b[0] - a[0], b[1] - a[1]})
	case len(s.Backbone) == 0:
		h.frame = plane.NewFrame(outline.Bound().Min, orb.Point{1, 0})
	default:
		return nil, &Fault{Path: "backbone", Rule: "found one point or two equal ones, expected two points apart", Hint: "give the two ends of the backbone"}
	}
	return h, nil
}
