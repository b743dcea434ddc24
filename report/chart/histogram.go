package chart

import (
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"strapwise/report"
)

// Mark is a count pointed out above a histogram: so many or more, so that its line
// stands before the column.
type Mark struct {
	Name string
	At   int
}

// Histogram draws how often each count came, in per cent of all, least to most.
// Counts from lo to hi are hatched, the others left white. Marks are lines with
// their names above; where many counts came, neighbours share a column.
func Histogram(title, below, unit string, counts []int, lo, hi int, marks []Mark) report.Page {
	const tall, mostColumns = 70.0, 40
	var c canvas
	top := c.begin(title, below) + textSize*lead*float64(len(marks)) + 2
	foot := top + tall
	least, most := slices.Min(counts), slices.Max(counts)
	wideness := 1 + (most-least)/mostColumns
	columns := 1 + (most-least)/wideness
	often := make([]int, columns)
	for _, n := range counts {
		often[(n-least)/wideness]++
	}
	percent := func(n int) float64 { return 100 * float64(n) / float64(len(counts)) }
	axis := ticks(percent(slices.Max(often)), 1)
	scale := tall / axis[len(axis)-1]
	from, to := margin+wide(smallSize, "100 %")+3, width-margin
	for _, v := range axis {
		y := foot - v*scale
		c.stroke(fine, nil, orb.Point{from, y}, orb.Point{to, y})
		c.text(from-1.5, y+smallSize*0.35, smallSize, report.End, number(v)+" %", false)
	}
	pitch := min((to-from)/float64(columns), 12)
	name := func(i int) string {
		a, b := least+i*wideness, min(least+(i+1)*wideness-1, most)
		if a == b {
			return fmt.Sprint(a)
		}
		return fmt.Sprintf("%d-%d", a, b)
	}
	thin := int(math.Ceil((wide(smallSize, name(columns-1)) + 1.5) / pitch))
	for i, n := range often {
		x := from + pitch*float64(i)
		if n > 0 {
			p := Part{Fill: report.Bare}
			if a := least + i*wideness; a+wideness-1 >= lo && a <= hi {
				p.Fill = report.Hatch
			}
			c.box(x+pitch*0.08, foot-percent(n)*scale, x+pitch*0.92, foot, p)
		}
		if i%thin == 0 {
			c.text(x+pitch/2, foot+smallSize*lead, smallSize, report.Middle, name(i), false)
		}
	}
	c.text(from, foot+2.6*smallSize*lead, smallSize, report.Start, unit, false)
	for i, m := range marks {
		x := from + pitch*float64((m.At-least)/wideness)
		y := top - textSize*lead*float64(len(marks)-i-1) - 3
		c.stroke(edge, []float64{1.6, 0.9}, orb.Point{x, y + 0.8}, orb.Point{x, foot})
		anchor, at, left := report.Start, x-1, x-1
		if long := wide(textSize, m.Name); x > (from+to)/2 {
			anchor, at, left = report.End, x+1, x+1-long
		}
		c.clear(left-0.5, y-textSize*0.9, left+wide(textSize, m.Name)+0.5, y+0.6) // of the line of another
		c.text(at, y, textSize, anchor, m.Name, false)
	}
	return c.page(title, foot+2.6*smallSize*lead+margin)
}
