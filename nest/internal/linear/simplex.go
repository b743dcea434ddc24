package linear

import (
	"math"

	"gonum.org/v1/gonum/floats"
)

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
// Of those that pay, the one enters that gains most for the distance by which
// it moves the whole point: the steepest edge. It costs a second product a pivot
// and saves, where limits are 0, more pivots than it costs. The distances follow
// from pivot to pivot and are measured only for new columns (Goldfarb and Reid, "A
// practicable steepest-edge simplex algorithm", Mathematical Programming 12, 1977).
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
	resets := 0
	refresh := func() bool { // false if the numbers are beyond what can be mended
		if !p.refresh() {
			resets++
		}
		p.weigh()
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

// weigh measures the distances of the variables that are new outside the basis.
func (p *Program) weigh() {
	for v, at := range p.where {
		if at < 0 && p.weight[v] == 0 {
			p.look(v)
			p.weight[v] = 1 + floats.Dot(p.column, p.column)
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
		if best < 0 || d*d > most*p.weight[v] {
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
	out, pivot, gained := p.basic[r], p.column[r], p.reduced[v]
	p.basic[r], p.where[v] = v, r
	p.value[r], p.shade[r] = from+way*to.value, way*to.shade
	p.where[out] = atZero
	if to.upper {
		p.where[out] = atUpper
	}

	// part is how much of v a unit of w replaces, along how its line lies to
	// that of v; from both follows how far w moves the point from now on.
	m := len(p.limits)
	weight := 1 + floats.Dot(p.column, p.column)
	lines := p.spare
	clear(lines)
	for i, a := range p.column {
		if a != 0 {
			floats.AddScaled(lines, a, p.inverse[i*m:(i+1)*m])
		}
	}
	row := p.exchange(r)
	for w, at := range p.where {
		if at >= 0 {
			continue
		}
		var part float64
		if w < m {
			part = row[w]
		} else {
			part = p.dot(row, w-m)
		}
		if part == 0 {
			continue
		}
		along := 0.0
		if w < m {
			along = lines[w]
		} else {
			along = p.dot(lines, w-m)
		}
		p.reduced[w] -= gained * part
		moves := p.weight[w] + part*(part*weight-2*along)
		if least := 1 + part*part; !(moves > least) {
			moves = least // rounding must not make a distance vanish
		}
		p.weight[w] = moves
	}
	p.reduced[v] = 0
	p.reduced[out] = -gained / pivot
	p.weight[out] = max(weight, 1+pivot*pivot) / (pivot * pivot)
}
