package main

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"strapwise/nest/trial"
)

// column is a figure of the table: its head, its width, and its text for a row.
type column struct {
	head  string
	width int
	text  func(in trial.Instance, limit time.Duration, runs []measured) string
}

// columns are the table from left to right.
var columns = []column{
	{"job", 16, func(in trial.Instance, _ time.Duration, _ []measured) string { return in.Name }},
	{"flaws", 5, func(in trial.Instance, _ time.Duration, _ []measured) string { return fmt.Sprint(in.Flaws) }},
	{"cap", 5, func(_ trial.Instance, limit time.Duration, _ []measured) string { return limit.String() }},
	middle("asked", 6, "%.0f", func(m measured) float64 { return float64(m.asked) }),
	middle("laid", 5, "%.0f", func(m measured) float64 { return float64(m.laid) }),
	middle("hides", 5, "%.0f", func(m measured) float64 { return float64(m.hides) }),
	middle("cost", 8, "%.2f", func(m measured) float64 { return m.cost }),
	middle("least", 8, "%.2f", func(m measured) float64 { return m.result.CostBound }),
	middle("first ms", 8, "%.0f", func(m measured) float64 { return float64(m.first.Microseconds()) / 1000 }),
	middle("best", 10, "%.1f", func(m measured) float64 { return m.result.Value }),
	middle("bound", 10, "%.1f", func(m measured) float64 { return m.result.Bound }),
	middle("gap %", 6, "%.3f", measured.gap),
	{"gain %", 6, gain},
	middle("time s", 6, "%.2f", func(m measured) float64 { return m.took.Seconds() }),
	{"proven", 6, proven},
	middle("MiB", 5, "%.0f", func(m measured) float64 { return float64(m.memory) / (1 << 20) }),
}

// middle is a column of medians.
func middle(head string, width int, format string, of func(measured) float64) column {
	return column{head, width, func(_ trial.Instance, _ time.Duration, runs []measured) string {
		return fmt.Sprintf(format, median(runs, of))
	}}
}

func gain(_ trial.Instance, _ time.Duration, runs []measured) string {
	if runs[0].plain == 0 {
		return "-" // not asked for
	}
	return fmt.Sprintf("%.2f", median(runs, measured.gain))
}

func proven(_ trial.Instance, _ time.Duration, runs []measured) string {
	n := 0
	for _, m := range runs {
		if m.proven() {
			n++
		}
	}
	return fmt.Sprintf("%d/%d", n, len(runs))
}

// median is the middle of the figures of at least one run; of an even number,
// the mean of the two in the middle.
func median(runs []measured, of func(measured) float64) float64 {
	var all []float64
	for _, m := range runs {
		all = append(all, of(m))
	}
	slices.Sort(all)
	n := len(all)
	return (all[(n-1)/2] + all[n/2]) / 2
}

func header(w io.Writer) {
	var heads, rules []string
	for i, c := range columns {
		if i == 0 {
			heads, rules = append(heads, fmt.Sprintf("%-*s", c.width, c.head)), append(rules, strings.Repeat("-", c.width))
			continue
		}
		heads, rules = append(heads, fmt.Sprintf("%*s", c.width, c.head)), append(rules, strings.Repeat("-", c.width-1)+":")
	}
	line(w, heads)
	line(w, rules)
}

func row(w io.Writer, in trial.Instance, limit time.Duration, runs []measured) {
	var cells []string
	for i, c := range columns {
		width := c.width
		if i == 0 {
			width = -width
		}
		cells = append(cells, fmt.Sprintf("%*s", width, c.text(in, limit, runs)))
	}
	line(w, cells)
}

func line(w io.Writer, cells []string) { fmt.Fprintf(w, "| %s |\n", strings.Join(cells, " | ")) }
