package safe_test

import (
	"errors"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"syscall"

	"strapwise/nest/safe"
)

var errDead = errors.New("the power has failed")

// dying is a disk on which the power fails at call number at, in the middle of
// it: of a write, some bytes may have arrived. After that nothing is written.
type dying struct {
	safe.System
	at, calls int
	dead      bool
	rng       *rand.Rand // how much of a write arrives
}

// alive counts a call.
func (d *dying) alive() bool {
	d.dead = d.dead || d.calls == d.at
	d.calls++
	return !d.dead
}

func (d *dying) MkdirAll(dir string) error {
	if _, err := os.Stat(dir); err == nil {
		return nil // it writes nothing
	}
	if !d.alive() {
		return errDead
	}
	return d.System.MkdirAll(dir)
}

func (d *dying) Write(path string, data []byte, mode fs.FileMode) error {
	before := d.dead
	if d.alive() {
		return d.System.Write(path, data, mode)
	}
	if n := d.rng.IntN(len(data) + 2); !before && n <= len(data) {
		_ = d.System.Write(path, data[:n], mode)
	}
	return errDead
}

func (d *dying) Link(path, other string) error {
	if !d.alive() {
		return errDead
	}
	return d.System.Link(path, other)
}

func (d *dying) Rename(from, to string) error {
	if !d.alive() {
		return errDead
	}
	return d.System.Rename(from, to)
}

func (d *dying) Remove(path string) error {
	if !d.alive() {
		return errDead
	}
	return d.System.Remove(path)
}

func (d *dying) SyncFolder(dir string) error {
	if !d.alive() {
		return errDead
	}
	return d.System.SyncFolder(dir)
}

// failing is a disk of which one call fails, and the others do not: the disk is
// full for a while, or another program has a file open.
type failing struct {
	safe.System
	at, calls int
}

func (d *failing) next() error {
	d.calls++
	if d.calls-1 == d.at {
		return syscall.ENOSPC
	}
	return nil
}

func (d *failing) Write(path string, data []byte, mode fs.FileMode) error {
	if err := d.next(); err != nil {
		_ = d.System.Write(path, data[:len(data)/2], mode)
		return &os.PathError{Op: "write", Path: path, Err: err}
	}
	return d.System.Write(path, data, mode)
}

func (d *failing) Link(path, other string) error {
	if err := d.next(); err != nil {
		return err
	}
	return d.System.Link(path, other)
}

func (d *failing) Rename(from, to string) error {
	if err := d.next(); err != nil {
		return err
	}
	return d.System.Rename(from, to)
}

func (d *failing) Remove(path string) error {
	if err := d.next(); err != nil {
		return err
	}
	return d.System.Remove(path)
}

func (d *failing) SyncFolder(dir string) error {
	if err := d.next(); err != nil {
		return err
	}
	return d.System.SyncFolder(dir)
}

// lossy is a disk that forgets, when the power fails, all names that were not
// written through: as a file system may that keeps them in memory for a while.
// Names come back in the opposite order, so many of the last of them.
type lossy struct {
	dying
	undo []undo
}

type undo struct {
	dir string
	do  func()
}

func (d *lossy) remember(path string, do func()) {
	d.undo = append(d.undo, undo{filepath.Dir(path), do})
}

// content puts a file back to what it is now.
func content(path string) func() {
	data, err := os.ReadFile(path)
	return func() {
		if err != nil {
			os.Remove(path)
			return
		}
		os.WriteFile(path, data, 0o644)
	}
}

func (d *lossy) Write(path string, data []byte, mode fs.FileMode) error {
	d.remember(path, content(path))
	return d.dying.Write(path, data, mode)
}

func (d *lossy) Link(path, other string) error {
	d.remember(other, content(other))
	return d.dying.Link(path, other)
}

func (d *lossy) Rename(from, to string) error {
	a, b := content(from), content(to)
	d.remember(to, func() { os.Remove(to); b(); a() }) // a name of its own again
	return d.dying.Rename(from, to)
}

func (d *lossy) Remove(path string) error {
	d.remember(path, content(path))
	return d.dying.Remove(path)
}

func (d *lossy) SyncFolder(dir string) error {
	if err := d.dying.SyncFolder(dir); err != nil {
		return err
	}
	var kept []undo
	for _, u := range d.undo {
		if u.dir != filepath.Clean(dir) {
			kept = append(kept, u)
		}
	}
	d.undo = kept
	return nil
}

// powerCut loses some of what was not written through.
func (d *lossy) powerCut() {
	n := d.rng.IntN(len(d.undo) + 1)
	for i := len(d.undo) - 1; i >= len(d.undo)-n; i-- {
		d.undo[i].do()
	}
}

// stuck is a disk on which the list of a change cannot be taken away.
type stuck struct{ safe.System }

func (d stuck) Remove(path string) error {
	if filepath.Base(path) == ".strapwise-change" {
		return syscall.EROFS
	}
	return d.System.Remove(path)
}
