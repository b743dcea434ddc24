package strip

import (
	"runtime"
	"sync"
	"sync/atomic"
)

// share has as many goroutines as there are processors do n pieces of work,
// each with a tool of its own. What the work writes must not depend on who does
// it, nor on when.
func share[T any](tools []T, n int, do func(tool *T, i int)) {
	if n == 1 || len(tools) == 1 {
		for i := range n {
			do(&tools[0], i)
		}
		return
	}
	var next atomic.Int64
	var all sync.WaitGroup
	for w := range min(n, len(tools)) {
		all.Go(func() {
			for i := int(next.Add(1)) - 1; i < n; i = int(next.Add(1)) - 1 {
				do(&tools[w], i)
			}
		})
	}
	all.Wait()
}

// each is share for work without tools.
func each(n int, do func(i int)) {
	share(make([]struct{}, runtime.GOMAXPROCS(0)), n, func(_ *struct{}, i int) { do(i) })
}
