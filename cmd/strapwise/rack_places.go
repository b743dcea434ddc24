package main

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	"github.com/peterstace/simplefeatures/geom"

	"strapwise/hide"
	"strapwise/hide/measure"
	"strapwise/hide/plane"
)

// describe puts a flaw in words.
func describe(h *hide.Hide, f hide.Flaw, rule measure.Rule) string {
	var words []string
	words = append(words, f.Kind)
	switch {
	case f.Spot != nil:
		words = append(words, rule.Length(f.Spot.Diameter)+" across", "at "+place(h, f.Spot.At, rule))
	case f.Stroke != nil:
		from, to := endsOn(h, f.Stroke.Line)
		words = append(words, rule.Length(f.Stroke.Width)+" wide", "from "+place(h, from, rule), "to "+place(h, to, rule))
	case f.Patch != nil:
		mm2, centre := on(h, *f.Patch)
		words = append(words, rule.Area(mm2), "about "+place(h, centre, rule))
	}
	if f.Face == hide.Flesh {
		words = append(words, "on the flesh side")
	}
	return strings.Join(words, ", ")
}

// on is how much of an area lies on the hide, in mm², and about where.
func on(h *hide.Hide, area plane.Ring) (mm2 float64, centre orb.Point) {
	there, err := geom.Intersection(area.Polygon().AsGeometry(), h.Outline().Polygon().AsGeometry())
	lo, hi, ok := there.Envelope().MinMaxXYs()
	if err != nil || !ok {
		return area.Area(), area.Bound().Center()
	}
	return there.Area(), orb.Point{(lo.X + hi.X) / 2, (lo.Y + hi.Y) / 2}
}

// endsOn are the ends of a line as far as it lies on the hide, and of one
// beside it all of it.
func endsOn(h *hide.Hide, line []orb.Point) (from, to orb.Point) {
	from, to = line[0], line[len(line)-1]
	there, err := geom.Intersection(plane.Line(line...).AsGeometry(), h.Outline().Polygon().AsGeometry())
	if err != nil {
		return from, to
	}
	on := there.DumpCoordinates()
	nearest := func(end orb.Point) orb.Point {
		best := end
		for i := range on.Length() {
			p := orb.Point{on.GetXY(i).X, on.GetXY(i).Y}
			if i == 0 || planar.Distance(p, end) < planar.Distance(best, end) {
				best = p
			}
		}
		return best
	}
	return nearest(from), nearest(to)
}

// readingRows tell how thick a hide is, and where that was read. Those of a remnant may
// have been taken on another part of the hide.
func readingRows(h *hide.Hide, rule measure.Rule) []string {
	all := h.Readings()
	if len(all) > 1 && h.Form() == hide.Remnant {
		all = slices.Clone(all)
		slices.SortFunc(all, func(a, b hide.Reading) int { return cmp.Compare(a.MM, b.MM) })
		return []string{fmt.Sprintf("substance\t%.1f to %.1f mm", all[0].MM, all[len(all)-1].MM)}
	}
	var rows []string
	for i, s := range all {
		label := ""
		if i == 0 {
			label = "substance"
		}
		text := fmt.Sprintf("%.1f mm", s.MM)
		if len(all) > 1 {
			text += " at " + place(h, s.At, rule)
		}
		rows = append(rows, label+"\t"+text)
	}
	return rows
}

// zero is the place in a hide's frame that places on it count from: where its backbone
// starts; and of a remnant, whose backbone went with another part, its own left end and
// lower edge, from which a hide without a backbone counts by itself.
func zero(h *hide.Hide) orb.Point {
	if h.Form() == hide.Remnant {
		return h.Outline().In(h.Frame()).Bound().Min
	}
	return orb.Point{}
}

// place tells where on a hide a point lies, as a tape would: along the backbone
// and away from it, on the near side where the hide lies on both.
func place(h *hide.Hide, p orb.Point, rule measure.Rule) string {
	at, from := h.Frame().Into(p), zero(h)
	along, before := strings.CutPrefix(rule.Length(at[0]-from[0]), "-")
	out, near := strings.CutPrefix(rule.Length(at[1]-from[1]), "-")
	if before {
		along += " left of the start"
	} else {
		along += " along"
	}
	if out += " out"; near {
		out += " on the near side"
	}
	return along + ", " + out
}
