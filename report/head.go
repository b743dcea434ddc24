package report

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"strapwise/nest"
	"strapwise/report/internal/shape"
)

// head says what lies on the bench, what the plan gives and what is known of
// better ones.
func (s *sheet) head(k *ink, page, of int, scale float64) error {
	left, right, top := margin, s.width-margin, margin
	aside := s.aside()
	if of > 1 {
		aside = fmt.Sprintf("plan %s · sheet %d of %d", s.mark, page, of) + strings.TrimPrefix(aside, "plan "+s.mark)
	}
	w := right - left
	asideText := Text{At: orb.Point{right, top + 5.2}, Anchor: End, Size: 3.6, Runs: words(clip(aside, 3.6, w/3, false))}
	k.text(asideText)
	name := Text{At: orb.Point{left, top + 5.2}, Size: 6.4, Bold: true, Runs: words(clip(s.hide.Name(), 6.4, w/3, true))}
	k.text(name)
	x := name.Bound().Max[0] + 4
	k.text(Text{At: orb.Point{x, top + 5.2}, Size: 3.6, Runs: words(clip(s.about(), 3.6, asideText.Bound().Min[0]-3-x, false))})
	line, err := s.totals()
	if err != nil {
		return err
	}
	if scale == 1 {
		line += " · full size"
	} else {
		line += fmt.Sprintf(" · drawn 1 : %.1f", 1/scale)
	}
	k.line(cut, nil, orb.Point{left, top + 7.6}, orb.Point{right, top + 7.6})
	t := Text{At: orb.Point{left, top + 11.4}, Size: 3.2, Runs: words(clip(line, 3.2, w, false))}
	k.text(t)
	size := 2.8
	m := Text{At: orb.Point{right, top + 15.2}, Anchor: End, Size: size, Runs: words(s.marks())}
	k.text(m)
	room := m.Bound().Min[0] - left - 4
	proof := Text{At: orb.Point{left, top + 15.2}, Size: size, Runs: words(s.proof())}
	if proof.Width() > room {
		proof.Runs = words(clip(cmp.Or(s.options.Claim, shortProof(s.plan.Result)), size, room, false))
	}
	k.text(proof)
	return nil
}

func (s *sheet) title() string { return "cutting sheet: " + s.hide.Name() + ", plan " + s.mark }

// about is what lies on the bench.
func (s *sheet) about() string {
	return fmt.Sprintf("%s, %s, %s", s.hide.Leather(), s.hide.Form(), s.rule.BothAreas(s.hide.Area()))
}

// aside is whose plan it is, and of when.
func (s *sheet) aside() string {
	aside := "plan " + s.mark
	for _, more := range []string{s.options.Workshop, s.options.Date} {
		if more != "" {
			aside += " · " + more
		}
	}
	return aside
}

// totals are what the plan gives, in one line.
func (s *sheet) totals() (string, error) {
	used, err := s.used()
	if err != nil {
		return "", err
	}
	totals := []string{s.sets(), s.pieceCount(), count(len(s.cuts.Strips), "strip"), s.work(), fmt.Sprintf("%.0f %% of the leather used", 100*used)}
	if s.changed() {
		totals = append(totals, "changed: in red, with a star")
	}
	return strings.Join(totals, " · "), nil
}

// proof is what is known of better lays.
func (s *sheet) proof() string { return cmp.Or(s.options.Claim, Proof(s.plan.Result)) }

// marks says how the marks of the list count.
func (s *sheet) marks() string {
	marks := "All marks in " + unit(s.rule) + "; cross-cuts count from the squared end"
	if !s.lines[0].cut {
		marks += " of each strip"
	}
	if slices.ContainsFunc(s.bands, band.lettered) {
		marks += ", in a block from its left end"
	}
	return marks + "."
}

// pieceCount says how many pieces the hide gives, and how many of them are cut.
func (s *sheet) pieceCount() string {
	if n := s.cut(); n > 0 {
		return fmt.Sprintf("%s, %d of them cut", count(s.count(), "piece"), n)
	}
	return count(s.count(), "piece")
}

// sets says how many sets the plan completes.
func (s *sheet) sets() string {
	asked, complete := 0, 0
	for _, c := range s.plan.Sets {
		asked, complete = asked+c.Asked, complete+c.Complete
	}
	where := ""
	if n := len(s.plan.Hides); n > 1 {
		where = fmt.Sprintf(" from %d hides", n)
	}
	return fmt.Sprintf("%d of %s complete%s", complete, count(asked, "set"), where)
}

// work says how many cuts the hide takes, and how often the cutter is set.
func (s *sheet) work() string {
	p := nest.Plan{Hides: []nest.HideLay{s.cuts}}
	for _, piece := range s.plan.Pieces {
		if piece.Hide == s.hide.Name() {
			p.Pieces = append(p.Pieces, piece)
		}
	}
	settings := 0
	for _, step := range s.steps {
		if len(step.Set) > 0 && !step.Same && !step.Hand {
			settings++
		}
	}
	return count(nest.Cuts(p), "cut") + ", " + count(settings, "setting") + " of the cutter"
}

// used is the part of the hide that becomes pieces.
func (s *sheet) used() (float64, error) {
	sum := 0.0
	for _, p := range s.plan.Pieces {
		if p.Hide != s.hide.Name() {
			continue
		}
		g, err := shape.Of(p.Outline)
		if err != nil {
			return 0, fmt.Errorf("hide %q: %s: %w", s.hide.Name(), label(p), err)
		}
		sum += g.Area()
	}
	return sum / s.hide.Area(), nil
}

// cautions are the least that belongs beside a blade (common practice; the
// maker's own judgement comes first).
const cautions = "Cut away from the hand; keep fingers off an exposed gauge. Nothing that bears load from belly or across the grain. Check both faces before each cut."

func (s *sheet) foot(k *ink, page, of int) {
	left, right, base := margin, s.width-margin, s.height-margin
	k.line(fine, nil, orb.Point{left, base - 4.4}, orb.Point{right, base - 4.4})
	aside := ""
	switch {
	case page < of:
		aside = "THE LIST GOES ON OVERLEAF" + s.larger()
	case of == 1 && s.options.FullSize:
		aside = "print at 100 %; check against the ruler under the hide"
	}
	t := Text{At: orb.Point{right, base - 0.8}, Anchor: End, Size: 2.6, Bold: page < of, Runs: words(aside)}
	if aside != "" {
		k.text(t)
	}
	k.text(Text{At: orb.Point{left, base - 0.8}, Size: 2.6, Runs: words(clip(cautions, 2.6, t.Bound().Min[0]-left-4, false))})
}

// larger names the paper that would hold the sheet on one page.
func (s *sheet) larger() string {
	if s.options.Paper == A3 {
		return ""
	}
	big := *s
	big.width, big.height = A3.Size()
	if _, fits := big.arrange(big.room(), 1); fits {
		return "; A3 HOLDS IT ON ONE SHEET"
	}
	return ""
}
