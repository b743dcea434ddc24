package strip_test

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"

	"strapwise/hide"
	"strapwise/hide/measure"
	"strapwise/hide/plane"
	"strapwise/nest"
)

// exact is a job small enough to be solved as a mixed-integer program.
type exact struct {
	job   nest.Job
	hides []exactHide
}

// exactHide is a hide as the program sees it: so many marks long and deep from
// the mark (x0, y0) of its frame.
type exactHide struct {
	kind       string // its leather
	x0, y0     int
	long, deep int
	leather
}

const exactMark = 10.0 // mm

// serves reports whether a piece of the size may lie with its corner so many
// marks from that of the hide.
func (e exact) serves(h exactHide, s size, x, y int) bool {
	at := func(n int) float64 { return float64(n) * exactMark }
	b := box{at(h.x0 + x), at(h.y0 + y), at(h.x0 + x + s.length), at(h.y0 + y + s.width)}
	if !h.leather.serves(e.job.Uses[s.use], b) {
		return false
	}
	if e.job.Tools.Grips == 0 {
		return true
	}
	for c := b.x0; c < b.x1-tiny; c += exactMark { // corners of outlines that are gripped lie on marks
		next := box{c, b.y1, c + exactMark, b.y1 + exactMark}
		deep := box{c, b.y1, c + exactMark, b.y1 + e.job.Tools.Grips}
		if common(h.outline, next) > tiny && !inside(deep, h.outline) {
			return false
		}
	}
	return true
}

// exactUses are built-in uses and two more, of prime leather and of a substance.
// None may turn off the grain, since the program cuts along it.
func exactUses() map[string]hide.Use {
	m := map[string]hide.Use{
		"best":  {Name: "best", Quality: hide.Prime, Flaws: []string{"vein"}},
		"stout": {Name: "stout", Quality: hide.Firm, Flaws: []string{"scar"}, Substance: &hide.Substance{From: 3, To: 4.5}},
	}
	for _, u := range hide.BuiltInUses() {
		u.Angle = 0
		m[u.Name] = u
	}
	return m
}

// exactCase draws a job: one or two hides of one or two leathers, any shape of
// flaw, zones, readings; sets of one to three parts, several uses in a width.
// Where the program has to know blocks, hides are half as long.
func exactCase(t *testing.T, seed uint64, plain bool) exact {
	t.Helper()
	r := rand.New(rand.NewPCG(seed, 11))
	e := exact{job: nest.Job{Uses: exactUses(), Tools: nest.Tools{Mark: exactMark, CutterMin: 2 * exactMark, CutterMax: 4 * exactMark}}}
	leathers := []string{"strap"}
	if plain && seed%5 == 4 { // how a block is gripped is not for this model to say
		e.job.Tools.Grips = 2 * exactMark
	}
	hides, long, deep := 1+int(seed%2), 24, 10
	if seed%4 == 3 {
		leathers = append(leathers, "calf")
	}
	if !plain {
		long, deep = 13, 7
		e.job.Tools.Deepest, e.job.Tools.Part = exactMark*float64(deep), exactMark
	}
	if hides > 1 {
		long, deep = 3*long/4, 3*deep/4
	}
	for i := range hides {
		kind := leathers[i%len(leathers)]
		h := exactHide{kind: kind, leather: exactLeather(r, long-r.IntN(long/3), deep-r.IntN(deep/3), e.job.Tools.Grips > 0)}
		e.job.Hides = append(e.job.Hides, h.spread(t, r, fmt.Sprintf("h%d", i)))
		e.hides = append(e.hides, h)
	}
	uses := []string{"load", "hidden", "loop", "load", "hidden", "best", "stout"}
	widths := [][]int{{2, 3}, {2, 4}, {2, 3, 4}, {2, 2, 3, 3, 5}}[r.IntN(4)] // the cutter takes no 5
	if !plain {
		// Bands lie on marks that divide the widths, which these leave to all.
		widths = [][]int{{2, 3}, {3, 4}, {2, 3, 4}}[r.IntN(3)]
	}
	for i := range 4 {
		o := nest.Order{ID: string(rune('A' + i)), FirstSet: 1, Qty: 1 + r.IntN(4), Worth: 0.5 * float64(2+r.IntN(17))}
		for j := range 1 + r.IntN(3)*r.IntN(2)*r.IntN(2) {
			p := nest.Part{
				Name: string(rune('a' + j)), Leather: leathers[r.IntN(len(leathers))], Use: uses[r.IntN(len(uses))],
				Length: exactMark * float64(2+r.IntN(long/3)), Width: exactMark * float64(widths[r.IntN(len(widths))]), Count: 1,
			}
			if r.IntN(3) == 0 {
				p.Count = 2
			}
			if r.IntN(3) == 0 {
				p.Length -= 3 // between two marks
			}
			o.Parts = append(o.Parts, p)
		}
		e.job.Orders = append(e.job.Orders, o)
	}
	return e
}

// exactLeather draws a hide in its frame, so many marks long and deep, on a
// lattice of 2.5 mm.
func exactLeather(r *rand.Rand, long, deep int, onMarks bool) leather {
	const fine = exactMark / 4
	l, d := exactMark*float64(long), exactMark*float64(deep)
	some := func(most int) float64 { return fine * float64(r.IntN(most)) }
	var h leather
	switch shape := r.IntN(3); {
	case shape == 0:
		h.outline = []orb.Point{{0, 0}, {l, 0}, {l, d}, {0, d}}
	case shape == 1 || onMarks: // a corner is missing
		x, y := l-exactMark*float64(2+r.IntN(4)), d-exactMark*float64(1+r.IntN(3))
		h.outline = []orb.Point{{0, 0}, {l, 0}, {l, y}, {x, y}, {x, d}, {0, d}}
	default: // an uneven edge all round
		h.outline = []orb.Point{
			{0, some(9)},
			{some(9) + fine, 0},
			{l - some(9) - fine, some(3)},
			{l, some(9) + 4*fine},
			{l - some(3), d - some(5)},
			{l - 60 - some(9), d + some(3)},
			{some(9) + fine, d - some(5)},
		}
	}
	if !onMarks && r.IntN(2) == 0 {
		h.trim = fine
	}
	place := func() orb.Point { // somewhere on the leather
		for {
			p := orb.Point{some(4 * long), some(4 * deep)}
			if common(h.outline, box{p[0] - 1, p[1] - 1, p[0] + 1, p[1] + 1}) > 2 {
				return p
			}
		}
	}
	for range r.IntN(6) {
		f := hide.Flaw{Kind: []string{"hole", "scar", "vein"}[r.IntN(3)]}
		at := place()
		switch r.IntN(3) {
		case 0:
			f.Spot = &hide.Spot{At: at, Diameter: fine * float64(1+r.IntN(5))}
		case 1:
			f.Stroke = &hide.Stroke{Line: []orb.Point{at, {at[0] + 3 + some(12), at[1] - 10 + some(8)}}, Width: fine * float64(1+r.IntN(3))}
		default:
			patch := plane.Box(at, orb.Point{at[0] + fine + some(6), at[1] + fine + some(6)})
			f.Patch = &patch
		}
		h.flaws = append(h.flaws, f)
	}
	if r.IntN(2) == 0 { // a soft edge
		h.zones = append(h.zones, hide.Zone{Quality: hide.Soft, Area: plane.Box(orb.Point{-5, d * 0.7}, orb.Point{l + 5, d + 20})})
	}
	if r.IntN(3) == 0 { // the best of it
		h.zones = append(h.zones, hide.Zone{Quality: hide.Prime, Area: plane.Box(orb.Point{-5, -5}, orb.Point{l/2 + some(9), d/2 + some(9)})})
	}
	if r.IntN(4) == 0 { // a shank, its grain turned or only said to be
		grain := 9 * measure.Degree * measure.Angle(long%2)
		h.zones = append(h.zones, hide.Zone{Quality: hide.Firm, Turned: true, Grain: grain, Area: plane.Box(orb.Point{l - 40 - some(9), -5}, orb.Point{l + 5, d/2 + some(9)})})
	}
	if r.IntN(3) == 0 {
		h.readings = []hide.Reading{{At: orb.Point{20, 20}, MM: 3.5}, {At: orb.Point{l - 30, 30}, MM: 2.5 + r.Float64()}}
	}
	return h
}

// spread lays the hide on the bench: turned by quarters, carried off, its frame
// told by a backbone, which need not begin at a corner of the leather.
func (h *exactHide) spread(t *testing.T, r *rand.Rand, name string) *hide.Hide {
	t.Helper()
	origin := orb.Point{float64(r.IntN(4)) * 2.5, float64(r.IntN(4)) * 2.5}
	if h.kind == "strap" && r.IntN(2) == 0 {
		origin = orb.Point{}
	}
	// in the frame: so that its origin is where the backbone begins
	shift := func(p orb.Point) orb.Point { return orb.Point{p[0] - origin[0], p[1] - origin[1]} }
	h.leather = h.leather.moved(shift)
	least, most := h.outline[0], h.outline[0]
	for _, p := range h.outline {
		least = orb.Point{min(least[0], p[0]), min(least[1], p[1])}
		most = orb.Point{max(most[0], p[0]), max(most[1], p[1])}
	}
	down := func(mm float64) int { return int(mm+1000*exactMark)/int(exactMark) - 1000 }
	h.x0, h.y0 = down(least[0]), down(least[1])
	h.long, h.deep = down(most[0])+1-h.x0, down(most[1])+1-h.y0

	quarters, dx, dy := r.IntN(4), 1000*r.Float64(), 1000*r.Float64()
	turn := func(p orb.Point) orb.Point {
		for range quarters {
			p = orb.Point{-p[1], p[0]}
		}
		return orb.Point{p[0] + dx, p[1] + dy}
	}
	m := h.leather.moved(turn)
	made, err := hide.New(hide.Spec{
		Name: name, Leather: h.kind, Form: "bend", Outline: m.outline, Trim: m.trim, Flaws: m.flaws, Zones: m.zones, Readings: m.readings,
		Backbone: []orb.Point{turn(orb.Point{}), turn(orb.Point{100, 0})},
	})
	if err != nil {
		t.Fatal(err)
	}
	return made
}

// moved is the leather carried elsewhere; boxes stay boxes under the moves made
// here.
func (l leather) moved(move func(orb.Point) orb.Point) leather {
	ring := func(r plane.Ring) plane.Ring {
		var out []orb.Point
		for _, p := range r.Corners() {
			out = append(out, move(p))
		}
		made, _ := plane.NewRing(out)
		return made
	}
	out := leather{trim: l.trim}
	for _, p := range l.outline {
		out.outline = append(out.outline, move(p))
	}
	for _, f := range l.flaws {
		switch {
		case f.Patch != nil:
			patch := ring(*f.Patch)
			f.Patch = &patch
		case f.Spot != nil:
			f.Spot = &hide.Spot{At: move(f.Spot.At), Diameter: f.Spot.Diameter}
		default:
			f.Stroke = &hide.Stroke{Line: []orb.Point{move(f.Stroke.Line[0]), move(f.Stroke.Line[1])}, Width: f.Stroke.Width}
		}
		out.flaws = append(out.flaws, f)
	}
	for _, z := range l.zones {
		z.Area = ring(z.Area)
		out.zones = append(out.zones, z)
	}
	for _, r := range l.readings {
		out.readings = append(out.readings, hide.Reading{At: move(r.At), MM: r.MM})
	}
	return out
}
