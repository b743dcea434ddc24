package nest

import (
	"cmp"
	"maps"
	"math"
	"slices"

	"github.com/shopspring/decimal"
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

// Cost is what the hides that a plan cuts into have cost, in money. Hides
// without a cost come free.
func Cost(j Job, p Plan) float64 {
	sum := decimal.Zero
	for _, l := range p.Hides {
		if h := j.Hide(l.Hide); h != nil {
			sum = sum.Add(h.Cost())
		}
	}
	return sum.InexactFloat64()
}

// Cuts counts the cuts of a plan that cost effort. The struck edge and the
// squared end come free. Then there is a rip along each waste strip before a
// band and along the far edge of each band; a cross-cut at each end of a block
// but for the squared end, the last end of the band and an end that two blocks
// share; a rip along the far edge of each strip that is not the band's; and at
// either end of each piece a cross-cut, unless the block was cross-cut there or
// the piece before ends there. A strip of no band counts as a band; a piece of
// no strip takes a cut for each of its four sides.
func Cuts(p Plan) int {
	type stripKey struct {
		hide  string
		strip int
	}
	along := map[stripKey][]Piece{}
	n := 0
	for _, piece := range p.Pieces {
		if piece.Strip == 0 {
			n += 4
			continue
		}
		k := stripKey{piece.Hide, piece.Strip}
		along[k] = append(along[k], piece)
	}
	for _, l := range p.Hides {
		wide := map[int]float64{}
		for _, s := range l.Strips {
			wide[s.N] = s.FromMM + s.WidthMM
		}
		loose := maps.Clone(wide)
		at := 0.0
		for _, b := range l.Bands {
			if b.FromMM > at+lengthTol {
				n++
			}
			at = b.FromMM + b.DepthMM
			n++
			last, end := 0.0, 0.0
			for _, block := range b.Blocks {
				last = max(last, block.ToMM)
			}
			for _, block := range b.Blocks {
				if !near(block.FromMM, end) {
					n++
				}
				end = block.ToMM
				closed := !near(end, last)
				if closed {
					n++
				}
				for _, s := range block.Strips {
					delete(loose, s)
					if !near(wide[s], at) {
						n++
					}
					n += crossCuts(along[stripKey{l.Hide, s}], block, closed)
				}
			}
		}
		for s := range loose { // in any order: a sum
			n += 1 + crossCuts(along[stripKey{l.Hide, s}], Block{}, false)
		}
	}
	return n
}

// crossCuts counts those of the pieces of one strip of a block; closed says that
// the block was cross-cut at its far end.
func crossCuts(pieces []Piece, block Block, closed bool) int {
	slices.SortFunc(pieces, func(a, b Piece) int { return cmp.Compare(a.FromMM, b.FromMM) })
	n, at := 0, block.FromMM
	for _, piece := range pieces {
		if !near(piece.FromMM, at) {
			n++
		}
		at = piece.ToMM
		if !closed || !near(at, block.ToMM) {
			n++
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
