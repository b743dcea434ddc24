package shape

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"

	"strapwise/hide"
)

// A stroke is as long and wide as told, in however many parts it is grown.
func TestStrokes(t *testing.T) {
	for _, points := range []int{2, bends, bends + 1, bends + 2, 10 * bends} {
		var l []orb.Point
		for i := range points {
			l = append(l, orb.Point{10 * float64(i), 0})
		}
		f := hide.Flaw{Kind: "scar", Stroke: &hide.Stroke{Line: l, Width: 4}}
		box := Flaw(f, 1).Envelope()
		if w, h := box.Width(), box.Height(); math.Abs(w-10*float64(points-1)-6) > 1e-6 || math.Abs(h-6) > 1e-6 {
			t.Errorf("%d points: %g × %g mm", points, w, h)
		}
	}
}

// A stroke of a thousand points that crosses itself everywhere is drawn at once.
func TestTangledStroke(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 5))
	var l []orb.Point
	for range 1000 {
		l = append(l, orb.Point{1000 * r.Float64(), 200 * r.Float64()})
	}
	outline, err := Of([]orb.Point{{0, 0}, {900, 0}, {900, 300}, {0, 300}})
	if err != nil {
		t.Fatal(err)
	}
	g := On(outline, Flaw(hide.Flaw{Kind: "scar", Stroke: &hide.Stroke{Line: l, Width: 2}}, 0))
	if len(Rings(g)) == 0 || g.Envelope().Width() > 900+1e-6 {
		t.Errorf("%d outlines, %g mm long on a hide of 900 mm", len(Rings(g)), g.Envelope().Width())
	}
}

// What a stroke goes round is no part of it.
func TestStrokeRoundAPlace(t *testing.T) {
	l := []orb.Point{{0, 0}, {100, 0}, {100, 100}, {0, 100}, {0, 0}}
	for _, ring := range Rings(Flaw(hide.Flaw{Kind: "scar", Stroke: &hide.Stroke{Line: l, Width: 4}}, 0)) {
		if b := orb.MultiPoint(ring).Bound(); b.Contains(orb.Point{50, 50}) {
			t.Errorf("an outline reaches over %v", b)
		}
	}
}
