package report

import (
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"strapwise/hide"
	"strapwise/report/internal/shape"
)

// words sets what names itself: zones, remnants, the backbone.
func (p *picture) words() {
	const mostNamed = 40 // zones: where there are more, words in the picture find none, and the rest stand below

	for _, r := range p.lay.remnants {
		pts := p.onPage(r.outline)
		name := fmt.Sprintf("remnant %d", r.n)
		if p.inArea(pts, 3, name+", "+p.rule.Area(r.area)) {
			continue
		}
		for _, size := range []float64{2.6, 2.2} {
			if p.inArea(pts, size, name) {
				break
			}
		}
	}
	outline := p.onPage(p.hide.Outline().Corners())
	for i, z := range p.hide.Zones() {
		name := z.Quality.String()
		if z.Turned {
			name += fmt.Sprintf(" (grain turned %.0f°)", z.Grain.Degrees())
		}
		named := false
		var rings [][]orb.Point
		if i < mostNamed {
			rings = shape.Rings(shape.On(polygonOf(outline), polygonOf(p.onPage(z.Area.Corners()))))
		}
		for _, ring := range rings {
			if z.Quality >= hide.Firm { // only its outline shows it
				named = p.onEdge(ring, outline, name) || p.inArea(ring, 2.6, name) || named
			} else {
				named = p.inArea(ring, 2.6, name) || p.onEdge(ring, outline, name) || named
			}
		}
		if !named && !slices.Contains(p.zones, name) {
			p.zones = append(p.zones, name)
		}
	}
	if pts := p.onPage(p.hide.Backbone()); len(pts) == 2 && p.shown(pts) {
		t := Text{Size: 2.6, Runs: words("backbone")}
		y := (pts[0][1] + pts[1][1]) / 2
		from, to := max(min(pts[0][0], pts[1][0]), p.body.Min[0])+2, min(max(pts[0][0], pts[1][0]), p.body.Max[0])-2-t.Width()
		for _, crossing := range []bool{false, true} { // rather across a fine line than no name
			for _, down := range []float64{2.8, -1.1} {
				for x := to; x > from; x -= t.Width() / 2 {
					t.At = orb.Point{x, y + down}
					b := t.Bound()
					if p.free(b) || crossing && !p.k.onText(b) && !p.k.onSolid(b) {
						p.knock(t)
						return
					}
				}
			}
		}
	}
}

// onEdge sets a word into a level stretch of a ring on the hide, where it crosses the
// fewest other lines, and not the outline of the hide.
func (p *picture) onEdge(ring, outline []orb.Point, s string) bool {
	const size = 2.6
	t := Text{Size: size, Anchor: Middle, Runs: words(s)}
	w := t.Width()
	var best orb.Point
	least := math.MaxInt
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		if math.Abs(b[1]-a[1]) > 0.15*math.Abs(b[0]-a[0]) || math.Abs(b[0]-a[0]) < w+2 {
			continue
		}
		for k := 1.0; k < 20; k++ {
			part := (w/2 + 1 + k/20*(math.Abs(b[0]-a[0])-w-2)) / math.Abs(b[0]-a[0])
			t.At = orb.Point{a[0] + part*(b[0]-a[0]), a[1] + part*(b[1]-a[1]) + (ascent-descent)/2*size}
			box := t.Bound()
			if p.k.onText(box) || p.k.onSolid(box) || !boxInside(outline, box) {
				continue
			}
			n := 0
			for _, l := range p.k.lines {
				if crosses(l, box) {
					n++
				}
			}
			if n < least {
				best, least = t.At, n
			}
		}
	}
	if least == math.MaxInt {
		return false
	}
	t.At = best
	p.knock(t)
	return true
}

// free reports whether text may stand in a box without touching anything.
func (p *picture) free(b orb.Bound) bool {
	return b.Min[0] >= p.room.Min[0] && b.Max[0] <= p.room.Max[0] && b.Min[1] >= p.room.Min[1] && b.Max[1] <= p.room.Max[1] &&
		!p.k.onText(b) && !p.k.onSolid(b) && !p.k.onLine(b)
}

// inArea sets a word within an outline, as near its middle as there is room.
func (p *picture) inArea(outline []orb.Point, size float64, s string) bool {
	b := orb.MultiPoint(outline).Bound()
	t := Text{Size: size, Anchor: Middle, Runs: words(s)}
	w, h := t.Width(), (ascent+descent)*size
	var best orb.Point
	found := false
	far := 0.0
	for x := b.Min[0] + w/2; x <= b.Max[0]-w/2; x += max(1, (b.Max[0]-b.Min[0])/40) {
		for y := b.Min[1] + h; y <= b.Max[1]; y += max(0.5, (b.Max[1]-b.Min[1])/40) {
			t.At = orb.Point{x, y - descent*size}
			box := t.Bound()
			d := (x-b.Center()[0])*(x-b.Center()[0]) + 4*(y-b.Center()[1])*(y-b.Center()[1])
			if found && d >= far || !boxInside(outline, box) || !p.free(box) {
				continue
			}
			best, far, found = t.At, d, true
		}
	}
	if found {
		t.At = best
		p.knock(t)
	}
	return found
}

func boxInside(outline []orb.Point, b orb.Bound) bool {
	for _, c := range corners(b) {
		if !inside(outline, c) {
			return false
		}
	}
	for i := range outline {
		if crosses(segment{outline[i], outline[(i+1)%len(outline)]}, b) {
			return false
		}
	}
	return true
}

func corners(b orb.Bound) []orb.Point {
	return []orb.Point{b.Min, {b.Max[0], b.Min[1]}, b.Max, {b.Min[0], b.Max[1]}}
}

// knock sets text on a patch of bare paper, so that no texture runs through it.
func (p *picture) knock(t Text) {
	p.k.polygon(0, Bare, corners(t.Bound().Pad(clear/2))...)
	p.k.text(t)
}
