package nest

import (
	"math"
	"slices"

	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"

	"strapwise/hide"
	"strapwise/hide/measure"
	"strapwise/hide/plane"
)

// spoil is a change to the good bench, and the one rule that it breaks.
type spoil struct {
	rule, name string
	do         func(*bench)
}

func spot(x, y, diameter float64) hide.Flaw {
	return hide.Flaw{Kind: "hole", Spot: &hide.Spot{At: orb.Point{x, y}, Diameter: diameter}}
}

func span(lo, hi float64) plane.Span { return plane.Span{Lo: lo, Hi: hi} }

var spoils = []spoil{
	{RuleFormat, "another format", func(b *bench) { b.plan.Format = "strapwise-plan/2" }},

	{RuleHide, "a hide not on the rack is laid", func(b *bench) { b.plan.Hides = append(b.plan.Hides, HideLay{Hide: "oak-1"}) }},
	{RuleHide, "a hide is laid twice", func(b *bench) { b.plan.Hides = append(b.plan.Hides, HideLay{Hide: "ash-3"}) }},
	{RuleHide, "a piece on a hide not on the rack", func(b *bench) { b.piece(1, "keeper", 0).Hide = "oak-1"; b.seal() }},

	{RuleHide, "a spoilt piece on a hide not on the rack", func(b *bench) { b.spoilt().Hide = "oak-1"; b.seal() }},
	{RuleHide, "pieces of a hide that is not laid", func(b *bench) {
		b.plan.Hides = nil
		b.plan.Pieces = slices.DeleteFunc(b.plan.Pieces, func(p Piece) bool { return p.Part != "keeper" })
		for i := range b.plan.Pieces {
			b.plan.Pieces[i].Strip = 0
		}
		for _, i := range []int{0, 2} {
			b.job.Orders[i].Parts = b.job.Orders[i].Parts[2:]
		}
		b.seal()
	}},

	{RuleOrder, "a piece of an order not in the book", func(b *bench) { b.spare("C1", 1, "keeper") }},
	{RuleOrder, "a set above the quantity", func(b *bench) { b.spare("A12", 4, "keeper") }},
	{RuleOrder, "set 0", func(b *bench) { b.spare("A12", 0, "keeper") }},
	{RuleOrder, "sets counted of an order not in the book", func(b *bench) { b.plan.Sets = append(b.plan.Sets, SetCount{"C1", 0, 0}) }},
	{RuleOrder, "an unplaced set above the quantity", func(b *bench) { b.plan.Unplaced = append(b.plan.Unplaced, Unplaced{"B7", 2, "main", "why"}) }},

	{RulePart, "a part of no order", func(b *bench) { b.spare("A12", 1, "dee") }},
	{RulePart, "unplaced for want of a part of no order", func(b *bench) { b.plan.Unplaced[0].Part = "filler" }},

	{RuleUse, "a piece with another use than its part", func(b *bench) { b.piece(1, "main", 0).Use = "hidden" }},
	{RuleUse, "a use that the workshop does not know", func(b *bench) { delete(b.job.Uses, "loop") }},

	{RuleLeather, "another leather", func(b *bench) { b.each("keeper", func(p *Part) { p.Leather = "goat" }) }},

	{RuleShape, "three corners", func(b *bench) { p := b.piece(1, "main", 0); p.Outline = p.Outline[:3] }},
	{RuleShape, "no outline", func(b *bench) { b.piece(1, "main", 0).Outline = nil }},
	{RuleShape, "a corner off by 0.05 mm", func(b *bench) { b.piece(1, "main", 0).Outline[2][0] -= 0.05 }},
	{RuleShape, "leaning by 0.05 mm", func(b *bench) {
		p := b.piece(1, "main", 0)
		p.Outline[2][0] -= 0.05
		p.Outline[3][0] -= 0.05
	}},
	{RuleShape, "a spoilt piece of two corners", func(b *bench) { p := b.spoilt(); p.Outline = p.Outline[:2] }},
	{RuleShape, "no width", func(b *bench) {
		p := b.piece(1, "main", 0)
		p.Outline[2], p.Outline[3] = p.Outline[1], p.Outline[0]
	}},
	{RuleShape, "a corner that is no number", func(b *bench) { b.piece(1, "main", 0).Outline[0][1] = math.NaN() }},
	{RuleShape, "a corner beyond any bench", func(b *bench) { b.piece(1, "main", 0).Outline[0][1] = 1e300 }},

	{RuleSize, "too short", func(b *bench) { b.each("filler", func(p *Part) { p.Length = 400.02 }) }},
	{RuleSize, "too narrow", func(b *bench) { b.each("filler", func(p *Part) { p.Width = 16.02 }) }},
	{RuleSize, "longer than the next mark", func(b *bench) { b.each("filler", func(p *Part) { p.Length = 398.9 }) }},
	{RuleSize, "wider than the next mark, and not as wide as its strip", func(b *bench) {
		s := &b.plan.Hides[0].Strips[4]
		s.WidthMM, s.Outline = 14, b.frame().Rect(span(450, 1370), span(51, 65))
		b.each("keeper", func(p *Part) { p.Width = 11.5 })
	}},

	{RuleAngle, "an untrue angle", func(b *bench) { b.piece(1, "main", 0).AngleDeg = 0 }},
	{RuleAngle, "across instead of along", func(b *bench) { b.piece(1, "main", 0).AngleDeg += 90 }},
	{RuleAngle, "no number", func(b *bench) { b.piece(1, "main", 0).AngleDeg = math.NaN() }},

	{RuleGrain, "farther off the grain than the use allows", func(b *bench) {
		b.use("hidden", func(u *hide.Use) { u.Angle = tilt - 0.01*measure.Degree })
	}},

	{RuleOutline, "the hide has a notch under a piece", func(b *bench) {
		b.spec.Outline = slices.Insert(b.spec.Outline, 1, orb.Point{300, 0}, orb.Point{305, 20}, orb.Point{310, 0})
	}},
	{RuleTrim, "more trim than there is room for", func(b *bench) { b.spec.Trim = 10.02 }},
	{RuleTrim, "a notch that comes near", func(b *bench) {
		b.spec.Outline = slices.Insert(b.spec.Outline, 1, orb.Point{300, 0}, orb.Point{305, 10}, orb.Point{310, 0})
	}},

	{RuleFlaw, "a hole in a main", func(b *bench) { b.flaw(spot(300, 25, 10)) }},
	{RuleFlaw, "a hole that reaches 0.02 mm into a piece", func(b *bench) {
		// 5 mm before the struck edge, where that begins
		at := b.frame().OutOf(orb.Point{300, -5})
		b.flaw(spot(at[0], at[1], 10.04))
	}},
	{RuleFlaw, "a pinprick in a keeper", func(b *bench) {
		at := b.frame().OutOf(orb.Point{500, 58})
		b.flaw(spot(at[0], at[1], 0.01))
	}},
	{RuleFlaw, "the scar that fillers may contain under a main", func(b *bench) {
		b.flaw(hide.Flaw{Kind: "scar", Stroke: &hide.Stroke{Line: []orb.Point{{100, 5}, {300, 8}}, Width: 14}})
	}},
	{RuleFlaw, "a brand round a whole piece", func(b *bench) {
		patch := plane.Box(orb.Point{400, 20}, orb.Point{600, 110})
		b.flaw(hide.Flaw{Kind: "brand", Face: hide.Flesh, Patch: &patch})
	}},
	{RuleFlaw, "a use that may contain less", func(b *bench) { b.use("hidden", func(u *hide.Use) { u.Flaws = nil }) }},

	{RuleZone, "soft leather under a main", func(b *bench) {
		b.zone(hide.Zone{Quality: hide.Soft, Area: plane.Box(orb.Point{100, 0}, orb.Point{120, 40})})
	}},
	{RuleZone, "waste under fillers", func(b *bench) {
		b.zone(hide.Zone{Quality: hide.Waste, Area: plane.Box(orb.Point{100, 55}, orb.Point{120, 75})})
	}},
	{RuleZone, "grain turned against a main", func(b *bench) {
		b.zone(hide.Zone{Quality: hide.Firm, Area: plane.Box(orb.Point{100, 0}, orb.Point{120, 40}), Turned: true, Grain: -2.6 * measure.Degree})
	}},
	{RuleZone, "a use that asks for prime, where nothing is", func(b *bench) { b.use("load", func(u *hide.Use) { u.Quality = hide.Prime }) }},
	{RuleZone, "a use that asks for prime, where not all is", func(b *bench) {
		b.zone(hide.Zone{Quality: hide.Prime, Area: plane.Box(orb.Point{0, 0}, orb.Point{1200, 140})})
		b.use("load", func(u *hide.Use) { u.Quality = hide.Prime })
	}},

	{RuleSubstance, "thin at one end", func(b *bench) { b.spec.Readings[1].MM = 2.9 }},
	{RuleSubstance, "thick everywhere", func(b *bench) { b.spec.Readings = []hide.Reading{{At: orb.Point{700, 600}, MM: 4.6}} }},
	{RuleSubstance, "of a leather that is too thick", func(b *bench) { b.spec.Readings, b.spec.Nominal = nil, 4.6 }},
	{RuleSubstance, "thin in the middle of a piece", func(b *bench) {
		b.spec.Readings = append(b.spec.Readings, hide.Reading{At: orb.Point{650, 30}, MM: 2})
	}},
	{RuleSubstance, "two readings at one place", func(b *bench) {
		b.spec.Readings = append(b.spec.Readings, hide.Reading{At: b.spec.Readings[0].At, MM: 2})
	}},

	{RuleOverlap, "with a piece that is spoilt", func(b *bench) {
		b.place(b.spoilt(), span(620, 690), span(51, 64))
	}},
	{RuleOverlap, "two keepers by 0.03 mm", func(b *bench) {
		b.job.Tools.Mark = 0.03
		b.plan.Hides[0].Remnants = nil
		b.place(b.piece(2, "keeper", 0), span(529.97, 599.97), span(51, 64))
		b.job.Tools.Mark = 0 // no marks: the cut lies between them
		b.seal()
	}},
	{RuleOverlap, "one piece twice", func(b *bench) {
		p := b.spare("A12", 3, "keeper")
		b.drop(b.piece(3, "keeper", 0))
		*p = b.plan.Pieces[len(b.plan.Pieces)-1]
		p = &b.plan.Pieces[len(b.plan.Pieces)-1]
		q := b.piece(1, "keeper", 0)
		b.place(p, span(q.FromMM, q.ToMM), span(51, 64))
		b.seal()
	}},

	{RuleInStrip, "a spoilt piece out of its strip by 0.03 mm", func(b *bench) { b.place(b.spoilt(), span(800, 870), span(51.03, 64.03)) }},
	{RuleInStrip, "no such strip", func(b *bench) { b.piece(1, "keeper", 0).Strip = 99; b.seal() }},
	{RuleInStrip, "out of its strip by 0.03 mm", func(b *bench) { b.place(b.piece(1, "keeper", 0), span(460, 530), span(51.03, 64.03)) }},
	{RuleInStrip, "beyond the end of its strip", func(b *bench) { b.place(b.piece(3, "keeper", 0), span(1310, 1380), span(51, 64)); b.seal() }},
	{RuleInStrip, "a ripped part without a strip", func(b *bench) { b.piece(1, "main", 0).Strip = 0; b.seal() }},
	{RuleInStrip, "a ripped piece across its strip", func(b *bench) {
		// as wide as the strip, 35 mm long: the part is turned to fit, and the use allows it
		b.job.Orders[2].Parts[0].Length, b.job.Orders[2].Parts[0].Width = 35, 500
		b.piece(3, "main", 0).AngleDeg += 90
		b.use("load", func(u *hide.Use) { u.Angle = 90 * measure.Degree })
	}},
	{RuleInStrip, "a ripped piece narrower than its strip", func(b *bench) {
		b.each("filler", func(p *Part) { p.Width = 15 })
		b.place(b.piece(1, "filler", 0), span(0, 400), span(35, 50))
	}},
	{RuleInStrip, "a knife piece in a strip that is not its own", func(b *bench) { b.piece(1, "keeper", 0).Strip = 0; b.seal() }},
	{RuleInStrip, "a knife piece through the struck edge", func(b *bench) {
		l := &b.plan.Hides[0]
		l.Bands[0].Blocks[0].ToMM, l.Strips[0].Outline = 1240, b.frame().Rect(span(0, 1240), span(0, 35))
		b.loose(1250, -5)
	}},
	{RuleInStrip, "a knife piece through the far edge of a band", func(b *bench) { b.loose(700, 125) }},
	{RuleInStrip, "a knife piece through the end of a block", func(b *bench) { b.loose(510, 114) }},
	{RuleInStrip, "two pieces side by side", func(b *bench) {
		b.job.Tools.Deepest, b.job.Tools.Grips = 60, 10
		l := &b.plan.Hides[0]
		l.Bands[1].Blocks[1].Strips = []int{4, 5}
		l.Bands[1].DepthMM, l.Remnants = 45, nil
		l.Strips[4].WidthMM, l.Strips[4].Outline = 28, b.frame().Rect(span(450, 1370), span(51, 79))
		b.place(b.piece(2, "keeper", 0), span(500, 570), span(65, 78))
		b.seal()
	}},

	{RulePosition, "from_mm", func(b *bench) { b.piece(1, "keeper", 0).FromMM++; b.seal() }},
	{RulePosition, "from_mm of a spoilt piece", func(b *bench) { b.spoilt().FromMM--; b.seal() }},
	{RulePosition, "to_mm", func(b *bench) { b.piece(3, "keeper", 0).ToMM = 0; b.seal() }},

	{RuleStrike, "no struck edge", func(b *bench) { b.plan.Hides[0].Strike = Strike{} }},
	{RuleStrike, "edge_mm", func(b *bench) { b.plan.Hides[0].Strike.EdgeMM = 11 }},
	{RuleStrike, "square_mm", func(b *bench) { b.job.Tools.Part = 1; b.plan.Hides[0].Strike.SquareMM = 9 }},
	{RuleStrike, "angle_deg", func(b *bench) { b.plan.Hides[0].Strike.AngleDeg = 0.501 }},
	{RuleStrike, "angle_deg from the other end", func(b *bench) { b.plan.Hides[0].Strike.AngleDeg -= 180 }},
	{RuleStrike, "too short to tell how it lies", func(b *bench) {
		s := &b.plan.Hides[0].Strike
		s.To = add(s.From, turned(orb.Point{0.02, 0}, float64(tilt)))
		s.AngleDeg, s.Through = 0, [2]orb.Point{}
		b.job.Tools.Tilt, b.job.Tools.Part = 0, 0
	}},
	{RuleStrike, "tilted, but through no marks", func(b *bench) { b.plan.Hides[0].Strike.Through = [2]orb.Point{} }},
	{RuleStrike, "level, but through marks", func(b *bench) {
		l := &b.plan.Hides[0]
		l.Strike.AngleDeg = 0
		sin, cos := math.Sincos(float64(tilt))
		b.spec.Backbone = []orb.Point{{0, 0}, {1400 * cos, 1400 * sin}} // the edge lies along it
		from := b.hide().Frame().Into(l.Strike.From)
		l.Strike.SquareMM, l.Strike.EdgeMM = from[0], from[1]
		for i := range b.plan.Pieces {
			b.plan.Pieces[i].AngleDeg = 0
		}
		b.job.Tools.Mark, b.job.Tools.Part = 0, 0
	}},
	{RuleStrike, "tilted through one mark only", func(b *bench) {
		s := &b.plan.Hides[0].Strike
		s.Through[1] = s.Through[0]
	}},
	{RuleStrike, "past a mark that it is told to pass", func(b *bench) { b.plan.Hides[0].Strike.Through[1] = orb.Point{1160, 21} }},
	{RuleStrike, "tilted more than the tools allow", func(b *bench) { b.job.Tools.Tilt = 0.4 * measure.Degree }},

	{RuleMarks, "a rule with other marks", func(b *bench) {
		b.job.Tools.Mark, b.job.Tools.Part = 0.7, 0
		b.each("filler", func(p *Part) { p.Length = 399.8 })
	}},
	{RuleMarks, "a piece between two marks", func(b *bench) { b.place(b.piece(3, "keeper", 0), span(610.5, 680.5), span(51, 64)) }},
	{RuleMarks, "a struck edge between two marks", func(b *bench) {
		// The backbone is moved, not the cuts.
		b.spec.Backbone = []orb.Point{{0, 0.5}, {1400, 0.5}}
		b.plan.Hides[0].Strike.EdgeMM = 9.5
	}},
	{RuleMarks, "struck through what is no mark", func(b *bench) {
		b.plan.Hides[0].Strike.Through[0] = orb.Point{125.5, 11 + 0.5/115}
		b.seal()
	}},
	{RuleMarks, "a squared end between two marks", func(b *bench) {
		// All is moved along the struck edge.
		l := &b.plan.Hides[0]
		on := func(p orb.Point) orb.Point { return add(p, turned(orb.Point{0.5, 0}, float64(tilt))) }
		l.Strike.From, l.Strike.To = on(l.Strike.From), on(l.Strike.To)
		l.Strike.SquareMM, l.Strike.EdgeMM = l.Strike.From[0], l.Strike.From[1]
		l.Remnants = nil
		for i := range l.Strips {
			l.Strips[i].Outline = mapped(l.Strips[i].Outline, on)
		}
		for i := range b.plan.Pieces {
			b.plan.Pieces[i].Outline = mapped(b.plan.Pieces[i].Outline, on)
		}
		b.seal()
	}},
	{RuleMarks, "a band between two marks", func(b *bench) {
		b.plan.Hides[0].Bands[1].DepthMM, b.job.Tools.Grips = 32.5, 0
		b.plan.Hides[0].Remnants = nil
		b.seal()
	}},
	{RuleMarks, "a block between two marks", func(b *bench) { b.job.Tools.Part = 0; b.plan.Hides[0].Bands[1].Blocks[0].ToMM = 420.5 }},

	{RuleStrip, "no outline", func(b *bench) { b.plan.Hides[0].Strips[0].Outline = nil }},
	{RuleStrip, "wider than width_mm", func(b *bench) {
		b.plan.Hides[0].Strips[5].Outline = b.frame().Rect(span(0, 500), span(97, 132.5))
	}},
	{RuleStrip, "askew", func(b *bench) {
		o := b.plan.Hides[0].Strips[6].Outline
		mid := orb.MultiPoint(o).Bound().Center()
		for i := range o {
			o[i] = add(mid, turned(sub(o[i], mid), 2e-5))
		}
	}},
	{RuleStrip, "farther out than from_mm", func(b *bench) {
		l := &b.plan.Hides[0]
		l.Strips[5].Outline = b.frame().Rect(span(0, 500), span(98, 133))
		b.place(b.piece(3, "main", 0), span(0, 500), span(98, 133))
		l.Remnants = nil
	}},

	{RuleStrip, "more than pieces", func(b *bench) {
		b.job.Tools.Deepest = 0
		l := &b.plan.Hides[0]
		for n := range len(b.plan.Pieces) {
			l.Strips = append(l.Strips, l.Strips[n%2])
		}
	}},

	{RuleNumbers, "held twice", func(b *bench) {
		block := &b.plan.Hides[0].Bands[0].Blocks[0]
		block.Strips = append(block.Strips, block.Strips...)
		b.seal()
	}},
	{RuleNumbers, "a number left out", func(b *bench) { b.strip9(9) }},
	{RuleNumbers, "the second block before the first", func(b *bench) {
		l := &b.plan.Hides[0]
		l.Strips[5], l.Strips[6] = l.Strips[6], l.Strips[5]
		l.Strips[5].N, l.Strips[6].N = 6, 7
		l.Bands[2].Blocks[0].Strips, l.Bands[2].Blocks[1].Strips = []int{7}, []int{6}
		for i := range b.plan.Pieces {
			if p := &b.plan.Pieces[i]; p.Strip > 5 {
				p.Strip = 13 - p.Strip
			}
		}
	}},
	{RuleNumbers, "a strip in no block", func(b *bench) { b.strip9(8) }},
	{RuleNumbers, "a strip in two blocks", func(b *bench) {
		// the far strip of each: stacked rightly, cut twice
		bl := b.plan.Hides[0].Bands[0].Blocks
		b.plan.Hides[0].Bands[0].Blocks = append(bl, Block{FromMM: 1370, ToMM: 1380, Strips: []int{9}})
		b.seal()
	}},

	{RuleBands, "none", func(b *bench) { b.plan.Hides[0].Bands = nil; b.seal() }},
	{RuleBands, "one in another", func(b *bench) { b.plan.Hides[0].Bands[0].DepthMM, b.job.Tools.Grips = 36, 0; b.seal() }},
	{RuleBands, "no depth", func(b *bench) {
		l := &b.plan.Hides[0]
		l.Bands = append(l.Bands, Band{FromMM: 132, DepthMM: 0})
		b.seal()
	}},
	{RuleBands, "deeper than bands may be", func(b *bench) { b.job.Tools.Deepest = 33 }},
	{RuleBands, "several strips where each band is to be one", func(b *bench) { b.job.Tools.Deepest = 0 }},
	{RuleBands, "deeper than its only strip, and than bands may be", func(b *bench) {
		l := &b.plan.Hides[0]
		l.Bands[2] = Band{FromMM: 97, DepthMM: 60, Blocks: []Block{{FromMM: 0, ToMM: 500, Strips: []int{6}}}}
		l.Strips, l.Remnants = l.Strips[:6], nil
		b.job.Orders[2].Parts = b.job.Orders[2].Parts[:1]
		b.plan.Pieces = slices.DeleteFunc(b.plan.Pieces, func(p Piece) bool { return p.Set == 3 && p.Part != "main" })
		b.seal()
	}},
	{RuleBands, "no number", func(b *bench) {
		l := &b.plan.Hides[0]
		l.Bands = append(l.Bands, Band{FromMM: 132, DepthMM: math.NaN()})
		b.job.Tools.Mark = 0
		b.seal()
	}},

	{RuleBlocks, "one in another", func(b *bench) { b.plan.Hides[0].Bands[1].Blocks[0].ToMM = 460; b.seal() }},
	{RuleBlocks, "a cross-cut off the marks that part blocks", func(b *bench) { b.plan.Hides[0].Bands[1].Blocks[0].ToMM = 425; b.seal() }},
	{RuleBlocks, "more than a band may have", func(b *bench) { b.job.Tools.Blocks = 1 }},
	{RuleBlocks, "before the squared end", func(b *bench) { b.plan.Hides[0].Bands[0].Blocks[0].FromMM = -10; b.seal() }},
	{RuleBlocks, "the wrong way round", func(b *bench) {
		bl := b.plan.Hides[0].Bands[0].Blocks
		b.plan.Hides[0].Bands[0].Blocks = append(bl, Block{FromMM: 1380, ToMM: 1375, Strips: nil})
		b.seal()
	}},

	{RuleStack, "deeper than its band", func(b *bench) { b.plan.Hides[0].Bands[1].DepthMM, b.job.Tools.Grips = 29, 10; b.seal() }},
	{RuleStack, "longer than its block", func(b *bench) { b.plan.Hides[0].Bands[1].Blocks[1].FromMM = 460 }},
	{RuleStack, "a gap before a strip", func(b *bench) {
		l := &b.plan.Hides[0]
		l.Strips[4].FromMM, l.Strips[4].Outline = 52, b.frame().Rect(span(450, 1370), span(52, 65))
		for set := 1; set <= 3; set++ {
			p := b.piece(set, "keeper", 0)
			b.place(p, span(p.FromMM, p.ToMM), span(52, 65))
		}
	}},

	{RuleCutter, "too narrow", func(b *bench) { b.job.Tools.CutterMin = 17 }},
	{RuleCutter, "too wide", func(b *bench) { b.job.Tools.CutterMax = 34 }},

	{RuleWaste, "a waste strip of 10 mm", func(b *bench) {
		b.plan.Hides[0].Bands[1].DepthMM, b.plan.Hides[0].Remnants, b.job.Tools.Deepest = 52, nil, 60
		b.seal()
	}},

	{RuleWaste, "a waste strip of 10 mm that is called a band", func(b *bench) {
		l := &b.plan.Hides[0]
		l.Bands = slices.Insert(l.Bands, 2, Band{FromMM: 67, DepthMM: 20}, Band{FromMM: 87, DepthMM: 10})
		l.Remnants = nil
		b.seal()
	}},
	{RuleWaste, "a waste strip of 5 mm along the struck edge", func(b *bench) {
		l := &b.plan.Hides[0]
		f := b.frame().Shifted(orb.Point{0, -5})
		to := sub(f.OutOf(orb.Point{}), l.Strike.From)
		for _, p := range []*orb.Point{&l.Strike.From, &l.Strike.To, &l.Strike.Through[0], &l.Strike.Through[1]} {
			*p = add(*p, to)
		}
		l.Strike.SquareMM, l.Strike.EdgeMM = l.Strike.From[0], l.Strike.From[1]
		for i := range l.Bands {
			l.Bands[i].FromMM += 5
		}
		for i := range l.Strips {
			l.Strips[i].FromMM += 5
		}
		b.job.Tools.Mark, l.Remnants = 0, nil
		b.seal()
	}},

	{RuleGrips, "less leather than it grips", func(b *bench) { b.job.Tools.Grips = 590 }},
	{RuleGrips, "a notch from the far side", func(b *bench) {
		// down to 10 mm beyond strip 6
		b.spec.Outline = slices.Insert(b.spec.Outline, 4, orb.Point{300, 605}, orb.Point{290, 154}, orb.Point{280, 605})
		b.plan.Hides[0].Remnants = nil
		b.spec.Zones = nil
	}},

	{RuleGrips, "too little of its block left to hold", func(b *bench) { b.job.Tools.Grips = 18 }},
	{RuleGrips, "too little beside the scrap before a strip", func(b *bench) {
		l := &b.plan.Hides[0]
		for i := range l.Strips[3:] {
			l.Strips[3+i].N++
		}
		for i := range b.plan.Pieces {
			if p := &b.plan.Pieces[i]; p.Strip > 3 {
				p.Strip++
			}
		}
		l.Strips = slices.Insert(l.Strips, 3, Strip{N: 4, FromMM: 67, WidthMM: 16, Outline: b.frame().Rect(span(0, 420), span(67, 83))})
		l.Bands[1] = Band{FromMM: 35, DepthMM: 48, Blocks: []Block{{FromMM: 0, ToMM: 420, Strips: []int{2, 3, 4}}, {FromMM: 450, ToMM: 1370, Strips: []int{5, 6}}}}
		l.Bands[2].Blocks[0].Strips, l.Bands[2].Blocks[1].Strips = []int{7}, []int{8}
		p := b.piece(1, "filler", 1)
		p.Strip = 4
		b.place(p, span(p.FromMM, p.ToMM), span(67, 83))
		b.job.Tools.Deepest, b.job.Tools.CutterMin, b.job.Tools.Grips, l.Remnants = 60, 12, 17, nil
		b.seal()
	}},
	{RuleGrips, "a lip along the strip", func(b *bench) { b.edgeAt(510, 137, 300) }},
	{RuleGrips, "a lip along half the strip", func(b *bench) { b.edgeAt(250, 300, 137) }},

	{RuleRemnant, "larger than the hide", func(b *bench) { b.plan.Hides[0].Remnants[0][0][0] -= 50 }},
	{RuleRemnant, "a bow-tie", func(b *bench) { r := b.plan.Hides[0].Remnants[0]; r[0], r[1] = r[1], r[0] }},
	{RuleRemnant, "two corners", func(b *bench) { r := b.plan.Hides[0].Remnants; r[0] = r[0][:2] }},
	{RuleRemnant, "with a piece in it", func(b *bench) { b.plan.Hides[0].Remnants[0] = b.spec.Outline }},
	{RuleRemnant, "in a piece", func(b *bench) {
		l := &b.plan.Hides[0]
		l.Remnants = append(l.Remnants, b.frame().Rect(span(10, 590), span(2, 33)))
	}},
	{RuleRemnant, "in a piece that is spoilt", func(b *bench) {
		l := b.begun()
		l.Bands[0].Blocks[0].Cut, l.Strips[0].Cut = true, true
		b.piece(1, "main", 0).Cut, b.piece(2, "main", 0).Cut = true, true
		p := *b.add("B7", 1, "main", 1, 1200, 160)
		b.plan.Pieces = b.plan.Pieces[:len(b.plan.Pieces)-1]
		p.Cut = true
		b.plan.Spoilt = append(b.plan.Spoilt, p)
		b.seal()
		b.plan.Hides[0].Remnants = append(Remnants(b.hide(), b.plan), b.frame().Rect(span(1210, 1350), span(2, 32)))
	}},
	{RuleRemnant, "twice", func(b *bench) { l := &b.plan.Hides[0]; l.Remnants = append(l.Remnants, l.Remnants[0]) }},

	{RuleRemnant, "over the last rip", func(b *bench) {
		beside := polygonOf(b.frame().Rect(span(1330, 1360), span(100, 140))) // behind the last piece of strip 7
		both, err := geom.Union(polygonOf(b.plan.Hides[0].Remnants[0]).AsGeometry(), beside.AsGeometry())
		if err != nil {
			panic(err)
		}
		b.plan.Hides[0].Remnants[0] = cornersOf(both.MustAsPolygon())
	}},
	{RuleRemnant, "left out", func(b *bench) { b.plan.Hides[0].Remnants = [][]orb.Point{} }},
	{RuleRemnant, "half of it left out", func(b *bench) {
		b.plan.Hides[0].Remnants[0] = b.frame().Rect(span(0, 600), span(200, 400))
	}},
	{RuleRemnant, "more than a hide can leave", func(b *bench) {
		l := &b.plan.Hides[0]
		for range 200 {
			l.Remnants = append(l.Remnants, l.Remnants[0])
		}
	}},

	{RuleCut, "a band, but not the one before it", func(b *bench) { b.plan.Hides[0].Bands[1].Cut = true }},
	{RuleCut, "a block, but not its band", func(b *bench) { b.plan.Hides[0].Bands[0].Blocks[0].Cut = true }},
	{RuleCut, "squared before it is begun", func(b *bench) { b.plan.Hides[0].SquaredMM = 90 }},
	{RuleCut, "chalked before it is begun", func(b *bench) { b.plan.Hides[0].Chalked = []float64{90} }},
	{RuleCut, "one of two blocks", func(b *bench) {
		b.begun().Bands[1].Blocks[0].Cut = true
	}},
	{RuleCut, "a strip, but not its block", func(b *bench) { b.begun().Strips[0].Cut = true }},
	{RuleCut, "a strip, but not the one before it", func(b *bench) {
		l := b.begun()
		l.Bands[1].Blocks[0].Cut, l.Bands[1].Blocks[1].Cut, l.Strips[2].Cut = true, true, true
	}},
	{RuleCut, "a piece, but not its strip", func(b *bench) { b.begun(); b.piece(1, "main", 0).Cut = true }},
	{RuleCut, "a piece, but not the one before it", func(b *bench) {
		l := b.begun()
		l.Bands[0].Blocks[0].Cut, l.Strips[0].Cut = true, true
		b.piece(2, "main", 0).Cut = true
	}},
	{RuleCut, "a knife piece of no strip", func(b *bench) { b.loose(700, 140); b.piece(3, "keeper", 0).Cut = true }},
	{RuleCut, "a piece that is held to be sound, but not cut", func(b *bench) { b.piece(1, "main", 0).Judged = true }},
	{RuleCut, "a spare piece that is not", func(b *bench) { b.spoilt().Cut = false }},
	{RuleCut, "a spoilt piece of a strip that is to be ripped", func(b *bench) {
		p := b.spoilt()
		p.Strip = 7
		b.place(p, span(1325, 1365), span(97, 113))
		b.plan.Hides[0].Remnants = nil
	}},
	{RuleCut, "a spoilt piece of a strip that is not", func(b *bench) { b.spoilt(); b.plan.Hides[0].Strips[4].Cut = false }},

	{RuleSets, "a set without its keeper", func(b *bench) {
		b.drop(b.piece(3, "keeper", 0))
		b.plan.Sets[0].Complete = 2
		b.plan.Unplaced = append(b.plan.Unplaced, Unplaced{"A12", 3, "keeper", "forgotten"})
		b.seal()
	}},
	{RuleSets, "a set with two keepers", func(b *bench) {
		b.spare("A12", 3, "keeper")
		b.plan.Sets[0].Complete = 2
		b.plan.Unplaced = append(b.plan.Unplaced, Unplaced{"A12", 3, "keeper", "one too many"})
	}},

	{RuleCounts, "one set too many", func(b *bench) { b.plan.Sets[0].Complete = 4 }},
	{RuleCounts, "asked for less", func(b *bench) { b.plan.Sets[0].Asked = 2 }},
	{RuleCounts, "an order left out", func(b *bench) { b.plan.Sets = b.plan.Sets[:1] }},
	{RuleCounts, "an order counted by rows", func(b *bench) { b.plan.Sets = append(b.plan.Sets, SetCount{"A12", 3, 3}) }},

	{RuleUnplaced, "a set left out", func(b *bench) { b.plan.Unplaced = nil }},
	{RuleUnplaced, "a complete set", func(b *bench) { b.plan.Unplaced = append(b.plan.Unplaced, Unplaced{"A12", 2, "main", "no room"}) }},
	{RuleUnplaced, "more than asked", func(b *bench) {
		for range 20 {
			b.plan.Unplaced = append(b.plan.Unplaced, b.plan.Unplaced[0])
		}
	}},
	{RuleUnplaced, "a set twice", func(b *bench) { b.plan.Unplaced = append(b.plan.Unplaced, b.plan.Unplaced[0]) }},

	{RuleValue, "a cent too much", func(b *bench) { b.plan.Result.Value += 0.01 }},
	{RuleValue, "no effort counted", func(b *bench) { b.job.Tools.Effort = 0 }},
	{RuleValue, "no number", func(b *bench) { b.plan.Result.Value, b.plan.Result.Bound = math.NaN(), math.Inf(1) }},
	{RuleBound, "below the value", func(b *bench) { b.plan.Result.Bound = b.plan.Result.Value - 1e-6 }},
	{RuleBound, "no number", func(b *bench) { b.plan.Result.Bound = math.NaN() }},
	{RuleProven, "short of the bound", func(b *bench) { b.plan.Result.Proven, b.plan.Result.Stop = true, StopProven }},
	{RuleProven, "without a bound", func(b *bench) {
		b.plan.Result.Proven, b.plan.Result.Stop, b.plan.Result.Bound = true, StopProven, math.Inf(1)
	}},
	{RuleCost, "not what the hides cost", func(b *bench) { b.plan.Result.Cost = 12 }},
	{RuleCost, "below its own bound", func(b *bench) { b.plan.Result.CostBound = 1 }},
	{RuleCost, "a bound that is no number", func(b *bench) { b.plan.Result.CostBound = math.NaN() }},

	{RuleStop, "an unknown reason", func(b *bench) { b.plan.Result.Stop = "tired" }},
	{RuleStop, "proven, but not said to be", func(b *bench) { b.plan.Result.Stop = StopProven }},
}
