package strip

import (
	"cmp"
	"slices"
)

// tryNeighbours looks for plans near to the best one known: that make a set more or fewer, or another set
// instead of one, and from there on to sets that leave more leather by the tightest rule, as long as they are worth more
// than the best, too. Those that leave the most come first. All of it takes no longer than so many askings.
func (w *whole) tryNeighbours(asked int, target float64, stop func() bool) {
	const (
		most = 4       // sets looked for, of each plan
		find = 12      // times of asking, that take as long as looking for a plan
		work = 100_000 // labels of a packing, where some is cut already: it mostly tells there
	)
	if w.plans == nil || w.markets == nil || w.timeForNeighbours+most*find > float64(asked) || w.b.meets(target) {
		return
	}
	made := w.plans.bestSets()
	if slices.Equal(made, w.nearTo) {
		return
	}
	w.nearTo = slices.Clone(made)
	type other struct {
		sets []int
		left float64
	}
	var all []other
	w.others(slices.Clone(made), target, func(sets []int, left float64) {
		all = append(all, other{slices.Clone(sets), left})
	})
	slices.SortStableFunc(all, func(a, b other) int { return cmp.Compare(b.left, a.left) })
	var sought [][]int
	for _, o := range all {
		if len(sought) == most || w.found > target+proof(target) || stop() {
			return
		}
		sets := w.ampler(o.sets, o.left, target)
		if slices.ContainsFunc(sought, func(s []int) bool { return slices.Equal(s, sets) }) {
			continue
		}
		sought = append(sought, sets)
		if w.b.p.begun == nil {
			w.found = max(w.found, w.plans.find(sets, stop))
			w.timeForNeighbours += find
			continue
		}
		before := w.time
		w.settle(sets, w.b.p.making(sets).demand, work, stop)
		w.timeForNeighbours, w.time = w.timeForNeighbours+w.time-before, before
	}
}

// others tells of the sets that are one more, one fewer or one instead of another, are worth more than the target
// and may be made as far as rules and packings tell, and of the least share of leather that a rule leaves.
func (w *whole) others(sets []int, target float64, found func(sets []int, left float64)) {
	rows := w.b.p.rows
	try := func() {
		if worth := w.worth(sets); worth <= target+proof(target) || worth > w.b.worth()+proof(target) || w.denies(sets) {
			return
		}
		if left := w.rules.left(sets); left >= 0 {
			found(sets, left)
		}
	}
	for i := range rows {
		if sets[i] > 0 {
			sets[i]--
			try()
			sets[i]++
		}
		if sets[i] == rows[i].qty {
			continue
		}
		sets[i]++
		try()
		for j := range rows {
			if j != i && sets[j] > 0 {
				sets[j]--
				try()
				sets[j]++
			}
		}
		sets[i]--
	}
}

// ampler goes on from sets to others of which more is left, as long as there are.
func (w *whole) ampler(sets []int, left, target float64) []int {
	for {
		best := sets
		w.others(slices.Clone(sets), target, func(s []int, l float64) {
			if l > left {
				best, left = slices.Clone(s), l
			}
		})
		if slices.Equal(best, sets) {
			return sets
		}
		sets = best
	}
}
