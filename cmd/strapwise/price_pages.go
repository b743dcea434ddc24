package main

import (
	"cmp"
	"fmt"
	"path/filepath"
	"slices"

	"strapwise/hide/measure"
	"strapwise/report"
	"strapwise/report/chart"
	"strapwise/report/draw"
	"strapwise/report/price"
)

// leatherPages is the picture of where the leather went, by the name of its file.
func leatherPages(rule measure.Rule, p priced) map[string]report.Page {
	var bars []chart.Bar
	for _, h := range p.account.Hides {
		b := chart.Bar{Label: h.Hide, Note: rule.BothAreas(h.MM2.Net + h.MM2.Flaws + h.MM2.Waste + h.MM2.Remnant), Parts: []chart.Part{
			{Name: "in pieces", Value: h.MM2.Net, Fill: report.Bare},
			{Name: "in flaws", Value: h.MM2.Flaws, Fill: report.Solid},
			{Name: "other waste", Value: h.MM2.Waste, Fill: report.Hatch},
			{Name: "back on the rack", Value: h.MM2.Remnant, Open: true},
		}}
		if h.Paid.Valid {
			b.Note += ", " + amount(h.Paid)
		}
		bars = append(bars, b)
	}
	if len(bars) == 0 {
		return nil
	}
	return map[string]report.Page{"leather.svg": chart.Bars("where the leather went", "plan "+p.plan, bars)}
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
		columns = append(columns, chart.Bar{Label: rule.Length(r.size), Note: paid(b.Price), Parts: []chart.Part{
			part("leather", report.Solid, b.Leather.Net, b.Leather.Flaws, b.Leather.Waste, b.ByArea),
			part("hardware, thread", report.Stipple, b.Fitted, b.Thread),
			part("work", report.Bare, b.Work),
			part("overhead", report.Hatch, b.Overhead),
			part("margin", report.Dense, b.Margin),
			part("tax", report.Bare, b.Tax),
		}})
	}
	return map[string]report.Page{"prices.svg": chart.Columns("price against size", title, columns)}
}

// writePages writes pictures to a folder, all or none.
func writePages(dir string, pages map[string]report.Page) ([]string, error) {
	b, err := newBatch(dir)
	if err != nil {
		return nil, err
	}
	defer b.drop()
	var names []string
	for name := range pages {
		names = append(names, name)
	}
	slices.SortFunc(names, cmp.Compare)
	files := []string{}
	for _, name := range names {
		svg, err := draw.SVG(pages[name])
		if err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		if err := b.add(name, svg); err != nil {
			return nil, err
		}
		files = append(files, filepath.Join(dir, name))
	}
	return files, b.commit()
}
