package nest

import (
	"math"

	"github.com/peterstace/simplefeatures/geom"

	"strapwise/hide/plane"
)

// grips verifies that the strap cutter can be held along the far edge of a
// strip, over every piece that it rips: there it has either leather of the depth
// it grips, or none at all, where the edge of the strip is that of the hide and
// nothing is ripped. Between pieces the strip is scrap, and a notch no trouble.
//
//	    ______________________
//	   /  grips deep          |
//	  /  :‾‾‾‾‾‾:      :‾‾‾‾‾:_|   the second piece reaches too far:
//	 /   :      :      :     :     leather, but not deep enough
//	───[  main  ]────[  main  ]─── far edge
//
// Leather is what the outline holds; flaws in it do not trouble the cutter.
func (c *checker) grips(l *laid, s *cutStrip) {
	far := s.rect.extent(l.strike.from, l.strike.out).Hi
	if far > plane.MaxCoordinate {
		return
	}
	for _, p := range s.pieces {
		if !p.drawn || !p.ripped() {
			continue
		}
		if !c.gripped(l, s, p.shape.extent(l.strike.from, l.strike.along), far) {
			return
		}
	}
}

// gripped verifies one stretch of a strip whose far edge lies so far out.
func (c *checker) gripped(l *laid, s *cutStrip, x plane.Span, far float64) bool {
	beyond := func(x plane.Span) rect {
		return l.strike.rect(x, plane.Span{Lo: far, Hi: far + c.job.Tools.Grips})
	}
	missing, err := geom.Difference(beyond(x).drawnIn(lengthTol).geometry(), l.leather.outline)
	if err != nil {
		c.fail(RuleGrips, s.where, "cannot be compared with the outline of the hide: %v", err)
		return false
	}
	for _, part := range polygonsOf(missing) {
		stretch := plane.Span{Lo: math.Inf(1), Hi: math.Inf(-1)}
		for _, p := range cornersOf(part) {
			at := dot(sub(p, l.strike.from), l.strike.along)
			stretch = plane.Span{Lo: min(stretch.Lo, at), Hi: max(stretch.Hi, at)}
		}
		there, err := geom.Intersection(beyond(stretch).geometry(), l.leather.outline)
		if err != nil || there.Area() > areaTol+lengthTol*stretch.Len() {
			c.fail(RuleGrips, s.where, "beyond it lies leather less than the %.6g mm that the strap cutter grips, from %.6g mm to %.6g along it",
				c.job.Tools.Grips, stretch.Lo, stretch.Hi)
			return false
		}
	}
	return true
}

// holds verifies that what is left of a block when a strip is ripped off it, or the scrap before one, is
// nothing, or as much as the strap cutter grips.
func (c *checker) holds(l *laid, s *cutStrip) {
	band := l.bandOf[s.N]
	if band == nil || l.plain(*band) && !band.Cut {
		return
	}
	far := band.FromMM + band.DepthMM
	for _, rip := range []float64{s.FromMM, s.FromMM + s.WidthMM} {
		if left := far - rip; rip > band.FromMM+lengthTol && left > lengthTol && left < c.job.Tools.Grips-lengthTol {
			c.fail(RuleGrips, s.where, "a rip at its edge leaves %.6g mm of its block, the strap cutter grips %.6g or more", left, c.job.Tools.Grips)
			return
		}
	}
}
