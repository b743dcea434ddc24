package main

import (
	"encoding/json"
	"path/filepath"
	"testing"

	"strapwise/nest"
)

// tallyOf counts an article in a workshop, hides by name. It is empty if no hide
// can be counted.
func tallyOf(t *testing.T, dir string, args ...string) map[string]tallied {
	t.Helper()
	args = append([]string{"tally", "--workshop", dir, "--width", "1in", "--json", "--steps", "12", "--time", "1m"}, args...)
	out, errs, code := strapwise(args...)
	if code == 1 {
		return nil
	}
	var got tallyResult
	if err := json.Unmarshal([]byte(out), &got); code != 0 || err != nil {
		t.Fatalf("%v: exit %d, %v: %s", args, code, err, errs)
	}
	by := map[string]tallied{}
	for _, h := range got.Hides {
		by[h.Hide] = h
	}
	return by
}

// TestTallyLaws: whatever the hides and the rules of the house, a count is within
// its bound and as many sets as its plan makes; and where a long strap lies a
// shorter one does, so that no count of the long exceeds the bound of the short.
func TestTallyLaws(t *testing.T) {
	compared, given := 0, 0
	for seed := uint64(1); seed <= 6; seed++ {
		dir, out := t.TempDir(), t.TempDir()
		for name, text := range randomWorkshop(seed) {
			writeFile(t, filepath.Join(dir, filepath.FromSlash(name)), text)
		}
		short := tallyOf(t, dir, "--pattern", "strap", "--size", "9in", "--out", out)
		long := tallyOf(t, dir, "--pattern", "strap", "--size", "11in")
		if len(long) != len(short) {
			t.Errorf("seed %d: counted %d hides and %d", seed, len(short), len(long))
		}
		for name, s := range short {
			l := long[name]
			for _, c := range []tallied{s, l} {
				if c.Sets < 0 || c.Sets > c.Bound || c.Proven != (c.Sets == c.Bound) || (c.Sets == 0) != (c.Why != "") {
					t.Errorf("seed %d: %+v", seed, c)
				}
			}
			if l.Sets > s.Bound {
				t.Errorf("seed %d: %s: %d long straps and no more than %d short ones", seed, name, l.Sets, s.Bound)
			}
			compared++
			if s.Sets == 0 {
				continue
			}
			given++
			file := filepath.Join(out, tallyName(name)+".json")
			plan, err := nest.DecodePlan(file, readFile(t, file))
			if err != nil {
				t.Fatal(err)
			}
			if n := len(plan.Pieces); n != s.Sets { // a strap is one piece
				t.Errorf("seed %d: %s: %d pieces in the plan, %d sets told", seed, name, n, s.Sets)
			}
		}
	}
	if compared < 6 || given < 4 {
		t.Errorf("compared %d hides, %d of them gave a set: too few to tell", compared, given)
	}
}
