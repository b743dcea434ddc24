package workshop

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io/fs"
	"path/filepath"

	"strapwise/hide/source"
	"strapwise/nest"
)

// The files of a workshop, relative to its folder and with / as plans name them.
const (
	rulesFile = "workshop.toml"
	bookFile  = "orders.csv"
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

func (w *Workshop) readBook() error {
	data, err := w.read(bookFile)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	book, err := w.House.Read(bookFile, data)
	if err != nil {
		return err
	}
	w.Lines = book.Lines
	w.Warnings = append(w.Warnings, book.Warnings...)
	return nil
}
