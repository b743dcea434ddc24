package strip

import (
	"fmt"
	"slices"
	"testing"

	"strapwise/hide"
	"strapwise/nest"
)

// rackOf is a job of five kinds of straps and so many sheets that cost by their area.
func rackOf(t testing.TB, sheets int) nest.Job {
	t.Helper()
	job := nest.Job{Uses: uses(), Tools: nest.Tools{Mark: 10, CutterMin: 10, CutterMax: 100, Deepest: 60, Part: 50}}
	for i := range sheets {
		job.Hides = append(job.Hides, priced(t, fmt.Sprint("h", i), float64(700+70*i), float64(170+10*(i%3)), float64(600+70*i)))
	}
	for i, length := range []float64{570, 410, 330, 260, 210} {
		job.Orders = append(job.Orders, pieces(string(rune('A'+i)), sheets+2*i, length, float64(20+10*(i%3)), 5))
	}
	return job
}

// TestDealt: deals lay all pieces, and no more of a kind than are asked for, on hides that
// hold them with little to spare, and leave what lies on other hides as it is.
func TestDealt(t *testing.T) {
	job := rackOf(t, 6)
	p, err := newProblem(job)
	if err != nil {
		t.Fatal(err)
	}
	p.survey()
	never := func() bool { return false }
	s := newSearch(p, newShapes(), 1)
	var cost []float64
	c := &choice{leather: "strap", effort: 1}
	for gi, g := range p.grounds {
		c.hides = append(c.hides, gi)
		cost = append(cost, g.hide.Cost().InexactFloat64())
		c.proven.cost, c.tried.cost = cost, cost
	}
	c.bound = s.boundOf(c, cost)
	if err := c.learn(never); err != nil {
		t.Fatal(err)
	}
	tight, dealt := 0, 0
	for set := 1; set < 1<<len(job.Hides); set++ {
		in := make([]bool, len(job.Hides))
		for i := range in {
			in[i] = set>>i&1 == 1
		}
		holds, err := s.holding(c, in, never)
		if err != nil {
			t.Fatal(err)
		}
		ch := s.chain()
		l, err := newDeal(ch, "strap", p.emptyLay(), c.named(in), holds).run(p.emptyLay(), false, never)
		if err != nil {
			t.Fatal(err)
		}
		short := false
		for k, n := range l.laid {
			if n > p.demand[k] {
				t.Errorf("choice %b: %d pieces of kind %d, %d are asked for", set, n, k, p.demand[k])
			}
			short = short || n < p.demand[k]
		}
		for gi := range p.grounds {
			if len(l.bands[gi]) > 0 && !in[gi] {
				t.Errorf("choice %b: hide %d is cut into", set, gi)
			}
		}
		const little, much = 1.1, 1.3
		if times := holds.master.Value(); times > little && times < much {
			tight++
			if !short {
				dealt++
			}
		}
	}
	t.Logf("%d of %d choices that hold little more than is asked for are laid in full at the first deal", dealt, tight)
	if tight < 6 || 4*dealt < 3*tight {
		t.Errorf("%d of %d choices that hold little more than is asked for are laid in full, want three in four", dealt, tight)
	}
}

// TestRuledOut: two cheap sheets have area enough for all straps, but no room for the long
// ones. That is proven, and so is that the dear sheet serves.
func TestRuledOut(t *testing.T) {
	job := nest.Job{
		Orders: []nest.Order{pieces("A", 4, 300, 20, 5), pieces("B", 2, 900, 20, 20)}, Uses: uses(),
		Tools: nest.Tools{Mark: 1, CutterMin: 6, CutterMax: 100, Deepest: 60, Part: 25},
		Hides: []*hide.Hide{priced(t, "a", 620, 62, 10), priced(t, "b", 630, 62, 11), priced(t, "c", 960, 150, 60)},
	}
	p, err := newProblem(job)
	if err != nil {
		t.Fatal(err)
	}
	p.survey()
	never := func() bool { return false }
	s, cost := newSearch(p, newShapes(), 1), []float64{10, 11, 60}
	c := &choice{leather: "strap", hides: []int{0, 1, 2}, effort: 1}
	c.proven.cost, c.tried.cost = cost, cost
	c.bound = s.boundOf(c, cost)
	c.bound.settle(never)
	c.learnt = mostRounds
	const paid = 200 // far more than it must be
	for range 8 {
		if err := s.prove(c, paid, never); err != nil {
			t.Fatal(err)
		}
	}
	in, least, err := c.proven.choose()
	if err != nil {
		t.Fatal(err)
	}
	if !slices.Equal(in, []bool{false, false, true}) || least != 60 || !slices.Equal(c.sound, in) {
		t.Errorf("the cheapest choice that is not ruled out: %v for %v, want the third sheet for 60", in, least)
	}
	if r := laid(t, job, Options{}).Result; r.Cost != 60 || r.CostBound != 60 {
		t.Errorf("%+v, want 60 and 60 proven", r)
	}
}
