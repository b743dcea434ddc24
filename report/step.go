package report

import (
	"strings"
)

// Step is one thing to do at the bench and to tick off.
type Step struct {
	Name   string // of what it makes: "5, 6" bands, "7a" a block whose strips it rips; empty: it is about the hide
	In     bool   // within a block
	Again  bool   // the step before it has the same name
	Set    []Run  // what the cutter is set to, a bare figure; empty: nothing is ripped
	SetMM  float64
	FarMM  float64 // from the struck edge to where a rip of the hide ends; 0: it is in a block
	Same   bool    // the cutter stands there already
	Hand   bool    // wider or narrower than the cutter takes: by rule and knife
	Do     []Run
	Square []Run  // where what it makes is squared, left or right of the chalk line; empty: it has a square end, or needs none
	Usual  bool   // that is told with the line, for all that say no other
	Rest   string // what of its block it leaves that gives nothing more: "scrap", "remnant 3"; empty: nothing
	Start  string // what goes back on the rack of what lies before its square end: "remnant 3"; empty: nothing
	Cuts   []Cut  // marks to cut at, in order; may be empty
	With   bool   // belongs to the step before it: the two are not parted
	Note   bool   // to be known, not to be done
	New    bool   // otherwise than in the plan before
}

// Cut is one mark of a cross-cut and what comes off there. The mark is counted
// from the squared end, in a band that is not squared from the line ("4 left").
type Cut struct {
	At  []Run   // "rest": what the cut before leaves, or "all" of a block
	MM  float64 // the mark; left of a line below 0; NaN where there is none
	Off string  // "A12·3 main", "scrap", "block 7a"; a star at its end: not so in the plan before
	New bool
}

// String is the step in plain letters.
func (s Step) String() string {
	var b strings.Builder
	if s.Name != "" {
		b.WriteString(s.Name + ": ")
	}
	switch {
	case len(s.Set) == 0:
	case s.Hand:
		b.WriteString("by rule and knife at " + Plain(s.Set) + ", ")
	case s.Same:
		b.WriteString("leave the cutter at " + Plain(s.Set) + ", ")
	default:
		b.WriteString("set the cutter to " + Plain(s.Set) + ", ")
	}
	b.WriteString(Plain(s.whole()))
	for i, c := range s.Cuts {
		b.WriteString([]string{" ", " | "}[min(i, 1)] + Plain(c.At) + " " + c.Off)
	}
	return b.String()
}

// ticked reports whether there is something to do and to tick off, apart from the
// marks.
func (s Step) ticked() bool { return !s.Note && (!s.In || len(s.Set) > 0) }

// told is all there is to do but for the cuts.
func (s Step) told() []Run {
	if s.Hand {
		return join(s.whole(), words(", by rule and knife"))
	}
	return s.whole()
}

// whole is what to do, where to square what it gives, and what is left.
func (s Step) whole() []Run {
	out := s.Do
	if len(s.Square) > 0 && !s.Usual {
		out = join(out, words(", square "), s.Square)
	}
	if s.Start != "" {
		out = join(out, words("; at the left: "+s.Start))
	}
	if s.Rest != "" {
		out = join(out, words("; the rest is "+s.Rest))
	}
	return out
}
