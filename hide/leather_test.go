package hide_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	"github.com/peterstace/simplefeatures/geom"

	"strapwise/hide"
	"strapwise/hide/measure"
	"strapwise/hide/plane"
)

func load() hide.Use {
	return hide.Use{Name: "load", Quality: hide.Firm, Angle: 3 * measure.Degree}
}

// randomHide is a lumpy outline with flaws of all three shapes, a soft zone and
// spot readings, its backbone turned at random.
func randomHide(t testing.TB, r *rand.Rand) *hide.Hide {
	t.Helper()
	length, depth := 300+900*r.Float64(), 200+400*r.Float64()
	n := 6 + r.IntN(30)
	s := hide.Spec{Name: "h", Leather: "strap", Form: "side"}
	for i := range n {
		a := 2 * math.Pi * (float64(i) + 0.3*r.Float64()) / float64(n)
		k := 0.6 + 0.4*r.Float64()
		s.Outline = append(s.Outline, orb.Point{length / 2 * k * math.Cos(a), depth / 2 * k * math.Sin(a)})
	}
	turn := 0.6 * (r.Float64() - 0.5)
	s.Backbone = []orb.Point{{0, 0}, {100 * math.Cos(turn), 100 * math.Sin(turn)}}
	within := func() orb.Point {
		return orb.Point{0.4 * length * (r.Float64() - 0.5), 0.4 * depth * (r.Float64() - 0.5)}
	}
	for range r.IntN(12) {
		at := within()
		f := hide.Flaw{Kind: "hole"}
		switch r.IntN(3) {
		case 0:
			f.Spot = &hide.Spot{At: at, Diameter: 5 + 40*r.Float64()}
		case 1:
			f.Stroke = &hide.Stroke{Width: 2 + 20*r.Float64(), Line: []orb.Point{at, within(), within()}}
		default:
			d := 5 + 30*r.Float64()
			ring := plane.Box(at, orb.Point{at[0] + d, at[1] + 2*d})
			f.Patch = &ring
		}
		s.Flaws = append(s.Flaws, f)
	}
	for range 2 * r.IntN(2) {
		at := orb.Point{0.5 * length * (r.Float64() - 1), 0.5 * depth * (r.Float64() - 1)}
		s.Zones = append(s.Zones, hide.Zone{Quality: hide.Prime, Area: plane.Box(at, orb.Point{at[0] + 0.4*length, at[1] + 0.4*depth})})
	}
	if r.IntN(2) == 0 {
		at := within()
		s.Zones = append(s.Zones, hide.Zone{Quality: hide.Soft, Area: plane.Box(at, orb.Point{at[0] + 80, at[1] + 60})})
	}
	for range r.IntN(4) {
		s.Readings = append(s.Readings, hide.Reading{At: within(), MM: 2 + 3*r.Float64()})
	}
	if r.IntN(2) == 0 {
		s.Trim = 8 * r.Float64()
	}
	h, err := hide.New(s)
	if err != nil {
		t.Fatal(err)
	}
	return h
}

// serves reports, from the words of the definition alone, whether the place p
// of the hide's file is leather for the use, and how near it is to a place of
// which the contrary holds.
func serves(h *hide.Hide, trimmed orb.MultiPolygon, u hide.Use, p orb.Point) (ok bool, margin float64) {
	margin = math.Inf(1)
	ok = true
	note := func(inside bool, d float64) {
		ok = ok && inside
		margin = min(margin, math.Abs(d))
	}
	ringDistance := func(corners []orb.Point) float64 {
		d := math.Inf(1)
		for i := range corners {
			d = min(d, planar.DistanceFromSegment(corners[i], corners[(i+1)%len(corners)], p))
		}
		return d
	}
	edge := math.Inf(1)
	for _, part := range trimmed {
		for _, ring := range part {
			edge = min(edge, ringDistance(ring))
		}
	}
	note(planar.MultiPolygonContains(trimmed, p), edge)
	for _, f := range h.Flaws() {
		switch {
		case slices.Contains(u.Flaws, f.Kind):
		case f.Spot != nil:
			d := planar.Distance(f.Spot.At, p) - f.Spot.Diameter/2
			note(d > 0, d)
		case f.Stroke != nil:
			near := math.Inf(1)
			for i := 1; i < len(f.Stroke.Line); i++ {
				near = min(near, planar.DistanceFromSegment(f.Stroke.Line[i-1], f.Stroke.Line[i], p))
			}
			d := near - f.Stroke.Width/2
			note(d > 0, d)
		default:
			note(!planar.RingContains(f.Patch.Orb(), p), ringDistance(f.Patch.Corners()))
		}
	}
	if u.Quality > hide.Firm {
		graded, near := false, math.Inf(1)
		for _, z := range h.Zones() {
			if z.Quality >= u.Quality {
				graded = graded || planar.RingContains(z.Area.Orb(), p)
				near = min(near, ringDistance(z.Area.Corners()))
			}
		}
		note(graded, near)
	}
	for _, z := range h.Zones() {
		if z.Quality >= u.Quality {
			continue
		}
		note(!planar.RingContains(z.Area.Orb(), p), ringDistance(z.Area.Corners()))
	}
	if u.Substance != nil && len(h.Readings()) > 0 {
		first, second := math.Inf(1), math.Inf(1)
		var mm float64
		for _, r := range h.Readings() {
			switch d := planar.Distance(r.At, p); {
			case d < first:
				first, second, mm = d, first, r.MM
			case d < second:
				second = d
			}
		}
		note(mm >= u.Substance.From && mm <= u.Substance.To, second-first)
	}
	return ok, margin
}

// inset moves an outline inward with simplefeatures, corners mitred.
func inset(t *testing.T, outline plane.Ring, by float64) orb.MultiPolygon {
	t.Helper()
	g, err := geom.Buffer(outline.Polygon().AsGeometry(), -by, geom.BufferJoinStyleMitre(5))
	if err != nil {
		t.Fatal(err)
	}
	var out orb.MultiPolygon
	for _, part := range g.Dump() {
		var polygon orb.Polygon
		for _, line := range part.MustAsPolygon().DumpRings() {
			var ring orb.Ring
			seq := line.Coordinates()
			for i := range seq.Length() {
				xy := seq.GetXY(i)
				ring = append(ring, orb.Point{xy.X, xy.Y})
			}
			polygon = append(polygon, ring)
		}
		out = append(out, polygon)
	}
	return out
}

// TestRunsAgainstRaster compares the runs of random bands on a thousand random
// hides with a raster of the same bands, judged point by point from the
// definitions. Every raster point must agree unless it lies nearer to a limit
// than the raster can tell, and a run must reach to within a raster step of
// what stops it.
func TestRunsAgainstRaster(t *testing.T) {
	const across, step = 7, 4.0
	hides := 1000
	if testing.Short() {
		hides = 100
	}
	agreed, inside := 0, 0
	for seed := range hides {
		r := rand.New(rand.NewPCG(uint64(seed), 1))
		h := randomHide(t, r)
		u := load()
		if r.IntN(2) == 0 {
			u.Substance = &hide.Substance{From: 2.5, To: 4.5}
		}
		switch r.IntN(4) {
		case 0:
			u.Quality = hide.Prime
		case 1, 2:
			u.Quality, u.Flaws = hide.Soft, []string{"hole"}[:r.IntN(2)]
		}
		trimmed := inset(t, h.Outline(), h.Trim())
		f := h.Frame()
		l, err := h.Serving(u, f)
		if err != nil {
			t.Fatal(err)
		}
		box := h.Outline().In(f).Bound()
		for range 3 {
			lo := box.Min[1] + (box.Max[1]-box.Min[1])*r.Float64()
			band := plane.Span{Lo: lo, Hi: lo + 5 + 60*r.Float64()}
			runs := l.Runs(band)
			for x := box.Min[0]; x < box.Max[0]; x += step {
				all, margin := true, math.Inf(1)
				for i := range across {
					y := band.Lo + 1e-3 + (band.Len()-2e-3)*float64(i)/(across-1)
					in, m := serves(h, trimmed, u, f.OutOf(orb.Point{x, y}))
					all = all && in
					if in {
						margin = min(margin, m)
					} else {
						margin = math.Inf(1) // one point refused settles the column
						if m > 1e-6 {
							break
						}
					}
				}
				in := within(runs, x)
				switch {
				case in && !all:
					t.Fatalf("seed %d: band %v at x=%.2f is in a run, but a point there is refused; runs %v", seed, band, x, runs)
				case !in && all && margin > band.Len()/(across-1)+1e-3:
					t.Fatalf("seed %d: band %v at x=%.2f is in no run, but all of it serves, by %.3f; runs %v", seed, band, x, margin, runs)
				}
				agreed++
				if in {
					inside++
				}
			}
		}
	}
	if inside < agreed/10 {
		t.Errorf("only %d of %d columns lay in a run: the hides prove little", inside, agreed)
	}
}

func within(runs []plane.Span, x float64) bool {
	for _, r := range runs {
		if r.Lo < x && x < r.Hi {
			return true
		}
	}
	return false
}

// TestRunsEdges pins what touching means, each case by hand.
func TestRunsEdges(t *testing.T) {
	disc := func(x, y, d float64) hide.Flaw {
		return hide.Flaw{Kind: "hole", Spot: &hide.Spot{At: orb.Point{x, y}, Diameter: d}}
	}
	notch := []orb.Point{{0, 0}, {1000, 0}, {1000, 100}, {600, 100}, {500, 40}, {400, 100}, {0, 100}}
	box := []orb.Point{{0, 0}, {1000, 0}, {1000, 100}, {0, 100}}
	tests := []struct {
		rule    string
		outline []orb.Point
		flaws   []hide.Flaw
		trim    float64
		band    plane.Span
		want    string
	}{
		{"the whole depth of a sheet is a run", box, nil, 0, plane.Span{Lo: 0, Hi: 100}, "[{0 1000}]"},
		{"a band that leaves the leather has none", box, nil, 0, plane.Span{Lo: 1, Hi: 101}, "[]"},
		{"trim takes off all four edges", box, nil, 5, plane.Span{Lo: 5, Hi: 95}, "[{5 995}]"},
		{"and nothing nearer", box, nil, 5, plane.Span{Lo: 4, Hi: 90}, "[]"},
		{"a band may touch a flaw", box, []hide.Flaw{disc(500, 60, 20)}, 0, plane.Span{Lo: 0, Hi: 50}, "[{0 1000}]"},
		{"a flaw in it parts it", box, []hide.Flaw{disc(500, 60, 20)}, 0, plane.Span{Lo: 0, Hi: 60}, "[{0 490} {510 1000}]"},
		{"a flaw that only dips in parts it less", box, []hide.Flaw{disc(500, 60, 20)}, 0, plane.Span{Lo: 0, Hi: 52}, "[{0 494} {506 1000}]"},
		{"a notch parts it where its sides cross", notch, nil, 0, plane.Span{Lo: 0, Hi: 70}, "[{0 450} {550 1000}]"},
		{"up to its point it does not", notch, nil, 0, plane.Span{Lo: 0, Hi: 40}, "[{0 1000}]"},
	}
	for _, tt := range tests {
		t.Run(tt.rule, func(t *testing.T) {
			h, err := hide.New(hide.Spec{Name: "h", Leather: "strap", Form: "bend", Outline: tt.outline, Flaws: tt.flaws, Trim: tt.trim})
			if err != nil {
				t.Fatal(err)
			}
			l, err := h.Serving(load(), h.Frame())
			if err != nil {
				t.Fatal(err)
			}
			got := l.Runs(tt.band)
			for i := range got {
				got[i] = plane.Span{Lo: math.Round(got[i].Lo*100) / 100, Hi: math.Round(got[i].Hi*100) / 100}
			}
			if s := fmt.Sprint(got); s != tt.want {
				t.Errorf("runs %s, want %s", s, tt.want)
			}
		})
	}
}

func BenchmarkRuns(b *testing.B) {
	h := randomHide(b, rand.New(rand.NewPCG(7, 1)))
	l, err := h.Serving(load(), h.Frame())
	if err != nil {
		b.Fatal(err)
	}
	box := l.Bound()
	y := 0.0
	for b.Loop() {
		y = math.Mod(y+0.79, box.Max[1]-box.Min[1]-35)
		l.Runs(plane.Span{Lo: box.Min[1] + y, Hi: box.Min[1] + y + 35})
	}
}

// What is free is what the trim, flaws and zones leave, each place counted once.
func TestArea(t *testing.T) {
	h, err := hide.New(hide.Spec{
		Name: "a", Leather: "strap", Form: "bend", Trim: 10, Outline: []orb.Point{{0, 0}, {1000, 0}, {1000, 500}, {0, 500}},
		Flaws: []hide.Flaw{{Kind: "hole", Spot: &hide.Spot{At: orb.Point{300, 200}, Diameter: 100}}, {Kind: "hole", Spot: &hide.Spot{At: orb.Point{300, 200}, Diameter: 40}}},
		Zones: []hide.Zone{{Quality: hide.Soft, Area: plane.Box(orb.Point{600, 300}, orb.Point{800, 400})}},
	})
	if err != nil {
		t.Fatal(err)
	}
	l, err := h.Serving(load(), plane.Identity)
	if err != nil {
		t.Fatal(err)
	}
	want := 980*480 - math.Pi*50*50 - 200*100
	for _, step := range []float64{1, 7} {
		if got := l.Area(step); math.Abs(got-want) > want*0.004 {
			t.Errorf("every %v mm: found %.0f mm², expected %.0f", step, got, want)
		}
	}
	if whole := h.Whole(plane.Identity).Area(1); math.Abs(whole-500_000) > 500 {
		t.Errorf("found %.0f mm² of the whole hide, expected 500 000", whole)
	}
}
