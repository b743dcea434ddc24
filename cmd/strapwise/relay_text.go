package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"strapwise/hide/measure"
	"strapwise/hide/plane"
	"strapwise/hide/source"
	"strapwise/nest"
	"strapwise/report"
	"strapwise/report/yield"
)

// relayResult is what relay tells, and prints as JSON.
type relayResult struct {
	Files      []string          `json:"files"`
	Found      []string          `json:"found"`
	Known      []string          `json:"known"`      // found, and in the hide file already
	Spoilt     []string          `json:"spoilt"`     // cut, and useless: by this relay
	RippedToo  []offToo          `json:"ripped_too"` // what follows from what was told, unsaid
	CutToo     []string          `json:"cut_too"`    // pieces likewise
	OnFlaws    []onFlaw          `json:"on_flaws"`
	Before     float64           `json:"before"` // worth of the plan before
	Lost       []lost            `json:"lost"`
	Gained     []nest.Set        `json:"gained"`
	Marks      int               `json:"marks"` // that were still to be cut to
	Kept       int               `json:"kept"`  // of them
	Stay       float64           `json:"stay"`  // worth of the lay where all stays that can
	Moved      []nest.Move       `json:"moved"` // pieces laid otherwise than before
	Renamed    []nest.Renamed    `json:"renamed"`
	Renumbered []nest.Renumbered `json:"renumbered"` // remnants
	Spare      []string          `json:"spare"`      // cut, and of no set now
	Added      []string          `json:"added"`      // hides that the plan before did not cut
	Beside     []beside          `json:"beside"`
	yield.Report
	proof string
}

// onFlaw is a piece that was cut before a flaw in it was known.
type onFlaw struct {
	Piece  string `json:"piece"`
	Judged bool   `json:"judged"` // to be sound; otherwise it counts as spoilt
}

// beside is leather on the near side of the struck edge of a hide that is begun,
// where nothing is laid.
type beside struct {
	Hide    string  `json:"hide"`
	AreaMM2 float64 `json:"area_mm2"`
}

// lost is a set that is not made any more.
type lost struct {
	nest.Set
	Worth float64 `json:"worth"`
	Why   string  `json:"why"`
	Least string  `json:"least"` // that would make it good
}

// tell says what has changed.
func (b *bench) tell(plan nest.Plan) relayResult {
	c := nest.Compare(b.job, b.plan, b.begun.Plan, plan)
	r := relayResult{
		Found: append([]string{}, b.told...), Known: append([]string{}, b.known...),
		RippedToo: append([]offToo{}, b.rippedToo...), CutToo: append([]string{}, b.cutToo...), Spoilt: []string{}, OnFlaws: []onFlaw{}, Before: b.plan.Result.Value, Lost: []lost{},
		Gained: append([]nest.Set{}, c.Gained...), Marks: c.Marks, Kept: c.Kept, Moved: append([]nest.Move{}, c.Moved...), Stay: plan.Relaid.Stay,
		Renamed: append([]nest.Renamed{}, c.Named...), Renumbered: append([]nest.Renumbered{}, c.Rests...), Spare: []string{}, Added: []string{},
		Report: yield.Of(b.job, plan), proof: report.Proof(plan.Result),
	}
	for _, p := range b.met {
		r.OnFlaws = append(r.OnFlaws, onFlaw{p.Name(), p.Judged})
	}
	for _, p := range b.begun.Plan.Spoilt[len(b.plan.Spoilt):] {
		r.Spoilt = append(r.Spoilt, p.Name())
	}
	for _, p := range plan.Spare {
		r.Spare = append(r.Spare, p.Name())
	}
	for _, l := range plan.Hides {
		if b.plan.Lay(l.Hide) == nil {
			r.Added = append(r.Added, l.Hide)
		}
	}
	for _, s := range c.Lost {
		why := ""
		for _, u := range plan.Unplaced {
			if u.Order == s.Order && u.Set == s.Set {
				why = fmt.Sprintf("%s, %s", u.Part, u.Why)
			}
		}
		worth, least := b.least(plan, s)
		r.Lost = append(r.Lost, lost{s, worth, why, least})
	}
	r.Beside = b.beside(plan)
	return r
}

// beside finds the remnants on the near side of struck edges.
func (b *bench) beside(plan nest.Plan) []beside {
	out := []beside{}
	for _, l := range plan.Hides {
		if len(l.Bands) == 0 || !l.Bands[0].Cut {
			continue
		}
		area, from, to := 0.0, l.Strike.From, l.Strike.To
		struck := plane.NewFrame(from, orb.Point{to[0] - from[0], to[1] - from[1]})
		for _, r := range l.Remnants {
			ring, err := plane.NewRing(r)
			if err == nil && ring.In(struck).Bound().Center()[1] < 0 {
				area += ring.Area()
			}
		}
		if area > 0 {
			out = append(out, beside{l.Hide, area})
		}
	}
	return out
}

// least is the worth of a set, and the least leather that would make it good:
// what it takes less what is cut of it.
func (b *bench) least(plan nest.Plan, s nest.Set) (worth float64, least string) {
	for _, o := range b.job.Orders {
		if o.ID != s.Order || s.Set < o.FirstSet || s.Set >= o.FirstSet+o.Qty {
			continue
		}
		var parts []string
		for _, part := range o.Parts {
			n := part.Count
			for _, p := range plan.Spare {
				if p.Order == s.Order && p.Set == s.Set && p.Part == part.Name {
					n--
				}
			}
			if n > 0 {
				parts = append(parts, fmt.Sprintf("%s of %s, %s × %s, fit for %s", source.Count(n, part.Name), part.Leather,
					b.shop.Rule.Length(b.shop.Rule.Up(part.Width)), b.shop.Rule.Length(b.shop.Rule.Up(part.Length)), part.Use))
			}
		}
		return o.Worth, strings.Join(parts, "; ")
	}
	return 0, ""
}

// text is what relay tells a person.
func (r relayResult) text(rule measure.Rule) string {
	var out strings.Builder
	line := func(format string, args ...any) { fmt.Fprintln(&out, message(fmt.Sprintf(format, args...))) }
	for _, f := range r.Found {
		line("found: %s; it stands in the hide's file now", f)
	}
	for _, f := range r.Known {
		line("found: %s; it stood in the hide's file already, and is not written twice", f)
	}
	for _, o := range r.RippedToo {
		line("counted as ripped off, since that comes before what you told: %s of %s", o.names(), o.Hide)
	}
	if len(r.CutToo) > 0 {
		line("counted as cut, since that comes before what you told: %s", strings.Join(r.CutToo, ", "))
	}
	for _, p := range r.OnFlaws {
		if p.Judged {
			line("%s lies on a flaw and is kept as you judged it", p.Piece)
		} else {
			line("%s was cut, and lies on a flaw: it counts as spoilt; if your eye finds it sound, relay again with --keep %q", p.Piece, p.Piece)
		}
	}
	if told := slices.DeleteFunc(slices.Clone(r.Spoilt), func(name string) bool {
		return slices.ContainsFunc(r.OnFlaws, func(p onFlaw) bool { return p.Piece == name })
	}); len(told) > 0 {
		line("spoilt: %s", strings.Join(told, ", "))
	}
	switch d := r.Worth - r.Before; {
	case d < -cent:
		line("worth %.2f, before %.2f: %.2f less", r.Worth, r.Before, -d)
	case d > cent:
		line("worth %.2f, before %.2f: %.2f more", r.Worth, r.Before, d)
	default:
		line("worth %.2f, as before", r.Worth)
	}
	line("%s", r.proof)
	if len(r.Added) > 0 {
		line("laid on %s as well, which the plan before did not cut: --hide says on which hides to lay", strings.Join(r.Added, " and "))
	}
	for _, s := range r.Lost {
		line("lost: %s·%d, worth %.2f: %s", s.Order, s.Set.Set, s.Worth, s.Why)
		if s.Least != "" {
			line("  the least that would make it good: %s", s.Least)
		}
	}
	if len(r.Lost) > 0 {
		for _, s := range r.Beside {
			line("%s has %s on the near side of its struck edge, where relay lays nothing: once all is cut and put away, strapwise lay can cut it as a hide of its own", s.Hide, rule.BothAreas(s.AreaMM2))
		}
	}
	for _, s := range r.Gained {
		line("gained: %s·%d", s.Order, s.Set)
	}
	for _, n := range r.Renamed {
		line("write on what was cut as %s: %s", n.Was, n.Now)
	}
	for _, n := range r.Renumbered {
		line("remnant %d of %s is its remnant %d now", n.Was, n.Hide, n.Now)
	}
	if len(r.Spare) > 0 {
		line("cut, and of no set now: %s", strings.Join(r.Spare, ", "))
	}
	if r.Marks > 0 {
		line("%d of %d marks stay (%d %%)", r.Kept, r.Marks, 100*r.Kept/r.Marks)
	}
	if len(r.Moved) > 0 {
		line("%s or named otherwise than before, in red on the sheets and with a star", laid(len(r.Moved)))
	}
	for i, m := range r.Moved {
		if i == mostMoves && len(r.Moved) > i+1 {
			line("  and %d more", len(r.Moved)-i)
			break
		}
		switch m.From {
		case "":
			line("  %s: %s, new", m.Piece, m.To)
		case m.To:
			line("  %s: %s, at another place", m.Piece, m.To)
		default:
			line("  %s: %s, before %s", m.Piece, m.To, m.From)
		}
	}
	if gain := r.Worth - r.Stay; gain > cent && r.Kept < r.Marks {
		line("with --stay all that can would stay where it is marked, for %.2f less", gain)
	}
	fmt.Fprintf(&out, "\nplan %s\n", r.Plan)
	return out.String()
}

// cent is the least difference of worth that is told: sums of floats differ by less.
const cent = 0.005

// mostMoves is of how many pieces a person is told one by one where they lie now.
const mostMoves = 12

func laid(n int) string {
	if n == 1 {
		return "1 piece is laid"
	}
	return fmt.Sprintf("%d pieces are laid", n)
}
