package linear

import "math"

// A variable that enters pushes basic ones towards 0 or their upper bounds.
// The first to arrive leaves. Often many arrive at once, most of all where a
// limit is 0 and the push ends before it begins; then two things decide.
//
// The first is the shade. Think of every limit as raised by δ·nudge, where δ is
// positive but smaller than any number: each basic value is then a pair, value
// and shade, and the one is never looked at where the other can tell. With uneven
// nudges no two pairs arrive together, so each pivot gains something, if only
// shade; no basis comes back, and the walk ends. This is the method of Charnes
// ("Optimality and degeneracy in linear programming", Econometrica 20, 1952)
// against cycling, with uneven numbers in place of his powers of ε. Solvers often
// raise limits in earnest; here, δ being nothing, there is nothing to take back
// afterwards, and the point keeps the limits as they are at every step.
//
// The second is the size of the pivot, by which everything is divided. As
// Harris does ("Pivot selection methods of the Devex LP code", Mathematical
// Programming 5, 1973), the arrivals are compared with a grain of tolerance, and
// among those that it cannot tell apart the one with the largest pivot leaves:
// once for values, then once for shades.

const (
	// grain is how far past a bound a value may be pushed for a larger
	// pivot, by the size of the limits.
	grain = 1e-11
	// shadeGrain is the same for a shade; nudges are from 1 to 2.
	shadeGrain = 1e-7
	// tiny is the least number that is taken for a pivot at all, by the
	// largest in its column.
	tiny = 1e-9
)

// step is what becomes of an entering variable: it moves by value and shade, and
// the variable at position leaves the basis, or none if position is flips:
// then it has gone all the way to its own other bound.
type step struct {
	position     int
	value, shade float64
	upper        bool // the leaving variable stays at its upper bound
}

const flips = -1

// room gives how far the basic variable at position i may go when the entering
// variable pushes it by -a: in value and in shade. It is false if nothing stops it.
func (p *Program) room(i int, a float64) (value, shade float64, stops bool) {
	if a > 0 {
		return max(0, p.value[i]), p.shade[i], true
	}
	upper := p.upper[p.basic[i]]
	return max(0, upper-p.value[i]), -p.shade[i], !math.IsInf(upper, 1)
}

// leave finds how far variable v may go, up if way is 1 and down if it is -1,
// with its column in p.column. It is false if nothing stops v.
func (p *Program) leave(v int, way float64) (step, bool) {
	least := 0.0
	for _, a := range p.column {
		least = max(least, math.Abs(a))
	}
	least = max(least*tiny, math.SmallestNonzeroFloat64)

	slip := grain * p.limitSize
	reach := p.upper[v]
	for i, a := range p.column {
		if a *= way; math.Abs(a) >= least {
			if value, _, stops := p.room(i, a); stops {
				reach = min(reach, (value+slip)/math.Abs(a))
			}
		}
	}
	if math.IsInf(reach, 1) {
		return step{}, false
	}
	shadeReach := math.Inf(1)
	if p.upper[v] <= reach {
		shadeReach = shadeGrain // its own bound is not nudged
	}
	for i, a := range p.column {
		if a *= way; math.Abs(a) >= least {
			value, shade, stops := p.room(i, a)
			if stops && value <= reach*math.Abs(a) {
				shadeReach = min(shadeReach, (shade+shadeGrain)/math.Abs(a))
			}
		}
	}
	if p.upper[v] <= reach && shadeReach >= 0 {
		return step{position: flips, value: p.upper[v]}, true
	}
	best, largest := step{}, 0.0
	for i, a := range p.column {
		if a *= way; math.Abs(a) >= least && math.Abs(a) > largest {
			value, shade, stops := p.room(i, a)
			if size := math.Abs(a); stops && value <= reach*size && shade <= shadeReach*size {
				largest = size
				best = step{position: i, value: value / size, shade: shade / size, upper: a < 0}
			}
		}
	}
	return best, largest > 0
}
