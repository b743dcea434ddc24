package measure

import (
	"fmt"
	"math/big"
	"strings"
	"unicode"
	"unicode/utf8"
)

// scanner reads a measure from left to right.
type scanner struct {
	text string // all of it, for messages
	rest string
}

// quantity is a number as the trade writes it, and how it was written.
type quantity struct {
	value    *big.Rat
	fraction bool // with a fraction, not a decimal point
}

// vulgar are the fractions that have a letter of their own.
var vulgar = map[rune][2]int64{
	'½': {1, 2}, '⅓': {1, 3}, '⅔': {2, 3}, '¼': {1, 4}, '¾': {3, 4},
	'⅕': {1, 5}, '⅖': {2, 5}, '⅗': {3, 5}, '⅘': {4, 5}, '⅙': {1, 6}, '⅚': {5, 6},
	'⅐': {1, 7}, '⅛': {1, 8}, '⅜': {3, 8}, '⅝': {5, 8}, '⅞': {7, 8},
	'⅑': {1, 9}, '⅒': {1, 10},
}

func (s *scanner) fail(rule, hint string) error {
	return &Error{Text: s.text, Rule: rule, Hint: hint}
}

func (s *scanner) spaces() { s.rest = strings.TrimLeftFunc(s.rest, unicode.IsSpace) }

func (s *scanner) done() bool { s.spaces(); return s.rest == "" }

// take skips the first of the given marks that comes next, if any does.
func (s *scanner) take(marks ...string) bool {
	for _, m := range marks {
		if after, ok := strings.CutPrefix(s.rest, m); ok {
			s.rest = after
			return true
		}
	}
	return false
}

func (s *scanner) slash() bool  { return s.take("/", "⁄") }
func (s *scanner) hyphen() bool { return s.take("-", "‐", "‑") }
func (s *scanner) minus() bool  { s.spaces(); return s.take("-", "−") }

// digits reads decimal digits, perhaps none.
func (s *scanner) digits() string {
	i := 0
	for i < len(s.rest) && s.rest[i] >= '0' && s.rest[i] <= '9' {
		i++
	}
	d := s.rest[:i]
	s.rest = s.rest[i:]
	return d
}

// letters reads a word in small letters, perhaps none.
func (s *scanner) letters() string {
	i := strings.IndexFunc(s.rest, func(r rune) bool { return !unicode.IsLetter(r) })
	if i < 0 {
		i = len(s.rest)
	}
	w := s.rest[:i]
	s.rest = s.rest[i:]
	return strings.ToLower(w)
}

// vulgar reads a fraction that is one letter.
func (s *scanner) vulgar() *big.Rat {
	r, size := utf8.DecodeRuneInString(s.rest)
	f, ok := vulgar[r]
	if !ok {
		return nil
	}
	s.rest = s.rest[size:]
	return big.NewRat(f[0], f[1])
}

// quantity reads a whole number, a decimal, a fraction, or a whole number and
// a fraction joined by nothing, a space or a hyphen: 2, 2.5, .5, 3/8, 1 3/8,
// 1-3/8, 1⅜. It stops where the unit begins.
func (s *scanner) quantity() (quantity, error) {
	s.spaces()
	if f := s.vulgar(); f != nil {
		return quantity{f, true}, nil
	}
	whole := s.digits()
	number := whole
	if strings.HasPrefix(s.rest, ".") && len(s.rest) > 1 && isDigit(s.rest[1]) {
		s.take(".")
		number += "." + s.digits()
	}
	switch {
	case number == "":
		return quantity{}, s.noNumber()
	case strings.HasPrefix(s.rest, ","):
		return quantity{}, s.fail("a comma in a number, expected a decimal point", "write "+strings.ReplaceAll(s.text, ",", "."))
	case s.slash():
		f, err := s.over(number)
		return quantity{f, true}, err
	}
	value, ok := new(big.Rat).SetString("0" + number)
	if !ok {
		return quantity{}, s.noNumber()
	}
	part, err := s.part()
	if err != nil || part == nil {
		return quantity{value, false}, err
	}
	if whole != number {
		return quantity{}, s.fail("a fraction after a decimal point, expected one or the other", "write 1 3/8in or 1.375in")
	}
	return quantity{value.Add(value, part), true}, nil
}

var one = big.NewRat(1, 1)

// part reads the fraction that may follow a whole number; nil if none does.
func (s *scanner) part() (*big.Rat, error) {
	before := s.rest
	s.spaces()
	hyphen := s.hyphen()
	s.spaces()
	if f := s.vulgar(); f != nil {
		return f, nil
	}
	num := s.digits()
	switch {
	case num == "" && hyphen:
		return nil, s.fail("a hyphen with no fraction after it", "write 1 3/8in or 1-3/8in")
	case num == "":
		s.rest = before
		return nil, nil
	case s.slash():
		return s.over(num)
	case hyphen:
		return nil, s.fail("found a range, expected one measure", "")
	default:
		return nil, s.fail("two numbers side by side, expected one, or a whole number and a fraction", "write 1 3/8in or 35mm")
	}
}

// over reads what stands below the stroke of a fraction.
func (s *scanner) over(above string) (*big.Rat, error) {
	below := s.digits()
	switch {
	case below == "" || strings.Contains(above, "."):
		return nil, s.fail("half a fraction, expected whole numbers above and below the stroke", "write 5/8in")
	case strings.Trim(below, "0") == "":
		return nil, s.fail("a fraction with 0 below the stroke", "write 5/8in")
	case strings.HasPrefix(s.rest, "/") || strings.HasPrefix(s.rest, "⁄"):
		return nil, s.fail("two strokes in one fraction, expected one", "write 5/8in")
	case strings.HasPrefix(s.rest, "."):
		return nil, s.fail("a decimal point below the stroke, expected a whole number", "write 5/8in")
	}
	f, ok := new(big.Rat).SetString(above + "/" + below)
	if !ok {
		return nil, s.noNumber()
	}
	if f.Cmp(one) >= 0 {
		// 13/8in is 1 5/8 by arithmetic, and 1 3/8 with a space lost.
		return nil, s.fail("a fraction of 1 or more, expected the whole number apart", "write 1 5/8in")
	}
	if next := strings.TrimLeftFunc(s.rest, unicode.IsSpace); next != "" && isDigit(next[0]) {
		return nil, s.fail("a number after a fraction, expected the whole number first", "write 1 3/8in")
	}
	return f, nil
}

func isDigit(c byte) bool { return c >= '0' && c <= '9' }

func (s *scanner) noNumber() error {
	if s.rest == "" {
		return s.fail("ends where a number was expected", "")
	}
	r, _ := utf8.DecodeRuneInString(s.rest)
	return s.fail(fmt.Sprintf("found %q where a number was expected", r), "")
}

// leftover is the error for what still stands behind a complete measure.
func (s *scanner) leftover() error {
	return s.fail(fmt.Sprintf("found %q after the measure, expected nothing more", shorten(s.rest)), "")
}
