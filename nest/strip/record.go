package strip

import (
	"slices"

	"github.com/paulmach/orb"

	"strapwise/hide/plane"
	"strapwise/nest"
)

// record writes a lay down as a plan that gives so many sets of each row, with
// their pieces and no others. The prices say what
// stood in the way of the rest.
func (p *problem) record(l *lay, sets []int, price []float64) nest.Plan {
	l = p.aligned(p.ranked(p.settled(p.risen(l.without(p, l.over(p, sets))))))

	made := p.inTurn(sets)
	queues := p.owners(made)
	r := recorder{p: p, own: func(at spot) owner {
		own := queues[at.kind][0]
		queues[at.kind] = queues[at.kind][1:]
		return own
	}}
	plan := nest.Plan{Format: nest.Format}
	for gi, g := range p.grounds {
		if len(l.bands[gi]) > 0 {
			plan.Hides = append(plan.Hides, r.whole(g, l.bands[gi], l.square(p, gi)))
		}
	}
	plan.Pieces = r.pieces
	p.putBack(&plan)
	plan.Sets, plan.Unplaced = p.account(made, price)
	return plan
}

// recorder writes lays down.
type recorder struct {
	p      *problem
	own    func(at spot) owner // whose the piece there is
	pieces []nest.Piece
	spots  []spot // of the pieces
}

// spot is where a piece of a kind lies on a hide, in marks of the frame it is laid in.
type spot struct {
	hide       string
	kind, x, y int
}

// inTurn gives the sets of each row, as numbers, if so many are made of it.
func (p *problem) inTurn(sets []int) [][]int {
	made := make([][]int, len(p.rows))
	for i, n := range sets {
		for s := range n {
			made[i] = append(made[i], p.rows[i].order.FirstSet+s)
		}
	}
	return made
}

// owner is the set and part that a piece is cut for.
type owner struct {
	order, part string
	set         int
}

// owners queues for each kind the sets that take its pieces, earliest due first.
func (p *problem) owners(made [][]int) [][]owner {
	rows := make([]int, len(p.rows))
	for i := range rows {
		rows[i] = i
	}
	slices.SortStableFunc(rows, p.earlier)
	queues := make([][]owner, len(p.kinds))
	for _, i := range rows {
		o := p.rows[i].order
		for _, set := range made[i] {
			for _, part := range o.Parts {
				k := p.kindOf(part)
				for range part.Count {
					queues[k] = append(queues[k], owner{o.ID, part.Name, set})
				}
			}
		}
	}
	return queues
}

// kindOf is the kind of a part, or -1.
func (p *problem) kindOf(part nest.Part) int {
	length, width := marks(part.Length, p.mark), marks(part.Width, p.mark)
	return slices.IndexFunc(p.kinds, func(k kind) bool {
		return k.leather == part.Leather && k.use == part.Use && k.knife == part.Knife && k.barred != p.job.Tools.CanCut(part) && k.length == length && k.width == width && k.template.Same(part.Template)
	})
}

// whole writes down the bands of a hide of which nothing is cut.
func (r *recorder) whole(g *ground, bands []band, square int) nest.HideLay {
	edge := bands[0].y
	out := nest.HideLay{Hide: g.hide.Name()}
	g, out.Strike = g.struck(square, edge)
	for i := range bands {
		r.band(&out, g, &bands[i], edge, square)
	}
	return out
}

// putBack tells what goes back on the rack of the hides that a plan cuts.
func (p *problem) putBack(plan *nest.Plan) {
	for i := range plan.Hides {
		l := &plan.Hides[i]
		l.Remnants = nest.Remnants(p.job.Hide(l.Hide), *plan)
		if p.begun != nil {
			if was := p.begun.plan.Lay(l.Hide); was != nil {
				l.Remnants = nest.Numbered(was.Remnants, l.Remnants)
			}
		}
	}
}

// last is the farthest mark of the hide's leather.
func (g *ground) last() int { return floorMark(g.whole.Bound().Max[0], g.mark) }

// band writes down a band of a hide that is struck and squared at those marks.
func (r *recorder) band(out *nest.HideLay, g *ground, b *band, edge, square int) {
	mm := func(marks int) float64 { return float64(marks) * r.p.mark }
	made := nest.Band{FromMM: mm(b.y + g.off - edge), DepthMM: mm(b.depth)}
	for i := range b.blocks {
		k := &b.blocks[i]
		lo, hi := max(k.lo, square), min(k.hi, g.last())
		cut := nest.Block{FromMM: mm(lo - square), ToMM: mm(hi - square)}
		for j := range k.strips {
			cut.Strips = append(cut.Strips, r.strip(out, g, &k.strips[j], lo, hi, edge, square))
		}
		made.Blocks = append(made.Blocks, cut)
	}
	out.Bands = append(out.Bands, made)
}

// strip writes down a strip of a block from lo to hi, and returns its number.
func (r *recorder) strip(out *nest.HideLay, g *ground, s *placed, lo, hi, edge, square int) int {
	mm := func(marks int) float64 { return float64(marks) * r.p.mark }
	n, width := len(out.Strips)+1, g.lanes[s.lane].width
	out.Strips = append(out.Strips, nest.Strip{
		N: n, Outline: g.frame.Rect(plane.Span{Lo: mm(lo), Hi: mm(hi)}, plane.Span{Lo: mm(s.y), Hi: mm(s.y + width)}), WidthMM: mm(width), FromMM: mm(s.y + g.off - edge),
	})
	r.cuts(g, s, n, square)
	return n
}

// cuts writes down the pieces of a strip.
func (r *recorder) cuts(g *ground, s *placed, n, square int) {
	mm := func(marks int) float64 { return float64(marks) * r.p.mark }
	across := plane.Span{Lo: mm(s.y), Hi: mm(s.y + g.lanes[s.lane].width)}
	for _, c := range s.cuts {
		kd := r.p.kinds[c.kind]
		at := spot{g.hide.Name(), c.kind, c.x, s.y + g.off}
		own := r.own(at)
		r.spots = append(r.spots, at)
		r.pieces = append(r.pieces, nest.Piece{
			Hide: g.hide.Name(), Order: own.order, Set: own.set, Part: own.part, Use: kd.use, Strip: n,
			Outline:  kd.outline(g.frame, plane.Span{Lo: mm(c.x), Hi: mm(c.x + kd.length)}, across),
			AngleDeg: g.degrees(), FromMM: mm(c.x - square), ToMM: mm(c.x + kd.length - square),
		})
	}
}

// outline is what a piece of the kind is cut to in a stretch of a strip: all of it, or
// a template at its beginning and at its near edge.
func (k *kind) outline(f plane.Frame, along, across plane.Span) []orb.Point {
	if k.template != nil {
		return k.template.At(f, orb.Point{along.Lo, across.Lo})
	}
	return f.Rect(along, across)
}

// account says how much of each order the sets made are, and of the others why.
func (p *problem) account(made [][]int, price []float64) ([]nest.SetCount, []nest.Unplaced) {
	var counts []nest.SetCount
	var missing []nest.Unplaced
	at := map[string]int{}
	for i := range p.rows {
		o := p.rows[i].order
		n, known := at[o.ID]
		if !known {
			n = len(counts)
			at[o.ID] = n
			counts = append(counts, nest.SetCount{Order: o.ID})
		}
		counts[n].Asked += o.Qty
		counts[n].Complete += len(made[i])
		if len(made[i]) == o.Qty {
			continue
		}
		part, why := p.why(&p.rows[i], price)
		for s := range o.Qty {
			if set := o.FirstSet + s; !slices.Contains(made[i], set) {
				missing = append(missing, nest.Unplaced{Order: o.ID, Set: set, Part: part, Why: why})
			}
		}
	}
	return counts, missing
}
