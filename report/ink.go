package report

import (
	"github.com/paulmach/orb"
)

// Weights of line in millimetres. Nothing else is drawn. Of two cuts, the
// heavier is made first.
const (
	heavy = 0.6  // outline of the hide, struck edge
	rip   = 0.45 // of a band, from end to end of the hide
	cut   = 0.35 // of a band into blocks
	light = 0.25 // of a block into strips; flaws, backbone
	part  = 0.18 // of a strip into pieces
	fine  = 0.13 // dimension lines, rules between columns
)

// finer is a weight of cuts between bands of that height on paper: where they are
// low, black lines would leave no white between them.
func finer(weight, height float64) float64 {
	const fair = 3 // mm
	return max(fine, weight*min(1, max(0.5, height/fair)))
}

// ink gathers a page's items and knows where its text stands.
type ink struct {
	items []Item
	texts []orb.Bound // set so far
	solid []dark      // dark or textured places that text keeps off
	lines []segment   // drawn lines that text would rather not cross
}

type segment [2]orb.Point

type dark struct {
	outline []orb.Point
	bound   orb.Bound
}

// avoid has text keep off the place within an outline.
func (k *ink) avoid(outline []orb.Point) {
	k.solid = append(k.solid, dark{outline, orb.MultiPoint(outline).Bound()})
}

func (k *ink) shape(s Shape) { k.items = append(k.items, s) }

func (k *ink) line(weight float64, dash []float64, pts ...orb.Point) {
	k.shape(Shape{Points: pts, Weight: weight, Dash: dash})
}

func (k *ink) polygon(weight float64, fill Fill, pts ...orb.Point) {
	k.shape(Shape{Points: pts, Closed: true, Weight: weight, Fill: fill})
}

// keep has text avoid the line through the points.
func (k *ink) keep(pts []orb.Point, closed bool) {
	for i := 1; i < len(pts); i++ {
		k.lines = append(k.lines, segment{pts[i-1], pts[i]})
	}
	if closed && len(pts) > 2 {
		k.lines = append(k.lines, segment{pts[len(pts)-1], pts[0]})
	}
}

func (k *ink) text(t Text) {
	k.items = append(k.items, t)
	k.texts = append(k.texts, t.Bound())
}

// clear is the air round text, in millimetres.
const clear = 0.35

// near is what text within a place has to heed, so that many places for it there are soon looked at.
func (k *ink) near(b orb.Bound) *ink {
	b = b.Pad(clear)
	out := &ink{}
	for _, t := range k.texts {
		if t.Intersects(b) {
			out.texts = append(out.texts, t)
		}
	}
	for _, s := range k.solid {
		if s.bound.Intersects(b) {
			out.solid = append(out.solid, s)
		}
	}
	for _, s := range k.lines {
		if crosses(s, b) {
			out.lines = append(out.lines, s)
		}
	}
	return out
}

// onText reports whether a box would touch text that is set already.
func (k *ink) onText(b orb.Bound) bool { return hits(k.texts, b.Pad(clear)) }

// onSolid reports whether a box would touch a dark or textured place.
func (k *ink) onSolid(b orb.Bound) bool {
	b = b.Pad(clear / 2)
	for _, s := range k.solid {
		if !s.bound.Intersects(b) {
			continue
		}
		if inside(s.outline, b.Center()) {
			return true
		}
		for i, p := range s.outline {
			if crosses(segment{p, s.outline[(i+1)%len(s.outline)]}, b) {
				return true
			}
		}
	}
	return false
}

// inside reports whether a place lies within a closed outline.
func inside(outline []orb.Point, at orb.Point) bool {
	in := false
	for i, a := range outline {
		b := outline[(i+1)%len(outline)]
		if (a[1] > at[1]) != (b[1] > at[1]) && at[0] < a[0]+(at[1]-a[1])/(b[1]-a[1])*(b[0]-a[0]) {
			in = !in
		}
	}
	return in
}

// onLine reports whether a box would cross a drawn line.
func (k *ink) onLine(b orb.Bound) bool {
	b = b.Pad(clear)
	for _, s := range k.lines {
		if crosses(s, b) {
			return true
		}
	}
	return false
}

func hits(boxes []orb.Bound, b orb.Bound) bool {
	for _, o := range boxes {
		if o.Min[0] < b.Max[0] && b.Min[0] < o.Max[0] && o.Min[1] < b.Max[1] && b.Min[1] < o.Max[1] {
			return true
		}
	}
	return false
}

// crosses reports whether some of the segment lies within the box
// (Liang and Barsky's clipping, ACM Transactions on Graphics 3(1), 1984).
func crosses(s segment, b orb.Bound) bool {
	from, to := 0.0, 1.0
	for axis := range 2 {
		d := s[1][axis] - s[0][axis]
		lo, hi := b.Min[axis]-s[0][axis], b.Max[axis]-s[0][axis]
		if d == 0 {
			if lo > 0 || hi < 0 {
				return false
			}
			continue
		}
		a, z := lo/d, hi/d
		if d < 0 {
			a, z = z, a
		}
		from, to = max(from, a), min(to, z)
	}
	return from <= to
}
