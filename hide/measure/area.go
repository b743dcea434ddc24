package measure

import (
	"fmt"
	"math"
	"math/big"
)

const (
	areaExpected = "an area"
	areaHint     = "write 22 3/4 sqft, 211dm2 or 2.11m2"
)

// largest is the greatest area, in square millimetres, that is read: a square
// of 20 m, about eighty times the largest hide.
var largest = big.NewRat(4e8, 1)

// Area reads an area in square millimetres, greater than 0. v is text: a number
// and a unit (13 3/4 sqft, sq ft, ft2, ft², 211 dm2, dm², sq dm, 2.11 m2, m²), or
// the stamp on a hide, in square feet: 22³ is 22 3/4 sq ft (college handout on
// measuring straps), and so is 22.3, where the point sets off quarters, not
// tenths (common practice, no source). A stamp with a point is one only if no
// unit follows and the figure behind the point is 1, 2 or 3. The error is an
// *Error.
func Area(v any) (mm2 float64, err error) {
	r, err := ExactArea(v)
	if err != nil {
		return 0, err
	}
	mm2, _ = r.Float64()
	return mm2, nil
}

// ExactArea is Area without rounding, for money.
func ExactArea(v any) (mm2 *big.Rat, err error) {
	t, err := text(v, areaExpected, areaHint)
	if err != nil {
		return nil, err
	}
	s := scanner{text: t, rest: t}
	if s.minus() {
		return nil, s.fail("less than 0, expected an area", areaHint)
	}
	r, err := s.area()
	switch {
	case err != nil:
		return nil, err
	case r.Sign() == 0:
		return nil, s.fail("0, expected an area", areaHint)
	case r.Cmp(largest) > 0:
		return nil, s.fail("larger than 400 m², expected the area of a hide", areaHint)
	}
	return r, nil
}

// ExactUnit reads a unit of area by itself, as prices name it after a stroke:
// sqft, dm², m2. It returns the square millimetres of one. The error is an
// *Error.
func ExactUnit(t string) (mm2 *big.Rat, err error) {
	if _, err := text(t, "a unit of area", areaHint); err != nil {
		return nil, err
	}
	s := scanner{text: t, rest: t}
	side, err := s.square()
	if err != nil {
		return nil, err
	}
	if !s.done() {
		return nil, s.leftover()
	}
	return new(big.Rat).Mul(side, side), nil
}

func (s *scanner) area() (*big.Rat, error) {
	if r := s.stamp(); r != nil {
		return r, nil
	}
	q, err := s.quantity()
	if err != nil {
		return nil, err
	}
	if s.done() {
		return nil, s.fail("a number without a unit, expected an area", areaHint)
	}
	side, err := s.square()
	if err != nil {
		return nil, err
	}
	if !s.done() {
		return nil, s.leftover()
	}
	return q.value.Mul(q.value, new(big.Rat).Mul(side, side)), nil
}

// stamp reads all that is left as a stamped area, or reads nothing and
// returns nil.
func (s *scanner) stamp() *big.Rat {
	before := s.rest
	s.spaces()
	feet, ok := new(big.Rat).SetString(s.digits())
	point := s.take(".")
	n := int64(0)
	for i, mark := range []string{"¹", "²", "³"} {
		if point {
			mark = "123"[i : i+1]
		}
		if s.take(mark) {
			n = int64(i + 1)
			break
		}
	}
	whole := s.done()
	if !whole && !point && n > 0 { // 22³ sq ft says the same twice
		side, err := s.square()
		whole = err == nil && side == foot && s.done()
	}
	if !ok || n == 0 || !whole {
		s.rest = before
		return nil
	}
	feet.Add(feet, big.NewRat(n, 4))
	return feet.Mul(feet, new(big.Rat).Mul(foot, foot))
}

// square reads a unit of area and returns the side of its square.
func (s *scanner) square() (*big.Rat, error) {
	s.spaces()
	word := s.letters()
	s.take(".")
	if rest, ok := cutSquare(word); ok {
		if rest == "" {
			s.spaces()
			rest = s.letters()
			s.take(".")
		}
		if side := squareSide(rest); side != nil {
			return side, nil
		}
	} else if side := squareSide(word); side != nil {
		if s.take("2", "²") {
			return side, nil
		}
		return nil, s.fail(fmt.Sprintf("found the length %q, expected an area", word), areaHint)
	}
	return nil, s.fail("unknown unit of area, expected sqft, dm2 or m2", areaHint)
}

// cutSquare removes the word for square from the head of a unit.
func cutSquare(word string) (rest string, ok bool) {
	for _, sq := range []string{"square", "sq"} {
		if len(word) >= len(sq) && word[:len(sq)] == sq {
			return word[len(sq):], true
		}
	}
	return word, false
}

func squareSide(word string) *big.Rat {
	if word == "dm" {
		return decimetre
	}
	return words[word]
}

// SquareFeet is an area, given in square millimetres, in square feet.
func SquareFeet(mm2 float64) float64 { return mm2 / MM2PerSqFt }

// SquareDecimetres is an area, given in square millimetres, in dm².
func SquareDecimetres(mm2 float64) float64 { return mm2 / MM2PerDM2 }

// areaIn prints an area in one system, to about a twentieth or better: square
// feet and square metres, small areas in the next smaller unit.
func areaIn(s System, mm2 float64) string {
	abs := math.Abs(mm2)
	switch {
	case s == Inch && abs < 0.1*MM2PerSqFt && mm2 != 0:
		return fmt.Sprintf("%.1f sq in", mm2/(MMPerInch*MMPerInch))
	case s == Inch && abs < MM2PerSqFt && mm2 != 0:
		return fmt.Sprintf("%.2f sq ft", SquareFeet(mm2))
	case s == Inch:
		return fmt.Sprintf("%.1f sq ft", SquareFeet(mm2))
	case abs < MM2PerDM2 && mm2 != 0:
		return fmt.Sprintf("%.1f cm²", mm2/100)
	case abs < 100*MM2PerDM2:
		return fmt.Sprintf("%.1f dm²", SquareDecimetres(mm2))
	default:
		return fmt.Sprintf("%.2f m²", mm2/1e6)
	}
}
