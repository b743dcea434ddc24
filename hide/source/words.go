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

// Quoted is the most letters that a message repeats of what a file says.
const Quoted = 60

// Shorten cuts a text to so many letters, of which two thirds are its head and
// one its tail.
func Shorten(s string, most int) string {
	if len(s) <= most {
		return s
	}
	r := []rune(s)
	if len(r) <= most {
		return s
	}
	tail := most / 3
	return string(r[:most-tail]) + " ... " + string(r[len(r)-tail:])
}

// IsControl reports whether a letter is none that could be printed: it moves the cursor of a
// terminal, or turns what follows it to be read from the right, figures too.
func IsControl(r rune) bool { return unicode.IsControl(r) || unicode.Is(unicode.Bidi_Control, r) }

// Plain is a text on one line for a terminal: what would move the cursor,
// change its colours or turn words round is shown as Go quotes it.
func Plain(s string) string {
	if strings.IndexFunc(s, IsControl) < 0 {
		return s
	}
	var out strings.Builder
	for _, r := range s {
		if IsControl(r) {
			quoted := fmt.Sprintf("%q", r)
			out.WriteString(quoted[1 : len(quoted)-1])
			continue
		}
		out.WriteRune(r)
	}
	return out.String()
}
