package chart

import (
	"github.com/paulmach/orb"

	"strapwise/report"
)

// Columns stands a column of parts for each size side by side, over an axis with
// round figures, with its note above it. The parts are named beside the last
// column. All columns have the same parts.
func Columns(title, below string, columns []Bar) report.Page {
	const tall = 90.0
	var c canvas
	top := c.begin(title, below) + textSize + 3
	most := 0.0
	for _, b := range columns {
		most = max(most, b.sum())
	}
	names := 0.0
	for _, p := range columns[len(columns)-1].Parts {
		names = max(names, wide(smallSize, p.Name))
	}
	axis := ticks(most, 0.01)
	foot, scale := top+tall, tall/axis[len(axis)-1]
	from := margin + wide(smallSize, number(axis[len(axis)-1])) + 3
	to := width - margin - names - 4
	c.rungs(axis, from, to, foot, scale)
	pitch := (to - from) / float64(len(columns))
	thin := 1 // label only every so many where they would touch
	for i := range columns {
		for wide(smallSize, columns[i].Note)+1 > pitch*float64(thin) || wide(smallSize, columns[i].Label)+1 > pitch*float64(thin) {
			thin++
		}
	}
	for i, b := range columns {
		x0, x1, y := from+pitch*(float64(i)+0.15), from+pitch*(float64(i)+0.85), foot
		for _, p := range b.Parts {
			if p.Value > 0 {
				c.box(x0, y-p.Value*scale, x1, y, p)
				y -= p.Value * scale
			}
		}
		if i%thin == 0 || len(columns) == 1 {
			half := wide(smallSize, b.Note)/2 + 0.4
			c.clear((x0+x1)/2-half, y-1-smallSize, (x0+x1)/2+half, y-0.3)
			c.text((x0+x1)/2, y-1, smallSize, report.Middle, b.Note, true)
			c.text((x0+x1)/2, foot+smallSize*lead, smallSize, report.Middle, b.Label, false)
		}
	}
	c.partNames(columns[len(columns)-1], to, foot, scale)
	return c.page(title, foot+smallSize*lead+margin)
}

// rungs draws the axis: a fine line across at each round figure.
func (c *canvas) rungs(axis []float64, from, to, foot, scale float64) {
	for _, v := range axis {
		y := foot - v*scale
		c.stroke(fine, nil, orb.Point{from, y}, orb.Point{to, y})
		c.text(from-1.5, y+smallSize*0.35, smallSize, report.End, number(v), false)
	}
}

// partNames names the parts of the last column, from the foot up, each at a fine
// line from its middle and none over another.
func (c *canvas) partNames(b Bar, x, foot, scale float64) {
	y, free := foot, foot+smallSize
	for _, p := range b.Parts {
		if p.Value <= 0 {
			continue
		}
		middle := y - p.Value*scale/2
		at := min(middle, free-smallSize*lead)
		c.stroke(fine, nil, orb.Point{x - 1.5, middle}, orb.Point{x + 2.5, at})
		c.text(x+3.5, at+smallSize*0.35, smallSize, report.Start, p.Name, false)
		y, free = y-p.Value*scale, at
	}
}
