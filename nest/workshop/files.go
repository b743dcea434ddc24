package workshop

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"strapwise/hide/source"
	"strapwise/nest"
)

// The files of a workshop, relative to its folder and with / as plans name them.
const (
	RulesFile = "workshop.toml"
	BookFile  = "orders.csv"
)

// read reads a file of the workshop and records it among the inputs. For a
// file that is not there at all the error wraps fs.ErrNotExist.
func (w *Workshop) read(file string) ([]byte, error) {
	data, err := source.ReadFile(filepath.Join(w.Dir, filepath.FromSlash(file)), file, source.Largest)
	if err != nil {
		return nil, err
	}
	sum := sha256.Sum256(data)
	w.Inputs = append(w.Inputs, nest.Input{File: file, SHA256: hex.EncodeToString(sum[:])})
	return data, nil
}

// misnamed are the names under which what is missing may be there.
func (w *Workshop) misnamed(want string) []string {
	entries, err := os.ReadDir(w.Dir)
	if err != nil {
		return nil // what matters in the folder is read by name
	}
	var out []string
	for _, e := range entries {
		name := e.Name()
		like := source.DidYouMean(name, []string{want}) != "" || strings.HasPrefix(strings.ToLower(name), want)
		if like && !kept(name) {
			out = append(out, name)
		}
	}
	return out
}

func (w *Workshop) readBook() error {
	data, err := w.read(BookFile)
	if errors.Is(err, fs.ErrNotExist) {
		hint := "an order book is a CSV file with a row for each order; put it there, or name another folder with --workshop"
		if names := w.misnamed(BookFile); len(names) > 0 {
			hint = fmt.Sprintf("found %s: rename it to %s", strings.Join(names, ", "), BookFile)
		}
		return &source.Error{File: BookFile, Rule: fmt.Sprintf("found no such file in %s, expected the order book", w.Dir), Hint: hint}
	}
	if err != nil {
		return err
	}
	book, err := w.House.Read(BookFile, data)
	if err != nil {
		return err
	}
	w.Lines = book.Lines
	w.Warnings = append(w.Warnings, book.Warnings...)
	return nil
}
