package report

import (
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"

	"strapwise/hide"
	"strapwise/hide/measure"
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
	for _, r := range l.cuts.Remnants {
		e = e.Union(l.bound(r))
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
		rings, ringed := p.flaw(outline, f)
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
func (p *picture) flaw(outline geom.Geometry, f hide.Flaw) (rings, ringed [][]orb.Point) {
	g := shape.On(outline, shape.Flaw(f, 0))
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
	for _, r := range p.lay.cuts.Remnants {
		pts := p.onPage(r)
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

func (p *picture) piece(piece nest.Piece) {
	pts := p.onPage(piece.Outline)
	weight := finer(part, p.low)
	if piece.New {
		weight = max(weight, light)
	}
	p.k.shape(Shape{Points: pts, Closed: true, Weight: weight, Accent: piece.New})
	p.k.keep(pts, true)
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
	if p.tilted() { // it is struck through two marks, and goes on
		to[0] = max(to[0], p.ends().Hi)
	}
	struck := []orb.Point{p.on(orb.Point{0, 0}), p.on(orb.Point{to[0], 0})}
	p.k.line(heavy, []float64{3, 1.5}, struck...)
	p.k.keep(struck, false)
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
		p.k.arrow(orb.Point{x - 12, y}, orb.Point{x, y})
	}
}

// arrow draws a level arrow to the right.
func (k *ink) arrow(from, to orb.Point) {
	k.line(light, nil, from, orb.Point{to[0] - 1, to[1]})
	k.polygon(0, Solid, to, orb.Point{to[0] - 2.4, to[1] - 0.7}, orb.Point{to[0] - 2.4, to[1] + 0.7})
}

// words sets what names itself: zones, remnants, the backbone.
func (p *picture) words() {
	const mostNamed = 40 // zones: where there are more, words in the picture find none, and the rest stand below

	for i, r := range p.lay.cuts.Remnants {
		pts := p.onPage(r)
		name := fmt.Sprintf("remnant %d", i+1)
		if ring, err := plane.NewRing(r); err == nil {
			if p.inArea(pts, 3, name+", "+p.rule.Area(ring.Area())) {
				continue
			}
		}
		p.inArea(pts, 2.6, name)
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
				named = p.onEdge(ring, name) || p.inArea(ring, 2.6, name) || named
			} else {
				named = p.inArea(ring, 2.6, name) || p.onEdge(ring, name) || named
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

// onEdge sets a word into a level stretch of an outline, where it crosses the
// fewest other lines.
func (p *picture) onEdge(ring []orb.Point, s string) bool {
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
			if p.k.onText(box) || p.k.onSolid(box) {
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

func polygonOf(pts []orb.Point) geom.Geometry {
	g, _ := shape.Of(pts)
	return g
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
