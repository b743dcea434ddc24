// Package orders turns an order book and the workshop's patterns into the
// cutting list: for every row of the book the pieces of one set, each with its
// leather, its length and width as cut, its use and how it is cut.
//
// Patterns are formulas over the order's width and size; the built-in ones are
// written in patterns.toml just as a workshop writes its own, and a workshop
// may change any single measure or piece of them.
package orders

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"strapwise/hide/source"
	"strapwise/nest"
)

// Leather is a leather that orders may ask for.
type Leather struct {
	Name      string
	Substance float64 // mm; 0 if not told
}

// What a leather's thickness is taken for where the workshop does not tell it,
// in millimetres.
const (
	defaultSubstance = 3.5 // single collar: common practice, no source
	defaultLining    = 0.9 // 0.8 to 1 mm: common practice, no source
)

// House is how a workshop makes things: its patterns and its leathers. It does
// not change. NewHouse is its only constructor.
type House struct {
	patterns  map[string]*pattern
	leathers  map[string]Leather
	templates templates
}

// NewHouse lays a workshop's own patterns over the built-in ones. patterns are
// the tables of doc under [patterns], as decoded; doc may be nil if there are
// none. A pattern of a built-in name changes only what it states, key by key;
// uses are the names that pieces may use. read gives the file of a template, by its
// path relative to the workshop; each is read once. The error is a *source.Error.
func NewHouse(doc *source.Doc, patterns map[string]map[string]any, leathers []Leather, uses []string, read func(file string) ([]byte, error)) (*House, error) {
	h := &House{patterns: map[string]*pattern{}, leathers: map[string]Leather{}, templates: templates{read: read, known: map[string]*nest.Template{}}}
	for _, l := range leathers {
		h.leathers[l.Name] = l
	}
	first, tables, err := builtIn()
	if err != nil {
		return nil, err
	}
	if err := h.overlay(first, tables, uses); err != nil {
		return nil, err
	}
	if err := h.overlay(doc, patterns, uses); err != nil {
		return nil, err
	}
	return h, h.checkLeathers(first)
}

func (h *House) overlay(doc *source.Doc, tables map[string]map[string]any, uses []string) error {
	for _, name := range slices.Sorted(maps.Keys(tables)) {
		p, err := overlay(h.patterns[name], name, doc, tables[name])
		if err != nil {
			return err
		}
		if err := p.check(uses); err != nil {
			return err
		}
		if err := h.templates.of(p); err != nil {
			return err
		}
		h.patterns[name] = p
	}
	return nil
}

// checkLeathers refuses a leather that the workshop names in a pattern and
// does not list. A built-in pattern may name one: see Line.Aside.
func (h *House) checkLeathers(builtIn *source.Doc) error {
	for _, name := range h.Patterns() {
		for _, pc := range h.patterns[name].inOrder() {
			l := pc.leather
			if l.doc == builtIn || l.text == orderLeather || l.text == orderLining || h.keeps(l.text) {
				continue
			}
			known := append([]string{orderLeather, orderLining}, h.Leathers()...)
			return l.doc.Fault(l.path, fmt.Sprintf("found the leather %q, expected one of %s", l.text, strings.Join(known, ", ")), fmt.Sprintf("add [leathers.%s]", l.text))
		}
	}
	return nil
}

func (h *House) keeps(leather string) bool {
	_, ok := h.leathers[leather]
	return ok
}

// Patterns are the names of the patterns, sorted.
func (h *House) Patterns() []string { return slices.Sorted(maps.Keys(h.patterns)) }

// Templates are those of all pieces that are cut to one, by file.
func (h *House) Templates() []*nest.Template {
	var out []*nest.Template
	for _, file := range slices.Sorted(maps.Keys(h.templates.known)) {
		out = append(out, h.templates.known[file])
	}
	return out
}

// Leathers are the names of the leathers, sorted.
func (h *House) Leathers() []string { return slices.Sorted(maps.Keys(h.leathers)) }

// AllLeathers are the leathers that the workshop lists and those that only a
// pattern names, sorted.
func (h *House) AllLeathers() []string {
	all := h.Leathers()
	for _, p := range h.patterns { // in any order: what comes out is sorted
		for _, pc := range p.pieces {
			if name := pc.leather.text; name != orderLeather && name != orderLining {
				all = append(all, name)
			}
		}
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// Hardware are the names of the hardware of all patterns, sorted.
func (h *House) Hardware() []string {
	var all []string
	for _, p := range h.patterns { // in any order: what comes out is sorted
		all = slices.AppendSeq(all, maps.Keys(p.fittings))
	}
	slices.Sort(all)
	return slices.Compact(all)
}
