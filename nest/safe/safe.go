// Package safe changes files of a folder so that nothing is lost: by one command
// at a time, each change all of it or not at all, whenever the process is killed,
// the power fails or the disk is full.
//
//	.strapwise-lock      held while files are read or changed; the system lets go of
//	                     it when a process dies, so that it cannot go stale
//	.strapwise-change    what is being changed, while it is
//	.NAME.strapwise-new  beside a file NAME: what it is to become
//	.NAME.strapwise-old  and what it was
//
// A change has three steps. First the new files are written beside those that
// they replace, and these get a second name; all that may take room on the disk is
// done by then. Then the list of them is put in its place by one rename: from
// there on the change counts as made. At last the files are put in their places.
// Where the last step was cut short, whoever opens the folder next finishes it;
// where it cannot be done, all files go back to what they were.
package safe

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"github.com/gofrs/flock"

	"strapwise/hide/source"
)

const lockFile = ".strapwise-lock"

// Times of waiting for another command. Each holds a folder for the blink of an
// eye, but on a slow disk.
const (
	patience = 10 * time.Second
	glance   = 20 * time.Millisecond
)

// Error says why files could not be changed though nothing was wrong with what
// was asked.
type Error struct{ What, Help string }

func (e *Error) Error() string { return e.What }

// Folder is a folder that nobody else reads or changes through this package
// until it is closed.
type Folder struct {
	dir  string
	disk Disk
	lock *flock.Flock
}

// Open takes hold of a folder, which is made if it is not there, and finishes a
// change that was cut short. It waits a while for other commands. The error is an
// *Error, or a *source.Error where a file is in its place, or what a change has left
// cannot be understood.
func Open(ctx context.Context, dir string) (*Folder, error) {
	f := &Folder{dir: dir, disk: diskOf(ctx)}
	if info, err := os.Stat(dir); err == nil && !info.IsDir() {
		return nil, &source.Error{File: dir, Rule: "found a file, expected a folder", Hint: "nothing was written; name another folder, or move the file away"}
	}
	if err := f.disk.MkdirAll(dir); err != nil {
		return nil, unwritten(fmt.Errorf("%s: cannot be made a folder: %s", dir, source.Cause(err)))
	}
	f.lock = flock.New(f.at(lockFile), flock.SetPermissions(0o644))
	switch err := take(ctx, f.lock.TryLockContext); {
	case errors.Is(err, errBusy):
		return nil, busy(dir)
	case err != nil:
		return nil, unwritten(fmt.Errorf("%s cannot be locked: %s", f.at(lockFile), source.Cause(err)))
	}
	if err := f.recover(); err != nil {
		f.Close()
		return nil, err
	}
	return f, nil
}

// Close lets go of the folder.
func (f *Folder) Close() { _ = f.lock.Unlock() } // the system does it, should this fail

// Dir is the folder, as Open was given it.
func (f *Folder) Dir() string { return f.dir }

// at is the path of a file of the folder, whose name has / in it.
func (f *Folder) at(name string) string { return filepath.Join(f.dir, filepath.FromSlash(name)) }

// Reading calls read while nobody changes the folder, after a change that was cut
// short has been finished. It leaves no file in a folder that never was changed.
// The error is that of read, or as of Open. read may be called again, and what it
// has read by then is void.
func Reading(ctx context.Context, dir string, read func() error) error {
	for {
		again, err := reading(ctx, dir, read)
		if !again {
			return err
		}
	}
}

// reading is one attempt; it reports whether the folder may have been changed by
// another meanwhile, so that it must be read again.
func reading(ctx context.Context, dir string, read func() error) (again bool, err error) {
	path := filepath.Join(dir, lockFile)
	if !there(path) {
		err = read()
		return there(path), err
	}
	lock := flock.New(path, flock.SetFlag(os.O_RDONLY))
	switch err := take(ctx, lock.TryRLockContext); {
	case errors.Is(err, errBusy):
		return false, busy(dir)
	case err == nil: // else the file system knows no locks, and nobody who needs one changes anything
		defer lock.Close()
	}
	if !there(filepath.Join(dir, changeFile)) {
		return false, read()
	}
	lock.Close()
	f, err := Open(ctx, dir)
	if err != nil {
		return false, err
	}
	defer f.Close()
	return false, read()
}

var errBusy = errors.New("held by another")

func busy(dir string) error {
	return &Error{dir + ": another strapwise is at work in this folder", "wait until it is done, and try again; nothing was replaced"}
}

// take waits a while for a lock. The error is errBusy if another had it all that
// time.
func take(ctx context.Context, try func(context.Context, time.Duration) (bool, error)) error {
	ctx, cancel := context.WithTimeout(ctx, patience)
	defer cancel()
	got, err := try(ctx, glance)
	switch {
	case got:
		return nil
	case errors.Is(err, context.DeadlineExceeded) || errors.Is(err, context.Canceled):
		return errBusy
	}
	return err
}

func there(path string) bool {
	_, err := os.Lstat(path)
	return err == nil
}

// unwritten is the error of a change that was not made.
func unwritten(err error) error {
	return &Error{err.Error(), "nothing was replaced; look whether the disk is full or the folder may not be written"}
}
