package linear

import (
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
)

// The inverse of the basis is kept whole. With a few hundred rows it fits a
// processor's cache, and each use is one plain pass: the column of an entering
// variable takes a few numbers of each row, the row of a leaving one lies there
// ready, and an exchange adds a multiple of that row to the others.
//
// Each exchange adds rounding errors. How much they have come to is measured
// rather than guessed: refresh puts the values and prices that the inverse gives
// back into the equations that they should solve, which costs no more than
// reading the basis once, and only when they miss is the inverse made anew.

const (
	// often is how many pivots may pass between two measurements.
	often = 64
	// loose is the miss, by the size of limits or gains, from which the
	// inverse is made anew. A new one misses by about 1e-13.
	loose = 1e-11
	// broken is how far below 0 or above its upper bound a value may be found
	// after that. Beyond it the walk has left the ground it claimed to stand on.
	broken = 1e-9
)

// slackBasis returns to x = 0, which every program allows.
func (p *Program) slackBasis() {
	m := len(p.limits)
	for v := range p.where {
		p.where[v] = atZero
		p.weight[v] = 0
	}
	clear(p.inverse)
	for i := range m {
		p.basic[i], p.where[i] = i, i
		p.inverse[i*m+i] = 1
	}
	copy(p.value, p.limits)
	copy(p.shade, p.nudge)
	p.stale = 0
}

// entries gives the rows of column j and what it takes from them.
func (p *Program) entries(j int) ([]int32, []float64) {
	first, end := p.start[j], p.start[j+1]
	return p.rows[first:end], p.by[first:end]
}

// dot gives the sum of a number a row over the entries of column j.
func (p *Program) dot(a []float64, j int) float64 {
	rows, by := p.entries(j)
	by = by[:len(rows)] // spares a check an entry
	sum := 0.0
	for k, row := range rows {
		sum += a[row] * by[k]
	}
	return sum
}

// scatter adds t times the column of variable v to a, a number a row.
func (p *Program) scatter(a []float64, t float64, v int) {
	m := len(p.limits)
	if v < m {
		a[v] += t
		return
	}
	rows, by := p.entries(v - m)
	for k, row := range rows {
		a[row] += t * by[k]
	}
}

// look writes into p.column how much of each basic variable a unit of v
// replaces: the inverse times the column of v.
func (p *Program) look(v int) {
	m := len(p.limits)
	if v < m {
		for i := range p.column {
			p.column[i] = p.inverse[i*m+v]
		}
		return
	}
	for i := range p.column {
		p.column[i] = p.dot(p.inverse[i*m:(i+1)*m], v-m)
	}
}

// exchange updates the inverse for the basis in which the variable seen in
// p.column stands at position r. It returns row r of the new inverse.
func (p *Program) exchange(r int) []float64 {
	m := len(p.limits)
	row := p.inverse[r*m : (r+1)*m]
	floats.Scale(1/p.column[r], row)
	for i, t := range p.column {
		if i != r && t != 0 {
			floats.AddScaled(p.inverse[i*m:(i+1)*m], -t, row)
		}
	}
	p.stale++
	return row
}

// refresh computes values, shades and reduced gains from the inverse, and the
// inverse anew if they miss. It is false if the point left what is allowed or
// the basis went blind, and then the program is back at the slack basis.
func (p *Program) refresh() bool {
	p.since = 0
	if p.evaluate() <= loose && p.allowed() {
		return true
	}
	if p.stale > 0 && p.invert() {
		p.evaluate()
	}
	if p.allowed() {
		return true
	}
	p.slackBasis()
	p.evaluate()
	return false
}

// evaluate computes values, shades and reduced gains from the inverse and gives
// by how much they miss the equations of the basis, relative to the sizes of
// limits and gains.
func (p *Program) evaluate() float64 {
	m := len(p.limits)
	left := p.spare // what the variables outside the basis leave of the limits
	copy(left, p.limits)
	for v := m; v < len(p.where); v++ {
		if p.where[v] == atUpper {
			p.scatter(left, -p.upper[v], v)
		}
	}
	prices := p.column
	clear(prices)
	for i, v := range p.basic {
		row := p.inverse[i*m : (i+1)*m]
		p.value[i] = floats.Dot(row, left)
		p.shade[i] = floats.Dot(row, p.nudge)
		if g := p.gain[v]; g != 0 {
			floats.AddScaled(prices, g, row)
		}
	}

	for i, price := range prices {
		p.reduced[i] = -price
	}
	for v := m; v < len(p.where); v++ {
		p.reduced[v] = p.gain[v] - p.dot(prices, v-m)
	}
	gained, taken := 0.0, 0.0
	for i, v := range p.basic {
		gained = max(gained, math.Abs(p.reduced[v]))
		p.reduced[v] = 0
		p.scatter(left, -p.value[i], v)
	}
	for _, l := range left {
		taken = max(taken, math.Abs(l))
	}
	return max(gained/p.gainSize, taken/p.limitSize)
}

// allowed tells whether each basic value is from 0 to its upper bound, and each
// reduced gain a number.
func (p *Program) allowed() bool {
	if floats.HasNaN(p.reduced) {
		return false
	}
	slip := broken * p.limitSize
	for i, v := range p.basic {
		if !(p.value[i] >= -slip && p.value[i] <= p.upper[v]+slip) { // not a number is neither
			return false
		}
	}
	return true
}

// invert makes the inverse anew, if the basis has one.
func (p *Program) invert() bool {
	m := len(p.limits)
	basis := mat.NewDense(m, m, nil)
	for i, v := range p.basic {
		clear(p.spare)
		p.scatter(p.spare, 1, v)
		basis.SetCol(i, p.spare)
	}
	inverse := mat.NewDense(m, m, p.inverse)
	p.stale = 0
	err := inverse.Inverse(basis)
	_, poor := err.(mat.Condition) // inverted, though perhaps not well
	return err == nil || poor && !math.IsInf(floats.Sum(p.inverse), 0)
}

// size gives the largest number, sign aside, for tolerances to go by; 1 if all are 0.
func size(a []float64) float64 {
	largest := 0.0
	for _, x := range a {
		largest = max(largest, math.Abs(x))
	}
	if largest == 0 {
		return 1
	}
	return largest
}
