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
	"strapwise/report/draw"
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
				f.hides = o.hides()
			}
			for _, name := range f.hides {
				if !slices.Contains(o.hides(), name) {
					return &usage{f.told() + fmt.Sprintf("found %q, expected a hide that the plan cuts", name), "it cuts " + strings.Join(o.hides(), ", ")}
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

// sheetFiles are the cutting sheets: as SVG a file a page, as PDF one a hide.
func sheetFiles(u *ui, o opened, options sheetSettings, f sheetFlags) ([]safe.File, error) {
	options.Mark = report.Mark(o.plan)
	name := "sheet-"
	if options.FullSize = f.scale == "1:1"; options.FullSize {
		name = "full-"
	}
	var out []safe.File
	for _, h := range f.hides {
		pages, err := report.Sheet(o.job, o.plan, h, options)
		if err != nil {
			return nil, err
		}
		files, err := u.pageFiles(pages, name+h, f.as)
		if err != nil {
			return nil, err
		}
		out = append(out, files...)
	}
	return out, nil
}

// pageFiles are pages that belong together: as PDF in one file, as SVG one each.
func (u *ui) pageFiles(pages []report.Page, name, as string) ([]safe.File, error) {
	if as == "pdf" {
		file, err := u.pdfFile(pages, name)
		return []safe.File{file}, err
	}
	return svgFiles(pages, name)
}

func svgFiles(pages []report.Page, name string) ([]safe.File, error) {
	var out []safe.File
	for i, p := range pages {
		data, err := draw.SVG(p)
		if err != nil {
			return nil, err
		}
		out = append(out, safe.File{Name: pageName(name, i, "svg"), Data: data})
	}
	return out, nil
}

// pdfFile is pages as PDF. Letters that its type does not have are told, of the first
// file that lacks some.
func (u *ui) pdfFile(pages []report.Page, name string) (safe.File, error) {
	if lacking := draw.Lacking(pages); lacking != "" && !u.lacking {
		u.lacking = true
		u.note("note: the type in a PDF does not have %s, and shows □ instead; svg and html have what the computer has", source.Shorten(lacking, source.Quoted))
	}
	data, err := draw.PDF(pages)
	return safe.File{Name: name + ".pdf", Data: data}, err
}

// tiledFiles are the hides at full size, on many sheets of paper each.
func tiledFiles(u *ui, o opened, options sheetSettings, f sheetFlags) ([]safe.File, error) {
	var out []safe.File
	for _, h := range f.hides {
		page, err := report.HideDrawing(o.job, o.plan, h, options.Rule)
		if err != nil {
			return nil, err
		}
		file, err := u.pdfFile(report.Tiles(page, options.Paper), "full-"+h)
		if err != nil {
			return nil, err
		}
		out = append(out, file)
	}
	return out, nil
}

// stripFile is one strip or block at full size.
func stripFile(u *ui, o opened, options sheetSettings, f sheetFlags) ([]safe.File, error) {
	page, err := report.StripDrawing(o.job, o.plan, f.hides[0], f.strip, options.Rule)
	if err != nil {
		return nil, err
	}
	return u.fullSize(page, "full-"+f.hides[0]+"+"+f.strip, f.as, options.Paper)
}

// fullSize is a drawing at its own size: as SVG one page, as PDF on sheets of paper.
func (u *ui) fullSize(page report.Page, name, as string, paper report.Paper) ([]safe.File, error) {
	if as == "svg" {
		data, err := draw.SVG(page)
		return []safe.File{{Name: name + ".svg", Data: data}}, err
	}
	file, err := u.pdfFile(report.Tiles(page, paper), name)
	return []safe.File{file}, err
}

// plotFiles are the hides and their cuts as DXF.
func plotFiles(_ *ui, o opened, _ sheetSettings, f sheetFlags) ([]safe.File, error) {
	var out []safe.File
	for _, h := range f.hides {
		plot, err := report.Plotted(o.job, o.plan, h)
		if err != nil {
			return nil, err
		}
		data, err := draw.DXF(plot)
		if err != nil {
			return nil, err
		}
		out = append(out, safe.File{Name: sheetName(h, "dxf"), Data: data})
	}
	return out, nil
}

// cardFiles are the cutting sheets as HTML.
func cardFiles(_ *ui, o opened, options sheetSettings, f sheetFlags) ([]safe.File, error) {
	var out []safe.File
	options.Mark = report.Mark(o.plan)
	for _, h := range f.hides {
		card, err := report.NewCard(o.job, o.plan, h, options)
		if err != nil {
			return nil, err
		}
		data, err := draw.HTML(card)
		if err != nil {
			return nil, err
		}
		out = append(out, safe.File{Name: sheetName(h, "html"), Data: data})
	}
	return out, nil
}

// tableFiles are the lists for a spreadsheet.
func tableFiles(_ *ui, o opened, options sheetSettings, f sheetFlags) ([]safe.File, error) {
	pieces, err := report.PieceTable(o.job, o.plan, f.hides, options.Rule)
	if err != nil {
		return nil, err
	}
	cuts, err := report.CutTable(o.job, o.plan, f.hides, options.Rule)
	return []safe.File{{Name: piecesFile, Data: draw.CSV(pieces)}, {Name: cutsFile, Data: draw.CSV(cuts)}}, err
}
