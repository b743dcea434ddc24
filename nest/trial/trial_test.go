package trial

import (
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"strapwise/hide"
	"strapwise/hide/measure"
	"strapwise/nest"
)

// TestHidesAreOfTheirForm: whatever the seed, a hide has the measures that its
// form has on a bench, 300 corners, and the flaws asked for.
func TestHidesAreOfTheirForm(t *testing.T) {
	tests := []struct {
		form          string
		grow          func(uint64, int) *hide.Hide
		length, depth [2]float64 // mm
		area          [2]float64 // sq ft
		filled        [2]float64 // of its rectangle
	}{
		{"bend", Bend, [2]float64{1270, 1390}, [2]float64{610, 710}, [2]float64{8, 10.5}, [2]float64{0.9, 1}},
		// 22 to 26 sq ft (common practice); those here are small, with deeper hollows
		{"side", Side, [2]float64{2200, 2440}, [2]float64{820, 990}, [2]float64{15, 20}, [2]float64{0.7, 0.9}},
	}
	for _, tt := range tests {
		for seed := range uint64(60) {
			flaws := int(seed)
			h := tt.grow(seed, flaws)
			box := h.Outline().Bound()
			size := orb.Point{box.Max[0] - box.Min[0], box.Max[1] - box.Min[1]}
			where := fmt.Sprintf("%s of seed %d", tt.form, seed)
			within(t, where+": length", size[0], tt.length)
			within(t, where+": depth", size[1], tt.depth)
			within(t, where+": area in sq ft", measure.SquareFeet(h.Area()), tt.area)
			within(t, where+": filled", h.Area()/(size[0]*size[1]), tt.filled)
			if h.Form() != tt.form || h.Outline().Len() != 300 || len(h.Flaws()) != flaws {
				t.Errorf("%s: a %s of %d corners and %d flaws, want 300 and %d", where, h.Form(), h.Outline().Len(), len(h.Flaws()), flaws)
			}
		}
	}
}

func within(t *testing.T, what string, got float64, limits [2]float64) {
	t.Helper()
	if !(got >= limits[0] && got <= limits[1]) {
		t.Errorf("%s: %.4g, want %v", what, got, limits)
	}
}

// TestFlawsAreOfAllKinds: sixty flaws hold nearly every kind and all three
// shapes, and more flaws are the same ones and others.
func TestFlawsAreOfAllKinds(t *testing.T) {
	var kinds []string
	for seed := range uint64(5) {
		many, few := Side(seed, 60).Flaws(), Side(seed, 25).Flaws()
		if !reflect.DeepEqual(many[:25], few) {
			t.Errorf("seed %d: the first 25 of 60 flaws are not those of a side with 25", seed)
		}
		spots, strokes, patches := 0, 0, 0
		for _, f := range many {
			kinds = append(kinds, f.Kind)
			switch {
			case f.Spot != nil:
				spots++
			case f.Stroke != nil:
				strokes++
			default:
				patches++
			}
		}
		if spots < 8 || strokes < 20 || patches < 1 {
			t.Errorf("seed %d: %d spots, %d strokes, %d patches", seed, spots, strokes, patches)
		}
	}
	slices.Sort(kinds)
	if got := slices.Compact(kinds); !slices.Equal(got, hide.FlawKinds()) {
		t.Errorf("kinds %v, want %v", got, hide.FlawKinds())
	}
}

// TestJobsAskForMoreThanThereIs: or, for a rack, for less than half of it; and
// the same seed makes the same job.
func TestJobsAskForMoreThanThereIs(t *testing.T) {
	for _, tt := range Instances() {
		limits := [2]float64{1.5, 3}
		switch {
		case strings.HasPrefix(tt.Name, "sets"):
			limits = [2]float64{1, 1.1}
		case strings.HasPrefix(tt.Name, "stock"):
			limits = [2]float64{0.1, 0.5}
		case strings.HasSuffix(tt.Name, "scant"):
			limits = [2]float64{1, 1.2}
		}
		for seed := range uint64(2) {
			j := tt.Job(seed)
			leather, asked := 0.0, 0.0
			for _, h := range j.Hides {
				leather += h.Area()
				if strings.HasPrefix(tt.Name, "stock") {
					within(t, h.Name()+": money a square foot", h.Cost().InexactFloat64()/measure.SquareFeet(h.Area()), [2]float64{6.99, 9.41})
				}
				if len(h.Flaws()) != tt.Flaws {
					t.Errorf("%s: %s has %d flaws, want %d", tt.Name, h.Name(), len(h.Flaws()), tt.Flaws)
				}
			}
			for _, o := range j.Orders {
				asked += float64(o.Qty) * area(o)
			}
			within(t, fmt.Sprintf("%s of seed %d: leather asked for, as a share of what there is", tt.Name, seed), asked/leather, limits)
			if !reflect.DeepEqual(j, tt.Job(seed)) {
				t.Errorf("%s of seed %d: made twice, it differs", tt.Name, seed)
			}
		}
	}
}

// TestPriceList: the articles have as many sizes of piece as the package says.
func TestPriceList(t *testing.T) {
	sizes := map[nest.Part]bool{}
	for _, a := range articles {
		for _, p := range a.set("A1", 1).Parts {
			p.Name = ""
			sizes[p] = true
		}
	}
	if len(sizes) != 29 {
		t.Errorf("%d sizes of piece, want 29", len(sizes))
	}
}
