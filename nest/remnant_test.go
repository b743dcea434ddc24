package nest

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"

	"strapwise/hide"
	"strapwise/hide/plane"
)

func mustHide(t testing.TB, outline ...orb.Point) *hide.Hide {
	t.Helper()
	h, err := hide.New(hide.Spec{Name: "ash-3", Leather: "bridle-tan", Form: "bend", Outline: outline})
	if err != nil {
		t.Fatal(err)
	}
	return h
}

// upright is a lay struck along the X axis at edge, with one band of that depth.
func upright(edge, depth float64) HideLay {
	f := plane.NewFrame(orb.Point{0, edge}, orb.Point{1, 0})
	return HideLay{
		Strike: Strike{From: orb.Point{0, edge}, To: orb.Point{1000, edge}, EdgeMM: edge},
		Bands:  []Band{{FromMM: 0, DepthMM: depth, Blocks: []Block{{FromMM: 0, ToMM: 1000, Strips: []int{1}}}}},
		Strips: []Strip{{N: 1, Outline: f.Rect(span(0, 1000), span(0, depth)), WidthMM: depth}},
	}
}

// wholly is the plan with that lay alone, each strip a piece from one end of the hide
// to the other.
func wholly(lay HideLay) Plan {
	lay.Hide = "ash-3"
	p := Plan{Hides: []HideLay{lay}}
	for _, s := range lay.Strips {
		p.Pieces = append(p.Pieces, Piece{Hide: "ash-3", Strip: s.N, FromMM: -2000, ToMM: 5000})
	}
	return p
}

// bare is the lay without its strips: the band is ripped off and holds nothing.
func bare(lay HideLay) HideLay {
	lay.Strips, lay.Bands = nil, []Band{{DepthMM: lay.Bands[0].DepthMM, Cut: true}}
	return lay
}

// inward is the lay with its bands on the other side of the struck edge.
func inward(lay HideLay) HideLay {
	lay.Strike.EdgeMM *= -1
	return lay
}

// Leather at the limit of what is worth keeping may be left out, and what is
// clearly beyond it may not.
func TestCheckMissesOnlyWhatIsClearlyARemnant(t *testing.T) {
	box := mustHide(t, orb.Point{0, 0}, orb.Point{1000, 0}, orb.Point{1000, 500}, orb.Point{0, 500})
	for depth, missed := range map[float64]bool{400: true, 470: true, 474.9: false, 475: false, 475.1: false, 490: false} {
		lay := upright(0, depth)
		c := &checker{count: map[string]int{}, plan: wholly(lay)}
		l := laidOn(box, &lay)
		piece := plane.Identity.Rect(span(0, 1000), span(0, depth))
		c.leftOut(l, l.cutLines(c.plan.from("ash-3")), []geom.Geometry{polygonOf(piece).AsGeometry()})
		if got := len(c.found) > 0; got != missed {
			t.Errorf("%v mm left: found %v", 500-depth, c.found)
		}
	}
}

// A plain band is squared where its first piece begins, and nowhere before: what lies on both
// sides of the squared end is one remnant.
func TestCheckMissesWhatAPlainBandBeginsWith(t *testing.T) {
	box := mustHide(t, orb.Point{0, 0}, orb.Point{1000, 0}, orb.Point{1000, 500}, orb.Point{0, 500})
	f := plane.NewFrame(orb.Point{150, 0}, orb.Point{1, 0})
	for _, widths := range [][]float64{{100}, {60, 40}} {
		lay := HideLay{
			Hide: "ash-3", Strike: Strike{From: orb.Point{150, 0}, To: orb.Point{1000, 0}}, Chalked: []float64{100},
			Bands: []Band{{DepthMM: 100, Cut: true, Blocks: []Block{{ToMM: 850}}}},
		}
		p, y := Plan{}, 0.0
		given := []geom.Geometry{polygonOf(plane.Identity.Rect(span(0, 1000), span(100, 500))).AsGeometry()}
		for i, w := range widths {
			lay.Bands[0].Blocks[0].Strips = append(lay.Bands[0].Blocks[0].Strips, i+1)
			lay.Strips = append(lay.Strips, Strip{N: i + 1, FromMM: y, WidthMM: w, Outline: f.Rect(span(0, 850), span(y, y+w))})
			p.Pieces = append(p.Pieces, Piece{Hide: "ash-3", Strip: i + 1, FromMM: 150, ToMM: 850})
			y += w
		}
		p.Hides = []HideLay{lay}
		c, l := &checker{count: map[string]int{}, plan: p}, laidOn(box, &lay)
		c.leftOut(l, l.cutLines(p.from("ash-3")), given)
		if missed, plain := len(c.found) > 0, len(widths) == 1; missed != plain {
			t.Errorf("strips of %v mm: found %v", widths, c.found)
		}
	}
}

func TestRemnants(t *testing.T) {
	box := mustHide(t, orb.Point{0, 0}, orb.Point{1000, 0}, orb.Point{1000, 500}, orb.Point{0, 500})
	for _, c := range []struct {
		name  string
		hide  *hide.Hide
		lay   HideLay
		areas []float64
	}{
		{"nothing cut", box, HideLay{}, []float64{500_000}},
		{"a band from the edge", box, upright(0, 100), []float64{400_000}},
		{"leather before the struck edge counts, largest first", box, upright(100, 200), []float64{200_000, 100_000}},
		{"too shallow a rest before it", box, upright(24, 200), []float64{276_000}},
		{"all cut", box, upright(0, 500), nil},
		{"a band that holds nothing", box, bare(upright(0, 100)), []float64{400_000, 100_000}},
		{"and one from the far edge", box, inward(bare(upright(500, 100))), []float64{400_000, 100_000}},
		{"and one beyond the middle", box, bare(upright(300, 100)), []float64{300_000, 100_000, 100_000}},
		{"and one on the near side of that", box, inward(bare(upright(300, 120))), []float64{200_000, 180_000, 120_000}},
		{"deep enough, not large enough", mustHide(t, orb.Point{0, 0}, orb.Point{400, 0}, orb.Point{400, 149}, orb.Point{0, 149}), upright(0, 100), nil},
		{"large enough, not deep enough", box, upright(0, 476), nil},
		{"just both", box, upright(0, 474), []float64{26_000}},
		{
			"a rest in two parts", mustHide(t,
				orb.Point{0, 0}, orb.Point{1000, 0}, orb.Point{1000, 500}, orb.Point{600, 500}, orb.Point{500, 100}, orb.Point{400, 500}, orb.Point{0, 500}),
			upright(0, 200),
			[]float64{300 * (400 + 475) / 2, 300 * (400 + 475) / 2},
		},
		{
			"a rest whose corner all but touches the last rip", mustHide(t,
				orb.Point{0, 0}, orb.Point{1000, 0}, orb.Point{1000, 500}, orb.Point{600, 500}, orb.Point{500, 200.00001}, orb.Point{400, 500}, orb.Point{0, 500}),
			upright(0, 200),
			[]float64{300 * 450, 300 * 450},
		},
		{
			"two rests, each too small, that touch at a corner on the struck edge", mustHide(t,
				orb.Point{1002.3929, 184.15}, orb.Point{14.8167, 184.15}, orb.Point{50.8, 76.2}, orb.Point{177.8, 0},
				orb.Point{355.6, 63.5}, orb.Point{685.8, 76.2}, orb.Point{863.6, 12.7}, orb.Point{990.6, 101.6}),
			upright(76.2, 107.95), nil,
		},
		{"no struck edge", box, HideLay{Strips: upright(0, 100).Strips}, nil},
	} {
		got := Remnants(c.hide, wholly(c.lay))
		if len(got) != len(c.areas) {
			t.Errorf("%s: found %d remnants, expected %d", c.name, len(got), len(c.areas))
			continue
		}
		for i, r := range got {
			if a := polygonOf(r).Area(); math.Abs(a-c.areas[i]) > 1 {
				t.Errorf("%s: found %v mm², expected %v", c.name, a, c.areas[i])
			}
			ring, err := plane.NewRing(r)
			if err != nil || touchesItself(ring) {
				t.Errorf("%s: %v, or it touches itself", c.name, err)
			}
		}
	}
}

// Where the squared end lies on leather in every band, it is cut through all of them;
// otherwise each strip is squared where its first piece begins.
func TestRemnantsAtTheSquaredEnd(t *testing.T) {
	box := []orb.Point{{0, 0}, {1000, 0}, {1000, 500}, {0, 500}}
	notched := slices.Insert(slices.Clone(box), 3, orb.Point{305, 500}, orb.Point{300, 150}, orb.Point{295, 500})
	squared, apart := []float64{300_000, 60_000, 25_000, 25_000}, []float64{210_000 - 6000.0/7, 90_000 - 6000.0/7, 55_000, 55_000 - 250.0/7} // the notch parts what lies beyond
	for _, c := range []struct {
		name    string
		outline []orb.Point
		change  func(*HideLay)
		areas   []float64
	}{
		{"on leather", box, func(*HideLay) {}, squared},
		{"off it in one band", notched, func(*HideLay) {}, apart},
		{"begun, and squared", box, func(l *HideLay) { l.Bands[0].Cut, l.SquaredMM = true, 200 }, squared},
		{"begun, and carried on", box, func(l *HideLay) { l.Bands[0].Cut, l.SquaredMM = true, 100 }, []float64{300_000, 30_000, 30_000, 25_000, 25_000}},
		{"begun, and squared further out", box, func(l *HideLay) { l.Bands[0].Cut, l.SquaredMM = true, 350 }, []float64{210_000, 105_000, 45_000, 25_000, 25_000}},
		{"begun, by a chalk line", box, func(l *HideLay) { l.Bands[0].Cut, l.Chalked = true, []float64{100} }, []float64{300_000, 55_000, 55_000}},
	} {
		lay := HideLay{Hide: "ash-3", Strike: Strike{From: orb.Point{300, 0}, To: orb.Point{1000, 0}}}
		p := Plan{}
		f := plane.NewFrame(lay.Strike.From, orb.Point{1, 0})
		for i, y := range []float64{0, 100} {
			lay.Strips = append(lay.Strips, Strip{N: i + 1, FromMM: y, WidthMM: 100, Outline: f.Rect(span(0, 700), span(y, y+100))})
			lay.Bands = append(lay.Bands, Band{FromMM: y, DepthMM: 100, Blocks: []Block{{FromMM: 0, ToMM: 700, Strips: []int{i + 1}}}})
			p.Pieces = append(p.Pieces, Piece{Hide: "ash-3", Strip: i + 1, FromMM: 250, ToMM: 700})
		}
		c.change(&lay)
		p.Hides = []HideLay{lay}
		got := mapped(Remnants(mustHide(t, c.outline...), p), func(r []orb.Point) float64 { return polygonOf(r).Area() })
		if !slices.EqualFunc(got, c.areas, func(a, b float64) bool { return math.Abs(a-b) < 1 }) {
			t.Errorf("%s: found %.1f mm², expected %.1f", c.name, got, c.areas)
		}
	}
}

// Remnants, the ripped part and scrap add up to the hide, and no scrap is large
// enough to have been kept.
func TestRemnantsLaw_areas(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	for range 60 {
		// A hide like a star: every ray from its middle leaves it once.
		mid := orb.Point{rng.Float64() * 2000, rng.Float64() * 2000}
		n := 4 + rng.IntN(30)
		var outline []orb.Point
		for i := range n {
			r := 250 + 500*rng.Float64()
			outline = append(outline, add(mid, scale(turned(orb.Point{1, 0}, 2*math.Pi*float64(i)/float64(n)), r)))
		}
		h := mustHide(t, outline...)
		along := turned(orb.Point{1, 0}, rng.Float64()*2*math.Pi)
		out := orb.Point{-along[1], along[0]}
		if rng.IntN(2) == 0 {
			out = scale(out, -1)
		}
		from := add(mid, scale(out, rng.Float64()*600-400))
		depth := 10 + 300*rng.Float64()
		lay := HideLay{
			Strike: Strike{From: from, To: add(from, scale(along, 500))},
			Bands:  []Band{{FromMM: 0, DepthMM: depth, Blocks: []Block{{FromMM: 0, ToMM: 500, Strips: []int{1}}}}},
			Strips: []Strip{{N: 1, Outline: rectAt(from, along, out, 500, depth).corners(), WidthMM: depth}},
		}
		start := -3000.0
		if struckOn(h, &lay).squaredOff(h, &lay) > 0 {
			start = 0
		}
		ripped := rectAt(add(from, scale(along, start)), along, out, 3000-start, depth)
		shape := h.Outline().Polygon().AsGeometry()
		inside, err := geom.Intersection(shape, ripped.geometry())
		if err != nil {
			t.Fatal(err)
		}
		total := inside.Area()
		scrap, err := geom.Difference(shape, ripped.geometry())
		if err != nil {
			t.Fatal(err)
		}
		// One by one: a union of shapes that meet along an edge can lose one.
		for _, r := range Remnants(h, wholly(lay)) {
			total += polygonOf(r).Area()
			if scrap, err = geom.Difference(scrap, polygonOf(r).AsGeometry()); err != nil {
				t.Fatal(err)
			}
		}
		for _, s := range polygonsOf(scrap) {
			total += s.Area()
			if core, err := geom.Buffer(s.AsGeometry(), -13); err != nil || s.Area() > MinRemnantArea && !core.IsEmpty() {
				t.Errorf("%v mm² of leather were left out: %v", s.Area(), err)
			}
		}
		if math.Abs(total-h.Area()) > 1e-6*h.Area() {
			t.Errorf("the parts add up to %v mm², the hide has %v", total, h.Area())
		}
	}
}

// What was marked with a number keeps it when the rest is laid again.
func TestNumbered(t *testing.T) {
	box := func(n float64) []orb.Point { return plane.Identity.Rect(span(n, n+10), span(0, 100*n)) }
	list := func(ns ...float64) [][]orb.Point { return mapped(ns, box) }
	for _, c := range []struct{ before, now, want [][]orb.Point }{
		{list(9, 5, 4), list(9, 5, 4), list(9, 5, 4)},
		{list(9, 5, 4), list(8, 6, 5, 4), list(8, 5, 4, 6)},
		{list(9, 5, 4), list(9, 4), list(9, 4)},
		{list(9, 5, 4), nil, nil},
		{nil, list(3, 2), list(3, 2)},
	} {
		if got := Numbered(c.before, c.now); !slices.EqualFunc(got, c.want, func(a, b []orb.Point) bool { return slices.Equal(a, b) }) {
			t.Errorf("%v after %v: found %v, expected %v", c.now, c.before, got, c.want)
		}
	}
}

// A hide that is nowhere as wide as a file tells leaves remnants that can be written all the
// same.
func TestRemnantsOfASpike(t *testing.T) {
	spiked := mustHide(t, orb.Point{0, 0}, orb.Point{900, 0}, orb.Point{900, 400}, orb.Point{920, 400.00001}, orb.Point{0, 400})
	got := Remnants(spiked, wholly(HideLay{
		Hide: spiked.Name(), Strike: Strike{From: orb.Point{0, 0}, To: orb.Point{900, 0}},
		Bands:  []Band{{DepthMM: 50, Blocks: []Block{{ToMM: 900, Strips: []int{1}}}}},
		Strips: []Strip{{N: 1, WidthMM: 50, Outline: plane.Identity.Rect(span(0, 900), span(0, 50))}},
	}))
	if len(got) != 1 || math.Abs(polygonOf(got[0]).Area()-315_000) > 10 || polygonOf(written(got[0])).Validate() != nil {
		t.Errorf("found %v", got)
	}
}
