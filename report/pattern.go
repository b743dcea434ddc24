package report

import (
	"fmt"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"strapwise/hide/measure"
	"strapwise/nest"
)

// Drawings at full size are pages as large as what they show, for Tiles to lay out
// on paper.

// patternAir is the room round a strip or a piece at full size, in millimetres.
const patternAir = 8.0

// sheetStretch is how far apart the names of what is long are repeated at full size,
// so that there is one on each sheet of paper, or nearly so.
const sheetStretch = 170.0 // mm

// HideDrawing is the picture of a hide at its own size, without the list.
func HideDrawing(j nest.Job, p nest.Plan, hideName string, rule measure.Rule) (Page, error) {
	l, err := readLay(j, p, hideName, rule)
	if err != nil {
		return Page{}, err
	}
	return l.drawing(hideName), nil
}

func (l *lay) drawing(what string) Page {
	page := Page{Title: what + " at full size, plan " + Mark(l.plan)}
	withKey(func(spare float64) (wants float64) {
		k := &ink{}
		page.Width, page.Height = l.pictureSize(1, spare)
		wants = drawPicture(l, k, orb.Bound{Max: orb.Point{page.Width, page.Height}}, 1, spare)
		page.Items = k.items
		return wants
	})
	return page
}

// StripDrawing is one band or block of a hide at its own size, by the name it has
// on the sheet: "7", "7a".
func StripDrawing(j nest.Job, p nest.Plan, hideName, name string, rule measure.Rule) (Page, error) {
	l, err := readLay(j, p, hideName, rule)
	if err != nil {
		return Page{}, err
	}
	b, ok := l.named(name)
	if !ok {
		return Page{}, fmt.Errorf("found no strip or block %q on the sheet of hide %q", name, hideName)
	}
	l.only(b)
	page := l.drawing(fmt.Sprintf("%s, %s,", hideName, name))
	zero := l.zero(orb.Bound{Max: orb.Point{page.Width, page.Height}}, 1)
	from, to := l.reach(b.blocks[0]), l.reach(b.blocks[len(b.blocks)-1])
	return page.cropped(orb.Bound{
		Min: orb.Point{zero[0] + from.Lo, zero[1] - b.far()},
		Max: orb.Point{zero[0] + to.Hi, zero[1] - b.from},
	}.Pad(patternAir)), nil
}

// named is the band of that name, or the band with no other block than that of
// the name.
func (l *lay) named(name string) (band, bool) {
	for _, b := range l.bands {
		if len(b.blocks) > 0 && b.name() == name {
			return b, true
		}
		for _, k := range b.blocks {
			if k.name == name {
				b.blocks = []block{k}
				return b, true
			}
		}
	}
	return band{}, false
}

// only leaves one band of all that is cut.
func (l *lay) only(b band) {
	held := map[int]bool{}
	for _, k := range b.blocks {
		for _, s := range k.strips {
			held[s.N] = true
		}
	}
	l.bands = []band{b}
	l.cuts.Strips = slices.DeleteFunc(slices.Clone(l.cuts.Strips), func(s nest.Strip) bool { return !held[s.N] })
	l.remnants, l.loose = nil, nil
}

// cropped is a part of a page as a page of its own.
func (p Page) cropped(to orb.Bound) Page {
	out := Page{Width: to.Max[0] - to.Min[0], Height: to.Max[1] - to.Min[1], Title: p.Title}
	move := func(at orb.Point) orb.Point { return orb.Point{at[0] - to.Min[0], at[1] - to.Min[1]} }
	for _, item := range p.Items {
		if !shows(item, to) {
			continue
		}
		switch it := item.(type) {
		case Shape:
			it.Points = slices.Clone(it.Points)
			for i, at := range it.Points {
				it.Points[i] = move(at)
			}
			out.Items = append(out.Items, it)
		case Text:
			it.At = move(it.At)
			out.Items = append(out.Items, it)
		}
	}
	return out
}

// SetDrawing holds the patterns of what one set of an order takes, at full size,
// one below the other: of all its parts, or of the one that is named. No plan
// is needed for it.
func SetDrawing(j nest.Job, order string, set int, only string, rule measure.Rule) (Page, error) {
	parts, err := partsOf(j, order, set, only)
	if err != nil {
		return Page{}, err
	}
	k := &ink{}
	y, width := patternAir, 0.0
	for _, part := range parts {
		piece := nest.Piece{Order: order, Set: set, Part: part.Name, Use: part.Use}
		size := join(words(" "), figure(rule, rule.Up(part.Width)), words(" × "), figure(rule, rule.Up(part.Length)), words(" "+unitShort(rule)))
		name := join(words(label(piece)), words(" "), size, words(", "+part.Leather))
		if part.Template != nil {
			name = join(name, words(", template "+part.Template.File))
		}
		if part.Count > 1 {
			name = join(name, words(fmt.Sprintf(", %d of them", part.Count)))
		}
		y += labelSize * leading
		title := Text{At: orb.Point{patternAir, y - 1.2}, Size: labelSize, Bold: true, Runs: name}
		k.text(title)
		box := orb.Bound{Min: orb.Point{patternAir, y}, Max: orb.Point{patternAir + part.Length, y + part.Width}}
		k.pattern(box, part.Template, label(piece), j.Uses[part.Use].Name == "load" && part.Name == "main")
		y = box.Max[1] + patternAir
		width = max(width, box.Max[0], title.Bound().Max[0])
	}
	return Page{Width: width + patternAir, Height: y, Title: fmt.Sprintf("%s·%d at full size", order, set), Items: k.items}, nil
}

// TemplateDrawing is a template at full size, as it is drawn: to be glued on card and cut
// out. No plan is needed for it.
func TemplateDrawing(t *nest.Template, rule measure.Rule) Page {
	k := &ink{}
	size := t.Outline.Bound().Max
	y := patternAir + labelSize*leading
	name := join(words(t.File+"  "), figure(rule, rule.Up(size[1])), words(" × "), figure(rule, rule.Up(size[0])), words(" "+unitShort(rule)+", the grain runs with the arrow"))
	title := Text{At: orb.Point{patternAir, y - 1.2}, Size: labelSize, Bold: true, Runs: name}
	k.text(title)
	box := orb.Bound{Min: orb.Point{patternAir, y}, Max: orb.Point{patternAir + size[0], y + size[1]}}
	k.pattern(box, t, t.File, false)
	return Page{Width: max(box.Max[0], title.Bound().Max[0]) + patternAir, Height: box.Max[1] + patternAir, Title: t.File + " at full size", Items: k.items}
}

// pattern draws one in the box: its outline, that of a template if it is cut to one, the
// bars of a buckle end and, along the grain, arrows with its name.
func (k *ink) pattern(box orb.Bound, t *nest.Template, name string, buckle bool) {
	outline := corners(box)
	if t != nil {
		outline = t.Outline.Corners()
		for i, p := range outline { // upward on the page is less
			outline[i] = orb.Point{box.Min[0] + p[0], box.Max[1] - p[1]}
		}
	}
	k.polygon(cut, None, outline...)
	if buckle {
		k.buckleEnd(box, false)
	}
	const arrow = 10.0
	for x := box.Min[0] + 12; x+12 < box.Max[0]; x += sheetStretch {
		y, ok := level(outline, box, x, arrow)
		if !ok {
			continue
		}
		k.arrow(orb.Point{x, y}, orb.Point{arrow, 0})
		text := Text{At: orb.Point{x + 12, y + (ascent-descent)/2*labelSize}, Size: labelSize, Runs: words(name)}
		if b := text.Bound().Pad(clear); x > box.Min[0]+12 && b.Max[0] < box.Max[0] && b.Max[1] < box.Max[1] && boxInside(outline, b) { // the first has it above
			k.text(text)
		}
	}
}

// level is the height, as near the middle of the box as can be, at which an arrow so
// long from x on lies within an outline.
func level(outline []orb.Point, box orb.Bound, x, long float64) (float64, bool) {
	high := box.Max[1] - box.Min[1]
	for _, air := range []float64{4, 1.5, 0.5} {
		for _, part := range []float64{0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.1, 0.9} {
			y := box.Min[1] + part*high
			if half := min(air, high/2*0.9); boxInside(outline, orb.Bound{Min: orb.Point{x, y - half}, Max: orb.Point{x + long, y + half}}) {
				return y, true
			}
		}
	}
	return 0, false
}

// partsOf looks up what a set takes.
func partsOf(j nest.Job, order string, set int, only string) ([]nest.Part, error) {
	var parts []nest.Part
	var ids, names []string
	for _, o := range j.Orders {
		if !slices.Contains(ids, o.ID) {
			ids = append(ids, o.ID)
		}
		if o.ID != order || set < o.FirstSet || set >= o.FirstSet+o.Qty {
			continue
		}
		for _, p := range o.Parts {
			names = append(names, p.Name)
			if only == "" || p.Name == only {
				parts = append(parts, p)
			}
		}
	}
	switch {
	case !slices.Contains(ids, order):
		return nil, fmt.Errorf("found order %q, expected one of %s", order, strings.Join(ids, ", "))
	case len(names) == 0:
		return nil, fmt.Errorf("found set %d of order %s, expected one that it asks for", set, order)
	case len(parts) == 0:
		return nil, fmt.Errorf("found part %q, expected one of %s", only, strings.Join(names, ", "))
	}
	return parts, nil
}
