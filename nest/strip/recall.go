package strip

import (
	"slices"

	"strapwise/nest"
)

// mark is a cut as it is marked on a hide, in marks of the hide's frame: a rip
// at y over the whole hide (lo = hi = 0) or from lo to hi, or a cross-cut at x.
type mark struct {
	hide   string
	cross  bool
	at     int
	lo, hi int
}

// marksOf calls found for each cut that a band takes: the rips at its edges, the
// ends of its blocks, the rips of their strips, the ends of pieces.
func (p *problem) marksOf(g *ground, b *band, found func(m mark)) {
	name := g.hide.Name()
	rip := func(y, lo, hi int) { found(mark{name, false, y + g.off, lo, hi}) }
	cross := func(x, lo, hi int) { found(mark{name, true, x, lo + g.off, hi + g.off}) }
	if !g.part.loose {
		rip(b.y, 0, 0)
		rip(b.end(), 0, 0)
	}
	for i := range b.blocks {
		k := &b.blocks[i]
		if !g.part.block && len(b.blocks) > 1 {
			cross(k.lo, b.y, b.end())
			cross(k.hi, b.y, b.end())
		}
		for _, s := range k.strips {
			end := s.y + g.lanes[s.lane].width
			if end != b.end() {
				rip(end, k.lo, k.hi)
			}
			for _, c := range s.cuts {
				cross(c.x, s.y, end)
				cross(c.x+p.kinds[c.kind].length, s.y, end)
			}
		}
	}
}

// kept counts the marks of the plan before that a lay has.
func (b *begun) kept(p *problem, l *lay) int {
	n, seen := 0, map[mark]bool{}
	for gi, g := range p.grounds {
		for i := range l.bands[gi] {
			p.marksOf(g, &l.bands[gi][i], func(m mark) {
				if b.marks[m] && !seen[m] {
					seen[m] = true
					n++
				}
			})
		}
	}
	return n
}

// recall reads what of the plan before is still to be cut: as marks, and as the
// lay of those bands, strips and pieces that may stay.
func (b *begun) recall(p *problem) {
	b.marks, b.whose = map[mark]bool{}, map[spot]owner{}
	byStrip := map[string]map[int][]nest.Piece{}
	for _, piece := range b.plan.Pieces {
		if piece.Cut {
			continue
		}
		if byStrip[piece.Hide] == nil {
			byStrip[piece.Hide] = map[int][]nest.Piece{}
		}
		byStrip[piece.Hide][piece.Strip] = append(byStrip[piece.Hide][piece.Strip], piece)
	}
	warm := p.emptyLay()
	for gi, g := range p.grounds {
		l := b.plan.Lay(g.hide.Name())
		if l == nil {
			continue
		}
		r := reader{p: p, g: g, lay: l, pieces: byStrip[l.Hide], whose: b.whose}
		from := g.frame.Into(l.Strike.From)
		r.edge, r.square = onMark(from[1], p.mark), onMark(from[0], p.mark)
		for _, old := range r.bands() {
			p.marksOf(g, &old, func(m mark) { b.marks[m] = true })
			if sound, some := r.sound(old); some && p.mayFollow(g, warm.bands[gi], &sound) {
				warm.bands[gi] = append(warm.bands[gi], sound)
				sound.cuts(func(c cut) { warm.laid[c.kind]++ })
			}
		}
	}
	over := slices.Clone(warm.laid)
	for k := range over {
		over[k] -= max(p.demand[k], p.gifts[k])
	}
	b.warm = warm.without(p, over)
}

// reader reads the bands of a hide's plan that lie on a ground.
type reader struct {
	p            *problem
	g            *ground
	lay          *nest.HideLay
	pieces       map[int][]nest.Piece // by strip, those to be cut
	whose        map[spot]owner
	edge, square int // in the ground's marks
}

// bands are those that the ground has in the plan.
func (r *reader) bands() []band {
	var out []band
	add := func(b nest.Band, blocks ...nest.Block) {
		made := band{y: r.edge + onMark(b.FromMM, r.p.mark), depth: onMark(b.DepthMM, r.p.mark)}
		if r.g.part.loose {
			made.y, made.depth = r.g.y0, r.g.y1-r.g.y0
		}
		for _, k := range blocks {
			lo, hi := r.g.x0, r.g.x1
			if !r.g.part.block && k.FromMM > 0 {
				lo = r.square + onMark(k.FromMM, r.p.mark)
			}
			if to := r.square + onMark(k.ToMM, r.p.mark); !r.g.part.block && to < r.g.last() {
				hi = to
			}
			if strips := r.strips(k); len(strips) > 0 {
				made.blocks = append(made.blocks, block{lo, hi, strips})
			}
		}
		if len(made.blocks) > 0 {
			out = append(out, made)
		}
	}
	home := r.g.part.home
	switch {
	case !r.g.part.loose:
		for _, b := range r.lay.Bands {
			if !b.Cut {
				add(b, b.Blocks...)
			}
		}
	case home.block < 0:
		b := r.lay.Bands[home.band]
		add(b, b.Blocks...)
	default:
		b := r.lay.Bands[home.band]
		add(b, b.Blocks[home.block])
	}
	return out
}

// strips are those of a block, outward, as far as some order asks for their width.
func (r *reader) strips(k nest.Block) []placed {
	var out []placed
	home := r.g.part.home
	for _, n := range k.Strips {
		s := r.lay.Strip(n)
		if home.strip > 0 && n != home.strip || home.strip == 0 && s.Cut {
			continue
		}
		width := onMark(s.WidthMM, r.p.mark)
		lane := slices.IndexFunc(r.g.lanes, func(l lane) bool { return l.width == width })
		if lane < 0 {
			break
		}
		at := placed{lane: lane, y: r.edge + onMark(s.FromMM, r.p.mark)}
		for _, piece := range r.pieces[n] {
			if kind := r.p.kindOfPiece(piece); kind >= 0 {
				c := cut{kind, r.square + onMark(piece.FromMM, r.p.mark)}
				at.cuts = append(at.cuts, c)
				r.whose[spot{r.lay.Hide, kind, c.x, at.y + r.g.off}] = owner{piece.Order, piece.Part, piece.Set}
			}
		}
		slices.SortFunc(at.cuts, func(a, b cut) int { return a.x - b.x })
		out = append(out, at)
	}
	return out
}

// sound is the band with those of its pieces that may lie where they do, if lays may have such a band.
func (r *reader) sound(b band) (band, bool) {
	b = b.clone()
	b.strips(func(_ *block, s *placed) {
		s.cuts = slices.DeleteFunc(slices.Clone(s.cuts), func(c cut) bool { return !r.g.holdsCut(&r.g.lanes[s.lane], c, s.y) })
	})
	out, some := r.p.tidied(r.g, b)
	return out, some && r.p.may(r.g, &out)
}

// may reports whether lays may have a band, whose strips are of lanes and hold what they may: the
// tools, and with them the marks of near edges and cross-cuts, may be others than when it was laid.
func (p *problem) may(g *ground, b *band) bool {
	if g.isPlain(b) {
		return true
	}
	deepest, most := floorMark(p.job.Tools.Deepest, g.mark), p.job.Tools.Blocks
	if deepest == 0 || b.y%g.across != 0 || most > 0 && len(b.blocks) > most {
		return false
	}
	depth := b.depth
	if g.part.loose { // it is as deep as it is, and blocks of it as high as their strips
		depth = 0
	}
	for _, k := range b.blocks {
		if (k.lo-g.x0)%g.along != 0 || (k.hi-g.x0)%g.along != 0 {
			return false
		}
		top := b.y
		for _, s := range k.strips {
			if s.y != top {
				return false
			}
			top += g.lanes[s.lane].width
			if left := b.end() - top; left > 0 && left < p.grips {
				return false
			}
		}
		depth = max(depth, top-b.y)
	}
	if depth > deepest || depth%g.across != 0 {
		return false
	}
	_, index := g.sums(depth / g.across)
	return index[depth/g.across] >= 0
}

// mayFollow reports whether a band may be the next of those on a ground: it adjoins the last of them, or the edge that is
// ripped, or what lies between is wide enough to be ripped off.
func (p *problem) mayFollow(g *ground, bands []band, b *band) bool {
	end, adjoins := g.y0, g.part.ripped()
	if n := len(bands); n > 0 {
		end, adjoins = bands[n-1].end(), true
	}
	gap := b.y - end
	return gap == 0 || gap > 0 && !adjoins || gap >= p.gap
}

// nearEdges are the marks of a ground where bands of several strips begin that are still to be cut.
func (b *begun) nearEdges(g *ground) []int {
	if b == nil || g.part.loose {
		return nil
	}
	l := b.plan.Lay(g.hide.Name())
	if l == nil {
		return nil
	}
	edge := onMark(g.frame.Into(l.Strike.From)[1], g.mark)
	var out []int
	for _, band := range l.Bands {
		if plain := len(band.Blocks) == 1 && len(band.Blocks[0].Strips) == 1; !plain && !band.Cut {
			out = append(out, edge+onMark(band.FromMM, g.mark))
		}
	}
	return out
}
