// Package yield tells where the leather of a plan went, and what is known of
// better plans.
package yield

import (
	"slices"

	"strapwise/nest"
	"strapwise/report"
)

// Report is what a plan gives. Areas are square millimetres.
type Report struct {
	Plan   string  `json:"plan"`   // its mark, as sheets bear it
	Worth  float64 `json:"worth"`  // of the complete sets, less the effort of the cuts
	Bound  float64 `json:"bound"`  // no plan under the same rules is worth more; 0: not known
	Proven bool    `json:"proven"` // Worth is the most there can be
	Orders []Order `json:"orders"`
	Hides  []Hide  `json:"hides"`

	Tilts []nest.Tilts `json:"tilts,omitempty"` // besides level lays, Bound holds for these

	Cost      float64 `json:"cost,omitempty"`       // of the hides cut into; 0: not known
	CostBound float64 `json:"cost_bound,omitempty"` // no hides that give all sets cost less; 0: not known, or not all sets are made
}

// Order is what the plan gives of one order.
type Order struct {
	Order    string `json:"order"`
	Asked    int    `json:"asked"`
	Complete int    `json:"complete"`
	Short    []Lack `json:"short"` // why sets are missing, the most frequent reason first
}

// Lack is one reason why sets of an order are missing.
type Lack struct {
	Sets int    `json:"sets"`
	Part string `json:"part"` // that stood in the way
	Why  string `json:"why"`
}

// Hide is where the leather of one hide went; pieces that are cut and of no set count
// as pieces. The areas of Used and Waste, and
// Remnant, do not overlap and add up to AreaMM2; where Unknown says why they
// cannot be told, they are 0.
type Hide struct {
	Hide    string  `json:"hide"`
	AreaMM2 float64 `json:"area_mm2"`
	Pieces  int     `json:"pieces"`
	Used    []Use   `json:"used"` // by use, sorted by name
	Waste   Waste   `json:"waste"`
	Remnant float64 `json:"remnant_mm2"` // goes back on the rack
	Unknown string  `json:"unknown,omitempty"`
}

// Use is the leather that became pieces of one use.
type Use struct {
	Use     string  `json:"use"`
	AreaMM2 float64 `json:"area_mm2"`
}

// Waste is the leather that became neither piece nor remnant, each bit counted
// once, under the first of these that holds.
type Waste struct {
	FlawsMM2 float64 `json:"flaws_mm2"` // in a flaw
	SoftMM2  float64 `json:"soft_mm2"`  // in a soft zone, and in none of waste
	EdgeMM2  float64 `json:"edge_mm2"`  // in a zone of waste, as a remnant's own edge is; within the trim, and outside the squared end, the struck edge and the last band
	EndsMM2  float64 `json:"ends_mm2"`  // along the strips: before, between and after their pieces
	RoundMM2 float64 `json:"round_mm2"` // round templates, in the rectangles that they are laid as
	WidthMM2 float64 `json:"width_mm2"` // across them: strips of scrap, what a block has left over, and what a strip has too much
}

// Sum is all the waste.
func (w Waste) Sum() float64 {
	return w.FlawsMM2 + w.SoftMM2 + w.EdgeMM2 + w.EndsMM2 + w.RoundMM2 + w.WidthMM2
}

// Of tells where the leather of the plan went. It never stands in the way of
// the plan: of a hide whose figures cannot be had it says why.
func Of(j nest.Job, p nest.Plan) Report {
	r := Report{Plan: report.Mark(p), Worth: p.Result.Value, Bound: p.Result.Bound, Proven: p.Result.Proven, Tilts: p.Result.Tilts, Cost: p.Result.Cost, CostBound: p.Result.CostBound, Hides: []Hide{}}
	r.Orders = orders(p)
	cut := slices.Concat(p.Pieces, p.Spare) // what is spoilt is waste
	for _, lay := range p.Hides {
		h := j.Hide(lay.Hide)
		if h == nil {
			r.Hides = append(r.Hides, Hide{Hide: lay.Hide, Used: []Use{}, Unknown: "the job does not have this hide"})
			continue
		}
		figures, err := account(h, lay, cut, j.Least)
		if err != nil {
			figures = Hide{Hide: h.Name(), AreaMM2: h.Area(), Pieces: figures.Pieces, Used: []Use{}, Unknown: err.Error()}
		}
		r.Hides = append(r.Hides, figures)
	}
	return r
}

// orders gathers counts and reasons, in the plan's order.
func orders(p nest.Plan) []Order {
	out := []Order{}
	at := map[string]int{}
	for _, s := range p.Sets {
		i, known := at[s.Order]
		if !known {
			i = len(out)
			at[s.Order] = i
			out = append(out, Order{Order: s.Order, Short: []Lack{}})
		}
		out[i].Asked += s.Asked
		out[i].Complete += s.Complete
	}
	for _, u := range p.Unplaced {
		i, known := at[u.Order]
		if !known {
			continue // Check refuses such a plan; there is nothing to count it against
		}
		short := out[i].Short
		k := slices.IndexFunc(short, func(l Lack) bool { return l.Part == u.Part && l.Why == u.Why })
		if k < 0 {
			out[i].Short = append(short, Lack{Sets: 1, Part: u.Part, Why: u.Why})
			continue
		}
		short[k].Sets++
	}
	for i := range out {
		slices.SortStableFunc(out[i].Short, func(a, b Lack) int { return b.Sets - a.Sets })
	}
	return out
}
