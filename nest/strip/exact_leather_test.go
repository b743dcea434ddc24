package strip_test

import (
	"math"
	"slices"

	"github.com/paulmach/orb"

	"strapwise/hide"
)

// leather is a hide drawn in its own frame, the grain along X. It answers by
// clipping whether a rectangle may be cut there; it shares no code with
// hide.Leather, which looks for the edges that show in a band.
type leather struct {
	outline  []orb.Point // counter-clockwise
	trim     float64
	flaws    []hide.Flaw // patches are boxes
	zones    []hide.Zone
	readings []hide.Reading
}

// box is an upright rectangle.
type box struct{ x0, y0, x1, y1 float64 }

func (b box) corners() []orb.Point {
	return []orb.Point{{b.x0, b.y0}, {b.x1, b.y0}, {b.x1, b.y1}, {b.x0, b.y1}}
}

// tiny is an area, in mm², that comes of rounding. Shapes of these tests lie on
// a lattice, so that what overlaps at all overlaps by far more.
const tiny = 1e-3

// serves reports whether a piece of the use may be cut from the box.
func (l *leather) serves(u hide.Use, b box) bool {
	if !inside(b, inset(l.outline, l.trim)) {
		return false
	}
	for _, f := range l.flaws {
		if !u.Refuses(f) {
			continue
		}
		switch {
		case f.Patch != nil:
			if common(f.Patch.Corners(), b) > tiny {
				return false
			}
		case f.Spot != nil:
			if near(f.Spot.At, f.Spot.At, b) < f.Spot.Diameter/2-1e-6 {
				return false
			}
		default:
			for i := 1; i < len(f.Stroke.Line); i++ {
				if near(f.Stroke.Line[i-1], f.Stroke.Line[i], b) < f.Stroke.Width/2-1e-6 {
					return false
				}
			}
		}
	}
	graded := 0.0 // prime leather within the box; prime zones of these tests keep apart
	for _, z := range l.zones {
		shared := common(z.Area.Corners(), b)
		if shared <= tiny {
			continue
		}
		if z.Quality < u.Quality || z.Turned && hide.Off(0, z.Grain) > u.Angle {
			return false
		}
		if z.Quality == hide.Prime {
			graded += shared
		}
	}
	if whole := (b.x1 - b.x0) * (b.y1 - b.y0); u.Quality == hide.Prime && graded < whole-tiny {
		return false
	}
	return l.thickness(u, b)
}

// thickness reports whether no part of the box is nearest to a reading that the
// use refuses.
func (l *leather) thickness(u hide.Use, b box) bool {
	for i, r := range l.readings {
		if !u.RefusesThickness(r.MM) {
			continue
		}
		cell := b.corners()
		for j, o := range l.readings {
			if i != j {
				// nearer to r than to o: left of a line halfway, at a right angle
				mid := orb.Point{(r.At[0] + o.At[0]) / 2, (r.At[1] + o.At[1]) / 2}
				cell = clip(cell, mid, orb.Point{mid[0] - (o.At[1] - r.At[1]), mid[1] + (o.At[0] - r.At[0])})
			}
		}
		if area(cell) > tiny {
			return false
		}
	}
	return true
}

// inside reports whether the box lies wholly in the polygon.
func inside(b box, polygon []orb.Point) bool {
	return common(polygon, b) >= (b.x1-b.x0)*(b.y1-b.y0)-tiny
}

// common is the area that a polygon, counter-clockwise, shares with a box.
// Clipping a hollow polygon may leave seams, which have no area.
func common(polygon []orb.Point, b box) float64 {
	c := b.corners()
	out := slices.Clone(polygon)
	for i := range c {
		out = clip(out, c[i], c[(i+1)%4])
	}
	return area(out)
}

// clip keeps what lies left of the line from a to b (Sutherland and Hodgman,
// Communications of the ACM 17, 1974).
func clip(polygon []orb.Point, a, b orb.Point) []orb.Point {
	side := func(p orb.Point) float64 { return (b[0]-a[0])*(p[1]-a[1]) - (b[1]-a[1])*(p[0]-a[0]) }
	var out []orb.Point
	for i, p := range polygon {
		q := polygon[(i+1)%len(polygon)]
		sp, sq := side(p), side(q)
		if sp >= 0 {
			out = append(out, p)
		}
		if sp > 0 && sq < 0 || sp < 0 && sq > 0 {
			t := sp / (sp - sq)
			out = append(out, orb.Point{p[0] + t*(q[0]-p[0]), p[1] + t*(q[1]-p[1])})
		}
	}
	return out
}

func area(polygon []orb.Point) float64 {
	twice := 0.0
	for i, p := range polygon {
		q := polygon[(i+1)%len(polygon)]
		twice += p[0]*q[1] - p[1]*q[0]
	}
	return twice / 2
}

// inset moves each edge of a polygon, counter-clockwise, inward so far, up to
// where it meets its neighbours.
func inset(polygon []orb.Point, by float64) []orb.Point {
	n := len(polygon)
	moved := func(i int) (p, d orb.Point) {
		a, b := polygon[i%n], polygon[(i+1)%n]
		l := math.Hypot(b[0]-a[0], b[1]-a[1])
		d = orb.Point{(b[0] - a[0]) / l, (b[1] - a[1]) / l}
		return orb.Point{a[0] - d[1]*by, a[1] + d[0]*by}, d
	}
	var out []orb.Point
	for i := range polygon {
		p, d := moved(i)
		q, e := moved(i + 1)
		t := ((q[0]-p[0])*e[1] - (q[1]-p[1])*e[0]) / (d[0]*e[1] - d[1]*e[0])
		out = append(out, orb.Point{p[0] + t*d[0], p[1] + t*d[1]})
	}
	return out
}

// near is the distance of the line from a to b to the box, 0 if it enters it.
func near(a, b orb.Point, r box) float64 {
	least := math.Inf(1)
	toLine := func(p, a, b orb.Point) float64 {
		dx, dy := b[0]-a[0], b[1]-a[1]
		t := 0.0
		if l := dx*dx + dy*dy; l > 0 {
			t = min(1, max(0, ((p[0]-a[0])*dx+(p[1]-a[1])*dy)/l))
		}
		return math.Hypot(a[0]+t*dx-p[0], a[1]+t*dy-p[1])
	}
	c := r.corners()
	left, right := 0, 0
	for i := range c {
		least = min(least, toLine(c[i], a, b), toLine(a, c[i], c[(i+1)%4]), toLine(b, c[i], c[(i+1)%4]))
		if s := (b[0]-a[0])*(c[i][1]-a[1]) - (b[1]-a[1])*(c[i][0]-a[0]); s > 0 {
			left++
		} else if s < 0 {
			right++
		}
	}
	within := func(p orb.Point) bool { return p[0] > r.x0 && p[0] < r.x1 && p[1] > r.y0 && p[1] < r.y1 }
	overlap := max(a[0], b[0]) > r.x0 && min(a[0], b[0]) < r.x1 && max(a[1], b[1]) > r.y0 && min(a[1], b[1]) < r.y1
	if within(a) || within(b) || overlap && left > 0 && right > 0 { // no axis parts them, nor the line's own normal
		return 0
	}
	return least
}
