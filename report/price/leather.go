// Package price tells what a plan used and cost: the leather of every order with
// its share of the waste and of the flaws, what an article must sell for, what a
// flaw took, and what a grade was worth. Money is exact: parts are whole pennies
// and add up to what was paid. What is not known is not counted, and said.
package price

import (
	"math"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	"github.com/shopspring/decimal"

	"strapwise/hide/money"
	"strapwise/nest"
	"strapwise/report/yield"
)

// Split is money or area by where the leather went. What goes back on the rack
// takes its share of the cost with it; the gross is all the rest.
type Split[T any] struct {
	Net     T // in pieces
	Flaws   T // wasted in flaws
	Waste   T // wasted otherwise
	Remnant T // back on the rack
}

// Hide is what one hide of a plan cost. Where the cost is told, the parts add up
// to it to the penny.
type Hide struct {
	Hide string
	MM2  Split[float64]
	Paid decimal.NullDecimal // to the penny; not valid: not told
	Cost Split[decimal.Decimal]
	// Unknown says why it cannot be told where the leather went; then all of its
	// cost is Waste, shared like any other. Empty otherwise.
	Unknown string
}

// Wasted is the waste as the trade counts it: 1 − net/gross. A hide of which
// nothing was used has wasted nothing.
func (h Hide) Wasted() float64 { return wasted(h.MM2) }

func wasted(s Split[float64]) float64 {
	gross := s.Net + s.Flaws + s.Waste
	if gross <= 0 {
		return 0
	}
	return 1 - s.Net/gross
}

// Taken is the leather that an order took from one hide: its pieces, and of what
// was wasted a share by the area of its pieces.
type Taken struct {
	Row  int // of the job's orders, or NoRow
	Hide string
	MM2  float64                // of its pieces
	Cost Split[decimal.Decimal] // Remnant is 0
}

// NoRow has what is in pieces that are cut and of no set, with its share of the waste;
// and all the waste of a hide that gave no piece.
const NoRow = -1

// Sum is all that it cost.
func (t Taken) Sum() decimal.Decimal { return t.Cost.Net.Add(t.Cost.Flaws).Add(t.Cost.Waste) }

// Account is the leather of a plan in money.
type Account struct {
	Hides []Hide  // as in the plan
	Taken []Taken // by hide, then by row, NoRow last
}

// Leather shares the cost of the hides that a plan cuts among its orders. The
// report is that of the plan.
func Leather(j nest.Job, p nest.Plan, r yield.Report) Account {
	var out Account
	for _, y := range r.Hides {
		h := Hide{Hide: y.Hide, Unknown: y.Unknown}
		for _, u := range y.Used {
			h.MM2.Net += u.AreaMM2
		}
		h.MM2.Flaws, h.MM2.Remnant = y.Waste.FlawsMM2, y.Remnant
		h.MM2.Waste = y.Waste.Sum() - y.Waste.FlawsMM2
		if y.Unknown != "" {
			h.MM2.Waste = y.AreaMM2
		}
		if known := j.Hide(y.Hide); known != nil && !known.Cost().IsZero() {
			h.Paid = decimal.NewNullDecimal(known.Cost().Round(money.Places))
		}
		spare := 0.0 // of no order now, or of one that the book has no more
		for _, piece := range p.Spare {
			if piece.Hide == y.Hide {
				spare += areaOf(piece)
			}
		}
		taken := h.share(areas(j, p.Pieces, y.Hide), spare)
		out.Hides = append(out.Hides, h)
		out.Taken = append(out.Taken, taken...)
	}
	return out
}

// areas is what pieces of each row cover on a hide, in mm².
func areas(j nest.Job, pieces []nest.Piece, hide string) []float64 {
	out := make([]float64, len(j.Orders))
	for _, piece := range pieces {
		if row := rowOf(j, piece.Order, piece.Set); row >= 0 && piece.Hide == hide {
			out[row] += areaOf(piece)
		}
	}
	return out
}

func areaOf(p nest.Piece) float64 {
	return math.Abs(planar.Area(orb.Ring(append(p.Outline[:len(p.Outline):len(p.Outline)], p.Outline[0]))))
}

// rowOf is the row of the book that a set belongs to, or -1.
func rowOf(j nest.Job, order string, set int) int {
	for i, o := range j.Orders {
		if o.ID == order && set >= o.FirstSet && set < o.FirstSet+o.Qty {
			return i
		}
	}
	return -1
}

// share shares a hide's cost out, by area: the pieces of every row and those of none,
// the share of each of the flaws and of the waste, and the remnants.
func (h *Hide) share(areas []float64, spare float64) []Taken {
	var out []Taken
	all := spare
	for row, a := range areas {
		if a > 0 {
			out = append(out, Taken{Row: row, Hide: h.Hide, MM2: a})
			all += a
		}
	}
	if spare > 0 || len(out) == 0 {
		out = append(out, Taken{Row: NoRow, Hide: h.Hide, MM2: spare})
	}
	if !h.Paid.Valid {
		return out
	}
	var weights []float64
	for _, t := range out {
		part := 1.0 // all that is wasted where there is no piece
		if all > 0 {
			part = t.MM2 / all
		}
		weights = append(weights, h.MM2.Net*part, h.MM2.Flaws*part, h.MM2.Waste*part)
	}
	cells := money.Share(h.Paid.Decimal, append(weights, h.MM2.Remnant))
	for i := 0; i+2 < len(cells); i += 3 {
		h.Cost.Net = h.Cost.Net.Add(cells[i])
		h.Cost.Flaws = h.Cost.Flaws.Add(cells[i+1])
		h.Cost.Waste = h.Cost.Waste.Add(cells[i+2])
		out[i/3].Cost = Split[decimal.Decimal]{Net: cells[i], Flaws: cells[i+1], Waste: cells[i+2]}
	}
	h.Cost.Remnant = cells[len(cells)-1]
	return out
}
