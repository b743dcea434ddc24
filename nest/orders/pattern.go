package orders

import (
	"cmp"
	_ "embed"
	"fmt"
	"maps"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"strapwise/hide/source"
	"strapwise/nest"
)

// pattern is a style: measures, the pieces of one set, and its hardware. It is
// made by overlaying tables and valid once check has passed it; from then on
// it does not change.
type pattern struct {
	name     string
	path     string // in its file: "patterns.raised"
	doc      *source.Doc
	measures map[string]cell
	pieces   map[string]*piece
	fittings map[string]*fitting
	kinds    map[string]kind // of the measures, since the last check
}

// maxMeasures bounds how deep formulas may lead to one another.
const maxMeasures = 200

// cell is a formula and where it was written. Without a root it was left out.
type cell struct {
	formula
	doc  *source.Doc
	path string
}

// word is a name and where it was written.
type word struct {
	text string
	doc  *source.Doc
	path string
}

// piece is a piece of every set of the pattern.
type piece struct {
	name                 string
	doc                  *source.Doc // that first spoke of it
	path                 string
	leather, use, cut    word
	length, width, count cell
	template             word // of the file that draws it, instead of length and width
	drawn                *nest.Template
}

// fitting is a piece of hardware.
type fitting struct {
	name                 string
	doc                  *source.Doc
	path                 string
	count, width, length cell
}

// Names that a formula may use beside the pattern's measures. Each is a length.
const (
	giveWidth     = "width"
	giveSize      = "size"
	giveSubstance = "substance"
	giveLining    = "lining_substance"
)

// Measures that mean something outside the pattern.
const (
	meanFinished = "finished"
	meanSeam     = "seam"
	meanStitches = "stitches"
)

var (
	given    = []string{giveSize, giveWidth, giveSubstance, giveLining}
	meanings = map[string]kind{meanFinished: aLength, meanSeam: aLength, meanStitches: aNumber}
	units    = []string{"mm", "cm", "m", "in", "inch", "inches", "ft", "foot", "feet"}
)

// Leathers that a piece may name which stand for those of its order.
const (
	orderLeather = "order"
	orderLining  = "lining"
)

// Ways to cut a piece.
const (
	cutStrip = "strip"
	cutKnife = "knife"
)

//go:embed patterns.toml
var builtInPatterns []byte

// builtIn reads the patterns that every workshop starts with.
func builtIn() (*source.Doc, map[string]map[string]any, error) {
	var file struct {
		Patterns map[string]map[string]any `toml:"patterns"`
	}
	doc, err := source.TOML("the built-in patterns", builtInPatterns, &file)
	return doc, file.Patterns, err
}

// overlay writes a table of a file over a pattern, which is nil if the name is
// new. Only what the table says changes. The pattern must then be checked.
func overlay(p *pattern, name string, doc *source.Doc, table map[string]any) (*pattern, error) {
	path := source.Key("patterns", name)
	if !pieceName.MatchString(name) {
		return nil, doc.Fault(path, fmt.Sprintf("found the name %q, expected letters, figures, - and _", name), "")
	}
	if p == nil {
		p = &pattern{name: name, path: path, doc: doc, measures: map[string]cell{}, pieces: map[string]*piece{}, fittings: map[string]*fitting{}}
	}
	for _, key := range slices.Sorted(maps.Keys(table)) {
		var err error
		switch at := source.Key(path, key); key {
		case "pieces":
			err = eachTable(doc, at, table[key], func(name, at string, t map[string]any) error {
				if p.pieces[name] == nil {
					p.pieces[name] = &piece{name: name, doc: doc, path: at, leather: word{text: orderLeather, doc: doc, path: at}}
				}
				return p.pieces[name].overlay(doc, at, t)
			})
		case "hardware":
			err = eachTable(doc, at, table[key], func(name, at string, t map[string]any) error {
				if p.fittings[name] == nil {
					p.fittings[name] = &fitting{name: name, doc: doc, path: at}
				}
				return p.fittings[name].overlay(doc, at, t)
			})
		default:
			err = p.overlayMeasure(doc, at, key, table[key])
		}
		if err != nil {
			return nil, err
		}
	}
	return p, nil
}

func (p *pattern) overlayMeasure(doc *source.Doc, at, key string, v any) error {
	switch {
	case slices.Contains(given, key):
		return doc.Fault(at, fmt.Sprintf("found a measure named %s, which the order gives, expected another name", key), "")
	case slices.Contains(units, key):
		return doc.Fault(at, fmt.Sprintf("found a measure named %s, which is a unit, expected another name", key), "")
	case nameText.FindString(key) != key:
		return doc.Fault(at, fmt.Sprintf("found the name %q, expected small letters, figures and _", key), "formulas read - as minus")
	}
	if len(p.measures) >= maxMeasures {
		return doc.Fault(at, fmt.Sprintf("found more than %d measures in a pattern, expected fewer", maxMeasures), "")
	}
	c, err := newCell(doc, at, v)
	if err != nil {
		return err
	}
	p.measures[key] = c
	return nil
}

func (pc *piece) overlay(doc *source.Doc, path string, t map[string]any) error {
	words := map[string]*word{"leather": &pc.leather, "use": &pc.use, "cut": &pc.cut, "template": &pc.template}
	cells := map[string]*cell{"length": &pc.length, "width": &pc.width, "count": &pc.count}
	if _, drawn := t["template"]; drawn {
		for _, key := range []string{"length", "width"} {
			if _, told := t[key]; told {
				return doc.Fault(source.Key(path, key), fmt.Sprintf("found a %s beside a template, expected one or the other", key), "a template is as long and wide as it is drawn")
			}
		}
		pc.length, pc.width = cell{}, cell{} // of the pattern that this one changes
	}
	return overlayKeys(doc, path, t, words, cells)
}

func (f *fitting) overlay(doc *source.Doc, path string, t map[string]any) error {
	return overlayKeys(doc, path, t, nil, map[string]*cell{"count": &f.count, "length": &f.length, "width": &f.width})
}

// overlayKeys reads a table whose keys are known.
func overlayKeys(doc *source.Doc, path string, t map[string]any, words map[string]*word, cells map[string]*cell) error {
	for _, key := range slices.Sorted(maps.Keys(t)) {
		at := source.Key(path, key)
		if w, ok := words[key]; ok {
			text, isText := t[key].(string)
			if !isText || text == "" {
				return doc.Fault(at, fmt.Sprintf("found %s, expected a name in quotes", describe(t[key])), "")
			}
			*w = word{text: text, doc: doc, path: at}
			continue
		}
		c, ok := cells[key]
		if !ok {
			known := slices.Sorted(maps.Keys(words))
			known = slices.Sorted(slices.Values(append(known, slices.Collect(maps.Keys(cells))...)))
			return doc.Fault(at, fmt.Sprintf("unknown key %q, expected one of %s", key, strings.Join(known, ", ")), source.DidYouMean(key, known))
		}
		var err error
		if *c, err = newCell(doc, at, t[key]); err != nil {
			return err
		}
	}
	return nil
}

// eachTable calls do for each table in v, by name.
func eachTable(doc *source.Doc, path string, v any, do func(name, path string, t map[string]any) error) error {
	tables, ok := v.(map[string]any)
	if !ok {
		return doc.Fault(path, fmt.Sprintf("found %s, expected a table for each name", describe(v)), "")
	}
	for _, name := range slices.Sorted(maps.Keys(tables)) {
		at := source.Key(path, name)
		t, ok := tables[name].(map[string]any)
		if !ok {
			return doc.Fault(at, fmt.Sprintf("found %s, expected a table", describe(tables[name])), "")
		}
		if !pieceName.MatchString(name) {
			return doc.Fault(at, fmt.Sprintf("found the name %q, expected letters, figures, - and _", name), "")
		}
		if err := do(name, at, t); err != nil {
			return err
		}
	}
	return nil
}

// pieceName is what patterns, pieces and hardware may be called: their names
// stand on labels and in plan.json.
var pieceName = regexp.MustCompile(`^[\p{L}\p{N}][\p{L}\p{N}_-]{0,39}$`)

// newCell reads a formula in quotes, or a plain number.
func newCell(doc *source.Doc, path string, v any) (cell, error) {
	c := cell{doc: doc, path: path}
	number := func(n float64) formula {
		return formula{text: strconv.FormatFloat(n, 'g', -1, 64), root: &node{at: 1, kind: aNumber, value: n}}
	}
	switch v := v.(type) {
	case string:
		var err error
		if c.formula, err = parseFormula(v); err != nil {
			return cell{}, c.fault(err)
		}
	case int64:
		c.formula = number(float64(v))
	case float64:
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return cell{}, doc.Fault(path, fmt.Sprintf("found %v, expected a formula in quotes or a number", v), "")
		}
		c.formula = number(v)
	default:
		return cell{}, doc.Fault(path, fmt.Sprintf("found %s, expected a formula in quotes or a number", describe(v)), "")
	}
	return c, nil
}

// fault puts an error of the cell's formula in its place in the file. An error
// that has its place already is passed on.
func (c cell) fault(err error) error {
	if f, ok := err.(*formulaError); ok {
		return c.doc.Fault(c.path, f.Error(), f.hint)
	}
	return err
}

// check reports what keeps the pattern from being cut.
func (p *pattern) check(uses []string) error {
	if len(p.pieces) == 0 {
		return p.doc.Fault(p.path, "found a pattern without pieces, expected at least one", fmt.Sprintf("add [%s.pieces.main] with length, width, use and cut", p.path))
	}
	k := &kindFinder{p: p, found: map[string]kind{}, used: map[string]bool{}}
	// What the workshop wrote comes first, so that a mistake in it is not
	// reported of a built-in formula that leads to it.
	names := slices.SortedFunc(maps.Keys(p.measures), func(a, b string) int {
		return cmp.Or(p.later(p.measures[b].doc)-p.later(p.measures[a].doc), cmp.Compare(a, b))
	})
	for _, name := range names {
		got, err := k.measure(name)
		if err != nil {
			return err
		}
		want, ok := meanings[name]
		if was, changed := p.kinds[name]; changed && !ok {
			want, ok = was, true
		}
		if ok && got != want {
			return p.measures[name].wrongKind(got, want)
		}
	}
	for _, pc := range p.inOrder() {
		if err := pc.check(uses); err != nil {
			return err
		}
		if err := k.check(pc.length, pc.width, pc.count); err != nil {
			return err
		}
	}
	for _, f := range p.hardware() {
		if f.width.root == nil && f.length.root == nil {
			return f.doc.Fault(f.path, "found neither a width nor a length, expected at least one", "")
		}
		if err := k.check(f.length, f.width, f.count); err != nil {
			return err
		}
	}
	if p.kinds != nil { // another pattern that is changed
		known := slices.Compact(slices.Sorted(slices.Values(append(slices.Collect(maps.Keys(p.kinds)), slices.Collect(maps.Keys(meanings))...))))
		for _, name := range names {
			if c := p.measures[name]; !k.used[name] && !slices.Contains(known, name) {
				return c.doc.Fault(c.path, fmt.Sprintf("found the measure %s, which nothing in the pattern uses, expected one of %s", name, strings.Join(known, ", ")), source.DidYouMean(name, known))
			}
		}
	}
	p.kinds = k.found
	return nil
}

func (pc *piece) check(uses []string) error {
	rectangle := pc.template.text == ""
	for _, c := range []struct {
		key    string
		absent bool
	}{{"length", rectangle && pc.length.root == nil}, {"width", rectangle && pc.width.root == nil}, {"use", pc.use.text == ""}, {"cut", pc.cut.text == ""}} {
		if c.absent && rectangle {
			return pc.doc.Fault(pc.path, fmt.Sprintf("found no %s, expected length, width, use and cut", c.key), "")
		}
		if c.absent {
			return pc.doc.Fault(pc.path, fmt.Sprintf("found no %s, expected use and cut beside a template", c.key), "")
		}
	}
	if !slices.Contains(uses, pc.use.text) {
		return pc.use.doc.Fault(pc.use.path, fmt.Sprintf("found the use %q, expected one of %s", pc.use.text, strings.Join(uses, ", ")), source.DidYouMean(pc.use.text, uses))
	}
	if pc.cut.text != cutStrip && pc.cut.text != cutKnife {
		return pc.cut.doc.Fault(pc.cut.path, fmt.Sprintf("found %q, expected strip or knife", pc.cut.text), "")
	}
	if !rectangle && pc.cut.text != cutKnife {
		return pc.template.doc.Fault(pc.template.path, fmt.Sprintf("found a template of what is cut as %q, expected cut = \"knife\"", pc.cut.text), "the strap cutter rips straight strips only")
	}
	return nil
}

// kindFinder finds the kinds of a pattern's formulas.
type kindFinder struct {
	p      *pattern
	found  map[string]kind
	used   map[string]bool // the measures that a formula has
	within []string        // the measures whose formulas led here
}

// check checks that two cells are lengths and the third a number. Cells left
// out pass.
func (k *kindFinder) check(length, width, count cell) error {
	for i, c := range []cell{length, width, count} {
		if c.root == nil {
			continue
		}
		want := aLength
		if i == 2 {
			want = aNumber
		}
		got, err := k.cell(c)
		if err != nil {
			return err
		}
		if got != want {
			return c.wrongKind(got, want)
		}
	}
	return nil
}

func (c cell) wrongKind(got, want kind) error {
	hint := ""
	if want == aLength {
		hint = "a length needs its unit: 2in, 50mm"
	}
	return c.doc.Fault(c.path, fmt.Sprintf("in %q: found %s, expected %s", c.text, got, want), hint)
}

func (k *kindFinder) measure(name string) (kind, error) {
	if found, ok := k.found[name]; ok {
		return found, nil
	}
	if i := slices.Index(k.within, name); i >= 0 {
		circle := strings.Join(append(slices.Clone(k.within[i:]), name), " → ")
		c := k.p.measures[name]
		return 0, c.doc.Fault(c.path, fmt.Sprintf("in %q: found a circle of measures (%s), expected formulas that end", c.text, circle), "")
	}
	k.within = append(k.within, name)
	found, err := k.cell(k.p.measures[name])
	k.within = k.within[:len(k.within)-1]
	if err == nil {
		k.found[name] = found
	}
	return found, err
}

func (k *kindFinder) cell(c cell) (kind, error) {
	found, err := c.kindOf(func(name string, at int) (kind, error) {
		if slices.Contains(given, name) {
			return aLength, nil
		}
		if _, ok := k.p.measures[name]; ok {
			k.used[name] = true
			return k.measure(name)
		}
		known := append(slices.Clone(given), slices.Sorted(maps.Keys(k.p.measures))...)
		return 0, &formulaError{text: c.text, at: at, rule: fmt.Sprintf("found the name %s, expected one of %s", name, strings.Join(known, ", ")), hint: source.DidYouMean(name, known)}
	})
	return found, c.fault(err)
}

// later is 1 for a file that changes the pattern, 0 for the one that made it.
func (p *pattern) later(doc *source.Doc) int {
	if doc == p.doc {
		return 0
	}
	return 1
}

// inOrder lists the pieces: the built-in ones first, then those that the
// workshop adds, each as its file lists them.
func (p *pattern) inOrder() []*piece {
	return slices.SortedFunc(maps.Values(p.pieces), func(a, b *piece) int {
		return cmp.Or(p.later(a.doc)-p.later(b.doc), cmp.Compare(a.doc.Line(a.path), b.doc.Line(b.path)), cmp.Compare(a.name, b.name))
	})
}

// hardware lists the fittings by name.
func (p *pattern) hardware() []*fitting {
	return slices.SortedFunc(maps.Values(p.fittings), func(a, b *fitting) int { return cmp.Compare(a.name, b.name) })
}

// describe names what a value of a file is.
func describe(v any) string {
	switch v := v.(type) {
	case string:
		return strconv.Quote(v)
	case bool, int64, float64:
		return fmt.Sprint(v)
	case map[string]any:
		return "a table"
	case []any:
		return "a list"
	}
	return "a date or time"
}
