package main

import (
	"bytes"
	"fmt"
	"path/filepath"
	"slices"

	"strapwise/hide/intake"
	"strapwise/hide/source"
	"strapwise/nest"
	"strapwise/nest/workshop"
)

// bench is what relay knows before it lays: the plan, what is cut of it, and the
// workshop with what was found.
type bench struct {
	plan  nest.Plan   // as it was laid
	path  string      // of its file
	begun *nest.Begun // with what is cut
	shop  *workshop.Workshop
	job   nest.Job
	files map[string][]byte // hide files with what was found, by the name of the hide
	was   map[string][]byte // the same before
	finds []nest.Found
	told  []string     // what was found, in words
	known []string     // what was found and stands in the hide's file already
	met   []nest.Piece // cut pieces on what their use refuses

	rippedToo []offToo // what follows from what is told, unsaid
	cutToo    []string // pieces likewise
}

// onRack is a plan without the hides that have left the rack before anything was
// cut from them.
func (b *bench) onRack(p nest.Plan) nest.Plan {
	gone := func(name string) bool {
		l := p.Lay(name)
		return b.job.Hide(name) == nil && (l == nil || len(l.Bands) == 0 || !l.Bands[0].Cut)
	}
	hides := slices.DeleteFunc(slices.Clone(p.Hides), func(l nest.HideLay) bool { return gone(l.Hide) })
	p.Pieces = slices.DeleteFunc(slices.Clone(p.Pieces), func(x nest.Piece) bool { return gone(x.Hide) })
	p.Hides = hides
	return p
}

// keepTo limits the rack to hides that are named, and to those that are begun.
func (b *bench) keepTo(hides []string) (err error) {
	if len(hides) == 0 {
		return nil
	}
	for _, l := range b.begun.Plan.Hides {
		if len(l.Bands) > 0 && l.Bands[0].Cut {
			hides = append(hides, l.Hide)
		}
	}
	if b.job, err = b.shop.Job(hides...); err != nil {
		return &usage{"--hide: " + err.Error(), "strapwise rack list shows the rack"}
	}
	return nil
}

// belongs verifies that the plan is one of the hides on the rack, as far as it is cut.
func (b *bench) belongs(p nest.Plan) error {
	for _, l := range p.Hides {
		if b.job.Hide(l.Hide) == nil {
			return &source.Error{File: b.path, Path: "hides", Rule: fmt.Sprintf("found a lay of %s, which is not on the rack", l.Hide), Hint: "is it the plan of another workshop? strapwise rack list shows the rack"}
		}
	}
	if faults := nest.CheckCut(b.job, p); len(faults) > 0 {
		return &source.Error{
			File: b.path, Rule: "what is cut cannot be found on the hide as its file has it now: " + faults[0].String(),
			Hint: "to the file of a hide that is begun, flaws and zones may be added; its outline, backbone and units must stay, and so must the marks of the rule",
		}
	}
	return nil
}

// judge has pieces on flaws looked at that were cut before the flaws were known.
func (b *bench) judge(keep []string) error {
	kept := map[string]bool{}
	for _, text := range keep {
		ids, _, err := b.pieces(text)
		if err != nil {
			return &usage{"--keep: " + err.Error(), ""}
		}
		for _, i := range ids {
			kept[b.plan.Pieces[i].Name()] = true
		}
	}
	b.met = b.begun.Judge(b.job, func(p nest.Piece) bool { return kept[p.Name()] })
	for _, text := range keep {
		if err := b.keepable(text); err != nil {
			return err
		}
	}
	return nil
}

// keepable refuses to keep what lies on no flaw, or is told to be useless.
func (b *bench) keepable(text string) error {
	named := func(p nest.Piece) bool { is, _ := b.means(text, p); return is }
	judged := func(p nest.Piece) bool { return p.Judged && named(p) }
	switch {
	case slices.ContainsFunc(b.begun.Plan.Pieces, judged) || slices.ContainsFunc(b.begun.Plan.Spare, judged):
		return nil
	case slices.ContainsFunc(b.begun.Plan.Spoilt[len(b.plan.Spoilt):], named):
		return &usage{fmt.Sprintf("--keep: found %q, which is spoilt, expected a piece that is sound", text), "name it with --keep or with --spoilt, not with both"}
	}
	return &usage{fmt.Sprintf("--keep: found %q, expected a piece that is cut and lies on a flaw", text), "what lies on no flaw is kept without it; --cut tells what is cut, --found what was found"}
}

// find reads what was found, and adds it to the files of the hides.
func (b *bench) find(texts []string) error {
	for _, text := range texts {
		found, err := b.readFind(text)
		if err != nil {
			return err
		}
		file := workshop.HideFile(found.hide)
		data, again := b.files[found.hide]
		if !again {
			if data, err = source.ReadFile(filepath.Join(b.shop.Dir, filepath.FromSlash(file)), file, source.Largest); err != nil {
				return err
			}
			b.was[found.hide] = data
		}
		with, h, at, err := intake.WithFlaw(file, data, found.hide, b.shop.Kinds, found.flaw)
		if err != nil {
			if fault, ok := source.As(err); ok { // of a line that only this find would add
				return &usage{fmt.Sprintf("--found: %q: %s", text, fault.Rule), fault.Hint}
			}
			return err
		}
		words := fmt.Sprintf("%s on %s, %s", found.name(), found.hide, found.where)
		if bytes.Equal(with, data) {
			b.known = append(b.known, words)
		} else {
			b.told = append(b.told, words)
			b.files[found.hide] = with
			b.shop = b.shop.With(h, with)
			if b.job, err = b.shop.Job(); err != nil {
				return err
			}
			for i := range b.finds { // of those after it
				if b.finds[i].Hide == found.hide && b.finds[i].Flaw >= at {
					b.finds[i].Flaw++
				}
			}
		}
		if f := (nest.Found{Hide: found.hide, Flaw: at}); !slices.Contains(b.finds, f) {
			b.finds = append(b.finds, f)
		}
	}
	return nil
}
