package safe

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"strapwise/hide/source"
)

// File is what a change makes of one file.
type File struct {
	Name string // relative to the folder, with / in it
	Data []byte
	Gone bool // it is taken away
}

// The endings of what lies beside a file while it is changed.
const (
	newEnding = ".strapwise-new"
	oldEnding = ".strapwise-old"
)

func beside(name, ending string) string {
	dir, base := path.Split(name)
	return dir + "." + base + ending
}

// Replace makes the files what they are to be, all of them or none. Folders that
// they lie in are made. The error is an *Error, and then all files are as they were,
// unless it says that the next command will finish the change.
func (f *Folder) Replace(files []File) error { return Together(Part{f, files}) }

// Part is what a change of several folders makes of one.
type Part struct {
	In    *Folder
	Files []File
}

// Together changes several folders as Replace changes one: no error leaves some of
// the parts made and others not. Only a process that dies between two of them, all
// written by then, leaves the earlier made and the later as they were.
func Together(parts ...Part) error {
	staged := make([]change, len(parts))
	tidy := func(from int) {
		for i := from; i < len(staged); i++ {
			parts[i].In.tidy(staged[i])
		}
	}
	for i, p := range parts {
		var err error
		if staged[i], err = p.In.prepared(p.Files); err == nil {
			err = p.In.stage(staged[i], p.Files)
		}
		if err != nil {
			tidy(0)
			return unwritten(err)
		}
	}
	for i, p := range parts {
		wrong := p.In.make(staged[i])
		if wrong == nil {
			continue
		}
		tidy(i + 1)
		for j := i - 1; j >= 0; j-- {
			if e := parts[j].In.unmake(staged[j]); e != nil {
				return unfinished(e)
			}
		}
		return wrong
	}
	for i, p := range parts {
		p.In.finish(staged[i])
	}
	return nil
}

// make makes a change that is staged, or none of it.
func (f *Folder) make(c change) error {
	if err := f.decide(c); err != nil {
		if e := f.disk.Remove(f.at(changeFile)); e != nil && !errors.Is(e, fs.ErrNotExist) {
			return unfinished(err)
		}
		f.tidy(c)
		return unwritten(err)
	}
	if err := f.forth(c); err != nil {
		if f.unmake(c) != nil {
			return unfinished(err)
		}
		return unwritten(err)
	}
	return nil
}

// unmake puts all back to what it was.
func (f *Folder) unmake(c change) error {
	c.Back = true
	if err := f.decide(c); err != nil {
		return err
	}
	if err := f.back(c); err != nil {
		return err
	}
	f.finish(c)
	return nil
}

func unfinished(err error) error {
	return &Error{err.Error(), "the change is half made, and the next command will finish it; look whether the disk is full or another program has the file open"}
}

// prepared is the change, looked over before anything is written.
func (f *Folder) prepared(files []File) (change, error) {
	c := change{Format: changeFormat}
	for _, file := range files {
		at := f.at(file.Name)
		if info, err := os.Lstat(at); err == nil && info.IsDir() { // a rename over a folder would fail half way
			return c, fmt.Errorf("%s is a folder, expected a file", at)
		}
		p := part{Name: file.Name, Was: sumOf(at)}
		if !file.Gone {
			sum := sha256.Sum256(file.Data)
			p.SHA256 = hex.EncodeToString(sum[:])
		} else if p.Was == "" {
			continue
		}
		c.Files = append(c.Files, p)
	}
	for _, dir := range c.folders() {
		if !there(f.at(dir)) {
			c.New = append(c.New, dir)
		}
	}
	return c, c.sound()
}

// mode says who may read and write a file: as before, if it was there.
func mode(path string) fs.FileMode {
	if info, err := os.Stat(path); err == nil {
		return info.Mode().Perm()
	}
	return newMode
}

// sumOf is the SHA-256 of a file, empty if there is none.
func sumOf(path string) string {
	data, err := os.ReadFile(path)
	if err != nil {
		return ""
	}
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}

// stage writes what is new, and gives what it replaces a second name.
func (f *Folder) stage(c change, files []File) error {
	data := map[string][]byte{}
	for _, file := range files {
		data[file.Name] = file.Data
	}
	for _, dir := range c.folders() {
		if err := f.disk.MkdirAll(f.at(dir)); err != nil {
			return fmt.Errorf("%s: cannot be made a folder: %s", f.at(dir), source.Cause(err))
		}
		f.sweep(dir)
	}
	for _, p := range c.Files {
		if p.SHA256 != "" {
			if err := f.disk.Write(f.at(beside(p.Name, newEnding)), data[p.Name], mode(f.at(p.Name))); err != nil {
				return fmt.Errorf("%s cannot be written: %s", f.at(p.Name), source.Cause(err))
			}
		}
		if p.Was != "" {
			if err := f.disk.Link(f.at(p.Name), f.at(beside(p.Name, oldEnding))); err != nil {
				return fmt.Errorf("%s cannot be kept: %s", f.at(p.Name), source.Cause(err))
			}
		}
	}
	return f.syncFolders(c)
}

func (f *Folder) syncFolders(c change) error {
	for _, dir := range c.folders() {
		if err := f.disk.SyncFolder(f.at(dir)); err != nil {
			return fmt.Errorf("%s cannot be written through to the disk: %s", f.at(dir), source.Cause(err))
		}
	}
	return nil
}

// sweep takes away what a change that came to nothing has left in a folder.
func (f *Folder) sweep(dir string) {
	entries, err := os.ReadDir(f.at(dir))
	if err != nil {
		return // what matters in the folder is written by name
	}
	for _, e := range entries {
		if n := e.Name(); strings.HasPrefix(n, ".") && (strings.HasSuffix(n, newEnding) || strings.HasSuffix(n, oldEnding)) {
			_ = f.disk.Remove(filepath.Join(f.at(dir), n))
		}
	}
}

// forth puts the files in their places. What has been put there by an earlier
// attempt stays.
func (f *Folder) forth(c change) error {
	if err := f.untouched(c); err != nil {
		return err
	}
	for _, p := range c.Files {
		at := f.at(p.Name)
		if p.SHA256 == "" {
			if err := f.disk.Remove(at); err != nil && !errors.Is(err, fs.ErrNotExist) {
				return fmt.Errorf("%s cannot be taken away: %s", at, source.Cause(err))
			}
			continue
		}
		err := f.disk.Rename(f.at(beside(p.Name, newEnding)), at)
		if errors.Is(err, fs.ErrNotExist) { // put there before, unless it was lost
			if sumOf(at) == p.SHA256 {
				continue
			}
		}
		if err != nil {
			return fmt.Errorf("%s cannot be replaced: %s", at, source.Cause(err))
		}
	}
	return f.syncFolders(c)
}

// back puts the files back to what they were.
func (f *Folder) back(c change) error {
	if err := f.untouched(c); err != nil {
		return err
	}
	for _, p := range slices.Backward(c.Files) {
		at := f.at(p.Name)
		if p.Was == "" {
			if sumOf(at) != p.SHA256 {
				continue // not there yet
			}
			if err := f.disk.Remove(at); err != nil {
				return fmt.Errorf("%s cannot be taken away: %s", at, source.Cause(err))
			}
			continue
		}
		err := f.disk.Rename(f.at(beside(p.Name, oldEnding)), at)
		if errors.Is(err, fs.ErrNotExist) && sumOf(at) == p.Was {
			continue
		}
		if err != nil {
			return fmt.Errorf("%s cannot be put back: %s", at, source.Cause(err))
		}
	}
	return f.syncFolders(c)
}

// untouched refuses to write over what another program has made of a file since
// the change began.
func (f *Folder) untouched(c change) error {
	for _, p := range c.Files {
		if now := sumOf(f.at(p.Name)); now != "" && now != p.Was && now != p.SHA256 {
			return fmt.Errorf("%s has been changed by another program meanwhile: move it away", f.at(p.Name))
		}
	}
	return nil
}

// finish forgets a change that is made or unmade. Where it fails, the next
// command finds nothing left to do but this.
func (f *Folder) finish(c change) {
	if f.disk.Remove(f.at(changeFile)) == nil && f.disk.SyncFolder(f.dir) == nil {
		f.tidy(c)
	}
}

// tidy takes away what lies beside the files of a change, and folders that were made for
// files which are not there.
func (f *Folder) tidy(c change) {
	for _, p := range c.Files {
		for _, ending := range []string{newEnding, oldEnding} {
			if at := f.at(beside(p.Name, ending)); there(at) {
				_ = f.disk.Remove(at) // else the next change sweeps it out
			}
		}
	}
	for _, dir := range c.folders() {
		if left, err := os.ReadDir(f.at(dir)); err == nil && len(left) == 0 && slices.Contains(c.New, dir) {
			_ = f.disk.Remove(f.at(dir)) // else an empty folder stays
		}
	}
}
