package nest

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"strapwise/hide/plane"
	"strapwise/hide/source"
)

// strike is the struck edge as drawn: where it begins, its direction, and the
// one at a right angle to it on the side where the strips are.
type strike struct {
	from, along, out orb.Point
	known            bool // from, and on which side out is
}

// into gives a place as it is seen from the struck edge: along it, and outward from it.
func (s strike) into(p orb.Point) orb.Point {
	p = sub(p, s.from)
	return orb.Point{dot(p, s.along), dot(p, s.out)}
}

// rect is the rectangle that covers a stretch along the struck edge and one outward.
func (s strike) rect(along, across plane.Span) rect {
	corner := add(s.from, add(scale(s.along, along.Lo), scale(s.out, across.Lo)))
	return rectAt(corner, s.along, s.out, along.Len(), across.Len())
}

// cutStrip is a strip of the plan.
type cutStrip struct {
	*Strip
	where  string
	rect   rect
	drawn  bool // rect is known
	along  int  // the direction of rect that runs along the struck edge
	pieces []*cutPiece
}

// ripped reports whether the strap cutter must make the strip.
func (s *cutStrip) ripped() bool {
	for _, p := range s.pieces {
		if p.ripped() {
			return true
		}
	}
	return false
}

// strips verifies the struck edge and the strips of a hide, each by itself.
func (c *checker) strips(l *laid) {
	if l.lay == nil {
		return
	}
	var rects []rect
	var shapes []shape
	var drawn []*cutStrip
	for i := range l.lay.Strips {
		s := &cutStrip{Strip: &l.lay.Strips[i]}
		s.where = fmt.Sprintf("%s, strip %d", l.hide.Name(), s.N)
		l.strips = append(l.strips, s)
		if l.byNumber[s.N] == nil {
			l.byNumber[s.N] = s
		}
		r, err := rectFrom(s.Outline)
		if err != nil {
			c.fail(RuleStrip, s.where, "%v", err)
			continue
		}
		s.rect, s.drawn = r, true
		rects, shapes, drawn = append(rects, r), append(shapes, shape{rect: r}), append(drawn, s)
	}
	c.strike(l, rects)
	for _, s := range drawn {
		c.strip(l, s)
	}
	pairs(shapes, func(i, j int) bool {
		c.fail(RuleApart, drawn[j].where, "shares leather with strip %d", drawn[i].N)
		return !c.full(RuleApart)
	})
}

// strike verifies the struck edge. Where the plan gives none, the strips are
// verified along the longest of them.
func (c *checker) strike(l *laid, strips []rect) {
	given := l.lay.Strike
	along := sub(given.To, given.From)
	length := norm(along)
	if !(length > lengthTol) || length > 4*plane.MaxCoordinate {
		c.fail(RuleStrike, l.hide.Name(), "no struck edge is given")
		longest := 0.0
		for _, r := range strips {
			for i := range r.dir {
				if r.side(i) > longest {
					longest, l.strike.along = r.side(i), r.dir[i]
				}
			}
		}
		return
	}
	along = scale(along, 1/length)
	away := orb.Point{-l.backbone[1], l.backbone[0]} // from the backbone
	l.strike = struckOn(l.hide, l.lay)
	if dot(away, l.strike.out) < 0 {
		away = scale(away, -1)
	}
	from := sub(given.From, l.hide.Frame().OutOf(orb.Point{}))
	if edge := dot(from, away); !near(edge, given.EdgeMM) {
		c.fail(RuleStrike, l.hide.Name(), "edge_mm is %.6g, the struck edge begins at %.6g", given.EdgeMM, edge)
	}
	if square := dot(from, l.backbone); !near(square, given.SquareMM) {
		c.fail(RuleStrike, l.hide.Name(), "square_mm is %.6g, the struck edge begins at %.6g", given.SquareMM, square)
	}
	if stated := turned(l.backbone, given.AngleDeg*math.Pi/180); !(dot(stated, along) > 0 && math.Abs(cross(stated, along))*length <= lengthTol) {
		c.fail(RuleStrike, l.hide.Name(), "angle_deg is %.6g, the struck edge lies at %.6g", given.AngleDeg, degrees(math.Atan2(cross(l.backbone, along), dot(l.backbone, along))))
	}
	for _, r := range strips {
		if far := r.extent(given.From, along).Hi; far > length+c.job.Tools.Mark+lengthTol { // a relay counts its marks anew
			c.fail(RuleStrike, l.hide.Name(), "the struck edge ends at %.6g mm, a strip at %.6g", length, far)
			break
		}
	}
	c.onMarks(l, away, length)
}

// onMarks verifies that the struck edge, so long, can be struck and squared by the marks
// of a rule, and is tilted no further than the tools allow.
func (c *checker) onMarks(l *laid, away orb.Point, length float64) {
	given, where := l.lay.Strike, l.hide.Name()+", struck edge"
	if given.AngleDeg == 0 {
		c.marks(where, given.EdgeMM, given.SquareMM)
		if given.Through != ([2]orb.Point{}) {
			c.fail(RuleStrike, l.hide.Name(), "the struck edge is level, but told through two marks")
		}
		return
	}
	begun := len(l.lay.Bands) > 0 && l.lay.Bands[0].Cut
	if off := acute(l.strike.along, l.backbone); !begun && off > float64(c.job.Tools.Tilt)+lengthTol/length {
		c.fail(RuleStrike, l.hide.Name(), "the struck edge lies %.4g° off the backbone, the tools allow %.4g°", degrees(off), c.job.Tools.Tilt.Degrees())
	}
	a, b := given.Through[0], given.Through[1]
	if !(norm(sub(b, a)) > lengthTol) {
		c.fail(RuleStrike, l.hide.Name(), "the struck edge is tilted, but not told through two marks")
		return
	}
	origin := l.hide.Frame().OutOf(orb.Point{})
	for i, p := range given.Through {
		if off := math.Abs(cross(l.strike.along, sub(p, given.From))); !(off <= lengthTol) {
			c.fail(RuleStrike, l.hide.Name(), "the struck edge passes mark %d at %.4g mm", i+1, off)
		}
		c.marks(where, dot(sub(p, origin), away), dot(sub(p, origin), l.backbone))
	}
	c.marks(l.hide.Name()+", squared end", dot(sub(given.From, a), l.strike.along))
}

// angleFrom is the angle in degrees from direction u to v, anticlockwise, as
// lines: over -90 and up to 90.
func angleFrom(u, v orb.Point) float64 {
	a := degrees(math.Atan2(cross(u, v), dot(u, v)))
	switch {
	case a > 90:
		return a - 180
	case a <= -90:
		return a + 180
	}
	return a
}

// marks verifies that lengths are set to marks of the rule.
func (c *checker) marks(where string, lengths ...float64) {
	for _, mm := range lengths {
		if !c.job.Tools.onMark(mm) {
			c.fail(RuleMarks, where, "a cut is set to %.6g mm, between two marks of %.6g mm", mm, c.job.Tools.Mark)
		}
	}
}

// strip verifies one strip against the struck edge and its own figures.
func (c *checker) strip(l *laid, s *cutStrip) {
	if acute(s.rect.dir[0], l.strike.along) > math.Pi/4 {
		s.along = 1
	}
	if lean := math.Abs(cross(s.rect.dir[s.along], l.strike.along)) * s.rect.side(s.along); lean > lengthTol {
		c.fail(RuleStrip, s.where, "leaves the direction of the struck edge by %.4g mm", lean)
		return
	}
	if width := s.rect.side(1 - s.along); !near(width, s.WidthMM) {
		c.fail(RuleStrip, s.where, "width_mm is %.6g, its outline is %.6g wide", s.WidthMM, width)
	}
	if l.strike.known {
		if from := s.rect.extent(l.strike.from, l.strike.out).Lo; !near(from, s.FromMM) {
			c.fail(RuleStrip, s.where, "from_mm is %.6g, its outline begins %.6g from the struck edge", s.FromMM, from)
		}
	}
	c.marks(s.where, s.FromMM, s.WidthMM)
}

// cuts verifies that the strips of a hide can be made, in their order, with the
// tools of the job; one that is cut has its width, whatever the strap cutter of this day takes. It wants the
// pieces of each strip known.
func (c *checker) cuts(l *laid) {
	if l.lay == nil {
		return
	}
	if c.numbers(l) {
		c.bands(l)
	}
	t := c.job.Tools
	for _, s := range l.strips {
		if !s.ripped() {
			continue
		}
		if !s.Cut && !(s.WidthMM >= t.CutterMin-lengthTol && s.WidthMM <= t.CutterMax+lengthTol) {
			c.fail(RuleCutter, s.where, "is %.6g mm wide, the strap cutter takes %.6g to %.6g", s.WidthMM, t.CutterMin, t.CutterMax)
		}
		if t.Grips > 0 && s.drawn && l.strike.known {
			if b := l.bandOf[s.N]; b == nil || !b.Cut { // of one that is off the hide, the cutter holds the band
				c.grips(l, s)
			}
			c.holds(l, s)
		}
	}
}

// numbers verifies that strips are numbered from 1, and that bands and blocks
// give them in that order. It reports whether the blocks hold no more strips
// than there are.
func (c *checker) numbers(l *laid) bool {
	held := 0
	for _, band := range l.lay.Bands {
		for _, block := range band.Blocks {
			held += len(block.Strips)
		}
	}
	if held > len(l.lay.Strips) {
		c.fail(RuleNumbers, l.hide.Name(), "the blocks hold %s of %d", source.Count(held, "strip"), len(l.lay.Strips))
		return false
	}
	l.holdBands()
	c.inTurn(l)
	return true
}

// holdBands notes which band holds each strip.
func (l *laid) holdBands() {
	for i := range l.lay.Bands {
		for _, block := range l.lay.Bands[i].Blocks {
			for _, n := range block.Strips {
				if l.bandOf[n] == nil {
					l.bandOf[n] = &l.lay.Bands[i]
				}
			}
		}
	}
}

func (c *checker) inTurn(l *laid) {
	for i, s := range l.lay.Strips {
		if s.N != i+1 {
			c.fail(RuleNumbers, l.hide.Name(), "strip %d is listed in place %d", s.N, i+1)
			return
		}
	}
	if len(l.lay.Bands) == 0 {
		return
	}
	next := 1
	for _, band := range l.lay.Bands {
		for _, block := range band.Blocks {
			for _, n := range block.Strips {
				if n != next {
					c.fail(RuleNumbers, l.hide.Name(), "strip %d is cut when it is the turn of strip %d", n, next)
					return
				}
				next++
			}
		}
	}
	if next != len(l.lay.Strips)+1 {
		c.fail(RuleNumbers, l.hide.Name(), "the blocks hold %s of %d", source.Count(next-1, "strip"), len(l.lay.Strips))
	}
}

// bands verifies that bands, blocks and strips nest. What is cut is so, whatever the limits of this day.
func (c *checker) bands(l *laid) {
	if len(l.lay.Bands) == 0 && len(l.lay.Strips) > 0 {
		c.fail(RuleBands, l.hide.Name(), "no bands are given")
	}
	at, before := 0.0, true // the far edge of the band before, and whether it is ripped, as the first is from the struck edge
	waste := math.Inf(1)    // the narrowest waste strip since the last band that gives pieces
	for i, band := range l.lay.Bands {
		where := fmt.Sprintf("%s, band %d", l.hide.Name(), i+1)
		gap := band.FromMM - at
		if !(gap >= -lengthTol) {
			c.fail(RuleBands, where, "begins at %.6g mm, before %.6g where it may", band.FromMM, at)
		}
		if !(band.DepthMM > lengthTol) {
			c.fail(RuleBands, where, "is %.6g mm deep", band.DepthMM)
		}
		if gap > lengthTol {
			waste = min(waste, gap)
		}
		ripped := l.rips(band)
		if before && ripped && !band.Cut && waste < c.job.Tools.CutterMin-lengthTol {
			c.fail(RuleWaste, where, "a waste strip of %.6g mm lies before it, the strap cutter takes %.6g or more", waste, c.job.Tools.CutterMin)
		}
		c.marks(where, band.FromMM, band.DepthMM)
		if deepest := c.job.Tools.Deepest; !l.plain(band) && !band.Cut && !(band.DepthMM <= deepest+lengthTol) {
			c.fail(RuleBands, where, "is not one strip as deep as itself and is %.6g mm deep, expected %.6g at the most", band.DepthMM, deepest)
		}
		if most := c.job.Tools.Blocks; most > 0 && len(band.Blocks) > most && !band.apart() {
			c.fail(RuleBlocks, where, "is cross-cut into %d blocks, expected %d at the most", len(band.Blocks), most)
		}
		c.blocks(l, band, where)
		at = band.FromMM + band.DepthMM
		if l.gives(band) || band.Cut {
			before, waste = ripped, math.Inf(1)
		} else {
			waste = min(waste, band.DepthMM)
		}
	}
}

// Several reports whether the band is cut into several blocks or strips.
func (b Band) Several() bool {
	return len(b.Blocks) > 1 || len(b.Blocks) == 1 && len(b.Blocks[0].Strips) > 1
}

// plain reports whether the band holds nothing but one strip as deep as itself.
func (l *laid) plain(b Band) bool {
	return !b.Several() && !l.hasStrip(b, func(s *cutStrip) bool { return !near(s.WidthMM, b.DepthMM) })
}

// rips reports whether the strap cutter must make a strip of the band.
func (l *laid) rips(b Band) bool { return l.hasStrip(b, (*cutStrip).ripped) }

// gives reports whether a piece is cut from the band.
func (l *laid) gives(b Band) bool {
	return l.hasStrip(b, func(s *cutStrip) bool { return len(s.pieces) > 0 })
}

// hasStrip reports whether a band holds such a strip.
func (l *laid) hasStrip(b Band, such func(*cutStrip) bool) bool {
	for _, block := range b.Blocks {
		for _, n := range block.Strips {
			if s := l.byNumber[n]; s != nil && such(s) {
				return true
			}
		}
	}
	return false
}

// parting is from where, along the struck edge, the cross-cuts between blocks are so many
// parts apart: the origin of the hide's frame or, where the edge is tilted, the first
// of them, which is the one asked about if there was none before.
func (l *laid) parting(at float64) float64 {
	if l.lay.Strike.AngleDeg == 0 {
		return -l.lay.Strike.SquareMM
	}
	if l.part == nil {
		l.part = &at
	}
	return *l.part
}

// blocks verifies the blocks of a band, and the strips stacked in each.
func (c *checker) blocks(l *laid, band Band, where string) {
	end, last := 0.0, 0.0
	for _, block := range band.Blocks {
		last = max(last, block.ToMM)
	}
	for _, block := range band.Blocks {
		if block.Cut {
			continue // its ends lie where they lie
		}
		for _, at := range []float64{block.FromMM, block.ToMM} {
			if !near(at, 0) && !near(at, last) && !c.job.Tools.parts(at-l.parting(at)) {
				c.fail(RuleBlocks, where, "a cross-cut between blocks is set to %.6g mm, expected a multiple of %.6g from %.6g",
					at, c.job.Tools.Part, l.parting(at))
			}
		}
	}
	for i, block := range band.Blocks {
		if !(block.FromMM >= end-lengthTol) {
			c.fail(RuleBlocks, where, "block %d begins at %.6g mm, before %.6g where it may", i+1, block.FromMM, end)
		}
		if !(block.ToMM > block.FromMM+lengthTol) {
			c.fail(RuleBlocks, where, "block %d runs from %.6g mm to %.6g", i+1, block.FromMM, block.ToMM)
		}
		c.marks(where, block.FromMM, block.ToMM)
		c.stack(l, band, block, fmt.Sprintf("%s, block %d", where, i+1))
		end = block.ToMM
	}
}

func (c *checker) stack(l *laid, band Band, block Block, where string) {
	at := band.FromMM
	for _, n := range block.Strips {
		s := l.byNumber[n]
		if s == nil {
			continue // named by numbers
		}
		if !near(s.FromMM, at) {
			c.fail(RuleStack, where, "strip %d begins at %.6g mm, expected %.6g", n, s.FromMM, at)
		}
		at = s.FromMM + s.WidthMM
		if !(at <= band.FromMM+band.DepthMM+lengthTol) {
			c.fail(RuleStack, where, "strip %d ends at %.6g mm, beyond the band at %.6g", n, at, band.FromMM+band.DepthMM)
		}
		if !s.drawn || !l.strike.known {
			continue
		}
		if x := s.rect.extent(l.strike.from, l.strike.along); x.Lo < block.FromMM-lengthTol || x.Hi > block.ToMM+lengthTol {
			c.fail(RuleStack, where, "strip %d runs from %.6g mm to %.6g, the block from %.6g to %.6g", n, x.Lo, x.Hi, block.FromMM, block.ToMM)
		}
	}
}
