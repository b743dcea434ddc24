package main

import (
	"context"
	"math"
	"runtime/debug"
	"runtime/metrics"
	"sync/atomic"
	"time"

	"strapwise/nest"
	"strapwise/nest/strip"
)

// measured is one lay.
type measured struct {
	asked  int // pieces in the order book
	laid   int // pieces in the plan
	hides  int // hides that the plan cuts into
	cost   float64
	first  time.Duration // until there was a plan worth anything
	took   time.Duration
	memory uint64 // greatest, in bytes
	result nest.Result
	plain  float64  // worth of plain strips in the same time; 0 if not asked for
	faults []string // rules that the plan breaks
}

// gap is how far the plan may be from the best: of its worth, in per cent of the
// bound; or, where every set is made, of the cost of its hides, in per cent of it.
func (m measured) gap() float64 {
	switch {
	case m.result.CostBound > 0 && m.result.Proven:
		return 100 * (m.cost - m.result.CostBound) / m.cost
	case m.result.Bound == 0:
		return 0
	}
	return 100 * (m.result.Bound - m.result.Value) / m.result.Bound
}

// proven reports whether there is no better plan, nor one from cheaper hides.
func (m measured) proven() bool { return m.result.Proven && m.gap() < 1e-6 }

// gain is what bands of several strips add to plain ones, in per cent.
func (m measured) gain() float64 {
	if m.plain == 0 {
		return 0
	}
	return 100 * (m.result.Value - m.plain) / m.plain
}

// measureBoth is measure, and what the job gives with plain strips only.
func measureBoth(job nest.Job, seed uint64, limit time.Duration) (measured, error) {
	m, err := measure(job, seed, limit)
	if err != nil {
		return measured{}, err
	}
	job.Tools.Deepest = 0
	plain, err := measure(job, seed, limit)
	m.plain = plain.result.Value
	m.faults = append(m.faults, plain.faults...)
	return m, err
}

// measure lays the job once, stopped after the limit, and checks the plan.
func measure(job nest.Job, seed uint64, limit time.Duration) (measured, error) {
	m := measured{first: -1}
	for _, o := range job.Orders {
		for _, p := range o.Parts {
			m.asked += o.Qty * p.Count
		}
	}
	peak := watchMemory()
	ctx, cancel := context.WithTimeout(context.Background(), limit)
	defer cancel()
	start := time.Now()
	plan, err := strip.Lay(ctx, job, strip.Options{
		Seed:  seed,
		Steps: math.MaxInt, // the limit ends it
		Progress: func(value, _ float64) {
			if m.first < 0 && value > 0 {
				m.first = time.Since(start)
			}
		},
	})
	m.took = time.Since(start)
	m.memory = peak()
	if err != nil {
		return measured{}, err
	}
	if m.first < 0 {
		m.first = m.took
	}
	m.laid, m.hides, m.result = len(plan.Pieces), len(plan.Hides), plan.Result
	for _, h := range plan.Hides {
		m.cost += job.Hide(h.Hide).Cost().InexactFloat64()
	}
	for _, v := range nest.Check(job, plan) {
		m.faults = append(m.faults, v.String())
	}
	return m, nil
}

// watchMemory looks at how much memory the program holds, every few
// milliseconds until the function it returns is called, which gives the most.
// What earlier lays left behind is given back before.
func watchMemory() (peak func() uint64) {
	debug.FreeOSMemory()
	var most atomic.Uint64
	look := func() {
		s := []metrics.Sample{{Name: "/memory/classes/total:bytes"}, {Name: "/memory/classes/heap/released:bytes"}}
		metrics.Read(s)
		if held := s[0].Value.Uint64() - s[1].Value.Uint64(); held > most.Load() {
			most.Store(held)
		}
	}
	stop, stopped := make(chan struct{}), make(chan struct{})
	go func() {
		defer close(stopped)
		const every = 20 * time.Millisecond
		tick := time.NewTicker(every)
		defer tick.Stop()
		for {
			look()
			select {
			case <-stop:
				return
			case <-tick.C:
			}
		}
	}()
	return func() uint64 {
		close(stop)
		<-stopped
		look()
		return most.Load()
	}
}
