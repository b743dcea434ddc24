// Package report turns a plan into what a person reads: the cutting sheet, as
// a display list in millimetres that any writer can draw, and the cutting list
// as steps. It knows no planning and no file format.
package report

import "github.com/paulmach/orb"

// Page is one side of paper, drawn in ink: black on white, and one accent for
// what has changed since the last lay, which is told by a star as well. Places
// are millimetres from its upper left corner, x to the right, y down. Items
// are in drawing order: later ones cover earlier ones.
type Page struct {
	Width, Height float64 // mm
	Title         string  // one line for a file's title; not drawn
	Items         []Item
}

// Item is a Shape, a Text or a View.
type Item interface{ item() }

// Fill is what covers the inside of a closed Shape. Kinds are told apart by
// texture, never by colour.
type Fill int

// The fills.
const (
	None    Fill = iota
	Bare         // white: clears what lies under it
	Solid        // black
	Hatch        // open strokes, HatchPitch apart, rising to the right at 45°
	Stipple      // dots of DotSize, StipplePitch apart, every second row shifted by half
	Dense        // the same, DensePitch apart
)

// Measures of the textures, in millimetres.
const (
	HatchPitch   = 0.9
	HatchWeight  = 0.18
	StipplePitch = 2.2
	DensePitch   = 1.1
	DotSize      = 0.3
)

// Shape is a polygon or a line through two points or more.
type Shape struct {
	Points []orb.Point
	Closed bool
	Weight float64   // of the line, mm; 0: no line
	Dash   []float64 // mm of ink and gap, by turns; nil: unbroken
	Fill   Fill      // of a closed shape
	Accent bool      // in the one colour beside black
}

// Anchor says which point of a text stands at its place.
type Anchor int

// The anchors. The place is always on the baseline.
const (
	Start Anchor = iota
	Middle
	End
)

// Text is one line of type. Its baseline is level, or turned.
type Text struct {
	At     orb.Point
	Anchor Anchor
	Size   float64 // mm, the em
	Bold   bool
	Turn   float64 // degrees anticlockwise about At
	Runs   []Run
	Accent bool // in the one colour beside black
}

// Run is a stretch of a text: either words, or a fraction to be set as one.
type Run struct {
	Words    string
	Num, Den int64 // Den greater than 0: the fraction Num/Den, and Words is empty
}

// View is a window onto a larger drawing: what of it lies in From, its upper left
// corner at At. Nothing of it shows outside the window. It holds no other view.
type View struct {
	From  orb.Bound // of the drawing, mm
	At    orb.Point // on the page
	Items []Item    // placed in the drawing
}

func (Shape) item() {}
func (Text) item()  {}
func (View) item()  {}

// String is the text in plain letters, fractions as "3/8" after a space.
func (t Text) String() string { return Plain(t.Runs) }
