package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"math"
	"path/filepath"
	"slices"
	"strings"

	"strapwise/hide"
	"strapwise/hide/source"
	"strapwise/nest"
	"strapwise/nest/rack"
	"strapwise/nest/safe"
	"strapwise/nest/workshop"
	"strapwise/report"
)

// replace makes files of a folder what they are to be, all of them or none, and
// returns the paths of those that are there then. old, if not nil, is asked for the
// names of files to take away while nobody else changes the folder.
func replace(ctx context.Context, dir string, files []safe.File, old func() []string) ([]string, error) {
	f, err := safe.Open(ctx, dir)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	if old == nil {
		old = func() []string { return nil }
	}
	return pathsIn(dir, files), f.Replace(instead(files, old()))
}

// instead are files to be written, and those to be taken away that they do not replace.
func instead(files []safe.File, old []string) []safe.File {
	for _, name := range old {
		if !slices.ContainsFunc(files, func(f safe.File) bool { return f.Name == name }) {
			files = append(files, safe.File{Name: name, Gone: true})
		}
	}
	return files
}

func pathsIn(dir string, files []safe.File) []string {
	paths := []string{}
	for _, file := range files {
		paths = append(paths, filepath.Join(dir, file.Name))
	}
	return paths
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
func (u *ui) readPlan(ctx context.Context, path string) (nest.Plan, string, error) {
	if path == "" {
		path = filepath.Join(u.plansDir(""), planFile)
	}
	var data []byte
	err := safe.Reading(ctx, filepath.Dir(path), func() (err error) {
		data, err = source.ReadFile(path, path, nest.MaxPlanBytes)
		return err
	})
	switch {
	case errors.Is(err, fs.ErrNotExist):
		hint := "strapwise lay makes one"
		if filepath.Ext(path) == "" {
			hint += "; a hide of a plan is named with --hide"
		}
		return nest.Plan{}, path, &source.Error{File: path, Rule: "found no such file, expected a plan", Hint: hint}
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
	away []*hide.Hide // that were put away by this plan, as they were before
}

// open reads the plan that a command is given, or the workshop's own, and the
// workshop.
func (u *ui) open(ctx context.Context, args []string) (opened, error) {
	o := opened{}
	var err error
	if o.plan, o.path, err = u.readPlan(ctx, first(args)); err != nil {
		return o, err
	}
	if o.shop, err = workshop.Open(u.workshop); err != nil {
		return o, err
	}
	if o.job, err = o.shop.Job(); err != nil {
		return o, err
	}
	cut, err := rack.CutBy(ctx, o.shop, report.Mark(o.plan))
	if err != nil { // a plan whose hides are all on the rack does without
		u.note("note: %s", err)
	}
	for _, h := range cut {
		if o.job.Hide(h.Name()) == nil {
			o.away = append(o.away, h)
		}
	}
	return o, nil
}

// asMade is the job of the plan, with the hides that were put away.
func (o opened) asMade() nest.Job {
	job := o.job
	job.Hides = slices.Concat(o.job.Hides, o.away)
	slices.SortFunc(job.Hides, func(a, b *hide.Hide) int { return strings.Compare(a.Name(), b.Name()) })
	return job
}

// awayNames are the names of the hides that were put away.
func (o opened) awayNames() []string {
	var out []string
	for _, h := range o.away {
		out = append(out, h.Name())
	}
	return out
}

// stale are the files that are not as when the plan was made, but for those of hides
// that were put away since and of what they left.
func (o opened) stale() []string {
	away, expected := o.awayNames(), map[string]bool{}
	for _, name := range away {
		expected[workshop.HideFile(name)] = true
	}
	for _, h := range o.shop.Hides {
		if slices.Contains(away, h.From()) {
			expected[workshop.HideFile(h.Name())] = true
		}
	}
	return slices.DeleteFunc(o.plan.Stale(o.shop.Inputs), func(file string) bool { return expected[file] })
}

// penny is the least difference of money that is told.
const penny = 0.005

// openHolding is open for a plan that is to be drawn or priced: with its hides as
// they were when they were cut, it must hold. Only prices may have changed since: that
// moves no cut.
func (u *ui) openHolding(ctx context.Context, args []string) (opened, error) {
	o, err := u.open(ctx, args)
	if err != nil {
		return o, err
	}
	o.job = o.asMade()
	faults := nest.Check(o.job, o.plan)
	for _, m := range []struct {
		rule, what string
		now, then  float64
	}{
		{nest.RuleCost, "the hides cost", nest.Cost(o.job, o.plan), o.plan.Result.Cost},
		{nest.RuleValue, "the sets are worth", nest.Value(o.job, o.plan), o.plan.Result.Value},
	} {
		if math.Abs(m.now-m.then) > penny {
			u.note("note: %s %.2f now, and %.2f when the plan was made: what it says of other lays may hold no more", m.what, m.now, m.then)
			faults = slices.DeleteFunc(faults, func(v nest.Violation) bool { return v.Rule == m.rule })
		}
	}
	if len(faults) > 0 {
		return o, &shortfall{
			fmt.Sprintf("%s: the plan does not fit its files and breaks %s; first: %s", o.path, source.Count(broken(faults), "rule"), faults[0]),
			"strapwise check tells all; nothing was written",
		}
	}
	return o, nil
}

// cutHides are the names of the hides that a plan cuts.
func cutHides(p nest.Plan) []string {
	var out []string
	for _, h := range p.Hides {
		out = append(out, h.Hide)
	}
	return out
}

// writeFiles puts files into a folder, or plans/ if none is named, and tells their
// names.
func writeFiles(ctx context.Context, u *ui, out string, files []safe.File) error {
	paths, err := replace(ctx, u.plansDir(out), files, nil)
	if err != nil {
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

// wrote tells which files were written.
func wrote(u *ui, files []string) {
	if len(files) > 0 {
		u.note("")
	}
	for _, file := range files {
		u.note("wrote %s", file)
	}
}

// sheetName is the name of a hide's sheet in a format that has one file a hide.
func sheetName(hide, format string) string { return pageName("sheet-"+hide, 0, format) }

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
