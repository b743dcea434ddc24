package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"

	"strapwise/hide/source"
	"strapwise/nest"
	"strapwise/nest/workshop"
)

// batch is a set of files that are replaced together. All are written in full
// beside those they replace before the first is renamed, so that a full disk,
// a read-only folder or a crash leaves every file as it was.
type batch struct {
	dir   string
	names []string
	temps []string
	stale []string
}

// newBatch makes the folder if it is not there.
func newBatch(dir string) (*batch, error) {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return nil, unwritten(fmt.Errorf("%s: cannot be made a folder: %s", dir, source.Cause(err)))
	}
	return &batch{dir: dir}, nil
}

// add writes a file that is to take its place on commit.
func (b *batch) add(name string, data []byte) error {
	f, err := os.CreateTemp(b.dir, ".writing-*")
	if err != nil {
		return unwritten(err)
	}
	b.names, b.temps = append(b.names, name), append(b.temps, f.Name())
	if _, err = f.Write(data); err == nil {
		err = f.Chmod(0o644)
	}
	if err == nil {
		err = f.Sync()
	}
	if e := f.Close(); err == nil {
		err = e
	}
	if err != nil {
		return unwritten(err)
	}
	return nil
}

// remove takes a file away on commit, unless the batch replaces it.
func (b *batch) remove(name string) { b.stale = append(b.stale, name) }

// commit puts the files in their places.
func (b *batch) commit() error {
	for _, name := range b.names { // a rename over a folder would fail half way
		if info, err := os.Lstat(filepath.Join(b.dir, name)); err == nil && info.IsDir() {
			return unwritten(fmt.Errorf("%s is a folder, expected a file", filepath.Join(b.dir, name)))
		}
	}
	for i, name := range b.names {
		if err := os.Rename(b.temps[i], filepath.Join(b.dir, name)); err != nil {
			return unwritten(err)
		}
		b.temps[i] = ""
	}
	for _, name := range b.stale {
		if !slices.Contains(b.names, name) {
			if err := os.Remove(filepath.Join(b.dir, name)); err != nil && !os.IsNotExist(err) {
				return unwritten(err)
			}
		}
	}
	return nil
}

// files are the paths of what the batch writes.
func (b *batch) files() []string {
	var out []string
	for _, name := range b.names {
		out = append(out, filepath.Join(b.dir, name))
	}
	return out
}

// drop takes away what was written and not committed.
func (b *batch) drop() {
	for _, t := range b.temps {
		if t != "" {
			os.Remove(t)
		}
	}
}

func unwritten(err error) error {
	return &shortfall{err.Error(), "nothing was replaced; look whether the disk is full or the folder may not be written"}
}

// planFile is the name of a plan in its folder.
const planFile = "plan.json"

// plansDir is the folder for plans and sheets: --out, or plans/ in the workshop.
func (u *ui) plansDir(out string) string {
	if out != "" {
		return out
	}
	return filepath.Join(u.workshop, "plans")
}

// readPlan reads a plan by its path, or the workshop's own if path is empty.
func (u *ui) readPlan(path string) (nest.Plan, string, error) {
	if path == "" {
		path = filepath.Join(u.plansDir(""), planFile)
	}
	data, err := source.ReadFile(path, path, nest.MaxPlanBytes)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nest.Plan{}, path, &source.Error{File: path, Rule: "found no such file, expected a plan", Hint: "strapwise lay makes one"}
	case err != nil:
		return nest.Plan{}, path, err
	}
	plan, err := nest.DecodePlan(path, data)
	return plan, path, err
}

// opened is a plan and the workshop it belongs to, as it is now.
type opened struct {
	plan nest.Plan
	path string
	shop *workshop.Workshop
	job  nest.Job
}

// open reads the plan that a command is given, or the workshop's own, and the
// workshop.
func (u *ui) open(args []string) (opened, error) {
	o := opened{}
	var err error
	if o.plan, o.path, err = u.readPlan(first(args)); err != nil {
		return o, err
	}
	if o.shop, err = workshop.Open(u.workshop); err != nil {
		return o, err
	}
	o.job, err = o.shop.Job()
	return o, err
}

// sheetFile is the name of page n, from 0, of a hide's sheet. No hide's name has
// a + in it, so no page can stand for another hide's sheet.
func sheetFile(hide string, page int) string {
	if page == 0 {
		return fmt.Sprintf("sheet-%s.svg", hide)
	}
	return fmt.Sprintf("sheet-%s+%d.svg", hide, page+1)
}
