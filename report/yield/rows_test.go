package yield

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"

	"strapwise/hide"
	"strapwise/hide/plane"
	"strapwise/nest"
)

// What formulas say of single shapes on a hide of 400 × 300 mm.
func TestShareByFormula(t *testing.T) {
	outline := plane.Box(orb.Point{0, 0}, orb.Point{400, 300})
	turned := func(w swollen, radians float64) swollen {
		f := plane.NewFrame(orb.Point{200, 150}, orb.Point{math.Cos(radians), math.Sin(radians)})
		return swollen{f.OutOf(w.a), f.OutOf(w.b), w.radius}
	}
	for _, radius := range []float64{1, 2.5, 30} {
		for _, half := range []float64{0, 0.5, 40, 100} {
			want := math.Pi*radius*radius + 4*radius*half
			for _, radians := range []float64{0, 1e-9, 0.01, 0.5, math.Pi / 4, 1.5, math.Pi / 2, 3} {
				w := turned(swollen{orb.Point{-half, 0}, orb.Point{half, 0}, radius}, radians)
				taken, left := share(outline, [][]shape{{w}})
				if math.Abs(taken[0]-want) > 0.01*want+0.15 {
					t.Errorf("radius %g, length %g, turned by %g: %.3f mm², expected %.3f", radius, 2*half, radians, taken[0], want)
				}
				if d := taken[0] + left - outline.Area(); math.Abs(d) > 1e-6 {
					t.Errorf("the parts are %g mm² off the whole", d)
				}
			}
		}
	}
}

// Hundreds of long scars across one another are counted at once, and as a grid
// of points counts them. Each is a line of three points anywhere on the hide.
func TestManyStrokes(t *testing.T) {
	const length, depth, width = 1300.0, 600.0, 2.0
	r := rand.New(rand.NewPCG(7, 7))
	at := func() orb.Point { return orb.Point{length * r.Float64(), depth * r.Float64()} }
	var scars []hide.Flaw
	for range 300 {
		scars = append(scars, hide.Flaw{Kind: "scar", Stroke: &hide.Stroke{Line: []orb.Point{at(), at(), at()}, Width: width}})
	}
	h, err := hide.New(hide.Spec{
		Name: "s", Leather: "l", Form: "sheet", Flaws: scars,
		Outline: []orb.Point{{0, 0}, {length, 0}, {length, depth}, {0, depth}},
	})
	if err != nil {
		t.Fatal(err)
	}
	p := nest.Plan{Hides: []nest.HideLay{{Hide: "s", Strike: nest.Strike{To: orb.Point{length, 0}}}}}
	got := Of(nest.Job{Hides: []*hide.Hide{h}}, p).Hides[0]
	if math.Abs(got.sum()-length*depth) > 1e-3 {
		t.Errorf("the parts add up to %.4f mm², the hide has %.0f", got.sum(), length*depth)
	}
	in, all := 0, 0
	for x := 1.0; x < length; x += 4 {
		for y := 1.0; y < depth; y += 4 {
			all++
			if scarred(scars, orb.Point{x, y}, width/2) {
				in++
			}
		}
	}
	if a, b := got.Waste.FlawsMM2/(length*depth), float64(in)/float64(all); math.Abs(a-b) > 0.01 {
		t.Errorf("%.2f %% of the hide is scarred, a grid of points finds %.2f %%", 100*a, 100*b)
	}
}

func scarred(scars []hide.Flaw, at orb.Point, within float64) bool {
	for _, s := range scars {
		for i := 1; i < len(s.Stroke.Line); i++ {
			a, b := s.Stroke.Line[i-1], s.Stroke.Line[i]
			dx, dy := b[0]-a[0], b[1]-a[1]
			k := max(0, min(1, ((at[0]-a[0])*dx+(at[1]-a[1])*dy)/(dx*dx+dy*dy)))
			if math.Hypot(at[0]-a[0]-k*dx, at[1]-a[1]-k*dy) < within {
				return true
			}
		}
	}
	return false
}
