package main

import (
	"bufio"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"strings"
	"text/tabwriter"

	"golang.org/x/term"

	"strapwise/hide/source"
	"strapwise/nest/workshop"
)

// The rules of what is printed. Results go to stdout, all else to stderr.
// Messages are lower case and end without a full stop. An error is one line
// that says what was found and what was expected, then, where there is one, a
// line with a hint. Progress is shown on a terminal only, in one line that is
// wiped before anything else is printed. A question is asked only of a terminal. --quiet leaves results and errors;
// --json turns results into one JSON value. Whatever a message repeats of a file,
// it fits on a screen and moves no cursor. A result that cannot be written is an
// error like any other.

// ui is where a command prints, and the flags that every command has.
type ui struct {
	out      *sink
	errs     io.Writer
	terminal bool // stderr is one
	line     bool // a line of progress stands on it
	in       *bufio.Reader
	asks     bool // stdin is a terminal, so that somebody can answer
	lacking  bool // it has been told that a PDF lacks letters

	workshop    string
	json, quiet bool
}

func newUI(out, errs io.Writer) *ui {
	return &ui{out: &sink{w: out}, errs: errs, terminal: isTerminal(errs), in: bufio.NewReader(os.Stdin), asks: term.IsTerminal(int(os.Stdin.Fd()))}
}

// sink is a writer that keeps its first error, so that it need not be asked for
// at each line.
type sink struct {
	w   io.Writer
	err error
}

func (s *sink) Write(data []byte) (n int, err error) {
	if s.err == nil {
		n, s.err = s.w.Write(data)
	}
	return n, s.err
}

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

// value prints a result as JSON. The error is that of a value which has none.
func (u *ui) value(v any) error {
	u.wipe()
	e := json.NewEncoder(u.out)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	if err := e.Encode(v); err != nil && u.out.err == nil {
		return &shortfall{"the result cannot be told as JSON: " + err.Error(), ""}
	}
	return nil
}

// longestLine is the most letters of a message: half a screen.
const longestLine = 1000

func message(s string) string { return source.Plain(source.Shorten(s, longestLine)) }

// note tells of something beside the result.
func (u *ui) note(format string, args ...any) {
	if !u.quiet {
		u.wipe()
		fmt.Fprintln(u.errs, message(fmt.Sprintf(format, args...)))
	}
}

// notes tells what a person should know of the workshop.
func (u *ui) notes(w *workshop.Workshop) {
	for _, s := range w.Warnings {
		u.note("note: %s", s)
	}
}

// fail prints an error and what would help.
func (u *ui) fail(what, help string) {
	u.wipe()
	fmt.Fprintf(u.errs, "strapwise: %s\n", message(what))
	if help != "" {
		fmt.Fprintf(u.errs, "hint: %s\n", message(help))
	}
}

// question asks for a line, and reports false if nobody will answer any more.
func (u *ui) question(ask string) (answer string, ok bool) {
	u.wipe()
	fmt.Fprintf(u.errs, "%s ", ask)
	line, err := u.in.ReadString('\n')
	if err != nil {
		fmt.Fprintln(u.errs)
	}
	return strings.TrimSpace(line), err == nil || line != ""
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
