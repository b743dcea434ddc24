package nest

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"strapwise/hide/plane"
)

// offcut is a rectangle through which no cut goes and in which no piece lies, told along the
// struck edge from the squared end, and outward from that edge. It reaches past the
// hide where no cut ends it.
//
//	  the hide beyond the last rip
//	══════════════════════════════════════════
//	 a   │ piece │   b   │ piece │     c          strips of a block, or one strip
//	─────┼───────┴─────┬─┴───────┴────────────
//	 d   │ piece       │          e
//	─────┴─────────────┴──────────────────────
//	               beside the last strip
//	══════════════════════════════════════════
//	               a waste strip
//	══════════════════════════════════════════ struck edge
//	  the hide before it
//
// Where the hide is squared off, that is cut before any rip, and rips begin there, but for
// the struck edge and the last rip, which go on to the end of the hide:
//
//	  the hide beyond the last rip
//	══════╤═══════════════════════════════════
//	  f   │   bands
//	══════╧═══════════════════════════════════ struck edge
//
// Elsewhere a plain band, and one whose first block begins further on, are squared there. Of
// a band whose first block begins at the squared end, that is taken to be a cut, through
// its strips too.
type offcut struct{ along, across plane.Span }

var endless = math.Inf(1)

// offcuts are what a hide falls apart into besides the pieces given. Squared is how far
// outward it is squared off, 0 if it is not. Of a lay whose strips are in no band, or in
// several, only what lies before and beyond them all.
func offcuts(l *HideLay, squared float64, pieces []Piece) []offcut {
	m := offcutter{start: -endless, pieces: map[int][]plane.Span{}, strips: map[int]Strip{}}
	for _, p := range pieces {
		m.pieces[p.Strip] = append(m.pieces[p.Strip], plane.Span{Lo: p.FromMM, Hi: p.ToMM})
	}
	far, held := l.FarMM(), 0
	for _, s := range l.Strips {
		m.strips[s.N] = s
	}
	for _, b := range l.Bands {
		for _, k := range b.Blocks {
			held += len(k.Strips)
		}
	}
	all, off := plane.Span{Lo: -endless, Hi: endless}, plane.Span{Lo: -endless, Hi: 0}
	m.add(all, off)
	if squared > far+lengthTol { // for bands that a relay has dropped
		m.add(off, plane.Span{Lo: squared, Hi: endless})
		m.add(plane.Span{Lo: 0, Hi: endless}, plane.Span{Lo: far, Hi: endless})
	} else {
		m.add(all, plane.Span{Lo: far, Hi: endless})
	}
	if held != len(l.Strips) || held != len(m.strips) {
		return m.out
	}
	if squared > 0 {
		m.start = 0
		m.add(off, plane.Span{Lo: 0, Hi: squared})
		m.add(off, plane.Span{Lo: squared, Hi: far}) // that end is carried on
	}
	at := 0.0
	for _, b := range l.Bands {
		m.add(m.whole(), plane.Span{Lo: at, Hi: b.FromMM})
		at = max(at, b.FromMM+b.DepthMM)
		m.band(b)
	}
	return m.out
}

// offcutter gathers the offcuts of a lay.
type offcutter struct {
	start  float64              // where rips begin: at the squared end, or that of the hide
	pieces map[int][]plane.Span // along each strip
	strips map[int]Strip
	out    []offcut
}

// whole is as far along the hide as its rips go.
func (m *offcutter) whole() plane.Span { return plane.Span{Lo: m.start, Hi: endless} }

func (m *offcutter) add(along, across plane.Span) {
	if along.Len() > lengthTol && across.Len() > lengthTol {
		m.out = append(m.out, offcut{along, across})
	}
}

// ripped are the strips of a block as far as they must be ripped: up to the last that
// gives a piece or is ripped already.
func (m *offcutter) ripped(k Block) []Strip {
	strips := mapped(k.Strips, func(n int) Strip { return m.strips[n] })
	for i, s := range slices.Backward(strips) {
		if s.Cut || len(m.pieces[s.N]) > 0 {
			return strips[:i+1]
		}
	}
	return nil
}

// band adds what is left of a band: before, between and beside its blocks, and in
// them. The last block goes on to the end of the hide.
func (m *offcutter) band(b Band) {
	across := plane.Span{Lo: b.FromMM, Hi: b.FromMM + b.DepthMM}
	blocks := slices.DeleteFunc(slices.Clone(b.Blocks), func(k Block) bool { return !k.Cut && len(m.ripped(k)) == 0 })
	if len(blocks) == 0 {
		m.add(m.whole(), across)
		return
	}
	first := m.ripped(blocks[0])
	plain := len(blocks) == 1 && len(first) == 1 && near(first[0].WidthMM, b.DepthMM)
	if !(blocks[0].FromMM > lengthTol) {
		blocks[0].FromMM = m.start
	}
	blocks[len(blocks)-1].ToMM = endless
	at := m.start
	for _, k := range blocks {
		m.add(plane.Span{Lo: at, Hi: k.FromMM}, across)
		at = k.ToMM
		m.block(k, across, !plain)
	}
}

// block adds what is left in and beside the strips of a block, if it is squared or not.
func (m *offcutter) block(k Block, across plane.Span, squared bool) {
	parts := []plane.Span{{Lo: k.FromMM, Hi: k.ToMM}}
	if squared {
		parts = []plane.Span{{Lo: k.FromMM, Hi: min(0, k.ToMM)}, {Lo: max(0, k.FromMM), Hi: k.ToMM}}
	}
	beside := across.Lo
	for _, s := range m.ripped(k) {
		width := plane.Span{Lo: s.FromMM, Hi: s.FromMM + s.WidthMM}
		beside = max(beside, width.Hi)
		for _, part := range parts {
			for _, free := range less(part, m.pieces[s.N]) {
				m.add(free, width)
			}
		}
	}
	for _, part := range parts {
		m.add(part, plane.Span{Lo: beside, Hi: across.Hi})
	}
}

// less is what the taken stretches leave of a span.
func less(of plane.Span, taken []plane.Span) []plane.Span {
	slices.SortFunc(taken, func(a, b plane.Span) int { return cmp.Compare(a.Lo, b.Lo) })
	var out []plane.Span
	for _, t := range taken {
		if t.Lo > of.Lo {
			out = append(out, plane.Span{Lo: of.Lo, Hi: min(of.Hi, t.Lo)})
		}
		of.Lo = max(of.Lo, t.Hi)
	}
	return append(out, of)
}

// within are the offcuts as far as they lie within the bound of a hide's leather, seen
// from the struck edge, without those too small for a remnant. Offcuts with more area
// than the bound belong to no sound lay; then only the first are given.
func within(all []offcut, leather orb.Bound) []offcut {
	span := func(i int) plane.Span { return plane.Span{Lo: leather.Min[i], Hi: leather.Max[i]} }
	area := func(c offcut) float64 { return c.along.Len() * c.across.Len() }
	to := func(c offcut, past float64) offcut {
		along, across := span(0).Padded(past), span(1).Padded(past)
		return offcut{
			plane.Span{Lo: max(c.along.Lo, along.Lo), Hi: min(c.along.Hi, along.Hi)},
			plane.Span{Lo: max(c.across.Lo, across.Lo), Hi: min(c.across.Hi, across.Hi)},
		}
	}
	var out []offcut
	left := area(offcut{span(0), span(1)}) + areaTol
	for _, c := range all {
		on := to(c, 0)
		if min(on.along.Len(), on.across.Len()) < MinRemnantDepth || area(on) < MinRemnantArea {
			continue
		}
		if left -= area(on); left < 0 {
			break
		}
		out = append(out, to(c, 10))
	}
	return out
}
