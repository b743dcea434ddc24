package forecast

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"

	"strapwise/hide"
	"strapwise/hide/chance"
	"strapwise/hide/measure"
	"strapwise/hide/source"
)

// How many hides must be known before forecasts go by them and no longer by the
// models, and how many flaws: fewer tell more of chance than of leather.
const (
	enoughHides = 5
	enoughFlaws = 30
)

// World is what hides are taken to look like. It does not change.
type World struct {
	models  chance.Models
	forms   map[string][]*hide.Hide  // enough known hides of a form
	spreads map[string]chance.Spread // how those differ
	values  map[lot][]float64        // cutting values of enough known hides of a lot
	met     []chance.Met             // enough known flaws
	metOn   map[string][]chance.Met  // enough of a form: they lie where they were met
}

// lot is hides that were bought alike: as a grade, whatever the form; or in a form,
// whatever the grade. The supplier is empty for all of them together.
type lot struct{ supplier, grade, form string }

// lots are those that a hide of the kind is of, the narrowest first.
func (k Kind) lots() []lot {
	wide := lot{grade: k.Grade}
	if k.Grade == "" {
		wide = lot{form: k.Form}
	}
	narrow := wide
	narrow.supplier = k.Supplier
	return []lot{narrow, wide}
}

// valuesOf are the cutting values that a hide of the kind may have, and whose they are;
// none, if too few such hides are known.
func (w *World) valuesOf(k Kind) ([]float64, lot) {
	for _, l := range k.lots() {
		if values := w.values[l]; values != nil {
			return values, l
		}
	}
	return nil, lot{}
}

// NewWorld learns what it can from hides that are known, whatever their leather:
// outline and soft leather of each form, the cutting values of each grade that hides
// were bought as, of a supplier's own and of each form, and the flaws. Remnants and sheets teach nothing.
func NewWorld(m chance.Models, known []*hide.Hide) *World {
	w := &World{models: m, forms: map[string][]*hide.Hide{}, spreads: map[string]chance.Spread{}, values: map[lot][]float64{}, metOn: map[string][]chance.Met{}}
	for _, h := range known {
		if h.Form() == hide.Remnant || h.Form() == "sheet" {
			continue
		}
		w.forms[h.Form()] = append(w.forms[h.Form()], h)
		value := h.CuttingValue(m.MarkedOff)
		for _, grade := range slices.Compact([]string{"", h.Grade()}) {
			lots := Kind{Form: h.Form(), Grade: grade, Supplier: h.Supplier()}.lots()
			for _, l := range slices.Compact(lots) {
				w.values[l] = append(w.values[l], value)
			}
		}
		met := chance.MetOn(h)
		w.met, w.metOn[h.Form()] = append(w.met, met...), append(w.metOn[h.Form()], met...)
	}
	for form, hides := range w.forms {
		if len(hides) < enoughHides {
			delete(w.forms, form)
		} else {
			w.spreads[form] = chance.SpreadOf(hides, m.Forms[form].Whole)
		}
	}
	for l, values := range w.values {
		if len(values) < enoughHides {
			delete(w.values, l)
		}
	}
	for form, met := range w.metOn {
		if len(met) < enoughFlaws {
			delete(w.metOn, form)
		}
	}
	if len(w.met) < enoughFlaws {
		w.met = nil
	}
	return w
}

// Check tells whether hides of the kind can be drawn at all; the rule is for areas. The
// error is a *hide.Fault whose path is form, area or grade.
func (w *World) Check(k Kind, rule measure.Rule) error {
	if _, known := w.models.Forms[k.Form]; !known {
		return &hide.Fault{Path: "form", Rule: fmt.Sprintf("found the form %q, expected one that is sold", k.Form), Hint: source.DidYouMean(k.Form, hide.Forms())}
	}
	if err := w.checkArea(k, rule); err != nil {
		return err
	}
	if k.Form == "sheet" {
		return nil
	}
	_, known := band(k.Grade)
	if values, _ := w.valuesOf(k); known || values != nil {
		return nil
	}
	f := &hide.Fault{Path: "grade", Rule: fmt.Sprintf("found the grade %q, expected one of %s, or one of which %d hides are known", k.Grade, strings.Join(grades(), ", "), enoughHides)}
	if k.Grade == "" {
		f.Rule = fmt.Sprintf("found nothing, expected one of %s: fewer than %d hides of the form %s are known", strings.Join(grades(), ", "), enoughHides, k.Form)
	}
	return f
}

// checkArea tells whether hides of the form fill a rectangle as length, depth and area
// have it, within a tenth, since shapes are stretched to it.
func (w *World) checkArea(k Kind, rule measure.Rule) error {
	const (
		draws = 30
		about = 0.1
	)
	box := k.Length * k.Depth
	if box == 0 || k.Area == 0 {
		return nil
	}
	lo, hi := math.Inf(1), 0.0
	for seed := range uint64(draws) {
		h, err := hide.New(w.grown(Kind{Leather: k.Leather, Form: k.Form}, seed).Spec)
		if err != nil {
			return err
		}
		length, depth := sizeOf(h)
		lo, hi = min(lo, h.Area()/(length*depth)), max(hi, h.Area()/(length*depth))
	}
	lo, hi = lo*(1-about), min(1, hi*(1+about))
	if lo*box <= k.Area && k.Area <= hi*box {
		return nil
	}
	return &hide.Fault{
		Path: "area", Rule: fmt.Sprintf("found %s, expected %s to %s of a %s %s long and %s deep", rule.Area(k.Area), rule.Area(lo*box), rule.Area(hi*box), k.Form, rule.Length(k.Length), rule.Length(k.Depth)),
		Hint: fmt.Sprintf("such a hide fills %.0f to %.0f %% of its rectangle", 100*lo, 100*hi),
	}
}

// Draw is a hide of the kind, the same for the same seed. Check allows the kind.
func (w *World) Draw(k Kind, seed uint64) (*hide.Hide, error) {
	g := w.grown(k, seed)
	r := chance.Rand(seed, chance.OfFlaws)
	made := chance.ByHabit(w.models.Habits, w.models.Sizes)
	if met := w.metOn[k.Form]; met != nil {
		made = chance.Like(met, true)
	} else if w.met != nil {
		made = chance.Like(w.met, false)
	}
	value := 100.0
	if values, _ := w.valuesOf(k); values != nil {
		value = values[r.IntN(len(values))]
	} else if b, known := band(k.Grade); known {
		value = chance.CuttingValue(r, b)
	}
	var spec hide.Spec
	var err error
	if grew := w.models.Forms[k.Form].Growth; w.met == nil && grew.Strewn[1] > 0 {
		spec, err = g.Worn(r, chance.ByHabit(w.models.Habits, w.models.Strewn), grew, value, w.models.MarkedOff)
	} else {
		spec, err = g.Graded(r, made, value, w.models.MarkedOff)
	}
	if err != nil {
		return nil, err
	}
	spec.Nominal = k.Nominal
	return hide.New(spec)
}

// grown is a hide of the kind without flaws, of the size asked for. Where length, depth
// and area are all told, so is how full its rectangle is: of several shapes, one that fills
// it so is drawn.
func (w *World) grown(k Kind, seed uint64) chance.Grown {
	const (
		tries = 30
		near  = 0.02 // of the depth asked for
	)
	r := chance.Rand(seed, chance.Others)
	shaped := w.shapedAsKnown(k, r)
	if w.forms[k.Form] == nil {
		f := w.models.Forms[k.Form].Sized(k.Length, k.Depth)
		g := f.Grow("drawn", k.Leather, seed)
		clean, err := hide.New(g.Spec)
		if err != nil || !f.Growth.Shaped() && k.Area == 0 {
			return g // Draw tells of an error
		}
		shaped = func() chance.Grown {
			if !f.Growth.Shaped() {
				length, depth := sizeOf(clean)
				return stretched(k, clean, length, depth)
			}
			by := f.Growth.Shape(r)
			length, depth := f.Size(r)
			return stretched(k, bent(clean, by), length, depth)
		}
	}
	best, off := chance.Grown{}, math.Inf(1)
	for range tries {
		g := shaped()
		if k.Length == 0 || k.Depth == 0 || k.Area == 0 {
			return g
		}
		_, depth := g.Size()
		if far := math.Abs(depth/k.Depth - 1); far < off {
			best, off = g, far
		}
		if off < near {
			break
		}
	}
	return best
}

// shapedAsKnown makes hides like those that are known of the form.
func (w *World) shapedAsKnown(k Kind, r *rand.Rand) func() chance.Grown {
	size := func(want, is float64) float64 {
		const much = 0.02
		if want == 0 {
			want = is
		}
		return want * chance.Between(r, 1-much, 1+much)
	}
	known := w.forms[k.Form]
	return func() chance.Grown {
		h := known[r.IntN(len(known))]
		by := w.spreads[k.Form].Beyond(r)
		length, depth := sizeOf(h)
		length, depth = size(k.Length, length), size(k.Depth, depth)
		return stretched(k, bent(h, by), length, depth)
	}
}

// bent is a hide with a shape of its own.
func bent(h *hide.Hide, by chance.Shape) *hide.Hide {
	if other, err := hide.New(chance.Bent(h, by).Spec); err == nil {
		return other
	}
	return h
}

// stretched is the hide so long and so deep, and of the area of the kind.
func stretched(k Kind, h *hide.Hide, length, depth float64) chance.Grown {
	l, d := sizeOf(h)
	along, across := scaled(k, length/l, depth/d, h.Area()*length/l*depth/d)
	g := chance.As(h, "drawn", along, across)
	g.Spec.Leather = k.Leather
	return g
}

// sizeOf is how long a hide is along its backbone, and how deep all across it.
func sizeOf(h *hide.Hide) (length, depth float64) {
	box := h.Outline().In(h.Frame()).Bound()
	return box.Max[0] - box.Min[0], box.Max[1] - box.Min[1]
}

// scaled brings a hide of some area to the area of the kind: across, where the
// length is told, along, where the depth is; otherwise both ways alike.
func scaled(k Kind, along, across, area float64) (float64, float64) {
	switch {
	case k.Area == 0:
	case k.Length > 0:
		across *= k.Area / area
	case k.Depth > 0:
		along *= k.Area / area
	default:
		both := math.Sqrt(k.Area / area)
		along, across = along*both, across*both
	}
	return along, across
}

// Assumed says in plain words what the forecast of a kind rests on, in the measures of
// the rule.
func (w *World) Assumed(k Kind, rule measure.Rule) []string {
	var out []string
	if known := w.forms[k.Form]; known != nil {
		out = append(out, fmt.Sprintf("outline and soft leather are those of %s %s that the workshop has or had, stretched; the next differs from them as far as so few tell", source.Count(len(known), "hide"), "of the form "+k.Form))
	} else {
		f := w.models.Forms[k.Form].Sized(k.Length, k.Depth)
		across := 1.0
		if f.Whole {
			across = 2
		}
		s := fmt.Sprintf("a %s is %s long and %s deep", k.Form, ranged(rule, f.Length, 1), ranged(rule, f.Depth, across))
		if f.Firm < 1 {
			s += fmt.Sprintf("; beyond %.0f %% of its depth from the backbone it is soft", 100*f.Firm)
		}
		out = append(out, s+fmt.Sprintf(" (a model; fewer than %d such hides are known)", enoughHides))
		if g := f.Growth; g.Ragged[1] > 0 {
			s := fmt.Sprintf("its edge strays by %s from an even line", rule.Both(g.Ragged[0])+" to "+rule.Both(g.Ragged[1]))
			if g.Shaped() {
				s += fmt.Sprintf("; along it, one hide is deeper than another by %.0f %% of its depth, and its ends slant by %.0f°, more or less", 100*g.Uneven, math.Atan(g.Slant)*180/math.Pi)
			}
			of := "a guess"
			if g.Of > 0 {
				of = fmt.Sprintf("measured on %d hides of a cutting room", g.Of)
			}
			out = append(out, s+" ("+of+")")
		}
	}
	if k.Area > 0 {
		out = append(out, fmt.Sprintf("each is stretched to %s", rule.Area(k.Area)))
	}
	if k.Form == "sheet" {
		return append(out, "a sheet has no flaws")
	}
	if values, l := w.valuesOf(k); values != nil {
		of := "bought as " + l.grade
		if l.grade == "" {
			of = "of the form " + l.form
		}
		if l.supplier != "" {
			of += " from " + l.supplier
		}
		mean := 0.0
		for _, v := range values {
			mean += v / float64(len(values))
		}
		out = append(out, fmt.Sprintf("each has the share of flaws of one of the %s %s that the workshop has or had: %.0f %% of the area on the average, with %s marked off round each flaw", source.Count(len(values), "hide"), of, 100-mean, rule.Both(w.models.MarkedOff)))
	} else if b, known := band(k.Grade); known {
		out = append(out, fmt.Sprintf("grade %s has %.0f %% of its area in flaws on the average, with %s marked off round each (SATRA's bands; what is marked off is a guess)", k.Grade, 100-b.Mean, rule.Both(w.models.MarkedOff)))
	}
	strewn := w.models.Forms[k.Form].Growth.Strewn
	switch met := w.metOn[k.Form]; {
	case met != nil:
		out = append(out, fmt.Sprintf("flaws are of the kinds and sizes of the %d on %ss that the workshop has or had, and near where those lie", len(met), k.Form))
	case w.met != nil:
		out = append(out, fmt.Sprintf("flaws are of the kinds and sizes of the %d on hides that the workshop has or had, and lie anywhere", len(w.met)))
	case strewn[1] > 0:
		out = append(out, fmt.Sprintf("%d to %d flaws of the kinds and sizes of the model lie anywhere (fewer than %d are known); what else is lost is a few poor places, on %.0f hides of 100 at the edges of belly and flank, on the others anywhere", strewn[0], strewn[1], enoughFlaws, 100*w.models.Forms[k.Form].Growth.AtEdge))
	default:
		out = append(out, fmt.Sprintf("flaws are of the kinds and sizes of the model (fewer than %d are known), and lie anywhere", enoughFlaws))
	}
	return append(out, "the planner knows of every flaw")
}

func ranged(rule measure.Rule, mm [2]float64, times float64) string {
	rule.Mark = 10 // no hide is finer
	if rule.System == measure.Inch {
		rule.Mark = measure.MMPerInch / 2
	}
	lo, hi := rule.Length(times*mm[0]), rule.Length(times*mm[1])
	if lo == hi {
		return lo
	}
	return lo + " to " + hi
}

func band(grade string) (hide.Band, bool) {
	for _, b := range hide.Bands() {
		if b.Grade == grade {
			return b, true
		}
	}
	return hide.Band{}, false
}

func grades() []string {
	var out []string
	for _, b := range hide.Bands() {
		out = append(out, b.Grade)
	}
	return out
}
