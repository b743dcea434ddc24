package main

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"strapwise/hide/source"
	"strapwise/nest/safe"
	"strapwise/nest/workshop"
	"strapwise/report"
)

// sheetSettings are how sheets are set.
type sheetSettings = report.Options

// sheetFlags are the flags of sheet.
type sheetFlags struct {
	as, out, paper, scale, strip string
	hides                        []string
}

func newSheet(u *ui) *cobra.Command {
	var f sheetFlags
	c := &cobra.Command{
		Use:   "sheet [PLAN]",
		Short: "draw a plan again: sheets, full-size patterns, labels, lists",
		Long: `sheet draws every hide of PLAN, or of plans/plan.json of the workshop. As svg, pdf or
html it is the cutting sheet: the hide as it lies on the bench and, with the same
numbers, the cuts in the order of work. As dxf it is the hide and all its cuts in
millimetres, in the coordinates of its file, for other drawing programs; as csv two
lists for a spreadsheet, sheet-pieces.csv and sheet-cuts.csv.

--scale 1:1 draws the hide at full size: as pdf on as many sheets of the paper as it
takes, with lines and crosses to join them by and a bar to check the printer; as svg
on one page as large as the hide. --strip draws one strip or block at full size.`,
		Example: `  strapwise sheet --hide ash-3 --as pdf --paper letter
  strapwise sheet --hide ash-3 --as pdf --scale 1:1
  strapwise sheet --hide ash-3 --as pdf --strip 7a
  strapwise sheet set A105/1
  strapwise sheet template cheek.svg
  strapwise sheet labels pieces`,
		Args: atMostOne("plan"),
		RunE: func(c *cobra.Command, args []string) error {
			how, err := f.choose()
			if err != nil {
				return err
			}
			o, err := u.openHolding(c.Context(), args)
			if err != nil {
				return err
			}
			options, err := sheetOptions(o.shop, f.paper)
			if err != nil {
				return err
			}
			if f.hides = once(f.hides); len(f.hides) == 0 {
				f.hides = cutHides(o.plan)
			}
			for _, name := range f.hides {
				if !slices.Contains(cutHides(o.plan), name) {
					return &usage{f.told() + fmt.Sprintf("found %q, expected a hide that the plan cuts", name), "it cuts " + strings.Join(cutHides(o.plan), ", ")}
				}
			}
			if f.strip != "" {
				hide, err := o.holding(f.strip, f.hides)
				if err != nil {
					return err
				}
				f.hides = []string{hide}
			}
			files, err := how(u, o, options, f)
			if err != nil {
				return &usage{f.told() + err.Error(), ""}
			}
			return writeFiles(c.Context(), u, f.out, files)
		},
	}
	c.Flags().StringVar(&f.as, "as", "svg", "svg, pdf, dxf, html or csv")
	c.Flags().StringArrayVar(&f.hides, "hide", nil, "draw only this `hide` (may be given again)")
	c.Flags().StringVar(&f.out, "out", "", "the `folder` for the sheets (default plans/ in the workshop)")
	c.Flags().StringVar(&f.paper, "paper", "a4", "a4, a3 or letter")
	c.Flags().StringVar(&f.scale, "scale", "fit", "fit the paper, or 1:1")
	c.Flags().StringVar(&f.strip, "strip", "", "draw one strip or block, by its `name` on the sheet, at full size")
	c.AddCommand(newSheetSet(u), newSheetTemplate(u), newSheetLabels(u))
	return c
}

// sheetFormats are the formats of what is drawn of a hide.
var sheetFormats = []string{"svg", "pdf", "dxf", "html"}

// drawer makes the files of some hides of a plan.
type drawer func(u *ui, o opened, options sheetSettings, f sheetFlags) ([]safe.File, error)

// choose is what the flags ask for.
func (f sheetFlags) choose() (drawer, error) {
	full := f.strip != ""
	switch f.scale {
	case "fit":
	case "1:1":
		full = true
	default:
		return nil, &usage{fmt.Sprintf("--scale: found %q, expected fit or 1:1", f.scale), ""}
	}
	switch f.as {
	case "svg", "pdf":
		switch {
		case f.strip != "":
			return stripFile, nil
		case full && f.as == "pdf":
			return tiledFiles, nil
		}
		return sheetFiles, nil
	case "dxf", "html", "csv":
		if full {
			return nil, &usage{fmt.Sprintf("--as: found %s, expected svg or pdf for what is drawn at full size", f.as), "dxf has all hides at their own size"}
		}
		return map[string]drawer{"dxf": plotFiles, "html": cardFiles, "csv": tableFiles}[f.as], nil
	}
	return nil, &usage{fmt.Sprintf("--as: found %q, expected svg, pdf, dxf, html or csv", f.as), ""}
}

// holding is the one hide of those named that has a strip or block of that name.
func (o opened) holding(strip string, hides []string) (string, error) {
	var holding, faults []string
	for _, h := range hides {
		if _, _, err := o.plan.Named(h, strip); err != nil {
			faults = append(faults, err.Error())
		} else {
			holding = append(holding, h)
		}
	}
	switch len(holding) {
	case 0:
		return "", &usage{"--strip: " + strings.Join(once(faults), "; "), "the numbers are those on the sheet of this plan"}
	case 1:
		return holding[0], nil
	}
	return "", &usage{fmt.Sprintf("--strip: found %s on %s, expected one hide", strip, strings.Join(holding, " and ")), "name it with --hide"}
}

// told is the flag that says what to draw.
func (f sheetFlags) told() string {
	if f.strip != "" {
		return "--strip: "
	}
	return "--hide: "
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

// sheetOptions are how this workshop's sheets are set.
func sheetOptions(w *workshop.Workshop, paper string) (sheetSettings, error) {
	p, err := report.ParsePaper(paper)
	if err != nil {
		return sheetSettings{}, &usage{"--paper: " + err.Error(), ""}
	}
	name := ""
	if abs, err := filepath.Abs(w.Dir); err == nil {
		name = source.Plain(filepath.Base(abs))
	}
	return sheetSettings{Rule: w.Rule, Paper: p, Workshop: name}, nil
}
