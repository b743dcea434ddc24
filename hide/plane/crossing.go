package plane

import (
	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/rtree"
)

// crossing looks for two edges of a closed outline that meet anywhere but at
// the corner they share, and gives a place where they do.
func crossing(corners []orb.Point) (orb.Point, bool) {
	n := len(corners)
	edge := func(i int) (a, b orb.Point) { return corners[i], corners[(i+1)%n] }
	items := make([]rtree.BulkItem, n)
	for i := range items {
		a, b := edge(i)
		items[i] = rtree.BulkItem{Box: edgeBox(a, b), RecordID: i}
	}
	tree := rtree.BulkLoad(items)
	var at orb.Point
	found := false
	for i := 0; i < n && !found; i++ {
		a, b := edge(i)
		_ = tree.RangeSearch(edgeBox(a, b), func(j int) error {
			if found || j <= i { // rtree.Stop ends the search of one node of the tree only
				return nil
			}
			c, d := edge(j)
			switch {
			case j == i+1: // b is c: they may only fold back on each other
				found = turn(a, b, d) == 0 && between(b, a, d) != 0
				at = b
			case i == 0 && j == n-1: // d is a
				found = turn(c, d, b) == 0 && between(d, c, b) != 0
				at = a
			default:
				at, found = meet(a, b, c, d)
			}
			if found {
				return rtree.Stop
			}
			return nil
		})
	}
	return at, found
}

func edgeBox(a, b orb.Point) rtree.Box {
	return rtree.Box{
		MinX: min(a[0], b[0]), MinY: min(a[1], b[1]),
		MaxX: max(a[0], b[0]), MaxY: max(a[1], b[1]),
	}
}

// turn is positive if a, b, c turn left, negative if right, 0 if straight.
func turn(a, b, c orb.Point) float64 {
	return (b[0]-a[0])*(c[1]-a[1]) - (b[1]-a[1])*(c[0]-a[0])
}

// between is positive if p and q lie on the same side of the point m on a
// line through all three, so that the edges m-p and m-q overlap; else 0.
func between(m, p, q orb.Point) float64 {
	return max(0, (p[0]-m[0])*(q[0]-m[0])+(p[1]-m[1])*(q[1]-m[1]))
}

// meet gives a point common to the segments a-b and c-d, ends included.
func meet(a, b, c, d orb.Point) (orb.Point, bool) {
	ta, tb := turn(c, d, a), turn(c, d, b)
	tc, td := turn(a, b, c), turn(a, b, d)
	if ta > 0 && tb > 0 || ta < 0 && tb < 0 || tc > 0 && td > 0 || tc < 0 && td < 0 {
		return orb.Point{}, false
	}
	if ta == tb { // parallel, so all four on one line: they meet if they overlap
		for _, p := range []orb.Point{a, b} {
			if within(p, c, d) {
				return p, true
			}
		}
		return c, within(c, a, b)
	}
	t := ta / (ta - tb)
	return orb.Point{a[0] + t*(b[0]-a[0]), a[1] + t*(b[1]-a[1])}, true
}

// within reports whether p lies in the upright box round a and b.
func within(p, a, b orb.Point) bool {
	box := orb.MultiPoint{a, b}.Bound()
	return box.Contains(p)
}
