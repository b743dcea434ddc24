package strip_test

import (
	"slices"
	"testing"

	"strapwise/nest/strip"
)

// How the staged cases are laid. In bands of blocks every sheet could be, which have
// all that two stages have and more: a block of one strip is a piece trimmed from a
// wider strip. For sheets of many pieces that takes minutes; they are laid in plain
// strips, which know no trimming, and so stay below the optimum of two stages.
const (
	stagedFew    = 30  // kinds of piece, to be laid in bands of blocks
	stagedBlocks = 100 // steps
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
// proven: bands of blocks reach them, plain strips exceed none, and no bound is below
// what there is.
func TestStaged(t *testing.T) {
	for _, c := range published[stagedCase](t, "staged.json") {
		few := len(c.Pieces) <= stagedFew && c.Three == 0
		for turn, two := range c.TwoStage {
			cut, three, steps := c.cutting(), 0.0, stagedStrips
			if turn == 1 {
				cut, three = cut.turned(), c.Three
			}
			if few {
				cut.deepest, steps = cut.depth, stagedBlocks
			}
			name := c.Name + [2]string{" along", " across"}[turn]
			if slices.Contains(stagedSlow, name) {
				steps = strip.DefaultSteps
			}
			got := cut.lay(t, steps)
			t.Logf("%-13s worth %6.0f, bound %8.1f, short of two stages %5.2f %%, of three %5.2f %%", name, got.Value, got.Bound, short(got.Value, two), short(got.Value, three))
			if got.Value > got.Bound {
				t.Errorf("%s: laid %v, more than the bound of %v", name, got.Value, got.Bound)
			}
			switch {
			case few && got.Value < two:
				t.Errorf("%s: laid %v, two stages give %v", name, got.Value, two)
			case few && got.Bound < two:
				t.Errorf("%s: bound %v, but there is a lay of %v", name, got.Bound, two)
			case !few && got.Value > two:
				t.Errorf("%s: laid %v, but no two stages give more than %v", name, got.Value, two)
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
