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
)

// account divides one hide, of which remnants smaller than least, in mm², are scrap.
func account(h *hide.Hide, lay nest.HideLay, all []nest.Piece, least float64) (Hide, error) {
	out := Hide{Hide: h.Name(), AreaMM2: h.Area(), Used: []Use{}}
	var pieces []nest.Piece
	for _, p := range all {
		if p.Hide == h.Name() {
			pieces = append(pieces, p)
		}
	}
	out.Pieces = len(pieces)
	from, to := lay.Strike.From, lay.Strike.To
	if from == to {
		return out, errors.New("found a struck edge of no length, expected two different ends")
	}
	f := plane.NewFrame(from, orb.Point{to[0] - from[0], to[1] - from[1]})

	byUse := map[string][]shape{}
	var round []shape // the rectangles round templates
	var uses []string
	for _, p := range pieces {
		ring, err := plane.NewRing(p.Outline)
		if err != nil {
			return out, fmt.Errorf("piece %s of set %d of order %s: %w", p.Part, p.Set, p.Order, err)
		}
		if byUse[p.Use] == nil {
			uses = append(uses, p.Use)
		}
		ring = ring.In(f)
		byUse[p.Use] = append(byUse[p.Use], newPolygon(ring))
		if b := ring.Bound(); !nest.Rectangular(p.Outline) {
			round = append(round, upright{plane.Span{Lo: b.Min[0], Hi: b.Max[0]}, plane.Span{Lo: b.Min[1], Hi: b.Max[1]}})
		}
	}
	slices.Sort(uses)
	var layers [][]shape
	var into []*float64 // where the area of each layer is counted
	layer := func(to *float64, shapes []shape) { layers, into = append(layers, shapes), append(into, to) }
	out.Used = make([]Use, len(uses))
	for i, u := range uses {
		out.Used[i].Use = u
		layer(&out.Used[i].AreaMM2, byUse[u])
	}
	var remnants, soft, waste []shape
	for i, r := range lay.Remnants {
		ring, err := plane.NewRing(r)
		if err != nil {
			return out, fmt.Errorf("remnant %d: %w", i+1, err)
		}
		if _, worth, err := nest.Keep(h, r, least); worth || err != nil {
			remnants = append(remnants, newPolygon(ring.In(f)))
		}
	}
	for _, z := range h.Zones() {
		switch {
		case z.Quality == hide.Waste:
			waste = append(waste, newPolygon(z.Area.In(f)))
		case z.Quality < hide.Firm:
			soft = append(soft, newPolygon(z.Area.In(f)))
		}
	}
	c, err := cutUp(lay, pieces, h.Outline().In(f).Bound().Max[0])
	if err != nil {
		return out, err
	}
	layer(&out.Remnant, remnants)
	layer(&out.Waste.FlawsMM2, flaws(h, f))
	layer(&out.Waste.EdgeMM2, waste)
	layer(&out.Waste.SoftMM2, soft)
	layer(&out.Waste.EdgeMM2, trim(h, f)) // edge even where a strip's end reaches into it
	layer(&out.Waste.RoundMM2, round)
	layer(&out.Waste.WidthMM2, c.beside)
	layer(&out.Waste.EndsMM2, c.ends)
	layer(&out.Waste.WidthMM2, c.between)
	taken, left := share(h.Outline().In(f), layers)
	for i, mm2 := range taken {
		*into[i] += mm2
	}
	out.Waste.EdgeMM2 += left
	return out, nil
}

// flaws are the places of a hide's flaws.
func flaws(h *hide.Hide, f plane.Frame) []shape {
	var out []shape
	for _, flaw := range h.Flaws() {
		switch {
		case flaw.Patch != nil:
			out = append(out, newPolygon(flaw.Patch.In(f)))
		case flaw.Spot != nil:
			at := f.Into(flaw.Spot.At)
			out = append(out, swollen{at, at, flaw.Spot.Diameter / 2})
		case flaw.Stroke != nil:
			for i := 1; i < len(flaw.Stroke.Line); i++ {
				out = append(out, swollen{f.Into(flaw.Stroke.Line[i-1]), f.Into(flaw.Stroke.Line[i]), flaw.Stroke.Width / 2})
			}
		}
	}
	return out
}

// trim is all within the trim of a hide's outline.
func trim(h *hide.Hide, f plane.Frame) []shape {
	if h.Trim() <= 0 {
		return nil
	}
	var out []shape
	corners := smoothed(h.Outline(), h.Trim()/20)
	for i, a := range corners {
		out = append(out, swollen{f.Into(a), f.Into(corners[(i+1)%len(corners)]), h.Trim()})
	}
	return out
}

// smoothed are the corners of an outline, no more than make a quick trim.
// Corners within a tolerance, in millimetres, go first, then within twice that,
// and so on. It moves the line between edge and ends a little, and no sum.
func smoothed(outline plane.Ring, tolerance float64) []orb.Point {
	const most = 500
	corners := outline.Corners()
	for g := outline.Polygon().AsGeometry(); len(corners) > most; tolerance *= 2 {
		s, err := g.Simplify(tolerance)
		if err != nil || s.IsEmpty() || s.Type() != geom.TypePolygon { // it would cross itself
			break
		}
		g, corners = s, corners[:0]
		for seq, i := s.MustAsPolygon().ExteriorRing().Coordinates(), 0; i < seq.Length()-1; i++ {
			xy := seq.GetXY(i)
			corners = append(corners, orb.Point{xy.X, xy.Y})
		}
	}
	return corners
}

// cuts is what the cuts of a hide leave, in the frame of its struck edge.
type cuts struct {
	beside  []shape // the places of pieces at the full width of their strips
	ends    []shape // strips that give pieces, and all before, between and behind the blocks of their bands
	between []shape // all from the struck edge to the outer edge of the last band
}

// cutUp gives what the cuts leave of a hide that ends at far.
func cutUp(lay nest.HideLay, pieces []nest.Piece, far float64) (cuts, error) {
	var c cuts
	across := func(s nest.Strip) plane.Span { return plane.Span{Lo: s.FromMM, Hi: s.FromMM + s.WidthMM} }
	strips, gives := map[int]nest.Strip{}, map[int]bool{}
	for _, s := range lay.Strips {
		strips[s.N] = s
	}
	for _, p := range pieces {
		if s, known := strips[p.Strip]; known {
			c.beside = append(c.beside, upright{plane.Span{Lo: p.FromMM, Hi: p.ToMM}, across(s)})
			gives[p.Strip] = true
		}
	}
	last := 0.0
	for _, b := range lay.Bands {
		y := plane.Span{Lo: b.FromMM, Hi: b.FromMM + b.DepthMM}
		last = max(last, y.Hi)
		at := 0.0
		for i, block := range b.Blocks {
			c.ends = append(c.ends, upright{plane.Span{Lo: at, Hi: max(at, block.FromMM)}, y})
			at = block.ToMM
			if i+1 == len(b.Blocks) { // it is ripped to the end of the hide
				at = max(at, far)
			}
			for _, n := range block.Strips {
				s, known := strips[n]
				if !known {
					return cuts{}, fmt.Errorf("found strip %d in a band, which the plan does not describe", n)
				}
				if gives[n] {
					c.ends = append(c.ends, upright{plane.Span{Lo: block.FromMM, Hi: at}, across(s)})
				}
			}
		}
	}
	c.between = []shape{upright{plane.Span{Lo: 0, Hi: max(0, far)}, plane.Span{Lo: 0, Hi: last}}}
	return c, nil
}
