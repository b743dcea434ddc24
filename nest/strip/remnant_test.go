package strip

import (
	"fmt"
	"testing"

	"github.com/paulmach/orb"
	"github.com/shopspring/decimal"

	"strapwise/hide"
	"strapwise/nest"
)

// TestRemnantsFirst: where a lay on remnants is worth as much as one on new hides,
// the remnants are cut, whatever they are called and whether hides have a cost or
// not.
func TestRemnantsFirst(t *testing.T) {
	piece := func(name, form string, length, depth, cost float64) *hide.Hide {
		return newHide(t, hide.Spec{
			Name: name, Leather: "strap", Form: form, Cost: decimal.NewFromFloat(cost),
			Outline: []orb.Point{{0, 0}, {length, 0}, {length, depth}, {0, depth}},
		})
	}
	for _, c := range []struct {
		rule    string
		orders  []nest.Order
		rests   [][2]float64
		freshly int // new hides that are needed
	}{
		{rule: "one remnant serves", orders: []nest.Order{pieces("A", 2, 500, 25, 1)}, rests: [][2]float64{{700, 120}}},
		{rule: "larger than a new hide", orders: []nest.Order{pieces("A", 2, 500, 25, 1)}, rests: [][2]float64{{1400, 700}}},
		{rule: "of two, one serves", orders: []nest.Order{pieces("A", 3, 500, 25, 1)}, rests: [][2]float64{{700, 140}, {700, 150}}},
		{rule: "two serve together", orders: []nest.Order{pieces("A", 4, 500, 25, 1), pieces("B", 3, 300, 40, 1)}, rests: [][2]float64{{600, 101}, {400, 150}}},
		{rule: "not all sets can be made", orders: []nest.Order{pieces("A", 2, 500, 25, 1), pieces("B", 1, 3000, 25, 1)}, rests: [][2]float64{{700, 120}}},
		{rule: "a remnant is too little", orders: []nest.Order{pieces("A", 9, 500, 25, 1)}, rests: [][2]float64{{700, 120}}, freshly: 1},
	} {
		for _, cost := range []float64{0, 100} {
			for _, names := range [][]string{{"b", "c", "a", "d"}, {"a", "b", "c", "d"}, {"c", "d", "a", "b"}} { // remnants, then new hides
				t.Run(fmt.Sprintf("%s, cost %v, names %v", c.rule, cost, names), func(t *testing.T) {
					job := nest.Job{Uses: uses(), Tools: nest.Tools{Mark: 1, CutterMin: 6, CutterMax: 100}, Orders: c.orders}
					for i, name := range []string{"a", "b", "c", "d"} { // a job's hides are sorted
						at := 0
						for names[at] != name {
							at++
						}
						switch {
						case at < len(c.rests):
							l, d := c.rests[at][0], c.rests[at][1]
							job.Hides = append(job.Hides, piece(name, hide.Remnant, l, d, cost*l*d/1_000_000))
						case at >= 2:
							job.Hides = append(job.Hides, piece(name, "bend", 1300, 600+float64(i), cost))
						}
					}
					plan, fresh := laid(t, job, Options{Seed: 1, Steps: 100}), 0
					for _, l := range plan.Hides {
						if job.Hide(l.Hide).Form() != hide.Remnant {
							fresh++
						}
					}
					if fresh != c.freshly {
						t.Errorf("%d new hides are cut, expected %d", fresh, c.freshly)
					}
				})
			}
		}
	}
}
