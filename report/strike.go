package report

import (
	"fmt"
	"math"
	"strings"

	"strapwise/hide/plane"
)

// strike writes the first two cuts, from which all the others are measured.
func (w *writer) strike() {
	if w.begun() {
		w.soFar()
	}
	fig := func(mm float64) []Run { return figure(w.rule, math.Abs(mm)) }
	u := " " + unitShort(w.rule)
	from := w.datum()
	edge, side := w.cuts.Strike.EdgeMM-from.at[1], ""
	if edge < 0 {
		side = ", on the near side"
	}
	switch {
	case w.begun():
	case w.tilted():
		w.add(Step{Do: join(words("strike the edge aslant, through two marks: "), w.aslant(from))})
	case math.Abs(edge) < sameMark && !from.straight:
		w.add(Step{Do: words("strike the edge through " + from.edge)})
	case math.Abs(edge) < sameMark:
		w.add(Step{Do: words("strike the edge along " + from.edge)})
	default:
		w.add(Step{Do: join(words("strike the edge "), fig(edge), words(u+" from "+from.edge+side))})
	}
	for _, line := range w.lines {
		at := w.tape(line.at)
		across, start := " square across the hide ", from.end
		if w.tilted() { // its tape lies along the struck edge
			across, start = " square to the struck edge, ", "its first mark"
			if line.there {
				start = "the first mark of the struck edge"
			}
		}
		do := words("before any rip, chalk " + line.name + across)
		switch {
		case line.cut && line.there:
			continue
		case line.there:
			do = words(line.name + " is chalked ")
		case w.begun():
			do = words("before the next rip, chalk " + line.name + across)
		case line.cut && w.tilted():
			do = words("square the end to the struck edge, ")
		case line.cut:
			do = words("square the end ")
		}
		switch {
		case math.Abs(at) < sameMark:
			do = join(do, words("at "+start))
		case at < 0:
			do = join(do, fig(at), words(u+" before "+start))
		default:
			do = join(do, fig(at), words(u+" from "+start))
		}
		if far, n := w.beyond(line); n != "" && line.cut {
			do = join(do, words("; end the cut "), fig(far), words(u+" from the struck edge, for what lies beyond is "+n))
		}
		w.add(Step{Do: do, Note: line.there})
	}
	w.struck = len(w.out)
}

// beyond is how far from the struck edge the bands end, and what goes back on the rack
// of the leather beyond that a line crosses; empty: nothing.
func (w *writer) beyond(line line) (far float64, name string) {
	for _, b := range w.bands {
		far = max(far, b.far())
	}
	for _, r := range w.remnants {
		if r.in(area{endless, plane.Span{Lo: far, Hi: endless.Hi}}) && r.bound.Min[0] < line.at && line.at < r.bound.Max[0] {
			return far, fmt.Sprintf("remnant %d", r.n)
		}
	}
	return far, ""
}

// squares says with the last line how strips are squared by it: where most of
// them are told the same, once for those.
func (w *writer) squares() {
	if !w.chalked() {
		return
	}
	told := map[string]int{}
	var usual []Run
	for _, s := range w.out {
		if text := Plain(s.Square); text != "" && !s.In && !strings.Contains(text, ",") {
			if told[text]++; told[text] > told[Plain(usual)] {
				usual = s.Square
			}
		}
	}
	do := words("; square each strip so far left or right of it as told, and cross-cut from that end")
	if few := 3; told[Plain(usual)] >= few && strings.HasSuffix(Plain(usual), "t") { // left or right, of one line
		for i := range w.out {
			w.out[i].Usual = !w.out[i].In && Plain(w.out[i].Square) == Plain(usual)
		}
		do = join(words("; square each strip and band "), usual, words(" of it, or so far left or right as told, and cross-cut from that end"))
	}
	w.out[w.struck-1].Do = join(w.out[w.struck-1].Do, do)
}
