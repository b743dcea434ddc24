package strip

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"

	"strapwise/hide"
	"strapwise/hide/plane"
	"strapwise/nest"
)

// small is a job on a little hide with coarse marks, small enough to be solved
// by trying everything: fewer flaws than said, two widths, one of them perhaps
// shared by two uses.
func small(t testing.TB, seed uint64, flaws int) (nest.Job, *rand.Rand) {
	r := rand.New(rand.NewPCG(seed, 5))
	s := hide.Spec{
		Name: "h", Leather: "strap", Form: "bend",
		Outline: []orb.Point{{0, 0}, {300, 0}, {280 + 20*r.Float64(), 60}, {300, 120}, {30 * r.Float64(), 120}, {0, 60}},
	}
	for range r.IntN(flaws) {
		s.Flaws = append(s.Flaws, hide.Flaw{
			Kind: []string{"hole", "scar"}[r.IntN(2)],
			Spot: &hide.Spot{At: orb.Point{30 + 240*r.Float64(), 10 + 100*r.Float64()}, Diameter: 2 + 10*r.Float64()},
		})
	}
	job := nest.Job{Hides: []*hide.Hide{newHide(t, s)}, Uses: uses(), Tools: nest.Tools{Mark: 10, CutterMin: 10, CutterMax: 200}}
	filler := []float64{20, 30}[r.IntN(2)]
	for i := range 3 {
		job.Orders = append(job.Orders, nest.Order{
			ID: string(rune('A' + i)), FirstSet: 1, Qty: 1 + r.IntN(3), Worth: float64(1 + r.IntN(9)),
			Parts: []nest.Part{
				{Name: "main", Leather: "strap", Use: "load", Length: float64(60 + 10*r.IntN(12)), Width: 30, Count: 1},
				{Name: "filler", Leather: "strap", Use: "hidden", Length: float64(40 + 10*r.IntN(8)), Width: filler, Count: 1},
			},
		})
	}
	return job, r
}

func problemOf(t testing.TB, job nest.Job) *problem {
	t.Helper()
	p, err := newProblem(job)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// serves reports, without lanes, runs or tables, whether a piece of a kind may
// lie with its corner at marks x, y.
func serves(t testing.TB, p *problem, g *ground, k, x, y int) bool {
	kd, grips := p.kinds[k], p.job.Tools.Grips
	within := func(spans []plane.Span) bool {
		for _, r := range spans {
			if r = r.Padded(-g.spare[0]); r.Lo <= float64(x)*p.mark+hide.Touch && float64(x+kd.length)*p.mark <= r.Hi+hide.Touch {
				return true
			}
		}
		return false
	}
	if far := float64(y+kd.width) * p.mark; grips > 0 && !within(g.gripped(far, grips)) {
		return false
	}
	l, err := g.hide.Serving(p.useNamed(kd.use), g.frame)
	if err != nil {
		t.Fatal(err)
	}
	return within(l.Runs(spanOf(y, kd.width, p.mark).Padded(g.spare[1])))
}

// slowStrip is the most that a strip of some width at y is worth with pieces
// without limit: the plain recursion over x.
func slowStrip(t testing.TB, p *problem, g *ground, width, y, from, to int, price []float64) float64 {
	best := make([]float64, to-from+1)
	for x := to - 1; x >= from; x-- {
		v := best[x+1-from]
		for k, kd := range p.kinds {
			if kd.width == width && x+kd.length <= to && serves(t, p, g, k, x, y) {
				v = max(v, price[k]+best[x+kd.length-from])
			}
		}
		best[x-from] = v
	}
	return best[0]
}

// TestSweepAgainstSlow: a sweep is never less than the plain optimum over all
// strips, and equal to it where no width is shared by two uses.
func TestSweepAgainstSlow(t *testing.T) {
	exact := 0
	for seed := uint64(0); seed < 40; seed++ {
		job, r := small(t, seed, 5)
		p := problemOf(t, job)
		g := p.grounds[0]
		price := make([]float64, len(p.kinds))
		for k := range price {
			price[k] = math.Round(1000 * r.Float64()) // whole units
		}
		shared := false
		for _, l := range g.lanes {
			shared = shared || len(l.classes) > 1
		}
		slow := make([]float64, g.y1-g.y0+1)
		for y := g.y1 - 1; y >= g.y0; y-- {
			v := slow[y+1-g.y0]
			for _, l := range g.lanes {
				if end := y + l.width; end <= g.y1 {
					v = max(v, slowStrip(t, p, g, l.width, y, 0, 31, price)+slow[end-g.y0])
				}
			}
			slow[y-g.y0] = v
		}
		s := sweep{p: p, gap: 1}
		s.price(g, inUnits(price, 1, nil), 1)
		got, want := float64(s.run(g, g.y0, g.y1, false, false)), slow[0]
		switch {
		case got < want-1e-9:
			t.Errorf("seed %d: sweep %v is below the optimum %v: no bound", seed, got, want)
		case !shared && got > want+1e-9:
			t.Errorf("seed %d: sweep %v, optimum %v", seed, got, want)
		}
		if !shared {
			exact++
		}
	}
	if exact < 5 {
		t.Errorf("only %d of the hides had no shared width", exact)
	}
}

// slowBand is the most that one band from y, of that depth, is worth: every way
// to cross-cut it into blocks, at most so many if blocks is not 0, and every
// stack of strips in each.
func slowBand(t testing.TB, p *problem, g *ground, y, depth int, price []float64, strips map[[4]int]float64) float64 {
	tools := p.job.Tools
	strip := func(w, at, lo, hi int) float64 {
		k := [4]int{w, at, lo, hi}
		if _, known := strips[k]; !known {
			strips[k] = slowStrip(t, p, g, w, at, lo, hi, price)
		}
		return strips[k]
	}
	var stack func(at, lo, hi int) float64
	stack = func(at, lo, hi int) float64 {
		best := 0.0
		for i := range g.lanes {
			w := g.lanes[i].width
			if left := y + depth - at - w; left == 0 || left > 0 && float64(left)*p.mark >= tools.Grips {
				best = max(best, strip(w, at, lo, hi)+stack(at+w, lo, hi))
			}
		}
		return best
	}
	worth, chains := map[[2]int]float64{}, map[[2]int]float64{}
	var chain func(lo, blocks int) float64
	chain = func(lo, blocks int) float64 {
		if best, known := chains[[2]int{lo, blocks}]; known {
			return best
		}
		best := 0.0
		if lo < g.x1 && blocks != 0 {
			best = chain(lo+g.along, blocks)
		}
		for hi := lo + g.along; hi <= g.x1 && blocks != 0; hi += g.along {
			if _, known := worth[[2]int{lo, hi}]; !known {
				worth[[2]int{lo, hi}] = stack(y, lo, hi)
			}
			best = max(best, worth[[2]int{lo, hi}]+chain(hi, max(blocks-1, -1)))
		}
		chains[[2]int{lo, blocks}] = best
		return best
	}
	most := tools.Blocks
	if most == 0 {
		most = -1
	}
	return chain(g.x0, most)
}

// TestBandsAgainstSlow: a sweep over all bands is never less than the optimum
// over all ways to cut them, and equal to it where no width is shared by two
// uses; and the shapes it remembers give the same again.
func TestBandsAgainstSlow(t *testing.T) {
	exact, won, less := 0, 0, 0
	for seed := uint64(0); seed < 20; seed++ {
		job, r := small(t, seed, 14)
		job.Tools.Deepest, job.Tools.Part = float64(30+10*r.IntN(8)), float64(20+10*r.IntN(4))
		job.Tools.Blocks, job.Tools.Grips = r.IntN(4), float64(10*r.IntN(5))
		for i := range job.Orders {
			job.Orders[i].Parts[0].Width = float64(30 + 10*r.IntN(3))
		}
		for i := range 5 {
			job.Orders = append(job.Orders, pieces(string(rune('P'+i)), 3, float64(40+10*r.IntN(8)), float64(20+10*r.IntN(4)), 5))
		}
		for i := range job.Orders {
			for j := range job.Orders[i].Parts {
				if seed%2 == 0 { // no width is shared by two uses
					job.Orders[i].Parts[j].Use = "load"
				}
			}
		}
		p, strips := problemOf(t, job), map[[4]int]float64{}
		g := p.grounds[0]
		price := make([]float64, len(p.kinds))
		for k := range price {
			price[k] = math.Round(p.kinds[k].area * (0.9 + 0.2*r.Float64()))
		}
		shared := false
		for _, l := range g.lanes {
			shared = shared || len(l.classes) > 1
		}
		slow := func(deepest float64, may func(y, end int) bool) float64 {
			best := make([]float64, g.y1-g.y0+1)
			for y := g.y1 - 1; y >= g.y0; y-- {
				v := best[y+1-g.y0]
				for _, l := range g.lanes {
					if end := y + l.width; end <= g.y1 && may(y, end) {
						v = max(v, slowStrip(t, p, g, l.width, y, g.x0, g.x1, price)+best[end-g.y0])
					}
				}
				for d := g.across; y%g.across == 0 && float64(d)*p.mark <= deepest && y+d <= g.y1; d += g.across {
					if may(y, y+d) {
						v = max(v, slowBand(t, p, g, y, d, price, strips)+best[y+d-g.y0])
					}
				}
				best[y-g.y0] = v
			}
			return best[0]
		}
		anywhere := func(y, end int) bool { return true }
		known := newShapes()
		b := newBound(p, known, p.whole())
		compare := func(of scope, want float64) {
			t.Helper()
			b.ask(slices.Clone(price), of)
			switch got := b.hides[0].ways[0].value; {
			case got < want-1e-9:
				t.Errorf("seed %d: sweep %v is below the optimum %v: no bound", seed, got, want)
			case !shared && got > want+1e-9:
				t.Errorf("seed %d: sweep %v, optimum %v", seed, got, want)
			}
		}
		want := slow(job.Tools.Deepest, anywhere)
		compare(allBands, want)
		got := b.hides[0].ways[0].value
		sum := 0.0
		for k, n := range b.hides[0].ways[0].laid {
			sum += n * price[k]
		}
		if math.Abs(sum-got) > 1e-6 {
			t.Errorf("seed %d: the sweep says %v, its pieces fetch %v", seed, got, sum)
		}
		b.ask(slices.Clone(price), knownBands)
		if again := b.hides[0].ways[0].value; again != got {
			t.Errorf("seed %d: all bands give %v, the shapes remembered %v", seed, got, again)
		}
		reach := make([]int32, g.y1-g.y0+1)
		for y := range reach {
			reach[y] = int32(min(g.y1-g.y0, y+r.IntN(10)))
		}
		b.hides[0].ways[0].within(reach)
		short := slow(job.Tools.Deepest, func(y, end int) bool { return end-g.y0 <= int(reach[y-g.y0]) })
		compare(allBands, short)
		if !shared {
			compare(knownBands, short)
		}
		if short < want {
			less++
		}
		if !shared {
			exact++
		}
		if want > slow(0, anywhere) {
			won++
		}
	}
	if exact < 5 || won < 5 || less < 5 {
		t.Errorf("only %d of the hides had no shared width, %d gained by bands, and %d gave less where bands reach less far", exact, won, less)
	}
}

// TestTiltsAgainstSlow: of a hide that may be tilted the bound counts no less than the
// optimum under any of its tilts, and no more than the best where no width is shared by
// two uses.
func TestTiltsAgainstSlow(t *testing.T) {
	other := 0
	for seed := uint64(0); seed < 20; seed++ {
		job, r := small(t, seed, 14)
		job.Tools.Mark, job.Tools.CutterMin, job.Tools.Tilt = 5, 5, 6*degree
		spec, rise := job.Hides[0].Spec(), 300*math.Tan((0.5+4.5*r.Float64())*math.Pi/180)
		for _, y := range []float64{10, 50, 90} { // scars in slanting rows
			spec.Flaws = append(spec.Flaws, hide.Flaw{Kind: "cut", Stroke: &hide.Stroke{Line: []orb.Point{{0, y - rise/2}, {300, y + rise/2}}, Width: 2}})
		}
		job.Hides = []*hide.Hide{newHide(t, spec)}
		for i := range job.Orders {
			job.Orders[i].Parts = job.Orders[i].Parts[:1]
		}
		job.Uses["load"] = hide.Use{Name: "load", Quality: hide.Firm, Angle: 5 * degree}
		p := problemOf(t, job)
		if err := p.look(); err != nil {
			t.Fatal(err)
		}
		price := make([]float64, len(p.kinds))
		for k := range price {
			price[k] = math.Round(p.kinds[k].area * (0.9 + 0.2*r.Float64()))
		}
		most, best := 0.0, 0
		for i, g := range p.ways[0] {
			if off := math.Abs(g.degrees()); off > 5 {
				t.Errorf("seed %d: tilted by %v degrees, the use allows 5", seed, off)
			}
			slow := make([]float64, g.y1-g.y0+1)
			for y := g.y1 - 1; y >= g.y0; y-- {
				v := slow[y+1-g.y0]
				for _, l := range g.lanes {
					if end := y + l.width; end <= g.y1 {
						v = max(v, slowStrip(t, p, g, l.width, y, g.x0-1, g.x1+1, price)+slow[end-g.y0])
					}
				}
				slow[y-g.y0] = v
			}
			if slow[0] > most {
				most, best = slow[0], i
			}
		}
		b := newBound(p, newShapes(), p.whole())
		b.ask(slices.Clone(price), allTilts)
		if got := b.hides[0].sold(allTilts); math.Abs(got-most) > 1e-9 {
			t.Errorf("seed %d: the hide sells for %v, the optimum is %v, under tilt %d", seed, got, most, best)
		}
		if best > 0 {
			other++
		}
	}
	if other < 3 {
		t.Errorf("only %d hides sell more if they are tilted", other)
	}
}

// TestFillAgainstSlow: with pieces without limit a filling is the optimum of its
// strip, shared or not; with few, it takes no more than there are, each where
// it may lie, and none overlap.
func TestFillAgainstSlow(t *testing.T) {
	filled := 0
	for seed := uint64(0); seed < 40; seed++ {
		job, r := small(t, seed, 5)
		p := problemOf(t, job)
		g := p.grounds[0]
		f := filler{p: p}
		price, ample, few := make([]float64, len(p.kinds)), make([]int, len(p.kinds)), make([]int, len(p.kinds))
		for k := range price {
			price[k], ample[k], few[k] = 10*r.Float64(), 100, r.IntN(3)
		}
		for i := range g.lanes {
			l := &g.lanes[i]
			for y := g.y0; y+l.width <= g.y1; y++ {
				_, v := f.fill(g, l, y, g.x0, g.x1, price, ample)
				if want := slowStrip(t, p, g, l.width, y, 0, 31, price); math.Abs(v-want) > 1e-9 {
					t.Errorf("seed %d: strip at %d: filled %v, optimum %v", seed, y, v, want)
				}
				cuts, v := f.fill(g, l, y, g.x0, g.x1, price, few)
				end, sum, used := math.MinInt, 0.0, make([]int, len(p.kinds))
				for _, c := range cuts {
					if c.x < end || !serves(t, p, g, c.kind, c.x, y) {
						t.Errorf("seed %d: strip at %d: a piece at %d overlaps or lies where it may not", seed, y, c.x)
					}
					end = c.x + p.kinds[c.kind].length
					sum += price[c.kind]
					if used[c.kind]++; used[c.kind] > few[c.kind] {
						t.Errorf("seed %d: strip at %d: more pieces than there are", seed, y)
					}
				}
				if math.Abs(sum-v) > 1e-9 {
					t.Errorf("seed %d: strip at %d: said %v, holds %v", seed, y, v, sum)
				}
				filled += len(cuts)
			}
		}
	}
	if filled == 0 {
		t.Error("nothing was filled")
	}
}

// TestFlawNeverRaisesBound: whatever the prices, and at those that the bound
// settles on, a hide with one flaw more sells for no more.
func TestFlawNeverRaisesBound(t *testing.T) {
	lower := 0
	for seed := uint64(0); seed < 12; seed++ {
		job := bench(t, seed, 60, 8, 80)
		p := problemOf(t, job)
		sound := newBound(p, newShapes(), p.whole())
		if err := sound.improve(2, 0, func() bool { return false }); err != nil {
			t.Fatal(err)
		}
		r := rand.New(rand.NewPCG(seed, 3))
		h := job.Hides[0]
		flawed := job
		flawed.Hides = []*hide.Hide{newHide(t, hide.Spec{
			Name: h.Name(), Leather: h.Leather(), Form: h.Form(), Trim: h.Trim(), Outline: h.Outline().Corners(),
			Flaws: append(append([]hide.Flaw{}, h.Flaws()...), hide.Flaw{
				Kind: "hole", Spot: &hide.Spot{At: orb.Point{400 + 1600*r.Float64(), 100 + 450*r.Float64()}, Diameter: 10 + 30*r.Float64()},
			}),
		})}
		q := problemOf(t, flawed)
		worse := newBound(q, newShapes(), q.whole())
		for range 20 {
			u := make([]float64, len(sound.price))
			for k := range u {
				u[k] = sound.price[k] * math.Exp(0.3*r.NormFloat64())
			}
			ac, a := sound.ask(u, allBands)
			bc, b := worse.ask(u, allBands)
			if b > a+1e-9 || bc > ac+1e-9 {
				t.Errorf("seed %d: a flaw raised the bound from %v to %v (capped %v to %v)", seed, a, b, ac, bc)
			}
			if b < a {
				lower++
			}
		}
	}
	if lower == 0 {
		t.Error("no flaw ever lowered the bound: the test shows nothing")
	}
}
