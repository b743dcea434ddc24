package rack

import (
	"slices"

	"strapwise/nest"
)

// MadeSets are sets of an order of which all pieces have been cut.
type MadeSets struct {
	Order string `json:"order"`
	Sets  []int  `json:"sets"` // numbers
}

// madeBy gives the sets of a plan, in its order, that are complete with the hides
// put away, and were not without the latest of them.
func madeBy(plan nest.Plan, away, latest []string) []MadeSets {
	type key struct {
		order string
		set   int
	}
	open, late := map[key]bool{}, map[key]bool{}
	for _, p := range plan.Pieces {
		k := key{p.Order, p.Set}
		open[k] = open[k] || !slices.Contains(away, p.Hide)
		late[k] = late[k] || slices.Contains(latest, p.Hide)
	}
	out := []MadeSets{}
	at := map[string]int{}
	seen := map[key]bool{}
	for _, p := range plan.Pieces {
		k := key{p.Order, p.Set}
		if seen[k] || open[k] || !late[k] {
			continue
		}
		seen[k] = true
		i, known := at[p.Order]
		if !known {
			i = len(out)
			at[p.Order] = i
			out = append(out, MadeSets{Order: p.Order})
		}
		out[i].Sets = append(out[i].Sets, p.Set)
	}
	for i := range out {
		slices.Sort(out[i].Sets)
	}
	return out
}
