package strip

import (
	"math"
	"slices"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"strapwise/hide"
	"strapwise/hide/plane"
	"strapwise/nest"
)

// The struck edge of a hide may be tilted off the backbone, where flaws that lie
// in a slanting row leave more room for strips along them. A tilt is a rise over a
// run in whole marks that have no divisor in common, and its lays are laid in a frame
// that is turned so about the origin of the hide's own. The edge must be struck through
// marks of the hide, though, that of any band. In marks X along the backbone and Y away
// from it these are the solutions of
//
//	run·Y − rise·X = m,   m whole,
//
// so that a line through marks lies within half a mark / √(run² + rise²) of any line
// along the tilt, which is hundredths of a millimetre, and meets a mark at each run. The
// lay is at last shifted by so little across the edge, and along it by no more than half a mark,
// until its squared end lies whole marks from one of these. For that, pieces keep as
// much off all that they may not touch.
//
// A lay has each hide under one tilt. The bound holds for all of them: of each hide it
// counts the tilt that sells the most. Chains draw their tilts by what the master problem
// makes of them (lean.go).
type tilt struct{ rise, run int }

func (t tilt) level() bool { return t.rise == 0 }

// degrees are those of the struck edge off the backbone, anticlockwise.
func (t tilt) degrees() float64 {
	if t.level() {
		return 0
	}
	return math.Atan2(float64(t.rise), float64(t.run)) * 180 / math.Pi
}

// length of rise and run together, in marks.
func (t tilt) length() float64 { return math.Hypot(float64(t.run), float64(t.rise)) }

// frame is that of a hide, turned.
func (t tilt) frame(h *hide.Hide) plane.Frame {
	f := h.Frame()
	if t.level() {
		return f
	}
	o := f.OutOf(orb.Point{})
	to := f.OutOf(orb.Point{float64(t.run), float64(t.rise)})
	return plane.NewFrame(o, orb.Point{to[0] - o[0], to[1] - o[1]})
}

// mostTilted is how many hides of a job tilts are looked at for: those that are marked the most.
const mostTilted = 4

// marked is how many flaws a hide has, and zones of waste, or of grain turned so that a
// tilt makes them serve. Where there are none, a tilt could only follow the outline, and is
// not looked at.
func (p *problem) marked(h *hide.Hide) int {
	n := len(h.Flaws())
	for _, z := range h.Zones() {
		if z.Quality == hide.Waste || z.Turned && slices.ContainsFunc(p.kinds, func(kd kind) bool {
			off, may := hide.Off(z.Grain, 0), p.useNamed(kd.use).Angle
			return kd.leather == h.Leather() && off > may && off <= may+p.job.Tools.Tilt
		}) {
			n++
		}
	}
	return n
}

// tilts are those that are looked at for a hide: a third, two thirds and all of what is
// allowed, either way.
func (p *problem) tilts(h *hide.Hide) []tilt {
	const shares = 3
	most := p.job.Tools.Tilt
	if p.begun != nil || most <= 0 || p.marked(h) == 0 {
		return nil
	}
	for _, kd := range p.kinds {
		if kd.leather == h.Leather() {
			most = min(most, p.useNamed(kd.use).Angle)
		}
	}
	var out []tilt
	for i := shares; i > 0; i-- {
		if t := steepest(float64(most)*float64(i)/shares, p.mark); !t.level() {
			out = append(out, tilt{-t.rise, t.run}, t)
		}
	}
	return out
}

// steepest is the tilt that comes nearest to an angle in radians without exceeding it,
// of those whose run makes the shift across the edge small; or level.
func steepest(radians, mark float64) tilt {
	const (
		hair  = 0.004 // mm, of the greatest shift
		least = 60    // marks: a shorter run does not tell small angles apart
		alike = 0.02  // of the angle
	)
	best := tilt{0, 1}
	from := max(least, int(math.Ceil(mark/2/hair)))
	for run := from; run <= 2*from; run++ {
		rise := int(math.Floor(float64(run)*math.Tan(radians) + 1e-9))
		if t := (tilt{rise, run}); rise > 0 && gcd(run, rise) == 1 && t.degrees() > best.degrees()*(1+alike) {
			best = t
		}
	}
	return best
}

func gcd(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return max(a, -a)
}

// marksOn are the marks through which the edge at a mark of a tilted ground's depth can be
// struck: its first, of which run and rise make the others, and how far along the edge
// that lies; and how far out they lie. All are told in marks.
func (g *ground) marksOn(edge int) (first [2]int, along, out float64) {
	t, length := g.tilt, g.tilt.length()
	m := int(math.Round(float64(edge) * length))
	for (m+t.rise*first[0])%t.run != 0 {
		first[0]++
	}
	first[1] = (m + t.rise*first[0]) / t.run
	along = (float64(t.run)*float64(first[0]) + float64(t.rise)*float64(first[1])) / length
	return first, along, float64(m) / length
}

// through gives the two marks through which the edge is struck, and how far the first
// lies along it and how far out they lie. They are the first and the last on the leather
// or, where these are too near to tell a direction by, between the squared end and the far
// one.
func (g *ground) through(square, edge int) (marks [2]orb.Point, along, out float64) {
	const enough = 0.5 // of the hide's length
	first, at, out := g.marksOn(edge)
	length, f := g.tilt.length(), g.hide.Frame()
	place := func(k int) orb.Point {
		return f.OutOf(orb.Point{float64(first[0]+k*g.tilt.run) * g.mark, float64(first[1]+k*g.tilt.rise) * g.mark})
	}
	runs := func(x int) float64 { return (float64(x) - at) / length }
	ring := g.hide.Outline().Orb()
	from, to := math.MaxInt, math.MinInt
	for k := int(math.Floor(runs(g.x0))); float64(k) <= runs(g.x1); k++ {
		if planar.RingContains(ring, place(k)) {
			from, to = min(from, k), max(to, k)
		}
	}
	if float64(to-from)*length < enough*float64(g.span) || from > to {
		from = int(math.Ceil(runs(square)))
		to = max(int(math.Floor(runs(g.last()))), from+1)
	}
	return [2]orb.Point{place(from), place(to)}, at + float64(from)*length, out
}

// struck gives the first cut of a hide that is squared and struck at those marks, and
// the ground as it then lies.
func (g *ground) struck(square, edge int) (*ground, nest.Strike) {
	mm := func(marks int) float64 { return float64(marks) * g.mark }
	if g.tilt.level() {
		return g, nest.Strike{
			From: g.frame.OutOf(orb.Point{mm(square), mm(edge)}), To: g.frame.OutOf(orb.Point{mm(g.last()), mm(edge)}),
			EdgeMM: mm(edge), SquareMM: mm(square),
		}
	}
	through, along, out := g.through(square, edge)
	by := math.Round(float64(square)-along) + along - float64(square)
	lies := *g
	lies.frame = g.frame.Shifted(orb.Point{by * g.mark, out*g.mark - mm(edge)})
	s := nest.Strike{
		From: lies.frame.OutOf(orb.Point{mm(square), mm(edge)}), To: lies.frame.OutOf(orb.Point{mm(g.last()), mm(edge)}),
		AngleDeg: g.degrees(), Through: through,
	}
	from := g.hide.Frame().Into(s.From)
	s.SquareMM, s.EdgeMM = from[0], from[1]
	return &lies, s
}

// led begins a tilted ground where at least half of the hide's length lies on the edge
// that is struck: the strap cutter is led by it.
func (g *ground) led() {
	const half, sliver = 0.5, 0.1 // of the length; mm
	for ; g.y0 < g.y1; g.y0++ {
		y, sum := float64(g.y0)*g.mark, 0.0
		for _, s := range g.whole.Runs(plane.Span{Lo: y, Hi: y + sliver}) {
			sum += s.Len()
		}
		if sum >= half*float64(g.span)*g.mark {
			return
		}
	}
}

// degrees are those of the strips off the backbone, anticlockwise.
func (g *ground) degrees() float64 {
	if g.part.lay != nil {
		return g.part.lay.Strike.AngleDeg
	}
	return g.tilt.degrees()
}

// tiltOf is how a hide was struck.
func tiltOf(h *hide.Hide, s nest.Strike, mark float64) tilt {
	if s.AngleDeg == 0 {
		return tilt{}
	}
	a, b := h.Frame().Into(s.Through[0]), h.Frame().Into(s.Through[1])
	rise, run := onMark(b[1]-a[1], mark), onMark(b[0]-a[0], mark)
	if n := gcd(run, rise); n > 0 {
		rise, run = rise/n, run/n
	}
	return tilt{rise, run}
}

// struckAt is where a hide was squared and struck, in marks of the frame in which it is
// laid again: that of the hide or, where the edge is tilted, one in which the cross-cuts
// between blocks lie where they may.
func (p *problem) struckAt(h *hide.Hide, l *nest.HideLay) (square, edge int) {
	if l.Strike.AngleDeg == 0 {
		return onMark(l.Strike.SquareMM, p.mark), onMark(l.Strike.EdgeMM, p.mark)
	}
	from := tiltOf(h, l.Strike, p.mark).frame(h).Into(l.Strike.From)
	square, edge = onMark(from[0], p.mark), onMark(from[1], p.mark)
	last := 0.0
	for _, b := range l.Bands {
		for _, k := range b.Blocks {
			last = max(last, k.ToMM)
		}
	}
	for _, b := range l.Bands {
		for _, k := range b.Blocks {
			for _, at := range []float64{k.FromMM, k.ToMM} {
				if at > 0 && at < last {
					return -onMark(at, p.mark), edge
				}
			}
		}
	}
	return square, edge
}

// frameOf is the frame in which a hide is laid again that was struck so; nil: it was not.
func (p *problem) frameOf(h *hide.Hide, l *nest.HideLay) plane.Frame {
	if l == nil || l.Strike.AngleDeg == 0 {
		return h.Frame()
	}
	s := l.Strike
	square, edge := p.struckAt(h, l)
	return plane.NewFrame(s.From, orb.Point{s.To[0] - s.From[0], s.To[1] - s.From[1]}).
		Shifted(orb.Point{-float64(square) * p.mark, -float64(edge) * p.mark})
}

// turned are the tilts of hides that the plan before has laid so, and that are not
// begun: they stay as they lie, as far as the tools allow it.
func (b *begun) turned(job nest.Job) map[string]tilt {
	out := map[string]tilt{}
	for i := range b.plan.Hides {
		l := &b.plan.Hides[i]
		if h := job.Hide(l.Hide); h != nil && len(l.Bands) > 0 && !l.Bands[0].Cut {
			const hair = 1e-9
			if t := tiltOf(h, l.Strike, job.Tools.Mark); t.run > 0 && math.Abs(t.degrees()) <= job.Tools.Tilt.Degrees()+hair {
				out[l.Hide] = t
			}
		}
	}
	return out
}

// look makes the other tilts known of the hides that are marked the most.
func (p *problem) look() error {
	var tilted []int
	for gi, g := range p.grounds {
		if len(g.lanes) > 0 && len(p.tilts(g.hide)) > 0 {
			tilted = append(tilted, gi)
		}
	}
	slices.SortStableFunc(tilted, func(a, b int) int {
		return p.marked(p.grounds[b].hide) - p.marked(p.grounds[a].hide)
	})
	if len(tilted) == 0 {
		return nil
	}
	p.ways = make([][]*ground, len(p.grounds))
	for gi, g := range p.grounds {
		p.ways[gi] = []*ground{g}
	}
	for _, gi := range tilted[:min(len(tilted), mostTilted)] {
		h := p.grounds[gi].hide
		for _, t := range p.tilts(h) {
			g, err := newGround(p, h, part{}, t)
			if err != nil {
				return err
			}
			p.ways[gi] = append(p.ways[gi], g)
		}
	}
	return nil
}

// lookedAt tells the tilts that are looked at besides level lays.
func (p *problem) lookedAt() []nest.Tilts {
	var out []nest.Tilts
	for gi, ways := range p.ways {
		t := nest.Tilts{Hide: p.grounds[gi].hide.Name()}
		for _, g := range ways {
			if g.tilt.rise > 0 {
				t.Deg = append(t.Deg, math.Round(10*g.degrees())/10)
			}
		}
		if slices.Sort(t.Deg); len(t.Deg) > 0 {
			out = append(out, t)
		}
	}
	return out
}
