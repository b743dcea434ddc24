// Package money is money as files write it: amounts, rates for a length or an
// area, shares in per cent, and a sum shared out to the penny.
package money

import (
	"fmt"
	"math/big"
	"regexp"
	"strconv"
	"strings"

	"github.com/shopspring/decimal"

	"strapwise/hide/measure"
)

// Places is how many decimals of money are paid: the penny, the cent.
const Places = 2

// Error says why a value of a file is no money.
type Error struct {
	Rule string // what was found and what was expected
	Hint string // what would mend it; may be empty
}

func (e *Error) Error() string { return e.Rule }

// plain is money as files write it: no sign, no exponent, no currency.
var plain = regexp.MustCompile(`^\d{1,9}(\.\d{1,6})?$`)

// Amount reads money of 0 or more: text, or an int64 or float64 as TOML gives
// them. The error is an *Error.
func Amount(v any) (decimal.Decimal, error) {
	text := ""
	switch n := v.(type) {
	case string:
		text = n
	case int64:
		text = strconv.FormatInt(n, 10)
	case float64:
		text = strconv.FormatFloat(n, 'f', -1, 64)
	}
	if !plain.MatchString(text) {
		return decimal.Decimal{}, &Error{
			fmt.Sprintf("found %q, expected money such as 96.50", shorten(v)),
			"write the amount alone, below a thousand million, with a decimal point and at most 6 decimals",
		}
	}
	return decimal.RequireFromString(text), nil
}

// Rate is money, or anything else counted exactly, for a length or an area.
type Rate struct {
	Amount decimal.Decimal
	Per    decimal.Decimal // mm or mm², more than 0
}

// Of is what so many mm or mm² come to. It is not rounded to the penny.
func (r Rate) Of(quantity float64) decimal.Decimal {
	const places = 12 // below any penny, for any hide
	return r.Amount.Mul(decimal.NewFromFloat(quantity)).DivRound(r.Per, places)
}

// PerLength reads a rate such as "0.04/m" or "3.50/100m". The error is an *Error.
func PerLength(v any) (Rate, error) {
	return rate(v, `a number for a length such as "0.90/m"`, func(per string) (decimal.Decimal, error) {
		if per[0] < '0' || per[0] > '9' {
			per = "1" + per
		}
		mm, err := measure.Length(per, 0)
		return decimal.NewFromFloat(mm), err
	})
}

// PerArea reads a rate such as "7.20/sqft" or "280.00/22 sqft". The error is an
// *Error.
func PerArea(v any) (Rate, error) {
	return rate(v, `money for an area such as "7.20/sqft"`, func(per string) (decimal.Decimal, error) {
		read := measure.ExactUnit
		if per[0] >= '0' && per[0] <= '9' {
			read = func(per string) (*big.Rat, error) { return measure.ExactArea(per) }
		}
		mm2, err := read(per)
		if err != nil {
			return decimal.Decimal{}, err
		}
		return decimal.NewFromBigRat(mm2, 12), nil
	})
}

func rate(v any, expected string, per func(text string) (decimal.Decimal, error)) (Rate, error) {
	text, _ := v.(string)
	amount, unit, both := strings.Cut(text, "/")
	wrong := &Error{Rule: fmt.Sprintf("found %q, expected %s", shorten(v), expected)}
	if !both || strings.TrimSpace(unit) == "" {
		return Rate{}, wrong
	}
	a, err := Amount(strings.TrimSpace(amount))
	if err != nil {
		wrong.Hint = "write the number without a sign or a currency, with a decimal point and at most 6 decimals"
		return Rate{}, wrong
	}
	p, err := per(strings.TrimSpace(unit))
	if err != nil || !p.IsPositive() {
		return Rate{}, wrong
	}
	return Rate{a, p}, nil
}

var percent = regexp.MustCompile(`^(\d{1,3}(?:\.\d{1,4})?)\s*%$`)

// Percent reads a share such as "12.5%", and returns it as a part of 1. The
// error is an *Error.
func Percent(v any) (decimal.Decimal, error) {
	text, _ := v.(string)
	m := percent.FindStringSubmatch(strings.TrimSpace(text))
	if m == nil {
		return decimal.Decimal{}, &Error{fmt.Sprintf("found %q, expected a share such as \"20%%\"", shorten(v)), `write "20%" or "7.5%", in quotes`}
	}
	return decimal.RequireFromString(m[1]).Shift(-2), nil
}

func shorten(v any) string {
	const most = 60
	s := fmt.Sprint(v)
	if r := []rune(s); len(r) > most {
		return string(r[:most]) + "..."
	}
	return s
}
