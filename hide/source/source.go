// Package source reads the text files that people write: where each value
// stands in them, and the one form of error that names file, line and rule.
package source

import "fmt"

// Error is a mistake in a file, for a person to mend.
type Error struct {
	File string // as the person knows it, relative to the workshop: "hides/ash-3.toml"
	Line int    // from 1; 0 if the file as a whole is meant
	Path string // of the value: "flaws[2].area"; may be empty
	Rule string // what was found and what was expected
	Hint string // what would mend it; may be empty
}

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
