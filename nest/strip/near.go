package strip

import (
	"cmp"
	"slices"
)

// near looks for plans that make a set more than the best one known, or another set instead of one, as far as
// rules allow: those first for which most is left. All of it takes no longer than asking for all bands so often.
func (w *whole) near(asked int, target float64, stop func() bool) {
	const (
		most = 4  // sets looked for, of each plan
		find = 12 // times of asking, that take as long as looking for a plan
	)
	if w.plans == nil || w.markets == nil || w.nears+most*find > asked || w.b.meets(target) {
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
	rows := w.b.p.rows
	try := func(sets []int) {
		if worth := w.worth(sets); worth <= target+proof(target) || worth > w.b.worth()+proof(target) || w.denies(sets) {
			return
		} else if left := w.rules.left(sets); left >= 0 {
			all = append(all, other{slices.Clone(sets), left})
		}
	}
	sets := slices.Clone(made)
	for i := range rows {
		if sets[i] == rows[i].qty {
			continue
		}
		sets[i]++
		try(sets)
		for j := range rows {
			if j != i && sets[j] > 0 {
				sets[j]--
				try(sets)
				sets[j]++
			}
		}
		sets[i]--
	}
	slices.SortStableFunc(all, func(a, b other) int { return cmp.Compare(b.left, a.left) })
	for _, o := range all[:min(most, len(all))] {
		if stop() {
			return
		}
		w.found = max(w.found, w.plans.find(o.sets, stop))
		w.nears += find
	}
}
