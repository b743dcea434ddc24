package measure

import (
	"fmt"
	"math"
	"strconv"
)

// Rule is the workshop's rule: the system it is graduated in, and the distance
// of its marks. Every cut is set to a mark. The zero Rule is a metric one with
// marks a millimetre apart.
type Rule struct {
	System System
	Mark   float64 // mm; 0 or less stands for the mark of RuleOf
}

// RuleOf is the usual rule of a system: marks of 1/32 in, or of 1 mm.
func RuleOf(s System) Rule {
	if s == Inch {
		return Rule{Inch, MMPerInch / 32}
	}
	return Rule{Metric, 1}
}

// onMark is how far from a mark, in millimetres, a length still is on it: a
// hundredth of what a hand can see of 1/32 in would be 1e-3; this only absorbs
// what float64 loses in turning and adding.
const onMark = 1e-6

func (r Rule) mark() float64 {
	if r.Mark > 0 {
		return r.Mark
	}
	return RuleOf(r.System).Mark
}

// Nearest is the mark nearest to a length, both in millimetres; halfway goes
// away from 0.
func (r Rule) Nearest(mm float64) float64 { return r.at(math.Round(mm / r.mark())) }

// Up is the first mark not below a length, both in millimetres. A length
// within 1e-6 mm of a mark is on it.
func (r Rule) Up(mm float64) float64 { return r.at(math.Ceil((mm - onMark) / r.mark())) }

// Down is the last mark not above a length, both in millimetres. A length
// within 1e-6 mm of a mark is on it.
func (r Rule) Down(mm float64) float64 { return r.at(math.Floor((mm + onMark) / r.mark())) }

// at is where the n-th mark stands. Adding 0 makes -0 a plain 0.
func (r Rule) at(n float64) float64 { return n*r.mark() + 0 }

// Length prints a length, given in millimetres, at the nearest mark: "1 3/8
// in", "35 mm".
func (r Rule) Length(mm float64) string {
	if r.System == Metric {
		return decimals(r.Nearest(mm)) + " mm"
	}
	if _, _, ok := r.parts(); !ok {
		return decimals(r.Nearest(mm)/MMPerInch) + " in"
	}
	whole, num, den := r.Marks(mm)
	sign := ""
	if whole < 0 || num < 0 {
		sign, whole, num = "-", -whole, -num
	}
	switch {
	case num == 0:
		return fmt.Sprintf("%s%d in", sign, whole)
	case whole == 0:
		return fmt.Sprintf("%s%d/%d in", sign, num, den)
	default:
		return fmt.Sprintf("%s%d %d/%d in", sign, whole, num, den)
	}
}

// Exact prints a length, given in millimetres, that nobody cuts and that need be at no
// mark: as Length does if it is at one, otherwise to a thousandth: "25.4 mm", "0.984 in".
func (r Rule) Exact(mm float64) string {
	const same = 0.5e-3 // mm
	if math.Abs(r.Nearest(mm)-mm) < same {
		return r.Length(mm)
	}
	return decimals(mm/r.unit()) + map[System]string{Metric: " mm", Inch: " in"}[r.System]
}

// Marks gives the length at the nearest mark as whole units (inches or
// millimetres) and a fraction of one in its lowest terms, so that a sheet can
// set the fraction as such. Without a fraction num is 0 and den 1. Below 0,
// whole and num both carry the sign. Where the marks are no simple part of
// the unit, the fraction is of a thousand.
func (r Rule) Marks(mm float64) (whole, num, den int64) {
	p, q, ok := r.parts()
	n := int64(math.Round(mm/r.mark())) * p
	if !ok {
		q = 1000
		n = int64(math.Round(r.Nearest(mm) / r.unit() * 1000))
	}
	whole, num = n/q, n%q
	if num == 0 {
		return whole, 0, 1
	}
	g := gcd(max(num, -num), q)
	return whole, num / g, q / g
}

func (r Rule) unit() float64 {
	if r.System == Inch {
		return MMPerInch
	}
	return 1
}

// parts gives the mark as p/q of the unit, for a q that rules are made in.
func (r Rule) parts() (p, q int64, ok bool) {
	const finest = 100 // rules have 64ths or 100ths; a millimetre is 5/127 in
	for q := int64(1); q <= finest; q++ {
		p := r.mark() / r.unit() * float64(q)
		if n := math.Round(p); n >= 1 && math.Abs(p-n) < 1e-9*n {
			return int64(n), q, true
		}
	}
	return 0, 0, false
}

func gcd(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// decimals prints to a thousandth, without idle noughts.
func decimals(v float64) string {
	return strconv.FormatFloat(math.Round(v*1000)/1000+0, 'f', -1, 64)
}

// Both prints a length, given in millimetres, in the workshop's own system
// first: "1 3/8 in (34.9 mm)", "35 mm (1 3/8 in)". What stands in brackets is
// the length itself, to a tenth of a millimetre or 1/32 in, not the mark. What
// float64 loses in turning does not tip a tenth.
func (r Rule) Both(mm float64) string {
	if r.System == Inch {
		return fmt.Sprintf("%s (%.1f mm)", r.Length(mm), math.Round(mm*1000)/1000+0)
	}
	return fmt.Sprintf("%s (%s)", r.Length(mm), RuleOf(Inch).Length(mm))
}

// Area prints an area, given in square millimetres, in the workshop's own
// system: "22.8 sq ft", "2.12 m²"; small ones in sq in, dm² or cm².
func (r Rule) Area(mm2 float64) string { return areaIn(r.System, mm2) }

// ColumnArea prints an area, given in square millimetres, as one of a column of figures to
// compare: in sq ft or dm², however small or large it is.
func (r Rule) ColumnArea(mm2 float64) string {
	if r.System == Inch {
		return fmt.Sprintf("%.2f sq ft", SquareFeet(mm2))
	}
	return fmt.Sprintf("%.1f dm²", SquareDecimetres(mm2))
}

// BothAreas prints an area, given in square millimetres, in the workshop's
// own system first: "22.8 sq ft (2.12 m²)".
func (r Rule) BothAreas(mm2 float64) string {
	other := Inch
	if r.System == Inch {
		other = Metric
	}
	return fmt.Sprintf("%s (%s)", areaIn(r.System, mm2), areaIn(other, mm2))
}
