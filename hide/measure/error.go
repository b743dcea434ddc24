package measure

import (
	"fmt"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Error says why a text is not the measure that was asked for.
type Error struct {
	Text string // as found
	Rule string // what is wrong, and what was expected
	Hint string // what would mend it; may be empty
}

// Error is the text in quotes and the rule: `"1,5mm": a comma in a number,
// expected a decimal point`. The hint is left to the caller.
func (e *Error) Error() string { return quote(e.Text) + ": " + e.Rule }

// quote puts a text in quotes, in single ones if it has double ones for inches.
func quote(s string) string {
	if strings.Contains(s, `"`) && strings.IndexFunc(s, isOdd) < 0 {
		return "'" + s + "'"
	}
	return strconv.Quote(s)
}

func isOdd(r rune) bool { return !unicode.IsPrint(r) || r == '\'' || r == utf8.RuneError }

// found describes a value of a file that is no text, for messages.
func found(v any) string {
	switch v.(type) {
	case nil:
		return "nothing"
	case bool:
		return "true or false"
	case int, int64, float64:
		return "a number"
	case []any:
		return "a list"
	case map[string]any:
		return "a table"
	case string:
		return "text"
	default:
		return "a date or time"
	}
}

// text returns the text that v is, within reason, or an error that says what
// was expected in its place.
func text(v any, expected, hint string) (string, error) {
	s, ok := v.(string)
	if !ok {
		return "", &Error{Text: show(v), Rule: fmt.Sprintf("found %s, expected %s", found(v), expected), Hint: hint}
	}
	if strings.TrimSpace(s) == "" {
		return "", &Error{Text: s, Rule: "found no text, expected " + expected, Hint: hint}
	}
	if len(s) > longestText {
		return "", &Error{Text: shorten(s), Rule: fmt.Sprintf("longer than %d letters, expected %s", longestText, expected), Hint: hint}
	}
	return s, nil
}

// longestText is the most bytes that any measure may have: several times what
// the longest sensible one takes, and few enough that exact arithmetic on it
// is quick.
const longestText = 64

// show is a value as messages repeat it.
func show(v any) string { return shorten(fmt.Sprint(v)) }

// shorten keeps the head of a text that is too long to repeat in a message.
func shorten(s string) string {
	const keep = 40
	if len(s) <= keep {
		return s
	}
	return strings.ToValidUTF8(s[:keep], "") + "..."
}
