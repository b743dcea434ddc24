package strip

import (
	"math"
	"slices"

	"github.com/paulmach/orb"

	"strapwise/hide"
	"strapwise/hide/plane"
)

// ground is a hide as the planner sees it, or a part of one whose cutting has
// begun (left.go): positions are whole marks from the origin of its frame, y
// across the backbone, x along it. The frame is the hide's; that of a part which
// is off the hide begins at the near edge of it.
type ground struct {
	hide   *hide.Hide
	part   part
	tilt   tilt
	frame  plane.Frame
	spare  orb.Point // mm, along the strips and across: what pieces keep off all that they may not touch
	off    int       // marks from the origin of the hide's frame, across the backbone
	area   float64
	mark   float64
	y0, y1 int // the leather lies between these
	x0, x1 int // and between these, whole cells
	span   int // marks from the least x of the leather to the greatest: the longest run there can be
	across int // the widths of all lanes are multiples of it, and so are the near edges of bands
	along  int // length of a cell: cross-cuts between blocks are multiples of it
	cells  int // from x0 to x1
	whole  *hide.Leather
	flush  []flush
	lanes  []lane
}

// flush is an edge of the outline that runs along the strips, leather below it.
type flush struct {
	y    float64 // mm
	over plane.Span
}

// lane is a width of strip that the hide's pieces ask for.
type lane struct {
	width   int
	kinds   []int
	classes []class
	table   int   // of a sweep, for the first class; the others follow, then all together if they are several
	strips  []rip // the strip that begins at y-y0, once asked
	asked   []bool
	room    []int32 // where there is one class: that of the runs of all strips,
	rooms   []int32 // and where those of the strip that begins at y-y0 begin, and at the end where the last end; nil: not told yet
}

// rip is a strip, or a stretch of one, as the room that its runs give: of each
// class by itself, and, where classes share it, of all together. Pieces of other
// classes lie in the way in the first case, and leather that does not serve in
// the second, so that the truth is below both.
type rip struct {
	apart  []fit
	shared []fit // nil if the lane has one class
	union  []run // of a whole strip, where shared is not nil
}

// fit is so much room for the pieces of a table of a sweep.
type fit struct{ table, room int32 }

// entry is where a sweep of the hide has what that holds, in the row of all its tables.
func (g *ground) entry(f fit) int32 { return f.table*int32(g.span+1) + f.room }

// class is the pieces of a lane that want the same leather: of one use, cut the
// same way. runs[y-y0] holds the runs of the strip that begins at y, once asked.
type class struct {
	kinds   []int
	lengths map[int]int // of each kind
	knife   bool
	leather *hide.Leather
	least   int // length of the shortest kind
	grips   float64
	runs    [][]run
	known   []bool
}

// run is a stretch of a strip, in marks, wholly of leather that serves.
type run struct{ lo, hi int }

// ceilMark and floorMark round a place to the marks inside it.
func ceilMark(mm, mark float64) int  { return int(math.Ceil((mm - hide.Touch) / mark)) }
func floorMark(mm, mark float64) int { return int(math.Floor((mm + hide.Touch) / mark)) }

// spanOf is a stretch of marks in millimetres.
func spanOf(from, length int, mark float64) plane.Span {
	return plane.Span{Lo: float64(from) * mark, Hi: float64(from+length) * mark}
}

func newGround(p *problem, h *hide.Hide, of part, turn tilt) (*ground, error) {
	g := &ground{hide: h, part: of, tilt: turn, frame: turn.frame(h), mark: p.mark, area: h.Area()}
	switch {
	case of.lay != nil:
		g.frame = p.frameOf(h, of.lay)
	case !turn.level():
		const hair = 1e-6 // mm: the last bits of what is computed
		g.spare = orb.Point{p.mark/2 + hair, p.mark/2/turn.length() + hair}
	}
	if of.loose {
		g.off = of.y0
		g.frame = g.frame.Shifted(orb.Point{0, float64(of.y0) * g.mark})
	}
	frame := g.frame
	g.whole = h.Whole(frame)
	serving := map[string]*hide.Leather{}
	for _, kinds := range p.byWidth(h.Leather()) {
		l := lane{width: p.kinds[kinds[0]].width, kinds: kinds}
		if of.lane > 0 && l.width != of.lane {
			continue
		}
		for _, k := range kinds {
			kd := p.kinds[k]
			use := p.useNamed(kd.use)
			if serving[kd.use] == nil {
				s, err := h.Serving(use, frame)
				if err != nil {
					return nil, err
				}
				serving[kd.use] = s
			}
			grips := p.job.Tools.Grips
			if kd.knife {
				grips = 0
			}
			i := slices.IndexFunc(l.classes, func(c class) bool { return c.leather == serving[kd.use] && c.knife == kd.knife })
			if i < 0 {
				i = len(l.classes)
				l.classes = append(l.classes, class{leather: serving[kd.use], knife: kd.knife, grips: grips, least: kd.length, lengths: map[int]int{}})
			}
			c := &l.classes[i]
			c.kinds, c.lengths[k] = append(c.kinds, k), kd.length
			c.least = min(c.least, kd.length)
		}
		g.lanes = append(g.lanes, l)
	}
	outline := h.Outline().In(frame)
	for i := range outline.Len() {
		a, b := outline.Corner(i), outline.Corner(i+1)
		// counter-clockwise, so leather lies below an edge that runs towards lesser x
		if g.tilt.level() && b[0] < a[0] && math.Abs(a[1]-b[1]) <= hide.Touch {
			g.flush = append(g.flush, flush{a[1], plane.Span{Lo: b[0], Hi: a[0]}})
		}
	}
	box := g.whole.Bound()
	g.y0, g.y1 = ceilMark(box.Min[1], g.mark), floorMark(box.Max[1], g.mark)
	least, greatest := ceilMark(box.Min[0], g.mark), floorMark(box.Max[0], g.mark)
	g.span = max(0, greatest-least)
	g.along = max(1, marks(p.job.Tools.Part, g.mark))
	g.x0, g.x1 = floorDiv(least, g.along)*g.along, -floorDiv(-greatest, g.along)*g.along
	g.cells = max(0, (g.x1-g.x0)/g.along)
	switch {
	case of.lay != nil:
		g.narrow()
	case !turn.level():
		g.led()
	}
	g.y1 = max(g.y0, g.y1) // of leather less deep than a mark
	g.number()
	g.refine(p.begun.nearEdges(g))
	for i := range g.lanes {
		g.lanes[i].strips, g.lanes[i].asked = make([]rip, max(0, g.y1-g.y0+1)), make([]bool, max(0, g.y1-g.y0+1))
		for j := range g.lanes[i].classes {
			c := &g.lanes[i].classes[j]
			c.runs, c.known = make([][]run, max(0, g.y1-g.y0+1)), make([]bool, max(0, g.y1-g.y0+1))
		}
	}
	return g, nil
}

// number settles what follows from the lanes' widths and classes.
func (g *ground) number() {
	n := 0
	for i := range g.lanes {
		l := &g.lanes[i]
		l.table = n
		if n += len(l.classes); len(l.classes) > 1 {
			n++
		}
		g.refine([]int{l.width})
	}
}

// refine has near edges of bands lie on such marks, too.
func (g *ground) refine(ys []int) {
	for _, a := range ys {
		for a = max(a, -a); a != 0; {
			g.across, a = a, g.across%a
		}
	}
}

// sums are the heights, in steps of across and no more than so many, that strips stacked without a
// gap can have, 0 first, and the place of each height among them, or -1.
func (g *ground) sums(most int) (heights, index []int) {
	index = make([]int, most+1)
	for h := range index {
		index[h] = -1
		sum := h == 0
		for i := range g.lanes {
			w := g.lanes[i].width / g.across
			sum = sum || w <= h && index[h-w] >= 0
		}
		if sum {
			index[h] = len(heights)
			heights = append(heights, h)
		}
	}
	return heights, index
}

// at gives the runs of a class in the strip of the lane that begins at y.
func (g *ground) at(l *lane, c *class, y int) []run {
	i := y - g.y0
	if i < 0 || y+l.width > g.y1 {
		return nil
	}
	if !c.known[i] {
		c.runs[i], c.known[i] = g.find(l, c, y), true
	}
	return c.runs[i]
}

// strip is the strip of lane i that begins at y, over the whole hide.
func (g *ground) strip(i, y int) *rip {
	l := &g.lanes[i]
	if !l.asked[y-g.y0] {
		r := g.rip(i, y, g.x0, g.x1)
		if len(l.classes) > 1 {
			r.union = l.union(g, y)
		}
		l.strips[y-g.y0], l.asked[y-g.y0] = r, true
	}
	return &l.strips[y-g.y0]
}

// rip is the stretch from lo to hi of that strip.
func (g *ground) rip(i, y, lo, hi int) rip {
	l := &g.lanes[i]
	var out rip
	add := func(to []fit, table int, runs []run) []fit {
		for _, r := range runs {
			if room := min(r.hi, hi) - max(r.lo, lo); room > 0 {
				to = append(to, fit{int32(table), int32(room)})
			}
		}
		return to
	}
	for j := range l.classes {
		out.apart = add(out.apart, l.table+j, g.at(l, &l.classes[j], y))
	}
	if n := len(l.classes); n > 1 {
		out.shared = add([]fit{}, l.table+n, l.union(g, y))
	}
	return out
}

// union merges the runs of all classes of a lane.
func (l *lane) union(g *ground, y int) []run {
	var all []run
	for j := range l.classes {
		all = append(all, g.at(l, &l.classes[j], y)...)
	}
	slices.SortFunc(all, func(a, b run) int { return a.lo - b.lo })
	out := all[:0]
	for _, r := range all {
		if n := len(out); n > 0 && r.lo < out[n-1].hi {
			out[n-1].hi = max(out[n-1].hi, r.hi)
			continue
		}
		out = append(out, r)
	}
	return out
}

// survey has all runs known, so that goroutines may share the ground.
func (g *ground) survey() {
	for i := range g.lanes {
		l := &g.lanes[i]
		if l.rooms != nil {
			continue
		}
		l.rooms = append(l.rooms, 0)
		for y := g.y0; y <= g.y1; y++ {
			if r := g.strip(i, y); len(l.classes) == 1 {
				for _, f := range r.apart {
					l.room = append(l.room, f.room)
				}
			}
			l.rooms = append(l.rooms, int32(len(l.room)))
		}
	}
}

// roomsAt is how long the runs are of the strip that begins so many marks from the ground's first, once it is
// surveyed, in a lane of one class.
func (l *lane) roomsAt(y int) []int32 { return l.room[l.rooms[y]:l.rooms[y+1]] }

// survey has all runs of all hides known.
func (p *problem) survey() {
	each(len(p.grounds), func(i int) { p.grounds[i].survey() })
}

func (g *ground) find(l *lane, c *class, y int) []run {
	var out []run
	for _, s := range g.spans(l, c, y) {
		r := run{ceilMark(s.Lo, g.mark), floorMark(s.Hi, g.mark)}
		if r.hi-r.lo >= c.least {
			out = append(out, r)
		}
	}
	return out
}

// spans gives the stretches, however short, of the strip of lane l at y that
// serve the class and that the tools can rip.
func (g *ground) spans(l *lane, c *class, y int) []plane.Span {
	band := spanOf(y, l.width, g.mark)
	spans := g.clip(c.leather.Runs(band.Padded(g.spare[1])))
	if c.grips > 0 && len(spans) > 0 {
		spans = both(spans, g.gripped(band.Hi, c.grips))
	}
	if g.spare[0] > 0 {
		for i := range spans {
			spans[i] = spans[i].Padded(-g.spare[0])
		}
	}
	return spans
}

// gripped gives the stretches over which the strap cutter can rip along y = far:
// leather enough lies beyond for it to hold, or none at all, so that there is
// nothing to rip.
func (g *ground) gripped(far, grips float64) []plane.Span {
	if g.part.loose {
		return g.held(far, grips)
	}
	spans := g.whole.Runs(plane.Span{Lo: far, Hi: far + grips}.Padded(g.spare[1]))
	for _, f := range g.flush {
		if math.Abs(f.y-far) <= hide.Touch {
			spans = append(spans, f.over)
		}
	}
	return plane.Merge(spans)
}

// both gives the stretches common to two lists, each in order and disjoint.
func both(a, b []plane.Span) []plane.Span {
	var out []plane.Span
	for i, j := 0, 0; i < len(a) && j < len(b); {
		if s := (plane.Span{Lo: max(a[i].Lo, b[j].Lo), Hi: min(a[i].Hi, b[j].Hi)}); s.Lo < s.Hi {
			out = append(out, s)
		}
		if a[i].Hi < b[j].Hi {
			i++
		} else {
			j++
		}
	}
	return out
}
