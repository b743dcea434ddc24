package workshop

import (
	"fmt"
	"maps"
	"slices"

	"strapwise/hide/chance"
	"strapwise/hide/measure"
	"strapwise/hide/money"
	"strapwise/hide/source"
)

// modelsTable is [models] as it is written: what is assumed of leather that has not
// been seen.
type modelsTable struct {
	MarkedOff any                  `toml:"marked_off"`
	Flaws     map[string]int       `toml:"flaws"`
	Forms     map[string]formTable `toml:"forms"`
}

type formTable struct {
	Length []any `toml:"length"`
	Depth  []any `toml:"depth"`
	Firm   any   `toml:"firm"`
}

const mostOften = 1000 // how often a flaw is met against the others

// models lays the workshop's own models over the built-in ones, key by key.
func (r *ruleReader) models() chance.Models {
	out, said := chance.BuiltIn(), r.said.Models
	if at := "models.marked_off"; r.doc.Has(at) {
		out.MarkedOff = r.length(at, said.MarkedOff, 0, 100)
	}
	var kinds []string
	for _, h := range out.Habits {
		kinds = append(kinds, h.Kind)
	}
	all := 0
	for i := range out.Habits {
		h := &out.Habits[i]
		if n, told := said.Flaws[h.Kind]; told {
			if h.Often = n; n < 0 || n > mostOften {
				r.fail(source.Key("models.flaws", h.Kind), fmt.Sprintf("found %d, expected 0 to %d", n, mostOften), "it is how often the flaw is met against the others")
			}
		}
		all += h.Often
	}
	for _, kind := range slices.Sorted(maps.Keys(said.Flaws)) {
		r.known(source.Key("models.flaws", kind), "kind", kind, kinds)
	}
	if all == 0 {
		r.fail("models.flaws", "found no flaw that is ever met, expected one", "")
	}
	forms := slices.Sorted(maps.Keys(out.Forms))
	for _, name := range slices.Sorted(maps.Keys(said.Forms)) {
		at := source.Key("models.forms", name)
		r.known(at, "form", name, forms)
		f, t := out.Forms[name], said.Forms[name]
		if here := source.Key(at, "length"); r.doc.Has(here) {
			f.Length = r.lengths(here, t.Length)
		}
		if here := source.Key(at, "depth"); r.doc.Has(here) {
			f.Depth = r.lengths(here, t.Depth)
			if f.Whole {
				f.Depth[0], f.Depth[1] = f.Depth[0]/2, f.Depth[1]/2
			}
		}
		if here := source.Key(at, "firm"); r.doc.Has(here) {
			share, err := money.Percent(t.Firm)
			r.paid(here, err)
			if f.Firm = share.InexactFloat64(); f.Firm > 1 {
				r.fail(here, fmt.Sprintf("found %v, expected at most 100%%", t.Firm), "it is the share of the depth, from the backbone, that is firm")
			}
		}
		out.Forms[name] = f
	}
	return out
}

// lengths reads the least and the greatest of a measure of hides.
func (r *ruleReader) lengths(at string, said []any) (out [2]float64) {
	if len(said) != 2 {
		r.fail(at, fmt.Sprintf("found a list of %d, expected the least and the greatest", len(said)), `write ["50in", "54in"]`)
		return out
	}
	for i := range out {
		out[i] = r.length(source.Item(at, i), said[i], measure.MMPerInch, greatestHide)
	}
	if out[0] > out[1] {
		r.fail(at, fmt.Sprintf("found a least of %s above the greatest of %s, expected the least first", millimetres(out[0]), millimetres(out[1])), "")
	}
	return out
}
