package report

import (
	"slices"

	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"

	"strapwise/hide/plane"
	"strapwise/nest"
	"strapwise/report/internal/shape"
)

// Room round the hide in a picture, in millimetres on paper.
const (
	sideRoom = 12.0 // for the numbers of the bands
	topRoom  = 1.5
	baseRoom = 11.5 // for the ruler under the hide
	keyLine  = 3.5  // for each line of the list of flaws
)

// picture draws the hide as it lies on the bench: in the frame of the struck
// edge, outward from the worker upward.
type picture struct {
	*lay
	k     *ink
	room  orb.Bound       // on the page
	scale float64         // mm on paper for a mm of leather
	zero  orb.Point       // where the squared end meets the struck edge, on the page
	body  orb.Bound       // of the hide on the page
	flaws [][][]orb.Point // outlines of each flaw on the page, in the hide's order
	key   key             // flaws told apart by number only
	zones []string        // that found no room for their name
	spare float64         // lines of the key
	low   float64         // usual height of a band, mm on paper
	bands []orb.Bound     // of the leather of each band, on the page
}

// extent is the size of the hide, and of all that a plan cuts, at scale 1.
func (l *lay) extent() orb.Bound {
	e := l.bound(l.hide.Outline().Corners())
	for _, s := range l.cuts.Strips {
		e = e.Union(l.bound(s.Outline))
	}
	for _, r := range l.remnants {
		e = e.Union(l.bound(r.outline))
	}
	for _, p := range l.loose {
		e = e.Union(l.bound(p.Outline))
	}
	most := 0.1 * (e.Max[1] - e.Min[1])
	for _, p := range l.inFrame(l.hide.Backbone()) { // a backbone that runs just outside the leather is shown too
		if p[1] > e.Min[1]-most && p[1] < e.Max[1]+most {
			e.Min[1], e.Max[1] = min(e.Min[1], p[1]), max(e.Max[1], p[1])
		}
	}
	return e
}

// shown reports whether all of a line across the hide is within the picture.
func (p *picture) shown(pts []orb.Point) bool {
	return !slices.ContainsFunc(pts, func(q orb.Point) bool { return q[1] < p.body.Min[1]-0.1 || q[1] > p.body.Max[1]+0.1 })
}

// pictureSize is the room a picture of that scale takes.
func (l *lay) pictureSize(scale, spare float64) (w, h float64) {
	e := l.extent()
	return (e.Max[0]-e.Min[0])*scale + 2*sideRoom, (e.Max[1]-e.Min[1])*scale + topRoom + baseRoom + spare*keyLine
}

// scaleFor is the largest scale at which the picture fits.
func (l *lay) scaleFor(w, h, spare float64) float64 {
	e := l.extent()
	return min((w-2*sideRoom)/(e.Max[0]-e.Min[0]), (h-topRoom-baseRoom-spare*keyLine)/(e.Max[1]-e.Min[1]))
}

// drawPicture draws the hide at the top of the room, in its middle, and
// returns how many lines of room the list of numbered flaws wants.
func drawPicture(l *lay, k *ink, room orb.Bound, scale, spare float64) (wants float64) {
	e := l.extent()
	p := &picture{lay: l, k: k, room: room, scale: scale, spare: spare, zero: l.zero(room, scale)}
	p.body = orb.MultiPoint{p.on(e.Min), p.on(e.Max)}.Bound()
	p.room.Max[1] = min(room.Max[1], p.body.Max[1]+baseRoom) // below it stands the list of flaws
	p.leather()
	p.cuts()
	p.edges()
	p.ruler()
	p.bandNumbers()
	p.blockNames()
	p.pieceLabels()
	p.flawNames()
	p.words()
	return p.flawKey()
}

// zero is where in a room the squared end meets the struck edge.
func (l *lay) zero(room orb.Bound, scale float64) orb.Point {
	e := l.extent()
	left := (room.Min[0]+room.Max[0])/2 - (e.Max[0]-e.Min[0])*scale/2
	return orb.Point{left - e.Min[0]*scale, room.Min[1] + topRoom + e.Max[1]*scale}
}

// on is where a place, told from the struck edge, is on the page.
func (p *picture) on(at orb.Point) orb.Point {
	return orb.Point{p.zero[0] + at[0]*p.scale, p.zero[1] - at[1]*p.scale}
}

// onPage is where places on the hide are on the page.
func (p *picture) onPage(pts []orb.Point) []orb.Point {
	out := make([]orb.Point, len(pts))
	for i, q := range pts {
		out[i] = p.on(p.frame.Into(q))
	}
	return out
}

// cuts draws what is cut, the heavier lines over the lighter: pieces, the strips
// of blocks, blocks, and bands from end to end of the hide.
func (p *picture) cuts() {
	var depths []float64
	for _, b := range p.lay.bands {
		depths = append(depths, b.depth)
	}
	if slices.Sort(depths); len(depths) > 0 {
		p.low = depths[len(depths)/2] * p.scale
	}
	for _, s := range p.lay.cuts.Strips {
		for _, piece := range p.lay.pieces[s.N] {
			p.piece(piece)
		}
	}
	p.past()
	for _, piece := range p.loose {
		p.piece(piece)
	}
	for _, b := range p.lay.bands {
		if b.plain {
			continue
		}
		for _, k := range b.blocks {
			for _, s := range k.strips {
				p.outline(p.quiet(s.Cut, light), p.reach(k), across(s))
			}
		}
	}
	for _, b := range p.lay.bands {
		for _, k := range b.blocks {
			if !b.plain {
				p.outline(p.quiet(b.apart, cut), p.reach(k), plane.Span{Lo: b.from, Hi: b.far()})
			}
		}
	}
	for _, b := range p.lay.bands {
		p.bands = append(p.bands, p.outline(p.quiet(b.cut, rip), p.ends(), plane.Span{Lo: b.from, Hi: b.far()}))
	}
	for _, r := range p.lay.remnants {
		pts := p.onPage(r.outline)
		p.k.shape(Shape{Points: pts, Closed: true, Weight: cut, Dash: []float64{4, 1.2}})
		p.k.keep(pts, true)
	}
}

// ends reach past the hide at both its ends.
func (l *lay) ends() plane.Span {
	e := l.bound(l.hide.Outline().Corners())
	return plane.Span{Lo: e.Min[0] - 1, Hi: e.Max[0] + 1}
}

// reach is from where to where a block is ripped: where no cut ends it, to the
// end of the hide.
func (l *lay) reach(k block) plane.Span {
	r, ends := plane.Span{Lo: k.from, Hi: k.to}, l.ends()
	if k.open {
		r.Lo = ends.Lo
	}
	if k.last {
		r.Hi = ends.Hi
	}
	return r
}

// outline draws what of a rectangle lies on the hide, and returns its extent on
// the page. An outline is clipped to the hide since rips run past its ends.
func (p *picture) outline(weight float64, x, y plane.Span) orb.Bound {
	rect := p.frame.Rect(x, y)
	b := orb.MultiPoint(p.onPage(rect)).Bound()
	for i, pts := range p.onLeather(rect) {
		p.k.polygon(finer(weight, p.low), None, pts...)
		p.k.keep(pts, true)
		if i == 0 {
			b = orb.MultiPoint(pts).Bound()
		} else {
			b = b.Union(orb.MultiPoint(pts).Bound())
		}
	}
	return b
}

func (p *picture) piece(piece nest.Piece) {
	pts := p.onPage(piece.Outline)
	weight := finer(part, p.low)
	if piece.New {
		weight = max(weight, light)
	}
	p.k.shape(Shape{Points: pts, Closed: true, Weight: weight, Accent: piece.New})
	p.k.keep(pts, true)
	if blank := p.blank(piece); blank != nil && p.template(piece) != nil { // which is cut before its outline
		round := p.onPage(blank)
		p.k.shape(Shape{Points: round, Closed: true, Weight: weight, Accent: piece.New})
		p.k.keep(round, true)
	}
	if p.bearsBuckle(piece) {
		p.k.buckleEnd(orb.MultiPoint(pts).Bound(), p.buckleFar(piece))
	}
}

// buckleEnd marks the buckle end of a piece: two short bars across its beginning, or
// its far end.
func (k *ink) buckleEnd(b orb.Bound, far bool) {
	low, high := b.Max[1]-0.2*(b.Max[1]-b.Min[1]), b.Min[1]+0.2*(b.Max[1]-b.Min[1])
	end, inward := b.Min[0], 1.0
	if far {
		end, inward = b.Max[0], -1
	}
	for _, x := range []float64{0.9, 1.6} {
		if b.Max[0]-b.Min[0] > 4 {
			k.line(light, nil, orb.Point{end + inward*x, low}, orb.Point{end + inward*x, high})
		}
	}
	k.avoid([]orb.Point{{end, low}, {end + inward*1.8, low}, {end + inward*1.8, high}, {end, high}})
}

// edges draws the outline, the backbone and the first two cuts.
func (p *picture) edges() {
	outline := p.onPage(p.hide.Outline().Corners())
	p.k.polygon(heavy, None, outline...)
	p.k.keep(outline, true)
	if pts := p.onPage(p.hide.Backbone()); len(pts) == 2 && p.shown(pts) {
		p.k.line(light, []float64{6, 1, 1, 1}, pts...)
		p.k.keep(pts, false)
	}
	if p.uncut != "" {
		return
	}
	to := p.frame.Into(p.lay.cuts.Strike.To)
	struck := []orb.Point{p.on(orb.Point{0, 0}), p.on(to)}
	p.k.line(heavy, []float64{3, 1.5}, struck...)
	p.k.keep(struck, false)
	if p.tilted() { // the marks that it is struck through
		for _, at := range p.lay.cuts.Strike.Through {
			x := p.on(p.frame.Into(at))
			p.k.line(light, nil, orb.Point{x[0], x[1] - 1.5}, orb.Point{x[0], x[1] + 1.5})
		}
	}
	far := 0.0
	for _, s := range p.lay.cuts.Strips {
		far = max(far, s.FromMM+s.WidthMM)
	}
	for _, l := range p.lines {
		weight, dash := heavy, []float64{3, 1.5}
		if !l.cut {
			weight, dash = light, []float64{5, 1, 0.6, 1}
		}
		pts := []orb.Point{p.on(orb.Point{l.at, 0}), p.on(orb.Point{l.at, far})}
		if !l.cut { // it is sought at both edges of the hide
			pts[0][1] += 1.2
			pts[1][1] -= 1.2
		}
		p.k.line(weight, dash, pts...)
		p.k.keep(pts, false)
	}
}

func polygonOf(pts []orb.Point) geom.Geometry {
	g, _ := shape.Of(pts)
	return g
}
