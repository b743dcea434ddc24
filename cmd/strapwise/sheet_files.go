package main

import (
	"runtime"
	"sync"

	"strapwise/hide/source"
	"strapwise/nest"
	"strapwise/nest/safe"
	"strapwise/report"
	"strapwise/report/draw"
)

// ofHides makes something of each hide, of as many at once as there are processors, and
// returns it in their order. Of several errors, that of the first hide is told.
func ofHides[T any](u *ui, hides []string, made func(i int) (T, error)) ([]T, error) {
	out, errs := make([]T, len(hides)), make([]error, len(hides))
	next := make(chan int)
	var all sync.WaitGroup
	for range min(len(hides), runtime.GOMAXPROCS(0)) {
		all.Go(func() {
			for i := range next {
				out[i], errs[i] = made(i)
			}
		})
	}
	for i, h := range hides {
		u.progress("sheet %d of %d: %s", i+1, len(hides), h)
		next <- i
	}
	close(next)
	all.Wait()
	for _, err := range errs {
		if err != nil {
			return nil, err
		}
	}
	return out, nil
}

// sheetFiles are the cutting sheets: as SVG a file a page, as PDF one a hide.
func sheetFiles(u *ui, o opened, options sheetSettings, f sheetFlags) ([]safe.File, error) {
	name := "sheet-"
	if options.FullSize = f.scale == "1:1"; options.FullSize {
		name = "full-"
	}
	return u.sheets(o.job, o.plan, f.hides, options, name, f.as)
}

// sheets are the cutting sheets of some hides, as files whose names begin as told.
func (u *ui) sheets(j nest.Job, p nest.Plan, hides []string, options sheetSettings, name, as string) ([]safe.File, error) {
	options.Mark = report.Mark(p)
	pages, err := ofHides(u, hides, func(i int) ([]report.Page, error) { return report.Sheet(j, p, hides[i], options) })
	if err != nil {
		return nil, err
	}
	return u.hideFiles(hides, pages, name, as)
}

// hideFiles are the pages of each hide as files whose names begin as told.
func (u *ui) hideFiles(hides []string, pages [][]report.Page, name, as string) ([]safe.File, error) {
	var out []safe.File
	for i, h := range hides {
		files, err := u.pageFiles(pages[i], name+h, as)
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
	pages, err := ofHides(u, f.hides, func(i int) ([]report.Page, error) {
		page, err := report.HideDrawing(o.job, o.plan, f.hides[i], options.Rule)
		if err != nil {
			return nil, err
		}
		return report.Tiles(page, options.Paper), nil
	})
	if err != nil {
		return nil, err
	}
	return u.hideFiles(f.hides, pages, "full-", "pdf")
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
func plotFiles(u *ui, o opened, _ sheetSettings, f sheetFlags) ([]safe.File, error) {
	return ofHides(u, f.hides, func(i int) (safe.File, error) {
		plot, err := report.Plotted(o.job, o.plan, f.hides[i])
		if err != nil {
			return safe.File{}, err
		}
		data, err := draw.DXF(plot)
		return safe.File{Name: sheetName(f.hides[i], "dxf"), Data: data}, err
	})
}

// cardFiles are the cutting sheets as HTML.
func cardFiles(u *ui, o opened, options sheetSettings, f sheetFlags) ([]safe.File, error) {
	options.Mark = report.Mark(o.plan)
	return ofHides(u, f.hides, func(i int) (safe.File, error) {
		card, err := report.NewCard(o.job, o.plan, f.hides[i], options)
		if err != nil {
			return safe.File{}, err
		}
		data, err := draw.HTML(card)
		return safe.File{Name: sheetName(f.hides[i], "html"), Data: data}, err
	})
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
