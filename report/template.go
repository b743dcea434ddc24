package report

import (
	"cmp"
	"slices"

	"github.com/paulmach/orb"

	"strapwise/hide/plane"
	"strapwise/nest"
)

// template is the one that a piece is cut to with the knife; nil: it is a rectangle.
func (l *lay) template(p nest.Piece) *nest.Template {
	part, _ := l.part(p)
	return part.Template
}

// templateFile is the drawing of the template that a piece is cut to, or nothing.
func (l *lay) templateFile(p nest.Piece) string {
	if t := l.template(p); t != nil {
		return t.File
	}
	return ""
}

// blank is the rectangle in which a template is cut from its strip, on the hide; nil if
// it has no strip.
func (l *lay) blank(p nest.Piece) []orb.Point {
	s, known := l.strips[p.Strip]
	if !known {
		return nil
	}
	return l.frame.Rect(plane.Span{Lo: p.FromMM, Hi: p.ToMM}, across(s))
}

// forTemplate says in the list that what is cross-cut there is the rectangle round a
// template.
func (l *lay) forTemplate(p nest.Piece) string {
	if file := l.templateFile(p); file != "" {
		return ", for " + file
	}
	return ""
}

// templateNote is told once on a sheet that has any.
const templateNote = "templates are laid as the rectangles round them: put each in the near left corner of its own, the way the picture has it"

// templates writes the last cut of what was cross-cut as the rectangle round a template,
// all those of one together.
func (w *writer) templates() {
	type group struct {
		to     *nest.Template
		part   string
		pieces []nest.Piece
	}
	var groups []group
	for _, p := range w.got {
		to := w.template(p)
		if to == nil || p.Cut || w.blank(p) == nil {
			continue
		}
		i := slices.IndexFunc(groups, func(g group) bool { return g.part == p.Part && g.to.File == to.File && g.to.Same(to) })
		if i < 0 {
			i, groups = len(groups), append(groups, group{to: to, part: p.Part})
		}
		groups[i].pieces = append(groups[i].pieces, p)
	}
	if len(groups) > 0 {
		w.add(Step{Note: true, Do: words(templateNote)})
	}
	for _, g := range groups {
		slices.SortStableFunc(g.pieces, func(a, b nest.Piece) int { return cmp.Or(cmp.Compare(a.Order, b.Order), cmp.Compare(a.Set, b.Set)) })
		length, width := w.size(g.pieces[0])
		named := slices.CompactFunc(slices.Clone(g.pieces), func(a, b nest.Piece) bool { return a.Name() == b.Name() })
		for i := range named {
			named[i].New = false // what has changed is where it was cross-cut, and told there
		}
		w.add(Step{Do: join(
			words("cut out by knife to template "+g.to.File+", "), figure(w.rule, width), words(" × "), figure(w.rule, length),
			words(", "+count(len(g.pieces), "piece")+": "+labels(named)),
		)})
	}
}
