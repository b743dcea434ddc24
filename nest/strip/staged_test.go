package strip_test

import (
	"slices"
	"testing"

	"strapwise/nest"
	"strapwise/nest/strip"
)

// How the staged cases are laid: in bands of blocks, which have all that two and three stages have and more (a block of one
// strip is a piece trimmed from a wider strip); and in plain strips, which know no trimming, and so
// stay below the optimum of two stages.
const (
	stagedBlocks = 3120 // steps
	stagedStrips = 300
)

// stagedSlow are the cases that are laid with the usual steps, since fewer do not reach the
// proven optimum of two stages.
var stagedSlow = []string{"CHL1 along"}

// stagedCase is a case of testdata/staged.json.
type stagedCase struct {
	Name     string     `json:"name"`
	Sheet    [2]float64 `json:"sheet"`
	TwoStage [2]float64 `json:"two_stage"` // strips along the sheet's length, and along its depth
	Three    float64    `json:"three_stage_vertical"`
	Pieces   [][4]int   `json:"pieces"` // length, width, value, copies
}

func (c stagedCase) cutting() cutting {
	out := cutting{length: c.Sheet[0], depth: c.Sheet[1]}
	for _, p := range c.Pieces {
		out.pieces = append(out.pieces, cutPiece{float64(p[0]), float64(p[1]), float64(p[2]), p[3]})
	}
	return out
}

// TestStaged lays published sheets whose optima with strips and cross-cuts are
// proven, and some of which others have cut in three stages: bands of blocks come to as much or more, plain
// strips exceed no optimum, and no bound is below what there is.
func TestStaged(t *testing.T) {
	for _, c := range published[stagedCase](t, "staged.json") {
		for turn, two := range c.TwoStage {
			cut, three := c.cutting(), 0.0
			if turn == 1 {
				cut, three = cut.turned(), c.Three
			}
			name := c.Name + [2]string{" along", " across"}[turn]
			lay := func(how string, steps int) nest.Result {
				got := cut.lay(t, steps)
				t.Logf("%-13s %s: worth %6.0f, bound %8.1f, short of two stages %5.2f %%, of three %5.2f %%", name, how, got.Value, got.Bound, short(got.Value, two), short(got.Value, three))
				if got.Value > got.Bound {
					t.Errorf("%s: laid %v, more than the bound of %v", name, got.Value, got.Bound)
				}
				return got
			}
			if got := lay("strips", stagedStrips); got.Value > two {
				t.Errorf("%s: laid %v, but no two stages give more than %v", name, got.Value, two)
			}
			cut.deepest = cut.depth
			steps := stagedBlocks
			if slices.Contains(stagedSlow, name) {
				steps = strip.DefaultSteps
			}
			switch got := lay("bands", steps); {
			case got.Value < max(two, three):
				t.Errorf("%s: laid %v, two stages give %v and three %v", name, got.Value, two, three)
			case got.Bound < max(two, three):
				t.Errorf("%s: bound %v, but there is a lay of %v", name, got.Bound, max(two, three))
			}
		}
	}
}

// short is how many per cent a worth is below the best known, 0 if none is.
func short(worth, best float64) float64 {
	if best == 0 {
		return 0
	}
	return 100 * (best - worth) / best
}
