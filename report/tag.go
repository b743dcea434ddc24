package report

import (
	"math"

	"github.com/paulmach/orb"

	"strapwise/hide/plane"
)

// Measures of a block's name in the picture, in millimetres.
const (
	tagSize  = 4.0
	fairTag  = 3.2
	leastTag = 2.4
	tagAir   = 0.5 // between its letters and its frame
)

// blockNames sets the name of each block in a frame, as near as can be to the
// corner where it is to be written on the leather: left, and near the worker.
func (p *picture) blockNames() {
	for _, b := range p.lay.bands {
		if !b.lettered() {
			continue
		}
		for _, k := range b.blocks {
			p.tag(k.name, p.onLeather(p.frame.Rect(p.reach(k), plane.Span{Lo: b.from, Hi: b.far()})))
		}
	}
}

// tag sets a block's name within it, if it can in a strip, else across rips; and
// where there is no room for it, beside it.
func (p *picture) tag(name string, parts [][]orb.Point) {
	var all orb.MultiPoint
	for _, pts := range parts {
		all = append(all, pts...)
	}
	if len(all) == 0 {
		return
	}
	bound := all.Bound()
	here := p.k.near(bound)
	for _, across := range []bool{false, true} {
		for size := tagSize; size > leastTag-0.01; size -= 0.4 {
			if !across && size < fairTag { // rather across a rip than so small
				break
			}
			t := Text{Size: size, Bold: true, Runs: words(name)}
			w, h := t.Width()+2*tagAir, size*ascent+2*tagAir
			best, near, found := orb.Bound{}, math.Inf(1), false
			for x := bound.Min[0] + 0.6; x+w <= bound.Max[0]-0.6; x += 0.5 {
				for y := bound.Max[1] - 0.6; y-h >= bound.Min[1]+0.6; y -= 0.3 {
					box := orb.Bound{Min: orb.Point{x, y - h}, Max: orb.Point{x + w, y}}
					far := math.Hypot(x-bound.Min[0], y-bound.Max[1])
					if far >= near || here.onText(box) || here.onSolid(box) || !across && here.onLine(box) || !insideOne(parts, box) {
						continue
					}
					best, near, found = box, far, true
				}
			}
			if found {
				p.framed(t, best)
				return
			}
		}
	}
	t := Text{Size: leastTag, Bold: true, Runs: words(name)}
	w, h := t.Width()+2*tagAir, leastTag*ascent+2*tagAir
	bound.Max[0] = min(bound.Max[0], bound.Min[0]+2) // where its name would stand
	if c, ok := p.beside(bound, w, h, []float64{0.4, 1.5, 3, 5, 8, 12}, false); ok {
		p.k.line(fine, nil, c, bound.Center())
		p.framed(t, orb.Bound{Min: orb.Point{c[0] - w/2, c[1] - h/2}, Max: orb.Point{c[0] + w/2, c[1] + h/2}})
	}
}

// framed sets a text in a frame of that place, on bare paper.
func (p *picture) framed(t Text, box orb.Bound) {
	pts := corners(box)
	p.k.polygon(light, Bare, pts...)
	t.At = orb.Point{box.Min[0] + tagAir, box.Max[1] - tagAir}
	p.k.text(t)
	p.k.avoid(pts)
}

func insideOne(parts [][]orb.Point, box orb.Bound) bool {
	for _, pts := range parts {
		if boxInside(pts, box) {
			return true
		}
	}
	return false
}
