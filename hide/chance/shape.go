package chance

import (
	"math"
	"math/rand/v2"
	"slices"

	"github.com/paulmach/orb"

	"strapwise/hide"
	"strapwise/hide/plane"
)

// No two animals are alike: one is deep in the flank, another in the shoulder, and a
// knife cuts the ends of hides square or not. A Shape is how one hide differs so from a
// rectangle; Bent gives a hide the difference that others have.

// parts is how many equal lengths of the hide its depth is told in.
const parts = 5

// Shape is how deep a hide is on each side of the backbone, part by part along it,
// against its mean depth; and by how much x grows with y along each of its ends. A form
// with one side has nothing on the other.
type Shape struct {
	Depth [2][parts]float64
	Slant [2]float64
}

// each calls do for every number of a shape.
func (s *Shape) each(do func(v *float64)) {
	for side := range s.Depth {
		for k := range s.Depth[side] {
			do(&s.Depth[side][k])
		}
		do(&s.Slant[side])
	}
}

// plus is the shape with so many times another's numbers added.
func (s Shape) plus(other Shape, times float64) Shape {
	var add []float64
	other.each(func(v *float64) { add = append(add, times**v) })
	s.each(func(v *float64) { *v, add = *v+add[0], add[1:] })
	return s
}

// mirrored is the shape of the same hide with its sides exchanged.
func (s Shape) mirrored() Shape {
	s.Depth[0], s.Depth[1] = s.Depth[1], s.Depth[0]
	s.Slant[0], s.Slant[1] = -s.Slant[0], -s.Slant[1]
	return s
}

// ShapeOf measures a hide, at places a hundredth of its length and depth apart.
func ShapeOf(h *hide.Hide) Shape {
	const every = 100
	ring := h.Outline().In(h.Frame())
	corners, box := ring.Corners(), ring.Bound()
	length, depth := box.Max[0]-box.Min[0], box.Max[1]-box.Min[1]
	var s Shape
	mean := h.Area() / length
	if box.Min[1] < -depth/every {
		mean /= 2
	}
	for i := range every {
		lo, hi, ok := chord(corners, 0, box.Min[0]+length*(float64(i)+0.5)/every)
		if ok {
			k := i * parts / every
			s.Depth[0][k] += max(0, hi) / mean / (every / parts)
			s.Depth[1][k] += max(0, -lo) / mean / (every / parts)
		}
	}
	// The ends, where leather lies on both sides of the middle of the depth: the outer
	// quarters are flanks and shanks.
	var n, sy, syy float64
	var sx, sxy [2]float64
	for i := every / 4; i < every*3/4; i++ {
		y := box.Min[1] + depth*(float64(i)+0.5)/every
		lo, hi, ok := chord(corners, 1, y)
		if !ok {
			continue
		}
		n, sy, syy = n+1, sy+y, syy+y*y
		for end, x := range [2]float64{lo, hi} {
			sx[end] += x
			sxy[end] += x * y
		}
	}
	for end := range s.Slant {
		s.Slant[end] = (n*sxy[end] - sx[end]*sy) / (n*syy - sy*sy)
	}
	return s
}

// chord is where a line at one coordinate first enters an outline and last leaves it.
func chord(corners []orb.Point, axis int, at float64) (lo, hi float64, ok bool) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for i, a := range corners {
		b := corners[(i+1)%len(corners)]
		if (a[axis] <= at) == (b[axis] <= at) {
			continue
		}
		v := a[1-axis] + (b[1-axis]-a[1-axis])*(at-a[axis])/(b[axis]-a[axis])
		lo, hi = min(lo, v), max(hi, v)
	}
	return lo, hi, lo < hi
}

// Spread is how hides of a form differ from one another.
type Spread struct {
	off   []Shape // of each hide from the mean of all
	hides int
}

// SpreadOf is the spread of known hides, four at least. Where the form has both sides
// of the animal they may be exchanged.
func SpreadOf(known []*hide.Hide, whole bool) Spread {
	s := Spread{hides: len(known)}
	for _, h := range known {
		shape := ShapeOf(h)
		s.off = append(s.off, shape)
		if whole {
			s.off = append(s.off, shape.mirrored())
		}
	}
	var mean Shape
	for _, o := range s.off {
		mean = mean.plus(o, 1/float64(len(s.off)))
	}
	for i := range s.off {
		s.off[i] = s.off[i].plus(mean, -1)
	}
	return s
}

// Beyond draws how the shape of one more hide differs from that of one of the known,
// any of which it may be like. Few hides tell little of all there are: of n numbers with
// the deviation s the next is a Student number of n-1 degrees of freedom away from their
// mean, in deviations of s √(1 + 1/n) (Hahn and Meeker, Statistical Intervals, 1991,
// section 4.8, from memory), of a variance of s² (1 + 1/n) (n-1)/(n-3). The hide that it is like
// has s² (n-1)/n of it; the rest is drawn here, as normal numbers: 1.6 s² of five hides, 0.2 s²
// of twenty.
func (s Spread) Beyond(r *rand.Rand) Shape {
	n := float64(s.hides)
	rest := math.Sqrt((1+1/n)*(n-1)/(n-3) - (n-1)/n)
	var out Shape
	per := float64(len(s.off)) / n // 2 where mirrored
	for _, o := range s.off {
		out = out.plus(o, rest*r.NormFloat64()/math.Sqrt((n-1)*per))
	}
	return out
}

// Bent is a hide whose shape differs so from that of another; it has no flaws. So much
// is lessened by halves as the outline would else cross itself.
func Bent(h *hide.Hide, by Shape) Grown {
	for {
		g := As(h, h.Name(), 1, 1)
		own := ShapeOf(h)
		box := h.Outline().In(h.Frame()).Bound()
		to := func(p orb.Point) orb.Point {
			share := (p[0] - box.Min[0]) / (box.Max[0] - box.Min[0])
			slant := by.Slant[0]*(1-share) + by.Slant[1]*share
			side := 0
			if p[1] < 0 {
				side = 1
			}
			return orb.Point{p[0] + slant*p[1], p[1] * ratio(own.Depth[side], by.Depth[side], share)}
		}
		g = g.mapped(to)
		if _, err := plane.NewRing(g.Spec.Outline); err == nil {
			return g.onLeather()
		}
		by = Shape{}.plus(by, 0.5)
	}
}

// onLeather is the hide without zones that its edge leaves wholly outside.
func (g Grown) onLeather() Grown {
	if _, err := hide.New(g.Spec); err == nil {
		return g
	}
	alone := g.Spec
	alone.Zones = nil
	if _, err := hide.New(alone); err != nil {
		return g // the fault is not with the zones
	}
	g.Spec.Zones = slices.DeleteFunc(slices.Clone(g.Spec.Zones), func(z hide.Zone) bool {
		alone.Zones = []hide.Zone{z}
		_, err := hide.New(alone)
		return err != nil
	})
	return g
}

// ratio is what depths are multiplied by at a share of the length, so that each part
// is deeper by so much; between the middles of two parts it changes evenly. Nowhere is a hide
// made less than half as deep, or more than twice.
func ratio(own, by [parts]float64, share float64) float64 {
	at := min(parts-1, max(0, share*parts-0.5))
	k := min(parts-2, int(at))
	of := func(k int) float64 {
		if own[k] <= 0 {
			return 1
		}
		return min(2, max(0.5, 1+by[k]/own[k]))
	}
	return of(k) + (of(k+1)-of(k))*(at-float64(k))
}
