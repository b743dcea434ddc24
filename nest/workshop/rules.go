package workshop

import (
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"math"
	"regexp"
	"slices"
	"strings"

	"strapwise/hide"
	"strapwise/hide/measure"
	"strapwise/hide/source"
	"strapwise/nest"
	"strapwise/nest/orders"
)

// rules is workshop.toml as it is written.
type rules struct {
	Units     string                    `toml:"units"`
	FlawKinds []string                  `toml:"flaw_kinds"`
	Leathers  map[string]leatherTable   `toml:"leathers"`
	Uses      map[string]useTable       `toml:"uses"`
	Patterns  map[string]map[string]any `toml:"patterns"`
	Tools     toolsTable                `toml:"tools"`
	Rack      rackTable                 `toml:"rack"`
	Prices    pricesTable               `toml:"prices"`
	Offers    []offerTable              `toml:"offers"`
	Models    modelsTable               `toml:"models"`
}

type leatherTable struct {
	Substance any `toml:"substance"`
}

type useTable struct {
	Quality   string   `toml:"quality"`
	Flaws     []string `toml:"flaws"`
	Angle     any      `toml:"angle"`
	Substance []any    `toml:"substance"`
}

type toolsTable struct {
	Marks   any     `toml:"marks"`
	Cutter  []any   `toml:"cutter"`
	Grips   any     `toml:"grips"`
	Effort  float64 `toml:"effort"`
	Deepest any     `toml:"deepest"`
	Blocks  int     `toml:"blocks"`
	Part    any     `toml:"part"`
	Tilt    any     `toml:"tilt"`
}

type rackTable struct {
	Least any `toml:"least"`
}

// Tools where workshop.toml does not tell them, in millimetres.
const (
	defaultCutterMin = measure.MMPerInch / 4 // a setting of the tool
	defaultCutterMax = 4 * measure.MMPerInch // hand strap cutter: common practice, no source
	defaultGrips     = measure.MMPerInch     // least remnant it can grip: common practice, no source
	// Cross-cuts between blocks on whole inches cost three parts in a thousand
	// of the worth against quarter inches (measured), and are found on any rule.
	defaultPartInch   = measure.MMPerInch
	defaultPartMetric = 25.0
)

// Limits of what workshop.toml may say, in millimetres: beyond them lies a
// mistake of the keyboard.
const (
	leastMark     = 0.1
	greatestMark  = measure.MMPerInch
	greatestStrip = 1000.0
	greatestHide  = 10e3
	thickest      = 25.0
	dearest       = 1e6                // of an effort, in money
	mostBlocks    = 100                // of a band
	steepest      = 15 * math.Pi / 180 // of a struck edge, off the backbone
)

// readRules reads workshop.toml.
func (w *Workshop) readRules() error {
	data, err := w.read(RulesFile)
	if errors.Is(err, fs.ErrNotExist) {
		return &source.Error{File: RulesFile, Rule: fmt.Sprintf("found no such file in %s, expected the house rules", w.Dir), Hint: "a workshop is a folder with workshop.toml, orders.csv and hides"}
	}
	if err != nil {
		return err
	}
	return w.takeRules(data)
}

// takeRules reads the house rules from the text of workshop.toml.
func (w *Workshop) takeRules(data []byte) error {
	var said rules
	doc, err := source.TOML(RulesFile, data, &said)
	if err != nil {
		return err
	}
	r := &ruleReader{doc: doc, said: said}
	w.Rule, w.Tools = r.tools()
	w.Least = r.least()
	w.Leathers = r.leathers()
	w.Kinds = r.kinds()
	w.Uses = r.uses(w.Kinds)
	if r.err != nil {
		return r.err
	}
	w.House, err = orders.NewHouse(doc, said.Patterns, w.Leathers, slices.Sorted(maps.Keys(w.Uses)), w.read)
	if err != nil {
		return err
	}
	w.Rates, w.Models = r.prices(w), r.models()
	return r.err
}

// ruleReader reads the parts of workshop.toml one after another and keeps the
// first mistake.
type ruleReader struct {
	doc  *source.Doc
	said rules
	err  error
}

func (r *ruleReader) fail(path, rule, hint string) {
	if r.err == nil {
		r.err = r.doc.Fault(path, rule, hint)
	}
}

func (r *ruleReader) system() measure.System {
	switch r.said.Units {
	case "in":
		return measure.Inch
	case "mm":
		return measure.Metric
	}
	if r.doc.Has("units") {
		r.fail("units", fmt.Sprintf("found %q, expected mm or in", r.said.Units), "")
	}
	return measure.Metric
}

func (r *ruleReader) tools() (measure.Rule, nest.Tools) {
	rule := measure.RuleOf(r.system())
	t := nest.Tools{CutterMin: defaultCutterMin, CutterMax: defaultCutterMax, Grips: defaultGrips, Effort: r.said.Tools.Effort, System: rule.System}
	if r.doc.Has("tools.marks") {
		rule.Mark = r.length("tools.marks", r.said.Tools.Marks, leastMark, greatestMark)
	}
	t.Mark = rule.Mark
	if r.doc.Has("tools.cutter") {
		if n := len(r.said.Tools.Cutter); n != 2 {
			r.fail("tools.cutter", fmt.Sprintf("found a list of %d, expected the least and the greatest strip width", n), `write ["1/4in", "4in"]`)
			return rule, t
		}
		t.CutterMin = r.length("tools.cutter[0]", r.said.Tools.Cutter[0], leastMark, greatestStrip)
		t.CutterMax = r.length("tools.cutter[1]", r.said.Tools.Cutter[1], leastMark, greatestStrip)
		if t.CutterMin > t.CutterMax {
			r.fail("tools.cutter", fmt.Sprintf("found a least strip width of %s above the greatest of %s, expected the least first", millimetres(t.CutterMin), millimetres(t.CutterMax)), "")
		}
	}
	if r.doc.Has("tools.grips") {
		t.Grips = r.length("tools.grips", r.said.Tools.Grips, 0, greatestStrip)
	}
	t.Deepest, t.Part = t.CutterMax, defaultPartMetric
	if rule.System == measure.Inch {
		t.Part = defaultPartInch
	}
	if r.doc.Has("tools.deepest") {
		t.Deepest = r.length("tools.deepest", r.said.Tools.Deepest, 0, greatestStrip)
	}
	if r.doc.Has("tools.part") {
		t.Part = r.length("tools.part", r.said.Tools.Part, leastMark, greatestStrip)
	}
	if t.Blocks = r.said.Tools.Blocks; r.doc.Has("tools.blocks") && (t.Blocks < 1 || t.Blocks > mostBlocks) {
		r.fail("tools.blocks", fmt.Sprintf("found %d, expected 1 to %d", t.Blocks, mostBlocks), "it is the most blocks that a band is cross-cut into; leave it out for any number")
	}
	if r.doc.Has("tools.tilt") {
		t.Tilt = r.turn("tools.tilt", r.said.Tools.Tilt, steepest, "it is the most that the struck edge may lie off the backbone")
	}
	if !(t.Effort >= 0 && t.Effort <= dearest) {
		r.fail("tools.effort", fmt.Sprintf("found %v, expected 0 to %.0f", t.Effort, dearest), "it is what one cut costs, in money")
	}
	return rule, t
}

// least is the size below which a remnant is scrap. Plans name none that is smaller
// than nest.MinRemnantArea.
func (r *ruleReader) least() float64 {
	const at, most = "rack.least", 1e7 // mm²: larger than a hide
	if !r.doc.Has(at) {
		return nest.MinRemnantArea
	}
	mm2, err := measure.Area(r.said.Rack.Least)
	switch {
	case err != nil && r.err == nil:
		r.err = r.doc.Wrap(at, err)
	case err == nil && !(mm2 >= nest.MinRemnantArea && mm2 <= most):
		r.fail(at, fmt.Sprintf("found %.0f cm², expected %d cm² to %.0f m²", mm2/100, nest.MinRemnantArea/100, most/1e6), "a smaller remnant is scrap")
	}
	return mm2
}

// length reads a length within limits, all in millimetres.
func (r *ruleReader) length(path string, v any, least, most float64) float64 {
	mm, err := measure.Length(v, 0)
	return r.within(path, mm, err, least, most)
}

func (r *ruleReader) thickness(path string, v any) float64 {
	if _, ok := v.(string); !ok { // a bare number may be meant in either system
		return r.length(path, v, leastMark, thickest)
	}
	mm, err := measure.Thickness(v)
	return r.within(path, mm, err, leastMark, thickest)
}

func (r *ruleReader) within(path string, mm float64, err error, least, most float64) float64 {
	switch {
	case err != nil && r.err == nil:
		r.err = r.doc.Wrap(path, err)
	case err == nil && !(mm >= least && mm <= most):
		r.fail(path, fmt.Sprintf("found %s, expected %s to %s", millimetres(mm), millimetres(least), millimetres(most)), "")
	}
	return mm
}

// plainName is what leathers, uses and kinds of flaw may be called.
var plainName = regexp.MustCompile(`^[\p{L}\p{N}][\p{L}\p{N} ._-]{0,39}$`)

func (r *ruleReader) name(path, name string) {
	if !plainName.MatchString(name) {
		r.fail(path, fmt.Sprintf("found the name %q, expected letters and figures, at most 40", name), "")
	}
}

func (r *ruleReader) leathers() []orders.Leather {
	var out []orders.Leather
	for _, name := range slices.Sorted(maps.Keys(r.said.Leathers)) {
		at := source.Key("leathers", name)
		r.name(at, name)
		l := orders.Leather{Name: name}
		if at = source.Key(at, "substance"); r.doc.Has(at) {
			l.Substance = r.thickness(at, r.said.Leathers[name].Substance)
		}
		out = append(out, l)
	}
	return out
}

func (r *ruleReader) kinds() []string {
	kinds := hide.FlawKinds()
	for i, k := range r.said.FlawKinds {
		at := source.Item("flaw_kinds", i)
		r.name(at, k)
		if slices.Contains(kinds, k) {
			r.fail(at, fmt.Sprintf("found the kind %q, which is known already, expected a new one", k), "")
		}
		kinds = append(kinds, k)
	}
	slices.Sort(kinds)
	return kinds
}

// uses lays the workshop's own uses over the built-in ones, key by key.
func (r *ruleReader) uses(kinds []string) map[string]hide.Use {
	out := map[string]hide.Use{}
	for _, u := range hide.BuiltInUses() {
		out[u.Name] = u
	}
	for _, name := range slices.Sorted(maps.Keys(r.said.Uses)) {
		at := source.Key("uses", name)
		r.name(at, name)
		u, known := out[name]
		u.Name = name
		said := r.said.Uses[name]
		for _, key := range []string{"quality", "flaws", "angle"} {
			if !known && !r.doc.Has(source.Key(at, key)) {
				r.fail(at, fmt.Sprintf("found a new use without %s, expected quality, flaws and angle", key), "built in are "+strings.Join(builtInUses(), ", "))
			}
		}
		if p := source.Key(at, "quality"); r.doc.Has(p) {
			q, ok := hide.ParseQuality(said.Quality)
			if !ok {
				r.fail(p, fmt.Sprintf("found %q, expected prime, firm, soft or waste", said.Quality), "")
			}
			u.Quality = q
		}
		if p := source.Key(at, "flaws"); r.doc.Has(p) {
			u.Flaws = r.flaws(p, said.Flaws, kinds)
		}
		if p := source.Key(at, "angle"); r.doc.Has(p) {
			u.Angle = r.angle(p, said.Angle)
		}
		if p := source.Key(at, "substance"); r.doc.Has(p) {
			u.Substance = r.substance(p, said.Substance)
		}
		out[name] = u
	}
	return out
}

func builtInUses() []string {
	var out []string
	for _, u := range hide.BuiltInUses() {
		out = append(out, u.Name)
	}
	return out
}

func (r *ruleReader) flaws(path string, said, kinds []string) []string {
	for i, k := range said {
		if !slices.Contains(kinds, k) {
			r.fail(source.Item(path, i), fmt.Sprintf("found the kind %q, expected one of %s", k, strings.Join(kinds, ", ")), "new kinds are listed in flaw_kinds")
		}
	}
	return slices.Compact(slices.Sorted(slices.Values(said)))
}

func (r *ruleReader) angle(path string, v any) measure.Angle {
	return r.turn(path, v, math.Pi/2, "it is the most that a piece may turn off the grain")
}

// turn reads an angle from 0 to the most.
func (r *ruleReader) turn(path string, v any, most measure.Angle, hint string) measure.Angle {
	a, err := measure.ParseAngle(v)
	switch {
	case err != nil && r.err == nil:
		r.err = r.doc.Wrap(path, err)
	case err == nil && !(a >= 0 && a <= most):
		r.fail(path, fmt.Sprintf("found %.6g degrees, expected 0 to %.6g", a.Degrees(), most.Degrees()), hint)
	}
	return a
}

func (r *ruleReader) substance(path string, said []any) *hide.Substance {
	if len(said) != 2 {
		r.fail(path, fmt.Sprintf("found a list of %d, expected the least and the greatest thickness", len(said)), `write ["3mm", "4.5mm"]`)
		return nil
	}
	s := &hide.Substance{From: r.thickness(source.Item(path, 0), said[0]), To: r.thickness(source.Item(path, 1), said[1])}
	if s.From > s.To {
		r.fail(path, fmt.Sprintf("found a least thickness of %s above the greatest of %s, expected the least first", millimetres(s.From), millimetres(s.To)), "")
	}
	return s
}

func millimetres(mm float64) string { return fmt.Sprintf("%.6g mm", mm) }
