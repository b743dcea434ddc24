package linear

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize/convex/lp"
)

// gonum solves min c·x, Ax = b, x ≥ 0: each row and each finite bound gets a slack.
func (w written) gonum() (float64, error) {
	b := append([]float64(nil), w.limits...)
	for _, c := range w.cols {
		if !math.IsInf(c.upper, 1) {
			b = append(b, c.upper)
		}
	}
	n := len(w.cols)
	a := mat.NewDense(len(b), n+len(b), nil)
	gain := make([]float64, n+len(b))
	bound := len(w.limits)
	for j, c := range w.cols {
		gain[j] = -c.gain
		for _, e := range c.entries {
			a.Set(e.Row, j, a.At(e.Row, j)+e.By)
		}
		if !math.IsInf(c.upper, 1) {
			a.Set(bound, j, 1)
			bound++
		}
	}
	for i := range b {
		a.Set(i, n+i, 1)
	}
	basic := make([]int, len(b))
	for i := range basic {
		basic[i] = n + i
	}
	value, _, err := lp.Simplex(gain, a, b, 0, basic)
	return -value, err
}

func TestAgainstGonum(t *testing.T) {
	for seed := range uint64(60) {
		rng := rand.New(rand.NewPCG(seed, 5))
		w := random(rng, true)
		for i := range w.limits { // uneven, so that nothing is degenerate
			w.limits[i] += rng.Float64()
		}
		for j := range w.cols {
			w.cols[j].upper += 0.5 + rng.Float64()
		}
		want, err := w.gonum()
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		p := w.program()
		p.Solve(10000)
		if math.Abs(p.Value()-want) > 1e-8*max(1, want) {
			t.Errorf("seed %d: value %.12g, gonum's %.12g", seed, p.Value(), want)
		}
	}
}

// lp writes the program in the LP format of the solvers.
func (w written) lp() string {
	var s strings.Builder
	s.WriteString("Maximize\n obj:")
	for j, c := range w.cols {
		fmt.Fprintf(&s, " %+.17g x%d\n", c.gain, j)
	}
	rows := make([]map[int]float64, len(w.limits))
	for j, c := range w.cols {
		for _, e := range c.entries {
			if rows[e.Row] == nil {
				rows[e.Row] = map[int]float64{}
			}
			rows[e.Row][j] += e.By
		}
	}
	s.WriteString("Subject To\n")
	for i, row := range rows {
		if len(row) == 0 {
			continue
		}
		fmt.Fprintf(&s, " r%d:", i)
		for j := range w.cols {
			if by, ok := row[j]; ok {
				fmt.Fprintf(&s, " %+.17g x%d\n", by, j)
			}
		}
		fmt.Fprintf(&s, " <= %.17g\n", w.limits[i])
	}
	s.WriteString("Bounds\n")
	for j, c := range w.cols {
		if !math.IsInf(c.upper, 1) {
			fmt.Fprintf(&s, " 0 <= x%d <= %.17g\n", j, c.upper)
		}
	}
	s.WriteString("End\n")
	return s.String()
}

// cbc solves the program with the solver of COIN-OR.
func (w written) cbc(t *testing.T, program string) float64 {
	t.Helper()
	file, out := filepath.Join(t.TempDir(), "p.lp"), filepath.Join(t.TempDir(), "p.sol")
	if err := os.WriteFile(file, []byte(w.lp()), 0o644); err != nil {
		t.Fatal(err)
	}
	if said, err := exec.Command(program, file, "solve", "solution", out).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, said)
	}
	text, err := os.ReadFile(out)
	if err != nil {
		t.Fatal(err)
	}
	line, _, _ := strings.Cut(string(text), "\n")
	said, number, found := strings.Cut(line, "objective value")
	value, err := strconv.ParseFloat(strings.TrimSpace(number), 64)
	if !found || err != nil || !strings.Contains(said, "Optimal") {
		t.Fatalf("cbc says %q", line)
	}
	return math.Abs(value) // cbc tells a maximum as the minimum of its negative
}

func TestAgainstCbc(t *testing.T) {
	program, err := exec.LookPath("cbc")
	if err != nil {
		t.Skip("cbc (Debian: coinor-cbc) is not installed")
	}
	for seed := range uint64(15) {
		w := random(rand.New(rand.NewPCG(seed, 6)), seed%3 == 0)
		p := w.program()
		p.Solve(10000)
		if want := w.cbc(t, program); math.Abs(p.Value()-want) > 1e-6*max(1, want) {
			t.Errorf("seed %d: value %.12g, cbc's %.12g", seed, p.Value(), want)
		}
	}
}
