package measure

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"
)

func near(a, b float64) bool { return math.Abs(a-b) <= 1e-12*max(math.Abs(a), math.Abs(b)) }

func TestLengthReadsEveryWayOfWriting(t *testing.T) {
	for _, c := range []struct {
		rule string
		in   any
		bare float64
		mm   float64
	}{
		{"millimetres", "35mm", 0, 35},
		{"a decimal", "3.5cm", 0, 35},
		{"metres", "0.9m", 0, 900},
		{"a decimal without its nought", ".5in", 0, 12.7},
		{"inches and a fraction", `1 3/8"`, 0, 34.925},
		{"a fraction", "5/8in", 0, 15.875},
		{"spelt", "1 3/8 in", 0, 34.925},
		{"spelt out", "1 3/8 inches", 0, 34.925},
		{"abbreviated", "1 3/8 in.", 0, 34.925},
		{"a hyphen", "1-3/8in", 0, 34.925},
		{"a fraction of one letter", `1⅜"`, 0, 34.925},
		{"a fraction of one letter, apart", "1 ⅜ in", 0, 34.925},
		{"a fraction of one letter, alone", "⅞in", 0, 22.225},
		{"a stroke for fractions", "1 3⁄8in", 0, 34.925},
		{"feet and inches", `2'6"`, 0, 762},
		{"feet and inches, spelt", "2ft 6in", 0, 762},
		{"feet, inches and a fraction", `2' 6 1/2"`, 0, 774.7},
		{"feet and half an inch", `2' 1/2"`, 0, 622.3},
		{"as on drawings", `2'-6"`, 0, 762},
		{"primes", "2′6″", 0, 762},
		{"curly quotes", "2’6”", 0, 762},
		{"two single primes", "6''", 0, 152.4},
		{"a foot", "1 ft", 0, 304.8},
		{"decimal feet", "2.5ft", 0, 762},
		{"capitals", "35 MM", 0, 35},
		{"spaces all about", "  1   3/8   in  ", 0, 34.925},
		{"a space that does not break", "1\u00a03/8\u202fin", 0, 34.925},
		{"nothing", "0mm", 0, 0},
		{"a part of a millimetre", "3 1/2mm", 0, 3.5},
		{"a unit where numbers are bare", "1in", 1, 25.4},
		{"bare text, millimetres", "35", 1, 35},
		{"bare text, inches", "1 3/8", 25.4, 34.925},
		{"bare whole number", int64(35), 1, 35},
		{"bare decimal", 410.25, 1, 410.25},
		{"bare inches", 0.1, 25.4, 2.54},
		{"bare centimetres", 3.5, 10, 35},
		{"bare nought", 0.0, 25.4, 0},
	} {
		if mm, err := Length(c.in, c.bare); err != nil || !near(mm, c.mm) {
			t.Errorf("%s: %v reads as %v, %v; want %v", c.rule, c.in, mm, err, c.mm)
		}
	}
}

func TestWhatHasTwoMeaningsIsNoLength(t *testing.T) {
	for _, c := range []struct {
		in   any
		bare float64
		rule string
		hint string
	}{
		{"1,5mm", 0, "a comma in a number, expected a decimal point", "write 1.5mm"},
		{"5/0in", 0, "a fraction with 0 below the stroke", "write 5/8in"},
		{"1/2/3in", 0, "two strokes in one fraction, expected one", "write 5/8in"},
		{"3/8 1in", 0, "a number after a fraction, expected the whole number first", "write 1 3/8in"},
		{"13/8in", 0, "a fraction of 1 or more, expected the whole number apart", "write 1 5/8in"},
		{"1 9/8in", 0, "a fraction of 1 or more, expected the whole number apart", "write 1 5/8in"},
		{"1 3/8", 0, "a number without a unit, expected a length", "write 1 3/8mm or 1 3/8in"},
		{"1 3/8", 1, "a fraction without a unit, among numbers that are not inches", "write 1 3/8in"},
		{"35", 0, "a number without a unit, expected a length", "write 35mm or 35in"},
		{int64(35), 0, "a number without a unit, expected a length", "write 35mm or 35in"},
		{3.5, 0, "a number without a unit, expected a length", "write 3.5mm or 3.5in"},
		{`2' 14"`, 0, "12 inches or more after feet, expected less than a foot", `write 3'2", not 2'14"`},
		{"2'6", 25.4, "a number without a unit after feet, expected inches", `write 2'6"`},
		{`2.5'6"`, 0, "parts of a foot followed by inches, expected whole feet", `write 2'6" or 2.5ft`},
		{"2ft 60mm", 0, "feet followed by another unit, expected inches", `write 2'6" or 2ft 6in`},
		{"6in 2ft", 0, `found "2ft" after the measure, expected nothing more`, ""},
		{"1m 20cm", 0, `found "20cm" after the measure, expected nothing more`, ""},
		{"1.5 3/8in", 0, "a fraction after a decimal point, expected one or the other", "write 1 3/8in or 1.375in"},
		{"1.5/8in", 0, "half a fraction, expected whole numbers above and below the stroke", "write 5/8in"},
		{"5/8.5in", 0, "a decimal point below the stroke, expected a whole number", "write 5/8in"},
		{"5/in", 0, "half a fraction, expected whole numbers above and below the stroke", "write 5/8in"},
		{"4-5in", 0, "found a range, expected one measure", ""},
		{"4-in", 0, "a hyphen with no fraction after it", "write 1 3/8in or 1-3/8in"},
		{"13 8in", 0, "two numbers side by side, expected one, or a whole number and a fraction", "write 1 3/8in or 35mm"},
		{"-3mm", 0, "less than 0, expected a length", ""},
		{int64(-3), 1, "less than 0, expected a length", ""},
		{"nan", 1, "found 'n' where a number was expected", ""},
		{"infmm", 1, "found 'i' where a number was expected", ""},
		{math.NaN(), 1, "not a number, expected a length", "write 35mm or 1 3/8in"},
		{math.Inf(1), 1, "not a number, expected a length", "write 35mm or 1 3/8in"},
		{1e300, 1, "longer than a kilometre, expected a length", "write 35mm or 1 3/8in"},
		{1e5, 25.4, "longer than a kilometre, expected a length", "write 35mm or 1 3/8in"},
		{"1e9mm", 0, `unknown unit "e", expected mm, cm, m, in or ft`, "write 35mm or 1 3/8in"},
		{"99999999999999999999mm", 0, "longer than a kilometre, expected a length", "write 35mm or 1 3/8in"},
		{strings.Repeat("9", 65) + "mm", 0, "longer than 64 letters, expected a length", "write 35mm or 1 3/8in"},
		{"35yd", 0, `unknown unit "yd", expected mm, cm, m, in or ft`, "write 35mm or 1 3/8in"},
		{"35 mm wide", 0, `found "wide" after the measure, expected nothing more`, ""},
		{"5.in", 0, `found ".in" after the measure, expected nothing more`, ""},
		{"in", 0, "found 'i' where a number was expected", ""},
		{"", 0, "found no text, expected a length", "write 35mm or 1 3/8in"},
		{"  ", 1, "found no text, expected a length", "write 35mm or 1 3/8in"},
		{"-", 1, "ends where a number was expected", ""},
		{true, 1, "found true or false, expected a length", "write 35mm or 1 3/8in"},
		{nil, 1, "found nothing, expected a length", "write 35mm or 1 3/8in"},
		{[]any{int64(1)}, 1, "found a list, expected a length", "write 35mm or 1 3/8in"},
	} {
		mm, err := Length(c.in, c.bare)
		var e *Error
		if !errors.As(err, &e) || e.Rule != c.rule || e.Hint != c.hint || mm != 0 {
			t.Errorf("%v: got %v, %v (%+v)\nwant %s; %s", c.in, mm, err, e, c.rule, c.hint)
		}
	}
}

func TestErrorQuotesWhatWasFound(t *testing.T) {
	for in, want := range map[string]string{
		"35yd":   `"35yd": unknown unit "yd", expected mm, cm, m, in or ft`,
		`2 14"x`: `'2 14"x': two numbers side by side, expected one, or a whole number and a fraction`,
		"1\x00":  `"1\x00": found "\x00" after the measure, expected nothing more`,
	} {
		if _, err := Length(in, 0); err == nil || err.Error() != want {
			t.Errorf("got %v, want %s", err, want)
		}
	}
}

func TestCoordinateMayBeLessThanNought(t *testing.T) {
	for in, want := range map[any]float64{"-1 3/8in": -34.925, "−35mm": -35, int64(-5): -5, -20.5: -20.5, "-0mm": 0, `-2'6"`: -762, "35mm": 35} {
		if mm, err := Coordinate(in, 1); err != nil || !near(mm, want) || mm == 0 && math.Signbit(mm) {
			t.Errorf("%v reads as %v, %v; want %v", in, mm, err, want)
		}
	}
	if _, err := Coordinate("--3mm", 1); err == nil {
		t.Error("two signs are taken")
	}
}

func TestAreaReads(t *testing.T) {
	for _, c := range []struct {
		source string
		in     string
		sqft   float64
	}{
		{"arithmetic", "13 3/4 sqft", 13.75},
		{"arithmetic", "22.3 sq ft", 22.3},
		{"arithmetic", "22 ft2", 22},
		{"arithmetic", "22ft²", 22},
		{"arithmetic", "22 sq. ft.", 22},
		{"arithmetic", "22 square feet", 22},
		{"1 sq ft is 9.290304 dm², from the inch", "9.290304dm2", 1},
		{"1 sq ft is 9.290304 dm², from the inch", "9.290304 dm²", 1},
		{"1 sq ft is 9.290304 dm², from the inch", "9.290304 sq dm", 1},
		{"1 sq ft is 9.290304 dm², from the inch", "0.09290304 m2", 1},
		{"1 sq ft is 9.290304 dm², from the inch", "0.09290304m²", 1},
		{"from the inch", "144 sq in", 1},
		{"stamp in quarters: college handout on measuring straps", "22³", 22.75},
		{"stamp in quarters: college handout on measuring straps", "22²", 22.5},
		{"stamp in quarters: college handout on measuring straps", " 22¹ ", 22.25},
		{"stamp in quarters: college handout on measuring straps", "22³ sq ft", 22.75},
		{"stamp with a point, quarters: common practice, no source", "22.1", 22.25},
		{"stamp with a point, quarters: common practice, no source", "22.2", 22.5},
		{"stamp with a point, quarters: common practice, no source", "22.3", 22.75},
	} {
		if mm2, err := Area(c.in); err != nil || !near(mm2, c.sqft*MM2PerSqFt) {
			t.Errorf("%q reads as %v sq ft, %v; want %v (%s)", c.in, mm2/MM2PerSqFt, err, c.sqft, c.source)
		}
	}
}

func TestWhatIsNoArea(t *testing.T) {
	for _, c := range []struct {
		in   any
		rule string
	}{
		{"22", "a number without a unit, expected an area"},
		{"22.0", "a number without a unit, expected an area"},
		{"22.4", "a number without a unit, expected an area"},
		{"22.35", "a number without a unit, expected an area"},
		{22.3, "found a number, expected an area"},
		{"22 ft", `found the length "ft", expected an area`},
		{"22³ m²", "unknown unit of area, expected sqft, dm2 or m2"},
		{"22²ft", "unknown unit of area, expected sqft, dm2 or m2"},
		{"22 acres", "unknown unit of area, expected sqft, dm2 or m2"},
		{"22 sqft each", `found "each" after the measure, expected nothing more`},
		{"-2 sqft", "less than 0, expected an area"},
		{"0 sqft", "0, expected an area"},
		{"1000 m2", "larger than 400 m², expected the area of a hide"},
		{"³", "found '³' where a number was expected"},
		{"", "found no text, expected an area"},
	} {
		mm2, err := Area(c.in)
		var e *Error
		if !errors.As(err, &e) || e.Rule != c.rule || mm2 != 0 {
			t.Errorf("%v: got %v, %v; want %s", c.in, mm2, err, c.rule)
		}
	}
}

func TestUnitsOfArea(t *testing.T) {
	for in, want := range map[string]float64{"sqft": MM2PerSqFt, " sq ft ": MM2PerSqFt, "ft²": MM2PerSqFt, "dm2": 1e4, "m²": 1e6} {
		r, err := ExactUnit(in)
		if err != nil {
			t.Errorf("%q: %v", in, err)
			continue
		}
		if got, _ := r.Float64(); got != want {
			t.Errorf("%q is %v mm², want %v", in, got, want)
		}
	}
	for _, in := range []string{"", "ft", "2 sqft", "sqft/2", "sq"} {
		if _, err := ExactUnit(in); err == nil {
			t.Errorf("%q is taken for a unit of area", in)
		}
	}
}

func TestThicknessReads(t *testing.T) {
	for _, c := range []struct {
		source string
		in     any
		mm     float64
	}{
		{"1 oz is 1/64 in exactly: common practice, no source", "1oz", 0.396875},
		{"16 oz = 12 iron = 1/4 in: arithmetic", "16 oz", 6.35},
		{"16 oz = 12 iron = 1/4 in: arithmetic", "12 iron", 6.35},
		{"16 oz = 12 iron = 1/4 in: arithmetic", "1/4in", 6.35},
		{"1 iron is 1/48 in: FTMS 311", "1 irons", 25.4 / 48},
		{"arithmetic", "9 1/2 oz.", 9.5 * 0.396875},
		{"plain", "3.8mm", 3.8},
		{"bare numbers are mm: the hide file", 3.8, 3.8},
		{"bare numbers are mm: the hide file", int64(4), 4},
	} {
		if mm, err := Thickness(c.in); err != nil || !near(mm, c.mm) {
			t.Errorf("%v reads as %v, %v; want %v (%s)", c.in, mm, err, c.mm, c.source)
		}
	}
	for in, rule := range map[any]string{
		"4-5 oz": "found a range, expected one measure", "3.8": "a number without a unit, expected a length",
		"0oz": "0, expected a thickness", "-1oz": "less than 0, expected a thickness", "300oz": "more than 100 mm, expected a thickness",
		"9 oz x": `found "x" after the measure, expected nothing more`, "": "found no text, expected a thickness", true: "found true or false, expected a length",
	} {
		_, err := Thickness(in)
		var e *Error
		if !errors.As(err, &e) || e.Rule != rule {
			t.Errorf("%v: got %v, want %s", in, err, rule)
		}
	}
}

func TestAngleReads(t *testing.T) {
	for in, want := range map[string]Angle{
		"12deg": 12 * Degree, "12°": 12 * Degree, "-3.5 deg": -3.5 * Degree, "0.2rad": 0.2, "90 degrees": 90 * Degree,
		"360deg": 360 * Degree, "0deg": 0, "-0deg": 0, "12 1/2°": 12.5 * Degree,
	} {
		if a, err := ParseAngle(in); err != nil || !near(float64(a), float64(want)) || a == 0 && math.Signbit(float64(a)) {
			t.Errorf("%q reads as %v°, %v; want %v°", in, a.Degrees(), err, want.Degrees())
		}
	}
	for in, rule := range map[any]string{
		"12": "a number without a unit, expected an angle", 12.0: "found a number, expected an angle", "12grad": `unknown unit "grad", expected deg or rad`,
		"361deg": "more than a full turn, expected an angle", "12°x": `found "x" after the measure, expected nothing more`, "deg": "found 'd' where a number was expected",
		"12'": `found "'" after the measure, expected nothing more`,
	} {
		_, err := ParseAngle(in)
		var e *Error
		if !errors.As(err, &e) || e.Rule != rule {
			t.Errorf("%v: got %v, want %s", in, err, rule)
		}
	}
}

var seeds = []string{
	"35mm", `1 3/8"`, "5/8in", `2'6"`, "2ft 6in", "1-3/8 in.", "1⅜″", "-0.9m", "13 3/4 sqft", "22³", "22.3", "9.29 dm²", "22 sq. ft.",
	"9 1/2oz", "7 iron", "12deg", "-3.5°", "0.2rad", "1,5mm", "5/0in", "1/2/3in", "", "  ", "1e9mm", "\xff", "9999999999999999999/3in",
}

func addSeeds(f *testing.F) {
	for _, s := range seeds {
		f.Add(s)
	}
}

// mustSay fails unless err is nil or a whole *Error.
func mustSay(t *testing.T, err error) {
	t.Helper()
	var e *Error
	if err != nil && (!errors.As(err, &e) || e.Rule == "" || err.Error() == "") {
		t.Fatalf("%T: %v", err, err)
	}
}

func FuzzLength(f *testing.F) {
	addSeeds(f)
	f.Fuzz(func(t *testing.T, s string) {
		for _, bare := range []float64{0, 1, 25.4} {
			mm, err := Length(s, bare)
			mustSay(t, err)
			if !(mm >= 0 && mm <= 1e6) {
				t.Fatalf("%q reads as %v", s, mm)
			}
			if c, err2 := Coordinate(s, bare); err == nil && (err2 != nil || c != mm) {
				t.Fatalf("%q reads as %v, as a coordinate %v, %v", s, mm, c, err2)
			}
			if again, err2 := Length("  "+s+" ", bare); err == nil && len(s) < 60 && (err2 != nil || again != mm) {
				t.Fatalf("%q with spaces round it reads as %v, %v", s, again, err2)
			}
		}
	})
}

func FuzzArea(f *testing.F) {
	addSeeds(f)
	f.Fuzz(func(t *testing.T, s string) {
		mm2, err := Area(s)
		mustSay(t, err)
		if err == nil != (mm2 > 0) || mm2 > 4e8 {
			t.Fatalf("%q reads as %v, %v", s, mm2, err)
		}
		_, err = ExactUnit(s)
		mustSay(t, err)
	})
}

func FuzzThickness(f *testing.F) {
	addSeeds(f)
	f.Fuzz(func(t *testing.T, s string) {
		mm, err := Thickness(s)
		mustSay(t, err)
		if err == nil != (mm > 0) || mm > 100 {
			t.Fatalf("%q reads as %v, %v", s, mm, err)
		}
		if l, err2 := Length(s, 0); err == nil && err2 == nil && l != mm {
			t.Fatalf("%q is %v mm thick and %v mm long", s, mm, l)
		}
	})
}

func FuzzParseAngle(f *testing.F) {
	addSeeds(f)
	f.Fuzz(func(t *testing.T, s string) {
		a, err := ParseAngle(s)
		mustSay(t, err)
		if !(math.Abs(a.Degrees()) <= 360+1e-9) {
			t.Fatalf("%q reads as %v", s, a)
		}
	})
}

func ExampleLength() {
	mm, _ := Length(`1 3/8"`, 0)
	fmt.Println(mm)
	_, err := Length("5/0in", 0)
	fmt.Println(err)
	// Output:
	// 34.925
	// "5/0in": a fraction with 0 below the stroke
}
