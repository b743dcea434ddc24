package measure

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
)

var (
	inches = RuleOf(Inch)
	metric = RuleOf(Metric)
)

// rules are those that workshops have, and two that none has.
var rules = []Rule{
	inches, metric,
	{},
	{System: Inch},
	{Inch, MMPerInch / 16},
	{Inch, MMPerInch / 64},
	{Inch, MMPerInch / 10},
	{Inch, MMPerInch / 100},
	{Inch, MMPerInch},
	{Inch, 3 * MMPerInch / 32},
	{Metric, 0.5},
	{Metric, 5},
	{Metric, 0.1},
	{Inch, 1},
	{Metric, MMPerInch / 32},
}

func TestLengthsArePrintedAtAMark(t *testing.T) {
	for _, c := range []struct {
		rule Rule
		mm   float64
		want string
	}{
		{inches, 34.925, "1 3/8 in"},
		{inches, 35, "1 3/8 in"},
		{inches, 15.875, "5/8 in"},
		{inches, 762, "30 in"},
		{inches, 0, "0 in"},
		{inches, 0.3, "0 in"},
		{inches, -0.3, "0 in"},
		{inches, -34.925, "-1 3/8 in"},
		{inches, -15.875, "-5/8 in"},
		{inches, 25.4 / 32, "1/32 in"},
		{Rule{Inch, MMPerInch / 10}, 35, "1 2/5 in"},
		{Rule{Inch, 1}, 35, "1.378 in"}, // a metric rule in a workshop of inches
		{metric, 34.925, "35 mm"},
		{metric, 34.4, "34 mm"},
		{Rule{}, 34.925, "35 mm"},
		{Rule{Metric, 0.5}, 34.4, "34.5 mm"},
		{Rule{Metric, 0.1}, 34.44, "34.4 mm"},
		{Rule{Metric, 5}, 34.4, "35 mm"},
		{metric, -0.2, "0 mm"},
	} {
		if got := c.rule.Length(c.mm); got != c.want {
			t.Errorf("%+v: %v mm prints as %q, want %q", c.rule, c.mm, got, c.want)
		}
	}
}

func TestMarksAreWholeAndFraction(t *testing.T) {
	for _, c := range []struct {
		rule            Rule
		mm              float64
		whole, num, den int64
	}{
		{inches, 34.925, 1, 3, 8},
		{inches, 25.4, 1, 0, 1},
		{inches, 25.4 / 32, 0, 1, 32},
		{inches, -34.925, -1, -3, 8},
		{metric, 35.2, 35, 0, 1},
		{Rule{Metric, 0.5}, 34.4, 34, 1, 2},
		{Rule{Inch, 1}, 35, 1, 189, 500},
	} {
		whole, num, den := c.rule.Marks(c.mm)
		if whole != c.whole || num != c.num || den != c.den {
			t.Errorf("%+v: %v mm is %d %d/%d, want %d %d/%d", c.rule, c.mm, whole, num, den, c.whole, c.num, c.den)
		}
	}
}

func TestBothSystems(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{inches.Both(34.925), "1 3/8 in (34.9 mm)"},
		{inches.Both(inches.at(808)), "25 1/4 in (641.4 mm)"}, // 641.35
		{metric.Both(35), "35 mm (1 3/8 in)"},
		{inches.BothAreas(22.8 * MM2PerSqFt), "22.8 sq ft (2.12 m²)"},
		{metric.BothAreas(22.8 * MM2PerSqFt), "2.12 m² (22.8 sq ft)"},
		{metric.Area(1.3 * MM2PerDM2), "1.3 dm²"},
		{metric.Area(250), "2.5 cm²"},
		{inches.Area(1000), "1.6 sq in"},
		{inches.Area(0), "0.0 sq ft"},
		{metric.ColumnArea(2.12e6), "212.0 dm²"},
		{metric.ColumnArea(250), "0.0 dm²"},
		{inches.ColumnArea(22.8 * MM2PerSqFt), "22.80 sq ft"},
		{inches.ColumnArea(0.066 * MM2PerSqFt), "0.07 sq ft"},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}

func TestExact(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{metric.Exact(25), "25 mm"},
		{metric.Exact(25.4), "25.4 mm"},
		{inches.Exact(25), "0.984 in"},
		{inches.Exact(34.925), "1 3/8 in"},
		{Rule{Inch, MMPerInch / 3}.Exact(15.5 * MMPerInch), "15.5 in"},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}

// The laws of marks: the nearest is no farther than half a mark; Up and Down
// are the marks on either side, both the mark itself on a mark; what is
// printed reads back as the mark.
func TestLawsOfMarks(t *testing.T) {
	rnd := rand.New(rand.NewPCG(5, 6))
	for _, r := range rules {
		for range 2000 {
			mm := (rnd.Float64() - 0.3) * 3000
			if rnd.IntN(2) == 0 {
				mm = r.Nearest(mm) + (rnd.Float64()-0.5)*1e-6 // a mark, as a turn of the frame leaves it
			}
			n, up, down := r.Nearest(mm), r.Up(mm), r.Down(mm)
			switch {
			case math.Abs(n-mm) > r.mark()/2+1e-9:
				t.Fatalf("%+v: the mark nearest %v is %v", r, mm, n)
			case up < mm-onMark-1e-9 || up > mm+r.mark() || down > mm+onMark+1e-9 || down < mm-r.mark():
				t.Fatalf("%+v: %v lies between the marks %v and %v", r, mm, down, up)
			case r.Up(down) != down || r.Down(up) != up || r.Nearest(n) != n:
				t.Fatalf("%+v: %v, %v, %v are not marks", r, down, up, n)
			case math.Abs(n-mm) < 0.9e-6 && (up != n || down != n):
				t.Fatalf("%+v: %v is on a mark, but up is %v and down %v", r, mm, up, down)
			}
			back, err := Coordinate(r.Length(mm), 0)
			if err != nil || math.Abs(back-n) > 0.0005*r.unit()+1e-9 {
				t.Fatalf("%+v: %v prints as %q and reads as %v, %v", r, mm, r.Length(mm), back, err)
			}
			whole, num, den := r.Marks(mm)
			if v := (float64(whole) + float64(num)/float64(den)) * r.unit(); math.Abs(v-n) > 0.0005*r.unit()+1e-9 || den < 1 || num <= -den || num >= den {
				t.Fatalf("%+v: %v is %d %d/%d", r, mm, whole, num, den)
			}
		}
	}
}

func TestPrintedAreasReadBack(t *testing.T) {
	rnd := rand.New(rand.NewPCG(7, 8))
	for range 2000 {
		mm2 := math.Exp(rnd.Float64()*12 + 6)
		for _, r := range []Rule{inches, metric} {
			back, err := Area(r.Area(mm2))
			if err != nil || math.Abs(back-mm2) > 0.06*mm2+40 {
				t.Fatalf("%v mm² prints as %q and reads as %v, %v", mm2, r.Area(mm2), back, err)
			}
		}
	}
}

func ExampleRule() {
	r := RuleOf(Inch)
	fmt.Println(r.Both(35))
	fmt.Println(r.Up(35) > 35, r.Down(35) < 35)
	// Output:
	// 1 3/8 in (35.0 mm)
	// true true
}
