package linear

import (
	"fmt"
	"math"
)

// Status says how a solve ended. However it ended, the program stands at a
// point that keeps every limit, and X, Value and Price speak of that point.
type Status int

const (
	// Optimal: no point is worth more.
	Optimal Status = iota
	// Unbounded: a column can grow for ever, and the value with it.
	Unbounded
	// OutOfPivots: better points may exist. The prices belong to the basis
	// reached and bound nothing. A further solve goes on from there. It is also
	// the answer to numbers so uneven that three tries lost their way: then the
	// point is worth less than it was, perhaps nothing.
	OutOfPivots
)

func (s Status) String() string {
	switch s {
	case Optimal:
		return "optimal"
	case Unbounded:
		return "unbounded"
	case OutOfPivots:
		return "out of pivots"
	}
	return fmt.Sprintf("status %d", int(s))
}

// Entry is one coefficient of a column: a unit of the column takes By from the
// limit of the row, or gives to it when By is negative.
type Entry struct {
	Row int
	By  float64
}

// Program is a maximisation whose columns come one by one. Make one with New.
//
// Inside, a variable is a number: variable i below the number of rows is the
// slack of row i, what is left of its limit; variable rows + j is column j.
type Program struct {
	limits []float64
	wrong  error // the first limit or column that no program can have

	// The columns, one behind the other: column j has the entries
	// start[j]:start[j+1].
	start []int
	rows  []int32
	by    []float64

	// One a variable.
	gain    []float64
	upper   []float64
	where   []int     // position in the basis, or atZero, or atUpper
	reduced []float64 // gain less what its entries cost at the prices
	weight  []float64 // how far the point moves when the variable moves by 1, squared; 0 if not yet known

	// One a position in the basis.
	basic []int     // its variable
	value []float64 // the value of that
	shade []float64 // and its share of a change of the limits too small to count

	inverse []float64 // of the basis, row by row
	stale   int       // updates of the inverse since it was last computed anew
	since   int       // pivots since values and reduced gains were last computed from it

	limitSize, gainSize float64 // the largest limit and gain, which tolerances go by

	column []float64 // of the entering variable, seen from the basis
	spare  []float64 // room for one number a row
	nudge  []float64 // the change of the limits too small to count, one a row
}

// Places of a variable outside the basis.
const (
	atZero  = -1
	atUpper = -2
)

// New gives a program without columns. Each limit must be finite and not
// negative; if one is not, every Solve gives an error that says so.
func New(limits []float64) *Program {
	m := len(limits)
	p := &Program{
		limits:  append([]float64(nil), limits...),
		start:   []int{0},
		gain:    make([]float64, m),
		upper:   make([]float64, m),
		where:   make([]int, m),
		reduced: make([]float64, m),
		weight:  make([]float64, m),
		basic:   make([]int, m),
		value:   make([]float64, m),
		shade:   make([]float64, m),
		inverse: make([]float64, m*m),
		column:  make([]float64, m),
		spare:   make([]float64, m),
		nudge:   make([]float64, m),
	}
	for i, limit := range p.limits {
		if !(limit >= 0) || math.IsInf(limit, 1) {
			p.refuse(fmt.Errorf("row %d has the limit %g, expected a finite number from 0", i, limit))
		}
		p.upper[i] = math.Inf(1)
		// Multiples of the golden ratio fall evenly and never in step
		// (Weyl), so no two sums of a few nudges are alike.
		_, part := math.Modf(float64(i+1) * (math.Sqrt(5) - 1) / 2)
		p.nudge[i] = 1 + part
	}
	p.limitSize, p.gainSize = size(p.limits), 1
	p.slackBasis()
	return p
}

// Add gives the program one more column and returns its number: columns count
// from 0. The point at which the program stands stays as it is, with none of
// the new column. gain must be finite, upper from 0 to +Inf, each row known
// and each By finite; otherwise every Solve gives an error that says so.
// Entries of the same row add up.
func (p *Program) Add(gain, upper float64, entries []Entry) int {
	j := p.Columns()
	if math.IsNaN(gain) || math.IsInf(gain, 0) {
		p.refuse(fmt.Errorf("column %d has the gain %g, expected a finite number", j, gain))
	}
	if !(upper >= 0) {
		p.refuse(fmt.Errorf("column %d has the upper bound %g, expected a number from 0", j, upper))
	}
	for _, e := range entries {
		if e.Row < 0 || e.Row >= len(p.limits) {
			p.refuse(fmt.Errorf("column %d has an entry in row %d, expected a row below %d", j, e.Row, len(p.limits)))
			continue
		}
		if math.IsNaN(e.By) || math.IsInf(e.By, 0) {
			p.refuse(fmt.Errorf("column %d takes %g in row %d, expected a finite number", j, e.By, e.Row))
		}
		p.rows = append(p.rows, int32(e.Row))
		p.by = append(p.by, e.By)
	}
	p.start = append(p.start, len(p.rows))
	p.gain = append(p.gain, gain)
	p.upper = append(p.upper, upper)
	p.where = append(p.where, atZero)
	p.reduced = append(p.reduced, 0)
	p.weight = append(p.weight, 0)
	return j
}

// refuse remembers what is wrong with the program, the first thing only.
func (p *Program) refuse(err error) {
	if p.wrong == nil {
		p.wrong = err
	}
}

// Rows gives the number of rows.
func (p *Program) Rows() int { return len(p.limits) }

// Columns gives the number of columns.
func (p *Program) Columns() int { return len(p.start) - 1 }

// Value gives gain·x at the point reached by the last Solve, 0 before the first.
func (p *Program) Value() float64 {
	total := 0.0
	for j := range p.Columns() {
		total += p.gain[p.Rows()+j] * p.X(j)
	}
	return total
}

// X gives how much of the column the point holds: from 0 to its upper bound.
func (p *Program) X(column int) float64 {
	v := p.Rows() + column
	switch at := p.where[v]; at {
	case atZero:
		return 0
	case atUpper:
		return p.upper[v]
	default:
		return min(max(p.value[at], 0), p.upper[v])
	}
}

// Price gives what one more unit of the row's limit would add to the value: the
// dual price, never below 0. After Optimal the prices prove the value: it is
// Σ price·limit + Σ upper·(what a column gains beyond the price of its entries).
func (p *Program) Price(row int) float64 {
	return max(0, -p.reduced[row]) // a slack gains nothing and costs the price
}

// Pays tells whether a column that gains so much beyond the price of its entries, and by more than so much, changes
// anything. Solve lets pass what gains next to nothing by the size of the largest gain, and prices a little below 0.
func (p *Program) Pays(gain float64, entries []Entry, least float64) bool {
	const margin = 2 // for what is rounded here otherwise than there
	for _, e := range entries {
		gain += e.By * p.reduced[e.Row]
	}
	return gain > max(least, margin*pays*p.gainSize)
}
