package main

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestOneRow: a trial of one job prints a head and a row for each cap, as wide
// as each other, and writes the same to a file.
func TestOneRow(t *testing.T) {
	file := filepath.Join(t.TempDir(), "table.md")
	var out, progress bytes.Buffer
	if err := run([]string{"--only", "strips-10", "--seeds", "1", "--caps", "100ms, 200ms", "--plain", "--out", file}, &out, &progress); err != nil {
		t.Fatal(err, progress.String())
	}
	lines := strings.Split(strings.TrimSuffix(out.String(), "\n"), "\n")
	if len(lines) != 4 {
		t.Fatalf("%d lines, want 4:\n%s", len(lines), out.String())
	}
	for _, l := range lines {
		if strings.Count(l, "|") != len(columns)+1 || len(l) != len(lines[0]) {
			t.Errorf("found %q, expected %d cells as wide as those above", l, len(columns))
		}
	}
	if !strings.HasPrefix(lines[2], "| strips-10 ") || !strings.Contains(lines[3], "| 200ms |") {
		t.Errorf("rows:\n%s\n%s", lines[2], lines[3])
	}
	if written, err := os.ReadFile(file); err != nil || string(written) != out.String() {
		t.Errorf("the file holds %q (%v), want what was printed", written, err)
	}
}

// TestUsage: a command line that asks for what there is not is refused before
// anything is measured.
func TestUsage(t *testing.T) {
	for _, args := range [][]string{
		{"--only", "nothing-of-that-name"},
		{"--seeds", "0"},
		{"--caps", "2"},
		{"--caps", "2s,-1s"},
		{"--tilt", "steep"},
		{"--tilt", "-1deg"},
		{"--unknown"},
		{"bend"},
	} {
		var out, progress bytes.Buffer
		if err := run(args, &out, &progress); !errors.As(err, new(usageError)) {
			t.Errorf("%v: %v, want a mistake of the command line", args, err)
		}
	}
}

// TestMedian: of an odd number of runs the middle one, of an even number the
// mean of two.
func TestMedian(t *testing.T) {
	of := func(m measured) float64 { return float64(m.laid) }
	for want, laid := range map[float64][]int{7: {7}, 3: {9, 1, 3}, 4: {5, 1, 9, 3}} {
		var runs []measured
		for _, n := range laid {
			runs = append(runs, measured{laid: n})
		}
		if got := median(runs, of); got != want {
			t.Errorf("%v: %v, want %v", laid, got, want)
		}
	}
}
