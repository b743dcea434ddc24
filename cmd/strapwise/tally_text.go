package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"strapwise/hide/source"
	"strapwise/nest/safe"
	"strapwise/report"
)

// proof says in words how good a count is known to be.
func (t tallied) proof() string {
	switch {
	case t.Proven && t.Sets == 0:
		return "proven: no lay of straight strips gives one"
	case t.Proven:
		return "proven: no lay of straight strips gives more"
	case t.Sets >= mostSets:
		return fmt.Sprintf("counted no further; the area holds no more than %d", t.Bound)
	}
	return fmt.Sprintf("no lay of straight strips gives more than %d", t.Bound)
}

// claim is the line above the picture of a hide.
func (t tallied) claim() string {
	if t.Proven {
		return fmt.Sprintf("proven: no lay of straight strips on this hide gives more than %s", source.Count(t.Sets, "set"))
	}
	return fmt.Sprintf("%s; no lay of straight strips on this hide gives more than %d", source.Count(t.Sets, "set"), t.Bound)
}

// tallyRows is the table of counts: a heading for each leather, its hides, and
// their sum; then why a hide gives none.
func tallyRows(all []tallied) []string {
	var leathers []string
	for _, t := range all {
		if !slices.Contains(leathers, t.Leather) {
			leathers = append(leathers, t.Leather)
		}
	}
	slices.Sort(leathers)
	var rows []string
	for i, name := range leathers {
		if i > 0 {
			rows = append(rows, "")
		}
		sets, bound, hides := 0, 0, 0
		var why []string
		for _, t := range all {
			if t.Leather != name {
				continue
			}
			if hides == 0 {
				rows = append(rows, name+": "+t.taken(), "  hide\tform\tsets\tproof")
			}
			rows = append(rows, fmt.Sprintf("  %s\t%s\t%d\t%s", t.Hide, t.Form, t.Sets, t.proof()))
			if t.Sets == 0 {
				why = append(why, fmt.Sprintf("  %s: %s", t.Hide, t.Why))
			}
			sets, bound, hides = sets+t.Sets, bound+t.Bound, hides+1
		}
		if hides > 1 {
			known := "proven"
			if sets < bound {
				known = fmt.Sprintf("no more than %d", bound)
			}
			rows = append(rows, fmt.Sprintf("  total\t\t%d\t%s", sets, known))
		}
		rows = append(rows, why...)
	}
	return rows
}

// taken says what of a set is counted, and what is not.
func (t tallied) taken() string {
	s := strings.Join(t.Parts, ", ") + " of each set"
	if len(t.AtHand) > 0 {
		s += "; taken as at hand: " + strings.Join(t.AtHand, ", ")
	}
	return s
}

// tallyName is what files about one hide's count are called.
func tallyName(hide string) string { return "tally-" + hide }

// writeTally writes plan and sheet of every hide that gives a set, and takes
// away those of the count before.
func writeTally(ctx context.Context, u *ui, dir, as string, all []tallied, o sheetSettings) ([]string, error) {
	counted := slices.DeleteFunc(slices.Clone(all), func(t tallied) bool { return t.Sets == 0 })
	var hides []string
	for _, t := range counted {
		hides = append(hides, t.Hide)
	}
	pages, err := ofHides(u, hides, func(i int) ([]report.Page, error) {
		t, o := counted[i], o
		o.Claim = t.claim()
		return report.Sheet(t.job, t.plan, t.Hide, o)
	})
	if err != nil {
		return nil, err
	}
	var files []safe.File
	for i, t := range counted {
		sheets, err := u.pageFiles(pages[i], tallyName(t.Hide), as)
		if err != nil {
			return nil, err
		}
		files = append(append(files, safe.File{Name: tallyName(t.Hide) + ".json", Data: t.plan.Encode()}), sheets...)
	}
	return replace(ctx, dir, files, func() []string { return oldTally(dir, all) })
}

// oldTally are the files in a folder of an earlier count of these hides.
func oldTally(dir string, all []tallied) []string {
	var out []string
	for _, t := range all {
		out = append(out, tallyName(t.Hide)+".json", tallyName(t.Hide)+".pdf")
		for page := 0; ; page++ {
			name := pageName(tallyName(t.Hide), page, "svg")
			if _, err := os.Stat(filepath.Join(dir, name)); err != nil {
				break
			}
			out = append(out, name)
		}
	}
	return out
}
