package chance

import (
	"math"
	"math/rand/v2"

	"github.com/paulmach/orb"

	"strapwise/hide"
	"strapwise/hide/plane"
)

// Habit is how a kind of flaw looks and how often it is met. Sizes are least and
// greatest.
type Habit struct {
	Kind   string
	Often  int        // against the other habits
	Spot   [2]float64 // diameter; or
	Long   [2]float64 // length of a stroke, or the size of a patch either way
	Width  [2]float64 // of a stroke; none: a patch
	Slant  float64    // greatest angle of a stroke off the backbone, radians
	Fleshy bool       // may show on the flesh side only
}

// Habits are those of the kinds that every workshop knows, of every 100 flaws: holes
// of warbles and ticks are round; cuts of the flaying knife are short and on the
// flesh; scars and scratches run with the animal's walk, wrinkles of growth across
// it; brands and loose grain cover an area.
func Habits() []Habit {
	return []Habit{
		{Kind: "hole", Often: 17, Spot: [2]float64{3, 10}},
		{Kind: "tick", Often: 18, Spot: [2]float64{2, 5}},
		{Kind: "scratch", Often: 18, Long: [2]float64{30, 140}, Width: [2]float64{1.5, 3}, Slant: 0.4},
		{Kind: "scar", Often: 14, Long: [2]float64{20, 90}, Width: [2]float64{2, 7}, Slant: 0.6},
		{Kind: "cut", Often: 12, Long: [2]float64{10, 45}, Width: [2]float64{2, 4}, Slant: math.Pi / 2, Fleshy: true},
		{Kind: "vein", Often: 10, Long: [2]float64{40, 140}, Width: [2]float64{2, 4}, Slant: 0.5, Fleshy: true},
		{Kind: "wrinkle", Often: 6, Long: [2]float64{30, 100}, Width: [2]float64{3, 7}, Slant: math.Pi / 2},
		{Kind: "loose", Often: 3, Long: [2]float64{30, 70}},
		{Kind: "brand", Often: 2, Long: [2]float64{45, 80}},
	}
}

// Maker makes a flaw somewhere on a hide.
type Maker func(r *rand.Rand, g Grown) hide.Flaw

// Sizes is how large flaws are: those of their habits times a number of which half
// lie below Median, and whose logarithm has the deviation Spread. The zero value
// leaves the habits as they are.
type Sizes struct{ Median, Spread float64 }

// GradedSizes are those of flaws that count in a grade. On six hides of a leather
// cutting room (Baldacci and others, Discrete Applied Mathematics 163, 2014, test 1)
// the areas of 58 flaws have the median 1340 mm², seven times that of the habits, and
// the deviation of their logarithm is 2.17: both halved or rooted for length and
// breadth. So a few flaws make most of what is lost.
func GradedSizes() Sizes { return Sizes{Median: 2.65, Spread: 1.08} }

// StrewnSizes are those of flaws that lie anywhere, where poor places at the edges make most
// of what is lost: of the 58 flaws above, eleven that cover 91 % of the area of all begin within
// 15 mm of an edge; the 47 others have the geometric mean 660 mm², 3.5 times that of the habits,
// and the deviation 1.40 of their logarithm.
func StrewnSizes() Sizes { return Sizes{Median: 1.86, Spread: 0.7} }

// largest is how many times as large as its habit says a flaw becomes.
const largest = 20

// ByHabit makes flaws of habits, each as often as it says, anywhere; one of them at
// least must be met.
func ByHabit(habits []Habit, sizes Sizes) Maker {
	all := 0
	for _, h := range habits {
		all += h.Often
	}
	return func(r *rand.Rand, g Grown) hide.Flaw {
		at := g.place(r)
		n := r.IntN(all)
		for _, h := range habits {
			if n -= h.Often; n < 0 {
				if sizes.Median > 0 {
					h = h.times(min(largest, sizes.Median*math.Exp(sizes.Spread*r.NormFloat64())))
				}
				return h.flaw(r, at)
			}
		}
		panic("chance: more flaws than their sum")
	}
}

// times is the habit of flaws so many times as large.
func (h Habit) times(k float64) Habit {
	for _, size := range []*[2]float64{&h.Spot, &h.Long, &h.Width} {
		size[0], size[1] = k*size[0], k*size[1]
	}
	return h
}

// flaw is one flaw of that habit at a place.
func (h Habit) flaw(r *rand.Rand, at orb.Point) hide.Flaw {
	f := hide.Flaw{Kind: h.Kind}
	if h.Fleshy && r.IntN(3) > 0 {
		f.Face = hide.Flesh
	}
	switch {
	case h.Spot[1] > 0:
		f.Spot = &hide.Spot{At: at, Diameter: Between(r, h.Spot[0], h.Spot[1])}
	case h.Width[1] > 0:
		f.Stroke = &hide.Stroke{Line: wander(r, at, Between(r, h.Long[0], h.Long[1]), Between(r, -h.Slant, h.Slant)), Width: Between(r, h.Width[0], h.Width[1])}
	default:
		patch := blob(r, at, Between(r, h.Long[0], h.Long[1]), Between(r, h.Long[0], h.Long[1]))
		f.Patch = &patch
	}
	return f
}

// wander is a line of two to four points from a place, so long along its bends,
// that keeps more or less to an angle, one way or the other.
func wander(r *rand.Rand, at orb.Point, length, angle float64) []orb.Point {
	parts := 1 + r.IntN(3)
	step := length / float64(parts) * float64(1-2*r.IntN(2))
	line := []orb.Point{at}
	for range parts {
		const bend = 0.3 // radians either way
		sin, cos := math.Sincos(angle + Between(r, -bend, bend))
		at = orb.Point{at[0] + step*cos, at[1] + step*sin}
		line = append(line, at)
	}
	return line
}

// blob is a round patch about a place with eight to twelve corners, in a
// rectangle of the given sides.
func blob(r *rand.Rand, at orb.Point, length, depth float64) plane.Ring {
	n := 8 + r.IntN(5)
	var corners []orb.Point
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * (float64(i) + 0.6*r.Float64()) / float64(n))
		k := Between(r, 0.75, 1) / 2
		corners = append(corners, orb.Point{at[0] + k*length*cos, at[1] + k*depth*sin})
	}
	return must(plane.NewRing(corners))
}
