package strip

import (
	"context"
	"maps"
	"math"

	"github.com/paulmach/orb"

	"strapwise/hide"
	"strapwise/hide/plane"
	"strapwise/nest"
)

// The struck edge of a hide may be tilted off the backbone, where flaws that lie
// in a slanting row leave more room for strips along them. A tilt is a rise over a
// run in whole marks, so that the edge can be struck through two marks. Tilted lays
// are laid in a frame of their own, as if the hide lay turned on the bench, and at
// last shifted by less than a mark either way, until the squared end of the struck
// edge lies on marks of the hide's frame, from which it is measured. So that this
// harms nothing, pieces keep a mark off all that they may not touch.
//
// Each tilt is laid in turn, as the hide lies level with the others as they lie best so
// far. The bound holds for all of them: of each hide it counts the tilt that sells the
// most (see bound.go).
type tilt struct{ rise, run int }

func (t tilt) level() bool { return t.rise == 0 }

// degrees are those of the struck edge off the backbone, anticlockwise.
func (t tilt) degrees() float64 {
	if t.level() {
		return 0
	}
	return math.Atan2(float64(t.rise), float64(t.run)) * 180 / math.Pi
}

// frame is that of a hide, turned.
func (t tilt) frame(h *hide.Hide) plane.Frame {
	f := h.Frame()
	if t.level() {
		return f
	}
	o := f.OutOf(orb.Point{})
	to := f.OutOf(orb.Point{float64(t.run), float64(t.rise)})
	return plane.NewFrame(o, orb.Point{to[0] - o[0], to[1] - o[1]})
}

// mostTilted is how many hides of a job tilts are looked at for; of more, all lie level.
const mostTilted = 4

// tilts are those that are looked at for a hide: half and all of what is allowed,
// either way. With orders that come first there are none, since their lays are not
// told apart by their worth alone.
func (p *problem) tilts(h *hide.Hide) []tilt {
	most := p.job.Tools.Tilt
	if p.begun != nil || p.hurried || most <= 0 {
		return nil
	}
	for _, kd := range p.kinds {
		if kd.leather == h.Leather() {
			most = min(most, p.useNamed(kd.use).Angle)
		}
	}
	box := h.Outline().In(h.Frame()).Bound()
	// The edge crosses a mark at each of so many parts of the run, so that some lie on
	// the leather.
	const part, parts = 0.6, 4
	step := parts * max(1, marks(p.job.Tools.Part, p.mark))
	run := floorMark(part*(box.Max[0]-box.Min[0]), p.mark) / step * step
	var out []tilt
	for _, share := range []float64{-1, -0.5, 0.5, 1} {
		rise := int(share*float64(run)*math.Tan(float64(most))/parts) * parts
		if rise != 0 {
			out = append(out, tilt{rise, run})
		}
	}
	return out
}

// struck gives the first cut of a hide that is squared and struck at those marks, and
// the ground as it then lies.
func (g *ground) struck(square, edge int) (*ground, nest.Strike) {
	mm := func(marks int) float64 { return float64(marks) * g.mark }
	s := nest.Strike{From: g.frame.OutOf(orb.Point{mm(square), mm(edge)}), EdgeMM: mm(edge), SquareMM: mm(square)}
	if g.tilt.level() {
		s.To = g.frame.OutOf(orb.Point{mm(g.last()), mm(edge)})
		return g, s
	}
	f := g.hide.Frame()
	at := f.Into(s.From)
	x, y := onMark(at[0], g.mark), onMark(at[1], g.mark)
	s = nest.Strike{
		From: f.OutOf(orb.Point{mm(x), mm(y)}), To: f.OutOf(orb.Point{mm(x + g.tilt.run), mm(y + g.tilt.rise)}),
		EdgeMM: mm(y), SquareMM: mm(x), AngleDeg: g.degrees(),
	}
	out := *g
	by := g.frame.Into(s.From)
	out.frame = g.frame.Shifted(orb.Point{by[0] - mm(square), by[1] - mm(edge)})
	return &out, s
}

// degrees are those of the strips off the backbone, anticlockwise.
func (g *ground) degrees() float64 {
	if g.part.lay != nil {
		return g.part.lay.Strike.AngleDeg
	}
	return g.tilt.degrees()
}

// struckAt is where a hide was squared and struck, in marks of the frame in which it is
// laid again: that of the hide or, where the edge is tilted, one in which the cross-cuts
// between blocks lie where they may.
func (p *problem) struckAt(l *nest.HideLay) (square, edge int) {
	square, edge = onMark(l.Strike.SquareMM, p.mark), onMark(l.Strike.EdgeMM, p.mark)
	if l.Strike.AngleDeg == 0 {
		return square, edge
	}
	last := 0.0
	for _, b := range l.Bands {
		for _, k := range b.Blocks {
			last = max(last, k.ToMM)
		}
	}
	for _, b := range l.Bands {
		for _, k := range b.Blocks {
			for _, at := range []float64{k.FromMM, k.ToMM} {
				if at > 0 && at < last {
					return -onMark(at, p.mark), edge
				}
			}
		}
	}
	return square, edge
}

// frameOf is the frame in which a hide is laid again that was struck so; nil: it was not.
func (p *problem) frameOf(h *hide.Hide, l *nest.HideLay) plane.Frame {
	if l == nil || l.Strike.AngleDeg == 0 {
		return h.Frame()
	}
	s := l.Strike
	square, edge := p.struckAt(l)
	return plane.NewFrame(s.From, orb.Point{s.To[0] - s.From[0], s.To[1] - s.From[1]}).
		Shifted(orb.Point{-float64(square) * p.mark, -float64(edge) * p.mark})
}

// turned are the tilts of hides that the plan before has laid so, and that are not
// begun: they stay as they lie.
func (b *begun) turned(job nest.Job) map[string]tilt {
	out := map[string]tilt{}
	for i := range b.plan.Hides {
		l := &b.plan.Hides[i]
		h := job.Hide(l.Hide)
		if h == nil || l.Strike.AngleDeg == 0 || len(l.Bands) == 0 || l.Bands[0].Cut {
			continue
		}
		by := h.Frame().Into(l.Strike.To)
		from := h.Frame().Into(l.Strike.From)
		out[l.Hide] = tilt{onMark(by[1]-from[1], job.Tools.Mark), onMark(by[0]-from[0], job.Tools.Mark)}
	}
	return out
}

// look makes the other tilts of hides known, level among them, if they are few.
func (p *problem) look() error {
	var grounds []*ground
	for _, g := range p.grounds {
		if len(g.lanes) > 0 && len(p.tilts(g.hide)) > 0 {
			grounds = append(grounds, g)
		}
	}
	if len(grounds) > mostTilted {
		return nil
	}
	p.others = map[*ground][]*ground{}
	for _, g := range grounds {
		for _, t := range append(p.tilts(g.hide), tilt{}) {
			if t == g.tilt {
				continue
			}
			other, err := newGround(p, g.hide, part{}, t)
			if err != nil {
				return err
			}
			p.others[g] = append(p.others[g], other)
		}
	}
	return nil
}

// tilted plans with each tilt in turn and returns the best plan, with the least of their
// bounds, each of which holds for all tilts.
func (p *problem) tilted(ctx context.Context, o Options) (nest.Plan, error) {
	each := o
	each.Steps = min(o.Steps, DefaultSteps)
	best, err := p.plan(ctx, each)
	if err != nil {
		return best, err
	}
	turned, steps := map[string]tilt{}, best.Result.Steps
	try := func(turned map[string]tilt, o Options) (better bool, err error) {
		q, err := newProblemOn(p.job, nil, turned)
		if err == nil {
			err = q.look()
		}
		if err != nil {
			return false, err
		}
		plan, err := q.plan(ctx, o)
		if err != nil {
			return false, err
		}
		steps += plan.Result.Steps
		bound := min(best.Result.Bound, plan.Result.Bound)
		if better = plan.Result.Value > best.Result.Value+proof(best.Result.Value); better {
			best = plan
		}
		best.Result.Bound = bound
		return better, nil
	}
	done := func() bool { return ctx.Err() != nil || concluded(ctx, best.Result).Proven }
	for _, g := range p.grounds {
		for _, other := range p.others[g] {
			if done() {
				break
			}
			next := maps.Clone(turned)
			next[g.hide.Name()] = other.tilt
			better, err := try(next, each)
			if err != nil {
				return best, err
			}
			if better {
				turned = next
			}
		}
	}
	if o.Steps > each.Steps && !done() {
		if _, err := try(turned, o); err != nil {
			return best, err
		}
	}
	best.Result.Steps = steps
	best.Result = concluded(ctx, best.Result)
	return best, nil
}
