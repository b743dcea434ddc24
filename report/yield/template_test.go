package yield

import (
	"context"
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"strapwise/hide"
	"strapwise/hide/measure"
	"strapwise/hide/plane"
	"strapwise/nest"
	"strapwise/nest/strip"
)

// Of templates the outline counts as used, and what lies round it in its rectangle as
// waste of its own. Twelve right-angled triangles of 100 by 50 mm, each half of its
// rectangle, from a sheet.
func TestRoundTemplates(t *testing.T) {
	h, err := hide.New(hide.Spec{Name: "s", Leather: "l", Form: "sheet", Outline: []orb.Point{{0, 0}, {420, 0}, {420, 400}, {0, 400}}})
	if err != nil {
		t.Fatal(err)
	}
	ring, err := plane.NewRing([]orb.Point{{0, 0}, {100, 0}, {0, 50}})
	if err != nil {
		t.Fatal(err)
	}
	j := nest.Job{
		Hides: []*hide.Hide{h}, Uses: map[string]hide.Use{"face": {Name: "face", Quality: hide.Firm, Angle: measure.Degree}},
		Tools: nest.Tools{Mark: 1, CutterMin: 5, CutterMax: 100},
		Orders: []nest.Order{{ID: "A", FirstSet: 1, Qty: 12, Worth: 1, Parts: []nest.Part{
			{Name: "tip", Leather: "l", Use: "face", Length: 100, Width: 50, Count: 1, Knife: true, Template: &nest.Template{File: "tip.svg", Outline: ring}},
		}}},
	}
	p, err := strip.Lay(context.Background(), j, strip.Options{Seed: 1, Steps: 20})
	if err != nil {
		t.Fatal(err)
	}
	r := Of(j, p)
	got := r.Hides[0]
	if got.Pieces != 12 || math.Abs(got.Used[0].AreaMM2-12*2500) > 1e-6 || math.Abs(got.Waste.RoundMM2-12*2500) > 1e-6 {
		t.Errorf("found %d pieces, %v, and %g mm² round them, expected 30000 of each", got.Pieces, got.Used, got.Waste.RoundMM2)
	}
	if d := math.Abs(got.sum() - got.AreaMM2); d > 1e-6 {
		t.Errorf("the parts add up to %g mm², the hide has %g", got.sum(), got.AreaMM2)
	}
	if text := r.Text(measure.Rule{System: measure.Metric, Mark: 1}, 96); !strings.Contains(text, "round templates") {
		t.Errorf("%s\ndoes not tell of it", text)
	}
}
