// Package intake makes hides of what people supply: hide files with an outline,
// tape stations or a size.
package intake

import (
	"errors"
	"fmt"
	"strings"
	"time"

	"github.com/paulmach/orb"
	"github.com/pelletier/go-toml/v2"

	"strapwise/hide"
	"strapwise/hide/measure"
	"strapwise/hide/source"
)

// form is the hide file, key by key.
type form struct {
	Leather   string         `toml:"leather"`
	Form      string         `toml:"form"`
	Units     string         `toml:"units"`
	Outline   [][]any        `toml:"outline"`
	Stations  []station      `toml:"stations"`
	Size      []any          `toml:"size"`
	Backbone  [][]any        `toml:"backbone"`
	Trim      any            `toml:"trim"`
	Substance any            `toml:"substance"`
	Cost      any            `toml:"cost"`
	Price     any            `toml:"price"`
	Area      any            `toml:"area"`
	Bought    toml.LocalDate `toml:"bought"`
	Supplier  string         `toml:"supplier"`
	Grade     string         `toml:"grade"`
	From      string         `toml:"from"`
	PutAway   toml.LocalDate `toml:"put_away"`
	Flaws     []flaw         `toml:"flaws"`
	Zones     []zone         `toml:"zones"`
}

type station struct {
	At   any `toml:"at"`
	From any `toml:"from"`
	To   any `toml:"to"`
}

type flaw struct {
	Kind  string  `toml:"kind"`
	Face  string  `toml:"face"`
	At    []any   `toml:"at"`
	Size  any     `toml:"size"`
	Line  [][]any `toml:"line"`
	Width any     `toml:"width"`
	Area  [][]any `toml:"area"`
}

type zone struct {
	Quality string  `toml:"quality"`
	Area    [][]any `toml:"area"`
	Grain   any     `toml:"grain"`
}

// reader turns a form into a hide.Spec. Its methods return a *source.Error
// wherever they fail.
type reader struct {
	doc   *source.Doc
	form  form
	bare  float64  // mm of a bare number; 0: none is a length
	kinds []string // of flaws

	system measure.System // in which mistakes are told
}

// Read makes a hide of the hide file with the given name and content. file is
// how errors call it, name the hide's name on the rack, kinds the kinds of flaw
// that the workshop knows; nil stands for hide.FlawKinds.
//
// The file gives leather and form; exactly one of outline (corners in order),
// stations (the leather's reach at distances along the backbone edge, which is
// the x axis) and size (length and depth, from 0,0); and, where told, units of
// bare numbers (mm, cm or in), backbone, trim, substance (one, or spot
// readings; bare numbers are mm), cost, or price by area and the area stamped,
// date bought, supplier and grade, of a remnant the hide it is from and when it was
// put away, flaws and zones. The
// error is a *source.Error; items in its path count from 0.
func Read(file string, data []byte, name string, kinds []string) (*hide.Hide, error) {
	r := reader{kinds: kinds}
	if kinds == nil {
		r.kinds = hide.FlawKinds()
	}
	var err error
	if r.doc, err = source.TOML(file, data, &r.form); err != nil {
		return nil, err
	}
	spec, err := r.spec(name)
	if err != nil {
		return nil, err
	}
	h, err := hide.New(spec)
	if err != nil {
		return nil, r.fault(err)
	}
	return h, nil
}

// fault says where in the file a fault of the hide stands. The file may have
// given the outline in another form.
func (r *reader) fault(err error) error {
	var f *hide.Fault
	if !errors.As(err, &f) {
		return r.doc.Fault("", err.Error(), "")
	}
	path, hint := f.Path, f.Hint
	if path == "outline" && !r.doc.Has(path) {
		path = "stations"
		if r.doc.Has("size") {
			path, hint = "size", "check the units"
		}
	}
	return r.doc.Fault(path, f.Rule, hint)
}

// spec reads the keys in the order in which the contract lists them.
func (r *reader) spec(name string) (s hide.Spec, err error) {
	s = hide.Spec{Name: name, Leather: r.form.Leather, Form: r.form.Form, Supplier: r.form.Supplier, Grade: r.form.Grade, From: r.form.From}
	if r.bare, err = r.units(); err != nil {
		return s, err
	}
	if r.bare == measure.MMPerInch {
		r.system = measure.Inch
	}
	s.System = r.system
	if s.Outline, err = r.outline(); err != nil {
		return s, err
	}
	if s.Backbone, err = r.points("backbone", r.form.Backbone); err != nil {
		return s, err
	}
	if r.doc.Has("trim") {
		if s.Trim, err = r.length("trim", r.form.Trim); err != nil {
			return s, err
		}
	}
	if s.Readings, err = r.substance(); err != nil {
		return s, err
	}
	if s.Cost, s.Stamped, err = r.money(); err != nil {
		return s, err
	}
	if s.Bought, err = r.day("bought", r.form.Bought); err != nil {
		return s, err
	}
	if s.PutAway, err = r.day("put_away", r.form.PutAway); err != nil {
		return s, err
	}
	if s.Flaws, err = r.flaws(); err != nil {
		return s, err
	}
	s.Zones, err = r.zones()
	return s, err
}

// day is a date of the file, zero if it has none.
func (r *reader) day(path string, d toml.LocalDate) (time.Time, error) {
	if !r.doc.Has(path) {
		return time.Time{}, nil
	}
	t := d.AsTime(time.UTC)
	if !source.IsDay(t) {
		return t, r.doc.Fault(path, fmt.Sprintf("found %s, expected a date such as 2027-02-11", d), "")
	}
	return t, nil
}

func (r *reader) units() (bare float64, err error) {
	switch r.form.Units {
	case "mm":
		return 1, nil
	case "cm":
		return 10, nil
	case "in":
		return measure.MMPerInch, nil
	}
	if !r.doc.Has("units") {
		return 0, nil
	}
	return 0, r.doc.Fault("units", fmt.Sprintf("found %q, expected mm, cm or in", r.form.Units), `write units = "mm"`)
}

// length reads a length of 0 or more.
func (r *reader) length(path string, v any) (float64, error) {
	mm, err := measure.Length(v, r.bare)
	if err != nil {
		return 0, r.measured(path, v, err)
	}
	return mm, nil
}

func (r *reader) coordinate(path string, v any) (float64, error) {
	mm, err := measure.Coordinate(v, r.bare)
	if err != nil {
		return 0, r.measured(path, v, err)
	}
	return mm, nil
}

// measured adds to the hint for a bare number what would settle all of them.
func (r *reader) measured(path string, v any, err error) error {
	e := r.doc.Wrap(path, err)
	if _, text := v.(string); !text && r.bare == 0 && strings.HasPrefix(e.Hint, "write ") {
		e.Hint = `say units = "mm" or "in" at the head of the file, or ` + e.Hint
	}
	return e
}

// point reads [x, y].
func (r *reader) point(path string, v []any) (p orb.Point, err error) {
	if len(v) != 2 {
		return p, r.doc.Fault(path, fmt.Sprintf("found %s, expected x and y", source.Count(len(v), "number")), "write [410, 220]")
	}
	for i := range p {
		if p[i], err = r.coordinate(source.Item(path, i), v[i]); err != nil {
			return p, err
		}
	}
	return p, nil
}

func (r *reader) points(path string, list [][]any) ([]orb.Point, error) {
	var out []orb.Point
	for i, v := range list {
		p, err := r.point(source.Item(path, i), v)
		if err != nil {
			return nil, err
		}
		out = append(out, p)
	}
	return out, nil
}

// only returns which of the keys is in the table at parent, or an error
// unless it is exactly one.
func (r *reader) only(parent string, keys ...string) (string, error) {
	var has []string
	for _, k := range keys {
		if r.doc.Has(source.Key(parent, k)) {
			has = append(has, k)
		}
	}
	list := strings.Join(keys[:len(keys)-1], ", ") + " and " + keys[len(keys)-1]
	switch len(has) {
	case 0:
		return "", r.doc.Fault(parent, "found none of "+list+", expected one", "")
	case 1:
		return has[0], nil
	}
	return "", r.doc.Fault(source.Key(parent, has[1]), "found "+strings.Join(has, " and ")+", expected only one of "+list, "")
}
