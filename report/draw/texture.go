package draw

import (
	"math"

	"github.com/paulmach/orb"

	"strapwise/report"
)

// Writers whose format knows no textures draw them stroke by stroke and dot by
// dot, where SVG's patterns have them: both count from the drawing's corner.

// strokes are those of a hatch that cross a box.
func strokes(box orb.Bound) [][2]orb.Point {
	// On a stroke x + y is the same; the middle of the first is half its weight
	// from the corner.
	const diagonal = math.Sqrt2
	first := report.HatchWeight / 2
	var out [][2]orb.Point
	n := math.Ceil(((box.Min[0]+box.Min[1])/diagonal - first) / report.HatchPitch)
	for ; ; n++ {
		sum := diagonal * (n*report.HatchPitch + first)
		if sum > box.Max[0]+box.Max[1] {
			return out
		}
		left, right := max(box.Min[0], sum-box.Max[1]), min(box.Max[0], sum-box.Min[1])
		out = append(out, [2]orb.Point{{left, sum - left}, {right, sum - right}})
	}
}

// dots are the middles of those of a stipple of that pitch within a box.
func dots(box orb.Bound, pitch float64) []orb.Point {
	var out []orb.Point
	for row := math.Ceil(box.Min[1]/pitch*2 - 0.5); (row+0.5)*pitch/2 <= box.Max[1]; row++ {
		shift := 0.25 + 0.5*math.Abs(math.Mod(row, 2))
		for n := math.Ceil(box.Min[0]/pitch - shift); (n+shift)*pitch <= box.Max[0]; n++ {
			out = append(out, orb.Point{(n + shift) * pitch, (row + 0.5) * pitch / 2})
		}
	}
	return out
}
