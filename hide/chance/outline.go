package chance

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"

	"github.com/paulmach/orb"

	"strapwise/hide"
	"strapwise/hide/measure"
	"strapwise/hide/plane"
)

// Knot is a corner of an animal's outline before it is smoothed: how deep the
// leather is, as a share of the greatest depth, so far along the backbone, as a
// share of its length. First where, then how deep.
type Knot [2]float64

// Form is a kind of hide: its measures and the line of its edge away from the
// backbone. Ranges are from least to greatest.
type Form struct {
	Name   string
	Length [2]float64 // along the backbone
	Depth  [2]float64 // from the backbone, where it is deepest
	Knots  []Knot     // from tail to neck
	Firm   float64    // share of the depth at which the leather turns soft; 1 or more: nowhere
	Shanks [][2]int   // knots between which a shank bulges, its grain turned
	Whole  bool       // both sides of the backbone, else one
	Plain  bool       // a rectangle, without ripples, soft leather or flaws
	Every  int        // of every so many corners one is kept; 0: all 300
	Growth Growth     // how animals of it differ; the zero value: hardly
}

// Growth is how hides of a form differ from one another where no knife has evened them
// out: their edges, and where their flaws lie.
type Growth struct {
	// Uneven is by how much of its mean depth a hide is deeper or less deep in a fifth of
	// its length, and Slant how far its ends lie off square, as a tangent: deviations.
	Uneven, Slant float64
	// Ragged is how far the edge strays from an even line, mm, a deviation along it: nine
	// hides in ten are between the two.
	Ragged [2]float64
	// Strewn is how many flaws lie anywhere on a hide, least and greatest; none: as many as
	// lose what is lost. AtEdge is the share of hides that lose what else they lose in a few
	// poor places at the edges of belly and flank; on the others those lie anywhere.
	Strewn [2]int
	AtEdge float64
	// Of is on how many hides this was measured; 0: nobody did.
	Of int
}

// Corners of an outline: along the backbone, along the edge away from it, and at
// each of the two ends. All told 300. And those of the line where it turns soft.
const (
	cornersNear = 100
	cornersFar  = 160
	cornersEnd  = 20
	cornersSoft = 41
)

const trimmed = 5 // mm round every outline

// bulging is how deep a shank reaches at least, against the deepest of the hide, if it
// bulges; one that does not turns its grain so much nearer to the backbone.
const bulging = 0.9

// Grow is a hide of the form, of a name and a leather. A form whose knots, ranges
// or shanks make no outline is a mistake of the caller.
func (f Form) Grow(name, leather string, seed uint64) Grown {
	r := Rand(seed, OfOutline)
	length, depth := Between(r, f.Length[0], f.Length[1]), Between(r, f.Depth[0], f.Depth[1])
	if f.Plain {
		return f.plain(name, leather, length, depth)
	}
	for ragged := f.Growth.ragged(r); ; ragged /= 2 {
		// The edge of a hide so ragged that it would cross itself is evened out.
		g := f.grow(r, name, leather, length, depth, ragged)
		if _, err := plane.NewRing(g.Spec.Outline); err == nil || ragged < 1 {
			return g.onLeather()
		}
	}
}

// grow is a hide so large and so ragged.
func (f Form) grow(r *rand.Rand, name, leather string, length, depth, ragged float64) Grown {
	some := func(n int) int { return max(4, n/max(1, f.Every)) }
	far := f.edge(r, length, depth, ragged)
	wave := ripple(r, 1.5)
	near := wave
	if f.Whole {
		other := f.edge(r, length, depth, ragged)
		near = func(x float64) float64 { return -other(x) }
	}

	s := hide.Spec{Name: name, Leather: leather, Form: f.Name, Trim: trimmed, Backbone: []orb.Point{{0, 0}, {length, 0}}}
	along := func(i, n int) float64 { return length * float64(i) / float64(n-1) }
	nearCorners := cornersNear
	if f.Whole {
		nearCorners = cornersFar
	}
	for i, n := 0, some(nearCorners); i < n; i++ {
		x := along(i, n)
		s.Outline = append(s.Outline, orb.Point{x, near(x)})
	}
	s.Outline = append(s.Outline, end(r, some(cornersEnd), length, 1, near(length), far(length), ragged)...)
	for i, n := 0, some(cornersFar); i < n; i++ {
		x := along(n-1-i, n)
		s.Outline = append(s.Outline, orb.Point{x, far(x)})
	}
	s.Outline = append(s.Outline, end(r, some(cornersEnd), 0, -1, far(0), near(0), ragged)...)

	sides := []float64{1}
	if f.Whole {
		sides = []float64{1, -1}
	}
	for _, side := range sides {
		if f.Firm < 1 {
			soft := []orb.Point{{0, side * (depth + 50)}, {length, side * (depth + 50)}}
			for i, n := 0, some(cornersSoft); i < n; i++ {
				x := along(n-1-i, n)
				soft = append(soft, orb.Point{x, side * (f.Firm*depth + 3*wave(x))})
			}
			s.Zones = append(s.Zones, hide.Zone{Quality: hide.Soft, Area: must(plane.NewRing(soft))})
		}
		for i, k := range f.Shanks {
			from, to := length*f.Knots[k[0]][0], length*f.Knots[k[1]][0]
			inner := 0.8 * depth
			if most := slices.MaxFunc(f.Knots[k[0]:k[1]+1], func(a, b Knot) int { return cmp.Compare(a[1], b[1]) })[1]; most < bulging {
				inner *= most
			}
			turn := measure.Angle(Between(r, 20, 35)) * measure.Degree
			if (i == 0) == (side > 0) {
				turn = -turn
			}
			s.Zones = append(s.Zones, hide.Zone{
				Quality: hide.Soft, Turned: true, Grain: turn,
				Area: must(plane.NewRing([]orb.Point{{from, side * inner}, {to, side * inner}, {to, side * (depth + 50)}, {from, side * (depth + 50)}})),
			})
		}
	}
	g := Grown{Spec: s, box: orb.Bound{Max: orb.Point{length, depth}}}
	if f.Whole {
		g.box.Min[1] = -depth
	}
	g.on = func(p orb.Point) bool { return p[0] > 0 && p[0] < length && p[1] > near(p[0]) && p[1] < far(p[0]) }
	if f.Every > 1 { // the line runs past few corners
		g.on = within(s.Outline)
	}
	return g
}

// edge is the line away from the backbone of one animal.
func (f Form) edge(r *rand.Rand, length, depth, ragged float64) func(x float64) float64 {
	knots := slices.Clone(f.Knots)
	for i := range knots {
		const much = 0.02 // of the depth, more or less, from one animal to the next
		knots[i][1] *= 1 + Between(r, -much, much)
	}
	uneven := ripple(r, max(4, ragged*ofRipple))
	return func(x float64) float64 { return depth*smooth(knots, x/length) + uneven(x) }
}

func (f Form) plain(name, leather string, length, depth float64) Grown {
	box := orb.Bound{Max: orb.Point{length, depth}}
	return Grown{
		Spec: hide.Spec{Name: name, Leather: leather, Form: f.Name, Outline: []orb.Point{{0, 0}, {length, 0}, {length, depth}, {0, depth}}},
		box:  box, on: box.Contains,
	}
}

// end is the edge at one end of a hide, which a knife has cut nearly square:
// from one depth to the other, and never inward of x unless it is ragged.
func end(r *rand.Rand, n int, x, out, from, to, ragged float64) []orb.Point {
	var corners []orb.Point
	belly := Between(r, 4, 14)
	stray := func(float64) float64 { return 0 }
	if ragged > 0 {
		uneven := ripple(r, ragged*ofRipple)
		stray = func(y float64) float64 { return uneven(y) - ragged*ofRipple }
	}
	for i := range n {
		share := float64(i+1) / float64(n+1)
		corners = append(corners, orb.Point{x + out*((belly+stray(share*(to-from)))*math.Sin(math.Pi*share)+r.Float64()), from + (to-from)*share})
	}
	return corners
}

// ofRipple is how far a ripple reaches at most for a deviation of 1: three waves, each
// with a third of it and with 1/√2 of that.
var ofRipple = math.Sqrt(6)

// ripple is an uneven line about 0, of three waves that together reach at most
// so far from it.
func ripple(r *rand.Rand, most float64) func(x float64) float64 {
	const waves = 3
	var length, phase [waves]float64
	for i := range waves {
		length[i], phase[i] = Between(r, 90, 420), Between(r, 0, 2*math.Pi)
	}
	return func(x float64) float64 {
		y := 0.0
		for i := range waves {
			y += math.Sin(2*math.Pi*x/length[i] + phase[i])
		}
		return y * most / waves
	}
}

// smooth runs through the knots, level at each that is higher or lower than
// both its neighbours and nowhere beyond two neighbouring ones (Fritsch and
// Carlson, SIAM Journal on Numerical Analysis 17, 1980, with the harmonic mean
// of slopes).
func smooth(knots []Knot, at float64) float64 {
	i := 0
	for i < len(knots)-2 && at > knots[i+1][0] {
		i++
	}
	slope := func(i int) float64 {
		return (knots[i+1][1] - knots[i][1]) / (knots[i+1][0] - knots[i][0])
	}
	lean := func(i int) float64 {
		if i == 0 {
			return slope(0)
		}
		if i == len(knots)-1 {
			return slope(i - 1)
		}
		a, b := slope(i-1), slope(i)
		if a*b <= 0 {
			return 0
		}
		return 2 * a * b / (a + b)
	}
	h := knots[i+1][0] - knots[i][0]
	t := (at - knots[i][0]) / h
	a, b := knots[i][1], knots[i+1][1]
	return a*(1+2*t)*(1-t)*(1-t) + b*t*t*(3-2*t) + h*t*(1-t)*((1-t)*lean(i)-t*lean(i+1))
}
