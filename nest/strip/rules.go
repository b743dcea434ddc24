package strip

import (
	"cmp"
	"math"
	"slices"

	"strapwise/nest/internal/linear"
)

// rules say what sets hides can hold. Whenever all hides are asked for all bands at some
// prices, no lay fetches more than they say, and so no plan makes sets whose pieces would:
//
//	Σ rows s · cost  ≤  sold     of the pieces of each leather
//
// That is so of every plan, whatever the prices were for, and no rule is more than a few sums to
// heed. Prices and sums are whole multiples of a power of two, so that nothing is rounded.
type rules struct {
	p    *problem
	gain []float64 // of a set of each row
	list []rule
	now  int   // how many blends were asked for
	used []int // of list: those that the last blends came up against
}

type rule struct {
	leather string
	price   []float64 // of each kind
	cost    []float64 // of the pieces of a set of each row
	sold    float64   // what is cut already, too
	used    int       // when a blend last came up against it
}

// add adds what all hides of the leather were found to sell at some prices.
func (r *rules) add(leather string, price []float64, sold float64) {
	n := rule{leather: leather, price: slices.Clone(price), cost: make([]float64, len(r.p.rows)), sold: sold, used: r.now}
	for k, kd := range r.p.kinds {
		if kd.leather != leather {
			n.price[k] = 0
		}
	}
	for i := range r.p.rows {
		for _, need := range r.p.rows[i].needs {
			n.cost[i] += n.price[need.kind] * float64(need.count)
		}
	}
	r.list = append(r.list, n)
}

// fetch is what the pieces of such sets fetch.
func (u *rule) fetch(sets []float64) float64 {
	sum := 0.0
	for i, s := range sets {
		sum += s * u.cost[i]
	}
	return sum
}

// blend is the sets, and parts of sets, that are worth the most of those that make no fewer and no
// more of each row, as far as the rules tell, and what no plan of those is worth more than: by the prices
// that the linear program puts on the rules, whatever else is true of them. It is nothing if none can be.
func (r *rules) blend(from, to []int) (sets []float64, most float64, err error) {
	const (
		hair   = 1e-9 // of what is sold: a rule that is broken by less is kept
		broken = 3    // rules that are taken up at once
		kept   = 40   // rules that stay taken up
		rounds = 100
	)
	r.now++
	least := make([]float64, len(from))
	for i, n := range from {
		least[i] = float64(n)
	}
	for i := range r.list {
		if u := &r.list[i]; u.fetch(least) > u.sold {
			u.used = r.now
			return nil, math.Inf(-1), nil
		}
	}
	most = math.Inf(1)
	for range rounds {
		limits := make([]float64, len(r.used))
		for j, of := range r.used {
			limits[j] = r.list[of].sold - r.list[of].fetch(least)
		}
		lp := linear.New(limits)
		columns := make([]int, len(from))
		for i := range from {
			var takes []linear.Entry
			for j, of := range r.used {
				if c := r.list[of].cost[i]; c > 0 {
					takes = append(takes, linear.Entry{Row: j, By: c})
				}
			}
			columns[i] = lp.Add(r.gain[i], float64(to[i]-from[i]), takes)
		}
		const pivots = 10_000
		if _, err := lp.Solve(pivots); err != nil {
			return nil, 0, err
		}
		sets = slices.Clone(least)
		beyond := slices.Clone(r.gain)
		bound := 0.0
		for j, of := range r.used {
			u := &r.list[of]
			if y := lp.Price(j); y > 0 {
				u.used = r.now
				bound += y * u.sold
				for i, c := range u.cost {
					beyond[i] -= y * c
				}
			}
		}
		for i, g := range beyond {
			sets[i] += lp.X(columns[i])
			bound += max(g*float64(from[i]), g*float64(to[i]))
		}
		most = min(most, bound)
		if !r.takeUp(sets, hair, broken) {
			break
		}
	}
	if len(r.used) > kept {
		slices.SortStableFunc(r.used, func(a, b int) int { return cmp.Compare(r.list[b].used, r.list[a].used) })
		r.used = slices.Clone(r.used[:kept])
	}
	return sets, most, nil
}

// takeUp takes up the rules that such sets break the most, and reports whether they break any.
func (r *rules) takeUp(sets []float64, hair float64, most int) bool {
	type breach struct {
		rule int
		by   float64
	}
	var breaches []breach
	for i := range r.list {
		u := &r.list[i]
		if by := u.fetch(sets) - u.sold; by > hair*u.sold && !slices.Contains(r.used, i) {
			breaches = append(breaches, breach{i, by / max(u.sold, 1e-9)})
		}
	}
	slices.SortStableFunc(breaches, func(a, b breach) int { return cmp.Compare(b.by, a.by) })
	for _, b := range breaches[:min(most, len(breaches))] {
		r.list[b.rule].used = r.now
		r.used = append(r.used, b.rule)
	}
	return len(breaches) > 0
}

// tight are the rules of a leather that such sets come nearest to breaking, the nearest first, at the most so many.
func (r *rules) tight(leather string, sets []float64, most int) []int {
	const far = 0.1 // of what is sold: beyond, a rule tells next to nothing
	var near []int
	slack := func(i int) float64 { return (r.list[i].sold - r.list[i].fetch(sets)) / r.list[i].sold }
	for i := range r.list {
		if u := &r.list[i]; u.leather == leather && u.sold > 0 && slack(i) <= far {
			near = append(near, i)
		}
	}
	slices.SortStableFunc(near, func(a, b int) int { return cmp.Compare(slack(a), slack(b)) })
	var out []int
	for _, i := range near {
		if len(out) < most && !slices.ContainsFunc(out, func(j int) bool { return r.alike(i, j, sets) }) {
			out = append(out, i)
		}
	}
	return out
}

// alike reports whether two rules see such sets nearly alike.
func (r *rules) alike(i, j int, sets []float64) bool {
	const alike = 0.1 // of what the sets cost
	a, b := &r.list[i], &r.list[j]
	apart, all, other := 0.0, a.fetch(sets), b.fetch(sets)
	for row, s := range sets {
		apart += s * math.Abs(a.cost[row]/all-b.cost[row]/other)
	}
	return apart < alike
}

// broken reports whether such sets break a rule.
func (r *rules) broken(rule int, sets []float64) bool {
	const hair = 1e-9 // of what is sold
	return r.list[rule].fetch(sets) > r.list[rule].sold*(1+hair)
}

// left is the least share of what is sold that is left by some rule when the pieces of such sets are taken; less than nothing if
// there is too little.
func (r *rules) left(sets []int) float64 {
	part := make([]float64, len(sets))
	for i, n := range sets {
		part[i] = float64(n)
	}
	least := math.Inf(1)
	for i := range r.list {
		if u := &r.list[i]; u.sold > 0 {
			least = min(least, 1-u.fetch(part)/u.sold)
		}
	}
	return least
}
