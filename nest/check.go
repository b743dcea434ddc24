package nest

import (
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"strapwise/hide"
	"strapwise/hide/source"
)

// Violation is a rule that a plan breaks, and where.
type Violation struct {
	Rule  string `json:"rule"`  // one of Rules
	Where string `json:"where"` // "ash-3, strip 2, A12 set 3 main"; empty: the plan as a whole
	What  string `json:"what"`  // what was found and what was expected
}

// String gives one line: "flaw: ash-3, strip 2, A12 set 3 main: touches a scar".
func (v Violation) String() string {
	if v.Where == "" {
		return v.Rule + ": " + v.What
	}
	return v.Rule + ": " + v.Where + ": " + v.What
}

// Check verifies a plan against its job and names every rule that it breaks, in
// a fixed order; nil means that it is good.
//
// It goes another way than the planners. They look along the grain, in the
// frame of a hide, for stretches of a band that nothing blocks; Check lays each
// outline in the plan on the hide as drawn, in the coordinates of its file, and
// asks of overlays, predicates and distances whether it may lie there. It uses
// none of their code, so that a shared mistake cannot hide.
//
// What a plan leaves out is named (no struck edge, no bands, no remnant of what
// is left over) and the rest verified all the same. After a format that is not
// Format, or more pieces, strips or sets than there can be, nothing is. Of one
// rule MostNamed violations are listed, and a last one says that there are more.
func Check(j Job, p Plan) []Violation {
	c := &checker{job: j, plan: p, count: map[string]int{}}
	if c.form() {
		c.whole()
	}
	for _, rule := range Rules() {
		if c.count[rule] > MostNamed {
			c.found = append(c.found, Violation{rule, "", fmt.Sprintf("found more than %d, the rest are not listed", MostNamed)})
		}
	}
	return c.found
}

// MostNamed is how many violations of one rule Check lists: more than anybody
// reads.
const MostNamed = 100

// mostLetters is how much of a name in a plan a violation repeats; those of
// books and racks are no longer.
const mostLetters = 200

// form verifies what the rest relies on: the format, and that there is no more
// in the plan than the book can ask for. To verify the rest of one with more
// could take for ever.
func (c *checker) form() bool {
	pieces, sets := asked(c.job)
	strips := 0
	for _, l := range c.plan.Hides {
		strips += len(l.Strips)
	}
	switch p := c.plan; {
	case p.Format != Format:
		c.fail(RuleFormat, "", "found %q, expected %q", p.Format, Format)
	case len(p.Pieces) > pieces:
		c.fail(RuleSets, "", "found %s, all orders together have %d", source.Count(len(p.Pieces), "piece"), pieces)
	case len(p.Unplaced) > sets:
		c.fail(RuleUnplaced, "", "found %s listed, all orders together have %d", source.Count(len(p.Unplaced), "set"), sets)
	case len(p.Spare)+len(p.Spoilt) > mostSpare:
		c.fail(RuleCut, "", "found %s spare or spoilt, expected at most %d", source.Count(len(p.Spare)+len(p.Spoilt), "piece"), mostSpare)
	case strips > (len(p.Pieces)+len(p.Spare)+len(p.Spoilt))*c.job.Tools.stacked():
		c.fail(RuleStrip, "", "found %s for %s, expected a piece in each or beyond it", source.Count(strips, "strip"), source.Count(len(p.Pieces), "piece"))
	default:
		return true
	}
	return false
}

func (c *checker) whole() {
	for _, l := range c.laidHides() {
		c.strips(l)
		c.pieces(l)
		c.cuts(l)
		c.cut(l)
		c.remnants(l)
	}
	c.sets()
	c.result()
}

// asked is how many pieces all sets of the book have, and how many sets there are.
func asked(j Job) (pieces, sets int) {
	for _, o := range j.Orders {
		sets += o.Qty
		for _, part := range o.Parts {
			pieces += o.Qty * part.Count
		}
	}
	return pieces, sets
}

// checker gathers violations.
type checker struct {
	job   Job
	plan  Plan
	found []Violation
	count map[string]int // of the violations of a rule
}

func (c *checker) fail(rule, where, what string, args ...any) {
	if c.count[rule]++; c.full(rule) {
		return
	}
	for i, a := range args {
		if text, ok := a.(string); ok {
			args[i] = source.Shorten(text, mostLetters)
		}
	}
	c.found = append(c.found, Violation{rule, source.Shorten(where, mostLetters), fmt.Sprintf(what, args...)})
}

// full reports whether so many violations of a rule are listed that no more
// need to be looked for.
func (c *checker) full(rule string) bool { return c.count[rule] > MostNamed }

// laid is a hide with all that a plan lays on it.
type laid struct {
	hide     *hide.Hide
	leather  *ground
	lay      *HideLay // nil if the plan does not say how the hide is cut
	strike   strike
	strips   []*cutStrip
	byNumber map[int]*cutStrip // the first strip of each number
	bandOf   map[int]*Band     // that holds the strip of a number
	pieces   []*cutPiece
	gone     []shape   // of pieces that are cut and of no set
	backbone orb.Point // of length 1
	part     *float64  // where a band was first cut apart, if the struck edge is tilted
}

// cutPiece is a piece of the plan with what the job says of it.
type cutPiece struct {
	*Piece
	where  string
	part   *Part     // nil if the job knows none
	use    *hide.Use // that of the part; nil if the job knows none
	shape  shape
	drawn  bool // shape is known
	length int  // the direction of its rectangle along which the piece's length runs
}

// ripped reports whether the strap cutter makes the piece.
func (p *cutPiece) ripped() bool { return p.part != nil && !p.part.Knife }

// along is the direction of the piece's length.
func (p *cutPiece) along() orb.Point { return p.shape.dir[p.length] }

// laidHides sorts the plan by hide: those it lays in its own order, then those
// that only its pieces name, which is a fault. What is on no hide of the job is named
// and left out.
func (c *checker) laidHides() []*laid {
	var all []*laid
	byName := map[string]*laid{}
	get := func(name string) *laid {
		if l, known := byName[name]; known {
			return l
		}
		var l *laid
		if h := c.job.Hide(name); h != nil {
			l = &laid{hide: h, leather: newGround(h), backbone: alongBackbone(h), byNumber: map[int]*cutStrip{}, bandOf: map[int]*Band{}}
			all = append(all, l)
		}
		byName[name] = l
		return l
	}
	for i := range c.plan.Hides {
		lay := &c.plan.Hides[i]
		switch l := get(lay.Hide); {
		case l == nil:
			c.fail(RuleHide, lay.Hide, "no hide of that name is on the rack")
		case l.lay != nil:
			c.fail(RuleHide, lay.Hide, "is laid twice")
		default:
			l.lay = lay
		}
	}
	for i := range c.plan.Pieces {
		p := &c.plan.Pieces[i]
		piece := &cutPiece{Piece: p, where: fmt.Sprintf("%s, strip %d, %s set %d %s", p.Hide, p.Strip, p.Order, p.Set, p.Part)}
		if p.Strip == 0 {
			piece.where = fmt.Sprintf("%s, %s set %d %s", p.Hide, p.Order, p.Set, p.Part)
		}
		l := get(p.Hide)
		if l == nil {
			c.fail(RuleHide, piece.where, "no hide of that name is on the rack")
		} else {
			l.pieces = append(l.pieces, piece)
		}
		c.identify(piece, l)
	}
	for _, p := range slices.Concat(c.plan.Spare, c.plan.Spoilt) {
		if get(p.Hide) == nil {
			c.fail(RuleHide, p.Hide, "no hide of that name is on the rack")
		}
	}
	for _, l := range all {
		if l.lay == nil {
			c.fail(RuleHide, l.hide.Name(), "pieces are cut from it, but the plan does not say how")
		}
	}
	return all
}

// identify finds what the job says of a piece.
func (c *checker) identify(p *cutPiece, l *laid) {
	o := c.job.orderOf(p.Order, p.Set)
	if o == nil {
		c.fail(RuleOrder, p.where, "no order of the book has that set")
		return
	}
	p.part = o.part(p.Part)
	if p.part == nil {
		c.fail(RulePart, p.where, "the order has no such part")
		return
	}
	if p.Use != p.part.Use {
		c.fail(RuleUse, p.where, "found use %q, expected %q", p.Use, p.part.Use)
	}
	if use, known := c.job.Uses[p.part.Use]; known {
		p.use = &use
	} else {
		c.fail(RuleUse, p.where, "the workshop has no use %q", p.part.Use)
	}
	if l != nil && l.hide.Leather() != p.part.Leather {
		c.fail(RuleLeather, p.where, "is cut from %s, expected %s", l.hide.Leather(), p.part.Leather)
	}
}

// alongBackbone is the direction of the backbone as the hide's file draws it.
func alongBackbone(h *hide.Hide) orb.Point {
	if b := h.Backbone(); len(b) == 2 {
		d := sub(b[1], b[0])
		return scale(d, 1/norm(d))
	}
	return orb.Point{1, 0}
}

// onMark reports whether a length is a whole number of marks.
func (t Tools) onMark(mm float64) bool {
	return t.Mark <= 0 || math.Abs(mm-math.Round(mm/t.Mark)*t.Mark) <= lengthTol
}

// stacked is the most strips that a block can hold: one with a piece in it, the
// others scrap that is ripped off to reach it.
func (t Tools) stacked() int {
	if t.Deepest == 0 || t.CutterMin <= 0 {
		return 1
	}
	return 1 + int(t.Deepest/t.CutterMin)
}

// parts reports whether a cross-cut between blocks may lie so far from another.
func (t Tools) parts(mm float64) bool {
	step := t.roundedUp(t.Part)
	return step <= 0 || math.Abs(mm-math.Round(mm/step)*step) <= lengthTol
}

// roundedUp is the length at the next mark.
func (t Tools) roundedUp(mm float64) float64 {
	if t.Mark <= 0 {
		return mm
	}
	return math.Ceil((mm-SameLength)/t.Mark) * t.Mark
}

// near reports whether two lengths are one; not, if either is no number.
func near(a, b float64) bool { return math.Abs(a-b) <= lengthTol }
