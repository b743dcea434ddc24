package workshop

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io"
	"io/fs"
	"os"
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
	at := filepath.Join(w.Dir, filepath.FromSlash(file))
	refuse := func(rule string) ([]byte, error) { return nil, &source.Error{File: file, Rule: rule} }
	info, err := os.Stat(at)
	if errors.Is(err, fs.ErrNotExist) {
		if _, err := os.Lstat(at); err == nil {
			return refuse("found a link to nothing, expected a file")
		}
		return nil, err
	}
	switch {
	case err != nil:
		return refuse("cannot be read: " + cause(err))
	case info.IsDir():
		return refuse("found a folder, expected a file")
	case !info.Mode().IsRegular(): // reading a pipe would wait for ever
		return refuse("found something that is no plain file, expected a file")
	}
	f, err := os.Open(at)
	if err != nil {
		return refuse("cannot be read: " + cause(err))
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, source.Largest+1)) // one more, for source.Text to refuse
	if err != nil {
		return refuse("cannot be read: " + cause(err))
	}
	sum := sha256.Sum256(data)
	w.Inputs = append(w.Inputs, nest.Input{File: file, SHA256: hex.EncodeToString(sum[:])})
	return data, nil
}

// cause is an error of the file system without the path, which the message
// names already.
func cause(err error) string {
	if e, ok := errors.AsType[*fs.PathError](err); ok {
		return e.Err.Error()
	}
	return err.Error()
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
