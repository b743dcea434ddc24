package main

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"strapwise/hide"
	"strapwise/hide/measure"
	"strapwise/hide/source"
	"strapwise/nest/forecast"
	"strapwise/nest/orders"
	"strapwise/nest/rack"
	"strapwise/nest/workshop"
	"strapwise/report"
	"strapwise/report/chart"
)

func forecastSets(ctx context.Context, u *ui, f forecastFlags) error {
	w, err := workshop.OpenRack(u.workshop)
	if err != nil {
		return err
	}
	if err := some("hides", f.hides); err != nil {
		return err
	}
	line, err := f.line(w)
	if err != nil {
		return err
	}
	kind, err := f.kind(line.Parts[0].Leather)
	if err != nil {
		return err
	}
	kind.Nominal = w.Nominal(kind.Leather)
	past, _, err := rack.Past(ctx, w)
	if err != nil {
		return err
	}
	world := forecast.NewWorld(w.Models, everyHide(w, past))
	if err := world.Check(kind, w.Rule); err != nil {
		return mistake(err)
	}
	u.notes(w)
	u.progress("laying %d hides", f.hides)
	job, err := w.Job()
	if err != nil {
		return err
	}
	y, err := world.Sets(ctx, kind, line.Order, job, f.hides, f.seed)
	if err != nil {
		return outOfTime(err, "--hides draws fewer hides, --time allows more")
	}
	assumed := append(world.Assumed(kind, w.Rule), became(past, kind.Form)...)
	files := []string{}
	title := articleOf(line.Line, w.Rule)
	if f.out != "" {
		if files, err = writePages(ctx, u, f.out, f.as, map[string]report.Page{"forecast": setsPage(title, kind, y)}); err != nil {
			return err
		}
	}
	if u.json {
		return u.value(setsFigures(kind, y, assumed, f.seed, files))
	}
	u.text("%s, of %s\n\n", title, kindName(kind, w.Rule))
	u.table(setsRows(y, w.Rule))
	u.text("\n%s\n", line.taken())
	tellAssumed(u, assumed)
	wrote(u, files)
	return nil
}

// everyHide is all hides that the workshop has, or had and cut.
func everyHide(w *workshop.Workshop, past []rack.Once) []*hide.Hide {
	all := slices.Clone(w.Hides)
	for _, once := range past {
		all = append(all, once.Hide)
	}
	return all
}

// became says what share of the hides of a form that were cut before became pieces,
// to hold the forecast against.
func became(past []rack.Once, form string) []string {
	n, pieces, used := 0, 0.0, 0.0
	for _, once := range past {
		if once.Hide.Form() == form {
			n++
			pieces += float64(once.Pieces.AreaMM2)
			used += float64(once.Came.AreaMM2 - once.OnRack.AreaMM2)
		}
	}
	if used == 0 {
		return nil
	}
	return []string{fmt.Sprintf("of %s cut before, %.0f %% of the leather became pieces, by the record; what is back on the rack is not counted", source.Count(n, form), 100*pieces/used)}
}

// forecastLine is one set of the article, with the parts of the leather forecast.
type forecastLine struct{ orders.Line }

// taken says what of a set is counted.
func (l forecastLine) taken() string {
	atHand := partNames(l.Aside)
	slices.Sort(atHand)
	return "counted: " + tallied{Parts: partNames(l.Parts), AtHand: atHand}.taken()
}

// line is the article's share of the leather that is forecast: the lining, if only
// that is named, otherwise the order's, which may be any.
func (f forecastFlags) line(w *workshop.Workshop) (forecastLine, error) {
	a, err := f.article.article(w.House)
	switch {
	case err != nil:
		return forecastLine{}, err
	case a.leather != "" && a.lining != "":
		return forecastLine{}, &usage{"--lining: found it beside --leather, expected only one of them", "a form is cut for one of them: forecast each by itself"}
	}
	leather := a.leather + a.lining
	if a.open() {
		if leather = w.House.AnyFor(a.pattern); leather == "" {
			return forecastLine{}, &shortfall{fmt.Sprintf("found no leather in workshop.toml for %s", a.pattern), "--leather or --lining says what the form is cut for"}
		}
		a.leather = leather
	}
	set, err := w.House.Set(a.pattern, a.width, a.size, a.leather, a.lining)
	if err != nil {
		return forecastLine{}, mistake(err)
	}
	return forecastLine{set.Share(leather)}, nil
}

// kind reads what is to be bought.
func (f forecastFlags) kind(leather string) (forecast.Kind, error) {
	k := forecast.Kind{Leather: leather, Form: f.form, Grade: f.grade, Supplier: f.supplier}
	if k.Form == "" {
		return k, &usage{"--form: found nothing, expected one of " + strings.Join(hide.Forms()[:len(hide.Forms())-1], ", "), ""}
	}
	const least, most = measure.MMPerInch, 10e3
	for _, l := range []struct {
		flag, text string
		mm         *float64
	}{{"length", f.length, &k.Length}, {"depth", f.depth, &k.Depth}} {
		if l.text == "" {
			continue
		}
		mm, err := measure.Length(l.text, 0)
		if err != nil {
			return k, &usage{fmt.Sprintf("--%s: %s", l.flag, err), hintOf(err)}
		}
		if mm < least || mm > most {
			return k, &usage{fmt.Sprintf("--%s: found %.0f mm, expected %.0f to %.0f mm", l.flag, mm, least, most), ""}
		}
		*l.mm = mm
	}
	if f.area != "" {
		mm2, err := measure.Area(f.area)
		if err != nil {
			return k, &usage{"--area: " + err.Error(), hintOf(err)}
		}
		k.Area = mm2
	}
	return k, nil
}

// kindName names hides of a kind.
func kindName(k forecast.Kind, rule measure.Rule) string {
	s := k.Form + "s of " + k.Leather
	if k.Grade != "" {
		s += ", grade " + k.Grade
	}
	if k.Supplier != "" {
		s += ", from " + k.Supplier
	}
	if k.Length > 0 {
		s += ", " + rule.Length(k.Length) + " long"
	}
	if k.Depth > 0 {
		s += ", " + rule.Length(k.Depth) + " deep"
	}
	if k.Area > 0 {
		s += ", " + rule.Area(k.Area)
	}
	return s
}

// setsRows is a forecast of sets as a table.
func setsRows(y forecast.Yield, rule measure.Rule) []string {
	d := y.Sets
	row := func(share float64, what string) string {
		lo, hi := d.Between(share)
		return fmt.Sprintf("  %s\t%d\t%s", what, d.AtLeast(share), or(lo, hi))
	}
	lo, hi := d.MeanBetween()
	return []string{
		"  a hide gives\tsets\tother draws would say",
		fmt.Sprintf("  on the average\t%.1f\t%.1f to %.1f", d.Mean(), lo, hi),
		row(0.95, "19 in 20 give or exceed"),
		row(0.9, "9 in 10 give or exceed"),
		row(0.5, "half of them give or exceed"),
		row(0.1, "1 in 10 gives or exceeds"),
		row(0.05, "1 in 20 gives or exceeds"),
		fmt.Sprintf("  no lay more, on the average\t%.1f\t", y.Bound),
		"",
		fmt.Sprintf("  %d hides of %s on the average; %.0f %% of the leather becomes pieces", len(d), rule.BothAreas(y.Area), 100*y.Net),
	}
}

func or(lo, hi int) string {
	if lo == hi {
		return fmt.Sprint(lo)
	}
	return fmt.Sprintf("%d to %d", lo, hi)
}

// setsPage is the picture of a forecast.
func setsPage(title string, k forecast.Kind, y forecast.Yield) report.Page {
	d := y.Sets
	below := fmt.Sprintf("%d hides drawn: %ss of %s", len(d), k.Form, k.Leather)
	if k.Grade != "" {
		below += ", grade " + k.Grade
	}
	if k.Supplier != "" {
		below += ", from " + k.Supplier
	}
	lo, hi := d.AtLeast(0.95), d.AtLeast(0.05)
	return chart.Histogram("how many "+title, below, fmt.Sprintf("sets a hide; 9 hides in 10 lie in the hatched columns, from %d to %d", lo, hi), d, lo, hi, []chart.Mark{
		{Name: fmt.Sprintf("half give %d or more", d.AtLeast(0.5)), At: d.AtLeast(0.5)},
		{Name: fmt.Sprintf("9 in 10 give %d or more", d.AtLeast(0.9)), At: d.AtLeast(0.9)},
	})
}
