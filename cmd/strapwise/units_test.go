package main

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// inUnits writes one workshop in millimetres, in inches or in centimetres: the
// same leather, the same orders, the same marks of the rule.
func inUnits(t *testing.T, seed uint64, unit string) string {
	t.Helper()
	r := rand.New(rand.NewPCG(seed, 21))
	mm := map[string]float64{"mm": 1, "cm": 10, "in": 25.4}[unit]
	n := func(v float64) string { return fmt.Sprintf("%.9g", v/mm) } // bare, in the file's units
	q := func(v float64) string { return n(v) + unit }               // with its unit
	point := func(x, y float64) string { return "[" + n(x) + "," + n(y) + "]" }

	var hide strings.Builder
	fmt.Fprintf(&hide, "leather = \"strap\"\nform = \"side\"\nunits = %q\ntrim = %q\nbackbone = [%s,%s]\noutline = [", unit, q(4), point(0, 0), point(900, 40))
	const corners = 24
	for i := range corners {
		a := 2 * math.Pi * float64(i) / corners
		k := 0.9 + 0.1*r.Float64()
		fmt.Fprintf(&hide, "%s,", point(600+600*k*math.Cos(a), 300+300*k*math.Sin(a)))
	}
	hide.WriteString("]\n")
	for range 6 {
		fmt.Fprintf(&hide, "[[flaws]]\nkind = \"scar\"\nat = %s\nsize = %q\n", point(200+800*r.Float64(), 100+400*r.Float64()), q(5+20*r.Float64()))
		x, y := 200+800*r.Float64(), 100+400*r.Float64()
		fmt.Fprintf(&hide, "[[flaws]]\nkind = \"cut\"\nline = [%s,%s]\nwidth = %s\n", point(x, y), point(x+60, y+20), n(4))
	}
	book := "order,qty,pattern,width,size,leather,price\n"
	for i, size := range []float64{300, 350, 400} {
		book += fmt.Sprintf("A%d,4,flat,%s,%s,strap,%d\n", i+1, q(25.4), q(size), 20+i)
	}
	rules := fmt.Sprintf("units = \"mm\"\n[leathers.strap]\n[tools]\nmarks = %q\ncutter = [%q, %q]\ngrips = %q\n", q(1), q(6), q(100), q(20))
	return workshopWith(t, map[string]string{"workshop.toml": rules, "orders.csv": book, "hides/ash-1.toml": hide.String()})
}

// TestUnits: a plan made from a workshop in one unit holds in the same workshop
// written in another, and is worth as much.
func TestUnits(t *testing.T) {
	for seed := range uint64(4) {
		dirs := map[string]string{}
		units := []string{"mm", "in", "cm"}
		for _, u := range units {
			dirs[u] = inUnits(t, seed, u)
			if _, errs, code := strapwise("lay", "--workshop", dirs[u], "--steps", "60"); code != 0 {
				t.Fatalf("seed %d in %s: exit %d\n%s", seed, u, code, errs)
			}
		}
		for _, made := range units {
			plan := filepath.Join(dirs[made], "plans", planFile)
			if info, err := os.Stat(plan); err != nil || info.Size() < 2000 {
				t.Fatalf("seed %d: no plan to speak of: %v", seed, err)
			}
			for _, held := range units {
				if out, errs, code := strapwise("check", "--workshop", dirs[held], plan); code != 0 {
					t.Errorf("seed %d: made in %s, held against %s: exit %d\n%s%s", seed, made, held, code, out, errs)
				}
			}
		}
	}
}
