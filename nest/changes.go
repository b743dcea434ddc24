package nest

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// Changes are what a plan that was laid again has otherwise than the one before.
type Changes struct {
	Lost   []Set  // made before, asked for still, and not made now
	Gained []Set  // made now, not before
	Marks  int    // that were still to be cut to before
	Kept   int    // of them, those that have stayed
	Moved  []Move // pieces to be cut that lie otherwise, or are new
	Named  []Renamed
	Rests  []Renumbered
}

// Move is a piece that is to be cut elsewhere than before, or that was not laid then.
type Move struct {
	Piece string `json:"piece"` // "A12·3 main"
	From  string `json:"from"`  // "ash-3, band 7"; empty: it is new
	To    string `json:"to"`
}

// Set names a set of the order book.
type Set struct {
	Order string `json:"order"`
	Set   int    `json:"set"`
}

// Renamed is a piece that is cut and now goes to another set than it was cut for.
type Renamed struct {
	Was string `json:"was"` // "A12·3 main"
	Now string `json:"now"`
}

// Renumbered is a remnant of a hide that has another number than before.
type Renumbered struct {
	Hide string `json:"hide"`
	Was  int    `json:"was"`
	Now  int    `json:"now"`
}

// Compare tells what has changed from one plan to the next, for the job of the
// second: the plan before, the same with what is cut marked in it, and the plan
// laid again from there.
func Compare(j Job, before, begun, after Plan) Changes {
	var c Changes
	was, now := setsOf(before), setsOf(after)
	for i := range j.Orders {
		o := &j.Orders[i]
		for n := range o.Qty {
			k := setKey{o.ID, o.FirstSet + n}
			// a plan holds pieces of complete sets only
			switch had, has := len(was[k]) > 0, o.complete(now[k]); {
			case had && !has:
				c.Lost = append(c.Lost, Set{k.order, k.set})
			case has && !had:
				c.Gained = append(c.Gained, Set{k.order, k.set})
			}
		}
	}
	old, new := marksOf(begun, after), marksOf(after, after)
	c.Marks = len(old)
	for m := range old { // in any order: a count
		if new[m] {
			c.Kept++
		}
	}
	c.Moved = moves(begun, after)
	c.Rests = renumbered(before, after)
	cut := slices.Concat(begun.Pieces, begun.Spare)
	for _, p := range after.Pieces {
		if !p.Cut || !p.New {
			continue
		}
		if i := slices.IndexFunc(cut, func(q Piece) bool { return q.Hide == p.Hide && sameCorners(p.Outline, q.Outline) }); i >= 0 {
			c.Named = append(c.Named, Renamed{cut[i].Name(), p.Name()})
		}
	}
	slices.SortFunc(c.Named, func(a, b Renamed) int { return cmp.Or(cmp.Compare(a.Was, b.Was), cmp.Compare(a.Now, b.Now)) })
	return c
}

// moves are the pieces of a plan that are to be cut and lie otherwise than in one before,
// those of one name paired in their order there.
func moves(before, after Plan) []Move {
	var out []Move
	stay, were := map[string][]Piece{}, map[string][]Piece{} // by name
	for _, p := range after.Pieces {
		if !p.New {
			stay[p.Name()] = append(stay[p.Name()], p)
		}
	}
	for _, p := range before.Pieces {
		if !p.Cut && !slices.ContainsFunc(stay[p.Name()], func(q Piece) bool { return q.Hide == p.Hide && sameCorners(p.Outline, q.Outline) }) {
			were[p.Name()] = append(were[p.Name()], p)
		}
	}
	for _, p := range after.Pieces {
		if p.Cut || !p.New {
			continue
		}
		m := Move{Piece: p.Name(), To: after.band(p)}
		if was := were[p.Name()]; len(was) > 0 {
			m.From, were[p.Name()] = before.band(was[0]), was[1:]
		}
		out = append(out, m)
	}
	return out
}

// renumbered are the remnants that both plans have, under another number in the second.
func renumbered(before, after Plan) []Renumbered {
	var out []Renumbered
	for _, l := range after.Hides {
		was := before.Lay(l.Hide)
		if was == nil {
			continue
		}
		for now, r := range l.Remnants {
			i := slices.IndexFunc(was.Remnants, func(b []orb.Point) bool { return sameLeather(r, b) })
			if i >= 0 && i != now {
				out = append(out, Renumbered{l.Hide, i + 1, now + 1})
			}
		}
	}
	return out
}

// band names the band that a piece is cut from, as sheets number them.
func (p *Plan) band(x Piece) string {
	l := p.Lay(x.Hide)
	if l == nil {
		return x.Hide
	}
	if i, _, ok := l.holding(x.Strip); ok {
		return fmt.Sprintf("%s, band %d", x.Hide, i+1)
	}
	return x.Hide
}

// from is where the cuts of a hide count from, across and along the strips, told from a
// place that is the same for all lays under one tilt.
func (l *HideLay) from() (edge, square float64) {
	along := sub(l.Strike.To, l.Strike.From)
	if l.Strike.AngleDeg == 0 || norm(along) == 0 {
		return l.Strike.EdgeMM, l.Strike.SquareMM
	}
	along = scale(along, 1/norm(along))
	return dot(l.Strike.From, l.out(along)), dot(l.Strike.From, along)
}

// mark is where a cut is set to, in tenths of a millimetre from the origin of the
// hide's frame, or from that of its file if the struck edge is tilted: a rip, from end to end of the hide or of a block, or a cross-cut.
type mark struct {
	hide       string
	cross      bool
	at, lo, hi int
}

// marksOf are the marks of a plan that are still to be cut to when so much is cut
// as in another.
func marksOf(p, cut Plan) map[mark]bool {
	out := map[mark]bool{}
	tenth := func(mm float64) int { return int(math.Round(mm * 10)) }
	for i := range p.Hides {
		l := &p.Hides[i]
		made := cut.Lay(l.Hide)
		edge, square := l.from()
		across := func(mm float64) int { return tenth(edge + mm) }
		along := func(mm float64) int { return tenth(square + mm) }
		add := func(cross bool, at, lo, hi int) { out[mark{l.Hide, cross, at, lo, hi}] = true }
		for j, b := range l.Bands {
			far := across(b.FromMM + b.DepthMM)
			ripped := made != nil && j < len(made.Bands) && made.Bands[j].Cut
			if !ripped {
				add(false, across(b.FromMM), 0, 0)
				add(false, far, 0, 0)
			}
			for _, k := range b.Blocks {
				if len(b.Blocks) > 1 && !(ripped && made.Bands[j].apart()) {
					add(true, along(k.FromMM), across(b.FromMM), far)
					add(true, along(k.ToMM), across(b.FromMM), far)
				}
				for _, n := range k.Strips {
					if s := l.Strip(n); !s.Cut && across(s.FromMM+s.WidthMM) != far {
						add(false, across(s.FromMM+s.WidthMM), along(k.FromMM), along(k.ToMM))
					}
				}
			}
		}
		for _, piece := range p.Pieces {
			if s := l.Strip(piece.Strip); piece.Hide == l.Hide && !piece.Cut {
				for _, at := range []float64{piece.FromMM, piece.ToMM} {
					add(true, along(at), across(s.FromMM), across(s.FromMM+s.WidthMM))
				}
			}
		}
	}
	return out
}
