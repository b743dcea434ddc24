package report

import (
	"fmt"
	"strings"
	"testing"

	"strapwise/nest"
)

// Told shorter, a proof claims no more and keeps its figures.
func TestShortProof(t *testing.T) {
	tilts := []nest.Tilts{{Hide: "ash-3", Deg: []float64{1, 2, 3}}}
	for _, c := range []struct {
		result nest.Result
		keeps  []float64
		proven bool
	}{
		{nest.Result{Value: 90, Bound: 90, Proven: true, Tilts: tilts}, []float64{90}, true},
		{nest.Result{Value: 90, Bound: 95, Tilts: tilts}, []float64{90, 95}, false},
		{nest.Result{Value: 90, Bound: 90, Proven: true, Cost: 40, CostBound: 40}, []float64{40}, true},
		{nest.Result{Value: 90, Bound: 90, Proven: true, Cost: 40, CostBound: 35}, []float64{40, 35}, false},
		{nest.Result{Value: 90}, []float64{90}, false},
	} {
		long, short := Proof(c.result), shortProof(c.result)
		if len(short) > len(long) {
			t.Errorf("%q is longer than %q", short, long)
		}
		for _, v := range c.keeps {
			if figure := fmt.Sprintf("%.2f", v); !strings.Contains(short, figure) {
				t.Errorf("%q does not tell %s", short, figure)
			}
		}
		if got := strings.Contains(short, "proven the"); got != c.proven {
			t.Errorf("%q: tells that it is proven: %v, expected %v", short, got, c.proven)
		}
	}
}
