package hide_test

import (
	"math"
	"testing"

	"strapwise/hide"
	"strapwise/hide/measure"
)

func TestRefusesThickness(t *testing.T) {
	u := hide.Use{Substance: &hide.Substance{From: 3, To: 4.5}}
	for mm, want := range map[float64]bool{2.99: true, 3: false, 4: false, 4.5: false, 4.51: true} {
		if got := u.RefusesThickness(mm); got != want {
			t.Errorf("%g mm: found %v", mm, got)
		}
	}
	if (hide.Use{}).RefusesThickness(99) {
		t.Error("refused by a use that asks for none")
	}
}

func TestOff(t *testing.T) {
	for _, c := range []struct{ a, b, want float64 }{{0, 0, 0}, {10, -5, 15}, {-80, 80, 20}, {170, 0, 10}, {0, 90, 90}, {360, 0, 0}, {-100, 260, 0}} {
		a, b := measure.Angle(c.a)*measure.Degree, measure.Angle(c.b)*measure.Degree
		if got := hide.Off(a, b).Degrees(); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("from %g to %g: found %g, expected %g", c.a, c.b, got, c.want)
		}
	}
}
