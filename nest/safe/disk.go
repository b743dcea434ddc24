package safe

import (
	"context"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
)

// Disk is what this package asks of a file system when it changes something.
// Each call returns after its work is on its way to the disk; what Write and
// SyncFolder have been called for is on it.
type Disk interface {
	MkdirAll(dir string) error
	Write(path string, data []byte, mode fs.FileMode) error // a new file, complete, or in place of one of that name
	Link(path, other string) error                          // gives a file another name as well
	Rename(from, to string) error                           // in one step, in place of one of that name
	Remove(path string) error
	SyncFolder(dir string) error // the names in it
}

// newMode is that of a new file: others may read it, as far as the user lets them.
const newMode = 0o644

type diskKey struct{}

// On is a context in which folders are opened on another disk: one that fails, for
// tests.
func On(ctx context.Context, d Disk) context.Context { return context.WithValue(ctx, diskKey{}, d) }

func diskOf(ctx context.Context) Disk {
	if d, ok := ctx.Value(diskKey{}).(Disk); ok {
		return d
	}
	return System{}
}

// System is the file system itself.
type System struct{}

// MkdirAll makes a folder, and those that it lies in, if it is not there.
func (s System) MkdirAll(dir string) error {
	if _, err := os.Stat(dir); err == nil {
		return os.MkdirAll(dir, 0o755) // which refuses a file
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return err
	}
	return s.SyncFolder(filepath.Dir(filepath.Clean(dir)))
}

// Write writes a file through to the disk.
func (System) Write(path string, data []byte, mode fs.FileMode) error {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_TRUNC, newMode)
	if err != nil {
		return err
	}
	if _, err = f.Write(data); err == nil && mode != newMode {
		err = f.Chmod(mode)
	}
	if err == nil {
		err = f.Sync()
	}
	if e := f.Close(); err == nil {
		err = e
	}
	return err
}

// Link gives a file a second name, or a copy of that name where the file system
// knows no second names.
func (s System) Link(path, other string) error {
	if err := os.Link(path, other); err == nil {
		return nil
	}
	data, err := os.ReadFile(path)
	if err != nil {
		return err
	}
	return s.Write(other, data, mode(path))
}

// Rename moves a file within a file system.
func (System) Rename(from, to string) error { return os.Rename(from, to) }

// Remove takes a file away.
func (System) Remove(path string) error { return os.Remove(path) }

// SyncFolder writes the names in a folder through to the disk. Windows does so
// by itself.
func (System) SyncFolder(dir string) error {
	if runtime.GOOS == "windows" {
		return nil
	}
	f, err := os.Open(filepath.Clean(dir))
	if err != nil {
		return err
	}
	err = f.Sync()
	if e := f.Close(); err == nil {
		err = e
	}
	return err
}
