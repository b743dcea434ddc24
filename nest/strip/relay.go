package strip

import (
	"context"
	"math"
	"slices"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"strapwise/hide/plane"
	"strapwise/nest"
)

// Relay lays again what is left to cut of a plan in which nest.Begun has marked
// what is cut already. What is cut stays where it is and counts for the sets of
// the job, whatever set it was cut for; its pieces are taken as good. The rest is
// laid for the most worth, and among lays of equal worth, as far as the search
// finds them, for the most marks of the plan before; with Options.Stay, only what
// cannot stay is laid otherwise. Relaid.Stay of the plan says what that is worth. What Lay promises holds
// here, too. The bound counts what is cut and the most that the leather left can
// give, on the far side of the last rip and in what lies loose. The error tells
// of a plan that cannot be gone on with.
func Relay(ctx context.Context, job nest.Job, before nest.Plan, o Options) (nest.Plan, error) {
	b := &begun{plan: &before}
	p, err := newProblemOn(job, b, b.turned(job))
	if err != nil {
		return nest.Plan{}, err
	}
	b.recall(p)
	return p.plan(ctx, o)
}

// begun is a plan of which some is cut.
type begun struct {
	plan  *nest.Plan
	cut   []gift        // as it was told
	gifts []gift        // the same, as it was last assigned
	marks map[mark]bool // of what was to be cut
	whose map[spot]owner
	warm  *lay // what of the plan before may stay
}

// gift is a piece that is cut, and of use.
type gift struct {
	nest.Piece
	kind int  // -1: no order asks for it
	took bool // by a set
}

// start is the lay from which a chain begins: every other one, so that none is
// missed for the sake of the plan before, with nothing laid.
func (b *begun) start(p *problem, number uint64) *lay {
	if b == nil || number%2 == 1 {
		return p.emptyLay()
	}
	return b.warm.clone()
}

// collect finds what is cut already, and what kinds of piece that is.
func (b *begun) collect(p *problem) {
	if b == nil {
		return
	}
	for _, piece := range slices.Concat(b.plan.Pieces, b.plan.Spare) {
		if !piece.Cut {
			continue
		}
		k := p.kindOfPiece(piece)
		b.cut = append(b.cut, gift{Piece: piece, kind: k})
		if k >= 0 {
			p.gifts[k]++
		}
	}
}

// kindOfPiece is the kind that a piece of a plan is of, or -1: that of the part which it was made for, or
// the first of those alike. (The knife and the strap cutter may make the same piece of different kinds.)
func (p *problem) kindOfPiece(piece nest.Piece) int {
	h := p.job.Hide(piece.Hide)
	if h == nil || len(piece.Outline) < 3 {
		return -1
	}
	frame := p.frameOf(h, p.begun.plan.Lay(piece.Hide))
	corners := make(orb.Ring, 0, len(piece.Outline)+1)
	for _, at := range piece.Outline {
		corners = append(corners, frame.Into(at))
	}
	box := corners.Bound()
	length, width := onMark(box.Max[0]-box.Min[0], p.mark), onMark(box.Max[1]-box.Min[1], p.mark)
	full := math.Abs(planar.Area(append(corners, corners[0]))) > (box.Max[0]-box.Min[0]-sameOutline)*(box.Max[1]-box.Min[1]-sameOutline)
	is := func(k kind) bool {
		if k.leather != h.Leather() || k.use != piece.Use {
			return false
		}
		if k.template != nil {
			return slices.EqualFunc(corners, k.template.At(plane.Identity, box.Min), func(a, b orb.Point) bool {
				return math.Abs(a[0]-b[0]) <= sameOutline && math.Abs(a[1]-b[1]) <= sameOutline
			})
		}
		return full && k.length == length && k.width == width
	}
	for _, r := range p.rows {
		for _, part := range r.order.Parts {
			if k := p.kindOf(part); r.order.ID == piece.Order && part.Name == piece.Part && is(p.kinds[k]) {
				return k
			}
		}
	}
	return slices.IndexFunc(p.kinds, is)
}

// sameOutline is how far, in millimetres, a corner in a plan file may lie from where
// it was laid: ten times what is lost in writing it.
const sameOutline = 1e-3

// spent is what the effort of cuts takes from the bound: of the rips that are made
// and the cross-cuts between blocks. Those of pieces are left out, since a plan
// counts only those of pieces that sets take. What lies loose has cuts at its edges
// that the bound counts again, two of each part at the most.
func (b *begun) spent(p *problem) float64 {
	if b == nil || p.job.Tools.Effort == 0 {
		return 0
	}
	var made nest.Plan
	for _, l := range b.plan.Hides {
		l.Bands = slices.Clone(l.Bands)
		l.Strips = slices.DeleteFunc(slices.Clone(l.Strips), func(s nest.Strip) bool { return !s.Cut })
		l.Bands = slices.DeleteFunc(l.Bands, func(b nest.Band) bool { return !b.Cut })
		for i := range l.Bands {
			if !apart(l.Bands[i]) {
				l.Bands[i].Blocks = nil
			}
			l.Bands[i].Blocks = slices.Clone(l.Bands[i].Blocks)
			for k := range l.Bands[i].Blocks {
				block := &l.Bands[i].Blocks[k]
				block.Strips = slices.DeleteFunc(slices.Clone(block.Strips), func(n int) bool { return !l.Strip(n).Cut })
			}
		}
		made.Hides = append(made.Hides, l)
	}
	cuts := nest.Cuts(made)
	for _, g := range p.grounds {
		if g.part.loose {
			cuts -= 2
		}
	}
	return p.job.Tools.Effort * float64(cuts)
}
