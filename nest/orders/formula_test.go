package orders

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// Names that the formulas of these tests use.
var (
	testKinds  = map[string]kind{"width": aLength, "size": aLength, "pitch": aLength, "holes": aNumber}
	testValues = map[string]float64{"width": 25.4, "size": 16 * 25.4, "pitch": 25.4, "holes": 5}
)

func testKind(name string, at int) (kind, error) {
	if k, ok := testKinds[name]; ok {
		return k, nil
	}
	return 0, fmt.Errorf("no name %s at %d", name, at)
}

func testValue(name string) (float64, error) { return testValues[name], nil }

// work reads a formula and works it out.
func work(text string) (kind, float64, error) {
	f, err := parseFormula(text)
	if err != nil {
		return 0, 0, err
	}
	k, err := f.kindOf(testKind)
	if err != nil {
		return 0, 0, err
	}
	v, err := f.eval(testValue)
	return k, v, err
}

func TestFormula(t *testing.T) {
	for _, c := range []struct {
		rule, text string
		kind       kind
		want       float64
	}{
		{"a length with its unit", "35mm", aLength, 35},
		{"an inch is 25.4 mm exactly", "1in", aLength, 25.4},
		{"a fraction before a unit is one length", "1/16in", aLength, 25.4 / 16},
		{"a mixed number is one length", "1 3/8in", aLength, 34.925},
		{"a mixed number with a mark", `1 3/8"`, aLength, 34.925},
		{"a fraction of one letter", "1⅜in", aLength, 34.925},
		{"a fraction of one letter alone", "⅜in", aLength, 9.525},
		{"feet and inches", "2ft 6in", aLength, 762},
		{"feet and inches by marks", `2'6"`, aLength, 762},
		{"feet and inches without a space", "2ft6in", aLength, 762},
		{"a space before the unit", "1/2 in", aLength, 12.7},
		{"a mixed number without a unit", "1 1/2 * pitch", aLength, 38.1},
		{"a fraction without a unit is a division", "3/4 * size", aLength, 12 * 25.4},
		{"division of a name", "size/2", aLength, 8 * 25.4},
		{"division from left to right", "size/2/2", aLength, 4 * 25.4},
		{"division by a length is a number", "size/1/16in", aNumber, 256},
		{"product before sum", "size + 2in + 2 * pitch", aLength, 20 * 25.4},
		{"difference from left to right", "size - 1in - 1in", aLength, 14 * 25.4},
		{"brackets", "2 * (width + 1/16in)", aLength, 2 * 25.4 * 17 / 16},
		{"sign", "-width + 2in", aLength, 25.4},
		{"sign twice", "- -1in", aLength, 25.4},
		{"numbers", "(holes - 1) / 2", aNumber, 2},
		{"a decimal", "3.14159 * width", aLength, 3.14159 * 25.4},
		{"a decimal without a nought", ".5in", aLength, 12.7},
		{"no spaces", "2*(width+1/16in)", aLength, 2 * 25.4 * 17 / 16},
		{"a hyphen is a minus", "2in-1/2in", aLength, 38.1},
		{"a name may begin like a unit", "2 * holes", aNumber, 10},
	} {
		k, v, err := work(c.text)
		if err != nil {
			t.Errorf("%s: %q: %v", c.rule, c.text, err)
			continue
		}
		if k != c.kind || math.Abs(v-c.want) > 1e-9 {
			t.Errorf("%s: %q is %s, %v; want %s, %v", c.rule, c.text, k, v, c.kind, c.want)
		}
	}
}

func TestFormulaRefuses(t *testing.T) {
	noughts := strings.Repeat("0", 189)
	for _, c := range []struct{ text, want string }{
		{"", `in "" at letter 1: found the end, expected a length, a number, a measure or an opening bracket`},
		{"size +", `in "size +" at letter 7: found the end, expected a length, a number, a measure or an opening bracket`},
		{"size * * 2", `in "size * * 2" at letter 8: found "*", expected a length, a number, a measure or an opening bracket`},
		{"(size", `in "(size" at letter 6: found the end, expected a closing bracket`},
		{"size)", `in "size)" at letter 5: found ")", expected one of + - * / or the end`},
		{"2 width", `in "2 width" at letter 3: found "width", expected one of + - * / or the end`},
		{"2kg", `in "2kg" at letter 2: found "kg", expected one of + - * / or the end`},
		{"2 minutes", `in "2 minutes" at letter 3: found "minutes", expected one of + - * / or the end`},
		{"2in 3in", `in "2in 3in" at letter 5: found "3", expected one of + - * / or the end`},
		{"½ + Größe", `in "½ + Größe" at letter 1: found "½", expected a length, a number, a measure or an opening bracket`},
		{"1½in + Größe", `in "1½in + Größe" at letter 8: found "G", expected a length, a number, a measure or an opening bracket`},
		{"13/8in", `in "13/8in" at letter 1: "13/8in": a fraction of 1 or more, expected the whole number apart`},
		{"1 1/0 * pitch", `in "1 1/0 * pitch" at letter 1: found "1 1/0", expected a number`},
		{"size * width", `in "size * width" at letter 6: found a length times a length, expected a length times a number`},
		{"size + 2", `in "size + 2" at letter 6: found a length + a number, expected two lengths or two numbers`},
		{"2 - size", `in "2 - size" at letter 3: found a number - a length, expected two lengths or two numbers`},
		{"2-1/2in", `in "2-1/2in" at letter 2: found a number - a length, expected two lengths or two numbers`},
		{"1 / size", `in "1 / size" at letter 3: found a number divided by a length, expected a length`},
		{"size / (1in / 1in - 1)", `in "size / (1in / 1in - 1)" at letter 6: found a division by 0, expected another divisor`},
		{"1in/." + noughts + "1/." + noughts + "1", `in "1in/.` + noughts + `1/.` + noughts + `1" at letter 196: found a value too large to hold, expected less`},
		{strings.Repeat("(", 60), `in "` + strings.Repeat("(", 60) + `" at letter 42: found more than 40 brackets within each other, expected fewer`},
		{strings.Repeat("-", 60) + "1", `in "` + strings.Repeat("-", 60) + `1" at letter 42: found more than 40 brackets within each other, expected fewer`},
		{strings.Repeat("x", 500), `in "xxxxxxxxxxxxxxxxxxxx…" at letter 1: found 500 letters, expected at most 400`},
		{"\xff", `in "\xff" at letter 1: found bytes that are not UTF-8, expected text`},
	} {
		_, v, err := work(c.text)
		switch {
		case err == nil:
			t.Errorf("%q was taken, for %v", c.text, v)
		case err.Error() != c.want:
			t.Errorf("%q:\n got %s\nwant %s", c.text, err, c.want)
		}
	}
}

// tree is a random formula together with what it must come to, worked out as
// the tree is built.
type tree struct {
	text  string
	kind  kind
	value float64
}

func drawTree(t *rapid.T, depth int, k kind) tree {
	if depth == 0 || rapid.IntRange(0, 3).Draw(t, "leaf") == 0 {
		n := rapid.IntRange(1, 40).Draw(t, "n")
		switch {
		case k == aNumber && n%3 == 0:
			return tree{"holes", aNumber, 5}
		case k == aNumber:
			return tree{fmt.Sprint(n), aNumber, float64(n)}
		case n%3 == 0:
			return tree{"size", aLength, 16 * 25.4}
		case n%3 == 1:
			return tree{fmt.Sprintf("%d 3/8in", n), aLength, (float64(n) + 3./8) * 25.4}
		}
		return tree{fmt.Sprintf("%dmm", n), aLength, float64(n)}
	}
	a := drawTree(t, depth-1, k)
	switch rapid.SampledFrom([]string{"+", "-", "*", "/", "~"}).Draw(t, "op") {
	case "+":
		b := drawTree(t, depth-1, k)
		return tree{a.text + " + (" + b.text + ")", k, a.value + b.value}
	case "-":
		b := drawTree(t, depth-1, k)
		return tree{a.text + "-(" + b.text + ")", k, a.value - b.value}
	case "*":
		b := drawTree(t, depth-1, aNumber)
		return tree{"(" + a.text + ") * (" + b.text + ")", k, a.value * b.value}
	case "/":
		return tree{"(" + a.text + ")/4", k, a.value / 4}
	}
	return tree{"-(" + a.text + ")", k, -a.value}
}

// Law: a formula comes to what its parts come to, and its kind is theirs.
func TestFormulaLaw(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want := drawTree(t, 4, rapid.SampledFrom([]kind{aNumber, aLength}).Draw(t, "kind"))
		if len(want.text) > maxFormula {
			t.Skip()
		}
		k, v, err := work(want.text)
		if err != nil {
			t.Fatalf("%s: %v", want.text, err)
		}
		if k != want.kind || math.Abs(v-want.value) > 1e-9*max(1, math.Abs(want.value)) {
			t.Fatalf("%s is %s, %v; want %s, %v", want.text, k, v, want.kind, want.value)
		}
	})
}

func FuzzFormula(f *testing.F) {
	for _, s := range []string{"size + 2in + 2 * pitch", `1 3/8"`, "2'6\"", "3.14159 * (width)", "1⅜in", "((", "2in 3in", "1/0", "size/1/16in", "- -1"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		k, v, err := work(text)
		if err != nil {
			return
		}
		if math.IsNaN(v) || math.IsInf(v, 0) {
			t.Fatalf("%q came to %v", text, v)
		}
		// What is taken is taken in brackets too, with the same value.
		k2, v2, err := work("(" + text + ")")
		if len(text) < 100 && (err != nil || k2 != k || v2 != v) {
			t.Fatalf("%q is %s %v, in brackets %s %v, %v", text, k, v, k2, v2, err)
		}
	})
}
