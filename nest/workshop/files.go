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
	rulesFile = "workshop.toml"
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

// misnamed warns where what is missing may be there under another name.
func (w *Workshop) misnamed(want string) {
	entries, err := os.ReadDir(w.Dir)
	if err != nil {
		return // what matters in the folder is read by name
	}
	for _, e := range entries {
		name := e.Name()
		like := source.DidYouMean(name, []string{want}) != "" || strings.HasPrefix(strings.ToLower(name), want)
		if like && !kept(name) {
			w.Warnings = append(w.Warnings, fmt.Sprintf("found %s and no %s: expected that name", name, want))
		}
	}
}

func (w *Workshop) readBook() error {
	data, err := w.read(BookFile)
	if errors.Is(err, fs.ErrNotExist) {
		w.misnamed(BookFile)
		return nil
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
