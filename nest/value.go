package nest

import (
	"cmp"
	"math"
	"slices"
)

// Value is what a plan is worth, in money: the worth of every complete set less
// the effort of all cuts.
func Value(j Job, p Plan) float64 {
	worth := 0.0
	have := setsOf(p)
	for i := range j.Orders {
		o := &j.Orders[i]
		for n := range o.Qty {
			if o.complete(have[setKey{o.ID, o.FirstSet + n}]) {
				worth += o.Worth
			}
		}
	}
	const fine = 1e6 // below what money is told in, above what a sum of floats loses
	return math.Round((worth-j.Tools.Effort*float64(Cuts(p)))*fine) / fine
}

// Cuts counts the cuts of a plan that cost effort: a rip along the far edge of
// each strip; one along each waste strip before a band; a cross-cut at the far
// end of each piece, and one at its near end where it does not begin at the
// end of the piece before, or for the first of a strip, at the squared end.
// The struck edge and the squared end come free. A piece of no strip takes a
// cut for each of its four sides.
func Cuts(p Plan) int {
	type stripKey struct {
		hide  string
		strip int
	}
	n := 0
	for _, l := range p.Hides {
		n += len(l.Strips)
		at := 0.0
		for _, b := range l.Bands {
			if b.FromMM > at+lengthTol {
				n++
			}
			at = b.FromMM + b.DepthMM
		}
	}
	along := map[stripKey][]Piece{}
	for _, piece := range p.Pieces {
		if piece.Strip == 0 {
			n += 4
			continue
		}
		k := stripKey{piece.Hide, piece.Strip}
		along[k] = append(along[k], piece)
	}
	for _, pieces := range along { // in any order: a sum
		slices.SortFunc(pieces, func(a, b Piece) int { return cmp.Compare(a.FromMM, b.FromMM) })
		at := 0.0
		for _, piece := range pieces {
			n++
			if !near(piece.FromMM, at) {
				n++
			}
			at = piece.ToMM
		}
	}
	return n
}

// setKey names one set of the order book.
type setKey struct {
	order string
	set   int
}

// setsOf counts the pieces of a plan by set and part.
func setsOf(p Plan) map[setKey]map[string]int {
	have := map[setKey]map[string]int{}
	for _, piece := range p.Pieces {
		k := setKey{piece.Order, piece.Set}
		if have[k] == nil {
			have[k] = map[string]int{}
		}
		have[k][piece.Part]++
	}
	return have
}

// complete reports whether the pieces make one set of the order: of each part
// exactly as many as it takes.
func (o *Order) complete(have map[string]int) bool {
	for _, part := range o.Parts {
		if have[part.Name] != part.Count {
			return false
		}
	}
	return true
}

// has reports whether the set of that number belongs to this row of the book.
func (o *Order) has(set int) bool { return set >= o.FirstSet && set-o.FirstSet < o.Qty }

// part is the part of that name, or nil.
func (o *Order) part(name string) *Part {
	for i := range o.Parts {
		if o.Parts[i].Name == name {
			return &o.Parts[i]
		}
	}
	return nil
}

// orderOf is the row of the book that a set belongs to, or nil.
func (j Job) orderOf(id string, set int) *Order {
	for i := range j.Orders {
		if o := &j.Orders[i]; o.ID == id && o.has(set) {
			return o
		}
	}
	return nil
}
