// Package trial makes the hides, order books and racks on which planners are
// measured: invented ones, the same for the same seed on every machine.
//
// Bend and Side grow one hide with as many flaws as asked for. Worth, Sets,
// Strips and Stock make a whole job of it, one for each question that a planner
// answers. Instances lists the jobs by name, as tables of results show them.
//
// What the hides look like follows common practice, no source, unless said
// otherwise. Lengths are millimetres; lengths of the trade are in inches, and
// the rule has marks of 1/32 in except where said.
package trial

import (
	"strapwise/hide"
	"strapwise/hide/chance"
	"strapwise/hide/measure"
	"strapwise/nest"
)

const in = measure.MMPerInch

// strapLeather is the leather of every hide and order.
const strapLeather = "bridle-tan"

// Streams of chance beside those that hides are drawn from.
const (
	ofOrders = chance.Others + iota
	ofRack
	ofFind
)

// must is for what this package builds itself: a spec that hide.New refuses is
// a mistake in here, whatever the seed.
func must[T any](v T, err error) T {
	if err != nil {
		panic("trial: " + err.Error())
	}
	return v
}

// Instance is a job to measure a planner by.
type Instance struct {
	Name  string
	Flaws int // of each hide
	Job   func(seed uint64) nest.Job
}

// Instances are the jobs by which planners are compared, easiest to name
// first: the most worth from one hide, rectangular bends, the most sets from
// one hide, orders that all fit from a rack.
func Instances() []Instance {
	var all []Instance
	add := func(name string, flaws int, job func(seed uint64) nest.Job) {
		all = append(all, Instance{name, flaws, job})
	}
	one := func(name string, grow func(uint64, int) *hide.Hide, flaws int, job func(*hide.Hide, uint64) nest.Job) {
		add(name, flaws, func(seed uint64) nest.Job { return job(grow(seed, flaws), seed) })
	}
	one("worth-bend-0", Bend, 0, Worth)
	one("worth-bend-10", Bend, 10, Worth)
	one("worth-bend-25", Bend, 25, Worth)
	one("worth-bend-60", Bend, 60, Worth)
	one("worth-side-0", Side, 0, Worth)
	one("worth-side-10", Side, 10, Worth)
	one("worth-side-25", Side, 25, Worth)
	one("worth-side-60", Side, 60, Worth)
	add("strips-10", 10, func(seed uint64) nest.Job { return Strips(seed, 10, Ample) })
	add("strips-25", 25, func(seed uint64) nest.Job { return Strips(seed, 25, Ample) })
	add("strips-25-scant", 25, func(seed uint64) nest.Job { return Strips(seed, 25, Scant) })
	one("sets-bend", Bend, 10, Sets)
	one("sets-side", Side, 10, Sets)
	add("stock-5", stockFlaws, func(seed uint64) nest.Job { return Stock(seed, 5) })
	add("stock-20", stockFlaws, func(seed uint64) nest.Job { return Stock(seed, 20) })
	add("stock-40", stockFlaws, func(seed uint64) nest.Job { return Stock(seed, 40) })
	add("stock-100", stockFlaws, func(seed uint64) nest.Job { return Stock(seed, 100) })
	return all
}
