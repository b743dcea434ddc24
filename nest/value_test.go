package nest

import (
	"fmt"
	"math"
	"testing"
)

func TestCuts(t *testing.T) {
	strips := func(n int) []Strip {
		out := make([]Strip, n)
		for i := range out {
			out[i] = Strip{N: i + 1, FromMM: 60 * float64(i), WidthMM: 30}
		}
		return out
	}
	bands := func(from ...float64) (out []Band) {
		for i, at := range from {
			out = append(out, Band{FromMM: at, DepthMM: 30, Blocks: []Block{{FromMM: 0, ToMM: 900, Strips: []int{i + 1}}}})
		}
		return out
	}
	piece := func(strip int, from, to float64) Piece {
		return Piece{Hide: "ash-3", Strip: strip, FromMM: from, ToMM: to}
	}
	for _, c := range []struct {
		name   string
		lay    HideLay
		pieces []Piece
		want   int
	}{
		{"nothing", HideLay{}, nil, 0},
		{"a strip ripped, one piece from the squared end", HideLay{Strips: strips(1)}, []Piece{piece(1, 0, 600)}, 2},
		{"a second piece against the first", HideLay{Strips: strips(1)}, []Piece{piece(1, 0, 600), piece(1, 600, 900)}, 3},
		{"the same, listed the other way", HideLay{Strips: strips(1)}, []Piece{piece(1, 600, 900), piece(1, 0, 600)}, 3},
		{"scrap between them", HideLay{Strips: strips(1)}, []Piece{piece(1, 0, 600), piece(1, 601, 900)}, 4},
		{"scrap at the squared end", HideLay{Strips: strips(1)}, []Piece{piece(1, 20, 600)}, 3},
		{"a strip each", HideLay{Strips: strips(2)}, []Piece{piece(1, 0, 600), piece(2, 0, 600)}, 4},
		{"a band and a waste strip beyond it", HideLay{Strips: strips(2), Bands: bands(0, 60)}, nil, 3},
		{"a knife piece of no strip", HideLay{}, []Piece{piece(0, 0, 70)}, 4},
	} {
		c.lay.Hide = "ash-3"
		if got := Cuts(Plan{Hides: []HideLay{c.lay}, Pieces: c.pieces}); got != c.want {
			t.Errorf("%s: found %d cuts, expected %d", c.name, got, c.want)
		}
	}
}

func TestCutsOfTwoHides(t *testing.T) {
	// Strip 1 of either hide is another strip.
	p := Plan{
		Hides:  []HideLay{{Hide: "ash-3", Strips: []Strip{{N: 1}}}, {Hide: "oak-1", Strips: []Strip{{N: 1}}}},
		Pieces: []Piece{{Hide: "ash-3", Strip: 1, FromMM: 0, ToMM: 5}, {Hide: "oak-1", Strip: 1, FromMM: 5, ToMM: 9}},
	}
	if got := Cuts(p); got != 5 {
		t.Errorf("found %d cuts, expected 5", got)
	}
}

func TestValue(t *testing.T) {
	b := newBench()
	// 2 sets of 40 and one of 38. At a quarter each: 3 bands and 1 waste strip
	// ripped, 4 ends of blocks, 4 rips within blocks, 11 far ends of pieces (one
	// lies at the end of its block) and 4 near ends.
	if got, want := Value(b.job, b.plan), 118-0.25*27; math.Abs(got-want) > 1e-12 {
		t.Errorf("found %v, expected %v", got, want)
	}
	b.job.Tools.Effort = 0
	b.drop(b.piece(3, "keeper", 0))
	if got := Value(b.job, b.plan); got != 80 {
		t.Errorf("without one keeper: found %v, expected 80", got)
	}
}

func ExampleCheck() {
	b := newBench() // an invented bend, and a plan for it
	b.spec.Trim = 10.5
	for _, v := range b.check()[:1] {
		fmt.Println(v)
	}
	// Output: trim: ash-3, strip 1, A12 set 1 main: lies nearer than 10.5 mm to the outline
}
