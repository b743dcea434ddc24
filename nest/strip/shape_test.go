package strip

import (
	"slices"
	"testing"

	"strapwise/nest/trial"
)

// TestLearn: of one sweep, as many bands become known from a near edge as are asked for, each of another depth, and
// the first is the same however many those are.
func TestLearn(t *testing.T) {
	p := problemOf(t, trial.Worth(trial.Bend(1, 10), 1))
	g := p.grounds[0]
	learnt := func(most int) [][]shape {
		known := newShapes()
		b := newBound(p, known, p.whole())
		b.depths = most
		b.ask(slices.Clone(b.price), allBands)
		out := make([][]shape, g.y1-g.y0+1)
		for y := range out {
			from, _ := known.from(g, g.y0+y)
			for _, i := range from {
				out[y] = append(out[y], known.all[i])
			}
		}
		return out
	}
	one, few := learnt(1), learnt(3)
	several := 0
	for y, shapes := range few {
		if len(one[y]) > 1 || len(shapes) > 3 || len(shapes) < len(one[y]) {
			t.Fatalf("from mark %d, %d bands are known where one is asked for, and %d where three are", g.y0+y, len(one[y]), len(shapes))
		}
		if len(shapes) > 0 && shapes[0].key(g) != one[y][0].key(g) {
			t.Errorf("from mark %d, the likeliest band is another where three are asked for", g.y0+y)
		}
		depths := map[int]bool{}
		for _, sh := range shapes {
			depths[sh.depth] = true
		}
		if len(depths) != len(shapes) {
			t.Errorf("from mark %d, two bands are known of one depth", g.y0+y)
		}
		if len(shapes) > 1 {
			several++
		}
	}
	if several == 0 {
		t.Error("nowhere more than one band is known")
	}
}
