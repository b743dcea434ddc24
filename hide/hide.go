// Package hide is the leather: outline, backbone, flaws, zones, substance, and
// which leather serves which use.
//
// A hide is any piece of leather on the rack, whatever its form. Lengths are
// millimetres in the coordinates of the hide's own file; Frame gives the
// coordinates along and across its grain in which lays are made.
package hide

import (
	"slices"
	"time"

	"github.com/paulmach/orb"
	"github.com/shopspring/decimal"

	"strapwise/hide/measure"
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
	Nominal  float64     // mm; how thick its leather is said to be, which holds where there is no reading; zero if not told
	Flaws    []Flaw
	Zones    []Zone
	Cost     decimal.Decimal // money; zero if not told
	Stamped  float64         // mm², the area as stamped or sold; zero if not told
	Bought   time.Time       // zero if not told
	Supplier string          // who sold it; empty if not told
	Grade    string          // as the supplier grades it; empty if not told
	From     string          // of a remnant, the name of the hide that it was cut from; empty if not told
	PutAway  time.Time       // and when it came back on the rack; zero if not told

	System measure.System // in which faults tell places and lengths
}

// Forms are the words for what part of an animal, or what else, a hide is.
func Forms() []string {
	return []string{"hide", "side", "back", "bend", "butt", "shoulder", "belly", "skin", "sheet", Remnant}
}

// Remnant is the form of what a hide leaves when it has been cut.
const Remnant = "remnant"

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
func (h *Hide) Supplier() string      { return h.spec.Supplier }
func (h *Hide) Grade() string         { return h.spec.Grade }
func (h *Hide) From() string          { return h.spec.From }
func (h *Hide) PutAway() time.Time    { return h.spec.PutAway }

// Thickness is how thick the hide is held to be: as it was read, or else as its leather
// is said to be, everywhere; none if nobody told.
func (h *Hide) Thickness() []Reading {
	if len(h.spec.Readings) == 0 && h.spec.Nominal > 0 {
		return []Reading{{MM: h.spec.Nominal}}
	}
	return h.spec.Readings
}

// Of is the hide as a piece of leather that is said to be so many millimetres thick.
func (h *Hide) Of(nominal float64) *Hide {
	other := *h
	other.spec.Nominal = nominal
	return &other
}

// Spec is all that is said of the hide, the caller's to change.
func (h *Hide) Spec() Spec { return h.spec.clone() }

// Area is the area of the outline in square millimetres.
func (h *Hide) Area() float64 { return h.outline.Area() }

// Frame is the frame along the grain. X follows the backbone. Its origin is
// the backbone's first point; without a backbone, the lower left corner of
// the smallest upright rectangle round the outline, so that marks start at
// the leather. Cuts are set to marks counted from that origin.
func (h *Hide) Frame() plane.Frame { return h.frame }

// New checks a Spec and makes it a hide. It may be changed afterwards without
// changing the hide. The error is a *Fault.
func New(s Spec) (*Hide, error) {
	s = s.clone()
	if f := s.checkWords(); f != nil {
		return nil, f
	}
	outline, f := s.checkOutline()
	if f != nil {
		return nil, f
	}
	frame, f := s.checkBackbone(outline)
	if f != nil {
		return nil, f
	}
	g := newGround(outline, s.System)
	for _, f := range []*Fault{s.checkTrim(g), s.checkReadings(g), s.checkFlaws(g), s.checkZones(g), s.checkMoney()} {
		if f != nil {
			return nil, f
		}
	}
	return &Hide{spec: s, outline: outline, frame: frame}, nil
}

// clone is a Spec that shares nothing that could change.
func (s Spec) clone() Spec {
	s.Outline = slices.Clone(s.Outline)
	s.Backbone = slices.Clone(s.Backbone)
	s.Readings = slices.Clone(s.Readings)
	s.Zones = slices.Clone(s.Zones)
	s.Flaws = slices.Clone(s.Flaws)
	for i, f := range s.Flaws {
		if f.Spot != nil {
			spot := *f.Spot
			s.Flaws[i].Spot = &spot
		}
		if f.Stroke != nil {
			s.Flaws[i].Stroke = &Stroke{slices.Clone(f.Stroke.Line), f.Stroke.Width}
		}
		if f.Patch != nil {
			patch := *f.Patch
			s.Flaws[i].Patch = &patch
		}
	}
	return s
}
