package nest

import (
	"cmp"
	"fmt"
	"slices"

	"github.com/paulmach/orb"
)

// Begun is a plan that is being cut: as cuts are told, what they make is
// marked as cut in it. Bands are counted from 1, as sheets number them.
type Begun struct{ Plan Plan }

// Begin gives the plan as it may be cut; the plan itself is not changed.
func (p Plan) Begin() *Begun {
	p.Pieces, p.Spare, p.Spoilt = slices.Clone(p.Pieces), slices.Clone(p.Spare), slices.Clone(p.Spoilt)
	p.Hides = slices.Clone(p.Hides)
	for i := range p.Hides {
		l := &p.Hides[i]
		l.Strips, l.Bands = slices.Clone(l.Strips), slices.Clone(l.Bands)
		for j := range l.Bands {
			b := &l.Bands[j]
			b.New = false
			b.Blocks = slices.Clone(b.Blocks)
			for k := range b.Blocks {
				b.Blocks[k].Strips = slices.Clone(b.Blocks[k].Strips)
			}
		}
	}
	for i := range p.Pieces {
		p.Pieces[i].New = false
	}
	return &Begun{Plan: p}
}

// Lay is how a hide is cut, or nil if the plan does not cut it.
func (p *Plan) Lay(hide string) *HideLay {
	for i := range p.Hides {
		if p.Hides[i].Hide == hide {
			return &p.Hides[i]
		}
	}
	return nil
}

// Lettered gives the blocks of a band, as indices, that sheets letter a, b, c…:
// those that give pieces, and those that are cut. The band is counted from 1.
func (p *Plan) Lettered(hide string, band int) []int {
	full := map[int]bool{}
	for _, list := range [][]Piece{p.Pieces, p.Spare, p.Spoilt} {
		for _, piece := range list {
			if piece.Hide == hide {
				full[piece.Strip] = true
			}
		}
	}
	var out []int
	for i, k := range p.Lay(hide).Bands[band-1].Blocks {
		if k.Cut || slices.ContainsFunc(k.Strips, func(n int) bool { return full[n] }) {
			out = append(out, i)
		}
	}
	return out
}

// Rip marks a band as ripped off, and with it the bands before it.
func (b *Begun) Rip(hide string, band int) {
	bands := b.Plan.Lay(hide).Bands
	for i := range band {
		bands[i].Cut = true
	}
}

// CutApart marks a band as ripped off and cross-cut into its blocks. A band of
// one strip has no cross-cuts between blocks, and is only ripped.
func (b *Begun) CutApart(hide string, band int) {
	b.Rip(hide, band)
	l := b.Plan.Lay(hide)
	if made := &l.Bands[band-1]; made.Several() {
		for k := range made.Blocks {
			made.Blocks[k].Cut = true
		}
	}
}

// Cut marks a band as cut into all of its pieces.
func (b *Begun) Cut(hide string, band int) {
	b.Rip(hide, band)
	for k := range b.Plan.Lay(hide).Bands[band-1].Blocks {
		b.CutBlock(hide, band, k)
	}
}

// CutBlock marks block k, an index, of a band as cut into all of its pieces,
// and the others of the band as cut off.
func (b *Begun) CutBlock(hide string, band, k int) {
	b.Rip(hide, band)
	l := b.Plan.Lay(hide)
	for i := range l.Bands[band-1].Blocks {
		l.Bands[band-1].Blocks[i].Cut = true
	}
	for _, n := range l.Bands[band-1].Blocks[k].Strips {
		b.cutStrip(l, n)
	}
}

func (b *Begun) cutStrip(l *HideLay, n int) {
	l.Strip(n).Cut = true
	for i := range b.Plan.Pieces {
		if p := &b.Plan.Pieces[i]; p.Hide == l.Hide && p.Strip == n {
			p.Cut = true
		}
	}
}

// Strip is the strip of that number; if there is none, one of no width.
func (l *HideLay) Strip(n int) *Strip {
	i := slices.IndexFunc(l.Strips, func(s Strip) bool { return s.N == n })
	if i < 0 {
		return &Strip{}
	}
	return &l.Strips[i]
}

// CutPiece marks piece i of the plan as cut out, and what comes before it in
// its block: the strips nearer to the struck edge whole, and its own strip up to
// it. What is left of a band that was one strip becomes a block.
func (b *Begun) CutPiece(i int) error {
	p := &b.Plan.Pieces[i]
	if p.Cut {
		return nil
	}
	l := b.Plan.Lay(p.Hide)
	if l == nil {
		return fmt.Errorf("the plan does not say how hide %s is cut", p.Hide)
	}
	band, block, ok := l.holding(p.Strip)
	if !ok {
		return fmt.Errorf("%s set %d %s is in no band of hide %s", p.Order, p.Set, p.Part, p.Hide)
	}
	b.Rip(p.Hide, band+1)
	blocks := l.Bands[band].Blocks
	for k := range blocks {
		blocks[k].Cut = true
	}
	for _, n := range blocks[block].Strips {
		if n == p.Strip {
			break
		}
		b.cutStrip(l, n)
	}
	var later []int // pieces of the strip beyond it
	for j := range b.Plan.Pieces {
		q := &b.Plan.Pieces[j]
		switch {
		case q.Hide != p.Hide || q.Strip != p.Strip:
		case q.FromMM <= p.FromMM:
			q.Cut = true
		default:
			later = append(later, j)
		}
	}
	switch {
	case len(later) == 0:
		l.Strip(p.Strip).Cut = true
	case len(blocks[block].Strips) == 1 && near(l.Strip(p.Strip).WidthMM, l.Bands[band].DepthMM):
		b.part(l, band, block, p.ToMM, later)
	default:
		l.Strip(p.Strip).Cut = true
	}
	return nil
}

// holding finds the band and block, as indices, that hold a strip.
func (l *HideLay) holding(strip int) (band, block int, ok bool) {
	for i, b := range l.Bands {
		for k, block := range b.Blocks {
			if slices.Contains(block.Strips, strip) {
				return i, k, true
			}
		}
	}
	return 0, 0, false
}

// part cuts a block of one strip in two at a mark, the near half of it being
// cut into its pieces; the pieces of the far half are named.
func (b *Begun) part(l *HideLay, band, block int, at float64, far []int) {
	old := l.Bands[band].Blocks[block]
	n := old.Strips[0]
	for i := range l.Bands { // make room for one more number
		for k := range l.Bands[i].Blocks {
			for j, m := range l.Bands[i].Blocks[k].Strips {
				if m > n {
					l.Bands[i].Blocks[k].Strips[j]++
				}
			}
		}
	}
	for i := range l.Strips {
		if l.Strips[i].N > n {
			l.Strips[i].N++
		}
	}
	for _, list := range [][]Piece{b.Plan.Pieces, b.Plan.Spare, b.Plan.Spoilt} {
		for i := range list {
			if list[i].Hide == l.Hide && list[i].Strip > n {
				list[i].Strip++
			}
		}
	}
	near := l.Strip(n)
	rest := Strip{N: n + 1, WidthMM: near.WidthMM, FromMM: near.FromMM, Outline: l.outline(at, old.ToMM, near.FromMM, near.WidthMM)}
	near.Outline, near.Cut = l.outline(old.FromMM, at, near.FromMM, near.WidthMM), true
	l.Strips = append(l.Strips, rest)
	slices.SortFunc(l.Strips, func(a, b Strip) int { return cmp.Compare(a.N, b.N) })
	for _, i := range far {
		b.Plan.Pieces[i].Strip = n + 1
	}
	l.Bands[band].Blocks = slices.Replace(l.Bands[band].Blocks, block, block+1,
		Block{FromMM: old.FromMM, ToMM: at, Strips: []int{n}, Cut: true}, Block{FromMM: at, ToMM: old.ToMM, Strips: []int{n + 1}, Cut: true})
}

// outline is a rectangle told from the struck edge and the squared end, as
// corners on the hide.
func (l *HideLay) outline(lo, hi, from, width float64) []orb.Point {
	along := sub(l.Strike.To, l.Strike.From)
	along = scale(along, 1/norm(along))
	out := l.out(along)
	at := func(x, y float64) orb.Point { return add(l.Strike.From, add(scale(along, x), scale(out, y))) }
	return []orb.Point{at(lo, from), at(hi, from), at(hi, from+width), at(lo, from+width)}
}

// out is the direction, from the struck edge, to the side where the strips are.
func (l *HideLay) out(along orb.Point) orb.Point {
	out := orb.Point{-along[1], along[0]}
	if outline := l.drawn(); outline != nil && dot(sub(orb.MultiPoint(outline).Bound().Center(), l.Strike.From), out) < 0 {
		out = scale(out, -1)
	}
	return out
}

// drawn is the outline of the first strip that has one.
func (l *HideLay) drawn() []orb.Point {
	for _, s := range l.Strips {
		if len(s.Outline) > 0 {
			return s.Outline
		}
	}
	return nil
}

// Spoil marks piece i of the plan as cut and useless.
func (b *Begun) Spoil(i int) error {
	if err := b.CutPiece(i); err != nil {
		return err
	}
	b.Plan.Spoilt = append(b.Plan.Spoilt, b.Plan.Pieces[i])
	b.Plan.Pieces = slices.Delete(b.Plan.Pieces, i, i+1)
	return nil
}

// Discard marks spare pieces as useless, and reports whether there are any that are
// asked for.
func (b *Begun) Discard(asked func(Piece) bool) bool {
	n := len(b.Plan.Spare)
	for _, p := range b.Plan.Spare {
		if asked(p) {
			b.Plan.Spoilt = append(b.Plan.Spoilt, p)
		}
	}
	b.Plan.Spare = slices.DeleteFunc(b.Plan.Spare, asked)
	return len(b.Plan.Spare) < n
}
