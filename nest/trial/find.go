package trial

import (
	"slices"

	"strapwise/hide"
	"strapwise/hide/chance"
	"strapwise/nest"
)

// Find gives the job after a flaw has been met on one of its hides, somewhere on
// its leather, and the flaw.
func Find(j nest.Job, name string, seed uint64) (nest.Job, hide.Flaw) {
	h := j.Hide(name)
	f := chance.As(h, name, 1, 1).Flawed(chance.Rand(seed, ofFind), chance.ByHabit(chance.Habits(), chance.Sizes{}), 1).Flaws[0]
	spec := h.Spec()
	spec.Flaws = append(spec.Flaws, f)
	hides := slices.Clone(j.Hides)
	hides[slices.Index(hides, h)] = must(hide.New(spec))
	j.Hides = hides
	return j, f
}
