package chance

import (
	"math"
	"math/rand/v2"

	"strapwise/hide"
)

// Models are how hides of each form look and what flaws they have: what is assumed
// of leather that nobody has seen. A workshop changes any of it.
type Models struct {
	Forms     map[string]Form
	Habits    []Habit
	Sizes     Sizes   // of flaws where all that is lost lies in them
	Strewn    Sizes   // of those that lie anywhere where the rest is lost at the edges
	MarkedOff float64 // how far round a flaw a grader counts the leather as lost
}

// BuiltIn are the models that a workshop starts with, coarser than those on which
// planners are measured. Sizes are common practice, no source, but for:
//
//	side    22 to 26 sq ft, about 100 × 42 in, filling 0.885 of it (common practice)
//	butt    54 to 57 in long (Hasluck, Harness Making, 1904)
//	belly   both together about 23 % of the hide (Roberts & Etherington)
//	hide    line of the edge and Growth as six hides of a leather cutting room have them
//	        (Baldacci and others, Discrete Applied Mathematics 163, 2014, test 1);
//	        nest/forecast/measured_test.go measures them
//	firm    for straps 24 to 27 in from the backbone (Dooley, Manual of Shoemaking,
//	        1912); others say 20 to 22 in (college handout): 24 in
func BuiltIn() Models {
	const every = 5
	m := Models{Forms: map[string]Form{}, Habits: Habits(), Sizes: GradedSizes(), Strewn: StrewnSizes(), MarkedOff: hide.MarkedOff}
	for _, f := range []Form{
		{Name: "hide", Length: [2]float64{2200, 2600}, Depth: [2]float64{1000, 1120}, Firm: 0.58, Shanks: [][2]int{{1, 4}, {10, 13}}, Whole: true, Knots: []Knot{
			{0, 0.49},
			{0.07, 0.95},
			{0.13, 1},
			{0.2, 1},
			{0.27, 0.98},
			{0.33, 0.93},
			{0.4, 0.89},
			{0.47, 0.85},
			{0.53, 0.84},
			{0.6, 0.85},
			{0.67, 0.86},
			{0.73, 0.84},
			{0.8, 0.68},
			{0.87, 0.52},
			{0.93, 0.41},
			{1, 0.22},
		}, Growth: Growth{Uneven: 0.175, Slant: 0.124, Ragged: [2]float64{29, 47}, Strewn: [2]int{5, 12}, AtEdge: 0.625, Of: 6}},
		{Name: "side", Length: [2]float64{2340, 2590}, Depth: [2]float64{960, 1090}, Firm: 0.6, Shanks: [][2]int{{2, 5}, {9, 12}}, Growth: trimmedGrowth(), Knots: []Knot{
			{0, 0.66},
			{0.03, 0.8},
			{0.08, 0.94},
			{0.13, 1},
			{0.19, 0.98},
			{0.26, 0.9},
			{0.36, 0.88},
			{0.5, 0.91},
			{0.62, 0.91},
			{0.68, 0.95},
			{0.73, 1},
			{0.79, 0.98},
			{0.86, 0.88},
			{0.93, 0.78},
			{1, 0.7},
		}},
		{Name: "back", Length: [2]float64{2340, 2590}, Depth: [2]float64{670, 740}, Firm: 0.82, Knots: []Knot{{0, 0.8}, {0.04, 0.92}, {0.15, 1}, {0.5, 0.99}, {0.75, 0.98}, {0.9, 0.9}, {1, 0.8}}},
		{Name: "bend", Length: [2]float64{1270, 1350}, Depth: [2]float64{630, 670}, Firm: 0.93, Knots: []Knot{{0, 0.86}, {0.04, 0.95}, {0.12, 0.99}, {0.45, 1}, {0.85, 0.98}, {0.96, 0.95}, {1, 0.9}}},
		{Name: "butt", Length: [2]float64{1370, 1450}, Depth: [2]float64{650, 700}, Firm: 0.93, Whole: true, Knots: []Knot{{0, 0.86}, {0.04, 0.95}, {0.12, 0.99}, {0.45, 1}, {0.85, 0.98}, {0.96, 0.95}, {1, 0.9}}},
		{Name: "shoulder", Length: [2]float64{760, 900}, Depth: [2]float64{560, 660}, Firm: 0.75, Knots: []Knot{{0, 1}, {0.3, 0.97}, {0.6, 0.93}, {0.85, 0.86}, {1, 0.78}}},
		{Name: "belly", Length: [2]float64{2000, 2300}, Depth: [2]float64{280, 340}, Firm: 0, Growth: Growth{Ragged: trimmedGrowth().Ragged}, Knots: []Knot{{0, 0.55}, {0.08, 0.9}, {0.15, 1}, {0.25, 0.72}, {0.5, 0.78}, {0.7, 0.85}, {0.8, 1}, {0.9, 0.9}, {1, 0.6}}},
		{Name: "skin", Length: [2]float64{900, 1100}, Depth: [2]float64{330, 430}, Firm: 0.85, Whole: true, Knots: []Knot{{0, 0.55}, {0.08, 0.85}, {0.2, 0.97}, {0.35, 0.9}, {0.5, 0.9}, {0.65, 0.93}, {0.8, 1}, {0.92, 0.85}, {1, 0.55}}},
		{Name: "sheet", Length: [2]float64{1000, 1000}, Depth: [2]float64{500, 500}, Firm: 1, Plain: true},
	} {
		f.Every = every
		m.Forms[f.Name] = f
	}
	return m
}

// trimmedGrowth is how sides differ, which are trimmed when they are split and tanned: by so
// much that they still fill 0.86 to 0.9 of their rectangle, as the trade has it, and with half as
// many flaws anywhere as whole hides. A guess, no source.
func trimmedGrowth() Growth {
	return Growth{Uneven: 0.03, Slant: 0.02, Ragged: [2]float64{5, 15}, Strewn: [2]int{3, 6}, AtEdge: 0.625}
}

// Sized is the form where its hides are so long and deep, both within a fiftieth
// either way; 0 leaves a measure as it is. Depth is all across the hide, on both
// sides of the backbone where it has two.
func (f Form) Sized(length, depth float64) Form {
	about := func(mm float64) [2]float64 {
		if f.Plain {
			return [2]float64{mm, mm}
		}
		const much = 0.02
		return [2]float64{mm * (1 - much), mm * (1 + much)}
	}
	if length > 0 {
		f.Length = about(length)
	}
	if depth > 0 {
		if f.Whole {
			depth /= 2
		}
		f.Depth = about(depth)
	}
	return f
}

// CuttingValue draws the cutting value of a hide of a grade: within its band, most
// often about where its mean wants it (a triangular distribution).
func CuttingValue(r *rand.Rand, b hide.Band) float64 {
	most := 100.0
	for _, better := range hide.Bands() {
		if better.Least > b.Least {
			most = min(most, better.Least)
		}
	}
	mode := min(most, max(b.Least, 3*b.Mean-b.Least-most))
	u := r.Float64()
	if cut := (mode - b.Least) / (most - b.Least); u < cut {
		return b.Least + math.Sqrt(u*(most-b.Least)*(mode-b.Least))
	}
	return most - math.Sqrt((1-u)*(most-b.Least)*(most-mode))
}

// Graded is the hide with flaws up to a cutting value, when so much is marked off
// round each. A flaw too large for what is left to lose is not had, so that the hide
// is as good as asked for, and hardly better.
func (g Grown) Graded(r *rand.Rand, made Maker, value, markedOff float64) (hide.Spec, error) {
	const tries = 20 // in a row
	clean, err := hide.New(g.Spec)
	if err != nil {
		return hide.Spec{}, err
	}
	s := g.Spec
	s.Flaws = nil
	left := (100 - value) / 100 * clean.Area()
	for missed := 0; missed < tries; {
		f := made(r, g)
		if lost := f.Marked(markedOff); lost <= left {
			s.Flaws, left, missed = append(s.Flaws, f), left-lost, 0
			continue
		}
		missed++
	}
	return s, nil
}
