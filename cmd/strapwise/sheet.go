package main

import (
	"context"
	"fmt"
	"path/filepath"
	"slices"

	"github.com/spf13/cobra"

	"strapwise/hide/source"
	"strapwise/nest"
	"strapwise/nest/safe"
	"strapwise/nest/workshop"
	"strapwise/report"
	"strapwise/report/draw"
)

// sheetSettings are how sheets are set.
type sheetSettings = report.Options

func newSheet(u *ui) *cobra.Command {
	var hides []string
	var out, paper, scale string
	c := &cobra.Command{
		Use:   "sheet [PLAN]",
		Short: "draw the cutting sheets of a plan again",
		Long: `sheet draws a cutting sheet as SVG for every hide of a plan: the hide as it lies
on the bench and, with the same numbers, the cuts in the order of work. Without
PLAN it draws plans/plan.json of the workshop. --scale 1:1 draws the hide at full
size.`,
		Example: "  strapwise sheet --hide ash-3 --paper a3",
		Args:    atMostOne("plan"),
		RunE: func(c *cobra.Command, args []string) error {
			o, err := u.open(c.Context(), args)
			if err != nil {
				return err
			}
			options, err := sheetOptions(o.shop, paper)
			if err != nil {
				return err
			}
			switch scale {
			case "fit":
			case "1:1":
				options.FullSize = true
			default:
				return &usage{fmt.Sprintf("--scale: found %q, expected fit or 1:1", scale), ""}
			}
			job := o.asMade()
			if faults := nest.Check(job, o.plan); len(faults) > 0 {
				return &shortfall{
					fmt.Sprintf("%s: the plan does not fit its files and breaks %s; first: %s", o.path, source.Count(broken(faults), "rule"), faults[0]),
					"strapwise check tells all; nothing was drawn",
				}
			}
			if len(hides) == 0 {
				for _, h := range o.plan.Hides {
					hides = append(hides, h.Hide)
				}
			}
			return writeSheets(c.Context(), u, u.plansDir(out), job, o.plan, once(hides), options)
		},
	}
	c.Flags().StringArrayVar(&hides, "hide", nil, "draw only this `hide` (may be given again)")
	c.Flags().StringVar(&out, "out", "", "the `folder` for the sheets (default plans/ in the workshop)")
	c.Flags().StringVar(&paper, "paper", "a4", "a4, a3 or letter")
	c.Flags().StringVar(&scale, "scale", "fit", "fit the paper, or 1:1")
	return c
}

// once are the names without those that came before.
func once(names []string) []string {
	var out []string
	for _, n := range names {
		if !slices.Contains(out, n) {
			out = append(out, n)
		}
	}
	return out
}

func writeSheets(ctx context.Context, u *ui, dir string, job nest.Job, plan nest.Plan, hides []string, o sheetSettings) error {
	var sheets []safe.File
	for _, h := range hides {
		pages, err := drawn(job, plan, h, o)
		if err != nil {
			return &usage{"--hide: " + err.Error(), ""}
		}
		for i, page := range pages {
			sheets = append(sheets, safe.File{Name: sheetFile(h, i), Data: page})
		}
	}
	files, err := replace(ctx, dir, sheets, nil)
	if err != nil {
		return err
	}
	if u.json {
		return u.value(map[string][]string{"files": files})
	}
	for _, file := range files {
		u.text("%s\n", file)
	}
	return nil
}

// sheetOptions are how this workshop's sheets are set.
func sheetOptions(w *workshop.Workshop, paper string) (sheetSettings, error) {
	p, err := report.ParsePaper(paper)
	if err != nil {
		return sheetSettings{}, &usage{"--paper: " + err.Error(), ""}
	}
	name := ""
	if abs, err := filepath.Abs(w.Dir); err == nil {
		name = filepath.Base(abs)
	}
	return sheetSettings{Rule: w.Rule, Paper: p, Workshop: name}, nil
}

// drawn is the sheet of one hide, a file's content a page.
func drawn(job nest.Job, plan nest.Plan, hide string, o sheetSettings) ([][]byte, error) {
	pages, err := report.Sheet(job, plan, hide, o)
	if err != nil {
		return nil, err
	}
	var out [][]byte
	for _, p := range pages {
		svg, err := draw.SVG(p)
		if err != nil {
			return nil, err
		}
		out = append(out, svg)
	}
	return out, nil
}
