package report

import (
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"strapwise/hide/measure"
)

// ruler draws the scale under the hide, counted as strips are squared: left and
// right of the chalk line, or from the squared end. It carries the arrow of the
// grain.
func (p *picture) ruler() {
	const size = 2.6
	steps := []float64{10, 20, 50, 100, 250, 500, 1000}
	unitMM := 1.0
	if p.rule.System == measure.Inch {
		steps, unitMM = []float64{1, 2, 3, 6, 12, 24, 48}, measure.MMPerInch
	}
	step := steps[len(steps)-1]
	for _, s := range slices.Backward(steps) {
		if s*unitMM*p.scale >= 11 {
			step = s
		}
	}
	y := p.body.Max[1] + 4.2
	zero := p.on(orb.Point{p.lines[0].at, 0})[0]
	end := zero
	mark := func(n int) bool {
		x := zero + float64(n)*step*unitMM*p.scale
		if n != 0 && (x > p.body.Max[0]-26 || x < p.body.Min[0]) {
			return false
		}
		end = max(end, x)
		p.k.line(fine, nil, orb.Point{x, y - 1.2}, orb.Point{x, y + 0.6})
		p.k.text(Text{At: orb.Point{x, y + 3.1}, Anchor: Middle, Size: size, Runs: words(fmt.Sprint(math.Abs(float64(n)) * step))})
		return true
	}
	for n := 0; mark(n); n++ {
	}
	least := 0
	for mark(least - 1) {
		least--
	}
	start := zero + float64(least)*step*unitMM*p.scale
	line := []orb.Point{{start, y}, {end, y}}
	p.k.line(fine, nil, line...)
	p.k.keep(line, false)
	what := unitShort(p.rule) + " from the squared end"
	if l := p.lines[0]; p.uncut != "" {
		what = unitShort(p.rule) + " " + p.uncut
	} else if !l.cut {
		what = unitShort(p.rule) + " from the chalk line"
		if len(p.lines) > 1 {
			what = unitShort(p.rule) + " from " + l.name
		}
	}
	t := Text{At: orb.Point{zero, y + 6}, Anchor: Middle, Size: size, Runs: words(what)}
	if b := t.Bound(); b.Min[0] < p.room.Min[0] {
		t.At[0] += p.room.Min[0] - b.Min[0]
	} else if b.Max[0] > p.room.Max[0] {
		t.At[0] -= b.Max[0] - p.room.Max[0]
	}
	p.k.text(t)
	// grain: from left to right along the backbone, as the strips lie
	x := p.body.Max[0]
	grain := Text{At: orb.Point{x - 13, y + 0.9}, Anchor: End, Size: size, Runs: words("grain")}
	if grain.Bound().Min[0] < end+1 {
		grain.At[1] += 5.4
		y += 5.4
	}
	if b := grain.Bound(); b.Min[0] > p.room.Min[0] && !p.k.onText(b) {
		p.k.text(grain)
		turn := p.lay.cuts.Strike.AngleDeg * math.Pi / 180 // the backbone lies so far off the strips
		p.k.arrow(orb.Point{x - 12, y}, orb.Point{12 * math.Cos(turn), 12 * math.Sin(turn)})
	}
}

// arrow draws an arrow from a point, so far to the right and down.
func (k *ink) arrow(from, by orb.Point) {
	n := math.Hypot(by[0], by[1])
	at := func(along, beside float64) orb.Point {
		return orb.Point{from[0] + (by[0]*along-by[1]*beside)/n, from[1] + (by[1]*along+by[0]*beside)/n}
	}
	k.line(light, nil, from, at(n-1, 0))
	k.polygon(0, Solid, at(n, 0), at(n-2.4, -0.7), at(n-2.4, 0.7))
}
