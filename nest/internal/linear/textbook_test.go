package linear

import (
	"math"
	"testing"
)

var inf = math.Inf(1)

// dense writes rows of coefficients as entries.
func dense(limits, gain []float64, rows ...[]float64) written {
	w := written{limits: limits}
	for j, g := range gain {
		c := column{gain: g, upper: inf}
		for i, row := range rows {
			if row[j] != 0 {
				c.entries = append(c.entries, Entry{i, row[j]})
			}
		}
		w.cols = append(w.cols, c)
	}
	return w
}

func (w written) bounded(upper ...float64) written {
	for j, u := range upper {
		w.cols[j].upper = u
	}
	return w
}

func TestKnownAnswers(t *testing.T) {
	for name, test := range map[string]struct {
		w     written
		value float64
		x     []float64 // nil where several are as good
	}{
		"nothing at all":         {w: written{}},
		"no columns":             {w: written{limits: []float64{3, 0}}},
		"no rows, bounds only":   {w: dense(nil, []float64{2, -1, 0}).bounded(5, 4, 3), value: 10, x: []float64{5, 0, 0}},
		"nothing pays":           {w: dense([]float64{4}, []float64{-1, 0}, []float64{1, 1}), x: []float64{0, 0}},
		"a limit":                {w: dense([]float64{4}, []float64{3}, []float64{2}), value: 6, x: []float64{2}},
		"a bound before a limit": {w: dense([]float64{4}, []float64{3}, []float64{2}).bounded(1), value: 3, x: []float64{1}},
		"a bound of nothing":     {w: dense([]float64{4}, []float64{3, 1}, []float64{2, 1}).bounded(0), value: 4, x: []float64{0, 4}},
		"rows of nothing":        {w: dense([]float64{0, 0}, []float64{3, 2}, []float64{1, 0}, []float64{0, 1}), x: []float64{0, 0}},
		"use no more than is laid": {
			// two laid by each pattern, three patterns of hide, one used an article
			w:     dense([]float64{0, 3}, []float64{5, -1}, []float64{1, -2}, []float64{0, 1}),
			value: 27, x: []float64{6, 3},
		},
		"a basic column meets its bound": {
			w:     dense([]float64{0, 3}, []float64{5, -1}, []float64{1, -2}, []float64{0, 1}).bounded(4),
			value: 18, x: []float64{4, 2},
		},
		"from the upper bound back down": {
			// the first gains most and fills up, then the second needs its room
			w:     dense([]float64{4}, []float64{6, 5}, []float64{4, 1}).bounded(0.9, inf),
			value: 20, x: []float64{0, 4},
		},
		"Chvátal, Linear Programming, 1983, p. 13": {
			w: dense([]float64{5, 11, 8}, []float64{5, 4, 3},
				[]float64{2, 3, 1}, []float64{4, 1, 2}, []float64{3, 4, 2}),
			value: 13, x: []float64{2, 0, 1},
		},
		// Beale, "Cycling in the dual simplex algorithm", Naval Research
		// Logistics Quarterly 2, 1955, in its usual primal form: largest
		// coefficients with the first of ties walk round in six steps.
		"Beale's cycle": {
			w: dense([]float64{0, 0, 1}, []float64{0.75, -150, 0.02, -6},
				[]float64{0.25, -60, -0.04, 9}, []float64{0.5, -90, -0.02, 3}, []float64{0, 0, 1, 0}),
			value: 0.05, x: []float64{0.04, 0, 1, 0},
		},
		// Chvátal 1983, p. 31: cycles in the same way.
		"Chvátal's cycle": {
			w: dense([]float64{0, 0, 1}, []float64{10, -57, -9, -24},
				[]float64{0.5, -5.5, -2.5, 9}, []float64{0.5, -1.5, -0.5, 1}, []float64{1, 0, 0, 0}),
			value: 1, x: []float64{1, 0, 1, 0},
		},
	} {
		t.Run(name, func(t *testing.T) {
			p := test.w.program()
			if status, err := p.Solve(100); status != Optimal || err != nil {
				t.Fatalf("%v, %v", status, err)
			}
			test.w.isOptimal(t, p)
			if math.Abs(p.Value()-test.value) > 1e-12*max(1, test.value) {
				t.Errorf("value %g, want %g", p.Value(), test.value)
			}
			for j, want := range test.x {
				if math.Abs(p.X(j)-want) > 1e-12 {
					t.Errorf("x[%d] = %g, want %g", j, p.X(j), want)
				}
			}
		})
	}
}

// The prices of Chvátal's example, p. 55: 1, 0 and 1.
func TestPrices(t *testing.T) {
	p := dense([]float64{5, 11, 8}, []float64{5, 4, 3},
		[]float64{2, 3, 1}, []float64{4, 1, 2}, []float64{3, 4, 2}).program()
	p.Solve(100)
	for i, want := range []float64{1, 0, 1} {
		if math.Abs(p.Price(i)-want) > 1e-12 {
			t.Errorf("price[%d] = %g, want %g", i, p.Price(i), want)
		}
	}
}

// A column like the first of the example, of 2, 4 and 3 a unit, costs 5 at its prices; it pays if it gains more than that,
// and by more than is asked.
func TestPays(t *testing.T) {
	p := dense([]float64{5, 11, 8}, []float64{5, 4, 3},
		[]float64{2, 3, 1}, []float64{4, 1, 2}, []float64{3, 4, 2}).program()
	p.Solve(100)
	like := []Entry{{0, 2}, {1, 4}, {2, 3}}
	for _, c := range []struct {
		gain, least float64
		want        bool
	}{{5, 0, false}, {5 + 1e-9, 0, false}, {5.1, 0, true}, {5.1, 0.2, false}, {4, 0, false}} {
		if got := p.Pays(c.gain, like, c.least); got != c.want {
			t.Errorf("a gain of %g, by more than %g: found %v", c.gain, c.least, got)
		}
	}
}

// Klee and Minty, "How good is the simplex algorithm?", 1972, in the form of
// Chvátal 1983, p. 47: the plain rule of the largest coefficient visits all 2ⁿ
// corners of this bent cube.
func TestKleeMinty(t *testing.T) {
	for n := 1; n <= 8; n++ {
		w := written{}
		for j := range n {
			w.limits = append(w.limits, math.Pow(100, float64(j)))
			c := column{gain: math.Pow(10, float64(n-1-j)), upper: inf}
			for i := j; i < n; i++ {
				by := 1.0
				if i > j {
					by = 2 * math.Pow(10, float64(i-j))
				}
				c.entries = append(c.entries, Entry{i, by})
			}
			w.cols = append(w.cols, c)
		}
		p := w.program()
		status, err := p.Solve(1 << n)
		if status != Optimal || err != nil {
			t.Fatalf("n = %d: %v, %v", n, status, err)
		}
		if want := math.Pow(100, float64(n-1)); math.Abs(p.Value()-want) > 1e-9*want {
			t.Errorf("n = %d: value %g, want %g", n, p.Value(), want)
		}
	}
}

func TestUnbounded(t *testing.T) {
	for name, w := range map[string]written{
		"no entries":       dense([]float64{1}, []float64{1}, []float64{0}),
		"gives only":       dense([]float64{1}, []float64{1}, []float64{-1}),
		"each feeds other": dense([]float64{0, 0}, []float64{1, 0}, []float64{1, -1}, []float64{-2, 1}),
	} {
		p := w.program()
		if status, err := p.Solve(100); status != Unbounded || err != nil {
			t.Errorf("%s: %v, %v", name, status, err)
		}
		w.keepsLimits(t, p)
	}
}

func TestOutOfPivots(t *testing.T) {
	w := dense([]float64{5, 11, 8}, []float64{5, 4, 3},
		[]float64{2, 3, 1}, []float64{4, 1, 2}, []float64{3, 4, 2})
	p := w.program()
	for _, most := range []int{-1, 0} {
		if status, _ := p.Solve(most); status != OutOfPivots || p.Value() != 0 {
			t.Errorf("%d pivots: %v, value %g", most, status, p.Value())
		}
	}
	p.Solve(1)
	w.keepsLimits(t, p)
	if v := p.Value(); v <= 0 || v >= 13 {
		t.Errorf("value %g after a pivot", v)
	}
}

func TestRefusals(t *testing.T) {
	nan := math.NaN()
	one := []Entry{{0, 1}}
	for want, w := range map[string]written{
		"row 1 has the limit -1, expected a finite number from 0":    {limits: []float64{0, -1}},
		"row 0 has the limit NaN, expected a finite number from 0":   {limits: []float64{nan, -1}},
		"row 0 has the limit +Inf, expected a finite number from 0":  {limits: []float64{inf}},
		"column 0 has the gain NaN, expected a finite number":        {[]float64{1}, []column{{nan, 1, one}}},
		"column 1 has the gain -Inf, expected a finite number":       {[]float64{1}, []column{{1, 1, one}, {-inf, 1, one}}},
		"column 0 has the upper bound -1, expected a number from 0":  {[]float64{1}, []column{{1, -1, one}}},
		"column 0 has the upper bound NaN, expected a number from 0": {[]float64{1}, []column{{1, nan, one}}},
		"column 0 has an entry in row 1, expected a row below 1":     {[]float64{1}, []column{{1, 1, []Entry{{1, 1}}}}},
		"column 0 has an entry in row -1, expected a row below 1":    {[]float64{1}, []column{{1, 1, []Entry{{-1, 1}}}}},
		"column 0 takes +Inf in row 0, expected a finite number":     {[]float64{1}, []column{{1, 1, []Entry{{0, inf}}}}},
	} {
		p := w.program()
		status, err := p.Solve(10)
		if err == nil || err.Error() != want || status == Optimal {
			t.Errorf("%v, %v, want %s", status, err, want)
		}
		p.Value()
	}
}

func TestStatusReads(t *testing.T) {
	for status, want := range map[Status]string{Optimal: "optimal", Unbounded: "unbounded", OutOfPivots: "out of pivots", 9: "status 9"} {
		if got := status.String(); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}
