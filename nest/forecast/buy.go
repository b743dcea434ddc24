package forecast

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"github.com/shopspring/decimal"

	"strapwise/hide"
	"strapwise/hide/money"
)

// What to buy is settled by many trials. In each, hides of every offer are drawn,
// always the same for a trial, and what the order book still asks of the leather is
// laid on them one after another, the largest first, until nothing is left. A choice
// of so many hides of each offer is as sure as the share of trials in which it is
// enough. The cheapest of the choices of one offer, or of two together, that are sure
// enough is the answer.

// Offer is a kind of leather with its price.
type Offer struct {
	Kind
	Cost func(areaMM2 float64) decimal.Decimal
}

// Lot is a number of hides of one offer.
type Lot struct {
	Offer int
	Hides int
}

// Choice is what may be bought.
type Choice struct {
	Lots []Lot           // none: not with up to mostHides
	Cost decimal.Decimal // on the average, to the penny
	Sure float64         // the share of trials in which it was enough
}

// Purchase is what one leather lacks and what to buy.
type Purchase struct {
	Leather string
	Asked   int      // sets that have pieces of it
	OnRack  int      // those that the rack gives
	Single  []Choice // the least of each offer alone that is sure enough
	Best    Choice   // the cheapest found; no lots: none
	All     bool     // every cheaper choice of two offers was tried
}

// mostHides is how many hides of an offer are looked at.
const mostHides = 40

// Terms are how sure to be, and how hard to look.
type Terms struct {
	Sure   float64 // of all orders of the leather, from 0 to 1
	Trials int
	Seed   uint64
}

// Buy tells what to buy of the offers, all of the need's leather, so that what the
// rack does not give can be made. onRack are the rack's hides of the leather. If the
// context ends before there is a choice the error is the context's; if later, the
// best so far stands and All is false.
func (w *World) Buy(ctx context.Context, n Need, onRack []*hide.Hide, offers []Offer, t Terms) (Purchase, error) {
	out := Purchase{Leather: n.Leather, Asked: n.all().sets()}
	left := n.all()
	for _, h := range remnantsFirst(onRack) {
		var err error
		if left, err = n.laid(ctx, left, h, t.Seed); err != nil {
			return out, err
		}
	}
	out.OnRack = out.Asked - left.sets()
	if left.sets() == 0 || len(offers) == 0 {
		out.All = true
		return out, ctx.Err()
	}
	m, err := newMarket(w, n, left, offers, t)
	if err != nil {
		return out, err
	}
	for o := range offers {
		c, err := m.single(ctx, o)
		if err != nil {
			return out, err
		}
		out.Single = append(out.Single, c)
		if len(c.Lots) > 0 && (len(out.Best.Lots) == 0 || c.Cost.LessThan(out.Best.Cost)) {
			out.Best = c
		}
	}
	for _, lots := range m.pairs(out.Best) {
		sure, err := m.sure(ctx, lots)
		switch {
		case ctx.Err() != nil:
			return out, nil
		case err != nil:
			return out, err
		case sure >= t.Sure:
			out.Best = Choice{lots, m.cost(lots), sure}
			out.All = true
			return out, nil
		}
	}
	out.All = true
	return out, nil
}

// remnantsFirst orders hides so that little is cut into: remnants, then the smallest.
func remnantsFirst(hides []*hide.Hide) []*hide.Hide {
	out := slices.Clone(hides)
	fresh := func(h *hide.Hide) int {
		if h.Form() == hide.Remnant {
			return 0
		}
		return 1
	}
	slices.SortStableFunc(out, func(a, b *hide.Hide) int {
		return cmp.Or(fresh(a)-fresh(b), cmp.Compare(a.Area(), b.Area()))
	})
	return out
}

// market is the trials of one need.
type market struct {
	w      *World
	need   Need
	left   rest
	offers []Offer
	terms  Terms
	trials []*trial
	order  []int     // of the offers, the largest hides first
	mean   []float64 // cost of a hide of each offer
	gives  []float64 // what the first hide of each gives on the average
}

// trial is one of many possible worlds. Only one goroutine at a time uses it.
type trial struct {
	seed  uint64
	known map[string]rest // what choices leave, by choice
}

func newMarket(w *World, n Need, left rest, offers []Offer, t Terms) (*market, error) {
	m := &market{w: w, need: n, left: left, offers: offers, terms: t, mean: make([]float64, len(offers)), gives: make([]float64, len(offers))}
	area := make([]float64, len(offers))
	for o := range offers {
		m.order = append(m.order, o)
	}
	for i := range t.Trials {
		tr := &trial{seed: hideSeed(t.Seed, i), known: map[string]rest{}}
		m.trials = append(m.trials, tr)
		for o, offer := range offers {
			h, err := w.Draw(offer.Kind, m.hideOf(tr, o, 0))
			if err != nil {
				return nil, err
			}
			area[o] += h.Area()
			m.mean[o] += offer.Cost(h.Area()).InexactFloat64() / float64(t.Trials)
		}
	}
	slices.SortStableFunc(m.order, func(a, b int) int { return cmp.Compare(area[b], area[a]) })
	return m, nil
}

// hideOf is the seed of hide k of an offer in a trial.
func (m *market) hideOf(t *trial, o, k int) uint64 {
	return t.seed<<12 + uint64(o)<<6 + uint64(k)
}

// after is what a choice leaves in a trial.
func (m *market) after(ctx context.Context, t *trial, lots []Lot) (rest, error) {
	if len(lots) == 0 {
		return m.left, nil
	}
	key := fmt.Sprint(lots)
	if r, known := t.known[key]; known {
		return r, nil
	}
	last := len(lots) - 1
	before := slices.Clone(lots)
	if before[last].Hides--; before[last].Hides == 0 {
		before = before[:last]
	}
	r, err := m.after(ctx, t, before)
	if err != nil {
		return nil, err
	}
	if r.sets() > 0 {
		o := lots[last].Offer
		h, err := m.w.Draw(m.offers[o].Kind, m.hideOf(t, o, lots[last].Hides-1))
		if err != nil {
			return nil, err
		}
		if r, err = m.need.laid(ctx, r, h, m.terms.Seed); err != nil {
			return nil, err
		}
		if err := ctx.Err(); err != nil {
			return nil, err
		}
	}
	t.known[key] = r
	return r, nil
}

// single is the least number of hides of one offer that is sure enough. Where ten
// in a row give not one set, more will not either.
func (m *market) single(ctx context.Context, o int) (Choice, error) {
	const inVain = 10
	takes, gave := make([]int, len(m.trials)), make([]float64, len(m.trials))
	err := each(ctx, len(m.trials), func(i int) error {
		vain, before := 0, m.left
		takes[i] = math.MaxInt
		for n := 1; n <= mostHides && vain < inVain; n++ {
			r, err := m.after(ctx, m.trials[i], []Lot{{o, n}})
			if err != nil {
				return err
			}
			if n == 1 {
				gave[i] = m.need.area(m.left) - m.need.area(r)
			}
			if r.sets() == 0 {
				takes[i] = n
				return nil
			}
			if vain++; r.sets() < before.sets() {
				vain = 0
			}
			before = r
		}
		return nil
	})
	if err == nil {
		err = ctx.Err()
	}
	if err != nil {
		return Choice{}, err
	}
	for _, g := range gave {
		m.gives[o] += g / float64(len(gave))
	}
	slices.Sort(takes)
	enough := int(math.Ceil(m.terms.Sure*float64(len(takes))-1e-9)) - 1
	n := takes[max(0, enough)]
	if n == math.MaxInt {
		return Choice{}, nil
	}
	lots := []Lot{{o, n}}
	sure := 0
	for _, k := range takes {
		if k <= n {
			sure++
		}
	}
	return Choice{lots, m.cost(lots), float64(sure) / float64(len(takes))}, nil
}

// cost is what a choice costs on the average.
func (m *market) cost(lots []Lot) decimal.Decimal {
	sum := 0.0
	for _, l := range lots {
		sum += float64(l.Hides) * m.mean[l.Offer]
	}
	return decimal.NewFromFloat(sum).Round(money.Places)
}

// pairs are the choices of two offers that cost less than the best so far and are
// enough on the average, if each hide gives what a first one does: others cannot be
// enough much more often than not. The cheapest comes first.
func (m *market) pairs(best Choice) [][]Lot {
	const lost = 1e-9 // of an average, by adding it up
	need := m.need.area(m.left) * (1 - lost)
	var out [][]Lot
	for i, a := range m.order {
		for _, b := range m.order[i+1:] {
			for x := 1; x <= mostHides; x++ {
				for y := 1; y <= mostHides; y++ {
					lots := []Lot{{a, x}, {b, y}}
					if len(best.Lots) > 0 && !m.cost(lots).LessThan(best.Cost) {
						break
					}
					if float64(x)*m.gives[a]+float64(y)*m.gives[b] >= need {
						out = append(out, lots)
					}
				}
			}
		}
	}
	slices.SortStableFunc(out, func(a, b []Lot) int { return m.cost(a).Cmp(m.cost(b)) })
	return out
}

// sure is the share of trials in which a choice is enough; it stops counting when too
// many have failed, and tells then a share that is too small.
func (m *market) sure(ctx context.Context, lots []Lot) (float64, error) {
	const together = 8 // trials between two looks at the count
	enough := 0
	for from := 0; from < len(m.trials); from += together {
		some := m.trials[from:min(from+together, len(m.trials))]
		done := make([]bool, len(some))
		if err := each(ctx, len(some), func(i int) error {
			r, err := m.after(ctx, some[i], lots)
			done[i] = err == nil && r.sets() == 0
			return err
		}); err != nil {
			return 0, err
		}
		for _, d := range done {
			if d {
				enough++
			}
		}
		if looked := from + len(some); float64(enough+len(m.trials)-looked) < m.terms.Sure*float64(len(m.trials)) {
			break
		}
	}
	return float64(enough) / float64(len(m.trials)), nil
}
