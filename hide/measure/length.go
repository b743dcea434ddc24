package measure

import (
	"fmt"
	"math"
	"math/big"
	"strconv"
	"strings"
)

// longest is the greatest length, in millimetres, that is read: a kilometre,
// the same bound that plane sets for coordinates. Greater ones are mistakes of
// a unit or of the keyboard.
var longest = big.NewRat(1e6, 1)

// Units of length in millimetres, exact. The inch is the international inch.
var (
	millimetre = big.NewRat(1, 1)
	centimetre = big.NewRat(10, 1)
	decimetre  = big.NewRat(100, 1)
	metre      = big.NewRat(1000, 1)
	inch       = big.NewRat(254, 10)
	foot       = big.NewRat(3048, 10)
)

// words are the units of length that are spelt; the primes are read apart.
var words = map[string]*big.Rat{
	"mm": millimetre, "cm": centimetre, "m": metre,
	"in": inch, "inch": inch, "inches": inch,
	"ft": foot, "foot": foot, "feet": foot,
}

const (
	lengthExpected = "a length"
	lengthHint     = "write 35mm or 1 3/8in"
)

// Length reads a length in millimetres, 0 or more. v is text with a unit
// (35mm, 3.5cm, 0.9m, 1 3/8", 5/8in, 2'6", 2ft 6in, 1⅜"), or a bare number:
// an int64 or float64 as TOML gives them, or text without a unit. A bare number
// is a length only where bare, the millimetres that one of it stands for, is
// greater than 0; with a fraction, only where it stands for inches, since
// "1 3/8" among millimetres is most likely meant in inches. Text with two
// meanings is refused. The error is an *Error.
func Length(v any, bare float64) (mm float64, err error) {
	mm, err = Coordinate(v, bare)
	if err == nil && (mm < 0 || math.Signbit(mm)) {
		return 0, &Error{Text: show(v), Rule: "less than 0, expected a length"}
	}
	return mm, err
}

// Coordinate reads a place on an axis in millimetres: a length as Length
// reads it, or one with a minus sign before it.
func Coordinate(v any, bare float64) (mm float64, err error) {
	switch n := v.(type) {
	case int:
		return number(float64(n), bare)
	case int64:
		return number(float64(n), bare)
	case float64:
		return number(n, bare)
	}
	s, err := text(v, lengthExpected, lengthHint)
	if err != nil {
		return 0, err
	}
	scan := scanner{text: s, rest: s}
	negative := scan.minus()
	r, err := scan.length(bare)
	if err != nil {
		return 0, err
	}
	if r.Cmp(longest) > 0 {
		return 0, tooLong(s)
	}
	mm, _ = r.Float64()
	if negative && mm != 0 {
		mm = -mm
	}
	return mm, nil
}

// number is the length of a bare number.
func number(n, bare float64) (float64, error) {
	written := strconv.FormatFloat(n, 'g', -1, 64)
	switch {
	case math.IsNaN(n) || math.IsInf(n, 0):
		return 0, &Error{Text: strings.ToLower(written), Rule: "not a number, expected a length", Hint: lengthHint}
	case math.Abs(n) > 1e6: // whatever the unit; a huge exponent makes exact arithmetic slow
		return 0, tooLong(written)
	case bare <= 0:
		return 0, noUnit(written)
	case n == 0:
		return 0, nil
	case bare == 1 || math.Abs(n) < 1e-9:
		return n * bare, nil
	}
	// What was typed is the decimal, not the nearest binary fraction to it.
	r, _ := new(big.Rat).SetString(written)
	r.Mul(r, exact(bare))
	if new(big.Rat).Abs(r).Cmp(longest) > 0 {
		return 0, tooLong(written)
	}
	mm, _ := r.Float64()
	return mm, nil
}

// exact is the decimal that prints as f.
func exact(f float64) *big.Rat {
	r, _ := new(big.Rat).SetString(strconv.FormatFloat(f, 'g', -1, 64))
	return r
}

func noUnit(s string) error {
	s = strings.TrimSpace(s)
	return &Error{Text: s, Rule: "a number without a unit, expected a length", Hint: fmt.Sprintf("write %smm or %sin", s, s)}
}

func tooLong(s string) error {
	return &Error{Text: s, Rule: "longer than a kilometre, expected a length", Hint: lengthHint}
}

// length reads all that is left as one length.
func (s *scanner) length(bare float64) (*big.Rat, error) {
	first, err := s.quantity()
	if err != nil {
		return nil, err
	}
	if s.done() {
		switch {
		case bare <= 0:
			return nil, noUnit(s.text)
		case first.fraction && bare != MMPerInch:
			return nil, s.fail("a fraction without a unit, among numbers that are not inches", fmt.Sprintf("write %sin", strings.TrimSpace(s.text)))
		}
		return first.value.Mul(first.value, exact(bare)), nil
	}
	unit, err := s.unit()
	if err != nil {
		return nil, err
	}
	mm := new(big.Rat).Mul(first.value, unit)
	if s.done() {
		return mm, nil
	}
	if unit != foot {
		return nil, s.leftover()
	}
	inches, err := s.inches(first)
	if err != nil {
		return nil, err
	}
	return mm.Add(mm, inches), nil
}

// inches reads the inches that follow feet.
func (s *scanner) inches(feet quantity) (*big.Rat, error) {
	s.hyphen() // drawings write 2'-6"
	q, err := s.quantity()
	if err != nil {
		return nil, err
	}
	if s.done() {
		return nil, s.fail("a number without a unit after feet, expected inches", fmt.Sprintf(`write %s"`, strings.TrimSpace(s.text)))
	}
	unit, err := s.unit()
	switch {
	case err != nil:
		return nil, err
	case unit != inch:
		return nil, s.fail("feet followed by another unit, expected inches", `write 2'6" or 2ft 6in`)
	case !s.done():
		return nil, s.leftover()
	case !feet.value.IsInt() || feet.fraction:
		return nil, s.fail("parts of a foot followed by inches, expected whole feet", `write 2'6" or 2.5ft`)
	case q.value.Cmp(big.NewRat(12, 1)) >= 0:
		return nil, s.fail("12 inches or more after feet, expected less than a foot", `write 3'2", not 2'14"`)
	}
	return q.value.Mul(q.value, inch), nil
}

// unit reads a unit of length.
func (s *scanner) unit() (*big.Rat, error) {
	s.spaces()
	switch {
	case s.take(`"`, "″", "”", "''", "′′", "’’"):
		return inch, nil
	case s.take("'", "′", "’"):
		return foot, nil
	}
	before := s.rest
	word := s.letters()
	if unit, ok := words[word]; ok {
		s.take(".") // in. and ft.
		return unit, nil
	}
	if word == "" {
		s.rest = before
		return nil, s.leftover()
	}
	return nil, s.fail(fmt.Sprintf("unknown unit %q, expected mm, cm, m, in or ft", word), lengthHint)
}
