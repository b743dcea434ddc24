package strip

import (
	"math"
	"slices"
)

// market is where hides sell to one buyer, who wants pieces of each kind in fixed shares. The prices at which
// the hides sell the least of what the buyer pays tell whether a mixture of lays holds what he wants.
type market struct{ b *bound }

// A buyer wants so many times what is needed, so that parts of pieces count, too, and no hide sells him all.
const (
	buyerScale = 64
	buyerGain  = 1000 * buyerScale
)

// newMarket is of some hides that sell pieces of a leather, or all, besides gifts.
func newMarket(p *problem, known *shapes, hides []int, leather string, gifts []int) *market {
	own := *p
	own.rows, own.demand, own.gifts = []row{{qty: buyerScale}}, make([]int, len(p.kinds)), gifts
	return &market{newBound(&own, known, question{gain: []float64{buyerGain}, hides: hides, leather: leather})}
}

// denies looks for prices at which the hides sell less than what is needed costs, and reports whether there are;
// broken tells of the prices that were asked last. It begins with the prices given, at which all that is needed
// costs buyerGain/buyerScale. What is needed is counted in parts of pieces, of which buyerScale make one. With
// nearest it goes on though a mixture of lays holds all, for prices that come nearest.
func (m *market) denies(need []int, price []float64, nearest bool, broken func() bool, stop func() bool) (bool, error) {
	const (
		most, kept = 1500, 1000 // lays known, since the master begins with all
		asks       = 300        // of bands known, before all are asked: at times the last digits never settle
		rounds     = 40
		covered    = buyerGain / buyerScale * (1 - 1e-9)
	)
	b := m.b
	if !m.want(need) {
		return false, nil
	}
	if n := len(b.columns); n > most {
		b.columns = slices.Clone(b.columns[n-kept:])
	}
	b.low = math.Inf(1)
	copy(b.price, price)
	b.begin()
	left := 0
	done := func() bool { return !nearest && b.master.Value() >= covered || stop() }
	enough := func() bool { left--; return left < 0 || done() }
	for range rounds {
		left = asks
		if err := b.settle(enough); err != nil {
			return false, err
		}
		if done() {
			return false, nil
		}
		if b.ask(slices.Clone(b.price), allBands); broken() {
			return true, nil
		}
		if b.offer(allBands) == 0 {
			for k := range b.price { // the master may hold prices as good, at which there are lays that it lacks
				b.price[k] = b.master.Price(k)
			}
			if b.ask(slices.Clone(b.price), allBands); broken() {
				return true, nil
			}
			if b.offer(allBands) == 0 {
				return false, nil
			}
		}
		_, b.low = b.ask(slices.Clone(b.price), knownBands)
	}
	return false, nil
}

// want has the buyer want that, and reports whether it is anything.
func (m *market) want(needed []int) bool {
	p := m.b.p
	p.rows[0].needs = nil
	for k, n := range needed {
		if p.demand[k] = buyerScale * n; n > 0 {
			p.rows[0].needs = append(p.rows[0].needs, need{k, n})
		}
	}
	return p.rows[0].needs != nil
}
