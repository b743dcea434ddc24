package main

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"
	"github.com/spf13/cobra"

	"strapwise/hide"
	"strapwise/hide/measure"
	"strapwise/hide/plane"
	"strapwise/nest"
	"strapwise/nest/safe"
	"strapwise/nest/workshop"
	"strapwise/report"
	"strapwise/report/draw"
)

func newRackShow(u *ui) *cobra.Command {
	var out, paper string
	c := &cobra.Command{
		Use:   "show HIDE",
		Short: "one hide: its size, flaws, zones and runs; with --out, its picture",
		Long: `show describes one hide, to hold against the leather. With --out it also draws it as
it lies on the bench, backbone towards you, into hide-NAME.svg in that folder.`,
		Example: "  strapwise rack show ash-3 --out plans",
		Args:    oneHide,
		RunE:    func(c *cobra.Command, args []string) error { return rackShow(c.Context(), u, args[0], out, paper) },
	}
	c.Flags().StringVar(&out, "out", "", "draw it into this `folder`")
	c.Flags().StringVar(&paper, "paper", "a4", "a4, a3 or letter")
	return c
}

func rackShow(ctx context.Context, u *ui, name, out, paper string) error {
	w, err := workshop.OpenRack(u.workshop)
	if err != nil {
		return err
	}
	options, err := sheetOptions(w, paper)
	if err != nil {
		return err
	}
	job, err := w.Job(name)
	if err != nil {
		return &usage{err.Error(), "strapwise rack list shows the names"}
	}
	u.notes(w)
	h := job.Hides[0]
	r, err := inFigures(w, h)
	if err != nil {
		return err
	}
	var files []string
	if out != "" {
		if files, err = portrait(ctx, job, name, out, options); err != nil {
			return err
		}
	}
	if u.json {
		return u.value(r)
	}
	u.table(hideRows(w, h, r))
	for _, file := range files {
		u.note("wrote %s", file)
	}
	return nil
}

// portrait draws one hide into a folder.
func portrait(ctx context.Context, job nest.Job, name, dir string, o sheetSettings) ([]string, error) {
	page, err := report.Portrait(job, name, o)
	if err != nil {
		return nil, err
	}
	svg, err := draw.SVG(page)
	if err != nil {
		return nil, err
	}
	return replace(ctx, dir, []safe.File{{Name: "hide-" + name + ".svg", Data: svg}}, nil)
}

// hideRows describes a hide for people.
func hideRows(w *workshop.Workshop, h *hide.Hide, r rackHide) []string {
	rule := w.Rule
	box := h.Outline().In(h.Frame()).Bound()
	rows := []string{
		"hide\t" + r.Hide,
		"leather\t" + r.Leather + ", " + r.Form,
		"along the backbone\t" + rule.Both(box.Max[0]-box.Min[0]),
		"across it\t" + rule.Both(box.Max[1]-box.Min[1]),
		"area\t" + rule.BothAreas(r.AreaMM2),
	}
	if r.Use != "" {
		rows = append(rows, "free for "+r.Use+"\t"+rule.BothAreas(r.FreeMM2))
	}
	if h.Stamped() > 0 {
		rows = append(rows, "area as sold\t"+rule.BothAreas(h.Stamped()))
	}
	if h.Trim() > 0 {
		rows = append(rows, "trim\t"+rule.Both(h.Trim()))
	}
	rows = append(rows, readingRows(h, rule)...)
	rows = append(rows, "cost\t"+orDash(r.Cost))
	if !h.Bought().IsZero() {
		rows = append(rows, "bought\t"+h.Bought().Format(time.DateOnly))
	}
	if h.Supplier()+h.Grade() != "" {
		rows = append(rows, "supplier\t"+orDash(h.Supplier())+", grade "+orDash(h.Grade()))
	}
	if h.From() != "" {
		rows = append(rows, "cut from\t"+h.From()+putAway(h))
	}
	edge := "the backbone"
	if h.Form() == hide.Remnant {
		edge = "its lower edge"
		rows = append(rows, "places\tcount from its left end and its lower edge")
	}
	for i, width := range []float64{0.5, 1, 1.5, 2} {
		label := ""
		if i == 0 {
			label = "longest run"
			if r.Use != "" {
				label += " for " + r.Use
			}
		}
		run, at := r.serving.Longest(width*measure.MMPerInch, searchStep)
		text := "none"
		if run.Len() > 0 {
			text = fmt.Sprintf("%s, %s from %s", rule.Length(rule.Down(run.Len())), rule.Length(at-zero(h)[1]), edge)
		}
		rows = append(rows, fmt.Sprintf("%s\t%s wide: %s", label, rule.Length(width*measure.MMPerInch), text))
	}
	for i, f := range h.Flaws() {
		label := ""
		if i == 0 {
			label = "flaws"
		}
		rows = append(rows, fmt.Sprintf("%s\t%d  %s", label, i+1, describe(h, f, rule)))
	}
	for i, z := range h.Zones() {
		label := ""
		if i == 0 {
			label = "zones"
		}
		mm2, _ := on(h, z.Area)
		text := z.Quality.String() + ", " + rule.BothAreas(mm2)
		if z.Turned {
			text += fmt.Sprintf(", grain turned %.4g°", z.Grain.Degrees())
		}
		rows = append(rows, label+"\t"+text)
	}
	return rows
}

func putAway(h *hide.Hide) string {
	if h.PutAway().IsZero() {
		return ""
	}
	return ", put away " + h.PutAway().Format(time.DateOnly)
}

// describe puts a flaw in words.
func describe(h *hide.Hide, f hide.Flaw, rule measure.Rule) string {
	var words []string
	words = append(words, f.Kind)
	switch {
	case f.Spot != nil:
		words = append(words, rule.Length(f.Spot.Diameter)+" across", "at "+place(h, f.Spot.At, rule))
	case f.Stroke != nil:
		words = append(words, rule.Length(f.Stroke.Width)+" wide", "from "+place(h, f.Stroke.Line[0], rule), "to "+place(h, f.Stroke.Line[len(f.Stroke.Line)-1], rule))
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
// starts, and of a remnant, whose backbone went with another part, its own left end and
// lower edge.
func zero(h *hide.Hide) orb.Point {
	if h.Form() == hide.Remnant {
		return h.Outline().In(h.Frame()).Bound().Min
	}
	return orb.Point{}
}

// place tells where on a hide a point lies, as a tape would: along the backbone
// and away from it.
func place(h *hide.Hide, p orb.Point, rule measure.Rule) string {
	at, from := h.Frame().Into(p), zero(h)
	return fmt.Sprintf("%s along, %s out", rule.Length(at[0]-from[0]), rule.Length(at[1]-from[1]))
}
