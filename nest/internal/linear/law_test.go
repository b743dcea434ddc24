package linear

import (
	"math"
	"math/rand/v2"
	"testing"
)

// written is a program as written down, from which tests judge what a Program
// says without a look inside it.
type written struct {
	limits []float64
	cols   []column
}

type column struct {
	gain, upper float64
	entries     []Entry
}

func (w written) program() *Program {
	p := New(w.limits)
	for _, c := range w.cols {
		p.Add(c.gain, c.upper, c.entries)
	}
	return p
}

// keepsLimits asks that the point of p keeps every limit and bound, and is worth
// what p says.
func (w written) keepsLimits(t testing.TB, p *Program) {
	t.Helper()
	if p.Columns() != len(w.cols) || p.Rows() != len(w.limits) {
		t.Fatalf("%d rows, %d columns, want %d, %d", p.Rows(), p.Columns(), len(w.limits), len(w.cols))
	}
	scale := 1.0
	for _, l := range w.limits {
		scale = max(scale, l)
	}
	used, size := make([]float64, len(w.limits)), make([]float64, len(w.limits))
	value := 0.0
	for j, c := range w.cols {
		x := p.X(j)
		if !(x >= 0 && x <= c.upper) {
			t.Fatalf("x[%d] = %g, want 0 to %g", j, x, c.upper)
		}
		value += c.gain * x
		for _, e := range c.entries {
			used[e.Row] += e.By * x
			size[e.Row] += math.Abs(e.By * x)
		}
	}
	for i, l := range w.limits {
		if used[i] > l+1e-9*max(scale, size[i]) {
			t.Fatalf("row %d uses %g of %g", i, used[i], l)
		}
	}
	if math.Abs(value-p.Value()) > 1e-9*max(1, math.Abs(value)) {
		t.Fatalf("value %g, and gain·x is %g", p.Value(), value)
	}
}

// isOptimal asks for the whole proof: the point is allowed, the prices are, each
// is 0 where the other has room, and both come to the same value.
func (w written) isOptimal(t testing.TB, p *Program) {
	t.Helper()
	w.keepsLimits(t, p)
	scale := 1.0
	for _, c := range w.cols {
		scale = max(scale, math.Abs(c.gain))
	}
	dual := 0.0
	left := append([]float64(nil), w.limits...)
	for j, c := range w.cols {
		beyond := c.gain // what a unit gains beyond the price of its entries
		for _, e := range c.entries {
			beyond -= p.Price(e.Row) * e.By
			left[e.Row] -= e.By * p.X(j)
		}
		switch tol := 1e-8 * scale; {
		case beyond > tol && p.X(j) < c.upper:
			t.Fatalf("column %d at %g would pay %g", j, p.X(j), beyond)
		case beyond < -tol && p.X(j) > 1e-8:
			t.Fatalf("column %d at %g costs %g more than it gains", j, p.X(j), -beyond)
		}
		if beyond > 0 && !math.IsInf(c.upper, 1) {
			dual += beyond * c.upper
		}
	}
	for i, l := range w.limits {
		y := p.Price(i)
		if !(y >= 0) {
			t.Fatalf("row %d has the price %g", i, y)
		}
		if y > 1e-8*scale && left[i] > 1e-7*max(1, l) {
			t.Fatalf("row %d has the price %g and %g left", i, y, left[i])
		}
		dual += y * l
	}
	if math.Abs(dual-p.Value()) > 1e-8*max(1, math.Abs(dual)) {
		t.Fatalf("value %.12g, prices prove %.12g", p.Value(), dual)
	}
}

// random makes a program of the kind that the package is for: a column is a
// pattern, which lays pieces (-), or an article, which uses them (+); most
// limits of pieces are 0, and each pattern takes its share of a hide. Plain ones
// have positive limits and entries only.
func random(rng *rand.Rand, plain bool) written {
	m, n := 2+rng.IntN(30), 1+rng.IntN(90)
	hides := 1 + rng.IntN(max(1, m/3))
	w := written{limits: make([]float64, m)}
	for i := range w.limits {
		if i < hides || plain {
			w.limits[i] = float64(1 + rng.IntN(9))
		} else if rng.IntN(8) == 0 {
			w.limits[i] = float64(rng.IntN(4))
		}
	}
	for range n {
		c := column{upper: math.Inf(1)}
		article := rng.IntN(3) == 0
		if !article || plain {
			c.entries = append(c.entries, Entry{rng.IntN(hides), 1})
		}
		if rng.IntN(3) == 0 || article {
			c.upper = float64(rng.IntN(6))
		}
		for range 1 + rng.IntN(6) {
			by := float64(1 + rng.IntN(4))
			if !article && !plain {
				by = -by
			}
			if m > hides {
				c.entries = append(c.entries, Entry{hides + rng.IntN(m-hides), by})
			}
		}
		if article || plain {
			c.gain = float64(1+rng.IntN(400)) / 2
		} else {
			c.gain = -float64(rng.IntN(5)) / 4
		}
		w.cols = append(w.cols, c)
	}
	return w
}

func TestOptimalIsProven(t *testing.T) {
	for seed := range uint64(600) {
		w := random(rand.New(rand.NewPCG(seed, 1)), seed%3 == 0)
		p := w.program()
		status, err := p.Solve(10000)
		if status != Optimal || err != nil {
			t.Fatalf("seed %d: %v, %v", seed, status, err)
		}
		w.isOptimal(t, p)
	}
}

// Columns that come between solves must lead to the same value as the
// program written anew, by way of allowed points only.
func TestWarmIsCold(t *testing.T) {
	for seed := range uint64(200) {
		rng := rand.New(rand.NewPCG(seed, 2))
		all := random(rng, seed%3 == 0)
		w := written{limits: all.limits}
		p := New(w.limits)
		for len(all.cols) > 0 {
			k := min(len(all.cols), 1+rng.IntN(20))
			for _, c := range all.cols[:k] {
				if got := p.Add(c.gain, c.upper, c.entries); got != len(w.cols) {
					t.Fatalf("seed %d: column %d is called %d", seed, len(w.cols), got)
				}
				w.cols = append(w.cols, c)
			}
			all.cols = all.cols[k:]

			before := p.Value()
			for {
				status, _ := p.Solve(3)
				w.keepsLimits(t, p)
				if p.Value() < before-1e-8*max(1, before) {
					t.Fatalf("seed %d: the value fell from %g to %g", seed, before, p.Value())
				}
				before = p.Value()
				if status == Optimal {
					break
				}
			}
			w.isOptimal(t, p)
			cold := w.program()
			cold.Solve(10000)
			if math.Abs(cold.Value()-p.Value()) > 1e-8*max(1, cold.Value()) {
				t.Fatalf("seed %d: %g warm, %g cold", seed, p.Value(), cold.Value())
			}
		}
	}
}

// The same calls give the same bits.
func TestSameBits(t *testing.T) {
	w := random(rand.New(rand.NewPCG(7, 7)), false)
	a, b := w.program(), w.program()
	a.Solve(10000)
	b.Solve(10000)
	for j := range w.cols {
		if a.X(j) != b.X(j) {
			t.Errorf("x[%d]: %g, %g", j, a.X(j), b.X(j))
		}
	}
	for i := range w.limits {
		if a.Price(i) != b.Price(i) {
			t.Errorf("price[%d]: %g, %g", i, a.Price(i), b.Price(i))
		}
	}
}

// uneven gives each row and each column a size of its own, and breaks the whole
// numbers.
func (w written) uneven(rng *rand.Rand) written {
	size := func() float64 { return math.Pow(10, 4*rng.Float64()-2) }
	rows := make([]float64, len(w.limits))
	for i := range rows {
		rows[i] = size()
		w.limits[i] *= rows[i]
	}
	for j := range w.cols {
		c, s := &w.cols[j], size()
		c.gain *= s
		c.upper /= s
		for k := range c.entries {
			c.entries[k].By *= s * rows[c.entries[k].Row] * (1 + rng.Float64())
		}
	}
	return w
}

func TestUnevenSizes(t *testing.T) {
	for seed := range uint64(300) {
		rng := rand.New(rand.NewPCG(seed, 8))
		w := random(rng, seed%3 == 0).uneven(rng)
		p := w.program()
		if status, err := p.Solve(10000); status != Optimal || err != nil {
			t.Fatalf("seed %d: %v, %v", seed, status, err)
		}
		dual := 0.0
		for i, l := range w.limits {
			dual += p.Price(i) * l
		}
		for j, c := range w.cols {
			beyond := c.gain
			for _, e := range c.entries {
				beyond -= p.Price(e.Row) * e.By
			}
			if math.IsInf(c.upper, 1) {
				if beyond > 1e-6 {
					t.Fatalf("seed %d: column %d would pay %g", seed, j, beyond)
				}
			} else if beyond > 0 {
				dual += beyond * c.upper
			}
		}
		if math.Abs(dual-p.Value()) > 1e-7*max(1, dual) {
			t.Errorf("seed %d: value %.12g, prices prove %.12g", seed, p.Value(), dual)
		}
	}
}

// Numbers that doubles cannot hold apart may defeat the method, which must then
// end, say so, and leave numbers that are numbers.
func TestSizesBeyondReason(t *testing.T) {
	for seed := range uint64(300) {
		rng := rand.New(rand.NewPCG(seed, 9))
		w := random(rng, seed%3 == 0)
		blow := func(x *float64) {
			if rng.IntN(3) == 0 {
				*x *= math.Pow(10, 600*rng.Float64()-300)
			}
		}
		for i := range w.limits {
			blow(&w.limits[i])
		}
		for j := range w.cols {
			blow(&w.cols[j].gain)
			for k := range w.cols[j].entries {
				blow(&w.cols[j].entries[k].By)
			}
		}
		p := w.program()
		if _, err := p.Solve(5000); err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		for j, c := range w.cols {
			if x := p.X(j); !(x >= 0 && x <= c.upper) {
				t.Errorf("seed %d: x[%d] = %g", seed, j, x)
			}
		}
		for i := range w.limits {
			if y := p.Price(i); !(y >= 0) {
				t.Errorf("seed %d: price[%d] = %g", seed, i, y)
			}
		}
	}
}
