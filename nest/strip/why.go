package strip

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"strapwise/hide"
	"strapwise/hide/measure"
	"strapwise/nest"
)

// why says what keeps sets of a row out of the lay: the part in the way, and
// the reason, in words for the maker. Where nothing but other sets is in the
// way, the part is the one that the bound's prices make the dearest.
func (p *problem) why(r *row, price []float64) (part, why string) {
	if r.bar != "" {
		return r.part, r.bar
	}
	for _, pt := range r.order.Parts {
		k := p.kindOf(pt)
		longest, fits := 0, false
		for _, g := range p.everyWay() {
			if fits = g.fits(k); fits {
				break
			}
			longest = max(longest, g.longest(k))
		}
		switch {
		case fits:
		case longest == 0:
			return pt.Name, fmt.Sprintf("no stretch of %s anywhere is %s wide and fit for %s", pt.Leather, p.told(pt.Width), pt.Use) + p.helps(k)
		default:
			return pt.Name, fmt.Sprintf("longer than any run of %s fit for %s: %s asked, %s is the longest",
				pt.Leather, pt.Use, p.told(pt.Length), p.told(float64(longest)*p.mark)) + p.helps(k)
		}
	}
	if least := p.leastEffort(r); least >= r.order.Worth && least > 0 {
		return r.order.Parts[0].Name, fmt.Sprintf("not worth its cuts: they cost at least %.2f, a set brings %.2f", least, r.order.Worth)
	}
	scarce := slices.MaxFunc(r.order.Parts, func(a, b nest.Part) int {
		return cmp.Or(
			cmp.Compare(price[p.kindOf(a)], price[p.kindOf(b)]),
			cmp.Compare(a.Length*a.Width, b.Length*b.Width),
		)
	})
	return scarce.Name, "its leather went to sets worth more or due earlier; one more set takes " + p.takes(r)
}

// takes says how much leather of each kind a set is: the least that must be
// added for one more, if nothing of it were wasted.
func (p *problem) takes(r *row) string {
	area := map[string]float64{}
	for _, n := range r.needs {
		area[p.kinds[n.kind].leather] += p.kinds[n.kind].area * float64(n.count)
	}
	var parts []string
	for _, l := range p.leathers() {
		if a := area[l]; a > 0 {
			parts = append(parts, fmt.Sprintf("%s of %s", p.rule().BothAreas(a), l))
		}
	}
	return strings.Join(parts, ", ")
}

func (p *problem) rule() measure.Rule { return measure.Rule{System: p.job.Tools.System, Mark: p.mark} }

// told is a length in the maker's words.
func (p *problem) told(mm float64) string { return p.rule().Both(mm) }

// helps names a hide where a piece of the kind would find a place, if it were not for what
// the strap cutter has to grip, for its thickness, or for flaws of one kind; empty, if there is none.
func (p *problem) helps(k int) string {
	kd := p.kinds[k]
	use := p.useNamed(kd.use)
	if h := p.room(k, use); h != nil && p.grips > 0 && !kd.knife {
		return fmt.Sprintf("; %s has room for it, but not for the %s that the strap cutter grips beside it", h.Name(), p.told(p.job.Tools.Grips))
	}
	ofAny := use
	ofAny.Substance = nil
	if h := p.room(k, ofAny); h != nil && use.Substance != nil {
		return fmt.Sprintf("; %s has room for it, but is %s thick where %s asks for %s", h.Name(), thick(h, use), kd.use, between(use.Substance.From, use.Substance.To))
	}
	for _, flaw := range p.flawKinds(kd.leather) {
		if slices.Contains(use.Flaws, flaw) {
			continue
		}
		lenient := use
		lenient.Flaws = append(slices.Clone(use.Flaws), flaw)
		if h := p.room(k, lenient); h != nil {
			return fmt.Sprintf("; %s has room for it, if %s may contain a %s", h.Name(), kd.use, flaw)
		}
	}
	return ""
}

// thick tells the thickness of a hide where the use refuses it.
func thick(h *hide.Hide, u hide.Use) string {
	lo, hi := math.Inf(1), 0.0
	for _, r := range h.Thickness() {
		if u.RefusesThickness(r.MM) {
			lo, hi = min(lo, r.MM), max(hi, r.MM)
		}
	}
	return between(lo, hi)
}

// between tells a range of thickness, which inches are too coarse for.
func between(lo, hi float64) string {
	if lo == hi {
		return fmt.Sprintf("%.4g mm", lo)
	}
	return fmt.Sprintf("%.4g to %.4g mm", lo, hi)
}

// room is a hide whose leather that serves a use has room for a piece of the kind,
// whatever the cutter grips; nil, if there is none.
func (p *problem) room(k int, u hide.Use) *hide.Hide {
	kd := p.kinds[k]
	for _, g := range p.grounds {
		if g.hide.Leather() != kd.leather {
			continue
		}
		leather, err := g.hide.Serving(u, g.frame)
		if err != nil {
			return nil // a hint the less
		}
		for y := g.y0; y+kd.width <= g.y1; y++ {
			for _, s := range g.clip(leather.Runs(spanOf(y, kd.width, p.mark))) {
				if floorMark(s.Hi, p.mark)-ceilMark(s.Lo, p.mark) >= kd.length {
					return g.hide
				}
			}
		}
	}
	return nil
}

// flawKinds are the kinds of flaw on the hides of a leather, sorted.
func (p *problem) flawKinds(leather string) []string {
	var out []string
	for _, g := range p.grounds {
		if g.hide.Leather() != leather {
			continue
		}
		for _, f := range g.hide.Flaws() {
			out = append(out, f.Kind)
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// leastEffort is what the cuts of a set cost at the least: a cross-cut a piece.
func (p *problem) leastEffort(r *row) float64 {
	pieces := 0
	for _, n := range r.needs {
		pieces += n.count
	}
	return float64(pieces) * p.job.Tools.Effort
}

// fits reports whether there is a run for pieces of a kind on the hide when it is empty.
func (g *ground) fits(kind int) bool {
	for i := range g.lanes {
		l := &g.lanes[i]
		for j := range l.classes {
			c := &l.classes[j]
			length, asked := c.lengths[kind]
			for y := g.y0; asked && y+l.width <= g.y1; y++ {
				if slices.ContainsFunc(g.at(l, c, y), func(r run) bool { return r.hi-r.lo >= length }) {
					return true
				}
			}
		}
	}
	return false
}

// longest is the longest run for pieces of a kind on the hide when it is empty,
// looked for at every mark, or 0 if no stretch serves.
func (g *ground) longest(kind int) int {
	best := 0
	for i := range g.lanes {
		l := &g.lanes[i]
		for j := range l.classes {
			c := &l.classes[j]
			if !slices.Contains(c.kinds, kind) {
				continue
			}
			for y := g.y0; y+l.width <= g.y1; y++ {
				for _, s := range g.spans(l, c, y) {
					best = max(best, floorMark(s.Hi, g.mark)-ceilMark(s.Lo, g.mark))
				}
			}
		}
	}
	return best
}
