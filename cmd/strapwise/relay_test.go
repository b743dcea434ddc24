package main

import (
	"context"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"strapwise/hide"
	"strapwise/hide/measure"
	"strapwise/nest/strip"
	"strapwise/nest/workshop"
)

// benchOf is the demo with a plan, ready to be told what is cut.
func benchOf(t testing.TB) *bench {
	t.Helper()
	dir := t.TempDir()
	if err := os.CopyFS(dir, os.DirFS(filepath.Join("..", "..", "testdata", "demo"))); err != nil {
		t.Fatal(err)
	}
	w, err := workshop.Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	job, err := w.Job("ash-3", "oak-1", "calf-7")
	if err != nil {
		t.Fatal(err)
	}
	plan, err := strip.Lay(context.Background(), job, strip.Options{Seed: 1, Steps: 30})
	if err != nil {
		t.Fatal(err)
	}
	return &bench{plan: plan, path: "plan.json", begun: plan.Begin(), shop: w, job: job, files: map[string][]byte{}, was: map[string][]byte{}}
}

// What was found is read as it is said at the bench, in any unit.
func TestReadFind(t *testing.T) {
	b := benchOf(t)
	spot := func(kind string, x, y, size float64) hide.Flaw {
		return hide.Flaw{Kind: kind, Spot: &hide.Spot{At: orb.Point{x, y}, Diameter: size}}
	}
	for _, tt := range []struct {
		text string
		want hide.Flaw
	}{
		{"ash-3: hole at 410, 220 mm size 12 mm", spot("hole", 410, 220, 12)},
		{"ash-3:hole at 410mm,220mm,size 12mm", spot("hole", 410, 220, 12)},
		{`ash-3: tick at 10, 5 in size 1/4 in`, spot("tick", 254, 127, 6.35)},
		{`ash-3: tick at 10", 5" size 1/4"`, spot("tick", 254, 127, 6.35)},
		{"ash-3: scar from 200, 90 to 320, 130 mm width 12 mm", hide.Flaw{Kind: "scar", Stroke: &hide.Stroke{Line: []orb.Point{{200, 90}, {320, 130}}, Width: 12}}},
		{"ash-3: flesh cut from 1, 2 to 3, 4 to 5 1/2, 6 in width 1 mm", hide.Flaw{Kind: "cut", Face: hide.Flesh, Stroke: &hide.Stroke{Line: []orb.Point{{25.4, 50.8}, {76.2, 101.6}, {139.7, 152.4}}, Width: 1}}},
	} {
		got, err := b.readFind(tt.text)
		if err != nil {
			t.Errorf("%q: %v", tt.text, err)
			continue
		}
		switch f, want := got.flaw, tt.want; {
		case f.Kind != want.Kind || f.Face != want.Face:
			t.Errorf("%q: found %v, expected %v", tt.text, f, want)
		case want.Spot != nil && (f.Spot == nil || *f.Spot != *want.Spot):
			t.Errorf("%q: found %v, expected %v", tt.text, f.Spot, want.Spot)
		case want.Stroke != nil && (f.Stroke == nil || fmt.Sprint(*f.Stroke) != fmt.Sprint(*want.Stroke)):
			t.Errorf("%q: found %v, expected %v", tt.text, f.Stroke, want.Stroke)
		}
	}
	// on a band it takes the band's depth
	for _, text := range []string{"ash-3: scar on band 2, 310 to 340 mm", "ash-3: scar on 2, 310mm to 340mm from the squared end"} {
		got, err := b.readFind(text)
		if err != nil {
			t.Fatal(err)
		}
		box := got.flaw.Patch.Bound()
		if band := b.plan.Lay("ash-3").Bands[1]; math.Abs(box.Max[0]-box.Min[0]-30) > 1e-6 || math.Abs(box.Max[1]-box.Min[1]-band.DepthMM) > 0.21 {
			t.Errorf("%q: found %v, expected 30 mm of a band %g deep, but for a hair", text, box, band.DepthMM)
		}
	}
}

// What is said of cuts is read or refused, and never panics.
func FuzzRelayWords(f *testing.F) {
	b := benchOf(f)
	for _, s := range []string{"ash-3: 1-3, 5", "ash-3: to 4", "oak-1: 2a", "A101·1 main", "ash-3: scar on band 2, 310 to 340 mm", "ash-3: hole at 1, 2 in size 3 in", "x: y", "A101·1 main in 7"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		try := *b
		try.begun = b.plan.Begin()
		if err := try.mark(relayFlags{cut: []string{text}, ripped: []string{text}, apart: []string{text}}); err != nil && strings.Contains(err.Error(), "%!") {
			t.Error(err)
		}
		try.begun = b.plan.Begin()
		_ = try.mark(relayFlags{spoilt: []string{text}})
		if found, err := try.readFind(text); err == nil && found.hide == "" {
			t.Errorf("%q: found a flaw on no hide", text)
		}
	})
}

// Worths are alike where they read alike, in whatever order they were added up.
func TestWorthAsBefore(t *testing.T) {
	tenth, fifth := 0.1, 0.2 // no constants, whose sum would be exact
	for _, c := range []struct {
		before, now float64
		want        string
	}{
		{tenth + fifth, 0.3, "worth 0.30, as before\n"},
		{0.3, tenth + fifth, "worth 0.30, as before\n"},
		{0.31, 0.3, "worth 0.30, before 0.31: 0.01 less\n"},
		{0.3, 0.31, "worth 0.31, before 0.30: 0.01 more\n"},
	} {
		r := relayResult{Before: c.before}
		r.Worth = c.now
		if got := r.text(measure.Rule{Mark: 1}); !strings.HasPrefix(got, c.want) {
			t.Errorf("%v, before %v: found %q, expected %q first", c.now, c.before, got, c.want)
		}
	}
}
