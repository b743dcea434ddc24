package nest

import (
	"math"

	"github.com/paulmach/orb"

	"strapwise/hide/plane"
)

// pieces verifies the pieces of a hide: each by itself, on the leather under
// it, in its strip, and against the others.
func (c *checker) pieces(l *laid) {
	var drawn []*cutPiece
	var shapes []shape
	for _, p := range l.pieces {
		s := l.byNumber[p.Strip]
		if s != nil && p.Strip != 0 {
			s.pieces = append(s.pieces, p)
		}
		var err error
		if p.shape, err = p.shapeOf(l.backbone); err != nil {
			c.fail(RuleShape, p.where, "%v", err)
			continue
		}
		p.drawn = true
		if p.shape.outline != nil {
			c.template(l, p)
		} else {
			c.size(l, p, s)
			c.angle(l, p)
		}
		drawn, shapes = append(drawn, p), append(shapes, p.shape)
		c.grain(l, p)
		c.onGround(l, p)
		if p.Strip != 0 {
			c.inStrip(l, p, s)
		} else {
			c.beside(l, p)
		}
	}
	pairs(shapes, func(i, j int) bool {
		c.fail(RuleOverlap, drawn[j].where, "overlaps %s", drawn[i].where)
		return !c.full(RuleOverlap)
	})
	for _, s := range l.strips {
		c.crossCuts(l, s)
	}
}

// size finds along which side of its outline the length of a piece runs, and
// verifies length and width. If both sides could be the length, or neither, it
// is the one that the stated angle is nearer to.
func (c *checker) size(l *laid, p *cutPiece, s *cutStrip) {
	p.length = p.statedLength(l.backbone)
	if p.part == nil {
		return
	}
	stripWidth := math.Inf(-1)
	if s != nil {
		stripWidth = s.WidthMM
	}
	fits := func(along int) bool {
		length, width := p.shape.side(along), p.shape.side(1-along)
		longest, widest := c.job.Tools.roundedUp(p.part.Length), c.job.Tools.roundedUp(p.part.Width)
		return length >= p.part.Length-lengthTol && length <= longest+lengthTol &&
			width >= p.part.Width-lengthTol && (width <= widest+lengthTol || near(width, stripWidth))
	}
	if !fits(p.length) && fits(1-p.length) {
		p.length = 1 - p.length
	}
	if !fits(p.length) {
		c.fail(RuleSize, p.where, "is %.6g × %.6g mm, its part is %.6g × %.6g", p.shape.side(p.length), p.shape.side(1-p.length), p.part.Length, p.part.Width)
	}
}

// statedLength is the direction of its rectangle that is nearer to the stated angle.
func (p *cutPiece) statedLength(backbone orb.Point) int {
	if acute(p.shape.dir[0], turned(backbone, p.AngleDeg*math.Pi/180)) > math.Pi/4 {
		return 1
	}
	return 0
}

// angle verifies the stated angle of a piece.
func (c *checker) angle(l *laid, p *cutPiece) {
	stated := turned(l.backbone, p.AngleDeg*math.Pi/180)
	if off := acute(p.along(), stated); !(off <= p.turnTol()) {
		c.fail(RuleAngle, p.where, "angle_deg is %.6g, the piece lies at %.6g", p.AngleDeg, angleFrom(l.backbone, p.along()))
	}
}

// template verifies that a piece which is no rectangle has the outline of its part, at
// the angle that is stated.
func (c *checker) template(l *laid, p *cutPiece) {
	if p.part == nil || p.part.Template == nil || p.shape.isOutlineOf(p.part.Template, p.along()) {
		return
	}
	u, lies := p.shape.lieOf(p.part.Template)
	if !lies {
		c.fail(RuleSize, p.where, "has another outline than the template %s of its part", p.part.Template.File)
		return
	}
	c.fail(RuleAngle, p.where, "angle_deg is %.6g, the piece lies at %.6g", p.AngleDeg, angleFrom(l.backbone, u))
	if turned, err := outlineFrom(p.Outline, u); err == nil {
		p.shape = turned
	}
}

// grain verifies that the use of a piece allows the angle at which it lies.
func (c *checker) grain(l *laid, p *cutPiece) {
	if p.use == nil {
		return
	}
	if off := acute(p.along(), l.backbone); off > p.mayTurn() {
		c.fail(RuleGrain, p.where, "lies %.3g° off the backbone, use %q allows %.3g°", degrees(off), p.use.Name, p.use.Angle.Degrees())
	}
}

// inStrip verifies a piece against its strip.
func (c *checker) inStrip(l *laid, p *cutPiece, s *cutStrip) {
	if s == nil {
		c.fail(RuleInStrip, p.where, "the hide has no such strip")
		return
	}
	if !s.drawn {
		return // named by strip
	}
	for i, u := range s.rect.dir {
		if x := p.shape.extent(s.rect.centre, u); max(-x.Lo, x.Hi) > s.rect.half[i]+lengthTol {
			c.fail(RuleInStrip, p.where, "reaches out of its strip by %.4g mm", max(-x.Lo, x.Hi)-s.rect.half[i])
			return
		}
	}
	along := s.rect.dir[s.along]
	lean := math.Abs(cross(p.along(), along)) * p.shape.side(p.length)
	if p.ripped() && lean > lengthTol {
		c.fail(RuleInStrip, p.where, "lies across its strip, expected along it")
		return
	}
	if width := p.shape.side(1 - p.length); p.ripped() && !near(width, s.WidthMM) {
		c.fail(RuleInStrip, p.where, "is %.6g mm wide, the strap cutter leaves its strip %.6g wide", width, s.WidthMM)
		return
	}
	c.position(l, p.Piece, p.shape, p.where)
	if l.strike.known && lean <= lengthTol {
		c.marks(p.where, p.FromMM, p.ToMM)
	}
}

// position verifies where a piece of that shape is said to stand along its strip.
func (c *checker) position(l *laid, p *Piece, s shape, where string) {
	if !l.strike.known {
		return
	}
	x := s.extent(l.strike.from, l.strike.along)
	switch blank := p.ToMM - p.FromMM; {
	case s.outline == nil && near(x.Lo, p.FromMM) && near(x.Hi, p.ToMM):
	case s.outline != nil && x.Lo >= p.FromMM-lengthTol && x.Hi <= p.ToMM+lengthTol && blank <= c.job.Tools.roundedUp(x.Len())+lengthTol:
	default:
		c.fail(RulePosition, where, "stands at %.6g to %.6g mm, its outline at %.6g to %.6g", p.FromMM, p.ToMM, x.Lo, x.Hi)
	}
}

// crossCuts verifies that no cut at the end of a piece runs through another
// piece of the strip.
func (c *checker) crossCuts(l *laid, s *cutStrip) {
	if !s.drawn {
		return
	}
	for i, p := range s.pieces {
		if c.full(RuleOverlap) || c.full(RuleInStrip) {
			return
		}
		for _, q := range s.pieces[i+1:] {
			if !p.drawn || !q.drawn {
				continue
			}
			if share(l.stretch(s, p), l.stretch(s, q)) && !p.shape.overlap(q.shape) {
				c.fail(RuleInStrip, q.where, "lies beside %s, so that a cross-cut runs through one of them", p.where)
			}
		}
	}
}

// stretch is from where to where a piece is cross-cut from its strip: a template in the
// rectangle round it.
func (l *laid) stretch(s *cutStrip, p *cutPiece) plane.Span {
	switch {
	case !l.strike.known:
		return p.shape.extent(s.rect.centre, s.rect.dir[s.along])
	case p.shape.outline != nil:
		return plane.Span{Lo: p.FromMM, Hi: p.ToMM}
	}
	return p.shape.extent(l.strike.from, l.strike.along)
}

// beside verifies a piece of no strip: it is cut by knife from what the strap
// cutter leaves, so no cut may run through it.
func (c *checker) beside(l *laid, p *cutPiece) {
	if p.ripped() {
		c.fail(RuleInStrip, p.where, "has no strip, but is ripped with the strap cutter")
		return
	}
	for _, s := range l.strips {
		if s.drawn && p.shape.overlap(shape{rect: s.rect}) {
			c.fail(RuleInStrip, p.where, "has no strip, but shares leather with strip %d", s.N)
			return
		}
	}
	if !l.strike.known || len(l.strips) == 0 {
		return
	}
	across := p.shape.extent(l.strike.from, l.strike.out)
	along := p.shape.extent(l.strike.from, l.strike.along)
	rips := []float64{0}
	for _, b := range l.lay.Bands {
		rips = append(rips, b.FromMM, b.FromMM+b.DepthMM)
	}
	for _, at := range rips {
		if divides(at, across) {
			c.fail(RuleInStrip, p.where, "a rip %.6g mm from the struck edge runs through it", at)
			return
		}
	}
	for _, b := range l.lay.Bands {
		if !share(across, plane.Span{Lo: b.FromMM, Hi: b.FromMM + b.DepthMM}) {
			continue
		}
		for _, block := range b.Blocks {
			if divides(block.FromMM, along) || divides(block.ToMM, along) {
				c.fail(RuleInStrip, p.where, "a cross-cut at the end of a block runs through it")
				return
			}
		}
	}
}

// share reports whether two stretches overlap by more than lengthTol.
func share(a, b plane.Span) bool { return min(a.Hi, b.Hi)-max(a.Lo, b.Lo) > lengthTol }

// divides reports whether a cut leaves some of the stretch on either side.
func divides(at float64, s plane.Span) bool { return at > s.Lo+lengthTol && at < s.Hi-lengthTol }
