package hide

import (
	"math"
	"testing"

	"github.com/paulmach/orb"

	"strapwise/hide/plane"
)

// The bands as SATRA's bulletin articles on leather grading print them: A over
// 95, B over 90, F from 70 to 75; and each band's mean lies in it.
func TestBands(t *testing.T) {
	for value, want := range map[float64]string{100: "A", 97: "A", 95: "A", 94: "B", 93: "B", 90: "B", 88: "C", 83: "D", 78: "E", 75: "F", 73: "F", 70: "F", 69.9: "", 0: ""} {
		if b, _ := BandOf(value); b.Grade != want {
			t.Errorf("a cutting value of %g is grade %q, expected %q", value, b.Grade, want)
		}
	}
	for _, b := range Bands() {
		if of, _ := BandOf(b.Mean); of != b {
			t.Errorf("the mean of %s lies in %s", b.Grade, of.Grade)
		}
	}
}

// What is marked off by formulas: a disc, a rectangle with rounded ends, a square
// with rounded corners.
func TestMarkedOff(t *testing.T) {
	square := plane.Box(orb.Point{0, 0}, orb.Point{40, 40})
	for what, c := range map[string]struct {
		flaw Flaw
		want float64
	}{
		"spot":   {Flaw{Spot: &Spot{Diameter: 10}}, math.Pi * 15 * 15},
		"stroke": {Flaw{Stroke: &Stroke{Line: []orb.Point{{0, 0}, {30, 40}, {130, 40}}, Width: 4}}, 150*24 + math.Pi*12*12},
		"patch":  {Flaw{Patch: &square}, 40*40 + 4*40*10 + math.Pi*10*10},
	} {
		if got := c.flaw.Marked(10); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%s: %.3f mm², expected %.3f", what, got, c.want)
		}
	}
}

// What is marked off round flaws is lost, at the most all of the hide.
func TestCuttingValue(t *testing.T) {
	h, err := New(Spec{
		Name: "ash-3", Leather: "bridle-tan", Form: "bend", Outline: []orb.Point{{0, 0}, {1000, 0}, {1000, 500}, {0, 500}},
		Flaws: []Flaw{{Kind: "hole", Spot: &Spot{At: orb.Point{410, 220}, Diameter: 18}}},
	})
	if err != nil {
		t.Fatal(err)
	}
	const round = 11 // a circle of 40 mm
	if got, want := h.CuttingValue(round), 100*(1-math.Pi*400/500e3); math.Abs(got-want) > 1e-9 {
		t.Errorf("found %g, expected %g", got, want)
	}
	if got := h.CuttingValue(5000); got != 0 {
		t.Errorf("found %g of a hide that is lost", got)
	}
}
