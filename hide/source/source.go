// Package source reads the text files that people write: where each value
// stands in them, and the one form of error that names file, line and rule.
package source

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"unicode/utf8"

	"strapwise/hide/measure"
)

// Error is a mistake in a file, for a person to mend.
type Error struct {
	File string // as the person knows it, relative to the workshop: "hides/ash-3.toml"
	Line int    // from 1; 0 if the file as a whole is meant
	Path string // of the value: "flaws[2].area", items counted from 0; may be empty
	Rule string // what was found and what was expected
	Hint string // what would mend it; may be empty

	err error // what it wraps, if anything
}

// Unwrap gives fs.ErrNotExist for a file that is not there.
func (e *Error) Unwrap() error { return e.err }

// Error gives one line: "hides/ash-3.toml:14: flaws[2].area: the outline
// crosses itself near (120, 44)". The hint is left to the caller to print.
func (e *Error) Error() string {
	s := e.File
	if e.Line > 0 {
		s = fmt.Sprintf("%s:%d", s, e.Line)
	}
	if e.Path != "" {
		s += ": " + e.Path
	}
	return s + ": " + e.Rule
}

// As finds the mistake in a file among the errors that err wraps.
func As(err error) (*Error, bool) {
	var e *Error
	ok := errors.As(err, &e)
	return e, ok
}

// Largest is the most bytes that a file written by hand may have. A hide of a hundred thousand
// corners has two million.
const Largest = 8 << 20

// Text checks that data is text as people write it, and returns it without a
// byte-order mark. The error is an *Error.
func Text(file string, data []byte) ([]byte, error) {
	at := func(i int) int { return 1 + bytes.Count(data[:i], []byte("\n")) }
	if len(data) > Largest {
		return nil, &Error{File: file, Line: at(Largest), Rule: fmt.Sprintf("larger than %d MB, expected a file written by hand", Largest>>20)}
	}
	if bytes.HasPrefix(data, []byte("\xff\xfe")) || bytes.HasPrefix(data, []byte("\xfe\xff")) {
		return nil, &Error{File: file, Line: 1, Rule: "text in UTF-16, expected UTF-8", Hint: "save it again with the encoding UTF-8"}
	}
	if i := bytes.IndexByte(data, 0); i >= 0 {
		return nil, &Error{File: file, Line: at(i), Rule: "found a NUL byte, expected text"}
	}
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	for i := 0; i < len(data); {
		r, size := utf8.DecodeRune(data[i:])
		if r == utf8.RuneError && size == 1 {
			return nil, &Error{File: file, Line: at(i), Rule: fmt.Sprintf("found the byte %#02x, which is no text in UTF-8", data[i]), Hint: "save it again with the encoding UTF-8"}
		}
		i += size
	}
	return data, nil
}

// Doc is a file that has been read: it knows on which line each value stands.
// The zero Doc knows none.
type Doc struct {
	file string
	root *node
}

// File is the file's name as it was given.
func (d *Doc) File() string { return d.file }

// Line is the line, from 1, on which the value at a path stands: "leather",
// "flaws[2].area" (items counted from 0), "patterns.raised.pieces.main.length".
// For a value that is not in the file it is the line of the nearest parent
// that is, and 0 if there is none.
func (d *Doc) Line(path string) int {
	n := d.root
	if n == nil {
		return 0
	}
	line := 0
	for _, step := range steps(path) {
		if n = n.child(step); n == nil {
			break
		}
		line = n.line
	}
	return line
}

// Has reports whether there is a value at a path.
func (d *Doc) Has(path string) bool {
	n := d.root
	for _, step := range steps(path) {
		if n != nil {
			n = n.child(step)
		}
	}
	return n != nil
}

// Fault is the error for the value at a path.
func (d *Doc) Fault(path, rule, hint string) *Error {
	return &Error{File: d.file, Line: d.Line(path), Path: path, Rule: rule, Hint: hint}
}

// Wrap is the error for the value at a path whose reading failed with err; it
// keeps the hint of a *measure.Error.
func (d *Doc) Wrap(path string, err error) *Error {
	hint := ""
	var m *measure.Error
	if errors.As(err, &m) {
		hint = m.Hint
	}
	return d.Fault(path, err.Error(), hint)
}

// Key is the path of a key within the table at parent, "" being the file. A
// key that is not a plain word is quoted, as in TOML.
func Key(parent, key string) string {
	plain := key != "" && strings.IndexFunc(key, func(r rune) bool {
		return r != '-' && r != '_' && (r < '0' || r > '9') && (r < 'a' || r > 'z') && (r < 'A' || r > 'Z')
	}) < 0
	if !plain {
		key = fmt.Sprintf("%q", key)
	}
	if parent == "" {
		return key
	}
	return parent + "." + key
}

// Item is the path of item i, counted from 0, of the list at parent.
func Item(parent string, i int) string { return fmt.Sprintf("%s[%d]", parent, i) }
