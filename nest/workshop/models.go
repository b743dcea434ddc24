package workshop

import (
	"fmt"
	"maps"
	"math"
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
	Ragged []any `toml:"ragged"`
	Uneven any   `toml:"uneven"`
	Slant  any   `toml:"slant"`
	Strewn []int `toml:"strewn"`
	AtEdge any   `toml:"at_edge"`
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
		r.growth(at, t, &f.Growth)
		out.Forms[name] = f
	}
	return out
}

// growth lays what is said of how hides of a form differ over its own. What a person says
// is taken as it is, and no longer as measured on a few hides.
func (r *ruleReader) growth(at string, t formTable, g *chance.Growth) {
	if here := source.Key(at, "ragged"); r.doc.Has(here) {
		g.Ragged, g.Of = r.lengthsWithin(here, t.Ragged, leastRagged, mostRagged), 0
	}
	if here := source.Key(at, "uneven"); r.doc.Has(here) {
		share, err := money.Percent(t.Uneven)
		r.paid(here, err)
		if g.Uneven, g.Of = share.InexactFloat64(), 0; g.Uneven > mostUneven {
			r.fail(here, fmt.Sprintf("found %v, expected at most %.0f%%", t.Uneven, 100*mostUneven), "it is how much deeper or less deep than others a hide commonly is")
		}
	}
	if here := source.Key(at, "slant"); r.doc.Has(here) {
		const most = 20 * measure.Degree
		g.Slant, g.Of = math.Tan(float64(r.turn(here, t.Slant, most, "it is how far from square the ends commonly lie"))), 0
	}
	if here := source.Key(at, "at_edge"); r.doc.Has(here) {
		share, err := money.Percent(t.AtEdge)
		r.paid(here, err)
		if g.AtEdge = share.InexactFloat64(); g.AtEdge > 1 {
			r.fail(here, fmt.Sprintf("found %v, expected at most 100%%", t.AtEdge), "it is the share of hides whose poor places lie at the edges")
		}
	}
	if here := source.Key(at, "strewn"); r.doc.Has(here) {
		const most = 200
		if n := t.Strewn; len(n) != 2 || n[0] < 0 || n[0] > n[1] || n[1] > most {
			r.fail(here, fmt.Sprintf("found %v, expected the least and the greatest number of flaws, to %d", n, most), "write [3, 6]; [0, 0] has all flaws lie anywhere")
		} else {
			g.Strewn = [2]int(n)
		}
	}
}

const (
	leastRagged, mostRagged = 0.1, 100 // mm
	mostUneven              = 0.3
)

// lengths reads the least and the greatest of a measure of hides.
func (r *ruleReader) lengths(at string, said []any) (out [2]float64) {
	return r.lengthsWithin(at, said, measure.MMPerInch, greatestHide)
}

// lengthsWithin reads a least and a greatest, both within limits in millimetres.
func (r *ruleReader) lengthsWithin(at string, said []any, least, most float64) (out [2]float64) {
	if len(said) != 2 {
		r.fail(at, fmt.Sprintf("found a list of %d, expected the least and the greatest", len(said)), `write ["50in", "54in"]`)
		return out
	}
	for i := range out {
		out[i] = r.length(source.Item(at, i), said[i], least, most)
	}
	if out[0] > out[1] {
		r.fail(at, fmt.Sprintf("found a least of %s above the greatest of %s, expected the least first", millimetres(out[0]), millimetres(out[1])), "")
	}
	return out
}
