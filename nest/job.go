// Package nest is planning, as seen from outside the planners: the Job (what to
// cut, from which hides, with which tools), the Plan (the lay as a record), and
// Check, which verifies any plan against its job by another way than the one
// that made it.
package nest

import (
	"time"

	"strapwise/hide"
	"strapwise/hide/measure"
)

// Part is one kind of piece in the set of an order.
type Part struct {
	Name    string  // unique within the order: "main", "filler"
	Leather string  // the leather it is cut from
	Use     string  // name of the use that says how good that leather must be
	Length  float64 // mm along the piece, as cut; of a template, of the rectangle round it
	Width   float64 // mm across it, as cut
	Count   int     // how many of them a set needs, at least 1
	Knife   bool    // cut out with rule and knife; otherwise ripped with the strap cutter

	Template *Template // to which it is cut with the knife; nil: it is a rectangle
}

// Order is one row of the order book, as a planner sees it: Qty sets, all the
// same. Several rows may carry one order's name; the sets of an order are
// numbered through its rows from 1.
type Order struct {
	ID       string
	Line     int // in the order book, for messages
	FirstSet int // number of this row's first set within the order
	Qty      int
	Due      time.Time // zero: no date
	Worth    float64   // of one complete set, in money; what Plan.Result.Value counts
	Parts    []Part
}

// Tools are the limits of the hand that cuts. Lengths are millimetres.
type Tools struct {
	Mark      float64        // graduation of the rule: every cut is set to a multiple of it
	System    measure.System // in which the maker is told lengths and areas
	CutterMin float64        // least strip width the strap cutter takes
	CutterMax float64        // greatest
	Grips     float64        // least leather it can hold beside the strip; 0: no limit
	Effort    float64        // what one rip or cross-cut costs, in money

	// A hide may be ripped into bands, a band cross-cut into blocks, a block
	// ripped into strips.
	Deepest float64 // greatest depth of such a band; 0: every band is one strip
	Blocks  int     // most blocks of a band; 0: any number
	Part    float64 // the cross-cuts between blocks lie on multiples of it, from the origin of the hide's frame

	Tilt measure.Angle // the most that a struck edge may lie off the backbone; there, cross-cuts between blocks count from any of them
}

// Job is all that a planner needs to know, and all that it may use.
type Job struct {
	Orders []Order      // in the order of the book
	Hides  []*hide.Hide // sorted by name
	Uses   map[string]hide.Use
	Tools  Tools
	By     time.Time // orders due on or before it come first, whatever their worth; zero: none
	Least  float64   // mm²; a remnant that is smaller does not go back on the rack, though a plan lists it
}

// Hide returns the hide of that name, or nil.
func (j Job) Hide(name string) *hide.Hide {
	for _, h := range j.Hides {
		if h.Name() == name {
			return h
		}
	}
	return nil
}

// CanCut reports whether the tools can make a strip of the part's width. The
// knife cuts any width.
func (t Tools) CanCut(p Part) bool {
	return p.Knife || p.Width >= t.CutterMin-SameLength && p.Width <= t.CutterMax+SameLength
}

// SameLength is the tolerance, in millimetres, within which two lengths are
// one: a thousandth of the finest graduation that a steel rule carries, and a
// thousand times what float64 loses in turning a hide of ten metres.
const SameLength = 1e-6
