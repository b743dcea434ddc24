package strip_test

import "testing"

// What the planner reaches today of the staged cases.
const (
	stagedBlocks = false // lay bands of blocks of strips
	// stagedTwo: each proven two-stage optimum. Plain strips miss it where a
	// piece is trimmed from a wider strip, and exceed none.
	stagedTwo = false
	// stagedThree: each best known with three stages.
	stagedThree = false
	stagedSteps = 300
)

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
// proven.
func TestStaged(t *testing.T) {
	for _, c := range published[stagedCase](t, "staged.json") {
		for turn, two := range c.TwoStage {
			cut, three := c.cutting(), 0.0
			if turn == 1 {
				cut, three = cut.turned(), c.Three
			}
			if stagedBlocks {
				cut.deepest = cut.depth
			}
			got := cut.lay(t, stagedSteps)
			name := c.Name + [2]string{" along", " across"}[turn]
			t.Logf("%-13s worth %6.0f, bound %8.1f, short of two stages %5.2f %%, of three %5.2f %%", name, got.Value, got.Bound, short(got.Value, two), short(got.Value, three))
			if got.Value > got.Bound {
				t.Errorf("%s: laid %v, more than the bound of %v", name, got.Value, got.Bound)
			}
			switch {
			case stagedTwo && got.Value < two:
				t.Errorf("%s: laid %v, two stages give %v", name, got.Value, two)
			case !stagedBlocks && got.Value > two:
				t.Errorf("%s: laid %v, but no two stages give more than %v", name, got.Value, two)
			}
			if stagedThree && got.Value < three {
				t.Errorf("%s: laid %v, three stages give %v", name, got.Value, three)
			}
			if stagedBlocks && got.Bound < max(two, three) {
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
