package report

import (
	"math"
	"strconv"

	"strapwise/hide/measure"
)

// figure sets a length, in millimetres, as a bare figure at the nearest mark
// of the rule: whole and fraction in inches, a decimal in millimetres. The
// unit is said once, at the head of the list.
func figure(rule measure.Rule, mm float64) []Run {
	whole, num, den := rule.Marks(mm)
	if rule.System == measure.Metric || den == 1000 {
		v := float64(whole) + float64(num)/float64(den)
		return words(minus(v < 0) + strconv.FormatFloat(math.Round(math.Abs(v)*1000)/1000, 'f', -1, 64))
	}
	sign := minus(whole < 0 || num < 0)
	whole, num = max(whole, -whole), max(num, -num)
	switch {
	case num == 0:
		return words(sign + strconv.FormatInt(whole, 10))
	case whole == 0 && sign == "":
		return []Run{{Num: num, Den: den}}
	case whole == 0:
		return []Run{{Words: sign}, {Num: num, Den: den}}
	default:
		return []Run{{Words: sign + strconv.FormatInt(whole, 10)}, {Num: num, Den: den}}
	}
}

func minus(negative bool) string {
	if negative {
		return "−"
	}
	return ""
}

// unit is the word for what bare figures count.
func unit(rule measure.Rule) string {
	if rule.System == measure.Inch {
		return "inches"
	}
	return "millimetres"
}

// unitShort is the same, abbreviated.
func unitShort(rule measure.Rule) string {
	if rule.System == measure.Inch {
		return "in"
	}
	return "mm"
}

// join puts texts together.
func join(parts ...[]Run) []Run {
	var out []Run
	for _, p := range parts {
		for _, r := range p {
			if n := len(out); n > 0 && r.Den == 0 && out[n-1].Den == 0 {
				out[n-1].Words += r.Words
				continue
			}
			out = append(out, r)
		}
	}
	return out
}
