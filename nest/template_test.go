package nest

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"

	"strapwise/hide"
	"strapwise/hide/measure"
	"strapwise/hide/plane"
)

// tapered is a template in the keepers' rectangle, 70 by 12.5 mm:
//
//	  ┌───────────┐╲_
//	  │             ╲___
//	  └─────────────────┘
//	(0,0)             (70,0)
func tapered() *Template {
	ring, err := plane.NewRing([]orb.Point{{0, 0}, {70, 0}, {70, 6}, {35, 12.5}, {0, 12.5}})
	if err != nil {
		panic(err)
	}
	return &Template{File: "keeper.svg", Outline: ring}
}

// templateBench is the bench with keepers cut to that template.
func templateBench() *bench {
	b := newBench()
	t := tapered()
	b.each("keeper", func(p *Part) { p.Template = t })
	for i := range b.plan.Pieces {
		if p := &b.plan.Pieces[i]; p.Part == "keeper" {
			b.lieAt(p, p.FromMM, 51)
		}
	}
	return b
}

// lieAt lays a template elsewhere in the frame of the struck edge.
func (b *bench) lieAt(p *Piece, x, y float64) {
	p.Outline, p.FromMM, p.ToMM = tapered().At(b.frame(), orb.Point{x, y}), x, x+70
}

// round turns a template by half a turn in the place it has.
func round(p *Piece) {
	mid := orb.MultiPoint(p.Outline).Bound().Center()
	// The middle of the box along the struck edge, not of that upright.
	for range 20 {
		var far [4]float64
		for i, c := range p.Outline {
			d := turned(sub(c, mid), -float64(tilt))
			if i == 0 {
				far = [4]float64{d[0], d[0], d[1], d[1]}
			}
			far = [4]float64{min(far[0], d[0]), max(far[1], d[0]), min(far[2], d[1]), max(far[3], d[1])}
		}
		mid = add(mid, turned(orb.Point{(far[0] + far[1]) / 2, (far[2] + far[3]) / 2}, float64(tilt)))
	}
	for i, c := range p.Outline {
		p.Outline[i] = sub(scale(mid, 2), c)
	}
}

// at is a place in the first keeper, told from the corner of its rectangle.
func (b *bench) at(x, y float64) orb.Point {
	return b.frame().OutOf(orb.Point{460 + x, 51 + y})
}

func TestTemplatesThatAreGood(t *testing.T) {
	keeper := func(b *bench) *Piece { return b.piece(1, "keeper", 0) }
	for name, do := range map[string]func(*bench){
		"as laid":                func(*bench) {},
		"half a turn round":      func(b *bench) { round(keeper(b)) },
		"the other way about":    func(b *bench) { slices.Reverse(keeper(b).Outline) },
		"from another corner":    func(b *bench) { o := keeper(b).Outline; keeper(b).Outline = append(o[2:5:5], o[:2]...) },
		"a corner on an edge":    func(b *bench) { keeper(b).Outline = slices.Insert(keeper(b).Outline, 1, b.at(20, 0)) },
		"closed":                 func(b *bench) { keeper(b).Outline = append(keeper(b).Outline, keeper(b).Outline[0]) },
		"half a mark further":    func(b *bench) { b.lieAt(keeper(b), 460, 51.4) },
		"a hole beside it":       func(b *bench) { b.flaw(spot(b.at(66, 11)[0], b.at(66, 11)[1], 4)) },
		"waste beside it":        func(b *bench) { b.zone(wasteRound(b.at(67, 11))) },
		"thin leather beside it": func(b *bench) { b.thinAt(67, 11.5) },
	} {
		t.Run(name, func(t *testing.T) {
			b := templateBench()
			do(b)
			for _, v := range b.check() {
				t.Error(v)
			}
		})
	}
}

func wasteRound(at orb.Point) hide.Zone {
	return hide.Zone{Quality: hide.Waste, Area: plane.Box(sub(at, orb.Point{1, 1}), add(at, orb.Point{1, 1}))}
}

// thinAt has a reading that keepers refuse at a place of the first, and sound ones
// round about.
func (b *bench) thinAt(x, y float64) {
	b.use("loop", func(u *hide.Use) { u.Substance = &hide.Substance{From: 3.5, To: 4.5} })
	b.spec.Readings = append(b.spec.Readings, hide.Reading{At: b.at(x, y), MM: 2})
	for _, d := range []orb.Point{{-2, 0}, {2, 0}, {0, -2}, {0, 2}} {
		b.spec.Readings = append(b.spec.Readings, hide.Reading{At: b.at(x+d[0], y+d[1]), MM: 3.8})
	}
}

func TestCheckNamesWhatIsWrongWithTemplates(t *testing.T) {
	keeper := func(b *bench) *Piece { return b.piece(1, "keeper", 0) }
	for _, s := range []spoil{
		{RuleShape, "crosses itself", func(b *bench) { o := keeper(b).Outline; o[0], o[1] = o[1], o[0] }},
		{RuleShape, "two corners", func(b *bench) { keeper(b).Outline = keeper(b).Outline[:2] }},
		{RuleShape, "too many corners", func(b *bench) { keeper(b).Outline = make([]orb.Point, 20_000) }},
		{RuleSize, "the rectangle round it", func(b *bench) { b.place(keeper(b), span(460, 530), span(51, 63.5)) }},
		{RuleSize, "another corner", func(b *bench) { keeper(b).Outline[3] = b.at(36, 12) }},
		{RuleSize, "a corner more", func(b *bench) { keeper(b).Outline = slices.Insert(keeper(b).Outline, 1, b.at(20, 0.1)) }},
		{RuleSize, "a corner cut off", func(b *bench) { keeper(b).Outline = slices.Delete(keeper(b).Outline, 3, 4) }},
		{RuleSize, "its other face", func(b *bench) {
			for i, c := range []orb.Point{{0, 0}, {0, 12.5}, {70, 12.5}, {70, 6.5}, {35, 0}} {
				keeper(b).Outline[i] = b.at(c[0], c[1])
			}
		}},
		{RuleSize, "another template of the same rectangle", func(b *bench) {
			b.each("keeper", func(p *Part) {
				p.Template = &Template{File: "other.svg"}
				p.Template.Outline, _ = plane.NewRing([]orb.Point{{0, 0}, {70, 0}, {70, 12.5}, {0, 6}})
			})
		}},
		{RuleAngle, "an angle that is not its own", func(b *bench) { keeper(b).AngleDeg += 2 }},
		{RuleGrain, "an angle that its use refuses", func(b *bench) { b.use("loop", func(u *hide.Use) { u.Angle = 0.3 * measure.Degree }) }},
		{RuleFlaw, "a hole in it", func(b *bench) { b.flaw(spot(b.at(30, 11)[0], b.at(30, 11)[1], 2)) }},
		{RuleFlaw, "a hole that reaches into it", func(b *bench) { b.flaw(spot(b.at(66, 9)[0], b.at(66, 9)[1], 5)) }},
		{RuleZone, "waste in it", func(b *bench) { b.zone(wasteRound(b.at(60, 7))) }},
		{RuleZone, "leather not known to be prime", func(b *bench) { b.use("loop", func(u *hide.Use) { u.Quality = hide.Prime }) }},
		{RuleSubstance, "thin leather in it", func(b *bench) { b.thinAt(30, 6) }},
		{RulePosition, "cut off further out than the next mark", func(b *bench) { keeper(b).FromMM-- }},
		{RulePosition, "cut off within it", func(b *bench) { keeper(b).ToMM-- }},
		{RuleInStrip, "beyond the strip's edge", func(b *bench) { b.lieAt(keeper(b), 460, 51.6) }},
		{RuleInStrip, "in another's rectangle, though clear of it", func(b *bench) { b.lieAt(keeper(b), 462, 51); round(b.piece(2, "keeper", 0)) }},
		{RuleOverlap, "over another", func(b *bench) { b.lieAt(keeper(b), 466, 51) }},
	} {
		t.Run(s.rule+"/"+s.name, func(t *testing.T) {
			b := templateBench()
			s.do(b)
			b.seal() // the cuts may be others
			if got := b.check(); !cmp.Equal(broken(got), []string{s.rule}) {
				t.Errorf("found %q, expected %q", got, s.rule)
			}
		})
	}
}

// Templates of no strip may fit into one another, beyond the bands.
func TestTemplatesInOneAnother(t *testing.T) {
	for _, c := range []struct {
		x    float64
		want []string
	}{{70, nil}, {68, nil}, {66, []string{RuleOverlap}}} {
		b := templateBench()
		for i, x := range []float64{200, 200 + c.x} {
			p := b.piece(i+1, "keeper", 0)
			p.Strip = 0
			if b.lieAt(p, x, 300); i == 1 {
				round(p)
			}
		}
		// what goes back on the rack begins beyond them
		var rest [][]orb.Point
		for _, r := range Remnants(b.hide(), b.plan) {
			far := polygonOf([]orb.Point{{-10, 350}, {1500, 350}, {1500, 700}, {-10, 700}})
			g, err := geom.Intersection(polygonOf(r).AsGeometry(), far.AsGeometry())
			if err != nil {
				t.Fatal(err)
			}
			for _, p := range polygonsOf(g) {
				rest = append(rest, cornersOf(p))
			}
		}
		b.plan.Hides[0].Remnants = rest
		b.seal()
		got := slices.DeleteFunc(broken(b.check()), func(rule string) bool { return rule == RuleRemnant }) // of the strip before them
		if !slices.Equal(got, c.want) {
			t.Errorf("%g mm apart: found %q, expected %q", c.x, b.check(), c.want)
		}
	}
}

// What an outline is told to share with another is what a fine grid of points shares.
func TestOutlinesOverlapAsPointsDo(t *testing.T) {
	rnd := rand.New(rand.NewPCG(7, 8))
	star := func() []orb.Point {
		var out []orb.Point
		at := orb.Point{rnd.Float64() * 60, rnd.Float64() * 60}
		for i := range 7 {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / 7)
			r := 6 + 18*rnd.Float64()
			out = append(out, orb.Point{at[0] + r*cos, at[1] + r*sin})
		}
		return out
	}
	within := func(ring []orb.Point, p orb.Point) bool { // by the crossings of a ray
		in := false
		for i, a := range ring {
			b := ring[(i+1)%len(ring)]
			if (a[1] > p[1]) != (b[1] > p[1]) && p[0] < a[0]+(p[1]-a[1])/(b[1]-a[1])*(b[0]-a[0]) {
				in = !in
			}
		}
		return in
	}
	apart, over := 0, 0
	for range 400 {
		a, b := star(), star()
		s, err := outlineFrom(a, orb.Point{1, 0})
		if err != nil {
			t.Fatal(err)
		}
		o, err := outlineFrom(b, turned(orb.Point{1, 0}, 1))
		if err != nil {
			t.Fatal(err)
		}
		shared := 0
		for x := -25.0; x < 90; x += 0.25 {
			for y := -25.0; y < 90; y += 0.25 {
				if p := (orb.Point{x, y}); within(a, p) && within(b, p) {
					shared++
				}
			}
		}
		switch got := s.overlap(o); {
		case shared > 0 && !got:
			t.Errorf("%v and %v share %d points: found no overlap", a, b, shared)
		case shared == 0 && got: // less than the grid shows
			if g, err := geom.Intersection(s.whole, o.whole); err != nil || g.Area() < areaTol {
				t.Errorf("%v and %v share nothing: found an overlap", a, b)
			}
		}
		if shared > 0 {
			over++
		} else {
			apart++
		}
	}
	if min(apart, over) < 50 {
		t.Errorf("%d apart and %d over one another: too few of one to say anything", apart, over)
	}
}

// What is cut is judged by its outline: a find beside it, in its rectangle, spoils nothing.
func TestJudgeOfTemplates(t *testing.T) {
	for _, c := range []struct {
		x, y float64
		met  int
	}{{66, 11, 0}, {30, 6, 1}} {
		b := templateBench()
		at := b.at(c.x, c.y)
		b.flaw(spot(at[0], at[1], 2))
		b.job.Hides = []*hide.Hide{b.hide()}
		begun := b.plan.Begin()
		for i := range begun.Plan.Hides[0].Bands[:2] {
			begun.Cut("ash-3", i+1)
		}
		met := begun.Judge(b.job, func(Piece) bool { return false })
		if len(met) != c.met || len(begun.Plan.Spoilt) != c.met {
			t.Errorf("a hole at %g, %g spoils %d pieces, expected %d", c.x, c.y, len(met), c.met)
		}
		if c.met == 0 {
			if found := CheckCut(Job{Hides: b.job.Hides, Uses: b.job.Uses, Tools: b.job.Tools}, begun.Plan); len(found) > 0 { // no order asks for them now
				t.Error(found)
			}
		}
	}
}

func TestSameTemplate(t *testing.T) {
	a, b := tapered(), tapered()
	b.File = "another name"
	moved := b.Outline.Corners()
	moved[1][1] += 0.001
	other, err := plane.NewRing(moved)
	if err != nil {
		t.Fatal(err)
	}
	if !a.Same(b) || a.Same(nil) || (*Template)(nil).Same(a) || !(*Template)(nil).Same(nil) || a.Same(&Template{File: a.File, Outline: other}) {
		t.Error("outlines tell which pieces stand for each other")
	}
	if got, want := (Part{Length: 70, Width: 12.5, Template: a}).Area(), 70*12.5-35*6.5/2; math.Abs(got-want) > 1e-9 {
		t.Errorf("%g mm², expected %g", got, want)
	}
}

// A plan with templates is the same when it is written and read.
func TestTemplatesInAPlanFile(t *testing.T) {
	b := templateBench()
	p, err := DecodePlan("plan.json", b.plan.Encode())
	if err != nil {
		t.Fatal(err)
	}
	b.plan = p
	for _, v := range b.check() {
		t.Error(v)
	}
	if got := b.piece(1, "keeper", 0).Outline; len(got) != 5 || !sameCorners(got, tapered().At(b.frame(), orb.Point{460, 51})) {
		t.Errorf("found %v", got)
	}
}
