package forecast

import (
	"math"
	"testing"

	"strapwise/hide"
)

// Hides of which length, depth and area are told have all three, so that they fill their
// rectangle as told: drawn by the models and by known hides, which fill it otherwise.
func TestDrawnAsTold(t *testing.T) {
	var known []*hide.Hide
	for seed := range uint64(enoughHides) {
		h, err := world().Draw(Kind{Leather: "bridle", Form: "hide", Grade: "A"}, seed)
		if err != nil {
			t.Fatal(err)
		}
		known = append(known, h)
	}
	for by, w := range map[string]*World{"models": world(), "hides": world(known...)} {
		for _, fill := range []float64{0.64, 0.73} { // the least and the greatest of six hides of a cutting room
			k := Kind{Leather: "bridle", Form: "hide", Grade: "A", Length: 2500, Depth: 2200}
			k.Area = fill * k.Length * k.Depth
			const draws = 30
			off := 0
			for seed := range uint64(draws) {
				h, err := w.Draw(k, seed)
				if err != nil {
					t.Fatal(err)
				}
				length, depth := sizeOf(h)
				if math.Abs(h.Area()/k.Area-1) > 1e-6 || math.Abs(length/k.Length-1) > 0.021 {
					t.Errorf("by %s, seed %d: %.0f mm long and %.3f m², expected %.0f and %.3f", by, seed, length, h.Area()/1e6, k.Length, k.Area/1e6)
				}
				if math.Abs(depth/k.Depth-1) > 0.03 {
					off++
				}
			}
			if off > draws/5 { // a shape is not always found
				t.Errorf("by %s, filling %g: %d of %d are not as deep as told", by, fill, off, draws)
			}
		}
	}
}

// Hides that are drawn are as thick as their leather, by which a use may refuse them.
func TestDrawnAsThick(t *testing.T) {
	h, err := world().Draw(Kind{Leather: "bridle", Form: "bend", Grade: "A", Nominal: 3.8}, 1)
	if err != nil {
		t.Fatal(err)
	}
	if all := h.Thickness(); len(all) != 1 || all[0].MM != 3.8 {
		t.Errorf("found %v", all)
	}
}
