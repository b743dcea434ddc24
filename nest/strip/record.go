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
	l = p.aligned(p.ranked(p.settled(l.without(p, l.over(p, sets)))))

	plan := nest.Plan{Format: nest.Format}
	owners := p.owners(sets)
	for gi, g := range p.grounds {
		if len(l.bands[gi]) > 0 {
			plan.Hides = append(plan.Hides, p.recordHide(g, l.bands[gi], l.square(gi), owners, &plan.Pieces))
		}
	}
	plan.Sets, plan.Unplaced = p.account(sets, price)
	return plan
}

// owner is the set and part that a piece is cut for.
type owner struct {
	order, part string
	set         int
}

// owners queues for each kind the sets that take its pieces, earliest due first.
func (p *problem) owners(sets []int) [][]owner {
	rows := make([]int, len(p.rows))
	for i := range rows {
		rows[i] = i
	}
	slices.SortStableFunc(rows, p.earlier)
	queues := make([][]owner, len(p.kinds))
	for _, i := range rows {
		o := p.rows[i].order
		for n := range sets[i] {
			for _, part := range o.Parts {
				k := p.kindOf(part)
				for range part.Count {
					queues[k] = append(queues[k], owner{o.ID, part.Name, o.FirstSet + n})
				}
			}
		}
	}
	return queues
}

func (p *problem) kindOf(part nest.Part) int {
	length, width := marks(part.Length, p.mark), marks(part.Width, p.mark)
	return slices.IndexFunc(p.kinds, func(k kind) bool {
		return k.leather == part.Leather && k.use == part.Use && k.knife == part.Knife && k.length == length && k.width == width
	})
}

// recordHide writes down the bands of one hide, and appends their pieces.
func (p *problem) recordHide(g *ground, bands []band, square int, owners [][]owner, pieces *[]nest.Piece) nest.HideLay {
	frame := g.hide.Frame()
	mm := func(marks int) float64 { return float64(marks) * p.mark }
	edge, last := bands[0].y, floorMark(g.whole.Bound().Max[0], p.mark)
	out := nest.HideLay{
		Hide: g.hide.Name(),
		Strike: nest.Strike{
			From:   frame.OutOf(orb.Point{mm(square), mm(edge)}),
			To:     frame.OutOf(orb.Point{mm(last), mm(edge)}),
			EdgeMM: mm(edge), SquareMM: mm(square),
		},
	}
	for i := range bands {
		b := &bands[i]
		made := nest.Band{FromMM: mm(b.y - edge), DepthMM: mm(b.depth)}
		for _, k := range b.blocks {
			lo, hi := max(k.lo, square), min(k.hi, last)
			cut := nest.Block{FromMM: mm(lo - square), ToMM: mm(hi - square)}
			for _, s := range k.strips {
				n, width := len(out.Strips)+1, g.lanes[s.lane].width
				across := plane.Span{Lo: mm(s.y), Hi: mm(s.y + width)}
				cut.Strips = append(cut.Strips, n)
				out.Strips = append(out.Strips, nest.Strip{
					N: n, Outline: frame.Rect(plane.Span{Lo: mm(lo), Hi: mm(hi)}, across), WidthMM: mm(width), FromMM: mm(s.y - edge),
				})
				for _, c := range s.cuts {
					kd := p.kinds[c.kind]
					own := owners[c.kind][0]
					owners[c.kind] = owners[c.kind][1:]
					*pieces = append(*pieces, nest.Piece{
						Hide: out.Hide, Order: own.order, Set: own.set, Part: own.part, Use: kd.use, Strip: n,
						Outline: frame.Rect(plane.Span{Lo: mm(c.x), Hi: mm(c.x + kd.length)}, across),
						FromMM:  mm(c.x - square), ToMM: mm(c.x + kd.length - square),
					})
				}
			}
			made.Blocks = append(made.Blocks, cut)
		}
		out.Bands = append(out.Bands, made)
	}
	out.Remnants = nest.Remnants(g.hide, out)
	return out
}

// account says how much of each order the sets are, and of those not made why.
func (p *problem) account(sets []int, price []float64) ([]nest.SetCount, []nest.Unplaced) {
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
		counts[n].Complete += sets[i]
		if sets[i] == o.Qty {
			continue
		}
		part, why := p.why(&p.rows[i], price)
		for s := sets[i]; s < o.Qty; s++ {
			missing = append(missing, nest.Unplaced{Order: o.ID, Set: o.FirstSet + s, Part: part, Why: why})
		}
	}
	return counts, missing
}
