package plane_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	"github.com/peterstace/simplefeatures/geom"

	"strapwise/hide/plane"
)

func TestNewRingTakesSimpleOutlinesOnly(t *testing.T) {
	for _, c := range []struct {
		rule    string
		corners []orb.Point
		want    string // of the error; "" if it is simple
	}{
		{"triangle", []orb.Point{{0, 0}, {10, 0}, {0, 10}}, ""},
		{"clockwise", []orb.Point{{0, 10}, {10, 0}, {0, 0}}, ""},
		{"corner on a straight edge", []orb.Point{{0, 0}, {5, 0}, {10, 0}, {0, 10}}, ""},
		{"first corner on a straight edge", []orb.Point{{5, 0}, {10, 0}, {0, 10}, {0, 0}}, ""},
		{"corner given twice in a row", []orb.Point{{0, 0}, {10, 0}, {10, 0}, {0, 10}, {0, 0}}, ""},
		{"sliver", []orb.Point{{0, 0}, {1000, 1e-6}, {1000, 2e-6}}, ""},
		{"notch that all but cuts through", []orb.Point{{0, 0}, {10, 0}, {10, 10}, {5, 1e-9}, {0, 10}}, ""},
		{"spiral", []orb.Point{{0, 0}, {9, 0}, {9, 9}, {0, 9}, {0, 2}, {7, 2}, {7, 7}, {2, 7}, {2, 4}, {3, 4}, {3, 6}, {6, 6}, {6, 3}, {1, 3}, {1, 8}, {8, 8}, {8, 1}, {0, 1}}, ""},

		{"no corners", nil, "an outline needs at least 3 different corners"},
		{"two corners", []orb.Point{{0, 0}, {1, 1}}, "an outline needs at least 3 different corners"},
		{"one place many times", []orb.Point{{1, 1}, {1, 1}, {1, 1}, {1, 1}}, "an outline needs at least 3 different corners"},
		{"there and back", []orb.Point{{0, 0}, {10, 0}, {0, 0}, {10, 0}}, "the outline encloses nothing"},
		{"three corners in line", []orb.Point{{0, 0}, {5, 5}, {10, 10}}, "the outline encloses nothing"},
		{"corners in line, aslant", []orb.Point{{3, 4}, {6, 8}, {9, 12}, {0, 0}}, "the outline encloses nothing"},
		{"bow-tie", []orb.Point{{0, 0}, {10, 10}, {10, 0}, {0, 10}}, "the outline crosses itself near (5, 5) mm"},
		{"bow-tie far out", []orb.Point{{12340, 0}, {12350, 10}, {12350, 0}, {12340, 10}}, "the outline crosses itself near (12345, 5) mm"},
		{"spike that folds back", []orb.Point{{0, 0}, {10, 0}, {10, 10}, {10, 15}, {10, 10}, {0, 10}}, "the outline crosses itself near (10, 10) mm"},
		{"spike at the first corner", []orb.Point{{-5, 0}, {0, 0}, {10, 0}, {10, 10}, {0, 10}, {0, 0}}, "the outline crosses itself near (-5, 0) mm"},
		{"spike that overshoots along an edge", []orb.Point{{0, 0}, {15, 0}, {10, 0}, {10, 10}, {0, 10}}, "the outline crosses itself near (10, 0) mm"},
		{"corner on another edge", []orb.Point{{0, 0}, {10, 0}, {10, 10}, {5, 0}, {0, 10}}, "the outline crosses itself near (5, 0) mm"},
		{"corner on another corner", []orb.Point{{0, 0}, {10, 0}, {5, 5}, {10, 10}, {0, 10}, {5, 5}}, "the outline crosses itself near (5, 5) mm"},
		{"edges that run into each other", []orb.Point{{0, 0}, {10, 0}, {10, 5}, {8, 5}, {8, 0}, {2, 0}, {2, 5}, {0, 5}}, "the outline crosses itself near (2, 0) mm"},
		{"twice round", []orb.Point{{0, 0}, {10, 0}, {10, 10}, {0, 10}, {0, 0}, {10, 0}, {10, 10}, {0, 10}}, "the outline crosses itself near (0, 0) mm"},
		{"star", []orb.Point{{0, 10}, {6, -8}, {-10, 3}, {10, 3}, {-6, -8}}, "the outline crosses itself near (2.33333, 3) mm"},

		{"not a number", []orb.Point{{0, 0}, {math.NaN(), 0}, {0, 10}}, "corner 2 (NaN, 0) is not a place on a bench"},
		{"without end", []orb.Point{{0, 0}, {10, 0}, {0, math.Inf(-1)}}, "corner 3 (0, -Inf) is not a place on a bench"},
		{"beyond a kilometre", []orb.Point{{0, 0}, {1000001, 0}, {0, 10}}, "corner 2 (1.000001e+06, 0) is not a place on a bench"},
	} {
		t.Run(c.rule, func(t *testing.T) {
			before := slices.Clone(c.corners)
			ring, err := plane.NewRing(c.corners)
			switch {
			case c.want == "" && err != nil:
				t.Fatalf("refused: %v", err)
			case c.want != "" && err == nil:
				t.Fatalf("taken, want %q", c.want)
			case err != nil && err.Error() != c.want:
				t.Errorf("got %q, want %q", err, c.want)
			case err != nil && ring.Len() != 0:
				t.Error("an error comes with a ring")
			}
			if err == nil && ring.Orb().Orientation() != orb.CCW {
				t.Error("not counter-clockwise")
			}
			for i, p := range c.corners { // NaN differs from itself
				if p != before[i] && p == p {
					t.Error("the caller's corners were changed")
				}
			}
		})
	}
}

// simple says by the plainest means whether no two edges meet but at the
// corner they share, in whole numbers, so that it is exact.
func simple(c []orb.Point) bool {
	n := len(c)
	side := func(a, b, p orb.Point) int {
		v := (b[0]-a[0])*(p[1]-a[1]) - (b[1]-a[1])*(p[0]-a[0])
		return int(math.Copysign(min(1, math.Abs(v)), v))
	}
	on := func(a, b, p orb.Point) bool {
		return side(a, b, p) == 0 && min(a[0], b[0]) <= p[0] && p[0] <= max(a[0], b[0]) && min(a[1], b[1]) <= p[1] && p[1] <= max(a[1], b[1])
	}
	for i := range n {
		for j := i + 1; j < n; j++ {
			a, b, p, q := c[i], c[(i+1)%n], c[j], c[(j+1)%n]
			switch {
			case j == i+1: // b is p
				if on(a, b, q) || on(p, q, a) {
					return false
				}
			case i == 0 && j == n-1: // a is q
				if on(a, b, p) || on(p, q, b) {
					return false
				}
			default:
				if on(a, b, p) || on(a, b, q) || on(p, q, a) || on(p, q, b) ||
					side(a, b, p)*side(a, b, q) < 0 && side(p, q, a)*side(p, q, b) < 0 {
					return false
				}
			}
		}
	}
	return true
}

// On a small grid corners meet, fold and line up all the time.
func TestNewRingAgreesWithEveryPairOfEdges(t *testing.T) {
	rnd := rand.New(rand.NewPCG(1, 2))
	taken, refused := 0, 0
	for range 60_000 {
		corners := make([]orb.Point, 3+rnd.IntN(6))
		for i := range corners {
			corners[i] = orb.Point{float64(rnd.IntN(6)), float64(rnd.IntN(6))}
		}
		kept := slices.CompactFunc(slices.Clone(corners), func(a, b orb.Point) bool { return a == b })
		for len(kept) > 1 && kept[0] == kept[len(kept)-1] {
			kept = kept[:len(kept)-1]
		}
		want := len(kept) >= 3 && simple(kept)
		ring, err := plane.NewRing(corners)
		if (err == nil) != want {
			t.Fatalf("%v: got %v, simple is %v", corners, err, want)
		}
		if err != nil {
			refused++
			continue
		}
		taken++
		if got, want := ring.Area(), math.Abs(planar.Area(append(orb.Ring(kept), kept[0]))); got != want || got == 0 {
			t.Fatalf("%v: area %g, want %g", corners, got, want)
		}
		if err := ring.Polygon().Validate(); err != nil {
			t.Fatalf("%v: simplefeatures says %v", corners, err)
		}
	}
	if taken < 5000 || refused < 5000 {
		t.Errorf("%d taken and %d refused: too few of one to say anything", taken, refused)
	}
}

func round(corners int, radius float64) []orb.Point {
	out := make([]orb.Point, corners)
	for i := range out {
		a := 2 * math.Pi * float64(i) / float64(corners)
		out[i] = orb.Point{radius * math.Cos(a), radius * math.Sin(a)}
	}
	return out
}

func TestTenThousandCornersWithOneCrossing(t *testing.T) {
	corners := round(10_000, 1000)
	ring, err := plane.NewRing(corners)
	if err != nil {
		t.Fatal(err)
	}
	if got, want := ring.Area(), math.Pi*1e6; math.Abs(got-want) > 1 {
		t.Errorf("area %g, want about %g", got, want)
	}
	corners[7000], corners[7001] = corners[7001], corners[7000]
	if _, err := plane.NewRing(corners); err == nil {
		t.Error("two corners in the wrong order were taken")
	}
}

func TestARingIsTheSameFromAnyCornerAndEitherWay(t *testing.T) {
	rnd := rand.New(rand.NewPCG(3, 4))
	for range 500 {
		corners := round(3+rnd.IntN(20), 100)
		for i := range corners { // a star about the middle is simple
			s := 0.2 + rnd.Float64()
			corners[i] = orb.Point{corners[i][0] * s, corners[i][1] * s}
		}
		a, err := plane.NewRing(corners)
		if err != nil {
			t.Fatal(err)
		}
		k := rnd.IntN(len(corners))
		turned := append(slices.Clone(corners[k:]), corners[:k]...)
		slices.Reverse(turned)
		b, err := plane.NewRing(turned)
		if err != nil {
			t.Fatal(err)
		}
		if whole := a.Polygon().Area(); math.Abs(a.Area()-whole) > 1e-9*whole {
			t.Fatalf("%v: %g mm², simplefeatures says %g", corners, a.Area(), whole)
		}
		if math.Abs(a.Area()-b.Area()) > 1e-9*a.Area() || a.Bound() != b.Bound() {
			t.Fatalf("%v: %g mm², turned %g", corners, a.Area(), b.Area())
		}
		if same, err := geom.Equals(a.Polygon().AsGeometry(), b.Polygon().AsGeometry()); err != nil || !same {
			t.Fatalf("the polygons differ: %v", err)
		}
	}
}
