// Package yield tells where the leather of a plan went, and what is known of
// better plans.
package yield

import (
	"errors"
	"fmt"
	"slices"

	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"

	"strapwise/hide"
	"strapwise/hide/plane"
	"strapwise/nest"
	"strapwise/report/internal/shape"
)

// Report is what a plan gives. Areas are square millimetres.
type Report struct {
	Worth  float64 `json:"worth"`  // of the complete sets, less the effort of the cuts
	Bound  float64 `json:"bound"`  // no plan under the same rules is worth more; 0: not known
	Proven bool    `json:"proven"` // Worth is the most there can be
	Orders []Order `json:"orders"`
	Hides  []Hide  `json:"hides"`
}

// Order is what the plan gives of one order.
type Order struct {
	Order    string `json:"order"`
	Asked    int    `json:"asked"`
	Complete int    `json:"complete"`
	Short    []Lack `json:"short"` // why sets are missing, the most frequent reason first
}

// Lack is one reason why sets of an order are missing.
type Lack struct {
	Sets int    `json:"sets"`
	Part string `json:"part"` // that stood in the way
	Why  string `json:"why"`
}

// Hide is where the leather of one hide went. The areas of Used and Waste, and
// Remnant, do not overlap and add up to AreaMM2.
type Hide struct {
	Hide    string  `json:"hide"`
	AreaMM2 float64 `json:"area_mm2"`
	Pieces  int     `json:"pieces"`
	Used    []Use   `json:"used"` // by use, sorted by name
	Waste   Waste   `json:"waste"`
	Remnant float64 `json:"remnant_mm2"` // goes back on the rack
}

// Use is the leather that became pieces of one use.
type Use struct {
	Use     string  `json:"use"`
	AreaMM2 float64 `json:"area_mm2"`
}

// Waste is the leather that became neither piece nor remnant, each bit counted
// once, under the first of these that holds.
type Waste struct {
	FlawsMM2 float64 `json:"flaws_mm2"` // in a flaw
	SoftMM2  float64 `json:"soft_mm2"`  // in a zone worse than firm
	EdgeMM2  float64 `json:"edge_mm2"`  // within the trim, and outside the squared end, the struck edge and the last band
	EndsMM2  float64 `json:"ends_mm2"`  // along the strips: before, between and after their pieces
	WidthMM2 float64 `json:"width_mm2"` // across them: waste strips, and what a strip has too much
}

// Sum is all the waste.
func (w Waste) Sum() float64 { return w.FlawsMM2 + w.SoftMM2 + w.EdgeMM2 + w.EndsMM2 + w.WidthMM2 }

// Of tells where the leather of the plan went. The error says which of the
// plan's outlines or hides makes no sense.
func Of(j nest.Job, p nest.Plan) (Report, error) {
	r := Report{Worth: p.Result.Value, Bound: p.Result.Bound, Proven: p.Result.Proven, Hides: []Hide{}}
	r.Orders = orders(p)
	for _, lay := range p.Hides {
		h := j.Hide(lay.Hide)
		if h == nil {
			return Report{}, fmt.Errorf("the plan cuts hide %q, which the job does not have", lay.Hide)
		}
		figures, err := account(h, lay, p.Pieces)
		if err != nil {
			return Report{}, fmt.Errorf("hide %q: %w", lay.Hide, err)
		}
		r.Hides = append(r.Hides, figures)
	}
	return r, nil
}

// orders gathers counts and reasons, in the plan's order.
func orders(p nest.Plan) []Order {
	out := []Order{}
	at := map[string]int{}
	for _, s := range p.Sets {
		i, known := at[s.Order]
		if !known {
			i = len(out)
			at[s.Order] = i
			out = append(out, Order{Order: s.Order, Short: []Lack{}})
		}
		out[i].Asked += s.Asked
		out[i].Complete += s.Complete
	}
	for _, u := range p.Unplaced {
		i, known := at[u.Order]
		if !known {
			continue // Check refuses such a plan; there is nothing to count it against
		}
		short := out[i].Short
		k := slices.IndexFunc(short, func(l Lack) bool { return l.Part == u.Part && l.Why == u.Why })
		if k < 0 {
			out[i].Short = append(short, Lack{Sets: 1, Part: u.Part, Why: u.Why})
			continue
		}
		short[k].Sets++
	}
	for i := range out {
		slices.SortStableFunc(out[i].Short, func(a, b Lack) int { return b.Sets - a.Sets })
	}
	return out
}

// rest is the leather of a hide that has not been accounted for yet. Each
// account takes its part out, so that what is counted adds up whatever
// overlaps whatever.
type rest struct {
	left []geom.Geometry // polygons, so that each cut is made only in those it reaches
	err  error
}

func (r *rest) area() float64 {
	sum := 0.0
	for _, p := range r.left {
		sum += p.Area()
	}
	return sum
}

// take counts the part of the rest that lies in the shapes, and removes it.
func (r *rest) take(what string, shapes ...geom.Geometry) float64 {
	if r.err != nil || len(shapes) == 0 {
		return 0
	}
	before := r.area()
	for _, s := range shapes { // one by one: a union of many that touch has been seen to lose one
		reach := s.Envelope()
		var after []geom.Geometry
		for _, p := range r.left {
			if !p.Envelope().Intersects(reach) {
				after = append(after, p)
				continue
			}
			cut, err := geom.Difference(p, s)
			if err != nil {
				r.err = fmt.Errorf("%s: %w", what, err)
				return 0
			}
			after = append(after, shape.Areas(cut).Dump()...)
		}
		r.left = after
	}
	return max(0, before-r.area())
}

// smoothed is an outline with no more corners than an offset can be made of in
// reasonable time: one of ten thousand takes minutes. Corners within a tolerance,
// in millimetres, go first, then within twice that, and so on. It moves the line
// between edge and ends a little, and no sum.
func smoothed(outline plane.Ring, tolerance float64) geom.Geometry {
	const most = 500
	g := outline.Polygon().AsGeometry()
	for corners := outline.Len(); corners > most; tolerance *= 2 {
		s, err := g.Simplify(tolerance)
		if err != nil { // it would cross itself
			break
		}
		if s.IsEmpty() || s.Type() != geom.TypePolygon {
			break
		}
		g, corners = s, s.MustAsPolygon().ExteriorRing().Coordinates().Length()
	}
	return g
}

// account divides one hide.
func account(h *hide.Hide, lay nest.HideLay, all []nest.Piece) (Hide, error) {
	out := Hide{Hide: h.Name(), AreaMM2: h.Area(), Used: []Use{}}
	r := &rest{left: []geom.Geometry{h.Outline().Polygon().AsGeometry()}}

	byUse := map[string][]geom.Geometry{}
	var uses []string
	for _, p := range all {
		if p.Hide != h.Name() {
			continue
		}
		g, err := shape.Of(p.Outline)
		if err != nil {
			return Hide{}, fmt.Errorf("piece %s of set %d of order %s: %w", p.Part, p.Set, p.Order, err)
		}
		if byUse[p.Use] == nil {
			uses = append(uses, p.Use)
		}
		byUse[p.Use] = append(byUse[p.Use], g)
		out.Pieces++
	}
	slices.Sort(uses)
	for _, u := range uses {
		out.Used = append(out.Used, Use{u, r.take("pieces", byUse[u]...)})
	}

	remnants, err := outlines(lay.Remnants, "remnant")
	if err != nil {
		return Hide{}, err
	}
	out.Remnant = r.take("remnants", remnants...)

	var flaws, soft []geom.Geometry
	for i, f := range h.Flaws() {
		g, err := shape.Flaw(f)
		if err != nil {
			return Hide{}, fmt.Errorf("flaw %d: %w", i+1, err)
		}
		flaws = append(flaws, g)
	}
	for _, z := range h.Zones() {
		if z.Quality < hide.Firm {
			soft = append(soft, z.Area.Polygon().AsGeometry())
		}
	}
	out.Waste.FlawsMM2 = r.take("flaws", flaws...)
	out.Waste.SoftMM2 = r.take("soft zones", soft...)

	beside, ends, between, err := cutUp(h, lay, all)
	if err != nil {
		return Hide{}, err
	}
	if h.Trim() > 0 { // the trim is edge even where a strip's end reaches into it
		kept, err := geom.Buffer(smoothed(h.Outline(), h.Trim()/20), -h.Trim())
		if err != nil {
			return Hide{}, fmt.Errorf("trim: %w", err)
		}
		edge, err := geom.Difference(h.Outline().Polygon().AsGeometry(), shape.Areas(kept))
		if err != nil {
			return Hide{}, fmt.Errorf("trim: %w", err)
		}
		out.Waste.EdgeMM2 = r.take("trim", shape.Areas(edge))
	}
	out.Waste.WidthMM2 = r.take("strips wider than their pieces", beside...)
	out.Waste.EndsMM2 = r.take("strips", ends...)
	out.Waste.WidthMM2 += r.take("waste strips", between)
	out.Waste.EdgeMM2 += r.area()
	return out, r.err
}

// cutUp gives what the cuts leave, in the coordinates of the hide's file:
// beside, the places of pieces at the full width of their strips; ends, the
// bands from the squared end to the far edge of the hide, but of a band that
// is cross-cut into blocks only its strips and what lies outside its blocks;
// between, all from the struck edge to the outer edge of the last band.
func cutUp(h *hide.Hide, lay nest.HideLay, all []nest.Piece) (beside, ends []geom.Geometry, between geom.Geometry, err error) {
	from, to := lay.Strike.From, lay.Strike.To
	if from == to {
		return nil, nil, between, errors.New("found a struck edge of no length, expected two different ends")
	}
	f := plane.NewFrame(from, orb.Point{to[0] - from[0], to[1] - from[1]})
	far := h.Outline().In(f).Bound().Max[0]
	rect := func(x, y plane.Span) geom.Geometry {
		g, _ := shape.Of(f.Rect(x, y)) // of no area: an empty shape, which takes nothing
		return g
	}
	for _, s := range lay.Strips {
		for _, p := range all {
			if p.Hide == lay.Hide && p.Strip == s.N {
				beside = append(beside, rect(plane.Span{Lo: p.FromMM, Hi: p.ToMM}, plane.Span{Lo: s.FromMM, Hi: s.FromMM + s.WidthMM}))
			}
		}
	}
	last := 0.0
	for _, b := range lay.Bands {
		y := plane.Span{Lo: b.FromMM, Hi: b.FromMM + b.DepthMM}
		last = max(last, y.Hi)
		if len(b.Blocks) == 1 && len(b.Blocks[0].Strips) == 1 {
			ends = append(ends, rect(plane.Span{Lo: 0, Hi: far}, y))
			continue
		}
		at := 0.0
		for _, block := range b.Blocks {
			ends = append(ends, rect(plane.Span{Lo: at, Hi: max(at, block.FromMM)}, y))
			at = block.ToMM
			for _, n := range block.Strips {
				i := slices.IndexFunc(lay.Strips, func(s nest.Strip) bool { return s.N == n })
				if i < 0 {
					return nil, nil, between, fmt.Errorf("found strip %d in a band, which the plan does not describe", n)
				}
				s := lay.Strips[i]
				ends = append(ends, rect(plane.Span{Lo: block.FromMM, Hi: block.ToMM}, plane.Span{Lo: s.FromMM, Hi: s.FromMM + s.WidthMM}))
			}
		}
		ends = append(ends, rect(plane.Span{Lo: at, Hi: max(at, far)}, y))
	}
	return beside, ends, rect(plane.Span{Lo: 0, Hi: max(0, far)}, plane.Span{Lo: 0, Hi: last}), nil
}

func outlines(rings [][]orb.Point, what string) ([]geom.Geometry, error) {
	var out []geom.Geometry
	for i, ring := range rings {
		g, err := shape.Of(ring)
		if err != nil {
			return nil, fmt.Errorf("%s %d: %w", what, i+1, err)
		}
		out = append(out, g)
	}
	return out, nil
}
