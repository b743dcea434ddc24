package nest

import (
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"strapwise/hide/plane"
)

// mostSpare is the most pieces that are cut and of no set: more than hides hold.
const mostSpare = 20_000

// apart reports whether the band has been cut apart into its blocks, which then
// are as they are.
func (b Band) apart() bool {
	return slices.ContainsFunc(b.Blocks, func(k Block) bool { return k.Cut })
}

// cut verifies what a plan says is cut already, and the pieces that no set takes.
func (c *checker) cut(l *laid) {
	if l.lay == nil {
		return
	}
	turn := func(ok bool, where, what string) {
		if !ok {
			c.fail(RuleCut, where, "%s", what)
		}
	}
	turn(l.lay.Ripped() > 0 || l.lay.SquaredMM == 0 && len(l.lay.Chalked) == 0, l.hide.Name(), "is not begun, but is said to be squared or chalked")
	before := true
	for i, band := range l.lay.Bands {
		where := fmt.Sprintf("%s, band %d", l.hide.Name(), i+1)
		turn(before || !band.Cut, where, "is cut, but a band before it is not")
		before = band.Cut
		apart := band.apart()
		for k, block := range band.Blocks {
			where := fmt.Sprintf("%s, block %d", where, k+1)
			turn(band.Cut || !block.Cut, where, "is cut, but not its band")
			turn(block.Cut || !apart, where, "is not cut off, but another of its band is")
			under := true
			for _, n := range block.Strips {
				s := l.byNumber[n]
				if s == nil {
					continue // named by numbers
				}
				turn(block.Cut || !s.Cut, s.where, "is cut, but not its block")
				turn(under || !s.Cut, s.where, "is cut, but a strip before it is not")
				under = s.Cut
				c.cutAlong(s)
			}
		}
	}
	for _, p := range l.pieces {
		turn(p.Strip != 0 || !p.Cut, p.where, "is cut, but of no strip")
		turn(p.Cut || !p.Judged, p.where, "is held to be sound, but not cut")
	}
	c.gone(l)
}

// cutAlong verifies the order in which the pieces of a strip are cut.
func (c *checker) cutAlong(s *cutStrip) {
	last := math.Inf(-1) // the end of the last cut piece
	for _, p := range s.pieces {
		if p.Cut {
			last = max(last, p.ToMM)
			if !s.Cut {
				c.fail(RuleCut, p.where, "is cut, but not its strip")
			}
		}
	}
	for _, p := range s.pieces {
		if !p.Cut && p.FromMM < last-lengthTol {
			c.fail(RuleCut, p.where, "is not cut, but a piece beyond it is")
		}
	}
}

// gone verifies the pieces that are cut and of no set: their outlines, and that
// nothing else is laid where they were.
func (c *checker) gone(l *laid) {
	var shapes []shape
	var names []string
	for _, list := range []struct {
		pieces []Piece
		what   string
	}{{c.plan.Spare, "spare"}, {c.plan.Spoilt, "spoilt"}} {
		for _, p := range list.pieces {
			if p.Hide != l.hide.Name() {
				continue
			}
			where := fmt.Sprintf("%s, %s set %d %s, %s", p.Hide, p.Order, p.Set, p.Part, list.what)
			r, err := (&cutPiece{Piece: &p}).shapeOf(l.backbone)
			if err != nil {
				c.fail(RuleShape, where, "%v", err)
				continue
			}
			shapes, names = append(shapes, r), append(names, where)
			l.gone = append(l.gone, r)
			s := l.byNumber[p.Strip]
			switch {
			case !p.Cut:
				c.fail(RuleCut, where, "is not cut")
			case s == nil || !s.Cut:
				c.fail(RuleCut, where, "is in no strip that is cut")
			case s.drawn && !r.inside(s.rect):
				c.fail(RuleInStrip, where, "reaches out of its strip")
			default:
				c.position(l, &p, r, where)
			}
		}
	}
	n := len(shapes)
	for _, p := range l.pieces {
		if p.drawn {
			shapes, names = append(shapes, p.shape), append(names, p.where)
		}
	}
	pairs(shapes, func(i, j int) bool {
		if i < n {
			c.fail(RuleOverlap, names[j], "overlaps %s", names[i])
		}
		return !c.full(RuleOverlap)
	})
}

// CheckCut verifies that what is marked as cut in a plan lies on the hides of the
// job as its figures say, whatever the job asks for by now and wherever its flaws
// are: a plan for which a rule is broken is not one of these hides.
func CheckCut(j Job, p Plan) []Violation {
	c := &checker{job: j, count: map[string]int{}}
	strips := 0
	for _, l := range p.Hides {
		strips += len(l.Strips)
	}
	if n := max(len(p.Pieces)+len(p.Spare)+len(p.Spoilt), strips); n > mostSpare {
		c.fail(RuleSets, "", "found %d pieces or strips, expected at most %d", n, mostSpare)
		return c.found
	}
	p.Pieces = cutOf(p.Pieces)
	c.plan = p
	for _, l := range c.laidHides() {
		c.strips(l)
		c.pieces(l)
		c.cuts(l)
		c.cut(l)
	}
	return slices.DeleteFunc(c.found, func(v Violation) bool {
		return !slices.Contains([]string{
			RuleHide, RuleShape, RuleAngle, RuleOutline, RuleOverlap, RuleInStrip, RulePosition,
			RuleStrike, RuleMarks, RuleStrip, RuleApart, RuleNumbers, RuleStack, RuleCut,
		}, v.Rule)
	})
}

// CheckRelaid is Check of a plan that was laid again round what is marked as cut
// in the plan before; besides it verifies that all that is cut has stayed where
// it was, that nothing else is called cut, and that nothing is laid but where leather
// is left.
func CheckRelaid(j Job, before, after Plan) []Violation {
	c := &checker{job: j, plan: after, count: map[string]int{}}
	c.found = Check(j, after)
	for i := range before.Hides {
		was := &before.Hides[i]
		if len(was.Bands) == 0 || !was.Bands[0].Cut {
			continue
		}
		if now := after.Lay(was.Hide); now == nil {
			c.fail(RuleCut, was.Hide, "was begun, but is not in the plan")
		} else {
			c.stayed(was, now)
			c.onLeft(before, was, now)
		}
	}
	for i := range after.Hides {
		c.noneMore(before.Lay(after.Hides[i].Hide), &after.Hides[i])
	}
	c.piecesStayed(slices.Concat(cutOf(before.Pieces), before.Spare), slices.Concat(cutOf(after.Pieces), after.Spare))
	c.piecesStayed(before.Spoilt, after.Spoilt)
	return c.found
}

func cutOf(pieces []Piece) []Piece {
	return slices.DeleteFunc(slices.Clone(pieces), func(p Piece) bool { return !p.Cut })
}

// piecesStayed verifies that pieces that were cut are those that are cut now, whatever sets
// they go to, and that no other of them is held to be sound than before.
func (c *checker) piecesStayed(was, now []Piece) {
	on := func(pieces []Piece) map[string][]Piece {
		byHide := map[string][]Piece{}
		for _, p := range pieces {
			byHide[p.Hide] = append(byHide[p.Hide], p)
		}
		return byHide
	}
	find := func(in []Piece, p Piece) int {
		return slices.IndexFunc(in, func(q Piece) bool { return sameCorners(p.Outline, q.Outline) })
	}
	where := func(p Piece) string { return fmt.Sprintf("%s, %s set %d %s", p.Hide, p.Order, p.Set, p.Part) }
	then, there := on(was), on(now)
	for _, p := range was {
		if find(there[p.Hide], p) < 0 {
			c.fail(RuleCut, where(p), "was cut, but has not stayed where it was")
		}
	}
	for _, p := range now {
		switch i := find(then[p.Hide], p); {
		case i < 0:
			c.fail(RuleCut, where(p), "is called cut, but was not cut before")
		case p.Judged && !(then[p.Hide][i].Judged && then[p.Hide][i].Use == p.Use):
			c.fail(RuleCut, where(p), "is held to be sound for its use, but was not before")
		}
	}
}

// noneMore verifies that no more cuts of a hide are called made than were made before;
// was is nil if it was not laid then.
func (c *checker) noneMore(was, now *HideLay) {
	if was == nil {
		was = &HideLay{}
	}
	for i, b := range now.Bands {
		where := fmt.Sprintf("%s, band %d", now.Hide, i+1)
		switch {
		case b.Cut && !(i < len(was.Bands) && was.Bands[i].Cut):
			c.fail(RuleCut, where, "is called cut, but was not ripped off before")
		case b.Cut && b.apart() && !was.Bands[i].apart():
			c.fail(RuleCut, where, "is called cut apart, but was not before")
		}
	}
	for _, s := range now.Strips {
		if s.Cut && !slices.ContainsFunc(was.Strips, func(t Strip) bool { return t.Cut && sameCorners(s.Outline, t.Outline) }) {
			c.fail(RuleCut, fmt.Sprintf("%s, strip %d", now.Hide, s.N), "is called cut, but was not ripped off before")
		}
	}
}

func sameCorners(a, b []orb.Point) bool {
	return slices.EqualFunc(a, b, func(p, q orb.Point) bool { return norm(sub(p, q)) <= lengthTol })
}

// stayed verifies that the cuts of a hide that are made have stayed.
func (c *checker) stayed(was, now *HideLay) {
	if norm(sub(was.Strike.From, now.Strike.From)) > lengthTol || !near(was.Strike.SquareMM, now.Strike.SquareMM) || !near(was.Strike.AngleDeg, now.Strike.AngleDeg) ||
		norm(sub(was.Strike.Through[0], now.Strike.Through[0])) > lengthTol || norm(sub(was.Strike.Through[1], now.Strike.Through[1])) > lengthTol {
		c.fail(RuleCut, was.Hide, "its struck edge has not stayed")
	}
	if !near(was.SquaredMM, now.SquaredMM) || !slices.EqualFunc(was.Chalked, now.Chalked, near) {
		c.fail(RuleCut, was.Hide, "its squared end or its chalk lines have not stayed")
	}
	for i, b := range was.Bands {
		where := fmt.Sprintf("%s, band %d", was.Hide, i+1)
		switch {
		case !b.Cut:
		case i >= len(now.Bands) || !now.Bands[i].Cut || !near(b.FromMM, now.Bands[i].FromMM) || !near(b.DepthMM, now.Bands[i].DepthMM):
			c.fail(RuleCut, where, "was ripped off, but has not stayed")
		case b.apart() && !slices.EqualFunc(b.Blocks, now.Bands[i].Blocks, func(k, m Block) bool {
			return m.Cut && near(k.FromMM, m.FromMM) && near(k.ToMM, m.ToMM)
		}):
			c.fail(RuleCut, where, "was cut apart, but its blocks have not stayed")
		}
	}
	for _, s := range was.Strips {
		if s.Cut && !slices.ContainsFunc(now.Strips, func(t Strip) bool { return t.Cut && sameCorners(s.Outline, t.Outline) }) {
			c.fail(RuleCut, fmt.Sprintf("%s, strip %d", was.Hide, s.N), "was ripped off, but has not stayed")
		}
	}
}

// onLeft verifies that each piece that is still to be cut from a hide that is
// begun lies in one part of what is left of it.
func (c *checker) onLeft(before Plan, was, now *HideLay) {
	along := sub(now.Strike.To, now.Strike.From)
	if !(norm(along) > lengthTol) {
		return // named by strike
	}
	along = scale(along, 1/norm(along))
	out := now.out(along)
	left := before.left(was)
	backbone := along
	if h := c.job.Hide(was.Hide); h != nil {
		backbone = alongBackbone(h)
	}
	for _, p := range c.plan.Pieces {
		if p.Hide != was.Hide || p.Cut {
			continue
		}
		r, err := (&cutPiece{Piece: &p}).shapeOf(backbone)
		if err != nil {
			continue // named by shape
		}
		x, y := r.extent(now.Strike.From, along), r.extent(now.Strike.From, out)
		in := func(outer, inner plane.Span) bool {
			return inner.Lo >= outer.Lo-lengthTol && inner.Hi <= outer.Hi+lengthTol
		}
		if !slices.ContainsFunc(left, func(part [2]plane.Span) bool { return in(part[0], x) && in(part[1], y) }) {
			c.fail(RuleCut, fmt.Sprintf("%s, %s set %d %s", p.Hide, p.Order, p.Set, p.Part), "lies where no leather is left, or a cut has been made")
		}
	}
}

// left gives what is left of a hide whose cutting has begun, told from the squared
// end and from the struck edge: all beyond the last band that is cut; the bands
// that are not cut apart; of those that are, the blocks, or what lies beyond the
// last cut strip of a block that has others to be cut, and beyond the last cut
// piece of a strip that has others.
func (p *Plan) left(l *HideLay) [][2]plane.Span {
	all := plane.Span{Lo: 0, Hi: math.Inf(1)}
	out, far := [][2]plane.Span{}, 0.0
	for _, b := range l.Bands {
		if !b.Cut {
			continue
		}
		far = b.FromMM + b.DepthMM
		if !b.apart() {
			out = append(out, [2]plane.Span{all, {Lo: b.FromMM, Hi: far}})
			continue
		}
		for _, k := range b.Blocks {
			x, from, done := plane.Span{Lo: k.FromMM, Hi: k.ToMM}, b.FromMM, true
			for _, n := range k.Strips {
				s := l.Strip(n)
				if !s.Cut {
					done = false
					continue
				}
				from = s.FromMM + s.WidthMM
				at, more := k.FromMM, false
				for _, piece := range slices.Concat(p.Pieces, p.Spare, p.Spoilt) {
					if piece.Hide == l.Hide && piece.Strip == n {
						more = more || !piece.Cut
						if piece.Cut {
							at = max(at, piece.ToMM)
						}
					}
				}
				if more {
					out = append(out, [2]plane.Span{{Lo: at, Hi: k.ToMM}, {Lo: s.FromMM, Hi: from}})
				}
			}
			if !done || from == b.FromMM {
				out = append(out, [2]plane.Span{x, {Lo: from, Hi: b.FromMM + b.DepthMM}})
			}
		}
	}
	return append(out, [2]plane.Span{all, {Lo: far, Hi: math.Inf(1)}})
}
