// Package chart draws figures as pages for those who would rather look than read:
// bars lying one below another, columns standing side by side, and how often each
// count comes. Ink on paper: parts are told apart by texture, and each is named
// where it stands, so that no legend is needed.
package chart

import (
	"fmt"
	"math"
	"strconv"

	"github.com/paulmach/orb"

	"strapwise/report"
)

// Part is one part of a bar or a column. Parts of one name have one fill.
type Part struct {
	Name  string
	Value float64 // 0 or more
	Fill  report.Fill
	Open  bool // drawn with a dashed edge: leather that is still there
}

// Bar is one bar of parts, all in one unit.
type Bar struct {
	Label string
	Note  string // beside the label, or above a column
	Parts []Part
}

func (b Bar) sum() float64 {
	s := 0.0
	for _, p := range b.Parts {
		s += p.Value
	}
	return s
}

// Measures of all charts, in millimetres.
const (
	width     = 180.0 // within A4 and Letter
	margin    = 10.0
	titleSize = 5.0
	textSize  = 3.2
	smallSize = 2.8
	lead      = 1.3 // from one line of text to the next, in sizes
	edge      = 0.35
	fine      = 0.13
)

// canvas gathers the items of a page.
type canvas struct{ items []report.Item }

// begin writes the title and the line below it, and returns where the page goes on.
func (c *canvas) begin(title, below string) (y float64) {
	y = margin + titleSize
	c.text(margin, y, titleSize, report.Start, title, true)
	if below != "" {
		y += textSize * lead * 1.1
		c.text(margin, y, textSize, report.Start, below, false)
	}
	return y + textSize
}

func (c *canvas) page(title string, height float64) report.Page {
	return report.Page{Width: width, Height: height, Title: title, Items: c.items}
}

func (c *canvas) text(x, y, size float64, anchor report.Anchor, s string, bold bool) {
	c.items = append(c.items, line(x, y, size, anchor, s, bold))
}

func line(x, y, size float64, anchor report.Anchor, s string, bold bool) report.Text {
	return report.Text{At: orb.Point{x, y}, Anchor: anchor, Size: size, Bold: bold, Runs: []report.Run{{Words: s}}}
}

// wide is how wide a text is set.
func wide(size float64, s string) float64 { return line(0, 0, size, report.Start, s, false).Width() }

func (c *canvas) stroke(weight float64, dash []float64, pts ...orb.Point) {
	c.items = append(c.items, report.Shape{Points: pts, Weight: weight, Dash: dash})
}

// clear wipes a rectangle of what lies under it.
func (c *canvas) clear(x0, y0, x1, y1 float64) {
	c.items = append(c.items, report.Shape{Points: []orb.Point{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}}, Closed: true, Fill: report.Bare})
}

// box draws one part.
func (c *canvas) box(x0, y0, x1, y1 float64, p Part) {
	c.clear(x0, y0, x1, y1)
	s := report.Shape{Points: []orb.Point{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}}, Closed: true, Weight: edge, Fill: p.Fill}
	if p.Open {
		s.Weight, s.Dash = fine*2, []float64{1.2, 0.8}
	}
	c.items = append(c.items, s)
}

// ticks are round numbers from 0 to past most, four to eight of them: steps of 1,
// 2 or 5 times a power of ten, and never less than least.
func ticks(most, least float64) []float64 {
	step := math.Pow(10, math.Floor(math.Log10(max(most, least)/4)))
	for _, k := range []float64{1, 2, 5, 10} {
		if k*step*7 >= most {
			step *= k
			break
		}
	}
	step = max(step, least)
	var out []float64
	for i := 0.0; i == 0 || out[len(out)-1] < most; i++ {
		out = append(out, i*step)
	}
	return out
}

// number prints a tick.
func number(v float64) string { return strconv.FormatFloat(math.Round(v*1e6)/1e6, 'f', -1, 64) }

// share prints a part of a whole in per cent; what is there is never told as 0.
func share(part, whole float64) string {
	p := 100 * part / whole
	if p < 0.95 {
		return fmt.Sprintf("%.1f %%", p)
	}
	return fmt.Sprintf("%.0f %%", p)
}
