package orders

import (
	"math"
	"testing"

	"strapwise/hide/measure"
	"strapwise/nest"
)

const inch = measure.MMPerInch

var (
	testUses     = []string{"face", "hidden", "lining", "load", "loop"}
	testLeathers = []Leather{{"bridle-tan", 0}, {"foam", 6}, {"glove-skin", 0}}
)

func builtInHouse(t testing.TB) *House {
	t.Helper()
	h, err := NewHouse(nil, nil, testLeathers, testUses, nil)
	if err != nil {
		t.Fatal(err)
	}
	return h
}

// one works out a set of a pattern, sizes in inches.
func one(t testing.TB, h *House, pattern string, width, size float64) Line {
	t.Helper()
	l, fault := h.cut(article{pattern: pattern, width: width * inch, size: size * inch, leather: "bridle-tan", lining: "glove-skin"})
	if fault != nil {
		t.Fatalf("%s: %v", pattern, fault)
	}
	return l
}

// The built-in patterns against the allowances of the trade. Where nothing
// else is said the source is common practice; H is Hasluck, Harness Making,
// 1904. Lengths in inches; the leather is 3.5 mm, its lining 0.9 mm.
func TestTrade(t *testing.T) {
	h := builtInHouse(t)
	const t35, t09 = 3.5 / inch, 0.9 / inch
	for _, c := range []struct {
		pattern       string
		width, size   float64
		part          string
		length, broad float64
		use           string
		knife         bool
		source        string
	}{
		{"flat", 1, 16, "main", 16 + 2 + 2 + 2.25, 1, "load", false, "finished length n + 2 + 2 x pitch, arithmetic; turn 2 to 2 1/2in, H gives about 2"},
		{"flat", 1, 16, "keeper", 2*1 + 4*t35 + 0.5, 0.5, "loop", false, "2w + 4t + lap, 1/2 to 3/4in wide, H"},
		{"lined", 1, 16, "main", 22.25, 1, "load", false, "as flat"},
		{"lined", 1, 16, "lining", 20, 1, "lining", false, "from the buckle bar to the point"},
		{"lined", 1, 16, "keeper", 2*1 + 4*(t35+t09) + 0.5, 0.5, "loop", false, "t is the thickness of the stack, H"},
		{"raised", 1, 16, "main", 20 + 2.25 + 3, 1.375, "load", false, "check: w = 1, main 1 3/8; finished length + 5 to 6in"},
		{"raised", 1, 16, "filler", 16 - 6, 0.625, "hidden", false, "check: w = 1, filler 5/8; n - 6 long at 1in pitch, arithmetic"},
		{"raised", 1, 16, "foam", 10, 1 + 1./16, "lining", true, "padding foam w + 1/16 wide"},
		{"raised", 1, 16, "lining", 10 + 1, 2*(1+1./16+6/inch) + 4*t09 + 3./8, "lining", true, "lining blank, arithmetic, from memory"},
		{"raised", 1, 16, "keeper", 2*1 + 4*t35 + 0.5, 0.5, "loop", false, "H"},
		{"raised", 0.75, 13, "main", 13 + 4 + 5.25, 1.125, "load", false, "w + 3/8"},
		{"raised", 0.75, 13, "filler", 13 - 6, 0.375, "hidden", false, "w - 3/8"},
		{"rolled", 0.5, 14, "main", 14 + 4 + 2.25, 3.14159*(0.5-t35) + 0.375, "load", false, "round of the middle of the leather and two lips, arithmetic, from memory"},
		{"lead", 0.75, 48, "main", 60, 0.75, "load", false, "+ 12in for handle and clip"},
		{"belt", 1.5, 34, "main", 44, 1.5, "load", false, "waist + 10in, or + 12: conflict"},
		{"strap", 1, 40, "main", 44, 1, "load", false, "size + 4 x pitch"},
	} {
		var found *nest.Part
		for _, p := range one(t, h, c.pattern, c.width, c.size).Parts {
			if p.Name == c.part {
				found = &p
			}
		}
		switch {
		case found == nil:
			t.Errorf("%s: no %s", c.pattern, c.part)
		case math.Abs(found.Length-c.length*inch) > 1e-6 || math.Abs(found.Width-c.broad*inch) > 1e-6:
			t.Errorf("%s %v x %v: %s is %.4f x %.4f in, want %.4f x %.4f (%s)", c.pattern, c.width, c.size, c.part, found.Length/inch, found.Width/inch, c.length, c.broad, c.source)
		case found.Use != c.use || found.Knife != c.knife || found.Count != 1:
			t.Errorf("%s: %s is %+v, want use %s, knife %v, count 1", c.pattern, c.part, *found, c.use, c.knife)
		}
	}
}

func TestPartsOfEveryPattern(t *testing.T) {
	h := builtInHouse(t)
	want := map[string][]string{
		"belt":   {"main bridle-tan", "keeper bridle-tan"},
		"flat":   {"main bridle-tan", "keeper bridle-tan"},
		"lead":   {"main bridle-tan"},
		"lined":  {"main bridle-tan", "lining glove-skin", "keeper bridle-tan"},
		"raised": {"main bridle-tan", "filler bridle-tan", "foam foam", "lining glove-skin", "keeper bridle-tan"},
		"rolled": {"main bridle-tan", "keeper bridle-tan"},
		"strap":  {"main bridle-tan"},
	}
	if len(h.Patterns()) != len(want) {
		t.Fatalf("built in are %v", h.Patterns())
	}
	for _, name := range h.Patterns() {
		var got []string
		for _, p := range one(t, h, name, 1, 30).Parts {
			got = append(got, p.Name+" "+p.Leather)
		}
		if !equal(got, want[name]) {
			t.Errorf("%s: got %v, want %v", name, got, want[name])
		}
	}
}

func equal(a, b []string) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i] != b[i] {
			return false
		}
	}
	return true
}

// An 18in collar with five holes at 1in fits necks of 16 to 20in: common
// practice, no source. The neck at a hole is what lies between it and the bar.
func TestCollarFits(t *testing.T) {
	const holes, pitch, point = 5, 1.0, 2.0
	for _, pattern := range []string{"flat", "lined", "raised", "rolled"} {
		finished := one(t, builtInHouse(t), pattern, 1, 18).Finished / inch
		greatest := finished - point
		least := greatest - (holes-1)*pitch
		if math.Abs(least-16) > 1e-9 || math.Abs(greatest-20) > 1e-9 {
			t.Errorf("%s: an 18in collar fits %v to %v in, want 16 to 20", pattern, least, greatest)
		}
	}
}

// The filler lies between 2in from the buckle line and two pitches short of
// the hole nearest the buckle: common practice, arithmetic. At any pitch and
// any number of holes.
func TestFillerEnds(t *testing.T) {
	for _, c := range []struct {
		holes int64
		pitch string
		inch  float64
	}{{5, "1in", 1}, {5, "3/4in", 0.75}, {5, "1/2in", 0.5}, {3, "1in", 1}, {7, "1/2in", 0.5}} {
		h := houseWith(t, `
[patterns.raised]
holes = `+itoa(c.holes)+`
pitch = "`+c.pitch+`"
`)
		line := one(t, h, "raised", 1, 18)
		nearest := line.Finished/inch - 2 - float64(c.holes-1)*c.inch // hole, from the bar
		if got, want := line.Parts[1].Length/inch, nearest-2*c.inch-2; math.Abs(got-want) > 1e-9 {
			t.Errorf("%d holes at %s: filler %v in, want %v", c.holes, c.pitch, got, want)
		}
	}
}

// Stitching: seam x 4 + 12in of thread for saddle stitch (common practice), 8
// to 10 stitches an inch (H). Hardware is as wide as the strap through it.
func TestSeamThreadHardware(t *testing.T) {
	l := one(t, builtInHouse(t), "raised", 1, 16)
	seam := 2 * (2 + 10 + 0.5) // ends 3/8 to 1/2in past the filler, common practice
	if math.Abs(l.Seam-seam*inch) > 1e-9 || math.Abs(l.Thread-(4*seam+12)*inch) > 1e-9 || l.Stitches != 200 {
		t.Errorf("seam %v in, thread %v in, %d stitches; want 25, 112, 200", l.Seam/inch, l.Thread/inch, l.Stitches)
	}
	want := []Hardware{{"buckle", 1, inch, 0}, {"dee", 1, inch, 0}}
	if len(l.Hardware) != 2 || l.Hardware[0] != want[0] || l.Hardware[1] != want[1] {
		t.Errorf("hardware %v, want %v", l.Hardware, want)
	}
	if l := one(t, builtInHouse(t), "lead", 1, 48); l.Thread != 0 || l.Seam != 0 {
		t.Errorf("a lead without a seam takes %v mm of thread", l.Thread)
	}
}

// What the workshop knows of its leathers changes what depends on thickness.
func TestSubstance(t *testing.T) {
	h, err := NewHouse(nil, nil, []Leather{{"bridle-tan", 4.5}, {"foam", 6}, {"glove-skin", 1}}, testUses, nil)
	if err != nil {
		t.Fatal(err)
	}
	parts := one(t, h, "raised", 1, 16).Parts
	if got, want := parts[4].Length, 2*inch+4*4.5+inch/2; math.Abs(got-want) > 1e-9 {
		t.Errorf("keeper %v mm, want %v", got, want)
	}
	if got, want := parts[3].Width, 2*(inch*17/16+6)+4*1+inch*3/8; math.Abs(got-want) > 1e-9 {
		t.Errorf("lining %v mm, want %v", got, want)
	}
}
