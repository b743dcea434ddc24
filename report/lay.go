package report

import (
	"cmp"
	"fmt"
	"slices"

	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"

	"strapwise/hide"
	"strapwise/hide/measure"
	"strapwise/hide/plane"
	"strapwise/nest"
	"strapwise/report/internal/shape"
)

// lay is what a sheet needs of one hide of a plan, looked up once.
type lay struct {
	job     nest.Job
	plan    nest.Plan
	hide    *hide.Hide
	cuts    nest.HideLay
	rule    measure.Rule
	frame   plane.Frame          // of the struck edge: x from the squared end, y outward
	strips  map[int]nest.Strip   // by number
	pieces  map[int][]nest.Piece // to be cut, by strip, along it
	done    map[int][]nest.Piece // cut already, by strip, along it
	gone    []nest.Piece         // cut, and of no set
	loose   []nest.Piece         // in no strip of this hide: cut with rule and knife
	bands   []band               // all of them, in the order of work
	blockOf map[int]place        // by strip
	squared map[int]bool         // by strip: it does not begin with the square end of its block
	lines   []line               // at least one
	lineOf  map[int]int          // by strip; 0 for those not in it
	uncut   string               // of a hide by itself: from where the ruler counts
	flaws   []geom.Geometry      // the leather that each takes, in the hide's order

	whole    plane.Ring // the outline, in the hide's own frame
	datum    datum
	remnants []remnant
}

// sameMark is how far apart two marks read from a plan may be and still be
// the same cut, in millimetres: far below what a rule shows.
const sameMark = 1e-3

func readLay(j nest.Job, p nest.Plan, name string, rule measure.Rule) (*lay, error) {
	l := &lay{
		job: j, plan: p, rule: rule, hide: j.Hide(name),
		strips: map[int]nest.Strip{}, pieces: map[int][]nest.Piece{}, done: map[int][]nest.Piece{}, blockOf: map[int]place{}, squared: map[int]bool{}, lineOf: map[int]int{},
	}
	if l.hide == nil {
		return nil, fmt.Errorf("found no hide %q in the job", name)
	}
	i := slices.IndexFunc(p.Hides, func(h nest.HideLay) bool { return h.Hide == name })
	if i < 0 {
		return nil, fmt.Errorf("the plan cuts nothing from hide %q", name)
	}
	l.cuts = p.Hides[i]
	from, to := l.cuts.Strike.From, l.cuts.Strike.To
	if from == to {
		return nil, fmt.Errorf("hide %q: found a struck edge of no length, expected two different ends", name)
	}
	l.frame = plane.NewFrame(from, orb.Point{to[0] - from[0], to[1] - from[1]})
	for _, s := range l.cuts.Strips {
		if _, twice := l.strips[s.N]; twice {
			return nil, fmt.Errorf("hide %q: found strip %d twice, expected each number once", name, s.N)
		}
		if len(s.Outline) < 3 {
			return nil, fmt.Errorf("hide %q: found strip %d with %d corners, expected at least 3", name, s.N, len(s.Outline))
		}
		l.strips[s.N] = s
	}
	for _, piece := range p.Pieces {
		if piece.Hide != name {
			continue
		}
		if len(piece.Outline) < 3 {
			return nil, fmt.Errorf("hide %q: found %s with %d corners, expected at least 3", name, label(piece), len(piece.Outline))
		}
		switch _, known := l.strips[piece.Strip]; {
		case !known:
			l.loose = append(l.loose, piece)
		case piece.Cut:
			l.done[piece.Strip] = append(l.done[piece.Strip], piece)
		default:
			l.pieces[piece.Strip] = append(l.pieces[piece.Strip], piece)
		}
	}
	for _, piece := range slices.Concat(p.Spare, p.Spoilt) {
		if piece.Hide == name && len(piece.Outline) >= 3 {
			l.gone = append(l.gone, piece)
		}
	}
	for _, on := range l.pieces {
		slices.SortStableFunc(on, func(a, b nest.Piece) int { return cmp.Compare(a.FromMM, b.FromMM) })
	}
	if err := l.readBands(); err != nil {
		return nil, err
	}
	l.readFlaws()
	l.whole = l.hide.Outline().In(l.hide.Frame())
	l.datum = l.findDatum()
	l.findLines()
	l.readRemnants()
	return l, nil
}

// readFlaws looks up what each flaw takes, which every piece and its name ask for.
func (l *lay) readFlaws() {
	for _, f := range l.hide.Flaws() {
		l.flaws = append(l.flaws, shape.Flaw(f, 0))
	}
}

// tilted reports whether the struck edge lies off the backbone.
func (l *lay) tilted() bool { return l.cuts.Strike.AngleDeg != 0 }

// label names a piece as sheets do: order and set, then the part.
func label(p nest.Piece) string { return p.Name() }

// part is what the job says of a piece, if it knows it.
func (l *lay) part(p nest.Piece) (nest.Part, bool) {
	for _, o := range l.job.Orders {
		if o.ID != p.Order || p.Set < o.FirstSet || p.Set >= o.FirstSet+o.Qty {
			continue
		}
		for _, part := range o.Parts {
			if part.Name == p.Part {
				return part, true
			}
		}
	}
	return nest.Part{}, false
}

// size is the length and width of a piece: as the job has them, on the first mark
// not below, since a piece is not to be cut smaller; else as drawn.
func (l *lay) size(p nest.Piece) (length, width float64) {
	if part, ok := l.part(p); ok {
		return l.rule.Up(part.Length), l.rule.Up(part.Width)
	}
	b := l.bound(p.Outline)
	return b.Max[0] - b.Min[0], b.Max[1] - b.Min[1]
}

// count is how many pieces the plan takes from this hide.
func (l *lay) count() int {
	n := len(l.loose)
	for _, on := range l.pieces {
		n += len(on)
	}
	return n + l.cut()
}

// cut is how many of them are cut already.
func (l *lay) cut() int {
	n := 0
	for _, on := range l.done {
		n += len(on)
	}
	return n
}

// inFrame turns places on the hide into places from the struck edge.
func (l *lay) inFrame(pts []orb.Point) []orb.Point {
	out := make([]orb.Point, len(pts))
	for i, p := range pts {
		out[i] = l.frame.Into(p)
	}
	return out
}

func (l *lay) bound(pts []orb.Point) orb.Bound {
	return orb.MultiPoint(l.inFrame(pts)).Bound()
}
