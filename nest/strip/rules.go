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
	p      *problem
	gain   []float64 // of a set of each row
	list   []rule
	blends int   // how many were asked for
	active []int // of list: the rules in the program, which the last blends came up against
}

type rule struct {
	leather string
	price   []float64 // of each kind
	cost    []float64 // of the pieces of a set of each row
	sold    float64   // what is cut already, too
	last    int       // blend that came up against it
}

// tolerance is by how much, of what is sold, a rule may be broken that is taken to hold.
const tolerance = 1e-9

// add adds what all hides of the leather were found to sell at some prices.
func (r *rules) add(leather string, price []float64, sold float64) {
	n := rule{leather: leather, price: slices.Clone(price), cost: make([]float64, len(r.p.rows)), sold: sold, last: r.blends}
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

// blend solves a linear program over the rules, for sets from some numbers of each row to others. It gives
// the mixture of sets that is worth the most, and what no plan of such sets is worth more than, which the
// program's prices prove whatever its own digits are: −∞ if from itself breaks a rule.
func (r *rules) blend(from, to []int) (sets []float64, most float64, err error) {
	const (
		mostActive = 40 // rules that stay in the program
		rounds     = 100
	)
	r.blends++
	least := floats(from)
	for i := range r.list {
		if u := &r.list[i]; u.fetch(least) > u.sold {
			u.last = r.blends
			return nil, math.Inf(-1), nil
		}
	}
	most = math.Inf(1)
	for range rounds {
		limits := make([]float64, len(r.active))
		for j, of := range r.active {
			limits[j] = r.list[of].sold - r.list[of].fetch(least)
		}
		lp := linear.New(limits)
		columns := make([]int, len(from))
		for i := range from {
			var takes []linear.Entry
			for j, of := range r.active {
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
		for j, of := range r.active {
			u := &r.list[of]
			if y := lp.Price(j); y > 0 {
				u.last = r.blends
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
		if !r.addBroken(sets) {
			break
		}
	}
	if len(r.active) > mostActive {
		slices.SortStableFunc(r.active, func(a, b int) int { return cmp.Compare(r.list[b].last, r.list[a].last) })
		r.active = slices.Clone(r.active[:mostActive])
	}
	return sets, most, nil
}

// addBroken adds the rules to the program that such sets break the most, and reports whether they break any.
func (r *rules) addBroken(sets []float64) bool {
	const most = 3 // at once
	type breach struct {
		rule int
		by   float64
	}
	var breaches []breach
	for i := range r.list {
		u := &r.list[i]
		if by := u.fetch(sets) - u.sold; by > tolerance*u.sold && !slices.Contains(r.active, i) {
			breaches = append(breaches, breach{i, by / max(u.sold, 1e-9)})
		}
	}
	slices.SortStableFunc(breaches, func(a, b breach) int { return cmp.Compare(b.by, a.by) })
	for _, b := range breaches[:min(most, len(breaches))] {
		r.list[b.rule].last = r.blends
		r.active = append(r.active, b.rule)
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
	const alike = 0.1 // of 2, when the rules price quite different rows
	a, b := &r.list[i], &r.list[j]
	apart, all, other := 0.0, a.fetch(sets), b.fetch(sets)
	for row, s := range sets {
		apart += s * math.Abs(a.cost[row]/all-b.cost[row]/other)
	}
	return apart < alike
}

// broken reports whether such sets break the rule.
func (u *rule) broken(sets []float64) bool { return u.fetch(sets) > u.sold*(1+tolerance) }

// left is the least share of what is sold that is left by some rule when the pieces of such sets are taken; less than nothing if
// there is too little.
func (r *rules) left(sets []int) float64 {
	part, least := floats(sets), math.Inf(1)
	for i := range r.list {
		if u := &r.list[i]; u.sold > 0 {
			least = min(least, 1-u.fetch(part)/u.sold)
		}
	}
	return least
}

// floats are the same numbers.
func floats(numbers []int) []float64 {
	out := make([]float64, len(numbers))
	for i, n := range numbers {
		out[i] = float64(n)
	}
	return out
}
