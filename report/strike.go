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
	} else {
		w.add(Step{Do: w.struckEdge()})
	}
	for _, line := range w.lines {
		if !line.cut || !line.there {
			w.add(Step{Do: w.lineAt(line), Note: line.there})
			continue
		}
		if from, to := w.cuts.SquaredMM, w.cuts.FarMM(); from > 0 && to > from+sameMark {
			w.add(Step{Do: join(words("before the next rip, carry the squared end on from "), figure(w.rule, from), words(" to "), figure(w.rule, to),
				words(" "+unitShort(w.rule)+" from where the struck edge was"), w.ends(line, nil))})
		}
	}
	w.struck = len(w.out)
}

// struckEdge tells the struck edge, and what comes off there.
func (w *writer) struckEdge() []Run {
	high, u := w.cuts.Strike.EdgeMM, " "+unitShort(w.rule)
	edge := high - w.datum.at
	a, b, ok := w.footing()
	along, from := "along ", w.datum.edge
	if w.datum.ragged {
		along, from = "through ", strings.Replace(from, "lower edge", "lowest point", 1)
	}
	var do []Run
	switch through := w.cuts.Strike.Through; {
	case w.tilted():
		if !ok || w.onLeather(through[0]) && w.onLeather(through[1]) { // these are on the line to the hair
			a, b = w.hide.Frame().Into(through[0]), w.hide.Frame().Into(through[1])
		}
		do = join(words("strike the edge aslant, through two marks: "), w.twoMarks(a, b))
	case w.datum.ragged && ok:
		do = join(words("strike the edge through two marks: "), w.twoMarks(a, b))
	case math.Abs(edge) < sameMark:
		do = words("strike the edge " + along + from)
	default:
		do = join(words("strike the edge "), figure(w.rule, math.Abs(edge)), words(u+" from "+from))
		if edge < 0 {
			do = join(do, words(", on the near side"))
		}
	}
	if off := w.keeps(area{endless, plane.Span{Lo: endless.Lo, Hi: 0}}); off != "" {
		do = join(do, words("; what comes off is "+off))
	}
	return do
}

// lineAt tells where the end is squared, or a line is chalked.
func (w *writer) lineAt(line line) []Run {
	at, u := w.tape(line.at), " "+unitShort(w.rule)
	across, start := " square across the hide ", w.datum.then.name
	if w.tilted() { // its tape lies along the struck edge
		across, start = " square to the struck edge, ", "its first mark"
		if line.there {
			start = "the first mark of the struck edge"
		}
	}
	do := words("before any rip, chalk " + line.name + across)
	switch {
	case line.there:
		do = words(line.name + " is chalked ")
	case w.begun(): // what those that are there were measured from may be off
		return join(words("before the next rip, chalk "+line.name+across), w.onWhatIsLeft(line))
	case line.cut && w.tilted():
		do = words("square the end to the struck edge, ")
	case line.cut:
		do = words("square the end ")
	}
	switch {
	case math.Abs(at) < sameMark:
		do = join(do, words("at "+start))
	case at < 0:
		do = join(do, figure(w.rule, -at), words(u+" before "+start))
	default:
		do = join(do, figure(w.rule, at), words(u+" from "+start))
	}
	if line.cut {
		do = join(do, w.ends(line, join(words("; cut "), figure(w.rule, w.cuts.FarMM()), words(" "+unitShort(w.rule)+" out"))))
	}
	return do
}

// onWhatIsLeft tells where a line lies on a hide that is begun: from one that shows there,
// or from the left end of what is left.
func (w *writer) onWhatIsLeft(line line) []Run {
	along := plane.Span{Lo: math.Inf(1), Hi: math.Inf(-1)}
	for _, r := range w.struckOff() {
		b := r.In(w.frame).Bound()
		along = plane.Span{Lo: min(along.Lo, b.Min[0]), Hi: max(along.Hi, b.Max[0])}
	}
	there, from := w.lines[0], " right of "+w.lines[0].name
	switch {
	case !(along.Lo < there.at && there.at < along.Hi):
		there.at, from = along.Lo, " from the left end of what is left"
	case there.cut:
		from = " from the squared end"
	case line.at < there.at:
		from = " left of " + there.name
	}
	return join(figure(w.rule, math.Abs(line.at-there.at)), words(" "+unitShort(w.rule)+from))
}

// ends tells how the cut of the squared end ends, after what says how far out, where
// something beyond the bands is to go back on the rack in one piece; and what comes off.
func (w *writer) ends(line line, out []Run) []Run {
	far := w.cuts.FarMM()
	var do []Run
	for _, r := range w.remnants {
		if r.in(area{endless, plane.Span{Lo: far, Hi: endless.Hi}}) && r.bound.Min[0] < line.at && line.at < r.bound.Max[0] {
			do = join(out, words(fmt.Sprintf(", then along to the left: remnant %d lies beyond", r.n)))
		}
	}
	if off := w.keeps(area{plane.Span{Lo: endless.Lo, Hi: line.at}, plane.Span{Lo: w.cuts.SquaredMM, Hi: far}}); off != "" {
		do = join(do, words("; what comes off is "+off))
	}
	return do
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
