// Package forecast tells what leather would yield before it is bought. Hides of a
// form, size and grade are drawn at random (hide/chance), each is laid by the quick
// planner, and what they give is a distribution. The same seed gives the same.
//
//	world.go         what hides are taken to look like: the models, or what lies on the rack
//	sets.go          the sets of one article that hides of a kind give
//	distribution.go  counts and their quantiles
//	buy.go           what to buy to be so sure of an order book at least cost
//	needs.go         what an order book asks of one leather, and what hides give towards it
package forecast

import (
	"context"
	"runtime"
	"sync"
	"sync/atomic"
)

// Kind is leather as it may be bought. Lengths are millimetres, areas mm².
type Kind struct {
	Leather string
	Form    string
	Grade   string  // of hide.Bands, or one that is known; empty: as known hides of the form
	Length  float64 // along the backbone and all across it; 0: as the form usually is
	Depth   float64
	Area    float64 // 0: as it comes
	Nominal float64 // how thick the leather is said to be; 0: not told

	Supplier string // whose own hides are gone by, if enough are known
}

// each calls do for 0 to n-1, on as many processors as there are; the order in which
// they are called changes no result. It stops early when the context ends, or with
// the first error.
func each(ctx context.Context, n int, do func(i int) error) error {
	var next atomic.Int64
	var first error
	var once sync.Once
	var all sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		all.Go(func() {
			for i := int(next.Add(1)) - 1; i < n && ctx.Err() == nil; i = int(next.Add(1)) - 1 {
				if err := do(i); err != nil {
					once.Do(func() { first = err })
					next.Add(int64(n))
				}
			}
		})
	}
	all.Wait()
	return first
}
