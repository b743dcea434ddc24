package report

import (
	"fmt"

	"github.com/paulmach/orb"

	"strapwise/hide/measure"
	"strapwise/hide/plane"
	"strapwise/nest"
)

// Stretch gives the outline, on the hide, of a stretch of a band or of a block as
// its sheet has it measured, in millimetres from the squared end or, in a block,
// from its left end. The band is counted from 1; block is an index, or -1. The
// outline keeps a hair off the edges of the band, so as not to touch the next.
func Stretch(j nest.Job, p nest.Plan, hideName string, rule measure.Rule, bandNumber, blockIndex int, lo, hi float64) ([]orb.Point, error) {
	l, err := readLay(j, p, hideName, rule)
	if err != nil {
		return nil, err
	}
	if bandNumber < 1 || bandNumber > len(l.cuts.Bands) || blockIndex >= len(l.cuts.Bands[bandNumber-1].Blocks) {
		return nil, fmt.Errorf("hide %q: found no band %d", hideName, bandNumber)
	}
	b := l.bands[bandNumber-1]
	w := &writer{lay: l}
	from := 0.0
	switch {
	case blockIndex >= 0:
		from = l.cuts.Bands[bandNumber-1].Blocks[blockIndex].FromMM
	case b.plain:
		from = w.cutFrom(b.blocks[0].strips[0].N)
	case len(b.blocks) > 0:
		from = w.origin(b)
	}
	const hair = 0.1 // mm
	return l.frame.Rect(plane.Span{Lo: from + lo, Hi: from + hi}, plane.Span{Lo: b.from + hair, Hi: b.far() - hair}), nil
}
