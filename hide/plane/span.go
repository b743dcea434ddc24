package plane

import (
	"cmp"
	"slices"
)

// Span is a stretch of a line, Lo ≤ Hi, in millimetres.
type Span struct{ Lo, Hi float64 }

// Len is the length of the span.
func (s Span) Len() float64 { return s.Hi - s.Lo }

// Padded is the span with both ends moved outward, or inward if by is below 0; it may
// end before it begins.
func (s Span) Padded(by float64) Span { return Span{s.Lo - by, s.Hi + by} }

// Merge sorts spans and joins those that touch or overlap. It reuses the
// slice it is given.
func Merge(spans []Span) []Span {
	slices.SortFunc(spans, func(a, b Span) int { return cmp.Compare(a.Lo, b.Lo) })
	out := spans[:0]
	for _, s := range spans {
		if n := len(out); n > 0 && s.Lo <= out[n-1].Hi {
			out[n-1].Hi = max(out[n-1].Hi, s.Hi)
			continue
		}
		out = append(out, s)
	}
	return out
}
