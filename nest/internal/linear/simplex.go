package linear

import "math"

// The method is the primal simplex with bounds on the variables (Dantzig, Linear
// Programming and Extensions, 1963, ch. 18; Chvátal, Linear Programming, 1983,
// ch. 7 and 8), which suits column generation: a new column joins at 0, the
// basis of the last solve stays allowed, and only what the new columns upset has
// to be walked again.
//
// A basis is one variable a row; the others rest at 0 or at their upper bounds,
// and the rows then tell the basic ones. A variable outside whose reduced gain
// (its gain less what its entries cost at the prices of the basis) says that
// moving it would pay enters; leave.go finds how far it can go and which one goes
// out for it; prices and values follow, and so on until nothing pays.
//
// Of those that pay, the one enters that pays most for the distance by which the
// whole point moves: the steepest edge. Distances are not computed but kept
// going from pivot to pivot by the row of the leaving variable, which the reduced
// gains need in any case: devex (Harris, "Pivot selection methods of the Devex
// LP code", Mathematical Programming 5, 1973, whose ratio test is in leave.go).
//
// Against cycling, and against long standing still at the many limits of 0, see
// leave.go. Against rounding see basis.go: nothing is called optimal, unbounded or
// a point except right after a refresh.

// pays is the least reduced gain worth a pivot, by the size of the gains.
const pays = 1e-9

// Solve goes on from the point reached so far, by at most so many pivots. The
// error is of New or Add: a limit or a column that no program can have.
func (p *Program) Solve(most int) (Status, error) {
	if p.wrong != nil {
		return OutOfPivots, p.wrong
	}
	p.gainSize = size(p.gain)
	for v := range p.weight {
		p.weight[v] = 1
	}
	resets := 0
	refresh := func() bool { // false if the numbers are beyond what can be mended
		if !p.refresh() {
			resets++
		}
		return resets < 3
	}
	refresh()
	for pivots := 0; ; {
		status, to := Optimal, step{}
		v, way := p.enter()
		if v >= 0 {
			p.look(v)
			stops := false
			if to, stops = p.leave(v, way); !stops {
				status = Unbounded
			} else if pivots < most {
				p.move(v, way, to)
				pivots++
				if p.since++; p.since >= often && !refresh() {
					return OutOfPivots, nil
				}
				continue
			} else {
				status = OutOfPivots
			}
		}
		if p.since == 0 {
			return status, nil
		}
		if !refresh() {
			return OutOfPivots, nil
		}
	}
}

// enter chooses the variable that pays most for its distance, and the way it
// goes: 1 up, -1 down. The variable is -1 if none pays.
func (p *Program) enter() (best int, way float64) {
	least := pays * p.gainSize
	best, most := -1, 0.0
	for v, d := range p.reduced {
		if d <= least && d >= -least {
			continue
		}
		if (d > 0) != (p.where[v] == atZero) || p.upper[v] == 0 {
			continue
		}
		if d*d > most*p.weight[v] {
			best, most = v, d*d/p.weight[v]
			way = math.Copysign(1, d)
		}
	}
	return best, way
}

// move takes the step: values, and, unless v flips, basis and prices.
func (p *Program) move(v int, way float64, to step) {
	for i, a := range p.column {
		if a != 0 {
			p.value[i] -= way * a * to.value
			p.shade[i] -= way * a * to.shade
		}
	}
	from := 0.0
	if p.where[v] == atUpper {
		from = p.upper[v]
	}
	if to.position == flips {
		p.where[v] = atZero + atUpper - p.where[v]
		return
	}

	r := to.position
	out, pivot, gained, weight := p.basic[r], p.column[r], p.reduced[v], p.weight[v]
	p.basic[r], p.where[v] = v, r
	p.value[r], p.shade[r] = from+way*to.value, way*to.shade
	p.where[out] = atZero
	if to.upper {
		p.where[out] = atUpper
	}

	m := len(p.limits)
	row := p.exchange(r)
	for w, at := range p.where {
		if at >= 0 {
			continue
		}
		var part float64 // of a unit of w, seen from position r
		if w < m {
			part = row[w]
		} else {
			part = p.dot(row, w-m)
		}
		if part != 0 {
			p.reduced[w] -= gained * part
			p.weight[w] = max(p.weight[w], part*part*weight)
		}
	}
	p.reduced[v] = 0
	p.reduced[out] = -gained / pivot
	p.weight[out] = max(1, weight/(pivot*pivot))
}
