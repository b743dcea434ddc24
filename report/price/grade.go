package price

import (
	"cmp"
	"slices"

	"github.com/shopspring/decimal"

	"strapwise/hide"
)

// Bought says what a hide was bought as; either may be empty.
type Bought struct{ Supplier, Grade string }

// Cut is how a hide turned out, whether it lies on the rack, is cut by a plan or
// stands in a record.
type Cut struct {
	Bought
	Hide    string
	Leather string
	MM2     Split[float64]
	Paid    Amount
	Cost    Split[decimal.Decimal]
	Marked  float64 // cutting value by what its flaws take when marked off, per cent
	Remnant bool    // it is what a hide left, which counts where that was cut
	Away    bool    // it is put away since, so that it counts where the record has it
	Laid    float64 // by laying: leather in sets as it is, of that without a flaw; 0: not laid
}

// Wasted is the waste of the hide: 1 − net/gross.
func (c Cut) Wasted() float64 { return wasted(c.MM2) }

// Used is all its leather in mm² but for what is back on the rack.
func (c Cut) Used() float64 { return c.MM2.Net + c.MM2.Flaws + c.MM2.Waste }

// Graded is the grade that the hide proved to be: by laying, or if it was not laid
// by its flaws.
func (c Cut) Graded() string {
	value := c.Laid
	if value == 0 {
		value = c.Marked
	}
	b, _ := hide.BandOf(value)
	return b.Grade
}

// Worth is what the hide was worth: what was paid, less or more as its cutting
// value by laying is below or above the mean of the grade that was paid for. It is
// not known without a price, a lay, and a grade that hide.Bands has.
func (c Cut) Worth() Amount {
	for _, b := range hide.Bands() {
		if b.Grade == c.Grade && c.Paid.Valid && c.Laid > 0 {
			return penny(c.Paid.Decimal.Mul(decimal.NewFromFloat(c.Laid / b.Mean)))
		}
	}
	return Amount{}
}

// Source is what came of all hides of one leather, supplier and grade.
type Source struct {
	Bought
	Leather string
	Hides   int
	MM2     Split[float64]
	Paid    decimal.Decimal // for what was used of those whose cost is told
	Usable  decimal.Decimal // mm² in pieces of the same hides
	Marked  float64         // their cutting value by their flaws, on the average of the hides; 0: they are all remnants
}

// Wasted is the waste of all of them together: 1 − net/gross.
func (s Source) Wasted() float64 { return wasted(s.MM2) }

// Used is all their leather in mm² but for what is back on the rack.
func (s Source) Used() float64 { return s.MM2.Net + s.MM2.Flaws + s.MM2.Waste }

// Sources gathers hides by leather, supplier and grade, sorted. Hides of a plan and of a
// record count alike, and each once: the record has all that a hide left with the hide.
func Sources(all []Cut) []Source {
	var out []Source
	for _, c := range all {
		if c.Away {
			continue
		}
		i := slices.IndexFunc(out, func(s Source) bool { return s.Leather == c.Leather && s.Bought == c.Bought })
		if i < 0 {
			i = len(out)
			out = append(out, Source{Bought: c.Bought, Leather: c.Leather})
		}
		s := &out[i]
		if !c.Remnant {
			s.Hides++
			s.Marked += (c.Marked - s.Marked) / float64(s.Hides)
		}
		s.MM2.Net += c.MM2.Net
		s.MM2.Flaws += c.MM2.Flaws
		s.MM2.Waste += c.MM2.Waste
		s.MM2.Remnant += c.MM2.Remnant
		if c.Paid.Valid {
			s.Paid = s.Paid.Add(c.Paid.Decimal.Sub(c.Cost.Remnant))
			s.Usable = s.Usable.Add(decimal.NewFromFloat(c.MM2.Net))
		}
	}
	slices.SortFunc(out, func(a, b Source) int {
		return cmp.Or(cmp.Compare(a.Leather, b.Leather), cmp.Compare(a.Supplier, b.Supplier), cmp.Compare(a.Grade, b.Grade))
	})
	return out
}
