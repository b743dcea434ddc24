package source

import (
	"bytes"
	"errors"
	"strings"

	"github.com/pelletier/go-toml/v2"
)

// TOML decodes a file into the struct or map that into points to. Every key
// must have a place there, with the very name of its toml tag, and every value
// the kind of that place. An interface takes any value; dates decode into
// toml.LocalDate or time.Time. The error is an *Error.
func TOML(file string, data []byte, into any) (*Doc, error) {
	data, err := Text(file, data)
	if err != nil {
		return nil, err
	}
	root, err := plant(data)
	var over *excess
	switch {
	case errors.As(err, &over):
		return nil, &Error{File: file, Line: over.line, Rule: over.rule}
	case err != nil: // the decoder stops at the same place, and knows its line
		var whole map[string]any
		return nil, broken(file, data, toml.Unmarshal(data, &whole))
	}
	doc := &Doc{file: file, root: root}
	if err := doc.fits(into); err != nil {
		return nil, err
	}
	if err := toml.NewDecoder(bytes.NewReader(data)).DisallowUnknownFields().Decode(into); err != nil {
		return nil, broken(file, data, err)
	}
	return doc, nil
}

// broken turns an error of the decoder into one with file and line.
func broken(file string, data []byte, err error) *Error {
	e := &Error{File: file}
	var at *toml.DecodeError
	if errors.As(err, &at) {
		e.Line, _ = at.Position()
		e.Path = path(at.Key())
	}
	e.Rule, e.Hint = plainer(strings.TrimPrefix(err.Error(), "toml: "))
	return e
}

// plainer puts what the decoder says into the words of this tool. What it
// does not know it leaves as it is.
func plainer(said string) (rule, hint string) {
	const (
		noValue  = "found no value, expected text in quotes, a number, a date or a list"
		tooLarge = "a number too large to read"
	)
	for _, p := range []struct{ head, rule, hint string }{
		{"array is incomplete", "the file ends within a list, expected ]", ""},
		{"inline table is incomplete", "the file ends within a table, expected }", ""},
		{"expected ',' or ']'", "expected a comma or ] after this item of the list", ""},
		{"expected ',' or '}'", "expected a comma or } after this value of the table", ""},
		{"literal strings cannot have new lines", "text without its closing ', expected one on the same line", ""},
		{"unterminated literal string", "text without its closing ', expected one on the same line", ""},
		{"basic strings cannot have new lines", "text without its closing \", expected one on the same line", ""},
		{"unterminated basic string", "text without its closing \", expected one on the same line", ""},
		{"expected '=' after key", "expected = after the key", ""},
		{"expected newline but got", "found more after the value, expected the end of the line", "put text in quotes, and a point in decimal numbers"},
		{"expected value, not end of input", noValue, ""},
		{"expected keyword", noValue, "put text in straight quotes"},
		{"unexpected character", noValue, "put text in straight quotes"},
		{"invalid escape", "a backslash that means nothing in text in double quotes", "use single quotes: '1 3/8\"'"},
		{"unable to parse float", tooLarge, ""},
		{"decimal number is too large", tooLarge, ""},
		{"impossible date", "no day of the calendar, expected a date such as 2027-02-11", ""},
	} {
		if strings.HasPrefix(said, p.head) {
			return p.rule, p.hint
		}
	}
	if strings.HasSuffix(said, "already defined") || strings.HasSuffix(said, "already exists") {
		return "given twice, expected once", ""
	}
	return said, ""
}

// path joins keys; the decoder tells no numbers of items.
func path(keys []string) string {
	p := ""
	for _, k := range keys {
		p = Key(p, k)
	}
	return p
}
