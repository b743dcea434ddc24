package strip

import (
	"cmp"
	"slices"

	"strapwise/nest"
)

// recordRelay writes down a lay round what is cut. Sets keep their numbers:
// of a row those are made of which the most is cut, then those that were to be
// made. Pieces that stay where they were stay the pieces of their sets.
func (p *problem) recordRelay(l *lay, sets []int, price []float64) nest.Plan {
	b := p.begun
	l = l.without(p, l.over(p, sets))
	for _, neater := range []func(*lay) *lay{p.risen, p.settled, p.ranked, p.aligned} {
		if trial := neater(l); b.kept(p, trial) >= b.kept(p, l) {
			l = trial
		}
	}
	made := b.inTurn(p, sets)
	whose := b.assign(p, l, made)
	r := recorder{p: p, own: func(at spot) owner {
		own := whose[at][0]
		whose[at] = whose[at][1:]
		return own
	}}
	plan := nest.Plan{Format: nest.Format}
	for gi, g := range p.grounds {
		switch {
		case g.part.lay != nil && g.part.number == 0:
			plan.Hides = append(plan.Hides, r.begun(&plan, g.part.lay, l))
		case g.part.lay == nil && len(l.bands[gi]) > 0:
			plan.Hides = append(plan.Hides, r.whole(g, l.bands[gi], l.square(p, gi)))
		}
	}
	for i := range r.pieces {
		x := &r.pieces[i]
		own, was := b.whose[r.spots[i]]
		x.New = !was || own != owner{x.Order, x.Part, x.Set} // it lies, or is named, otherwise than before
	}
	plan.Pieces = append(plan.Pieces, r.pieces...)
	p.putBack(&plan)
	b.markNew(p, l, plan.Hides)
	plan.Sets, plan.Unplaced = p.account(made, price)
	return plan
}

// inTurn chooses the sets of each row, if so many are made of it.
func (b *begun) inTurn(p *problem, sets []int) [][]int {
	type set struct {
		order string
		n     int
	}
	cut, had := map[set]int{}, map[set]int{}
	for _, g := range b.cut {
		if g.kind >= 0 {
			cut[set{g.Order, g.Set}]++
		}
	}
	for _, piece := range b.plan.Pieces {
		had[set{piece.Order, piece.Set}]++
	}
	made := make([][]int, len(p.rows))
	for i, n := range sets {
		o := p.rows[i].order
		all := make([]int, o.Qty)
		for s := range all {
			all[s] = o.FirstSet + s
		}
		slices.SortStableFunc(all, func(a, c int) int {
			x, y := set{o.ID, a}, set{o.ID, c}
			return cmp.Or(cmp.Compare(cut[y], cut[x]), cmp.Compare(had[y], had[x]), cmp.Compare(a, c))
		})
		made[i] = all[:n]
		slices.Sort(made[i])
	}
	return made
}

// assign says whose every piece of a lay is, and tells each gift in Order, Set
// and Part whose it is, if a set takes it: first what was cut for a set goes to
// that set, then what stays where it lay; then the other gifts are taken, and the
// rest is laid for whoever is due first.
func (b *begun) assign(p *problem, l *lay, made [][]int) map[spot][]owner {
	open := p.owners(made)
	b.gifts = slices.Clone(b.cut)
	take := func(k int, own owner) bool {
		if k < 0 {
			return false
		}
		i := slices.Index(open[k], own)
		if i >= 0 {
			open[k] = slices.Delete(open[k], i, i+1)
		}
		return i >= 0
	}
	for i := range b.gifts {
		g := &b.gifts[i]
		g.took = take(g.kind, owner{g.Order, g.Part, g.Set})
	}
	whose := map[spot][]owner{}
	var others []spot
	for gi, g := range p.grounds {
		for i := range l.bands[gi] {
			l.bands[gi][i].strips(func(_ *block, s *placed) {
				for _, c := range s.cuts {
					at := spot{g.hide.Name(), c.kind, c.x, s.y + g.off}
					if own, was := b.whose[at]; was && take(c.kind, own) {
						whose[at] = append(whose[at], own)
					} else {
						others = append(others, at)
					}
				}
			})
		}
	}
	next := func(k int) owner {
		own := open[k][0]
		open[k] = open[k][1:]
		return own
	}
	for i := range b.gifts {
		if g := &b.gifts[i]; !g.took && g.kind >= 0 && len(open[g.kind]) > 0 {
			own := next(g.kind)
			g.Order, g.Part, g.Set, g.New, g.took = own.order, own.part, own.set, true, true
		}
	}
	for _, at := range others {
		whose[at] = append(whose[at], next(at.kind))
	}
	return whose
}

// markNew marks the bands that take a cut which was not to be made before.
func (b *begun) markNew(p *problem, l *lay, hides []nest.HideLay) {
	for gi, g := range p.grounds {
		i := slices.IndexFunc(hides, func(h nest.HideLay) bool { return h.Hide == g.hide.Name() })
		if i < 0 {
			continue
		}
		beyond := 0
		for beyond < len(hides[i].Bands) && hides[i].Bands[beyond].Cut {
			beyond++
		}
		for j := range l.bands[gi] {
			at := beyond + j
			if g.part.loose {
				at = g.part.home.band
			}
			p.marksOf(g, &l.bands[gi][j], func(m mark) {
				if !b.marks[m] {
					hides[i].Bands[at].New = true
				}
			})
		}
	}
}

// begun writes down a hide of which some is cut: what is cut as it was, and in
// its place what is laid in the parts that are left.
func (r *recorder) begun(plan *nest.Plan, was *nest.HideLay, l *lay) nest.HideLay {
	p, b := r.p, r.p.begun
	out := nest.HideLay{Hide: was.Hide, Strike: was.Strike, SquaredMM: was.SquaredMM, Chalked: was.Chalked}
	square, edge := p.struckAt(p.job.Hide(was.Hide), was)
	at := map[home]int{} // grounds
	var rest int
	for gi, g := range p.grounds {
		switch {
		case g.hide.Name() != was.Hide:
		case g.part.loose:
			at[g.part.home] = gi
		default:
			rest = gi
		}
	}
	// blocks of the band that is laid in a part, if there are any
	blocks := func(h home) (*ground, []block) {
		gi, known := at[h]
		if !known || len(l.bands[gi]) == 0 {
			return nil, nil
		}
		return p.grounds[gi], l.bands[gi][0].blocks
	}
	for i, band := range was.Bands {
		if !band.Cut {
			break
		}
		band.New = false
		if !apart(band) {
			band.Blocks = nil
			if gi, known := at[home{i, -1, 0}]; known && len(l.bands[gi]) > 0 {
				depth := band.DepthMM
				r.band(&out, p.grounds[gi], &l.bands[gi][0], edge, square)
				band.Blocks = out.Bands[len(out.Bands)-1].Blocks
				out.Bands, band.DepthMM = out.Bands[:len(out.Bands)-1], depth
			}
			out.Bands = append(out.Bands, band)
			continue
		}
		made := make([]nest.Block, len(band.Blocks))
		for k, block := range band.Blocks {
			made[k] = block
			made[k].Strips = nil
			for _, n := range block.Strips {
				s := *was.Strip(n)
				if !s.Cut {
					break
				}
				s.N = len(out.Strips) + 1
				out.Strips = append(out.Strips, s)
				made[k].Strips = append(made[k].Strips, s.N)
				b.cutFrom(plan, was.Hide, n, s.N)
				if g, in := blocks(home{i, k, n}); len(in) > 0 {
					r.cuts(g, &in[0].strips[0], s.N, square)
				}
			}
			if g, in := blocks(home{i, k, 0}); len(in) > 0 {
				lo, hi := g.part.x0, g.part.x1
				for j := range in[0].strips {
					made[k].Strips = append(made[k].Strips, r.strip(&out, g, &in[0].strips[j], lo, hi, edge, square))
				}
			}
		}
		band.Blocks = made
		out.Bands = append(out.Bands, band)
	}
	for i := range l.bands[rest] {
		r.band(&out, p.grounds[rest], &l.bands[rest][i], edge, square)
	}
	return out
}

// cutFrom writes down what is cut from a strip, which now has another number.
func (b *begun) cutFrom(plan *nest.Plan, hide string, was, now int) {
	for i := range b.gifts {
		g := &b.gifts[i]
		if g.Hide != hide || g.Strip != was {
			continue
		}
		piece := g.Piece
		piece.Strip = now
		if g.took {
			plan.Pieces = append(plan.Pieces, piece)
		} else {
			plan.Spare = append(plan.Spare, piece)
		}
	}
	for _, piece := range b.plan.Spoilt {
		if piece.Hide == hide && piece.Strip == was {
			piece.Strip = now
			plan.Spoilt = append(plan.Spoilt, piece)
		}
	}
}
