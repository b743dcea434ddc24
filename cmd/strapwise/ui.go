package main

import (
	"encoding/json"
	"fmt"
	"io"
	"os"
	"strings"
	"text/tabwriter"
)

// The rules of what is printed. Results go to stdout, all else to stderr.
// Messages are lower case and end without a full stop. An error is one line
// that says what was found and what was expected, then, where there is one, a
// line with a hint. Progress is shown on a terminal only, in one line that is
// wiped before anything else is printed. --quiet leaves results and errors;
// --json turns results into one JSON value.

// ui is where a command prints, and the flags that every command has.
type ui struct {
	out, errs io.Writer
	terminal  bool // stderr is one
	line      bool // a line of progress stands on it

	workshop    string
	json, quiet bool
}

func newUI(out, errs io.Writer) *ui { return &ui{out: out, errs: errs, terminal: isTerminal(errs)} }

// isTerminal reports whether a person is likely to watch what is written.
func isTerminal(w io.Writer) bool {
	f, ok := w.(*os.File)
	if !ok {
		return false
	}
	info, err := f.Stat()
	return err == nil && info.Mode()&os.ModeCharDevice != 0
}

// text prints a result for people.
func (u *ui) text(format string, args ...any) {
	u.wipe()
	fmt.Fprintf(u.out, format, args...)
}

// table prints rows of cells in aligned columns; cells of a row are parted by tabs.
func (u *ui) table(rows []string) {
	u.wipe()
	w := tabwriter.NewWriter(u.out, 0, 0, 2, ' ', 0)
	for _, r := range rows {
		fmt.Fprintln(w, r)
	}
	w.Flush()
}

// value prints a result as JSON.
func (u *ui) value(v any) error {
	u.wipe()
	e := json.NewEncoder(u.out)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(v)
}

// note tells of something beside the result.
func (u *ui) note(format string, args ...any) {
	if !u.quiet {
		u.wipe()
		fmt.Fprintf(u.errs, format+"\n", args...)
	}
}

// fail prints an error and what would help.
func (u *ui) fail(what, help string) {
	u.wipe()
	fmt.Fprintf(u.errs, "strapwise: %s\n", what)
	if help != "" {
		fmt.Fprintf(u.errs, "hint: %s\n", help)
	}
}

// progress replaces the line of progress.
func (u *ui) progress(format string, args ...any) {
	if u.quiet || !u.terminal {
		return
	}
	fmt.Fprintf(u.errs, "\r%-70s", fmt.Sprintf(format, args...))
	u.line = true
}

func (u *ui) wipe() {
	if u.line {
		fmt.Fprintf(u.errs, "\r%s\r", strings.Repeat(" ", 70))
		u.line = false
	}
}
