package strip

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"

	"strapwise/hide"
	"strapwise/hide/plane"
	"strapwise/nest"
)

// TestBandsAlike: from every near edge of a sheet with few holes bands are worth what they are
// where each edge is looked at by itself, and made of as much, also where they reach less far.
func TestBandsAlike(t *testing.T) {
	spared, short := 0, 0
	for seed := range uint64(30) {
		r := rand.New(rand.NewPCG(seed, 8))
		s := hide.Spec{Name: "h", Leather: "strap", Form: "bend", Outline: plane.Box(orb.Point{}, orb.Point{300, 300}).Corners()}
		for range r.IntN(3) {
			at := orb.Point{float64(10 * max(0, r.IntN(40)-12)), float64(10 * r.IntN(29))} // often where strips begin
			hole := plane.Box(at, orb.Point{at[0] + 20, at[1] + 10})
			s.Flaws = append(s.Flaws, hide.Flaw{Kind: "hole", Patch: &hole})
		}
		job := nest.Job{Hides: []*hide.Hide{newHide(t, s)}, Uses: uses(), Tools: nest.Tools{Mark: 10, CutterMin: 10, CutterMax: 200}}
		job.Tools.Deepest, job.Tools.Part, job.Tools.Grips = float64(40+10*r.IntN(8)), 10, float64(10*r.IntN(3))
		for i := range 5 {
			job.Orders = append(job.Orders, pieces(string(rune('A'+i)), 3, float64(40+10*r.IntN(20)), float64(20+10*r.IntN(4)), 5))
		}
		p := problemOf(t, job)
		g := p.grounds[0]
		price, reach := make([]float64, len(p.kinds)), make([]int32, g.y1-g.y0+1)
		for k := range price {
			price[k] = p.kinds[k].area * (0.9 + 0.2*r.Float64())
		}
		for y := range reach {
			reach[y] = int32(min(g.y1-g.y0, y+r.IntN(12)))
		}
		for _, to := range [][]int32{nil, reach} {
			shared, apart := newBound(p, newShapes(), p.whole()), newBound(p, newShapes(), p.whole())
			b, each := shared.hides[0].ways[0].bands, apart.hides[0].ways[0].bands
			for i := range each.value {
				each.as, each.unlike, each.like = append(each.as, i), append(each.unlike, i), append(each.like, i)
			}
			shared.hides[0].ways[0].within(to)
			apart.hides[0].ways[0].within(to)
			shared.ask(slices.Clone(price), allBands)
			apart.ask(slices.Clone(price), allBands)
			spared += len(each.unlike) - len(b.unlike)
			for _, i := range b.unlike { // edge by edge, where what is stacked is told anew only where strips change
				new(finder).find(b, []int{i})
			}
			b.spread()
			for i := range each.value {
				if !slices.Equal(b.value[i], each.value[i]) {
					t.Errorf("seed %d, edge %d: worth %v, by itself %v", seed, i, b.value[i], each.value[i])
				}
				for j, v := range each.value[i] {
					if v == 0 {
						short++
						continue
					}
					if got := b.s.shape(new(b.shape(b.edge(i), j))); got != v {
						t.Errorf("seed %d, edge %d, depth %d: the band is worth %d, found was %d", seed, i, j, got, v)
					}
				}
			}
		}
	}
	if spared < 100 || short < 100 {
		t.Errorf("only %d edges were like others, and %d bands are of no worth", spared, short)
	}
}
