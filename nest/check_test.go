package nest

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"

	"strapwise/hide"
	"strapwise/hide/measure"
	"strapwise/hide/plane"
)

func TestCheckNamesWhatIsWrong(t *testing.T) {
	named := map[string]bool{}
	for _, s := range spoils {
		named[s.rule] = true
		t.Run(s.rule+"/"+s.name, func(t *testing.T) {
			b := newBench()
			s.do(b)
			got := b.check()
			if want := []string{s.rule}; !cmp.Equal(broken(got), want) {
				t.Errorf("found %q, expected %q", broken(got), want)
				for _, v := range got {
					t.Log(v)
				}
			}
			for _, v := range got {
				if v.What == "" || strings.Contains(v.String(), "%!") {
					t.Errorf("badly worded: %v", v)
				}
			}
		})
	}
	for _, rule := range Rules() {
		if !named[rule] && rule != RuleApart {
			t.Errorf("no change to the bench breaks the rule %q", rule)
		}
	}
}

// Where bands nest, strips that lie true cannot share leather. Where there are
// none, they can.
func TestCheckNamesStripsThatShareLeather(t *testing.T) {
	b := newBench()
	b.plan.Hides[0].Bands = nil
	b.plan.Hides[0].Strips[6].Outline = b.frame().Rect(span(499, 1370), span(97, 113))
	b.seal()
	if got, want := broken(b.check()), []string{RuleApart, RuleBands}; !cmp.Equal(got, want) {
		t.Errorf("found %q, expected %q", got, want)
	}
}

// A plan with a great many faults is told in a few lines, and at once: of all
// the pairs of pieces at one place only so many are looked at as are told.
func TestCheckListsOnlySoMany(t *testing.T) {
	b := newBench()
	o := &b.job.Orders[0]
	o.Qty = 2_000
	p := *b.piece(1, "keeper", 0)
	for n := range o.Qty {
		p.Set = o.FirstSet + n
		b.plan.Pieces = append(b.plan.Pieces, p)
	}
	count := map[string]int{}
	for _, v := range b.check() {
		count[v.Rule]++
	}
	for _, rule := range []string{RuleOverlap, RuleSets, RuleUnplaced} {
		if count[rule] != MostNamed+1 {
			t.Errorf("rule %q is named %d times", rule, count[rule])
		}
	}
}

// What a plan calls things is repeated, but not to the end.
func TestCheckShortensNames(t *testing.T) {
	b := newBench()
	b.plan.Pieces[0].Part = strings.Repeat("main", 1<<18)
	b.plan.Pieces[1].Use = strings.Repeat("load", 1<<18)
	for _, v := range b.check() {
		if len(v.String()) > 600 {
			t.Errorf("a line of %d letters", len(v.String()))
		}
	}
}

func TestCheckGrants(t *testing.T) {
	for _, g := range []struct {
		name string
		do   func(*bench)
	}{
		{"corners from another one on, the other way round, closed", func(b *bench) {
			for i := range b.plan.Pieces {
				o := b.plan.Pieces[i].Outline
				b.plan.Pieces[i].Outline = []orb.Point{o[2], o[1], o[0], o[3], o[2]}
			}
		}},
		{"a hole that only touches", func(b *bench) {
			at := b.frame().OutOf(orb.Point{300, -5})
			b.flaw(spot(at[0], at[1], 10))
		}},
		{"trim to the last bit", func(b *bench) { b.spec.Trim = b.clearance() }},
		{"a rounding of 0.005 mm", func(b *bench) {
			for i := range b.plan.Pieces {
				for j := range b.plan.Pieces[i].Outline {
					b.plan.Pieces[i].Outline[j][j%2] += 0.002
				}
			}
		}},
		{"a piece as wide as its strip", func(b *bench) { b.each("keeper", func(p *Part) { p.Width = 8 }) }},
		{"a piece that its strip is trimmed to", func(b *bench) { b.place(b.piece(1, "keeper", 0), span(460, 530), span(51, 63.5)) }},
		{"a part wider than long", func(b *bench) { b.each("keeper", func(p *Part) { p.Length, p.Width = 12.5, 70 }); b.keepersAcross() }},
		{"a direction stated from the other end", func(b *bench) { b.piece(1, "main", 0).AngleDeg -= 180 }},
		{"flaws that the use may contain", func(b *bench) {
			b.flaw(hide.Flaw{Kind: "vein", Spot: &hide.Spot{At: orb.Point{200, 60}, Diameter: 12}})
		}},
		{"prime all over", func(b *bench) {
			b.zone(hide.Zone{Quality: hide.Prime, Area: plane.Box(orb.Point{-10, -10}, orb.Point{600, 700})})
			b.zone(hide.Zone{Quality: hide.Prime, Area: plane.Box(orb.Point{600, -10}, orb.Point{1500, 700})})
			b.use("load", func(u *hide.Use) { u.Quality = hide.Prime })
		}},
		{"grain turned no more than the use allows", func(b *bench) {
			b.zone(hide.Zone{Quality: hide.Firm, Area: plane.Box(orb.Point{100, 0}, orb.Point{120, 40}), Turned: true, Grain: 3.4 * measure.Degree})
		}},
		{"thin where nothing is cut", func(b *bench) {
			b.spec.Readings = append(b.spec.Readings, hide.Reading{At: orb.Point{700, 300}, MM: 4}, hide.Reading{At: orb.Point{700, 600}, MM: 1})
		}},
		{"no reading", func(b *bench) { b.spec.Readings = nil }},
		{"a narrow strip of knife parts", func(b *bench) { b.job.Tools.CutterMin = 16 }},
		{"a narrow waste strip beside a band of knife parts", func(b *bench) {
			b.plan.Hides[0].Bands[1].DepthMM, b.plan.Hides[0].Remnants, b.job.Tools.Deepest = 52, nil, 60
			b.seal()
			b.each("main", func(p *Part) { p.Knife = true })
			b.each("filler", func(p *Part) { p.Knife = true })
		}},
		{"a knife piece askew in its strip", func(b *bench) {
			l := &b.plan.Hides[0]
			l.Bands[1].DepthMM, b.job.Tools.Deepest, b.job.Tools.Grips = 46, 60, 14
			l.Strips[4].WidthMM, l.Remnants = 30, nil
			l.Strips[4].Outline = b.frame().Rect(span(450, 1370), span(51, 81))
			p := b.piece(3, "keeper", 0)
			b.place(p, span(700, 770), span(58, 71))
			b.turn(p, 4*measure.Degree)
			e := rectOf(p).extent(l.Strike.From, turned(orb.Point{1, 0}, float64(tilt)))
			p.FromMM, p.ToMM = e.Lo, e.Hi
			b.seal()
		}},
		{"a knife piece from beyond the bands", func(b *bench) { b.loose(600, 200); b.turn(b.piece(3, "keeper", 0), 10*measure.Degree) }},
		{"a knife piece from between two blocks", func(b *bench) { b.loose(700, 114) }},
		{"the last strip against the edge of the hide", func(b *bench) { b.edgeAt(510, 132, 134) }},
		{"the last strip against the edge here, leather there", func(b *bench) { b.edgeAt(250, 132, 300) }},
		{"a last block that ends off the marks that part blocks", func(b *bench) {
			for i := range b.plan.Hides[0].Bands {
				blocks := b.plan.Hides[0].Bands[i].Blocks
				blocks[len(blocks)-1].ToMM = 1373
			}
		}},
		{"no limit to what it grips", func(b *bench) { b.edgeAt(510, 135, 137); b.job.Tools.Grips = 0 }},
		{"an unplaced set with no part named", func(b *bench) { b.plan.Unplaced[0].Part = "" }},
		{"proven at its bound", func(b *bench) {
			b.plan.Result.Proven, b.plan.Result.Stop, b.plan.Result.Bound = true, StopProven, b.plan.Result.Value
		}},
		{"a bound not known", func(b *bench) { b.plan.Result.Bound = math.Inf(1) }},
		{"a plan that gives nothing", func(b *bench) {
			b.plan = Plan{Format: Format, Sets: []SetCount{{"A12", 3, 0}, {"B7", 1, 0}}}
			for set := 1; set <= 3; set++ {
				b.plan.Unplaced = append(b.plan.Unplaced, Unplaced{"A12", set, "main", "no time"})
			}
			b.plan.Unplaced = append(b.plan.Unplaced, Unplaced{"B7", 1, "main", "no time"})
			b.seal()
		}},
		{"what has been through a file", func(b *bench) {
			p, err := DecodePlan("plan.json", b.plan.Encode())
			if err != nil {
				panic(err)
			}
			b.plan = p
		}},
	} {
		t.Run(g.name, func(t *testing.T) {
			b := newBench()
			g.do(b)
			for _, v := range b.check() {
				t.Error(v)
			}
		})
	}
}

// keepersAcross states the keepers' angle for parts that are wider than long.
func (b *bench) keepersAcross() {
	for set := 1; set <= 3; set++ {
		b.piece(set, "keeper", 0).AngleDeg += 90
	}
	b.use("loop", func(u *hide.Use) { u.Angle = 90 * measure.Degree })
}

// edgeAt makes the hide end so far from the struck edge: at left up to the step,
// at right beyond it. Main 3 lies from 0 to 500, its far edge at 132.
func (b *bench) edgeAt(step, left, right float64) {
	f := b.frame()
	b.spec.Zones, b.spec.Trim, b.plan.Hides[0].Remnants = nil, 0, nil
	b.spec.Outline = []orb.Point{
		{0, 0},
		{1400, 0},
		f.OutOf(orb.Point{1380, right}), f.OutOf(orb.Point{step, right}),
		f.OutOf(orb.Point{step, left}), f.OutOf(orb.Point{0, left}),
	}
	b.spec.Flaws = b.spec.Flaws[1:]
	b.job.Tools.Grips = 16
	b.spec.Readings = nil
	b.use("load", func(u *hide.Use) { u.Substance = nil })
}

// clearance is the least distance from any piece to the outline.
func (b *bench) clearance() float64 {
	least := math.Inf(1)
	for i := range b.plan.Pieces {
		d, _ := geom.Distance(b.hide().Outline().Polygon().Boundary().AsGeometry(), rectOf(&b.plan.Pieces[i]).geometry())
		least = min(least, d)
	}
	return least
}

func rectOf(p *Piece) rect {
	r, err := rectFrom(p.Outline)
	if err != nil {
		panic(err)
	}
	return r
}

// Where a hide lies on the paper, and which way round, changes no verdict.
func TestCheckLaw_moving(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	try := func(name string, b *bench) {
		want := broken(b.check())
		for range 3 {
			mirrored := rng.IntN(2) == 0
			by := rng.Float64() * 2 * math.Pi
			to := orb.Point{rng.Float64()*8000 - 4000, rng.Float64()*8000 - 4000}
			m := b.moved(func(p orb.Point) orb.Point {
				if mirrored {
					p[1] = -p[1]
				}
				return add(turned(p, by), to)
			}, mirrored)
			if got := m.check(); !cmp.Equal(broken(got), want) {
				t.Errorf("%s: found %q, expected %q: %v", name, broken(got), want, got)
			}
		}
	}
	try("good", newBench())
	for _, s := range spoils {
		if strings.Contains(s.name, "beyond any bench") {
			continue
		}
		b := newBench()
		s.do(b)
		try(s.rule+"/"+s.name, b)
	}
}

// The order in which a plan lists hides and pieces changes no verdict.
func TestCheckLaw_order(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	for _, s := range spoils {
		b := newBench()
		s.do(b)
		want := broken(b.check())
		rng.Shuffle(len(b.plan.Pieces), func(i, j int) {
			b.plan.Pieces[i], b.plan.Pieces[j] = b.plan.Pieces[j], b.plan.Pieces[i]
		})
		rng.Shuffle(len(b.job.Orders), func(i, j int) {
			b.job.Orders[i], b.job.Orders[j] = b.job.Orders[j], b.job.Orders[i]
		})
		if got := broken(b.check()); !cmp.Equal(got, want) {
			t.Errorf("%s/%s: found %q, expected %q", s.rule, s.name, got, want)
		}
	}
}

// BenchmarkCheck is a plan of 12 pieces on a hide of 300 corners with 25 flaws.
func BenchmarkCheck(b *testing.B) {
	k := newBench()
	k.spec.Outline = nil
	for i := range 300 {
		a := 2 * math.Pi * float64(i) / 300
		k.spec.Outline = append(k.spec.Outline, orb.Point{700 + 1500*math.Cos(a), 300 + 1200*math.Sin(a)})
	}
	for i := range 25 {
		k.flaw(spot(60+50*float64(i), 480, 12))
	}
	k.plan.Hides[0].Remnants = nil
	if v := k.check(); v != nil {
		b.Fatal(v)
	}
	for b.Loop() {
		Check(k.job, k.plan)
	}
}
