package trial

import (
	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"strapwise/hide"
	"strapwise/nest"
)

// Find gives the job after a flaw has been met on one of its hides, somewhere on
// its leather, and the flaw.
func Find(j nest.Job, name string, seed uint64) (nest.Job, hide.Flaw) {
	h := j.Hide(name)
	corner := h.Outline().Bound().Max
	on := func(p orb.Point) bool { return planar.RingContains(h.Outline().Orb(), p) }
	f := flawed(chance(seed, ofFind), 1, on, corner)[0]
	hides := make([]*hide.Hide, len(j.Hides))
	for i, other := range j.Hides {
		if hides[i] = other; other == h {
			hides[i] = must(hide.New(hide.Spec{
				Name: h.Name(), Leather: h.Leather(), Form: h.Form(),
				Outline: h.Outline().Corners(), Backbone: h.Backbone(), Trim: h.Trim(),
				Readings: h.Readings(), Flaws: append(append([]hide.Flaw{}, h.Flaws()...), f), Zones: h.Zones(),
				Cost: h.Cost(), Stamped: h.Stamped(), Bought: h.Bought(),
			}))
		}
	}
	j.Hides = hides
	return j, f
}
