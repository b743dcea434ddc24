package strip_test

import (
	"fmt"
	"testing"

	"github.com/paulmach/orb"

	"strapwise/hide/plane"
)

const (
	// flawedLeast is the least mean share of the optimum over all guillotine
	// cuts that lays of flawed sheets reach, in per cent.
	flawedLeast  = 98.0
	flawedBlocks = true // lay bands of blocks of strips
	flawedSteps  = 90
)

// flawedCase is a sheet of testdata/flawed.json.
type flawedCase struct {
	Name   string       `json:"name"`
	Pieces [][2]float64 `json:"pieces"` // length, width
	Flaws  [][4]float64 `json:"flaws"`  // x, y, length, depth
	Optima []float64    `json:"optima"` // by how many of the flaws there are
}

// cutting is the sheet with the first so many of its flaws.
func (c flawedCase) cutting(flaws int) cutting {
	const side = 75
	out := cutting{length: side, depth: side}
	for _, f := range c.Flaws[:flaws] {
		out.holes = append(out.holes, plane.Box(orb.Point{f[0], f[1]}, orb.Point{f[0] + f[2], f[1] + f[3]}))
	}
	for _, p := range c.Pieces {
		all := int(side*side/(p[0]*p[1])) + 1 // as many as one likes
		out.pieces = append(out.pieces, cutPiece{p[0], p[1], p[0] * p[1], all})
	}
	return out
}

// TestFlawed lays published sheets with flaws whose optima over all guillotine
// cuts are proven: strips one way or the other give no more, and not much less.
func TestFlawed(t *testing.T) {
	var share, n [5]float64 // by flaws; the better of both ways
	for _, c := range published[flawedCase](t, "flawed.json") {
		for flaws, optimum := range c.Optima {
			best := 0.0
			for turn, cut := range []cutting{c.cutting(flaws), c.cutting(flaws).turned()} {
				if flawedBlocks {
					cut.deepest = cut.depth
				}
				got := cut.lay(t, flawedSteps)
				name := fmt.Sprintf("%s, %d flaws, way %d", c.Name, flaws, turn+1)
				if got.Value > optimum {
					t.Errorf("%s: laid %v, the optimum of all cuts is %v", name, got.Value, optimum)
				}
				if got.Value > got.Bound {
					t.Errorf("%s: laid %v, more than the bound of %v", name, got.Value, got.Bound)
				}
				best = max(best, got.Value)
			}
			share[flaws] += 100 * best / optimum
			n[flaws]++
		}
	}
	sum, all := 0.0, 0.0
	for flaws := range share {
		t.Logf("%d flaws: %.2f %% of the optimum", flaws, share[flaws]/n[flaws])
		sum, all = sum+share[flaws], all+n[flaws]
	}
	mean := sum / all
	t.Logf("all: %.2f %%", mean)
	if mean < flawedLeast {
		t.Errorf("%.2f %% of the optimum on the mean, want %v or more", mean, flawedLeast)
	}
}
