package nest

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"
)

func drawRect(t *rapid.T) rect {
	real := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
	u := turned(orb.Point{1, 0}, real("turn", -4, 4))
	return rectAt(orb.Point{real("x", -3000, 3000), real("y", -3000, 3000)}, u, turned(u, math.Pi/2), real("length", 1, 2500), real("depth", 1, 900))
}

// A rectangle is read back from its corners, wherever they start and whichever
// way they go, and after they have been rounded as files round them.
func TestRectFromCorners(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want := drawRect(t)
		c := want.corners()
		for range rapid.IntRange(0, 3).Draw(t, "start") {
			c = append(c[1:], c[0])
		}
		if rapid.Bool().Draw(t, "clockwise") {
			c[1], c[3] = c[3], c[1]
		}
		for i := range c {
			c[i] = orb.Point{rounded(c[i][0], 1e4), rounded(c[i][1], 1e4)}
		}
		got, err := rectFrom(c)
		if err != nil {
			t.Fatal(err)
		}
		a, b := want.side(0), want.side(1)
		ga, gb := got.side(0), got.side(1)
		if math.Abs(max(a, b)-max(ga, gb)) > 1e-3 || math.Abs(min(a, b)-min(ga, gb)) > 1e-3 {
			t.Errorf("found sides %v and %v, expected %v and %v", ga, gb, a, b)
		}
		for _, p := range want.corners() {
			for i, u := range got.dir {
				if off := math.Abs(math.Abs(dot(sub(p, got.centre), u)) - got.half[i]); off > lengthTol/4 {
					t.Errorf("corner %v lies %v from a side", p, off)
				}
			}
		}
	})
}

// Overlap found by shapes agrees with overlap by projection on the sides of both.
func TestPairsLaw(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rects := make([]rect, rapid.IntRange(2, 8).Draw(t, "n"))
		for i := range rects {
			rects[i] = drawRect(t)
		}
		type pair struct{ i, j int }
		found := map[pair]bool{}
		pairs(mapped(rects, func(r rect) shape { return shape{rect: r} }), func(i, j int) bool {
			found[pair{i, j}] = true
			return true
		})
		for i, a := range rects {
			for j := i + 1; j < len(rects); j++ {
				depth := math.Inf(1)
				for _, u := range append(a.dir[:], rects[j].dir[:]...) {
					x, y := a.extent(orb.Point{}, u), rects[j].extent(orb.Point{}, u)
					depth = min(depth, x.Hi-y.Lo, y.Hi-x.Lo)
				}
				if math.Abs(depth) > 2*lengthTol && found[pair{i, j}] != (depth > 0) {
					t.Errorf("%d and %d overlap by %v: found %v", i, j, depth, found[pair{i, j}])
				}
			}
		}
	})
}

// The cells of all readings cover a piece once: their areas add up to its own.
func TestCellsLaw(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := drawRect(t)
		sites := make([]orb.Point, rapid.IntRange(1, 9).Draw(t, "readings"))
		for i := range sites {
			sites[i] = orb.Point{rapid.Float64Range(-3000, 3000).Draw(t, "x"), rapid.Float64Range(-3000, 3000).Draw(t, "y")}
			for _, s := range sites[:i] {
				if norm(sub(s, sites[i])) < 1 {
					t.Skip("two readings at one place")
				}
			}
		}
		total := 0.0
		for i := range sites {
			total += polygonOf(cellOf(sites, i, r.corners())).Area()
		}
		if want := r.side(0) * r.side(1); math.Abs(total-want) > 1e-6*want {
			t.Errorf("the cells cover %v mm², the piece %v", total, want)
		}
	})
}
