package orders

import (
	"github.com/shopspring/decimal"

	"strapwise/nest"
)

// Line is one row of the order book with all that has to be cut for it.
// Lengths are millimetres.
type Line struct {
	nest.Order // what a planner sees; its Parts come from leathers that the workshop lists

	Pattern  string
	Width    float64 // finished
	Size     float64 // neck, waist or length, as the pattern takes it
	Leather  string
	Lining   string              // empty if the row names none
	Finished float64             // length of the finished article; 0 if the pattern does not say
	Seam     float64             // run of stitching of one set; 0 if none
	Stitches int                 // in that run; 0 if the pattern does not say how many to the inch
	Thread   float64             // for one set
	Hardware []Hardware          // of one set, by name
	Price    decimal.NullDecimal // of one set, if the row tells it
	Note     string

	// Aside are parts of leathers that a built-in pattern names and the
	// workshop does not list, such as foam cut by eye from a roll. They
	// belong on the cutting list, and no lay waits for them.
	Aside []nest.Part
}

// Hardware is what a set needs that is not leather. Lengths are millimetres, 0
// if the pattern does not say.
type Hardware struct {
	Name   string
	Count  int
	Width  float64 // of the strap that goes through it
	Length float64
}

// Book is an order book, worked out.
type Book struct {
	Lines    []Line   // in the order of the book
	Warnings []string // for the person to know, none of them a mistake
}
