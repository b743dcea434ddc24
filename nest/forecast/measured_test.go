package forecast

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"strapwise/hide"
	"strapwise/hide/chance"
)

// What the models of whole hides are measured by. It is done anew without the hide that
// a forecast is tested on, so that no test judges a model by what it was made from.

// measured is the built-in models, with all that they have of whole hides from these.
func measured(hides []*hide.Hide) chance.Models {
	m := chance.BuiltIn()
	f := m.Forms["hide"]
	f.Firm, f.Shanks = 1, nil
	f.Knots = line(hides)
	f.Growth = chance.Growth{Of: len(hides), Ragged: [2]float64{math.Inf(1), 0}, Strewn: [2]int{math.MaxInt, 0}}
	f.Growth.Uneven, f.Growth.Slant = spread(hides)
	var logs []float64
	var ragged []float64
	atEdge := 0
	for _, h := range hides {
		ragged = append(ragged, math.Log(raggedness(h)))
		n := 0
		inside, all := 0.0, 0.0
		for _, area := range within(h) {
			logs = append(logs, math.Log(area))
			inside += area
			n++
		}
		for _, flaw := range h.Flaws() {
			all += flaw.Marked(0)
		}
		if inside < all/2 {
			atEdge++
		}
		f.Growth.Strewn = [2]int{min(f.Growth.Strewn[0], n), max(f.Growth.Strewn[1], n)}
	}
	mean, deviation := moments(ragged)
	f.Growth.Ragged = [2]float64{math.Exp(mean - 1.645*deviation), math.Exp(mean + 1.645*deviation)}
	// Of n hides that many: one more does with the chance of Laplace's rule of succession
	// (Essai philosophique sur les probabilités, 1814).
	f.Growth.AtEdge = float64(atEdge+1) / float64(len(hides)+2)
	m.Forms["hide"] = f
	mean, deviation = moments(logs)
	m.Strewn = chance.Sizes{Median: math.Sqrt(math.Exp(mean) / habitual), Spread: deviation / 2}
	return m
}

// habitual is the geometric mean of the areas of flaws as their habits have them, mm².
const habitual = 191

func moments(x []float64) (mean, deviation float64) {
	for _, v := range x {
		mean += v / float64(len(x))
	}
	for _, v := range x {
		deviation += (v - mean) * (v - mean) / float64(len(x)-1)
	}
	return mean, math.Sqrt(deviation)
}

// edges are how deep a hide is on each side of its backbone at n places along it.
func edges(h *hide.Hide, n int) (deep [2][]float64) {
	ring := h.Outline().In(h.Frame())
	box := ring.Bound()
	for i := range n {
		x := box.Min[0] + (box.Max[0]-box.Min[0])*(float64(i)+0.5)/float64(n)
		var most [2]float64
		for k := range ring.Len() {
			a, b := ring.Corner(k), ring.Corner((k+1)%ring.Len())
			if (a[0] <= x) != (b[0] <= x) {
				y := a[1] + (b[1]-a[1])*(x-a[0])/(b[0]-a[0])
				most = [2]float64{max(most[0], y), max(most[1], -y)}
			}
		}
		deep[0], deep[1] = append(deep[0], most[0]), append(deep[1], most[1])
	}
	return deep
}

// line is the mean line of the edge, tail first, against its deepest.
func line(hides []*hide.Hide) []chance.Knot {
	const n = 16
	var knots []chance.Knot
	for k := range n {
		knots = append(knots, chance.Knot{float64(k) / (n - 1), 0})
	}
	for _, h := range hides {
		deep := edges(h, 10*n)
		for k := range n { // the mean of a stretch round each knot
			about := 10 * n * k / (n - 1)
			from, to := max(0, about-4), min(10*n, about+4)
			for i := from; i < to; i++ {
				knots[n-1-k][1] += (deep[0][i] + deep[1][i]) / float64(to-from)
			}
		}
	}
	most := 0.0
	for _, k := range knots {
		most = max(most, k[1])
	}
	for k := range knots {
		knots[k][1] /= most
	}
	return knots
}

// spread is how far the shapes of hides differ: in the depth of a part of them, and in the
// slant of their ends. Mirrored, a hide is one.
func spread(hides []*hide.Hide) (uneven, slant float64) {
	var shapes []chance.Shape
	for _, h := range hides {
		shapes = append(shapes, chance.ShapeOf(h))
	}
	n := float64(len(hides))
	parts := len(shapes[0].Depth[0])
	for k := range parts {
		mean := 0.0
		for _, s := range shapes {
			mean += (s.Depth[0][k] + s.Depth[1][k]) / 2 / n
		}
		for _, s := range shapes {
			for side := range s.Depth {
				uneven += (s.Depth[side][k] - mean) * (s.Depth[side][k] - mean) / 2 / float64(parts) / (n - 1)
			}
		}
	}
	for _, s := range shapes {
		slant += (s.Slant[0]*s.Slant[0] + s.Slant[1]*s.Slant[1]) / 2 / n
	}
	return math.Sqrt(uneven), math.Sqrt(slant)
}

// raggedness is the deviation of the edge from a straight line through each stretch of
// 400 mm of it, but for a tenth of the length at each end.
func raggedness(h *hide.Hide) float64 {
	const n, stretch = 240, 400.0
	box := h.Outline().In(h.Frame()).Bound()
	step := (box.Max[0] - box.Min[0]) / n
	half := int(stretch / step / 2)
	sum, count := 0.0, 0.0
	for _, deep := range edges(h, n) {
		for i := n / 10; i < n-n/10; i++ {
			var sx, sy, sxx, sxy, m float64
			for k := max(0, i-half); k <= min(n-1, i+half); k++ {
				x := float64(k - i)
				sx, sy, sxx, sxy, m = sx+x, sy+deep[k], sxx+x*x, sxy+x*deep[k], m+1
			}
			lean := (m*sxy - sx*sy) / (m*sxx - sx*sx)
			off := deep[i] - (sy-lean*sx)/m
			sum, count = sum+off*off, count+1
		}
	}
	return math.Sqrt(sum / count)
}

// within are the areas of the flaws, mm², that do not reach the edge.
func within(h *hide.Hide) []float64 {
	const reach = 15 // mm
	ring := h.Outline().Corners()
	ring = append(ring, ring[0])
	var out []float64
	for _, f := range h.Flaws() {
		var places []orb.Point
		switch {
		case f.Spot != nil:
			places = []orb.Point{f.Spot.At}
		case f.Stroke != nil:
			places = f.Stroke.Line
		case f.Patch != nil:
			places = f.Patch.Corners()
		}
		from := math.Inf(1)
		for _, p := range places {
			from = min(from, planar.DistanceFrom(orb.LineString(ring), p))
		}
		if from > reach {
			out = append(out, f.Marked(0))
		}
	}
	return out
}

// The built-in model of whole hides is what measuring all six gives; and hides drawn
// from it, measured in the same way, are as they are. So the model is what it says.
func TestModelsAreAsMeasured(t *testing.T) {
	hides := wholeHides(t)
	is, want := chance.BuiltIn(), measured(hides)
	f, w := is.Forms["hide"], want.Forms["hide"]
	w.Firm, w.Shanks = f.Firm, f.Shanks
	round := cmpopts.EquateApprox(0.02, 0.006)
	if !cmp.Equal(f, w, round, cmpopts.IgnoreFields(chance.Form{}, "Length", "Depth")) || !cmp.Equal(is.Strewn, want.Strewn, round) {
		t.Errorf("the model of hides is\n%+v, %+v, measured\n%+v, %+v", f, is.Strewn, w, want.Strewn)
	}
	const draws = 60
	var drawn []*hide.Hide
	for seed := range uint64(draws) {
		h, err := NewWorld(firm(), nil).Draw(Kind{Leather: "bridle", Form: "hide", Grade: "B", Length: 2450, Depth: 2180, Area: 3.72e6}, seed) // as the six on the average
		if err != nil {
			t.Fatal(err)
		}
		drawn = append(drawn, h)
	}
	mean := func(of []*hide.Hide, do func(h *hide.Hide) float64) (sum float64) {
		for _, h := range of {
			sum += do(h) / float64(len(of))
		}
		return sum
	}
	for what, c := range map[string]struct {
		of  func(h *hide.Hide) float64
		off float64 // may be so much more or less, as a share
	}{
		"raggedness":      {raggedness, 0.25},
		"flaws anywhere":  {func(h *hide.Hide) float64 { return float64(len(within(h))) }, 0.35},
		"half its length": {func(h *hide.Hide) float64 { return deeper(h, 0.5) }, 0.1},
	} {
		if got, want := mean(drawn, c.of), mean(hides, c.of); math.Abs(got/want-1) > c.off {
			t.Errorf("%s: %.3g on hides drawn, %.3g on real ones", what, got, want)
		}
	}
}

// deeper is the share of a hide's depth at which a strip of that share of its length fits
// between its ends.
func deeper(h *hide.Hide, share float64) float64 {
	const n = 200
	ring := h.Outline().In(h.Frame())
	box := ring.Bound()
	fits := 0.0
	for i := range n {
		y := box.Min[1] + (box.Max[1]-box.Min[1])*(float64(i)+0.5)/n
		from, to := math.Inf(1), math.Inf(-1)
		for k := range ring.Len() {
			a, b := ring.Corner(k), ring.Corner((k+1)%ring.Len())
			if (a[1] <= y) != (b[1] <= y) {
				x := a[0] + (b[0]-a[0])*(y-a[1])/(b[1]-a[1])
				from, to = min(from, x), max(to, x)
			}
		}
		if to-from > share*(box.Max[0]-box.Min[0]) {
			fits += 1.0 / n
		}
	}
	return fits
}
