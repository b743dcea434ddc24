package main

import (
	"context"
	"math"
	"slices"
	"time"

	"strapwise/hide"
	"strapwise/nest"
	"strapwise/nest/strip"
	"strapwise/nest/workshop"
)

// tallied is what one hide gives of an article.
type tallied struct {
	Hide    string   `json:"hide"`
	Sets    int      `json:"sets"`
	Bound   int      `json:"bound"`  // no lay of straight strips gives more sets
	Proven  bool     `json:"proven"` // Sets is the most there can be
	Stop    string   `json:"stop"`   // as in a plan
	Leather string   `json:"leather"`
	Form    string   `json:"form"`
	Parts   []string `json:"parts"`   // of a set, those that the hide gives
	AtHand  []string `json:"at_hand"` // those that are taken as there, by name
	Why     string   `json:"why"`     // there is not one set; empty if there is

	job  nest.Job // to make so many sets; without a hide if there is none
	plan nest.Plan
}

// mostSets is how many sets are asked of one hide: of a belt's keepers, a whole
// hide gives about as many. Where more could be had the bound says so.
const mostSets = 2000

// countAll counts hide by hide: the planner itself uses all processors. Each
// may take its even share of the time that is left.
func countAll(ctx context.Context, u *ui, w *workshop.Workshop, chosen []share, f tallyFlags) ([]tallied, error) {
	end := time.Now().Add(f.limit)
	all := []tallied{}
	for i, s := range chosen {
		limit := time.Until(end) / time.Duration(len(chosen)-i)
		o := strip.Options{Seed: f.seed, Steps: f.steps, Progress: func(value, bound float64) {
			u.progress("%s: %.0f, no lay more than %.0f", s.hide.Name(), value, bound)
		}}
		t, err := s.count(ctx, w, limit, o)
		if err != nil {
			return nil, err
		}
		all = append(all, t)
	}
	return all, nil
}

// count lays as many sets as could lie on the hide by their area, each worth 1.
func (s share) count(ctx context.Context, w *workshop.Workshop, limit time.Duration, o strip.Options) (tallied, error) {
	most := s.byArea()
	order := s.asked()
	job := alone(w, s.hide, order)
	plan, err := planned(ctx, w, job, limit, o)
	if err != nil {
		return tallied{}, err
	}
	// The value is a sum of ones, and so is that of any other lay: what the
	// bound has beyond a whole number is nobody's. The last bits of it are lost.
	const lost = 1e-6
	t := tallied{
		Hide: s.hide.Name(), Leather: s.hide.Leather(), Form: s.hide.Form(),
		Sets: int(math.Round(plan.Result.Value)), Bound: int(math.Floor(plan.Result.Bound + lost)),
		Stop: plan.Result.Stop, Parts: partNames(s.line.Parts), AtHand: partNames(s.line.Aside),
	}
	slices.Sort(t.AtHand)
	if t.Bound >= order.Qty {
		t.Bound = most // it was asked of no more than order.Qty
	}
	if t.Sets == 0 {
		err = s.explain(ctx, w, limit, &t)
	} else {
		order.Qty = t.Sets
		t.job = alone(w, s.hide, order)
		t.plan, err = checked(t.job, asked(plan))
	}
	if err != nil {
		return tallied{}, err
	}
	if t.Proven = t.Sets == t.Bound; t.Proven {
		t.Stop = nest.StopProven
	}
	return t, nil
}

// byArea is how many sets could lie on the hide by their area, at least 1.
func (s share) byArea() int {
	const lost = 1e-9 // of a quotient of areas: they may fill the hide
	area := 0.0
	for _, p := range s.line.Parts {
		area += float64(p.Count) * p.Area()
	}
	return max(1, int(math.Floor(s.hide.Area()/area*(1+lost))))
}

// asked is an order of as many sets as are asked of one hide.
func (s share) asked() nest.Order {
	order := s.line.Order
	order.ID, order.Qty = s.line.Pattern, min(s.byArea(), mostSets)
	return order
}

// asked is the plan as one for the sets that it makes: those beyond were asked
// for only to see how far it goes, and nobody is short of them.
func asked(plan nest.Plan) nest.Plan {
	plan.Sets = slices.Clone(plan.Sets)
	for i := range plan.Sets {
		plan.Sets[i].Asked = plan.Sets[i].Complete
	}
	plan.Unplaced = nil
	return plan
}

// alone is the job of one order on one hide. Sets are counted, so cuts are free.
func alone(w *workshop.Workshop, h *hide.Hide, order nest.Order) nest.Job {
	job := nest.Job{Orders: []nest.Order{order}, Hides: []*hide.Hide{h}, Uses: w.Uses, Tools: w.Tools}
	job.Tools.Effort = 0
	return job
}

// explain tells which part keeps a hide from giving even one set: the first
// that the planner cannot lay when nothing else is asked for.
func (s share) explain(ctx context.Context, w *workshop.Workshop, limit time.Duration, t *tallied) error {
	for _, part := range s.line.Parts {
		order := s.line.Order
		order.ID, order.Parts = s.line.Pattern, []nest.Part{part}
		plan, err := planned(ctx, w, alone(w, s.hide, order), limit, strip.Options{})
		if err != nil {
			return err
		}
		if len(plan.Unplaced) > 0 {
			if t.Why = part.Name + ": " + plan.Unplaced[0].Why; plan.Result.Proven {
				t.Bound = 0
			}
			return nil
		}
	}
	t.Why = "each part of a set fits by itself, and no lay was found with all of them"
	return nil
}

func partNames(parts []nest.Part) []string {
	out := []string{}
	for _, p := range parts {
		out = append(out, p.Name)
	}
	return out
}
