package report

import (
	"math"
	"slices"
	"testing"

	"github.com/paulmach/orb"

	"strapwise/hide"
	"strapwise/hide/plane"
)

// shapes counts the shapes of a page of one look.
func shapes(p Page, look func(Shape) bool) int {
	n := 0
	for _, item := range p.Items {
		if s, ok := item.(Shape); ok && look(s) {
			n++
		}
	}
	return n
}

// What the README says of the picture: what no piece may contain is solid, what some may is
// hatched; a dashed line goes round what the flesh side shows; soft leather is stippled and
// waste more densely, within dashes; so are remnants; a backbone is drawn where the picture
// reaches it.
func TestPictureTellsThingsApart(t *testing.T) {
	spot := func(kind string, face hide.Face, d float64) hide.Spec {
		return hide.Spec{Flaws: []hide.Flaw{{Kind: kind, Face: face, Spot: &hide.Spot{At: orb.Point{300, 125}, Diameter: d}}}}
	}
	zone := func(q hide.Quality) hide.Spec {
		return hide.Spec{Zones: []hide.Zone{{Quality: q, Area: plane.Box(orb.Point{400, 100}, orb.Point{600, 135})}}}
	}
	bone := func(y float64) hide.Spec { return hide.Spec{Backbone: []orb.Point{{0, y}, {620, y}}} }
	round := func(s Shape) bool { return s.Closed && len(s.Points) > 60 } // what a spot is drawn as
	like := func(fill Fill, weight float64, dash ...float64) func(Shape) bool {
		return func(s Shape) bool { return s.Fill == fill && s.Weight == weight && slices.Equal(s.Dash, dash) }
	}
	isRound := func(look func(Shape) bool) func(Shape) bool {
		return func(s Shape) bool { return round(s) && look(s) }
	}
	for name, c := range map[string]struct {
		spec hide.Spec
		look func(Shape) bool
		want int
	}{
		"a hole is solid":               {spot("hole", hide.Grain, 20), isRound(like(Solid, light)), 1},
		"a wrinkle is hatched":          {spot("wrinkle", hide.Grain, 20), isRound(like(Hatch, light)), 1},
		"a flesh cut has no outline":    {spot("cut", hide.Flesh, 20), isRound(like(Solid, 0)), 1},
		"and dashes round it":           {spot("cut", hide.Flesh, 20), isRound(like(None, light, 0.9, 0.6)), 1},
		"what the grain shows has none": {spot("cut", hide.Grain, 20), isRound(like(None, light, 0.9, 0.6)), 0},
		"a tick is large enough to see": {spot("tick", hide.Grain, 0.5), func(s Shape) bool {
			b := orb.MultiPoint(s.Points).Bound()
			return round(s) && math.Abs(b.Max[0]-b.Min[0]-seen) < 0.01
		}, 1},
		"soft leather is stippled": {zone(hide.Soft), like(Stipple, fine, 1.2, 0.8), 1},
		"waste more densely":       {zone(hide.Waste), like(Dense, fine, 1.2, 0.8), 1},
		"prime leather is bare":    {zone(hide.Prime), like(None, fine, 1.2, 0.8), 1},
		"a remnant is dashed":      {hide.Spec{}, like(None, cut, 4, 1.2), 1},
		"a backbone is drawn":      {bone(0), like(None, light, 6, 1, 1, 1), 1},
		"one just outside too":     {bone(-5), like(None, light, 6, 1, 1, 1), 1},
		"one far off is not":       {bone(-100), like(None, light, 6, 1, 1, 1), 0},
		"an arrow tells the grain": {hide.Spec{}, func(s Shape) bool { return s.Fill == Solid && len(s.Points) == 3 }, 1},
	} {
		page, _ := offcutSheet(t, c.spec)
		if got := shapes(page, c.look); got != c.want {
			t.Errorf("%s: found %d such shapes, expected %d", name, got, c.want)
		}
	}
}
