package chance

import (
	"fmt"
	"math"
	"testing"

	"strapwise/hide"
	"strapwise/hide/plane"
)

// known are so many whole hides without flaws.
func known(t *testing.T, n int) []*hide.Hide {
	t.Helper()
	var out []*hide.Hide
	for i := range n {
		g := BuiltIn().Forms["hide"].Grow(fmt.Sprint("ash-", i), "l", uint64(i))
		h, err := hide.New(g.Spec)
		if err != nil {
			t.Fatal(err)
		}
		bent, err := hide.New(Bent(h, BuiltIn().Forms["hide"].Growth.Shape(Rand(uint64(i), Others))).Spec)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, bent)
	}
	return out
}

// A hide bent by a shape has it; by none, it stays as it is.
func TestBentIsOfTheShape(t *testing.T) {
	h := known(t, 1)[0]
	if same, err := hide.New(Bent(h, Shape{}).Spec); err != nil || math.Abs(same.Area()-h.Area()) > 1e-3 {
		t.Errorf("bent by nothing, it has %g of its area; %v", same.Area()/h.Area(), err)
	}
	by := Shape{Depth: [2][parts]float64{{0, 0.1, 0, -0.1, 0}, {0, 0, 0.1, 0, -0.1}}}
	bent, err := hide.New(Bent(h, by).Spec)
	if err != nil {
		t.Fatal(err)
	}
	was, is := ShapeOf(h), ShapeOf(bent)
	for side := range by.Depth {
		for k, want := range by.Depth[side] {
			if got := is.Depth[side][k] - was.Depth[side][k]; math.Abs(got-want) > 0.05 { // it changes evenly from part to part
				t.Errorf("side %d, part %d: deeper by %.2f, expected %.2f", side, k, got, want)
			}
		}
	}
	slanted, err := hide.New(Bent(h, Shape{Slant: [2]float64{0.1, -0.1}}).Spec)
	if err != nil {
		t.Fatal(err)
	}
	is = ShapeOf(slanted)
	for end, want := range [2]float64{0.1, -0.1} {
		if got := is.Slant[end] - was.Slant[end]; math.Abs(got-want) > 0.04 {
			t.Errorf("end %d: slants by %.3f more, expected %.3f", end, got, want)
		}
	}
}

// The next hide is, with one of the known, as far from their mean as a Student number of
// so few says (Beyond): in variance (1 + 1/n)(n-1)/(n-3) times theirs.
func TestNextHidesDifferAsFewTell(t *testing.T) {
	for _, n := range []int{5, 20} {
		hides := known(t, n)
		s := SpreadOf(hides, true)
		theirs, drawn := 0.0, 0.0
		for _, o := range s.off {
			o.each(func(v *float64) { theirs += *v * *v / float64(len(s.off)) * float64(n) / float64(n-1) })
		}
		r := Rand(uint64(n), Others)
		const draws = 4000
		for range draws {
			o := s.off[r.IntN(len(s.off))].plus(s.Beyond(r), 1)
			o.each(func(v *float64) { drawn += *v * *v / draws })
		}
		m := float64(n)
		if want := (1 + 1/m) * (m - 1) / (m - 3); math.Abs(drawn/theirs/want-1) > 0.1 {
			t.Errorf("of %d hides: %.2f times their variance, expected %.2f", n, drawn/theirs, want)
		}
	}
}

// Whatever the seed, a hide that grew apart from its form has an outline, loses as much as
// it should and hardly less, has as many flaws anywhere as its form, and its poor places
// lie at its edges.
func TestWornHides(t *testing.T) {
	const value = 88.0
	for _, form := range []string{"hide", "side"} {
		f := BuiltIn().Forms[form]
		f.Growth.AtEdge = 1
		mean, far, all := 0.0, 0, 0
		const hides = 60
		for seed := range uint64(hides) {
			r := Rand(seed, OfFlaws)
			clean, err := hide.New(f.Grow("x", "l", seed).Spec)
			if err != nil {
				t.Fatal(err)
			}
			spec, err := Bent(clean, f.Growth.Shape(r)).Worn(r, ByHabit(Habits(), StrewnSizes()), f.Growth, value, hide.MarkedOff)
			if err != nil {
				t.Fatal(err)
			}
			h, err := hide.New(spec)
			if err != nil {
				t.Fatalf("%s of seed %d: %v", form, seed, err)
			}
			got := h.CuttingValue(hide.MarkedOff)
			if mean += got / hides; got < value-1e-6 {
				t.Errorf("%s of seed %d: a cutting value of %.2f, expected %g", form, seed, got, value)
			}
			places := 0
			for _, fl := range h.Flaws() {
				if fl.Kind != "loose" || fl.Patch.Area() < 30e3 {
					continue
				}
				places++
				from := math.Inf(1)
				for _, p := range fl.Patch.Corners() {
					if lo, hi, ok := chord(h.Outline().Corners(), 0, p[0]); ok {
						from = min(from, hi-p[1], p[1]-lo)
					}
				}
				if all++; from > 150 {
					far++
				}
			}
			if n := len(h.Flaws()); places < 1 || n > f.Growth.Strewn[1]+4 {
				t.Errorf("%s of seed %d: %d flaws, %d poor places", form, seed, n, places)
			}
		}
		if far > all/8 { // in the depth of a bay, or at the neck
			t.Errorf("%ss: %d of %d poor places begin more than 150 mm from the edges", form, far, all)
		}
		if mean > value+0.3 {
			t.Errorf("%ss of cutting value %g have %.2f", form, value, mean)
		}
	}
}

// Hides are as ragged as their form says, and never so that the edge crosses itself.
func TestRaggedEdges(t *testing.T) {
	f := BuiltIn().Forms["side"]
	f.Growth.Ragged = [2]float64{60, 90}
	even, most := 0, 0.0
	for seed := range uint64(200) {
		g := f.Grow("x", "l", seed)
		if _, err := plane.NewRing(g.Spec.Outline); err != nil {
			t.Errorf("seed %d: %v", seed, err)
		}
		v := f.Growth.ragged(Rand(seed, OfOutline))
		if most = max(most, v); v >= 60 && v <= 90 {
			even++
		}
	}
	if even < 170 || even > 190 || most > 3*90 { // nine in ten, and two deviations of 200
		t.Errorf("%d of 200 are between the two, expected 180; the most ragged %.0f mm", even, most)
	}
}
