package report

import (
	"math"

	"github.com/paulmach/orb"

	"strapwise/hide/measure"
	"strapwise/hide/plane"
	"strapwise/nest"
	"strapwise/report/internal/shape"
)

// Plot is a hide and all its cuts as bare lines, for other drawing programs:
// millimetres, in the coordinates of the hide's own file, y up.
type Plot struct {
	Title  string
	Layers []Layer
}

// Layer is what is of one kind.
type Layer struct {
	Name  string // capitals and - only
	Paths []Path
	Notes []Note
}

// Path is a polygon, or a line through two points or more.
type Path struct {
	Points []orb.Point
	Closed bool
}

// Note is a line of words about a place, turned anticlockwise.
type Note struct {
	At   orb.Point // its middle
	Size float64   // mm, of a capital
	Turn float64   // degrees
	Text string
}

// The layers, in the order in which they are drawn. What has been cut already is all
// on one, whatever it is, so that nobody cuts it again.
const (
	layerOutline = iota
	layerZones
	layerFlaws
	layerStruck
	layerStrips
	layerCrossCuts
	layerPieces
	layerRemnants
	layerDone
	layerText
)

var layerNames = []string{"OUTLINE", "ZONES", "FLAWS", "STRUCK", "STRIPS", "CROSS-CUTS", "PIECES", "REMNANTS", "DONE", "TEXT"}

// Plotted gives the plot of one hide of a plan.
func Plotted(j nest.Job, p nest.Plan, hideName string) (Plot, error) {
	l, err := readLay(j, p, hideName, measure.Rule{})
	if err != nil {
		return Plot{}, err
	}
	t := &plotter{lay: l, layers: make([]Layer, len(layerNames))}
	for i, name := range layerNames {
		t.layers[i].Name = name
	}
	t.leather()
	t.cuts()
	return Plot{Title: hideName + ", plan " + Mark(p), Layers: t.layers}, nil
}

type plotter struct {
	*lay
	layers []Layer
}

func (t *plotter) polygon(layer int, pts []orb.Point) {
	t.layers[layer].Paths = append(t.layers[layer].Paths, Path{pts, true})
}

func (t *plotter) line(layer int, pts ...orb.Point) {
	t.layers[layer].Paths = append(t.layers[layer].Paths, Path{pts, false})
}

// note sets words in the middle of an outline, along the grain, as large as goes
// between its long sides.
func (t *plotter) note(outline []orb.Point, text string) {
	const most = 8.0 // mm
	b := t.bound(outline)
	w, h := b.Max[0]-b.Min[0], b.Max[1]-b.Min[1]
	letter := Text{Size: 1, Runs: words(text)}.Width()
	t.layers[layerText].Notes = append(t.layers[layerText].Notes, Note{
		At: t.frame.OutOf(b.Center()), Size: min(most, h/2, 0.9*w/letter), Turn: t.frame.Radians() * 180 / math.Pi, Text: text,
	})
}

func (t *plotter) leather() {
	t.polygon(layerOutline, t.hide.Outline().Corners())
	for _, z := range t.hide.Zones() {
		t.polygon(layerZones, z.Area.Corners())
		t.note(z.Area.Corners(), z.Quality.String())
	}
	for _, f := range t.hide.Flaws() {
		for _, ring := range shape.Rings(shape.Flaw(f, 0)) {
			t.polygon(layerFlaws, ring)
			t.note(ring, flawName(f))
		}
	}
	if b := t.hide.Backbone(); len(b) > 0 {
		t.line(layerStruck, b...)
	}
}

func (t *plotter) cuts() {
	t.line(layerStruck, t.lay.cuts.Strike.From, t.lay.cuts.Strike.To)
	for _, s := range t.lay.cuts.Strips {
		in := t.blockOf[s.N].band
		t.polygon(unless(s.Cut || in != nil && in.plain && in.cut, layerStrips), s.Outline)
	}
	for _, b := range t.bands {
		t.blockCuts(b)
		for _, k := range b.blocks {
			for _, s := range k.strips {
				t.pieceCuts(s)
			}
		}
	}
	for _, piece := range t.all() {
		t.polygon(unless(piece.Cut, layerPieces), piece.Outline)
		t.note(piece.Outline, label(piece))
	}
	for _, r := range t.lay.remnants {
		t.polygon(layerRemnants, r.outline)
	}
}

// unless is the layer of a cut, that of what is done if it has been made.
func unless(made bool, layer int) int {
	if made {
		return layerDone
	}
	return layer
}

// across draws a cross-cut at a place along the struck edge.
func (t *plotter) across(layer int, x float64, y plane.Span) {
	t.line(layer, t.frame.OutOf(orb.Point{x, y.Lo}), t.frame.OutOf(orb.Point{x, y.Hi}))
}

// blockCuts are the cuts of a band into blocks.
func (t *plotter) blockCuts(b band) {
	if b.plain {
		return
	}
	at, layer := math.Inf(-1), unless(b.apart, layerCrossCuts)
	for _, k := range b.blocks {
		if !k.open && !near(k.from, at) {
			t.across(layer, k.from, plane.Span{Lo: b.from, Hi: b.far()})
		}
		if at = k.to; !k.last {
			t.across(layer, k.to, plane.Span{Lo: b.from, Hi: b.far()})
		}
	}
}

// pieceCuts are the cuts of a strip into pieces, with the one that squares it.
func (t *plotter) pieceCuts(s nest.Strip) {
	at := t.cutFrom(s.N)
	if t.squared[s.N] && len(t.pieces[s.N]) > 0 {
		t.across(layerCrossCuts, at, across(s))
	}
	for _, p := range t.pieces[s.N] {
		if p.FromMM > at+sameMark {
			t.across(layerCrossCuts, p.FromMM, across(s))
		}
		if at = p.ToMM; !t.toEnd(p) {
			t.across(layerCrossCuts, at, across(s))
		}
	}
}
