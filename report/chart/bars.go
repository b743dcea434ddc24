package chart

import (
	"github.com/paulmach/orb"

	"strapwise/report"
)

// Bars draws a bar for each hide, as long as its sum, and the name and share of
// each part: below the bar, at a fine line from the part's middle; or in the same
// order beside a bar too short for that. Parts of next to nothing are left out.
func Bars(title, below string, bars []Bar) report.Page {
	const high, air = 9.0, 5.0
	var c canvas
	y := c.begin(title, below) + 2
	longest := 0.0
	for _, b := range bars {
		longest = max(longest, b.sum())
	}
	for _, b := range bars {
		y += textSize
		c.text(margin, y, textSize, report.Start, b.Label, true)
		c.text(width-margin, y, textSize, report.End, b.Note, false)
		y += 1.5
		y = c.bar(b, y, high, (width-2*margin)/longest) + air
	}
	return c.page(title, y+margin-air)
}

// leastShare is below what share reads as none.
const leastShare = 0.0005

// bar draws one bar from y down and the names of its parts, and returns where
// they end.
func (c *canvas) bar(b Bar, y, high, scale float64) float64 {
	const gap = 2.5
	type named struct {
		words              string
		middle, from, wide float64
	}
	x, whole, together := margin, b.sum(), -gap
	var names []named
	for _, p := range b.Parts {
		if p.Value < leastShare*whole || p.Value <= 0 {
			continue
		}
		to := x + p.Value*scale
		c.box(x, y, to, y+high, p)
		n := named{words: p.Name + " " + share(p.Value, whole), middle: (x + to) / 2}
		together += wide(smallSize, n.words) + gap
		names, x = append(names, n), to
	}
	if beside := x + gap; together > x-margin && together < width-margin-beside {
		for _, n := range names {
			c.text(beside, y+high/2+smallSize*0.35, smallSize, report.Start, n.words, false)
			beside += wide(smallSize, n.words) + gap
		}
		return y + high
	}
	free := margin
	for i := range names {
		n := &names[i]
		n.wide = wide(smallSize, n.words)
		n.from = max(free, n.middle-n.wide/2)
		free = n.from + n.wide + gap
	}
	most := width - margin // names pushed past the edge move back together
	base := y + high + 2.5 + smallSize
	for i := len(names) - 1; i >= 0; i-- {
		n := &names[i]
		n.from = min(n.from, most-n.wide)
		most = n.from - gap
		c.stroke(fine, nil, orb.Point{n.middle, y + high}, orb.Point{n.middle, y + high + 0.8}, orb.Point{n.from + n.wide/2, base - smallSize*0.85})
		c.text(n.from, base, smallSize, report.Start, n.words, false)
	}
	return base
}
