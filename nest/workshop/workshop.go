// Package workshop reads the workshop folder, the files that a person keeps:
//
//	workshop.toml        house rules: units, leathers, uses, flaw kinds, patterns, tools, prices, offers, models
//	orders.csv           the order book
//	hides/NAME.toml      one file for each piece of leather on the rack
//	*.svg                drawings of templates, as patterns name them
//
// It only reads; nothing in here writes, and one Open reads each file once, while
// nobody changes the folder, so that what is planned is what the recorded checksums
// stand for.
package workshop

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"strapwise/hide"
	"strapwise/hide/chance"
	"strapwise/hide/measure"
	"strapwise/nest"
	"strapwise/nest/orders"
	"strapwise/nest/rates"
	"strapwise/nest/safe"
)

// Workshop is a workshop folder, read. It is not to be changed.
type Workshop struct {
	Dir      string // the folder, as Open was given it
	Rule     measure.Rule
	Leathers []orders.Leather // sorted by name
	Kinds    []string         // of flaws, sorted: built in and the workshop's own
	Uses     map[string]hide.Use
	Tools    nest.Tools
	Least    float64       // mm²; a remnant that is smaller is scrap
	House    *orders.House // the patterns, built in and the workshop's own
	Rates    rates.Rates   // prices, and leather on offer
	Models   chance.Models // what is assumed of leather not yet seen

	Lines    []orders.Line // in the order of the book
	Hides    []*hide.Hide  // sorted by name
	Inputs   []nest.Input  // every file that was read, sorted, with / in paths
	Warnings []string      // for the person to know, none of them a mistake
}

// Open reads a workshop: house rules, order book and rack. A missing hides folder
// is an empty rack; workshop.toml and orders.csv must be there. The error is a *source.Error whose file is relative to dir, or an
// error of safe.Reading.
func Open(dir string) (*Workshop, error) { return open(dir, true, true) }

// OpenRack is Open without the order book: a mistake in the book does not
// stand in the way of what needs none. Lines is empty.
func OpenRack(dir string) (*Workshop, error) { return open(dir, false, true) }

// OpenBook is Open without the rack. Hides is empty.
func OpenBook(dir string) (*Workshop, error) { return open(dir, true, false) }

// OpenRules is Open without book and rack. Lines and Hides are empty.
func OpenRules(dir string) (*Workshop, error) { return open(dir, false, false) }

// ReadHeld is OpenRack for who holds the folder already, to change or to read it.
func ReadHeld(dir string) (*Workshop, error) { return read(dir, false, true) }

func open(dir string, book, rack bool) (w *Workshop, err error) {
	err = safe.Reading(context.Background(), dir, func() (err error) {
		w, err = read(dir, book, rack)
		return err
	})
	return w, err
}

func read(dir string, book, rack bool) (*Workshop, error) {
	w := &Workshop{Dir: dir}
	if err := w.readRules(); err != nil {
		return nil, err
	}
	if book {
		if err := w.readBook(); err != nil {
			return nil, err
		}
	}
	if rack {
		if err := w.readRack(); err != nil {
			return nil, err
		}
	}
	slices.SortFunc(w.Inputs, func(a, b nest.Input) int { return strings.Compare(a.File, b.File) })
	return w, nil
}

// Job is what a planner needs: the book, the rack, uses and tools. With names
// given the rack is limited to those hides, in its own order. The error lists
// the names on the rack if one is not among them.
func (w *Workshop) Job(only ...string) (nest.Job, error) {
	job := nest.Job{Uses: w.Uses, Tools: w.Tools, Least: w.Least}
	for _, l := range w.Lines {
		job.Orders = append(job.Orders, l.Order)
	}
	for _, name := range only {
		if len(w.Hides) == 0 {
			return nest.Job{}, fmt.Errorf("found no hide named %q: the rack is empty", name)
		}
		if !slices.ContainsFunc(w.Hides, func(h *hide.Hide) bool { return h.Name() == name }) {
			return nest.Job{}, fmt.Errorf("found no hide named %q on the rack, expected one of %s", name, strings.Join(w.names(), ", "))
		}
	}
	for _, h := range w.Hides {
		if len(only) == 0 || slices.Contains(only, h.Name()) {
			job.Hides = append(job.Hides, h)
		}
	}
	return job, nil
}

func (w *Workshop) names() []string {
	var out []string
	for _, h := range w.Hides {
		out = append(out, h.Name())
	}
	return out
}

// Nominal is how thick a leather is said to be, in millimetres; 0 if not told.
func (w *Workshop) Nominal(leather string) float64 {
	for _, l := range w.Leathers {
		if l.Name == leather {
			return l.Substance
		}
	}
	return 0
}

// LeatherNames are the names of the leathers, sorted.
func (w *Workshop) LeatherNames() []string {
	var out []string
	for _, l := range w.Leathers {
		out = append(out, l.Name)
	}
	return out
}
