package nest

import (
	"math"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"

	"strapwise/hide"
	"strapwise/hide/measure"
	"strapwise/hide/plane"
)

// bench is a small invented job and a plan for it, made by hand, which is good.
// Tests change something and ask Check to name it.
//
//	97 ────[ main 3 ]──┬──[ filler ][ filler ]────────   strips 6 | 7
//	     (waste strip)
//	35 ──[ filler ]────┼──[ keeper ][ keeper ][ keeper ]─   strips 3 | 5
//	   ──[ filler ]────┴──[ filler ] [ filler ]──────   strips 2 | 4
//	 0 ══[ main 1 ][ main 2 ]════════════════════════   strip 1, on the struck edge
type bench struct {
	job  Job
	spec hide.Spec
	plan Plan
}

// tilt is that of the struck edge, so that no test rests on upright shapes.
const tilt = 0.498211613 * measure.Degree // a mark in 115

func newBench() *bench {
	part := func(name, use string, length, width float64, count int) Part {
		return Part{Name: name, Leather: "bridle-tan", Use: use, Length: length, Width: width, Count: count, Knife: use == "loop"}
	}
	filler, keeper := part("filler", "hidden", 400, 16, 2), part("keeper", "loop", 70, 12.5, 1)
	b := &bench{
		job: Job{
			Orders: []Order{
				{ID: "A12", Line: 2, FirstSet: 1, Qty: 2, Worth: 40, Parts: []Part{part("main", "load", 600, 35, 1), filler, keeper}},
				{ID: "B7", Line: 3, FirstSet: 1, Qty: 1, Worth: 15, Parts: []Part{part("main", "load", 2000, 20, 1)}},
				{ID: "A12", Line: 4, FirstSet: 3, Qty: 1, Worth: 38, Parts: []Part{part("main", "load", 500, 35, 1), filler, keeper}},
			},
			Uses:  map[string]hide.Use{},
			Tools: Tools{Mark: 1, CutterMin: 15, CutterMax: 100, Grips: 16, Effort: 0.25, Deepest: 40, Part: 10, Tilt: measure.Degree},
		},
		spec: hide.Spec{
			Name: "ash-3", Leather: "bridle-tan", Form: "bend",
			Outline:  []orb.Point{{0, 0}, {1400, 0}, {1380, 600}, {700, 610}, {20, 600}},
			Backbone: []orb.Point{{0, 0}, {1400, 0}},
			Trim:     4,
			Readings: []hide.Reading{{At: orb.Point{200, 300}, MM: 3.8}, {At: orb.Point{1200, 300}, MM: 4.1}},
			Flaws: []hide.Flaw{
				{Kind: "hole", Spot: &hide.Spot{At: orb.Point{700, 500}, Diameter: 18}},
				{Kind: "scar", Stroke: &hide.Stroke{Line: []orb.Point{{100, 55}, {200, 60}, {300, 58}}, Width: 4}}, // under fillers
			},
			Zones: []hide.Zone{{Quality: hide.Soft, Area: plane.Box(orb.Point{0, 400}, orb.Point{1390, 590})}},
		},
		plan: Plan{Format: Format},
	}
	for _, u := range hide.BuiltInUses() {
		if u.Name == "load" {
			u.Substance = &hide.Substance{From: 3, To: 4.5}
		}
		b.job.Uses[u.Name] = u
	}
	b.lay()
	return b
}

// frame is that of the struck edge, in which pieces and strips are placed.
func (b *bench) frame() plane.Frame {
	sin, cos := math.Sincos(float64(tilt))
	return plane.NewFrame(orb.Point{10, 10}, orb.Point{cos, sin})
}

func (b *bench) lay() {
	f := b.frame()
	lay := HideLay{
		Hide: "ash-3",
		Strike: Strike{
			From: f.OutOf(orb.Point{}), To: f.OutOf(orb.Point{1370, 0}),
			EdgeMM: 10, SquareMM: 10, AngleDeg: tilt.Degrees(), Through: [2]orb.Point{{125, 11}, {1160, 20}},
		},
		Bands: []Band{
			{FromMM: 0, DepthMM: 35, Blocks: []Block{{FromMM: 0, ToMM: 1370, Strips: []int{1}}}},
			{FromMM: 35, DepthMM: 32, Blocks: []Block{{FromMM: 0, ToMM: 420, Strips: []int{2, 3}}, {FromMM: 450, ToMM: 1370, Strips: []int{4, 5}}}},
			{FromMM: 97, DepthMM: 35, Blocks: []Block{{FromMM: 0, ToMM: 500, Strips: []int{6}}, {FromMM: 520, ToMM: 1370, Strips: []int{7}}}},
		},
	}
	for i, s := range []struct{ lo, hi, from, width float64 }{
		{0, 1370, 0, 35},
		{0, 420, 35, 16},
		{0, 420, 51, 16},
		{450, 1370, 35, 16},
		{450, 1370, 51, 13},
		{0, 500, 97, 35},
		{520, 1370, 97, 16},
	} {
		lay.Strips = append(lay.Strips, Strip{
			N: i + 1, Outline: f.Rect(plane.Span{Lo: s.lo, Hi: s.hi}, plane.Span{Lo: s.from, Hi: s.from + s.width}),
			WidthMM: s.width, FromMM: s.from,
		})
	}
	b.plan.Hides = []HideLay{lay}
	for _, p := range []struct {
		strip, set int
		part       string
		at, length float64
	}{
		{1, 1, "main", 0, 600},
		{1, 2, "main", 600, 600},
		{2, 1, "filler", 0, 400},
		{3, 1, "filler", 10, 400},
		{4, 2, "filler", 450, 400},
		{4, 2, "filler", 860, 400},
		{5, 1, "keeper", 460, 70},
		{5, 2, "keeper", 530, 70},
		{5, 3, "keeper", 610, 70},
		{6, 3, "main", 0, 500},
		{7, 3, "filler", 520, 400},
		{7, 3, "filler", 920, 400},
	} {
		b.add("A12", p.set, p.part, p.strip, p.at, p.length)
	}
	b.plan.Sets = []SetCount{{"A12", 3, 3}, {"B7", 1, 0}}
	b.plan.Unplaced = []Unplaced{{"B7", 1, "main", "longer than the hide"}}
	b.plan.Hides[0].Remnants = Remnants(b.hide(), b.plan)
	b.seal()
}

// add cuts a piece as wide as its strip.
func (b *bench) add(order string, set int, part string, strip int, at, length float64) *Piece {
	use := map[string]string{"main": "load", "filler": "hidden"}[part]
	if use == "" {
		use = "loop"
	}
	s := b.plan.Hides[0].Strips[strip-1]
	b.plan.Pieces = append(b.plan.Pieces, Piece{
		Hide: "ash-3", Order: order, Set: set, Part: part, Use: use, Strip: strip, AngleDeg: tilt.Degrees(),
	})
	p := &b.plan.Pieces[len(b.plan.Pieces)-1]
	b.place(p, plane.Span{Lo: at, Hi: at + length}, plane.Span{Lo: s.FromMM, Hi: s.FromMM + s.WidthMM})
	return p
}

// place puts a piece elsewhere in the frame of the struck edge.
func (b *bench) place(p *Piece, along, across plane.Span) {
	p.Outline, p.FromMM, p.ToMM = b.frame().Rect(along, across), along.Lo, along.Hi
}

// piece is the n-th piece of that set and part, from 0.
func (b *bench) piece(set int, part string, n int) *Piece {
	for i := range b.plan.Pieces {
		if p := &b.plan.Pieces[i]; p.Set == set && p.Part == part {
			if n == 0 {
				return p
			}
			n--
		}
	}
	panic("the bench has no such piece")
}

// seal makes the figures of the plan true again.
func (b *bench) seal() {
	v := Value(b.job, b.plan)
	b.plan.Result = Result{Value: v, Bound: v + 5, Stop: StopTime, Seed: 1, Steps: 10}
}

func (b *bench) hide() *hide.Hide {
	h, err := hide.New(b.spec)
	if err != nil {
		panic(err)
	}
	return h
}

// clearOf is remnants less the pieces that lie in them.
func clearOf(remnants [][]orb.Point, pieces []Piece) [][]orb.Point {
	out := [][]orb.Point{}
	for _, r := range remnants {
		rest := polygonOf(r).AsGeometry()
		for _, p := range pieces {
			if r, err := rectFrom(p.Outline); err == nil {
				rest, _ = geom.Difference(rest, r.geometry())
			}
		}
		for _, p := range polygonsOf(rest) {
			if p.NumInteriorRings() == 0 { // a remnant has no hole
				out = append(out, cornersOf(p))
			}
		}
	}
	return out
}

// check is Check; remnants that are nil are what the lay leaves.
func (b *bench) check() []Violation {
	b.job.Hides = []*hide.Hide{b.hide()}
	for i, l := range b.plan.Hides {
		if h := b.job.Hide(l.Hide); h != nil && l.Remnants == nil {
			b.plan.Hides[i].Remnants = clearOf(Remnants(h, b.plan), b.plan.Pieces)
		}
	}
	return Check(b.job, b.plan)
}

// moved is the bench seen from elsewhere: every place moved, every angle with it.
func (b *bench) moved(move func(orb.Point) orb.Point, mirrored bool) *bench {
	points := func(ps []orb.Point) []orb.Point {
		out := make([]orb.Point, len(ps))
		for i, p := range ps {
			out[i] = move(p)
		}
		return out
	}
	ring := func(r plane.Ring) plane.Ring {
		out, err := plane.NewRing(points(r.Corners()))
		if err != nil {
			panic(err)
		}
		return out
	}
	sign := 1.0
	if mirrored {
		sign = -1
	}
	m := *b
	m.spec.Outline, m.spec.Backbone = points(b.spec.Outline), points(b.spec.Backbone)
	m.spec.Readings = slices.Clone(b.spec.Readings)
	for i := range m.spec.Readings {
		m.spec.Readings[i].At = move(m.spec.Readings[i].At)
	}
	m.spec.Flaws = slices.Clone(b.spec.Flaws)
	for i, f := range m.spec.Flaws {
		switch {
		case f.Spot != nil:
			m.spec.Flaws[i].Spot = &hide.Spot{At: move(f.Spot.At), Diameter: f.Spot.Diameter}
		case f.Stroke != nil:
			m.spec.Flaws[i].Stroke = &hide.Stroke{Line: points(f.Stroke.Line), Width: f.Stroke.Width}
		default:
			patch := ring(*f.Patch)
			m.spec.Flaws[i].Patch = &patch
		}
	}
	m.spec.Zones = slices.Clone(b.spec.Zones)
	for i := range m.spec.Zones {
		z := &m.spec.Zones[i]
		z.Area, z.Grain = ring(z.Area), z.Grain*measure.Angle(sign)
	}
	m.plan.Hides = slices.Clone(b.plan.Hides)
	for i := range m.plan.Hides {
		l := &m.plan.Hides[i]
		if l.Strike != (Strike{}) {
			l.Strike.From, l.Strike.To = move(l.Strike.From), move(l.Strike.To)
			l.Strike.Through = [2]orb.Point{move(l.Strike.Through[0]), move(l.Strike.Through[1])}
			l.Strike.AngleDeg *= sign
		}
		l.Strips, l.Remnants = slices.Clone(l.Strips), slices.Clone(l.Remnants)
		for j := range l.Strips {
			l.Strips[j].Outline = points(l.Strips[j].Outline)
		}
		for j := range l.Remnants {
			l.Remnants[j] = points(l.Remnants[j])
		}
	}
	pieces := func(list []Piece) []Piece {
		out := slices.Clone(list)
		for i, p := range out {
			out[i].Outline, out[i].AngleDeg = points(p.Outline), p.AngleDeg*sign
		}
		return out
	}
	m.plan.Pieces, m.plan.Spare, m.plan.Spoilt = pieces(b.plan.Pieces), pieces(b.plan.Spare), pieces(b.plan.Spoilt)
	return &m
}

// broken are the rules that violations name, each once, sorted.
func broken(vs []Violation) []string {
	var rules []string
	for _, v := range vs {
		rules = append(rules, v.Rule)
	}
	slices.Sort(rules)
	return slices.Compact(rules)
}

func TestBenchIsGood(t *testing.T) {
	for _, v := range newBench().check() {
		t.Error(v)
	}
}

// spare puts one more keeper-sized piece where strip 5 has room, and leaves the
// figures true.
func (b *bench) spare(order string, set int, part string) *Piece {
	p := b.add(order, set, part, 5, 800, 70)
	b.seal()
	return p
}

// each changes the part of that name in every order.
func (b *bench) each(name string, change func(*Part)) {
	for i := range b.job.Orders {
		for j := range b.job.Orders[i].Parts {
			if p := &b.job.Orders[i].Parts[j]; p.Name == name {
				change(p)
			}
		}
	}
}

func (b *bench) use(name string, change func(*hide.Use)) {
	u := b.job.Uses[name]
	change(&u)
	b.job.Uses[name] = u
}

func (b *bench) drop(p *Piece) {
	i := slices.IndexFunc(b.plan.Pieces, func(q Piece) bool { return cmp.Equal(q, *p) })
	b.plan.Pieces = slices.Delete(b.plan.Pieces, i, i+1)
}

func (b *bench) flaw(f hide.Flaw) { b.spec.Flaws = append(b.spec.Flaws, f) }

func (b *bench) zone(z hide.Zone) { b.spec.Zones = append(b.spec.Zones, z) }

// turn lays a piece askew about its middle, and says so.
func (b *bench) turn(p *Piece, by measure.Angle) {
	mid := orb.MultiPoint(p.Outline).Bound().Center()
	for i, c := range p.Outline {
		p.Outline[i] = add(mid, turned(sub(c, mid), float64(by)))
	}
	p.AngleDeg += by.Degrees()
}

// strip9 is one more strip, beyond the last band, that no block holds.
func (b *bench) strip9(n int) {
	l := &b.plan.Hides[0]
	l.Remnants = nil
	l.Strips = append(l.Strips, Strip{N: n, Outline: b.frame().Rect(span(0, 1370), span(140, 160)), WidthMM: 20, FromMM: 140})
	b.seal()
}

// begun has all bands ripped off.
func (b *bench) begun() *HideLay {
	l := &b.plan.Hides[0]
	for i := range l.Bands {
		l.Bands[i].Cut = true
	}
	return l
}

// spoilt has one more keeper cut, beyond the others of strip 5, which is done
// with, and spoilt.
func (b *bench) spoilt() *Piece {
	l := b.begun()
	for i := range l.Bands[1].Blocks {
		l.Bands[1].Blocks[i].Cut = true
	}
	l.Strips[3].Cut, l.Strips[4].Cut = true, true
	for i := range b.plan.Pieces {
		if p := &b.plan.Pieces[i]; p.Strip == 4 || p.Strip == 5 {
			p.Cut = true
		}
	}
	p := *b.add("A12", 3, "keeper", 5, 800, 70)
	p.Cut = true
	b.plan.Pieces = b.plan.Pieces[:len(b.plan.Pieces)-1]
	b.plan.Spoilt = append(b.plan.Spoilt, p)
	b.seal()
	return &b.plan.Spoilt[0]
}

// loose cuts the keeper of set 3 by knife, in no strip, its corner at x, y in
// the frame of the struck edge.
func (b *bench) loose(x, y float64) {
	b.plan.Hides[0].Remnants = nil
	p := b.piece(3, "keeper", 0)
	p.Strip = 0
	b.place(p, span(x, x+70), span(y, y+13))
	b.seal()
}
