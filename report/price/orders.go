package price

import (
	"fmt"
	"slices"

	"github.com/shopspring/decimal"

	"strapwise/nest"
	"strapwise/nest/orders"
	"strapwise/nest/rates"
)

// Order is the bill of one row of the book, for the sets that a plan makes.
type Order struct {
	Line orders.Line
	Bill
	Used []Used // by leather
}

// Used is what the sets of an order took of one leather.
type Used struct {
	Leather string
	MM2     float64 // of its pieces
	Cost    Split[Amount]
}

// Orders makes the bill of every row of which a plan makes a set. The lines are
// the rows of the job, in its order.
func Orders(lines []orders.Line, j nest.Job, p nest.Plan, a Account, r rates.Rates) []Order {
	var out []Order
	for row, l := range lines {
		sets := completed(p, l.Order)
		if sets == 0 {
			continue
		}
		used, missing := a.Used(j, row)
		var took Used
		for _, u := range used {
			took.MM2 += u.MM2
			took.Cost = plus(took.Cost, u.Cost)
		}
		out = append(out, Order{Line: l, Used: used, Bill: Of(l, sets, took.Cost, took.MM2, l.Aside, missing, r)})
	}
	return out
}

// Used is what a row of the job, or NoRow, took of each leather, and which of its
// leather is not counted.
func (a Account) Used(j nest.Job, row int) (used []Used, missing []string) {
	for _, t := range a.Taken {
		if t.Row != row {
			continue
		}
		leather := ""
		if h := j.Hide(t.Hide); h != nil {
			leather = h.Leather()
		}
		i := slices.IndexFunc(used, func(u Used) bool { return u.Leather == leather })
		if i < 0 {
			i = len(used)
			used = append(used, Used{Leather: leather})
		}
		used[i].MM2 += t.MM2
		if at := slices.IndexFunc(a.Hides, func(h Hide) bool { return h.Hide == t.Hide }); !a.Hides[at].Paid.Valid {
			missing = append(missing, fmt.Sprintf("leather of %s: its file tells no cost", t.Hide))
			continue
		}
		used[i].Cost = plus(used[i].Cost, Split[Amount]{Net: told(t.Cost.Net), Flaws: told(t.Cost.Flaws), Waste: told(t.Cost.Waste)})
	}
	return used, missing
}

func told(d decimal.Decimal) Amount { return decimal.NewNullDecimal(d) }

// Add adds what is known.
func Add(a, b Amount) Amount {
	return Amount{Decimal: a.Decimal.Add(b.Decimal), Valid: a.Valid || b.Valid}
}

// plus is the sum of two splits, as far as they are known.
func plus(a, b Split[Amount]) Split[Amount] {
	return Split[Amount]{Add(a.Net, b.Net), Add(a.Flaws, b.Flaws), Add(a.Waste, b.Waste), Add(a.Remnant, b.Remnant)}
}

// completed counts the complete sets of a row.
func completed(p nest.Plan, o nest.Order) int {
	have := map[int]int{}
	for _, piece := range p.Pieces {
		if piece.Order == o.ID && piece.Set >= o.FirstSet && piece.Set < o.FirstSet+o.Qty {
			have[piece.Set]++
		}
	}
	need := 0
	for _, part := range o.Parts {
		need += part.Count
	}
	n := 0
	for _, count := range have {
		if count == need {
			n++
		}
	}
	return n
}

// Wanted is hardware to order: so many of one kind and size, for the whole book.
type Wanted struct {
	orders.Hardware        // its Count is of all
	Cost            Amount // of all
}

// Shopping adds up the hardware of the book, in the order in which it is first
// named, and the thread, in millimetres.
func Shopping(lines []orders.Line, r rates.Rates) (all []Wanted, thread float64) {
	at := map[orders.Hardware]int{}
	for _, l := range lines {
		thread += l.Thread * float64(l.Qty)
		for _, h := range l.Hardware {
			key := h
			key.Count = 0
			i, known := at[key]
			if !known {
				i = len(all)
				at[key] = i
				all = append(all, Wanted{Hardware: key})
			}
			all[i].Count += h.Count * l.Qty
		}
	}
	for i, w := range all {
		if each, known := r.Piece(w.Hardware); known {
			all[i].Cost = penny(each.Mul(decimal.NewFromInt(int64(w.Count))))
		}
	}
	return all, thread
}
