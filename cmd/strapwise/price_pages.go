package main

import (
	"context"
	"fmt"
	"maps"
	"slices"

	"strapwise/hide/measure"
	"strapwise/nest/safe"
	"strapwise/report"
	"strapwise/report/chart"
	"strapwise/report/draw"
	"strapwise/report/price"
)

// leatherPages is the picture of where the leather went, by the name of its file.
func leatherPages(rule measure.Rule, p priced) map[string]report.Page {
	var bars []chart.Bar
	for _, h := range p.account.Hides {
		b := chart.Bar{Label: h.Hide, Note: rule.BothAreas(h.MM2.Net + h.MM2.Flaws + h.MM2.Waste + h.MM2.Remnant), Parts: wentTo(h.MM2)}
		if h.Paid.Valid {
			b.Note += ", " + amount(h.Paid)
		}
		bars = append(bars, b)
	}
	if len(bars) == 0 {
		return nil
	}
	return map[string]report.Page{"leather": chart.Bars("where the leather went", "plan "+p.plan, bars)}
}

// wentTo is where leather went as parts of a bar.
func wentTo(mm2 price.Split[float64]) []chart.Part {
	waste := "waste"
	if mm2.Flaws > 0 {
		waste = "other waste"
	}
	return []chart.Part{
		{Name: "in pieces", Value: mm2.Net, Fill: report.Bare},
		{Name: "in flaws", Value: mm2.Flaws, Fill: report.Solid},
		{Name: waste, Value: mm2.Waste, Fill: report.Hatch},
		{Name: "back on the rack", Value: mm2.Remnant, Open: true},
	}
}

// listPages is the picture of price against size.
func listPages(title string, rule measure.Rule, rows []listed) map[string]report.Page {
	var columns []chart.Bar
	for _, r := range rows {
		b := r.bill
		part := func(name string, fill report.Fill, amounts ...price.Amount) chart.Part {
			sum := 0.0
			for _, a := range amounts {
				sum += a.Decimal.InexactFloat64()
			}
			return chart.Part{Name: name, Value: sum, Fill: fill}
		}
		columns = append(columns, chart.Bar{Label: rule.Exact(r.size), Note: paid(b.Price), Parts: []chart.Part{
			part("leather", report.Solid, b.Leather.Net, b.Leather.Flaws, b.Leather.Waste, b.ByArea),
			part("hardware, thread", report.Stipple, b.Fitted, b.Thread),
			part("work", report.Bare, b.Work),
			part("overhead", report.Hatch, b.Overhead),
			part("margin", report.Dense, b.Margin),
			part("tax", report.Bare, b.Tax),
		}})
	}
	return map[string]report.Page{"prices": chart.Columns("price against size", title, columns)}
}

// pictureForms are the forms of pictures of figures.
var pictureForms = map[string]func(*ui, report.Page, string) (safe.File, error){
	"svg": func(_ *ui, p report.Page, name string) (safe.File, error) {
		data, err := draw.SVG(p)
		return safe.File{Name: name + ".svg", Data: data}, err
	},
	"html": func(_ *ui, p report.Page, name string) (safe.File, error) {
		data, err := draw.Picture(p)
		return safe.File{Name: name + ".html", Data: data}, err
	},
	"pdf": func(u *ui, p report.Page, name string) (safe.File, error) {
		return u.pdfFile([]report.Page{p}, name)
	},
}

// pictureForm refuses a form that there is not.
func pictureForm(as string) error {
	if pictureForms[as] == nil {
		return &usage{fmt.Sprintf("--as: found %q, expected svg, html or pdf", as), ""}
	}
	return nil
}

// writePages writes pictures to a folder, by the names of their files without the
// ending, all or none.
func writePages(ctx context.Context, u *ui, dir, as string, pages map[string]report.Page) ([]string, error) {
	var files []safe.File
	for _, name := range slices.Sorted(maps.Keys(pages)) {
		file, err := pictureForms[as](u, pages[name], name)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		files = append(files, file)
	}
	return replace(context.WithoutCancel(ctx), dir, files, nil)
}
