package measure

import "math/big"

// Units of thickness in millimetres, exact.
var (
	ounce = big.NewRat(254, 640) // 1/64 in (common practice, no source; shops round it to 0.4 mm)
	iron  = big.NewRat(254, 480) // 1/48 in (US Federal Test Method Std 311; Dooley 1912 says about 1/32)
)

const (
	thicknessExpected = "a thickness"
	thicknessHint     = "write 3.8mm, 9oz or 5/32in"
)

// Thickness reads the substance of leather in millimetres, greater than 0. v
// is text: ounces (9oz, 9 1/2 oz), irons (7 iron), or a length with its unit. A
// bare number as TOML gives it is millimetres, as the hide file says. A range
// is the caller's to split. The error is an *Error.
func Thickness(v any) (mm float64, err error) {
	if _, ok := v.(string); !ok {
		mm, err = Length(v, 1)
	} else {
		mm, err = thickness(v)
	}
	switch {
	case err != nil:
		return 0, err
	case mm == 0:
		return 0, &Error{Text: show(v), Rule: "0, expected a thickness", Hint: thicknessHint}
	case mm > thickest:
		return 0, &Error{Text: show(v), Rule: "more than 100 mm, expected a thickness", Hint: thicknessHint}
	}
	return mm, nil
}

// thickest is the greatest thickness read, in millimetres: well above any
// leather and any foam. What serves as leather is the hide's to say.
const thickest = 100

func thickness(v any) (float64, error) {
	t, err := text(v, thicknessExpected, thicknessHint)
	if err != nil {
		return 0, err
	}
	s := scanner{text: t, rest: t}
	if s.minus() {
		return 0, s.fail("less than 0, expected a thickness", thicknessHint)
	}
	q, err := s.quantity()
	if err != nil {
		return 0, err
	}
	s.spaces()
	unit := map[string]*big.Rat{"oz": ounce, "ounce": ounce, "ounces": ounce, "iron": iron, "irons": iron}[s.letters()]
	if unit == nil {
		return Length(t, 0)
	}
	s.take(".")
	if !s.done() {
		return 0, s.leftover()
	}
	mm, _ := q.value.Mul(q.value, unit).Float64()
	return mm, nil
}
