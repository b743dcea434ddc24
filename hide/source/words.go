package source

import (
	"fmt"
	"strings"
	"unicode"
)

// Count is a number and a noun: "1 cell", "3 cells".
func Count(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}

// Shorten cuts what a message repeats of a file to a length that a person
// reads: of a longer text its head and tail are kept.
func Shorten(s string) string {
	const head, tail = 120, 60
	r := []rune(s)
	if len(r) <= head+tail {
		return s
	}
	return string(r[:head]) + " ... " + string(r[len(r)-tail:])
}

// Plain is a text on one line for a terminal: what would move the cursor or
// change its colours is shown as Go quotes it.
func Plain(s string) string {
	if strings.IndexFunc(s, unicode.IsControl) < 0 {
		return s
	}
	var out strings.Builder
	for _, r := range s {
		if unicode.IsControl(r) {
			quoted := fmt.Sprintf("%q", r)
			out.WriteString(quoted[1 : len(quoted)-1])
			continue
		}
		out.WriteRune(r)
	}
	return out.String()
}
