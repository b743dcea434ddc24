package source

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
)

// ReadFile reads a plain file of at most so many bytes; file is its name for
// messages. The error is an *Error, which wraps fs.ErrNotExist if there is no
// file of that name at all.
func ReadFile(at, file string, most int) ([]byte, error) {
	refuse := func(rule string) ([]byte, error) { return nil, &Error{File: file, Rule: rule} }
	info, err := os.Stat(at)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		if _, err := os.Lstat(at); err == nil {
			return refuse("found a link to nothing, expected a file")
		}
		return nil, &Error{File: file, Rule: "found no such file", err: fs.ErrNotExist}
	case err != nil:
		return refuse("cannot be read: " + Cause(err))
	case info.IsDir():
		return refuse("found a folder, expected a file")
	case !info.Mode().IsRegular(): // reading a pipe or a device may never end
		return refuse("found something that is no plain file, expected a file")
	}
	f, err := os.Open(at)
	if err != nil {
		return refuse("cannot be read: " + Cause(err))
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, int64(most)+1)) // whatever size the system tells
	switch {
	case err != nil:
		return refuse("cannot be read: " + Cause(err))
	case len(data) > most:
		return refuse(fmt.Sprintf("larger than %d MB, expected a smaller file", most>>20))
	}
	return data, nil
}

// Cause is what the file system says is wrong, without the path, which a
// message names already.
func Cause(err error) string {
	if e, ok := errors.AsType[*fs.PathError](err); ok {
		return e.Err.Error()
	}
	if e, ok := errors.AsType[*os.LinkError](err); ok {
		return e.Err.Error()
	}
	return err.Error()
}
