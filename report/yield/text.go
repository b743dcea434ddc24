package yield

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"strapwise/hide/measure"
	"strapwise/nest"
	"strapwise/report"
)

// Text is the report for a terminal that is so many letters wide: aligned
// columns, areas in the rule's system, reasons broken between words. It ends
// with a line end.
func (r Report) Text(rule measure.Rule, width int) string {
	var b strings.Builder
	b.WriteString(wrap(report.Proof(nest.Result{Value: r.Worth, Bound: r.Bound, Proven: r.Proven, Tilts: r.Tilts}), width, 0))
	r.ordersText(&b, width)
	for _, h := range r.Hides {
		b.WriteByte('\n')
		h.text(&b, rule)
	}
	if proof := report.CostProof(nest.Result{Proven: r.Proven, Cost: r.Cost, CostBound: r.CostBound}); proof != "" {
		b.WriteString("\n" + wrap(proof, width, 0))
	}
	if r.Plan != "" {
		fmt.Fprintf(&b, "\nplan %s\n", r.Plan)
	}
	return b.String()
}

func (r Report) ordersText(b *strings.Builder, width int) {
	if len(r.Orders) == 0 {
		return
	}
	name := utf8.RuneCountInString("order")
	for _, o := range r.Orders {
		name = max(name, utf8.RuneCountInString(o.Order))
	}
	fmt.Fprintf(b, "\n%s  asked  complete\n", pad("order", name))
	for _, o := range r.Orders {
		line := fmt.Sprintf("%s  %5d  %8d", pad(o.Order, name), o.Asked, o.Complete)
		indent := utf8.RuneCountInString(line) + 2
		for i, s := range o.Short {
			if i == 0 {
				b.WriteString(line + "  ")
			} else {
				b.WriteString(strings.Repeat(" ", indent))
			}
			why := fmt.Sprintf("%s short: %s, %s", sets(s.Sets), s.Part, s.Why)
			b.WriteString(wrap(why, width-indent, indent))
		}
		if len(o.Short) == 0 {
			b.WriteString(line + "\n")
		}
	}
}

func sets(n int) string {
	if n == 1 {
		return "1 set"
	}
	return fmt.Sprintf("%d sets", n)
}

func (h Hide) text(b *strings.Builder, rule measure.Rule) {
	pieces := fmt.Sprintf("%d pieces", h.Pieces)
	if h.Pieces == 1 {
		pieces = "1 piece"
	}
	if h.Unknown != "" {
		fmt.Fprintf(b, "%s: %s; where the leather went cannot be told: %s\n", h.Hide, pieces, h.Unknown)
		return
	}
	fmt.Fprintf(b, "%s: %s, %s\n", h.Hide, rule.BothAreas(h.AreaMM2), pieces)
	type line struct {
		what string
		mm2  float64
	}
	var lines []line
	for _, u := range h.Used {
		lines = append(lines, line{u.Use, u.AreaMM2})
	}
	lines = append(lines,
		line{"flaws", h.Waste.FlawsMM2},
		line{"soft leather left", h.Waste.SoftMM2},
		line{"edge, trim, waste", h.Waste.EdgeMM2},
		line{"ends of strips", h.Waste.EndsMM2},
	)
	if h.Waste.RoundMM2 > 0 {
		lines = append(lines, line{"round templates", h.Waste.RoundMM2})
	}
	lines = append(lines,
		line{"width left over", h.Waste.WidthMM2},
		line{"remnants", h.Remnant},
	)
	what, area := 0, 0
	for _, l := range lines {
		what = max(what, utf8.RuneCountInString(l.what))
		area = max(area, utf8.RuneCountInString(rule.ColumnArea(l.mm2)))
	}
	for _, l := range lines {
		fmt.Fprintf(b, "  %s  %s  %5.1f %%\n", pad(l.what, what), padLeft(rule.ColumnArea(l.mm2), area), 100*l.mm2/h.AreaMM2)
	}
}

func pad(s string, n int) string {
	return s + strings.Repeat(" ", max(0, n-utf8.RuneCountInString(s)))
}

func padLeft(s string, n int) string {
	return strings.Repeat(" ", max(0, n-utf8.RuneCountInString(s))) + s
}

// wrap breaks words into lines no longer than width, where a word allows it;
// lines after the first are indented.
func wrap(s string, width, indent int) string {
	var b strings.Builder
	used := 0
	for _, word := range strings.Fields(s) {
		n := utf8.RuneCountInString(word)
		switch {
		case used == 0:
		case used+1+n > width:
			b.WriteString("\n" + strings.Repeat(" ", indent))
			used = 0
		default:
			b.WriteByte(' ')
			used++
		}
		b.WriteString(word)
		used += n
	}
	return b.String() + "\n"
}
