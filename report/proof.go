package report

import (
	"fmt"

	"strapwise/nest"
)

// cent is the least difference of money that is told.
const cent = 0.005

// Proof says in words what a plan is worth and what is proven of it.
func Proof(r nest.Result) string {
	switch {
	case r.Proven && r.CostBound > 0 && r.Cost <= r.CostBound+cent:
		return fmt.Sprintf("all sets are made, worth %.2f, from hides that cost %.2f; proven: no choice of hides that gives them costs less", r.Value, r.Cost)
	case r.Proven && r.CostBound > 0:
		return fmt.Sprintf("all sets are made, worth %.2f, from hides that cost %.2f; no choice of hides that gives them costs less than %.2f", r.Value, r.Cost, r.CostBound)
	case r.Proven:
		return fmt.Sprintf("proven: no lay of straight strips on these hides is worth more than this one, %.2f", r.Value)
	case r.Bound > 0:
		return fmt.Sprintf("no lay of straight strips on these hides is worth more than %.2f; this one is worth %.2f", r.Bound, r.Value)
	default:
		return fmt.Sprintf("this lay is worth %.2f; nothing is proven of better ones", r.Value)
	}
}

// shortProof is Proof where there is less room.
func shortProof(r nest.Result) string {
	switch {
	case r.Proven && r.CostBound > 0 && r.Cost <= r.CostBound+cent:
		return fmt.Sprintf("all sets, from hides that cost %.2f: proven the least", r.Cost)
	case r.Proven && r.CostBound > 0:
		return fmt.Sprintf("all sets, from hides that cost %.2f; the least is %.2f or more", r.Cost, r.CostBound)
	case r.Proven:
		return fmt.Sprintf("worth %.2f: proven the most", r.Value)
	}
	return Proof(r)
}
