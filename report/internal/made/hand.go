// Package made holds invented hides, jobs and plans for the tests of the
// report packages. The plans are laid by a patient hand, row by row, and are
// no example of a good lay.
package made

import (
	"fmt"

	"github.com/paulmach/orb"

	"strapwise/hide"
	"strapwise/hide/plane"
	"strapwise/nest"
)

// hand lays strips on one hide, outward from its struck edge.
type hand struct {
	job   nest.Job
	hide  *hide.Hide
	frame plane.Frame // of the struck edge
	out   nest.HideLay
	got   []nest.Piece
	next  map[string]int // order and part: pieces placed so far
	at    float64        // how far out the hide is ripped
	err   error
}

func newHand(j nest.Job, h *hide.Hide, edge, square, length float64) *hand {
	s := h.Frame().Shifted(orb.Point{square, edge})
	return &hand{job: j, hide: h, frame: s, next: map[string]int{}, out: nest.HideLay{
		Hide: h.Name(),
		Strike: nest.Strike{
			From: s.OutOf(orb.Point{0, 0}), To: s.OutOf(orb.Point{length, 0}),
			EdgeMM: edge, SquareMM: square,
		},
	}}
}

// find looks up an order and its part.
func (h *hand) find(order, part string) (nest.Order, nest.Part) {
	for _, o := range h.job.Orders {
		for _, p := range o.Parts {
			if o.ID == order && p.Name == part {
				return o, p
			}
		}
	}
	h.err = fmt.Errorf("found no part %s of order %s", part, order)
	return nest.Order{}, nest.Part{}
}

// runs are the stretches of a band that serve a use, right of the squared end.
func (h *hand) runs(use string, lo, hi float64) []plane.Span {
	l, err := h.hide.Serving(h.job.Uses[use], h.frame)
	if err != nil {
		h.err = err
		return nil
	}
	var out []plane.Span
	for _, r := range l.Runs(plane.Span{Lo: lo, Hi: hi}) {
		if r.Hi > 0 {
			out = append(out, plane.Span{Lo: max(r.Lo, 0), Hi: r.Hi})
		}
	}
	return out
}

// fill puts as many pieces of the parts, by turns, as go into the strip
// between from and to, and returns where the last one ends.
func (h *hand) fill(n int, lo, width, from, to float64, order string, parts ...string) float64 {
	end := from
	_, first := h.find(order, parts[0])
	for _, run := range h.runs(first.Use, lo, lo+width) {
		x := h.up(max(run.Lo, from))
		for i := 0; h.err == nil; i++ {
			o, p := h.find(order, parts[i%len(parts)])
			key := order + "/" + p.Name
			if x+p.Length > min(run.Hi, to) || h.next[key] >= o.Qty*p.Count {
				break
			}
			h.got = append(h.got, nest.Piece{
				Hide: h.hide.Name(), Order: o.ID, Set: o.FirstSet + h.next[key]/p.Count,
				Part: p.Name, Use: p.Use, Strip: n, FromMM: x, ToMM: x + p.Length,
				Outline: h.frame.Rect(plane.Span{Lo: x, Hi: x + p.Length}, plane.Span{Lo: lo, Hi: lo + p.Width}),
			})
			h.next[key]++
			x += p.Length
			end = x
		}
	}
	return end
}

// up is the next mark of the rule.
func (h *hand) up(x float64) float64 {
	n := int64(x / h.job.Tools.Mark)
	if float64(n)*h.job.Tools.Mark < x-1e-9 {
		n++
	}
	return float64(n) * h.job.Tools.Mark
}

// strip adds a strip's outline and returns its number.
func (h *hand) strip(x, y plane.Span) int {
	n := len(h.out.Strips) + 1
	h.out.Strips = append(h.out.Strips, nest.Strip{N: n, Outline: h.frame.Rect(x, y), WidthMM: y.Len(), FromMM: y.Lo})
	return n
}

// rows lays full strips, one outside the other, while they hold a piece.
func (h *hand) rows(count int, order string, parts ...string) {
	_, p := h.find(order, parts[0])
	for range count {
		n, before := len(h.out.Strips)+1, len(h.got)
		end := h.fill(n, h.at, p.Width, 0, 1e9, order, parts...)
		if len(h.got) == before {
			return
		}
		h.strip(plane.Span{Lo: 0, Hi: end}, plane.Span{Lo: h.at, Hi: h.at + p.Width})
		h.out.Bands = append(h.out.Bands, nest.Band{
			FromMM: h.at, DepthMM: p.Width,
			Blocks: []nest.Block{{FromMM: 0, ToMM: end, Strips: []int{n}}},
		})
		h.at += p.Width
	}
}

// skip leaves a waste strip.
func (h *hand) skip(width float64) { h.at += width }

// split lays a band of the first part's width, cross-cut at x: its left block
// is one strip of the first part, its right block as many of the second as go
// side by side.
func (h *hand) split(x float64, order, left, right string) {
	_, a := h.find(order, left)
	_, b := h.find(order, right)
	x = h.up(x)
	n := h.strip(plane.Span{Lo: 0, Hi: x}, plane.Span{Lo: h.at, Hi: h.at + a.Width})
	h.fill(n, h.at, a.Width, 0, x, order, left)
	far := x
	var side []int
	for y := h.at; y+b.Width <= h.at+a.Width+1e-9; y += b.Width {
		k := len(h.out.Strips) + 1
		end := h.fill(k, y, b.Width, x, 1e9, order, right)
		far = max(far, end)
		side = append(side, h.strip(plane.Span{Lo: x, Hi: end}, plane.Span{Lo: y, Hi: y + b.Width}))
	}
	h.out.Bands = append(h.out.Bands, nest.Band{
		FromMM: h.at, DepthMM: a.Width,
		Blocks: []nest.Block{{FromMM: 0, ToMM: x, Strips: []int{n}}, {FromMM: x, ToMM: far, Strips: side}},
	})
	h.at += a.Width
}

// remnant adds an outline, given in the frame of the struck edge.
func (h *hand) remnant(pts ...orb.Point) {
	for i, p := range pts {
		pts[i] = h.frame.OutOf(p)
	}
	h.out.Remnants = append(h.out.Remnants, pts)
}

// plan is what has been laid, with its sets counted.
func (h *hand) plan(bound float64, proven bool) (nest.Job, nest.Plan, error) {
	p := nest.Plan{Format: nest.Format, Hides: []nest.HideLay{h.out}, Pieces: h.got}
	value := 0.0
	for _, o := range h.job.Orders {
		complete := 0
		for set := o.FirstSet; set < o.FirstSet+o.Qty; set++ {
			short := ""
			for _, part := range o.Parts {
				n := 0
				for _, g := range h.got {
					if g.Order == o.ID && g.Set == set && g.Part == part.Name {
						n++
					}
				}
				if n < part.Count && short == "" {
					short = part.Name
				}
			}
			if short == "" {
				complete++
			} else {
				p.Unplaced = append(p.Unplaced, nest.Unplaced{Order: o.ID, Set: set, Part: short, Why: "longer than any firm run left"})
			}
		}
		value += float64(complete) * o.Worth
		p.Sets = append(p.Sets, nest.SetCount{Order: o.ID, Asked: o.Qty, Complete: complete})
	}
	p.Result = nest.Result{Value: value, Bound: max(bound, value), Proven: proven || bound <= value, Stop: nest.StopTime, Seed: 1}
	if p.Result.Proven {
		p.Result.Bound, p.Result.Stop = value, nest.StopProven
	}
	return h.job, p, h.err
}
