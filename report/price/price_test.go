package price

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/shopspring/decimal"
	"pgregory.net/rapid"

	"strapwise/hide"
	"strapwise/hide/money"
	"strapwise/nest"
	"strapwise/nest/orders"
	"strapwise/nest/rates"
	"strapwise/nest/strip"
	"strapwise/nest/trial"
	"strapwise/report/internal/made"
	"strapwise/report/yield"
)

func dec(s string) decimal.Decimal { return decimal.RequireFromString(s) }

func some(s string) Amount { return decimal.NewNullDecimal(dec(s)) }

func quick(j nest.Job) (nest.Plan, error) { return strip.Quick(context.Background(), j, 1) }

// costing is the hide with another cost.
func costing(t *testing.T, h *hide.Hide, cost decimal.Decimal) *hide.Hide {
	t.Helper()
	s := h.Spec()
	s.Cost = cost
	out, err := hide.New(s)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// jobs are jobs with their plans: of random hides with odd costs, one of them
// without, and a plan made by hand.
func jobs(t *testing.T) map[string]func() (nest.Job, nest.Plan) {
	out := map[string]func() (nest.Job, nest.Plan){
		"by hand": func() (nest.Job, nest.Plan) {
			j, p, err := made.Side()
			if err != nil {
				t.Fatal(err)
			}
			j.Hides = []*hide.Hide{costing(t, j.Hides[0], dec("173.77"))}
			return j, p
		},
	}
	for seed := range uint64(6) {
		out[fmt.Sprint("seed ", seed)] = func() (nest.Job, nest.Plan) {
			r := rand.New(rand.NewPCG(seed, 3))
			cost := func() decimal.Decimal { return decimal.New(int64(1+r.IntN(40000)), -2) }
			j := trial.Worth(trial.Bend(seed, 20), seed)
			j.Hides = []*hide.Hide{costing(t, trial.Bend(seed, 20), cost()), costing(t, trial.Side(seed, 12), cost())}
			if seed == 5 {
				j.Hides[1] = trial.Side(seed, 12) // of no cost
			}
			p, err := quick(j)
			if err != nil {
				t.Fatal(err)
			}
			return j, p
		}
	}
	return out
}

// The leather of all orders and what goes back add up to what was paid, to the
// penny, hide by hide; and so do the areas; and waste is 1 − net/gross.
func TestPartsAddUpToWhatWasPaid(t *testing.T) {
	for name, f := range jobs(t) {
		j, p := f()
		a := Leather(j, p, yield.Of(j, p))
		if len(a.Hides) == 0 || len(a.Taken) == 0 {
			t.Fatalf("%s: nothing was cut", name)
		}
		for _, h := range a.Hides {
			sum, net, mm2 := h.Cost.Remnant, decimal.Zero, 0.0
			for _, x := range a.Taken {
				if x.Hide == h.Hide {
					sum, net, mm2 = sum.Add(x.Sum()), net.Add(x.Cost.Net), mm2+x.MM2
				}
			}
			cost := j.Hide(h.Hide).Cost()
			if h.Paid.Valid == cost.IsZero() || !sum.Equal(cost) || !net.Equal(h.Cost.Net) {
				t.Errorf("%s: %s: parts add up to %v, of that %v in pieces; paid %v, %v in pieces", name, h.Hide, sum, net, cost, h.Cost.Net)
			}
			area := j.Hide(h.Hide).Area()
			if all := h.MM2.Net + h.MM2.Flaws + h.MM2.Waste + h.MM2.Remnant; math.Abs(all-area) > 1 {
				t.Errorf("%s: %s: %.1f mm² are told of %.1f", name, h.Hide, all, area)
			}
			if gross := area - h.MM2.Remnant; math.Abs(h.Wasted()-(1-h.MM2.Net/gross)) > 1e-6 || math.Abs(mm2-h.MM2.Net) > 1e-3*mm2 {
				t.Errorf("%s: %s: waste %.4f, %.0f mm² of pieces counted as %.0f", name, h.Hide, h.Wasted(), mm2, h.MM2.Net)
			}
		}
	}
}

// A flaw never cost less than nothing nor more than the bound allows, no single
// one more than all of them could, and the same each time.
func TestFlawsTakeNoLessThanNothing(t *testing.T) {
	for seed := range uint64(2) {
		h := costing(t, trial.Bend(seed, 5), dec("101.10"))
		j := trial.Worth(h, seed)
		j.Hides = []*hide.Hide{h}
		p, err := quick(j)
		if err != nil {
			t.Fatal(err)
		}
		got, err := Without(j, p, h, quick)
		if err != nil {
			t.Fatal(err)
		}
		if len(got.Lost) != len(h.Flaws())+2 {
			t.Fatalf("%d rows for %d flaws, expected one each, all, and the soft leather", len(got.Lost), len(h.Flaws()))
		}
		all := got.Lost[len(h.Flaws())]
		for _, l := range got.Lost {
			if l.Regained < 0 || l.Most < l.Regained || l.Cost.Decimal.IsNegative() {
				t.Errorf("seed %d, %s %d: regained %.0f mm², at most %.0f, cost %v", seed, l.What, l.Flaw, l.Regained, l.Most, l.Cost)
			}
			if l.Flaw >= 0 && (l.Regained > all.Most || l.Regained > all.Regained+1e-6 && l.Most > all.Most) {
				t.Errorf("seed %d: flaw %d took %.0f mm², all of them at most %.0f", seed, l.Flaw, l.Regained, all.Most)
			}
		}
		again, err := Without(j, p, h, quick)
		if err != nil || !slices.EqualFunc(got.Lost, again.Lost, func(a, b Lost) bool { return a.Regained == b.Regained && a.Most == b.Most }) {
			t.Errorf("seed %d: other figures the second time, %v", seed, err)
		}
	}
}

// A strap 2000 × 50 mm with a hole 1500 mm along gives one piece of 900 mm; without
// the hole it gives two. The scratch beyond them took nothing, and that is proven.
func TestWhatAHoleTook(t *testing.T) {
	spec := hide.Spec{
		Name: "ash-1", Leather: "bridle", Form: "sheet", Outline: []orb.Point{{0, 0}, {2000, 0}, {2000, 50}, {0, 50}}, Cost: dec("20.00"),
		Flaws: []hide.Flaw{
			{Kind: "hole", Spot: &hide.Spot{At: orb.Point{1500, 25}, Diameter: 10}},
			{Kind: "scratch", Spot: &hide.Spot{At: orb.Point{1990, 25}, Diameter: 5}},
		},
	}
	h, err := hide.New(spec)
	if err != nil {
		t.Fatal(err)
	}
	j := nest.Job{
		Hides: []*hide.Hide{h}, Uses: map[string]hide.Use{}, Tools: nest.Tools{Mark: 1, CutterMin: 5, CutterMax: 100, Part: 25},
		Orders: []nest.Order{{ID: "A1", FirstSet: 1, Qty: 1, Worth: 1, Parts: []nest.Part{{Name: "main", Leather: "bridle", Use: "load", Length: 900, Width: 50, Count: 1}}}},
	}
	for _, u := range hide.BuiltInUses() {
		j.Uses[u.Name] = u
	}
	p, err := quick(j)
	if err != nil {
		t.Fatal(err)
	}
	got, err := Without(j, p, h, quick)
	if err != nil {
		t.Fatal(err)
	}
	want := []Lost{
		{Flaw: 0, What: "hole", Regained: 45000, Most: 45000, Cost: some("20")},
		{Flaw: 1, What: "scratch", Cost: some("0")},
		{Flaw: -1, What: AllFlaws, Regained: 45000, Most: 45000, Cost: some("20")},
	}
	same := func(a, b Lost) bool {
		return a.Flaw == b.Flaw && a.What == b.What && math.Abs(a.Regained-b.Regained) < 1 && math.Abs(a.Most-b.Most) < 1 && a.Cost.Decimal.Equal(b.Cost.Decimal)
	}
	if got.MM2 != 45000 || !slices.EqualFunc(got.Lost, want, same) {
		t.Errorf("got %+v", got)
	}
	if got.Laid() != 50 {
		t.Errorf("it cut as %v %%, expected 50", got.Laid())
	}
}

// line is a collar with all that costs something.
func line() orders.Line {
	l := orders.Line{Pattern: "flat", Seam: 254, Thread: 1320, Hardware: []orders.Hardware{
		{Name: "buckle", Count: 1, Width: 25.4}, {Name: "dee", Count: 2, Width: 25.4}, {Name: "cord", Count: 1, Width: 9, Length: 500},
	}, Aside: []nest.Part{{Name: "foam", Leather: "foam", Length: 300, Width: 100, Count: 1}}}
	l.ID, l.Qty = "A1", 3
	return l
}

func all() rates.Rates {
	perIn, perM := money.Rate{Amount: dec("1.5"), Per: dec("25.4")}, money.Rate{Amount: dec("0.70"), Per: dec("1000")}
	return rates.Rates{
		Hour: some("18"), Stitching: &perIn, Minutes: map[string]decimal.Decimal{"flat": dec("20")}, Thread: &perM,
		Leathers: map[string]rates.ByArea{"foam": {Price: money.Rate{Amount: dec("15"), Per: dec("1000000")}, Waste: some("0.10")}},
		Hardware: map[string]rates.ByWidth{
			"buckle": {Widths: []rates.Width{{MM: 19.05, Price: dec("1.15")}, {MM: 25.4, Price: dec("1.40")}}},
			"dee":    {Any: some("0.45")},
			"cord":   {Length: &perM},
		},
		Overhead: some("0.10"), Margin: some("0.25"), Tax: some("0.20"),
	}
}

// Worked by hand for three sets, each step to the penny: hardware 1.40 + 2 × 0.45
// + 0.35; thread 1.32 m; foam 0.03 m² at 15.00, a tenth of what is bought wasted;
// 20 min and 10 in of seam; 10 % overhead; the margin is a quarter of the price;
// 20 % tax.
func TestBillByHand(t *testing.T) {
	b := Of(line(), 3, Split[Amount]{Net: some("9.00"), Flaws: some("0.10"), Waste: some("2.90")}, 1e5, line().Aside, nil, all())
	for _, c := range []struct {
		what, want string
		got        decimal.Decimal
	}{
		{"hardware", "7.95", b.Fitted.Decimal},
		{"thread", "2.77", b.Thread.Decimal},
		{"foam", "1.50", b.ByArea.Decimal},
		{"minutes", "105", b.Minutes.Decimal},
		{"work", "31.50", b.Work.Decimal},
		{"cost", "55.72", b.Cost},
		{"overhead", "5.57", b.Overhead.Decimal},
		{"before tax", "81.72", b.Before},
		{"margin", "20.43", b.Margin.Decimal},
		{"tax", "16.34", b.Tax.Decimal},
		{"price", "98.06", b.Price},
		{"one", "32.69", b.Each()},
	} {
		if !c.got.Equal(dec(c.want)) {
			t.Errorf("%s: %v, expected %s", c.what, c.got, c.want)
		}
	}
	if len(b.Missing) > 0 {
		t.Errorf("missing %q, expected nothing", b.Missing)
	}
}

// What is not told is named, and nothing of it is a 0.
func TestWhatIsNotTold(t *testing.T) {
	b := Of(line(), 3, Split[Amount]{}, 0, line().Aside, []string{"leather of ash-3: its file tells no cost"}, rates.Rates{})
	for _, a := range []Amount{b.Leather.Net, b.ByArea, b.Fitted, b.Thread, b.Minutes, b.Work, b.Overhead, b.Margin, b.Tax} {
		if a.Valid {
			t.Errorf("%v is told, expected not", a.Decimal)
		}
	}
	for _, what := range []string{"leather of ash-3", "foam", "buckle", "dee", "cord", "thread", "making", "stitching", "overhead", "margin", "tax"} {
		if !slices.ContainsFunc(b.Missing, func(m string) bool { return strings.HasPrefix(m, what) }) {
			t.Errorf("%s is not named among %q", what, b.Missing)
		}
	}
	r := all()
	delete(r.Hardware, "dee")
	if b := Of(line(), 1, Split[Amount]{}, 0, nil, nil, r); len(b.Missing) != 1 || !b.Fitted.Decimal.Equal(dec("1.75")) {
		t.Errorf("hardware %v, missing %q, expected 1.75 without the dees", b.Fitted, b.Missing)
	}
}

// Whatever the rates: the parts make the cost, and cost, overhead, margin and tax
// the price, all in whole pennies.
func TestBillsAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r, l := all(), line()
		draw := func(what string, places int32, most int) Amount {
			if rapid.Bool().Draw(t, what+" is told") {
				return decimal.NewNullDecimal(decimal.New(int64(rapid.IntRange(0, most).Draw(t, what)), -places))
			}
			return Amount{}
		}
		r.Hour, r.Overhead, r.Margin, r.Tax = draw("hour", 2, 9999), draw("overhead", 4, 20000), draw("margin", 4, 9500), draw("tax", 4, 9999)
		sets := rapid.IntRange(1, 50).Draw(t, "sets")
		b := Of(l, sets, Split[Amount]{Net: draw("net", 2, 99999), Waste: draw("waste", 2, 9999)}, 0, l.Aside, nil, r)
		sum := decimal.Sum(b.Leather.Net.Decimal, b.Leather.Flaws.Decimal, b.Leather.Waste.Decimal, b.ByArea.Decimal, b.Fitted.Decimal, b.Thread.Decimal, b.Work.Decimal)
		before := decimal.Sum(b.Cost, b.Overhead.Decimal, b.Margin.Decimal)
		switch {
		case !sum.Equal(b.Cost):
			t.Fatalf("the parts add up to %v, the cost is %v", sum, b.Cost)
		case !before.Equal(b.Before) || !b.Before.Add(b.Tax.Decimal).Equal(b.Price):
			t.Fatalf("%v and tax %v make %v, expected the price %v", before, b.Tax.Decimal, b.Before, b.Price)
		case !b.Price.Equal(b.Price.Round(money.Places)) || b.Margin.Decimal.IsNegative():
			t.Fatalf("the price is %v, the margin %v", b.Price, b.Margin.Decimal)
		case b.Each().Mul(decimal.NewFromInt(int64(sets))).LessThan(b.Price):
			t.Fatalf("%d at %v are less than %v", sets, b.Each(), b.Price)
		}
	})
}

func TestShopping(t *testing.T) {
	a, b := line(), line()
	b.Qty = 2
	wanted, thread := Shopping([]orders.Line{a, b}, all())
	if len(wanted) != 3 || wanted[0].Count != 5 || !wanted[0].Cost.Decimal.Equal(dec("7.00")) || wanted[1].Count != 10 || thread != 5*1320 {
		t.Errorf("got %+v, %v mm of thread", wanted, thread)
	}
}

// A hide bought as B, mean 93 (SATRA), that cuts as 88 % was worth 88/93 of its
// price: 109.15 becomes 103.28.
func TestWorthOfAGrade(t *testing.T) {
	c := Cut{Bought: Bought{Grade: "B"}, Paid: some("109.15"), Laid: 88}
	if got := c.Worth(); !got.Valid || !got.Decimal.Equal(dec("103.28")) || c.Graded() != "C" {
		t.Errorf("worth %v as %s, expected 103.28 as C", got, c.Graded())
	}
	for what, c := range map[string]Cut{
		"no grade":           {Paid: some("1"), Laid: 88},
		"a grade of a maker": {Bought: Bought{Grade: "select"}, Paid: some("1"), Laid: 88},
		"no price":           {Bought: Bought{Grade: "B"}, Laid: 88},
		"no lay":             {Bought: Bought{Grade: "B"}, Paid: some("1")},
	} {
		if c.Worth().Valid {
			t.Errorf("%s: worth %v, expected not known", what, c.Worth())
		}
	}
}

// Two hides of one source count as one, by hand: 30 of 40 dm² used, for 12.00, of a
// cutting value of 90 on the average. What they left is no hide more, and what is put
// away counts where the record has it.
func TestSources(t *testing.T) {
	cut := func(supplier string, net, waste float64, paid string) Cut {
		return Cut{Bought: Bought{supplier, "B"}, MM2: Split[float64]{Net: net, Waste: waste}, Paid: some(paid)}
	}
	upper, away, rest := cut("Upper", 20e4, 5e4, "8.00"), cut("Upper", 1e4, 1e4, "7.00"), cut("Upper", 5e4, 2e4, "2.00")
	upper.Marked, away.Away, rest.Remnant = 90, true, true
	got := Sources([]Cut{upper, cut("Nether", 1e4, 1e4, "9"), rest, away, cut("Upper", 5e4, 3e4, "2.00")})
	got[1].Marked *= 2 // the second has none
	if len(got) != 2 || got[0].Supplier != "Nether" || got[1].Hides != 2 || got[1].Marked != 90 || got[1].Wasted() != 0.25 || !got[1].Paid.Equal(dec("12")) || !got[1].Usable.Equal(dec("300000")) {
		t.Errorf("got %+v", got)
	}
}
