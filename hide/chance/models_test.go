package chance

import (
	"fmt"
	"math"
	"testing"

	"github.com/paulmach/orb"

	"strapwise/hide"
	"strapwise/hide/measure"
)

// Whatever the seed, a hide of each form is one, and as large as the trade has it.
func TestFormsAreOfTheirSize(t *testing.T) {
	const in = measure.MMPerInch
	for form, c := range map[string]struct{ length, feet, filled [2]float64 }{
		"hide":     {[2]float64{2150, 2700}, [2]float64{33, 51}, [2]float64{0.64, 0.78}},        // 0.64 to 0.73 on six hides of a cutting room
		"side":     {[2]float64{90 * in, 104 * in}, [2]float64{20, 28}, [2]float64{0.84, 0.92}}, // 22 to 26 sq ft, 100 × 42 in, 0.885 filled (common practice)
		"back":     {[2]float64{90 * in, 104 * in}, [2]float64{15, 20.5}, [2]float64{0.9, 1}},   // a side less the belly, 23 % (Roberts & Etherington)
		"bend":     {[2]float64{1250, 1390}, [2]float64{8, 10.5}, [2]float64{0.9, 1}},
		"butt":     {[2]float64{53.5 * in, 58.5 * in}, [2]float64{17, 23}, [2]float64{0.9, 1}}, // 54 to 57 in long (Hasluck)
		"shoulder": {[2]float64{750, 930}, [2]float64{4, 6.5}, [2]float64{0.85, 1}},
		"belly":    {[2]float64{1990, 2340}, [2]float64{4.5, 7}, [2]float64{0.69, 0.9}}, // half of 23 % of a hide of 40 to 50 sq ft
		"skin":     {[2]float64{890, 1130}, [2]float64{5, 9.5}, [2]float64{0.8, 0.95}},
		"sheet":    {[2]float64{1000, 1000}, [2]float64{5.3, 5.5}, [2]float64{1, 1}},
	} {
		for seed := range uint64(40) {
			spec, err := BuiltIn().Forms[form].Grow("x", "l", seed).Graded(Rand(seed, OfFlaws), ByHabit(Habits(), GradedSizes()), 90, hide.MarkedOff)
			if err != nil {
				t.Fatal(form, seed, err)
			}
			h, err := hide.New(spec)
			if err != nil {
				t.Fatal(form, seed, err)
			}
			box := h.Outline().Bound()
			length, depth := box.Max[0]-box.Min[0], box.Max[1]-box.Min[1]
			for what, v := range map[string]struct {
				got  float64
				want [2]float64
			}{"length": {length, c.length}, "area in sq ft": {measure.SquareFeet(h.Area()), c.feet}, "filled": {h.Area() / length / depth, c.filled}} {
				if v.got < v.want[0]-1e-6 || v.got > v.want[1]+1e-6 {
					t.Errorf("%s of seed %d: %s %.4g, want %v", form, seed, what, v.got, v.want)
				}
			}
		}
	}
}

// Hides of a grade have the cutting value of its band, and on the average its mean
// (SATRA's bands); and flaws come up to the value asked for.
func TestGradesAreOfTheirBand(t *testing.T) {
	for i, b := range hide.Bands() {
		r, sum, most := Rand(uint64(i), Others), 0.0, 100.0
		if i > 0 {
			most = hide.Bands()[i-1].Least
		}
		const n = 4000
		for range n {
			v := CuttingValue(r, b)
			if v < b.Least || v > most {
				t.Fatalf("%s: a value of %g", b.Grade, v)
			}
			sum += v
		}
		if mean := sum / n; math.Abs(mean-b.Mean) > 0.6 { // F's mean lies where no triangle over its band can
			t.Errorf("%s: a mean of %.2f, expected %g", b.Grade, mean, b.Mean)
		}
		marked := 0.0
		const hides = 60
		for seed := range uint64(hides) {
			spec, err := BuiltIn().Forms["bend"].Grow(fmt.Sprint(seed), "l", seed).Graded(Rand(seed, OfFlaws), ByHabit(Habits(), GradedSizes()), b.Mean, hide.MarkedOff)
			if err != nil {
				t.Fatal(err)
			}
			h, err := hide.New(spec)
			if err != nil {
				t.Fatal(err)
			}
			marked += h.CuttingValue(hide.MarkedOff) / hides
		}
		if marked < b.Mean-1e-9 || marked > b.Mean+0.25 {
			t.Errorf("%s: bends of cutting value %g have %.2f", b.Grade, b.Mean, marked)
		}
	}
}

// A hide made as a known one is as large as it, stretched as asked, with its soft
// leather, whatever its backbone; and its flaws are of the kinds and sizes met.
func TestAsKnown(t *testing.T) {
	spec, err := BuiltIn().Forms["side"].Grow("known", "l", 3).Graded(Rand(3, OfFlaws), ByHabit(Habits(), GradedSizes()), 85, hide.MarkedOff)
	if err != nil {
		t.Fatal(err)
	}
	h, err := hide.New(spec)
	if err != nil {
		t.Fatal(err)
	}
	if clean := As(h, "new", 1.1, 0.9); len(clean.Spec.Flaws) > 0 {
		t.Errorf("it has %d flaws before it is given one", len(clean.Spec.Flaws))
	}
	again, err := hide.New(As(h, "new", 1.1, 0.9).Flawed(Rand(4, OfFlaws), Like(MetOn(h), false), 200))
	if err != nil {
		t.Fatal(err)
	}
	if ratio := again.Area() / h.Area(); math.Abs(ratio-0.99) > 1e-9 || len(again.Zones()) != len(h.Zones()) {
		t.Errorf("%g of its area, %d zones", ratio, len(again.Zones()))
	}
	// Where flaws lay in the tail half of the known hide, they lie there again.
	tail := h.Spec()
	tail.Flaws = nil
	for range 30 {
		tail.Flaws = append(tail.Flaws, hide.Flaw{Kind: "hole", Spot: &hide.Spot{At: orb.Point{600, 300}, Diameter: 4}})
	}
	short, err := hide.New(tail)
	if err != nil {
		t.Fatal(err)
	}
	mean := 0.0
	for _, f := range As(h, "new", 2, 1).Flawed(Rand(5, OfFlaws), Like(MetOn(short), true), 200).Flaws {
		mean += f.Spot.At[0] / 200
	}
	if math.Abs(mean-1200) > 150 {
		t.Errorf("flaws 600 mm along a hide are met %.0f mm along one twice as long, expected about 1200", mean)
	}
	// What reached in from the edge of a whole hide does so again, on another of another breadth.
	whole := known(t, 2)
	edged := whole[0].Spec()
	mid := (edged.Backbone[0][0] + whole[0].Outline().Bound().Max[0]) / 2
	_, top, _ := chord(edged.Outline, 0, mid)
	edged.Flaws = []hide.Flaw{{Kind: "hole", Spot: &hide.Spot{At: orb.Point{mid, top - 60}, Diameter: 100}}}
	if short, err = hide.New(edged); err != nil {
		t.Fatal(err)
	}
	far := 0
	g := As(whole[1], "new", 1, 1.2)
	for _, f := range g.Flawed(Rand(6, OfFlaws), Like(MetOn(short), true), 200).Flaws {
		if _, hi, ok := chord(g.Spec.Outline, 0, f.Spot.At[0]); ok && hi-f.Spot.At[1] > 150 {
			far++
		}
	}
	if far > 10 {
		t.Errorf("%d of 200 flaws met 60 mm from the edge lie more than 150 mm from it", far)
	}
	met := map[string]bool{}
	for _, f := range h.Flaws() {
		met[fmt.Sprintf("%s %.6f", f.Kind, f.Marked(1))] = true
	}
	for _, f := range again.Flaws() {
		if !met[fmt.Sprintf("%s %.6f", f.Kind, f.Marked(1))] {
			t.Errorf("a %s that was not met", f.Kind)
		}
	}
}
