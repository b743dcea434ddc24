package orders

import (
	"fmt"
	"math"
	"strings"

	"strapwise/hide"
	"strapwise/hide/measure"
	"strapwise/hide/source"
	"strapwise/nest"
)

// Limits of what can be made at a bench, in millimetres. What lies beyond them
// is a mistake in a size or a formula.
const (
	leastCut  = 1.0
	longest   = 10e3 // several times the longest hide
	widest    = 1e3  // of a finished article
	mostCount = 99   // of one piece in a set
)

// article is what a row asks for, apart from how many.
type article struct {
	pattern         string
	width, size     float64 // mm
	leather, lining string
	open            bool // where leather or lining is not named, its parts stand aside
}

// cut works out one set.
func (h *House) cut(a article) (Line, *hide.Fault) {
	p, ok := h.patterns[a.pattern]
	if !ok {
		return Line{}, unknown("pattern", a.pattern, h.Patterns(), "")
	}
	if !h.keeps(a.leather) && !(a.open && a.leather == "") {
		return Line{}, unknown("leather", a.leather, h.Leathers(), fmt.Sprintf("add [leathers.%s] to workshop.toml", a.leather))
	}
	if a.lining != "" && !h.keeps(a.lining) {
		return Line{}, unknown("lining", a.lining, h.Leathers(), fmt.Sprintf("add [leathers.%s] to workshop.toml", a.lining))
	}
	s := &sums{p: p, a: a, known: map[string]float64{
		giveWidth:     a.width,
		giveSize:      a.size,
		giveSubstance: h.substance(a.leather, defaultSubstance),
		giveLining:    h.substance(a.lining, defaultLining),
	}}
	s.limit("width", "width", a.width, leastCut, widest)
	s.limit("size", "size", a.size, leastCut, longest)
	line := Line{Pattern: a.pattern, Width: a.width, Size: a.size, Leather: a.leather, Lining: a.lining}
	for _, pc := range p.inOrder() {
		part := s.part(pc)
		switch {
		case part.Count == 0:
		case part.Leather == "" && !a.open:
			s.fail("lining", "found no lining, expected one of "+strings.Join(h.Leathers(), ", "), fmt.Sprintf("the piece %s of the pattern %s is cut from it", pc.name, p.name))
		case part.Leather == "":
			part.Leather = pc.leather.text
			line.Aside = append(line.Aside, part)
		case h.keeps(part.Leather):
			line.Parts = append(line.Parts, part)
		default:
			line.Aside = append(line.Aside, part)
		}
	}
	for _, f := range p.hardware() {
		if piece := s.fitting(f); piece.Count > 0 {
			line.Hardware = append(line.Hardware, piece)
		}
	}
	line.Finished = s.meaning(meanFinished, longest)
	line.Seam = s.meaning(meanSeam, 10*longest)
	if line.Seam > 0 {
		line.Stitches = int(math.Round(line.Seam / measure.MMPerInch * s.meaning(meanStitches, 100)))
		line.Thread = line.Seam*4 + 12*measure.MMPerInch // saddle stitch, two needles: common practice, no source
	}
	if len(line.Parts) == 0 && !a.open {
		s.fail("pattern", p.name+": found no piece to cut from a leather that the workshop lists, expected at least one", "")
	}
	if s.fault != nil {
		return Line{}, s.fault
	}
	return line, nil
}

func (h *House) substance(leather string, otherwise float64) float64 {
	if l := h.leathers[leather]; l.Substance > 0 {
		return l.Substance
	}
	return otherwise
}

func unknown(column, name string, known []string, hint string) *hide.Fault {
	f := &hide.Fault{Path: column, Rule: fmt.Sprintf("found the %s %q, expected one of %s", column, name, strings.Join(known, ", ")), Hint: hint}
	switch near := source.DidYouMean(name, known); {
	case len(known) == 0:
		f.Rule = fmt.Sprintf("found the %s %q, and the workshop lists none", column, name)
	case near != "":
		f.Hint = near
	}
	return f
}

// sums works out the formulas of a pattern for one article. It keeps the first
// fault and goes on, so that callers need not look for one at each step.
type sums struct {
	p     *pattern
	a     article
	known map[string]float64 // what the order gives, and measures worked out
	fault *hide.Fault
}

func (s *sums) fail(column, rule, hint string) {
	if s.fault == nil {
		s.fault = &hide.Fault{Path: column, Rule: rule, Hint: hint}
	}
}

// limit checks a length.
func (s *sums) limit(column, what string, mm, least, most float64) {
	if !(mm >= least && mm <= most) {
		s.fail(column, fmt.Sprintf("found %s of %s, expected %s to %s", what, millimetres(mm), millimetres(least), millimetres(most)), "")
	}
}

// value works out a cell; what names it in messages.
func (s *sums) value(what string, c cell) float64 {
	v, err := c.eval(s.name)
	if err != nil {
		s.fail("pattern", fmt.Sprintf("%s: %s: %s", s.p.name, what, err), s.forSize())
	}
	return v
}

// name is the value of a name. check has seen that it exists and leads to no
// circle.
func (s *sums) name(name string) (float64, error) {
	if v, ok := s.known[name]; ok {
		return v, nil
	}
	v, err := s.p.measures[name].eval(s.name)
	if err == nil {
		s.known[name] = v
	}
	return v, err
}

// length works out a length that must be something to cut.
func (s *sums) length(what string, c cell) float64 {
	mm := s.value(what, c)
	if s.fault == nil && !(mm >= leastCut && mm <= longest) {
		s.fail("pattern", fmt.Sprintf("%s: %s = %q comes to %s, expected %s to %s", s.p.name, what, c.text, millimetres(mm), millimetres(leastCut), millimetres(longest)), s.forSize())
	}
	return mm
}

func (s *sums) forSize() string {
	return fmt.Sprintf("the width is %s and the size %s", millimetres(s.a.width), millimetres(s.a.size))
}

// count works out how many; a count left out is 1.
func (s *sums) count(what string, c cell) int {
	if c.root == nil {
		return 1
	}
	n := s.value(what, c)
	whole := math.Round(n)
	if s.fault == nil && !(whole >= 0 && whole <= mostCount && math.Abs(n-whole) < nest.SameLength) {
		s.fail("pattern", fmt.Sprintf("%s: %s = %q comes to %.6g, expected a whole number from 0 to %d", s.p.name, what, c.text, n, mostCount), s.forSize())
		return 0
	}
	return int(whole)
}

// part works out a piece. One whose count is 0 need not make sense otherwise.
// The leather
// of a piece is empty if the article does not name it.
func (s *sums) part(pc *piece) nest.Part {
	n := s.count(pc.name+".count", pc.count)
	if n == 0 || s.fault != nil {
		return nest.Part{}
	}
	part := nest.Part{
		Name:    pc.name,
		Leather: pc.leather.text,
		Use:     pc.use.text,
		Count:   n,
		Knife:   pc.cut.text == cutKnife,
	}
	if part.Template = pc.drawn; pc.drawn != nil {
		b := pc.drawn.Outline.Bound()
		part.Length, part.Width = b.Max[0], b.Max[1]
	} else {
		part.Length, part.Width = s.length(pc.name+".length", pc.length), s.length(pc.name+".width", pc.width)
	}
	switch part.Leather {
	case orderLeather:
		part.Leather = s.a.leather
	case orderLining:
		part.Leather = s.a.lining
	}
	return part
}

func (s *sums) fitting(f *fitting) Hardware {
	out := Hardware{Name: f.name, Count: s.count(f.name+".count", f.count)}
	if out.Count > 0 && f.width.root != nil {
		out.Width = s.length(f.name+".width", f.width)
	}
	if out.Count > 0 && f.length.root != nil {
		out.Length = s.length(f.name+".length", f.length)
	}
	return out
}

// meaning works out a measure that means something outside the pattern; one
// left out is 0.
func (s *sums) meaning(name string, most float64) float64 {
	c, ok := s.p.measures[name]
	if !ok {
		return 0
	}
	v := s.value(name, c)
	if s.fault == nil && !(v >= 0 && v <= most) {
		s.fail("pattern", fmt.Sprintf("%s: %s = %q comes to %.6g, expected 0 to %.6g", s.p.name, name, c.text, v, most), s.forSize())
	}
	return v
}

// millimetres prints a length for messages, to a millionth, so that what
// float64 loses does not show.
func millimetres(mm float64) string { return fmt.Sprintf("%.6g mm", math.Round(mm*1e6)/1e6+0) }
