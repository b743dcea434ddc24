package measure

import (
	"fmt"
	"math"
)

const (
	angleExpected = "an angle"
	angleHint     = "write 12deg"
)

// ParseAngle reads an angle: 12deg, 12°, -3.5 deg, 0.2rad. A number without a
// unit is refused, and so is more than a full turn. The error is an *Error.
func ParseAngle(v any) (Angle, error) {
	t, err := text(v, angleExpected, angleHint)
	if err != nil {
		return 0, err
	}
	s := scanner{text: t, rest: t}
	negative := s.minus()
	q, err := s.quantity()
	if err != nil {
		return 0, err
	}
	n, _ := q.value.Float64()
	unit, err := s.angleUnit()
	if err != nil {
		return 0, err
	}
	if !s.done() {
		return 0, s.leftover()
	}
	a := Angle(n) * unit
	if a > 2*math.Pi+1e-12 {
		return 0, s.fail("more than a full turn, expected an angle", angleHint)
	}
	if negative && a != 0 {
		a = -a
	}
	return a, nil
}

func (s *scanner) angleUnit() (Angle, error) {
	if s.done() {
		return 0, s.fail("a number without a unit, expected an angle", fmt.Sprintf("write %sdeg", s.text))
	}
	if s.take("°") {
		return Degree, nil
	}
	switch word := s.letters(); word {
	case "deg", "degree", "degrees":
		return Degree, nil
	case "rad", "radian", "radians":
		return Radian, nil
	case "":
		return 0, s.leftover()
	default:
		return 0, s.fail(fmt.Sprintf("unknown unit %q, expected deg or rad", word), angleHint)
	}
}
