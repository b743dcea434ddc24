// Package rates is what a workshop pays and what it charges: hardware, thread,
// leather that is bought as it is needed, work, overhead, margin, tax, and the
// leather that is on offer. All of it is optional; what a workshop does not say
// is not known, which is not the same as free.
package rates

import (
	"cmp"
	"slices"

	"github.com/shopspring/decimal"

	"strapwise/hide/money"
	"strapwise/nest/orders"
)

// Rates are the prices of a workshop. The zero value knows none.
type Rates struct {
	Hour      decimal.NullDecimal        // of work, in money
	Stitching *money.Rate                // minutes for a length of seam
	Minutes   map[string]decimal.Decimal // of work for a set besides its stitching, by pattern
	Thread    *money.Rate
	Leathers  map[string]ByArea   // of what no hide gives, by leather
	Hardware  map[string]ByWidth  // by name
	Overhead  decimal.NullDecimal // a part of leather, materials and work
	Margin    decimal.NullDecimal // a part of the price before tax
	Tax       decimal.NullDecimal // a part of the price before tax, on top of it
	Offers    []Offer             // in the order of the file
}

// ByArea is a leather bought by area as it is needed.
type ByArea struct {
	Price money.Rate
	Waste decimal.NullDecimal // 1 − net/gross
}

// Of is what so many mm² of pieces cost: waste divides, since it is a part of
// what is bought and not of what is used.
func (a ByArea) Of(net float64) decimal.Decimal {
	return money.Gross(a.Price.Of(net), a.Waste.Decimal)
}

// ByWidth is what one kind of hardware costs: each, for the width of the strap
// that goes through it or whatever that is; or by its length.
type ByWidth struct {
	Any    decimal.NullDecimal
	Length *money.Rate
	Widths []Width // by width
}

// Width is a price for straps of one width.
type Width struct {
	MM    float64
	Price decimal.Decimal
}

// Piece is what one piece of hardware costs, or false if its price is not told.
func (r Rates) Piece(h orders.Hardware) (decimal.Decimal, bool) {
	b := r.Hardware[h.Name]
	i, found := slices.BinarySearchFunc(b.Widths, h.Width, func(w Width, mm float64) int {
		const same = 0.05 // mm: 1 in is told as 25.4 mm and as 25.40 mm
		if d := w.MM - mm; d > -same && d < same {
			return 0
		}
		return cmp.Compare(w.MM, mm)
	})
	switch {
	case found:
		return b.Widths[i].Price, true
	case b.Length != nil && h.Length > 0:
		return b.Length.Of(h.Length), true
	case b.Any.Valid:
		return b.Any.Decimal, true
	}
	return decimal.Zero, false
}

// Offer is leather that can be bought. Lengths are millimetres, areas mm².
type Offer struct {
	Line     int // in workshop.toml
	Leather  string
	Form     string
	Grade    string              // a letter of forecast's bands; empty if not told
	Supplier string              // empty if not told
	Each     decimal.NullDecimal // of one hide; or
	ByArea   *money.Rate
	Length   float64 // along the backbone and all across it; 0: as the form usually is
	Depth    float64
	Area     float64 // 0: as it comes
}

// Cost is what a hide of so many mm² costs, to the penny.
func (o Offer) Cost(area float64) decimal.Decimal {
	if o.ByArea != nil {
		return o.ByArea.Of(area).Round(money.Places)
	}
	return o.Each.Decimal
}
