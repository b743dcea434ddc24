package report

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"

	"github.com/paulmach/orb"

	"strapwise/hide"
	"strapwise/hide/measure"
	"strapwise/hide/plane"
	"strapwise/nest"
	"strapwise/nest/strip"
)

// Hides of any shape, their backbone along them, through them or beside them, however they
// lie in their files; then a relay of some, then what they leave as hides of their own: each
// plan passes Check as its file has it, and whoever follows its list holds its pieces and its
// remnants, to the mark. STRAPWISE_HIDES says how many, 80 if it is not set.
func TestTheListOfAnyHide(t *testing.T) {
	hides := 80
	if n, err := strconv.Atoi(os.Getenv("STRAPWISE_HIDES")); err == nil {
		hides = n
	}
	met := map[string]int{}
	for seed := range uint64(hides) {
		r := rand.New(rand.NewPCG(seed, 3))
		queue := []*hide.Hide{anyHide(t, r)}
		j, rule := anyJob(r)
		for generation := 0; generation < 3 && len(queue) > 0; generation++ {
			h := queue[r.IntN(len(queue))]
			j.Hides, queue = []*hide.Hide{h}, nil
			where := fmt.Sprintf("seed %d, generation %d", seed, generation)
			p, err := strip.Lay(context.Background(), j, strip.Options{Seed: seed, Steps: 12})
			if err != nil {
				t.Fatalf("%s: %v", where, err)
			}
			if p = asWritten(t, p); len(p.Hides) == 0 {
				break
			}
			if faults := nest.Check(j, p); len(faults) > 0 {
				t.Fatalf("%s: %v", where, faults)
			}
			l := followedAs(t, where, j, p, rule)
			for what, is := range map[string]bool{
				"squared": l.lines[0].cut, "ragged": l.datum.ragged,
				"off the backbone": l.datum.at != 0, "a wing comes off": l.datum.then.at > l.datum.before.at+1,
			} {
				if is {
					met[what]++
				}
			}
			for i, outline := range p.Hides[0].Remnants {
				s, err := h.Part(outline)
				if err != nil {
					continue // nothing within the trim
				}
				s.Name = fmt.Sprintf("%s-r%d", h.Name(), i+1)
				part, err := hide.New(s)
				if err != nil {
					t.Fatalf("%s, remnant %d: %v", where, i+1, err)
				}
				queue = append(queue, part)
				met["remnants"]++
			}
			for turn := range 2 {
				j, p = anyRelay(t, r, fmt.Sprintf("%s, relay %d", where, turn+1), j, p, rule, met)
				if len(p.Hides) == 0 {
					break
				}
			}
		}
	}
	for _, what := range []string{
		"squared", "ragged", "off the backbone", "a wing comes off", "remnants",
		"carried on", "another line chalked",
	} {
		if met[what] == 0 && hides >= 80 {
			t.Errorf("no hide is so: %s", what)
		}
	}
}

// asWritten is a plan as its file gives it again.
func asWritten(t *testing.T, p nest.Plan) nest.Plan {
	t.Helper()
	p, err := nest.DecodePlan("plan.json", p.Encode())
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func followedAs(t *testing.T, where string, j nest.Job, p nest.Plan, rule measure.Rule) *lay {
	t.Helper()
	l, err := readLay(j, p, j.Hides[0].Name(), rule)
	if err != nil {
		t.Fatalf("%s: %v", where, err)
	}
	if err := followed(l, rule.Mark/2); err != nil {
		t.Fatalf("%s: %v\n%v", where, err, l.steps())
	}
	return l
}

// anyRelay is a plan laid again after more of it is cut and a scar is found, with its job.
func anyRelay(t *testing.T, r *rand.Rand, where string, j nest.Job, p nest.Plan, rule measure.Rule, met map[string]int) (nest.Job, nest.Plan) {
	t.Helper()
	name, box := p.Hides[0].Hide, j.Hides[0].Outline().Bound()
	b := p.Begin()
	n := r.IntN(len(p.Hides[0].Bands)) + 1
	for i := range n - 1 {
		b.Cut(name, i+1)
	}
	[]func(string, int){b.Rip, b.CutApart}[r.IntN(2)](name, n)
	var err error
	if l := b.Plan.Lay(name); l.Ripped() > p.Hides[0].Ripped() {
		if l.SquaredMM, l.Chalked, err = Lines(j, p, name, rule); err != nil {
			t.Fatalf("%s: %v", where, err)
		}
	}
	in := func(i int) float64 { return box.Min[i] + (0.2+0.6*r.Float64())*(box.Max[i]-box.Min[i]) }
	s := j.Hides[0].Spec()
	s.Flaws = append(s.Flaws, hide.Flaw{Kind: "scar", Spot: &hide.Spot{At: orb.Point{in(0), in(1)}, Diameter: 12}})
	if h, err := hide.New(s); err == nil { // it lies on the leather
		j.Hides = []*hide.Hide{h}
	}
	b.Judge(j, func(nest.Piece) bool { return false })
	again, err := strip.Relay(context.Background(), j, b.Plan, strip.Options{Seed: 1, Steps: 12})
	if err != nil {
		t.Fatalf("%s: %v", where, err)
	}
	again = asWritten(t, again)
	if faults := nest.CheckRelaid(j, b.Plan, again); len(faults) > 0 {
		t.Fatalf("%s: %v", where, faults)
	}
	if l := again.Lay(name); l != nil {
		sheet := followedAs(t, where, j, again, rule)
		if l.SquaredMM > 0 && l.FarMM() > l.SquaredMM+sameMark {
			met["carried on"]++
		}
		if last := sheet.lines[len(sheet.lines)-1]; !last.there {
			met["another line chalked"]++
		}
	}
	return j, again
}

// anyJob asks for straps and keepers, with tools drawn at random and a rule that has their
// marks.
func anyJob(r *rand.Rand) (nest.Job, measure.Rule) {
	rule := []measure.Rule{{Mark: 1}, {System: measure.Inch, Mark: measure.MMPerInch / 16}, {System: measure.Inch, Mark: measure.MMPerInch / 32}}[r.IntN(3)]
	j := nest.Job{Uses: map[string]hide.Use{}, Tools: nest.Tools{
		Mark: rule.Mark, System: rule.System, CutterMin: 6.35, CutterMax: 101.6,
		Grips: []float64{0, 25.4}[r.IntN(2)], Part: []float64{25, measure.MMPerInch}[rule.System],
		Deepest: rule.Down([]float64{0, 55, 101}[r.IntN(3)]), Blocks: r.IntN(4),
		Tilt: []measure.Angle{0, 0, 3 * measure.Degree}[r.IntN(3)],
	}}
	for _, u := range hide.BuiltInUses() {
		j.Uses[u.Name] = u
	}
	in := func(lo, hi float64) float64 { return math.Round(lo + (hi-lo)*r.Float64()) }
	for i := range 1 + r.IntN(3) {
		j.Orders = append(j.Orders, nest.Order{ID: fmt.Sprintf("A%d", i), Line: 1, FirstSet: 1, Qty: 1 + r.IntN(12), Worth: in(1, 50), Parts: []nest.Part{
			{Name: "main", Leather: "l", Use: "load", Length: in(90, 500), Width: in(10, 60), Count: 1},
			{Name: "keep", Leather: "l", Use: []string{"loop", "hidden"}[r.IntN(2)], Length: in(40, 120), Width: in(8, 25), Count: 1},
		}})
	}
	return j, rule
}

// anyHide is four ragged edges, two of them slanted or not, with a backbone anywhere or none,
// flaws and zones, turned anyhow.
func anyHide(t *testing.T, r *rand.Rand) *hide.Hide {
	t.Helper()
	in := func(lo, hi float64) float64 { return lo + (hi-lo)*r.Float64() }
	long, deep, rag := in(300, 1400), in(150, 600), []float64{0, 2, 15}[r.IntN(3)]
	slant := [2]float64{in(-60, 60) * float64(r.IntN(2)), in(-60, 60) * float64(r.IntN(2))}
	along, across := 4+r.IntN(16), 1+r.IntN(5)
	f := plane.NewFrame(orb.Point{}, orb.Point{1, 0})
	if r.IntN(2) == 0 {
		sin, cos := math.Sincos(in(-math.Pi, math.Pi))
		f = plane.NewFrame(orb.Point{in(-500, 500), in(-500, 500)}, orb.Point{cos, sin})
	}
	at := func(x, y float64) orb.Point { return f.OutOf(orb.Point{x, y}) }
	s := hide.Spec{Name: "h", Leather: "l", Form: []string{"side", "hide", "bend", "sheet"}[r.IntN(4)], Trim: []float64{0, 3, 6.35, 15}[r.IntN(4)]}
	edge := func(n int, place func(u float64) orb.Point) {
		for i := range n {
			s.Outline = append(s.Outline, place(float64(i)/float64(n)))
		}
	}
	edge(along, func(u float64) orb.Point { return at(u*long, in(0, rag)) })
	edge(across, func(u float64) orb.Point { return at(long+u*slant[1]+in(0, rag), u*deep) })
	edge(along, func(u float64) orb.Point { return at(long+slant[1]-u*(long+slant[1]-slant[0]), deep+in(0, rag)) })
	edge(across, func(u float64) orb.Point { return at((1-u)*slant[0]-in(0, rag), (1-u)*deep) })
	switch y := deep + in(-15, 100); r.IntN(6) {
	case 0: // by the x axis of the file
	case 1:
		s.Backbone = []orb.Point{at(0, 0), at(long, 0)}
	case 2:
		y = in(0.2, 0.8) * deep
		s.Backbone = []orb.Point{at(in(-50, 50), y), at(long, y+in(-20, 20))}
	case 3:
		y = in(-200, -20)
		s.Backbone = []orb.Point{at(in(-100, 100), y), at(long, y+in(-5, 5))}
	case 4:
		s.Backbone = []orb.Point{at(0, y), at(long, y)}
	case 5:
		s.Backbone = []orb.Point{at(long, y), at(in(-30, 100), y)}
	}
	for range r.IntN([]int{6, 40}[r.IntN(2)]) {
		s.Flaws = append(s.Flaws, hide.Flaw{Kind: "hole", Spot: &hide.Spot{At: at(in(0.1, 0.9)*long, in(0.1, 0.9)*deep), Diameter: in(3, 40)}})
	}
	zone := func(q hide.Quality, from, to orb.Point) {
		ring, err := plane.NewRing([]orb.Point{at(from[0], from[1]), at(to[0], from[1]), at(to[0], to[1]), at(from[0], to[1])})
		if err != nil {
			t.Fatal(err)
		}
		s.Zones = append(s.Zones, hide.Zone{Quality: q, Area: ring})
	}
	if r.IntN(2) == 0 {
		y := in(0.1, 0.8) * deep
		zone(hide.Quality(r.IntN(2)), orb.Point{in(-100, long/2), y}, orb.Point{in(long/2, long+100), y + in(10, 120)})
	}
	if r.IntN(3) == 0 {
		zone(hide.Waste, orb.Point{-100, -100}, orb.Point{in(10, 100), deep + 100})
	}
	h, err := hide.New(s)
	if err != nil {
		t.Fatal(err)
	}
	return h
}
