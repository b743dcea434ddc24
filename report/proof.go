package report

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

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
		return fmt.Sprintf("proven: no lay of straight strips on these hides%s is worth more than this one, %.2f", looked(r.Tilts), r.Value)
	case r.Bound > 0:
		return fmt.Sprintf("no lay of straight strips on these hides%s is worth more than %.2f; this one is worth %.2f", looked(r.Tilts), r.Bound, r.Value)
	default:
		return fmt.Sprintf("this lay is worth %.2f; nothing is proven of better ones", r.Value)
	}
}

// CostProof says in words what is proven of what the hides of a plan cost; empty: nothing.
func CostProof(r nest.Result) string {
	switch {
	case !r.Proven || !(r.CostBound > 0):
		return ""
	case r.Cost <= r.CostBound+cent:
		return fmt.Sprintf("the hides cost %.2f; proven: no choice of hides that gives all sets costs less", r.Cost)
	}
	return fmt.Sprintf("the hides cost %.2f; no choice of hides that gives all sets costs less than %.2f", r.Cost, r.CostBound)
}

// looked says for which tilts of the struck edge, besides level ones, a proof holds.
func looked(tilts []nest.Tilts) string {
	if len(tilts) == 0 {
		return ""
	}
	var by, hides []string
	for i, t := range tilts {
		if hides = append(hides, t.Hide); i+1 < len(tilts) && slices.Equal(t.Deg, tilts[i+1].Deg) {
			continue // told with the next
		}
		var deg []string
		for _, d := range t.Deg {
			deg = append(deg, strconv.FormatFloat(d, 'f', -1, 64))
		}
		by = append(by, "by "+either(deg, "or")+"° on "+either(hides, "and"))
		hides = nil
	}
	return ", level or tilted " + strings.Join(by, " and ") + ","
}

// either lists words with a last one before the last: "1, 2 or 3".
func either(words []string, last string) string {
	n := len(words)
	if n < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:n-1], ", ") + " " + last + " " + words[n-1]
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
	case r.Bound > 0:
		return fmt.Sprintf("worth %.2f; no lay of straight strips more than %.2f", r.Value, r.Bound)
	}
	return Proof(r)
}
