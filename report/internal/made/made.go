package made

import (
	"fmt"
	"math"
	"math/rand/v2"

	"github.com/paulmach/orb"

	"strapwise/hide"
	"strapwise/hide/measure"
	"strapwise/hide/plane"
	"strapwise/nest"
)

const in = measure.MMPerInch

// tools are a bench's usual ones, with a rule of the given mark.
func tools(mark float64) nest.Tools {
	return nest.Tools{Mark: mark, CutterMin: 6, CutterMax: 102, Grips: 25}
}

func uses() map[string]hide.Use {
	m := map[string]hide.Use{}
	for _, u := range hide.BuiltInUses() {
		m[u.Name] = u
	}
	return m
}

func strap(id string, qty int, worth float64, parts ...nest.Part) nest.Order {
	return nest.Order{ID: id, Line: 1, FirstSet: 1, Qty: qty, Worth: worth, Parts: parts}
}

func part(name, use string, length, width float64) nest.Part {
	return nest.Part{Name: name, Leather: "bridle-tan", Use: use, Length: length, Width: width, Count: 1}
}

func box(x0, y0, x1, y1 float64) plane.Ring { return plane.Box(orb.Point{x0, y0}, orb.Point{x1, y1}) }

func ring(pts ...orb.Point) *plane.Ring {
	r, err := plane.NewRing(pts)
	if err != nil {
		panic(err) // the hides of this file are fixed
	}
	return &r
}

// Side is a side of bridle leather with fourteen flaws and a soft belly, and
// a plan of some twenty strips for collars, leads and belts.
func Side() (nest.Job, nest.Plan, error) {
	spot := func(kind string, x, y, d float64, f hide.Face) hide.Flaw {
		return hide.Flaw{Kind: kind, Face: f, Spot: &hide.Spot{At: orb.Point{x, y}, Diameter: d}}
	}
	stroke := func(kind string, w float64, f hide.Face, pts ...orb.Point) hide.Flaw {
		return hide.Flaw{Kind: kind, Face: f, Stroke: &hide.Stroke{Line: pts, Width: w}}
	}
	h, err := hide.New(hide.Spec{
		Name: "ash-3", Leather: "bridle-tan", Form: "side", Trim: 5,
		Outline: []orb.Point{
			{0, 60},
			{120, 22},
			{420, 4},
			{900, 0},
			{1500, 6},
			{2050, 2},
			{2310, 18},
			{2440, 90},
			{2470, 210},
			{2420, 330},
			{2455, 520},
			{2520, 700},
			{2480, 830},
			{2330, 850},
			{2230, 760},
			{2080, 800},
			{1900, 905},
			{1640, 930},
			{1400, 890},
			{1150, 930},
			{900, 985},
			{760, 940},
			{640, 1010},
			{520, 1060},
			{400, 1020},
			{360, 900},
			{250, 760},
			{110, 700},
			{40, 540},
			{-30, 380},
			{-20, 200},
		},
		Backbone: []orb.Point{{0, 0}, {2440, 0}},
		Flaws: []hide.Flaw{
			spot("hole", 402, 210, 18, hide.Grain), spot("hole", 1720, 92, 14, hide.Grain),
			stroke("scar", 12, hide.Grain, orb.Point{1150, 150}, orb.Point{1240, 205}, orb.Point{1300, 212}),
			stroke("scar", 10, hide.Grain, orb.Point{640, 520}, orb.Point{760, 560}),
			stroke("cut", 6, hide.Flesh, orb.Point{1880, 330}, orb.Point{1990, 372}),
			stroke("cut", 6, hide.Flesh, orb.Point{860, 405}, orb.Point{905, 330}),
			{Kind: "brand", Patch: ring(orb.Point{2060, 430}, orb.Point{2190, 420}, orb.Point{2210, 545}, orb.Point{2085, 560})},
			spot("tick", 560, 300, 8, hide.Grain), spot("tick", 585, 322, 8, hide.Grain), spot("tick", 610, 290, 8, hide.Grain),
			stroke("vein", 8, hide.Flesh, orb.Point{1300, 610}, orb.Point{1480, 640}, orb.Point{1660, 600}),
			stroke("wrinkle", 30, hide.Grain, orb.Point{90, 180}, orb.Point{130, 420}),
			{Kind: "loose", Face: hide.Flesh, Patch: ring(orb.Point{980, 800}, orb.Point{1130, 780}, orb.Point{1180, 880}, orb.Point{1010, 900})},
			stroke("scratch", 4, hide.Grain, orb.Point{1540, 420}, orb.Point{1700, 470}),
		},
		Zones: []hide.Zone{
			{Quality: hide.Soft, Area: *ring(orb.Point{200, 690}, orb.Point{700, 640}, orb.Point{1300, 720}, orb.Point{1900, 700},
				orb.Point{2500, 640}, orb.Point{2600, 900}, orb.Point{1600, 1100}, orb.Point{300, 1100})},
			{Quality: hide.Waste, Area: *ring(orb.Point{380, 960}, orb.Point{660, 960}, orb.Point{660, 1080}, orb.Point{380, 1080})},
		},
	})
	if err != nil {
		return nest.Job{}, nest.Plan{}, err
	}
	j := nest.Job{Hides: []*hide.Hide{h}, Uses: uses(), Tools: tools(in / 32), Orders: []nest.Order{
		strap("A12", 14, 24, part("main", "load", 25.5*in, 1.375*in), part("filler", "hidden", 10*in, 0.625*in), part("keeper", "loop", 4.5*in, 0.5*in)),
		strap("A13", 4, 30, part("lead", "load", 72*in, 0.75*in)),
		strap("A14", 5, 38, part("belt", "load", 44*in, 1.5*in), part("keeper", "loop", 5*in, 0.5*in)),
		strap("B2", 8, 20, part("main", "load", 21*in, in), part("filler", "hidden", 7.5*in, 0.375*in)),
	}}
	d := newHand(j, h, 0.75*in, 3.5*in, 2300)
	d.rows(2, "A14", "belt")
	d.skip(0.25 * in)
	d.rows(2, "A14", "belt")
	d.rows(2, "A13", "lead")
	d.rows(3, "A12", "main")
	d.split(57*in, "A12", "main", "filler")
	d.rows(2, "A12", "main")
	d.skip(1.125 * in)
	d.rows(1, "A12", "main")
	d.rows(3, "B2", "main")
	d.rows(1, "A12", "filler")
	d.rows(1, "B2", "filler")
	d.rows(1, "A12", "keeper")
	d.rows(1, "A14", "keeper")
	d.remnant(orb.Point{60, d.at}, orb.Point{2300, d.at}, orb.Point{2300, d.at + 60}, orb.Point{1200, d.at + 130}, orb.Point{400, d.at + 130})
	return d.plan(871.25, false)
}

// Whole is a whole hide, its backbone in the middle, and a plan that goes
// from one belly to the other.
func Whole() (nest.Job, nest.Plan, error) {
	var outline []orb.Point
	for i := range 72 {
		a := 2 * math.Pi * float64(i) / 72
		r := 1 + 0.05*math.Sin(5*a) + 0.035*math.Cos(11*a) + 0.10*math.Cos(4*a+math.Pi)
		outline = append(outline, orb.Point{1180 + 1240*r*math.Cos(a), 930 * r * math.Sin(a)})
	}
	h, err := hide.New(hide.Spec{
		Name: "oak-1", Leather: "bridle-tan", Form: "hide", Trim: 5, Outline: outline,
		Backbone: []orb.Point{{0, 0}, {2360, 0}},
		Flaws: []hide.Flaw{
			{Kind: "hole", Spot: &hide.Spot{At: orb.Point{700, 300}, Diameter: 25}},
			{Kind: "scar", Stroke: &hide.Stroke{Line: []orb.Point{{1500, -220}, {1650, -260}}, Width: 14}},
			{Kind: "brand", Patch: ring(orb.Point{1750, 320}, orb.Point{1890, 330}, orb.Point{1880, 470}, orb.Point{1760, 460})},
			{Kind: "cut", Face: hide.Flesh, Stroke: &hide.Stroke{Line: []orb.Point{{900, -400}, {980, -330}}, Width: 6}},
			{Kind: "vein", Face: hide.Flesh, Stroke: &hide.Stroke{Line: []orb.Point{{400, 100}, {620, 140}}, Width: 8}},
		},
		Zones: []hide.Zone{{Quality: hide.Soft, Area: box(-200, 620, 2600, 1100)}, {Quality: hide.Soft, Area: box(-200, -1100, 2600, -620)}},
	})
	if err != nil {
		return nest.Job{}, nest.Plan{}, err
	}
	j := nest.Job{Hides: []*hide.Hide{h}, Uses: uses(), Tools: tools(1), Orders: []nest.Order{
		strap("F7", 40, 46, part("belt", "load", 1150, 40)),
		strap("F8", 20, 22, part("main", "load", 640, 35), part("filler", "hidden", 250, 16)),
		strap("F9", 6, 30, part("lead", "load", 1800, 20)),
	}}
	d := newHand(j, h, -640, 240, 1900)
	d.rows(3, "F8", "filler")
	d.rows(14, "F7", "belt")
	d.rows(6, "F9", "lead")
	d.rows(5, "F8", "main")
	d.rows(6, "F7", "belt")
	return d.plan(0, true)
}

// Sheet is a small rectangle with three strips, cut in millimetres.
func Sheet() (nest.Job, nest.Plan, error) {
	h, err := hide.New(hide.Spec{
		Name: "offcut-9", Leather: "bridle-tan", Form: "sheet", Outline: []orb.Point{{0, 0}, {620, 0}, {620, 140}, {0, 140}},
		Flaws: []hide.Flaw{{Kind: "tick", Spot: &hide.Spot{At: orb.Point{560, 120}, Diameter: 6}}},
	})
	if err != nil {
		return nest.Job{}, nest.Plan{}, err
	}
	j := nest.Job{Hides: []*hide.Hide{h}, Uses: uses(), Tools: tools(0.5), Orders: []nest.Order{
		strap("C1", 2, 18, part("main", "load", 520, 34.5), part("filler", "hidden", 250, 16)),
	}}
	d := newHand(j, h, 0, 0, 620)
	d.rows(2, "C1", "main")
	d.rows(1, "C1", "filler")
	d.remnant(orb.Point{0, d.at}, orb.Point{620, d.at}, orb.Point{620, 140}, orb.Point{0, 140})
	return d.plan(0, true)
}

// Random is a plan on an invented hide; equal seeds give equal plans. Names
// are of all lengths, strips of all widths.
func Random(seed uint64) (nest.Job, nest.Plan, error) {
	r := rand.New(rand.NewPCG(seed, 1))
	within := func(lo, hi float64) float64 { return lo + (hi-lo)*r.Float64() }
	length, depth := within(300, 2600), within(120, 1200)
	var outline []orb.Point
	for i := range 24 { // round an upright oblong, each corner moved a little
		a := 2 * math.Pi * float64(i) / 24
		s := within(0.9, 1.1) * min(1/math.Abs(math.Cos(a)), 1/math.Abs(math.Sin(a)))
		outline = append(outline, orb.Point{length/2 + s*length/2*math.Cos(a), depth/2 + s*depth/2*math.Sin(a)})
	}
	kinds := append(hide.FlawKinds(), "a kind with a long name of its own")
	var flaws []hide.Flaw
	for range r.IntN(30) {
		f := hide.Flaw{Kind: kinds[r.IntN(len(kinds))], Face: hide.Face(r.IntN(2))}
		at := orb.Point{within(0.1, 0.9) * length, within(0.1, 0.9) * depth}
		switch r.IntN(3) {
		case 0:
			f.Spot = &hide.Spot{At: at, Diameter: within(2, 60)}
		case 1:
			f.Stroke = &hide.Stroke{Line: []orb.Point{at, {at[0] + within(-200, 200), at[1] + within(-80, 80)}}, Width: within(1, 20)}
		default:
			f.Patch = ring(at, orb.Point{at[0] + within(5, 200), at[1]}, orb.Point{at[0], at[1] + within(5, 200)})
		}
		flaws = append(flaws, f)
	}
	h, err := hide.New(hide.Spec{
		Name:    []string{"h", "ash-3", "a-hide-with-a-name-that-goes-on-and-on-and-on-until-no-head-of-a-sheet-can-hold-it-any-more-and-then-some"}[r.IntN(3)],
		Leather: "bridle-tan", Form: "side", Outline: outline, Flaws: flaws,
		Zones: []hide.Zone{{Quality: hide.Quality(r.IntN(4)), Area: box(within(0, length/2), within(0, depth/2), length, depth)}},
	})
	if err != nil {
		return nest.Job{}, nest.Plan{}, err
	}
	j := nest.Job{Hides: []*hide.Hide{h}, Uses: uses(), Tools: tools([]float64{in / 32, 1, 0.5}[r.IntN(3)])}
	for i := range 1 + r.IntN(6) {
		id := []string{fmt.Sprint("A", i), fmt.Sprint(i), fmt.Sprint("an-order-with-a-name-as-long-as-people-make-them-", i)}[r.IntN(3)]
		j.Orders = append(j.Orders, strap(id, 1+r.IntN(40), within(0, 50),
			part("main", "load", math.Round(within(100, 900)), math.Round(within(10, 50))),
			part("filler", "hidden", math.Round(within(60, 300)), math.Round(within(6, 20)))))
	}
	d := newHand(j, h, within(0, depth*0.1), within(0, length*0.1), length*0.8)
	for range 3 + r.IntN(12) {
		o := j.Orders[r.IntN(len(j.Orders))].ID
		switch r.IntN(6) {
		case 0:
			d.skip(within(1, 60))
		case 1:
			d.split(within(0.2, 0.7)*length, o, "main", "filler")
		case 2:
			d.rows(1+r.IntN(4), o, "filler")
		default:
			d.rows(1+r.IntN(4), o, "main")
		}
	}
	return d.plan(within(0, 2000), r.IntN(2) == 0)
}
