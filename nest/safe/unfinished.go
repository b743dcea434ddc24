package safe

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"path"
	"path/filepath"
	"slices"

	"strapwise/hide/source"
)

const (
	changeFile   = ".strapwise-change"
	changeFormat = "strapwise-change/1"
	largestList  = 8 << 20 // bytes: a change of some ten thousand files
)

// change is the list of what is being changed, as it is kept meanwhile.
type change struct {
	Format string   `json:"format"`
	Back   bool     `json:"back"` // it came to nothing, and all goes back to what it was
	Files  []part   `json:"files"`
	New    []string `json:"new,omitempty"` // folders that were not there before
}

// part is one file of a change.
type part struct {
	Name   string `json:"name"`
	SHA256 string `json:"sha256"` // what it becomes; empty: it is taken away
	Was    string `json:"was"`    // what it was; empty: there was none
}

// sound checks that the change stays within the folder, and names each file once.
func (c change) sound() error {
	seen := map[string]bool{}
	for _, p := range c.Files {
		if !filepath.IsLocal(filepath.FromSlash(p.Name)) || path.Clean(p.Name) != p.Name {
			return fmt.Errorf("found the name %q, expected a file in the folder", p.Name)
		}
		if seen[p.Name] {
			return fmt.Errorf("found %s twice, expected it once", p.Name)
		}
		seen[p.Name] = true
	}
	return nil
}

// folders are those that the files lie in, sorted, each once.
func (c change) folders() []string {
	var out []string
	for _, p := range c.Files {
		out = append(out, path.Dir(p.Name))
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// decide puts the list in its place: from then on the change is to be finished.
func (f *Folder) decide(c change) error {
	var text bytes.Buffer
	enc := json.NewEncoder(&text)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", " ")
	if err := enc.Encode(c); err != nil {
		return err
	}
	at, written := f.at(changeFile), f.at(changeFile+newEnding)
	err := f.disk.Write(written, text.Bytes(), newMode)
	if err == nil {
		err = f.disk.Rename(written, at)
	}
	if err == nil {
		err = f.disk.SyncFolder(f.dir)
	}
	if err != nil {
		_ = f.disk.Remove(written) // else the next change sweeps it out
		return fmt.Errorf("%s cannot be written: %s", at, source.Cause(err))
	}
	return nil
}

// recover finishes a change that was cut short. The error is a *source.Error.
func (f *Folder) recover() error {
	data, err := source.ReadFile(f.at(changeFile), changeFile, largestList)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	refuse := func(rule string) error {
		return &source.Error{
			File: f.at(changeFile), Rule: "a change was cut short and cannot be finished: " + rule,
			Hint: "look whether the disk is full or the folder may not be written; or put back the folder from a copy, without this file",
		}
	}
	if err != nil {
		return refuse(err.Error())
	}
	var c change
	if err := json.Unmarshal(data, &c); err != nil || c.Format != changeFormat {
		return refuse("the list of its files cannot be read")
	}
	if err := c.sound(); err != nil {
		return refuse(err.Error())
	}
	if !c.Back {
		if err = f.forth(c); err != nil {
			c.Back = true
			if e := f.decide(c); e != nil {
				return refuse(err.Error())
			}
		}
	}
	if c.Back {
		if err := f.back(c); err != nil {
			return refuse(err.Error())
		}
	}
	f.finish(c)
	return nil
}
