// Package strip is the strap-cutter planner: it lays the pieces of a job in
// strips along the backbone of each hide, to the most worth in complete sets,
// and bounds what any other lay of strips could be worth.
//
// The model. A hide is ripped, from a struck edge that runs along the backbone or, if the
// tools allow it, a little off it, into bands; between two bands lies nothing or a waste strip. A band is one strip
// or is cross-cut into blocks, each of which is ripped into strips (bands.go says
// which bands). A strip is cross-cut into pieces as wide as itself and scrap. Every
// cut is set to a mark of the workshop's rule, counted from the origin of the
// hide's frame; pieces are rounded up to marks. A piece may lie where its use is
// served (hide.Leather) and the tools reach.
//
// Words. A mark is a whole step of the rule. A ground is a hide, or a part of one, in marks; a kind one
// size of piece; a row an order, as sets. A lane is a width of strip, a run a stretch of a strip that serves, a rip
// the room of a strip. To ask is to have all hides sell, at some prices, the best lay there is: of the bands that are known,
// those met before, or of all bands. A rule is what one asking proves of all plans. A packing goes over
// lays, each told by its pieces (a label), and drops those that a view, an asking at other prices, says come to nothing.
//
// The method, a file each:
//
//	problem.go  the job in whole marks: kinds of piece, rows of sets
//	ground.go   a hide in whole marks: lanes, classes, the runs of every strip
//	fill.go     one strip filled for given prices
//	table.go    one run filled for given prices, for every length
//	sweep.go    all of a hide for given prices, by its depth
//	band.go     a band with its pieces
//	tilt.go     struck edges off the backbone
//	shape.go    bands that are known
//	shelf.go    and where they may begin
//	bands.go    all bands for given prices
//	edges.go    from where they are alike
//	bound.go    the prices under which the rest of the rules cost least, and the bound
//	whole.go    the bound of plans that make whole sets
//	rules.go    rules of all plans, one from each asking
//	market.go   prices whose rule denies given sets
//	packing.go  whether the hides can hold given pieces, hide by hide
//	start.go    the same for all bands that begin at one mark
//	blocks.go   for one band, block by block and strip by strip
//	stretch.go  for one strip, piece by piece
//	sharpen.go  new views, of the leather that is left
//	content.go  pieces as a few words of bits
//	near.go     plans that make nearly the same sets as the best
//	seller.go   what hides sell at given prices
//	lean.go     which tilts are asked for prices, and which are laid
//	sets.go     which sets to make from the pieces laid
//	lay.go      an arrangement
//	build.go    a window of it laid anew
//	chain.go    better arrangements, step by step
//	search.go   many chains, and what the best have in common
//	forage.go   bands asked for as windows want them
//	dive.go     what is free laid band by band, as the master problem says
//	renew.go    parts of the best laid anew so
//	gather.go   few hides cut into
//	choose.go   the cheapest hides that give every set
//	refute.go   what any choice of hides must hold
//	deal.go     pieces laid on some hides, one hide after another
//	cover.go    the cheapest choice that meets demands
//	outright.go the same by trying all that prices leave
//	settle.go   no waste strip without need
//	rank.go     the strongest and longest nearest to the backbone
//	align.go    equal marks on neighbouring strips
//	why.go      what keeps a set out
//	record.go   the arrangement as a plan
//	relay.go    the rest laid again when some is cut
//	left.go     what is left of a hide that is begun
//	recall.go   the plan before as an arrangement, and its marks
//	mend.go     marks of the plan before brought back where nothing is lost by it
//	relaid.go   the arrangement and what is cut as one plan
//	quick.go    a plan in a moment, to judge many hides by
//	turn.go     work shared out to the processors
package strip

import (
	"context"
	"errors"
	"math"

	"strapwise/nest"
)

// Options say how hard to look. The zero value looks for one thorough pass.
type Options struct {
	Seed     uint64
	Steps    int                        // of the search; 0: DefaultSteps
	Progress func(value, bound float64) // called when either improves; may be nil
	Stay     bool                       // of Relay: all stays that can, whatever could be gained
}

// DefaultSteps is how many steps the search takes unless told otherwise: four contests, two to
// five seconds for a bench's usual order book and for one that fills a side.
const DefaultSteps = 25_348

// boundRounds is how often all bands are asked for before each contest.
const boundRounds = 4

// Lay plans the job. It always returns a plan, perhaps an empty one; the
// context's end only makes it stop where it is. The same job, seed and steps
// give the same plan, unless the context ends first. The error tells of a hide
// whose geometry defeats the overlay library.
func Lay(ctx context.Context, job nest.Job, o Options) (nest.Plan, error) {
	p, err := newProblem(job)
	if err != nil {
		return nest.Plan{}, err
	}
	if err := p.look(); err != nil {
		return nest.Plan{}, err
	}
	return p.plan(ctx, o)
}

// plan searches, and writes down what is best.
func (p *problem) plan(ctx context.Context, o Options) (nest.Plan, error) {
	job := p.job
	if o.Steps == 0 {
		o.Steps = DefaultSteps
	}
	stop := func() bool { return ctx.Err() != nil }
	known := newShapes()
	s, b := newSearch(p, known, o.Seed), newBound(p, known, p.whole())
	b.narrow, b.depths = true, p.depths(o)
	tell := func() {
		if o.Progress != nil {
			o.Progress(s.worth, b.worth())
		}
	}
	s.first()
	tell()
	w, taken := newWhole(b, s), 0
	var money *bound // where what is proven is told in money, and b is of something else
	if p.begun != nil {
		if err := b.improve(boundRounds, s.worth, stop); err != nil {
			return nest.Plan{}, err
		}
		s.stay(b.price)
		tell()
	}
	for taken < o.Steps && !stop() && !b.meets(s.worth) && !o.Stay {
		if len(s.chains) == 0 { // between two contests
			if err := b.improve(boundRounds, s.worth, stop); err != nil {
				return nest.Plan{}, err
			}
			if err := w.afterContest(taken, s.idle, s.worth, stop); err != nil {
				return nest.Plan{}, err
			}
			if p.hurried && money == nil { // now, since there may be no time left in the end
				money = newBound(p, known, p.money())
				if err := money.improve(boundRounds, 0, stop); err != nil {
					return nest.Plan{}, err
				}
			}
			var err error
			if s.price = b.price; p.ways != nil {
				if s.lean, err = b.leaning(); err != nil {
					return nest.Plan{}, err
				}
			}
			tell()
			s.seek(w.steps(), stop)
			s.first()
			p.survey()
		}
		n, err := s.round(o.Steps-taken, b.worth(), stop)
		if err != nil {
			return nest.Plan{}, err
		}
		taken += n
		tell()
	}
	if !stop() {
		if err := w.afterContest(taken, s.idle, s.worth, stop); err != nil {
			return nest.Plan{}, err
		}
		b.conclude(s.worth)
		tell()
	}
	s.p = s.on
	p = s.p

	var plan nest.Plan
	least := 0.0
	if p.begun != nil {
		kept := p.recordRelay(s.kept.best, s.kept.made, b.price)
		l := s.best
		if !o.Stay {
			l = s.mended(func() bool { return errors.Is(ctx.Err(), context.Canceled) })
		}
		plan = p.recordRelay(l, s.made, b.price)
		plan.Relaid = &nest.Relaid{Stay: nest.Value(job, kept)}
	} else {
		l := s.gathered()
		s.p = p.making(s.made)
		var err error
		if l, least, err = s.chosen(l, o.Steps, stop); err != nil {
			return nest.Plan{}, err
		}
		if !p.complete(s.made) {
			least = 0 // other sets, worth as much, might come from cheaper hides
		}
		plan = p.record(l, s.made, b.price)
	}
	if p.hurried {
		if b = money; b == nil {
			b = newBound(p, known, p.money())
		}
		if err := b.improve(boundRounds, nest.Value(job, plan), stop); err != nil {
			return nest.Plan{}, err
		}
	}
	r := nest.Result{Cost: nest.Cost(job, plan), CostBound: least, Value: nest.Value(job, plan), Bound: b.worth() - p.begun.spent(p), Seed: o.Seed, Steps: taken, Tilts: p.lookedAt()}
	r.Proven = r.Bound <= r.Value+proof(r.Value)
	switch {
	case r.Proven:
		r.Stop = nest.StopProven
		const fine = 1e-6 // what the value is rounded to; a bound further below would be false, and Check must see it
		if math.Abs(r.Bound-r.Value) <= fine {
			r.Bound = r.Value
		}
	case errors.Is(ctx.Err(), context.Canceled):
		r.Stop = nest.StopInterrupted
	default:
		r.Stop = nest.StopTime
	}
	plan.Result = r
	return plan, nil
}
