package strip

import (
	"cmp"
	"container/heap"
	"math"
	"slices"

	"strapwise/nest/internal/linear"
)

// cover is the question which hides to cut into: the cheapest choice that meets
// every demand. A demand says that what hides give must add up to so much.
//
//	least Σ cost·y   where   Σ gives·y ≥ need for each demand,   y = 0 or 1
//
// Its linear relaxation, over the hides left out, x = 1 - y, has one row for each demand
// and few fractions. Its prices mostly leave few choices, of forty hides as of twenty, and
// all of these are tried (outright.go); where they leave too many, it is branch and bound over
// relaxations.
type cover struct {
	cost    []float64
	demands []demand
}

type demand struct {
	gives  []float64 // of each hide
	need   float64
	counts bool // it counts hides, and is not of an amount
}

// add takes a demand in. No hide is needed for more than all of it, which makes
// the relaxation tighter and changes no choice.
func (c *cover) add(gives []float64, need float64) {
	d := demand{gives: slices.Clone(gives), need: need}
	for i := range d.gives {
		d.gives[i] = min(d.gives[i], need)
	}
	c.demands = append(c.demands, d)
}

// leaveOut rules out a choice, and all that hold no hide which it does not.
func (c *cover) leaveOut(in []bool) {
	d := demand{gives: make([]float64, len(in)), need: 1, counts: true}
	for i, is := range in {
		if !is {
			d.gives[i] = 1
		}
	}
	c.demands = append(c.demands, d)
}

// with is the question where every demand of an amount is greater by a margin.
func (c *cover) with(margin float64) *cover {
	out := &cover{cost: c.cost}
	for _, d := range c.demands {
		if !d.counts {
			d.need *= 1 + margin
		}
		out.demands = append(out.demands, d)
	}
	return out
}

// node is a part of the choices: hides fixed in (1) or out (-1), and the least
// that any choice in it can cost.
type node struct {
	fixed []int8
	least float64
	x     []float64 // hides left out, in the relaxation
	price []float64 // of the demands there
}

type nodes []node

func (n nodes) Len() int           { return len(n) }
func (n nodes) Less(i, j int) bool { return n[i].least < n[j].least }
func (n nodes) Swap(i, j int)      { n[i], n[j] = n[j], n[i] }
func (n *nodes) Push(x any)        { *n = append(*n, x.(node)) }
func (n *nodes) Pop() any {
	last := (*n)[len(*n)-1]
	*n = (*n)[:len(*n)-1]
	return last
}

// choose gives the cheapest choice found, and a cost below which there is none.
// The choice is nil if even all hides do not meet the demands; then the cost is
// infinite.
func (c *cover) choose() ([]bool, float64, error) {
	// The fewer hides, the more nodes: about as much work.
	most := max(1500, 200_000/max(1, len(c.cost)))
	open := nodes{}
	push := func(fixed []int8) error {
		n, feasible, err := c.relax(fixed)
		if feasible {
			heap.Push(&open, n)
		}
		return err
	}
	if err := push(make([]int8, len(c.cost))); err != nil {
		return nil, 0, err
	}
	if len(open) == 0 {
		return nil, math.Inf(1), nil
	}
	best, worth := c.round(open[0].x)
	const visits = 8_000_000 // a seventh of a second
	best, worth, all := c.outright(open[0].price, best, worth, visits)
	if all {
		return best, worth, nil
	}
	floor := math.Inf(1) // of nodes given up, the least that was not ruled out
	for range most {
		if len(open) == 0 {
			return best, min(worth, floor), nil
		}
		n := heap.Pop(&open).(node)
		if n.least >= worth-proof(worth) {
			return best, min(worth, floor), nil
		}
		choice, cost := c.round(n.x)
		if cost < worth {
			best, worth = choice, cost
		}
		split := -1
		for i, x := range n.x {
			if f := math.Abs(x - math.Round(x)); f > 1e-6 && (split < 0 || f > math.Abs(n.x[split]-math.Round(n.x[split]))) {
				split = i
			}
		}
		if split < 0 {
			// Its rounding is as good as any choice in it, but for the last digits.
			if cost > n.least+proof(cost) {
				floor = min(floor, n.least)
			}
			continue
		}
		for _, side := range []int8{-1, 1} {
			fixed := slices.Clone(n.fixed)
			fixed[split] = side
			if err := push(fixed); err != nil {
				return nil, 0, err
			}
		}
	}
	least := min(worth, floor)
	for _, n := range open {
		least = min(least, n.least)
	}
	return best, least, nil
}

// relax solves the linear relaxation of a node. It reports false if no choice
// in it meets the demands.
func (c *cover) relax(fixed []int8) (node, bool, error) {
	limits := make([]float64, len(c.demands))
	for j, d := range c.demands {
		spare := -d.need
		for i, g := range d.gives {
			if fixed[i] >= 0 {
				spare += g
			}
		}
		if spare < -1e-9*d.need {
			return node{}, false, nil
		}
		limits[j] = max(0, spare)
	}
	p := linear.New(limits)
	n := node{fixed: fixed, x: make([]float64, len(c.cost))}
	columns := make([]int, len(c.cost))
	for i, cost := range c.cost {
		columns[i] = -1
		if fixed[i] > 0 {
			n.least += cost
		}
		if fixed[i] != 0 {
			continue
		}
		n.least += cost
		var entries []linear.Entry
		for j, d := range c.demands {
			if d.gives[i] > 0 {
				entries = append(entries, linear.Entry{Row: j, By: d.gives[i]})
			}
		}
		columns[i] = p.Add(cost, 1, entries)
	}
	const most = 10_000
	if _, err := p.Solve(most); err != nil {
		return node{}, false, err
	}
	for j := range c.demands {
		n.price = append(n.price, max(0, p.Price(j)))
	}
	saved := 0.0 // at the most, whatever the program's own digits are: its dual at those prices
	for j, limit := range limits {
		saved += n.price[j] * limit
	}
	for i, cost := range c.cost {
		if columns[i] >= 0 {
			for j, d := range c.demands {
				cost -= n.price[j] * d.gives[i]
			}
			saved += max(0, cost)
		}
	}
	n.least = max(0, n.least-saved)
	for i := range n.x {
		switch {
		case columns[i] >= 0:
			n.x[i] = p.X(columns[i])
		case fixed[i] < 0:
			n.x[i] = 1
		}
	}
	return n, true, nil
}

// round leaves out hides in the order of the relaxation, dearest first among
// equals, as long as the demands are met.
func (c *cover) round(x []float64) ([]bool, float64) {
	order := make([]int, len(x))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Or(cmp.Compare(x[b], x[a]), cmp.Compare(c.cost[b], c.cost[a]))
	})
	in := make([]bool, len(x))
	for i := range in {
		in[i] = true
	}
	for _, i := range order {
		in[i] = false
		if !c.met(in) {
			in[i] = true
		}
	}
	cost := 0.0
	for i, is := range in {
		if is {
			cost += c.cost[i]
		}
	}
	return in, cost
}

// met reports whether the choice meets the demands.
func (c *cover) met(in []bool) bool {
	for _, d := range c.demands {
		sum := 0.0
		for i, is := range in {
			if is {
				sum += d.gives[i]
			}
		}
		if sum < d.need*(1-1e-9) {
			return false
		}
	}
	return true
}
