package main

import (
	"context"
	"fmt"
	"math"
	"time"

	"github.com/spf13/cobra"

	"strapwise/hide"
	"strapwise/hide/measure"
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
	files := []string{}
	if out != "" {
		if files, err = portrait(ctx, job, name, out, options); err != nil {
			return err
		}
	}
	if u.json {
		return u.value(shownHide{r, files})
	}
	u.table(hideRows(w, h, r))
	wrote(u, files)
	return nil
}

// shownHide is what show prints as JSON.
type shownHide struct {
	rackHide
	Files []string `json:"files"`
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
	if h.Form() == hide.Remnant || len(h.Backbone()) == 0 {
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
			text = fmt.Sprintf("%s, %s from %s", rule.Length(rule.Down(run.Len())), rule.Length(math.Abs(at-zero(h)[1])), edge)
			if at < zero(h)[1] {
				text += ", on the near side"
			}
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
