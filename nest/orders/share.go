package orders

import (
	"fmt"

	"strapwise/hide"
	"strapwise/hide/measure"
	"strapwise/nest"
)

// Set is one set of a pattern, not for any order: to count what a hide yields.
// Width and size are millimetres. Leather and lining are what an order would
// name; the parts of one that is empty stand Aside, as do those of leathers that
// the workshop does not list. The error is a *hide.Fault whose path is the
// column of the order book that would be wrong.
func (h *House) Set(pattern string, width, size float64, leather, lining string) (Line, error) {
	line, fault := h.cut(article{pattern: pattern, width: width, size: size, leather: leather, lining: lining, open: true})
	if fault != nil {
		return Line{}, fault
	}
	line.FirstSet, line.Qty, line.Worth = 1, 1, 1
	return line, nil
}

// Share is the line with the parts of one leather; all others stand Aside. It
// is what a hide of that leather has to give, and has no parts if that is
// nothing.
func (l Line) Share(leather string) Line {
	var own, aside []nest.Part
	for _, p := range l.Parts {
		if p.Leather == leather {
			own = append(own, p)
		} else {
			aside = append(aside, p)
		}
	}
	l.Parts, l.Aside = own, append(aside, l.Aside...)
	return l
}

// Article is what the order's leather has to give for one set of a pattern. It
// is the Share of that leather in a Set without a lining, and fails if there is
// none.
func (h *House) Article(pattern string, width, size float64, leather string) (Line, error) {
	line, err := h.Set(pattern, width, size, leather, "")
	if err != nil {
		return Line{}, err
	}
	if line = line.Share(leather); len(line.Parts) == 0 {
		return Line{}, &hide.Fault{Path: "pattern", Rule: fmt.Sprintf("%s: found no piece of the order's leather, expected at least one", pattern)}
	}
	return line, nil
}

// Role is what a leather can be to a pattern.
type Role int

// The roles of leathers.
const (
	NoRole  Role = iota // the pattern takes none of it
	AsOrder             // the order's leather
	AsLining
	AsNamed // the pattern names it
)

// faceLeast is where lining leather ends and strap leather begins, in
// millimetres: linings are of 2 oz and the faces stitched to them of 4 to 5 oz
// (common practice, no source), and 3 oz lies between.
const faceLeast = 3 * measure.MMPerInch / 64

// Role is what a leather of the workshop is to a pattern, as far as it can be
// told without being said: what the pattern names is only that; what another
// pattern names, such as foam, is nothing to this one; of the rest, leather of
// less than 3 oz lines, and other leather is the order's.
func (h *House) Role(pattern, leather string) Role {
	named := false
	for name, p := range h.patterns { // in any order: it is asked whether any does
		for _, pc := range p.pieces {
			if pc.leather.text == leather {
				if name == pattern {
					return AsNamed
				}
				named = true
			}
		}
	}
	want := AsOrder
	if h.substance(leather, defaultSubstance) < faceLeast {
		want = AsLining
	}
	if p, ok := h.patterns[pattern]; ok && !named {
		for _, pc := range p.pieces {
			if text := pc.leather.text; want == AsOrder && text == orderLeather || want == AsLining && text == orderLining {
				return want
			}
		}
	}
	return NoRole
}

// AnyFor is a leather that can be the order's for a pattern, the first by name, or
// "" if there is none: to count what any of them would give.
func (h *House) AnyFor(pattern string) string {
	for _, name := range h.Leathers() {
		if h.Role(pattern, name) == AsOrder {
			return name
		}
	}
	return ""
}
