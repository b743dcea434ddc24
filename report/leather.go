package report

import (
	"slices"

	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"

	"strapwise/hide"
	"strapwise/report/internal/shape"
)

// leather draws zones and flaws by what they do.
func (p *picture) leather() {
	outline := p.hide.Outline().Polygon().AsGeometry()
	for _, z := range p.hide.Zones() {
		fill := map[hide.Quality]Fill{hide.Soft: Stipple, hide.Waste: Dense}[z.Quality]
		for _, ring := range shape.Rings(shape.On(outline, z.Area.Polygon().AsGeometry())) {
			pts := p.onPage(ring)
			p.k.shape(Shape{Points: pts, Closed: true, Fill: fill, Weight: fine, Dash: []float64{1.2, 0.8}})
			p.k.keep(pts, true)
		}
	}
	for i, f := range p.hide.Flaws() {
		rings, ringed := p.flaw(outline, i)
		found := p.found(i)
		p.flaws = append(p.flaws, append(slices.Clone(rings), ringed...))
		fill := Solid
		if !p.refusedByAll(f) {
			fill = Hatch
		}
		for _, ring := range rings {
			weight := light
			if f.Face == hide.Flesh {
				weight = 0
			}
			p.k.shape(Shape{Points: ring, Closed: true, Weight: weight, Fill: fill, Accent: found})
			p.k.avoid(ring)
		}
		for _, ring := range ringed {
			p.k.shape(Shape{Points: ring, Closed: true, Weight: light, Dash: []float64{0.9, 0.6}, Accent: found})
			p.k.avoid(ring)
		}
	}
}

// seen is the least that a flaw measures on paper, in millimetres.
const seen = 0.8

// flaw gives the outlines on the page of what a flaw takes of the hide, and
// those of the dashed line round it if only the flesh side shows it.
func (p *picture) flaw(outline geom.Geometry, i int) (rings, ringed [][]orb.Point) {
	f := p.hide.Flaws()[i]
	g := shape.On(outline, p.lay.flaws[i])
	least := min(g.Envelope().Width(), g.Envelope().Height())
	if f.Stroke != nil {
		least = f.Stroke.Width
	}
	more := 0.0
	if least*p.scale < seen {
		more = (seen/p.scale - least) / 2
		g = shape.Areas(shape.Flaw(f, more))
	}
	for _, r := range shape.Rings(g) {
		rings = append(rings, p.onPage(r))
	}
	if f.Face == hide.Flesh {
		for _, r := range shape.Rings(shape.Areas(shape.Flaw(f, more+0.75/p.scale))) {
			ringed = append(ringed, p.onPage(r))
		}
	}
	return rings, ringed
}

// refusedByAll reports whether no piece at all may contain the flaw.
func (p *picture) refusedByAll(f hide.Flaw) bool {
	for _, u := range p.job.Uses {
		if !u.Refuses(f) {
			return false
		}
	}
	return true
}

// onLeather gives the parts of an outline that lie on the hide, on the page.
func (p *picture) onLeather(outline []orb.Point) [][]orb.Point {
	g, err := shape.Of(outline)
	if err != nil {
		return [][]orb.Point{p.onPage(outline)} // as the plan tells it
	}
	var out [][]orb.Point
	for _, ring := range shape.Rings(shape.On(p.hide.Outline().Polygon().AsGeometry(), g)) {
		out = append(out, p.onPage(ring))
	}
	return out
}
