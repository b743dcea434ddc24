package strip

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"

	"strapwise/hide"
)

// TestMoved: a hide that is turned, carried off or mirrored on the bench gives
// plans that hold, and its bound is not below what the hide gave before: marks
// are counted from the backbone, wherever it lies. (The strap cutter's grip is
// left out: it holds the leather on one side only, so a mirror changes it.)
func TestMoved(t *testing.T) {
	for seed := range uint64(4) {
		job := bench(t, seed, 40, 10, 40)
		job.Tools.Grips = 0
		h := job.Hides[0]
		r := rand.New(rand.NewPCG(seed, 2))
		angle, dx, dy, mirror := 2*math.Pi*r.Float64(), 5000*r.Float64(), 5000*r.Float64(), 1-2*float64(seed%2)
		sin, cos := math.Sincos(angle)
		move := func(p orb.Point) orb.Point {
			y := mirror * p[1]
			return orb.Point{dx + p[0]*cos - y*sin, dy + p[0]*sin + y*cos}
		}
		in := func(move func(orb.Point) orb.Point) *hide.Hide {
			s := hide.Spec{Name: h.Name(), Leather: h.Leather(), Form: h.Form(), Trim: h.Trim()}
			all := func(ps []orb.Point) (out []orb.Point) {
				for _, p := range ps {
					out = append(out, move(p))
				}
				return out
			}
			s.Outline = all(h.Outline().Corners())
			s.Backbone = all([]orb.Point{{0, 325}, {2400, 325}})
			for _, f := range h.Flaws() {
				g := hide.Flaw{Kind: f.Kind}
				if f.Spot != nil {
					g.Spot = &hide.Spot{At: move(f.Spot.At), Diameter: f.Spot.Diameter}
				} else {
					g.Stroke = &hide.Stroke{Line: all(f.Stroke.Line), Width: f.Stroke.Width}
				}
				s.Flaws = append(s.Flaws, g)
			}
			return newHide(t, s)
		}
		job.Hides = []*hide.Hide{in(func(p orb.Point) orb.Point { return p })}
		before := laid(t, job, Options{Steps: 90, Seed: seed}).Result
		job.Hides = []*hide.Hide{in(move)}
		after := laid(t, job, Options{Steps: 90, Seed: seed}).Result
		if before.Value > after.Bound || after.Value > before.Bound || before.Value <= 0 {
			t.Errorf("seed %d: worth %v of at most %v before, %v of %v after", seed, before.Value, before.Bound, after.Value, after.Bound)
		}
	}
}
