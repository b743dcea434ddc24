package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

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

// openHolding is open for a plan that is to be drawn: it must hold.
func (u *ui) openHolding(args []string) (opened, error) {
	o, err := u.open(args)
	if err != nil {
		return o, err
	}
	if faults := nest.Check(o.job, o.plan); len(faults) > 0 {
		return o, &shortfall{
			fmt.Sprintf("%s: the plan does not fit its files and breaks %s; first: %s", o.path, source.Count(broken(faults), "rule"), faults[0]),
			"strapwise check tells all; nothing was drawn",
		}
	}
	return o, nil
}

// hides are the names of those that the plan cuts.
func (o opened) hides() []string {
	var out []string
	for _, h := range o.plan.Hides {
		out = append(out, h.Hide)
	}
	return out
}

// file is one to be written.
type file struct {
	name string
	data []byte
}

// writeFiles puts files into a folder, or plans/ if none is named, and tells their
// names.
func writeFiles(u *ui, out string, all []file) error {
	dir := u.plansDir(out)
	b, err := newBatch(dir)
	if err != nil {
		return err
	}
	defer b.drop()
	paths := []string{}
	for _, f := range all {
		if err := b.add(f.name, f.data); err != nil {
			return err
		}
		paths = append(paths, filepath.Join(dir, f.name))
	}
	if err := b.commit(); err != nil {
		return err
	}
	if u.json {
		return u.value(map[string][]string{"files": paths})
	}
	for _, path := range paths {
		u.text("%s\n", path)
	}
	return nil
}

// sheetName is the name of a hide's sheet in a format that has one file a hide.
func sheetName(hide, format string) string { return pageName("sheet-"+hide, 0, format) }

// sheetFile is the name of page n, from 0, of a hide's sheet as SVG.
func sheetFile(hide string, page int) string { return pageName("sheet-"+hide, page, "svg") }

// pageName is the name of page n, from 0, of several that belong together. No hide's
// name has a + in it, so no page can stand for another hide's sheet.
func pageName(name string, page int, format string) string {
	if page == 0 {
		return name + "." + format
	}
	return fmt.Sprintf("%s+%d.%s", name, page+1, format)
}

// The lists for a spreadsheet, and labels of pieces.
const (
	piecesFile  = "sheet-pieces.csv"
	cutsFile    = "sheet-cuts.csv"
	pieceLabels = "labels-pieces"
)

// drawnOf reports whether a file has the name of something drawn of a plan.
func drawnOf(p nest.Plan, file string) bool {
	of := func(name string) bool {
		rest, ok := strings.CutPrefix(file, name)
		format := strings.TrimPrefix(filepath.Ext(rest), ".")
		return ok && slices.Contains(sheetFormats, format) && (rest == "."+format || strings.HasPrefix(rest, "+"))
	}
	return file == piecesFile || file == cutsFile || of(pieceLabels) ||
		slices.ContainsFunc(p.Hides, func(h nest.HideLay) bool { return of("sheet-"+h.Hide) || of("full-"+h.Hide) })
}
