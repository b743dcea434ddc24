package strip

import (
	"context"
	"slices"
	"testing"

	"github.com/paulmach/orb"

	"strapwise/hide/plane"
	"strapwise/nest"
)

func template(t testing.TB, file string, corners ...orb.Point) *nest.Template {
	t.Helper()
	ring, err := plane.NewRing(corners)
	if err != nil {
		t.Fatal(err)
	}
	return &nest.Template{File: file, Outline: ring}
}

// cheek is 80.4 by 30.7 mm, no whole number of marks; brow another of the same size.
func cheek(t testing.TB) *nest.Template {
	return template(t, "cheek.svg", orb.Point{0, 0}, orb.Point{80.4, 0}, orb.Point{80.4, 20}, orb.Point{40, 30.7}, orb.Point{0, 25})
}

func brow(t testing.TB) *nest.Template {
	return template(t, "brow.svg", orb.Point{0, 10}, orb.Point{40, 0}, orb.Point{80.4, 10}, orb.Point{40, 30.7})
}

// cutTo is an order for pieces of a template.
func cutTo(id string, qty int, worth float64, to *nest.Template) nest.Order {
	b := to.Outline.Bound()
	return nest.Order{ID: id, FirstSet: 1, Qty: qty, Worth: worth, Parts: []nest.Part{
		{Name: "cheek", Leather: "bridle", Use: "load", Length: b.Max[0], Width: b.Max[1], Count: 1, Knife: true, Template: to},
	}}
}

// A template takes the rectangle round it, on the marks, and no more: of 81 by 31 mm,
// four times three cover a sheet of 324 by 93 mm.
func TestTemplateTakesItsRectangle(t *testing.T) {
	for _, c := range []struct {
		length, depth float64
		sets          float64
	}{{324, 93, 12}, {323, 93, 9}, {324, 92, 8}} {
		job := straps(t, sheet(t, "s", "bridle", c.length, c.depth), 0, 0)
		job.Orders = []nest.Order{cutTo("C", 20, 1, cheek(t))}
		plan := laid(t, job, Options{Seed: 1, Steps: 100})
		if r := plan.Result; r.Value != c.sets || !r.Proven {
			t.Errorf("%g by %g mm: found %g sets of at most %g, expected %g, proven", c.length, c.depth, r.Value, r.Bound, c.sets)
		}
		for _, p := range plan.Pieces {
			if len(p.Outline) != 5 || p.ToMM-p.FromMM != 81 {
				t.Errorf("found %v from %g to %g, expected the template's outline in 81 mm", p.Outline, p.FromMM, p.ToMM)
			}
		}
	}
}

// Templates with the same outline are one kind of piece, whatever their files are
// called; those with another in the same rectangle, and that rectangle, are others.
func TestKindsOfTemplates(t *testing.T) {
	job := straps(t, sheet(t, "s", "bridle", 500, 200), 0, 0)
	again := cheek(t)
	again.File = "again.svg"
	plain := cutTo("P", 1, 1, cheek(t))
	plain.Parts[0].Template = nil
	job.Orders = []nest.Order{cutTo("C", 1, 1, cheek(t)), cutTo("D", 1, 1, brow(t)), cutTo("E", 1, 1, again), plain}
	p, err := newProblem(job)
	if err != nil {
		t.Fatal(err)
	}
	var kinds []int
	for _, o := range job.Orders {
		kinds = append(kinds, p.kindOf(o.Parts[0]))
	}
	if want := []int{0, 1, 0, 2}; !slices.Equal(kinds, want) || !slices.Equal(p.demand, []int{2, 1, 1}) {
		t.Errorf("found kinds %v, asked for %v, expected %v", kinds, p.demand, want)
	}
}

// What is cut to a template stays what it is when the rest is laid again: it serves
// whoever asks for the same outline, and nobody who asks for another one of its size.
func TestRelayKnowsTemplates(t *testing.T) {
	job := straps(t, sheet(t, "s", "bridle", 330, 200), 0, 0)
	job.Orders = []nest.Order{cutTo("C", 4, 2, cheek(t)), cutTo("D", 4, 1, brow(t))}
	plan := laidOut(t, job, 100)
	if plan.Result.Value != 12 {
		t.Fatalf("found a worth of %g, expected all", plan.Result.Value)
	}
	text, err := nest.DecodePlan("plan.json", plan.Encode()) // as a relay reads it
	if err != nil {
		t.Fatal(err)
	}
	b := text.Begin()
	first := slices.IndexFunc(b.Plan.Pieces, func(p nest.Piece) bool { return p.Order == "C" })
	for _, p := range b.Plan.Pieces {
		if p.Strip == b.Plan.Pieces[first].Strip && p.Order == "C" {
			if err := b.CutPiece(slices.IndexFunc(b.Plan.Pieces, func(q nest.Piece) bool { return q.Name() == p.Name() })); err != nil {
				t.Fatal(err)
			}
		}
	}
	cut := func(p nest.Plan) (n int) {
		for _, x := range p.Pieces {
			if x.Cut {
				n++
			}
		}
		return n
	}
	n := cut(b.Plan)
	if n == 0 {
		t.Fatal("nothing is cut")
	}
	again := relaid(t, job, b, 100)
	if again.Result.Value != 12 || cut(again) != n || len(again.Spare) > 0 {
		t.Errorf("found %d of %d cut pieces in sets, %d spare, worth %g", cut(again), n, len(again.Spare), again.Result.Value)
	}

	// The order goes to another of the same outline
	job.Orders = []nest.Order{cutTo("E", 4, 2, cheek(t)), cutTo("D", 4, 1, brow(t))}
	if other := relaid(t, job, b, 100); cut(other) != n || len(other.Spare) > 0 {
		t.Errorf("found %d of %d cut pieces in sets and %d spare, expected all to serve the order of that outline", cut(other), n, len(other.Spare))
	}
	// and then to none.
	dropped := b.Plan
	job.Orders = []nest.Order{cutTo("D", 8, 1, brow(t))}
	wanted := 0
	for _, p := range dropped.Pieces {
		if p.Cut && p.Order == "D" {
			wanted++
		}
	}
	if none := relaid(t, job, b, 100); cut(none) != wanted || len(none.Spare) != n-wanted {
		t.Errorf("found %d cut pieces in sets and %d spare, expected those of the other outline to be spare: %d", cut(none), len(none.Spare), n-wanted)
	}
}

// Under a tilted edge they lie along it.
func TestTemplatesOnATilt(t *testing.T) {
	job := slanting(t, 3)
	job.Tools.Tilt = 3 * degree
	job.Orders = []nest.Order{cutTo("C", 3, 30, template(t, "long.svg", orb.Point{0, 0}, orb.Point{290.5, 4}, orb.Point{290.5, 12}, orb.Point{0, 19.5}))}
	job.Orders[0].Parts[0].Leather = "strap"
	plan, err := Lay(context.Background(), job, Options{Seed: 1, Steps: 300})
	if err != nil {
		t.Fatal(err)
	}
	if v := nest.Check(job, plan); v != nil {
		t.Fatal(v)
	}
	tilted := 0
	for _, p := range plan.Pieces {
		if p.Part == "cheek" && p.AngleDeg != 0 {
			tilted++
		}
	}
	if tilted != 3 {
		t.Errorf("found %d templates on a tilt, expected 3", tilted)
	}
}

// What lies beside a large template in the rectangle round it is scrap: no plan keeps it, and
// Check does not ask for it.
func TestTemplateTakesItsRectangleOffTheRack(t *testing.T) {
	job := straps(t, sheet(t, "s", "bridle", 700, 500), 0, 0)
	job.Tools.CutterMax = 300
	job.Orders = []nest.Order{cutTo("C", 1, 1, template(t, "hook.svg", orb.Point{0, 0}, orb.Point{500, 0}, orb.Point{500, 60}, orb.Point{60, 60}, orb.Point{60, 250}, orb.Point{0, 250}))}
	plan := laid(t, job, Options{Seed: 1, Steps: 50})
	if plan.Result.Value != 1 || len(plan.Hides[0].Remnants) == 0 {
		t.Errorf("found %g sets and remnants %v", plan.Result.Value, plan.Hides[0].Remnants)
	}
}
