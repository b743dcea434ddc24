package report

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"strapwise/hide/plane"
	"strapwise/nest"
)

// crossCut writes the marks of one strip or of several alike.
func (w *writer) crossCut(group []int) {
	first := w.pieces[group[0]]
	if len(first) == 0 {
		return
	}
	in := w.blockOf[group[0]]
	if w.squared[group[0]] {
		var from []float64
		for _, n := range group {
			from = append(from, w.cutFrom(n))
		}
		w.square(w.line(group[0]), from...)
	}
	var cuts []Cut
	var starts, rests []area
	for _, n := range group {
		on := w.pieces[n]
		if w.squared[n] && !w.line(n).cut {
			starts = append(starts, area{plane.Span{Lo: w.blockOf[n].block.whole().Lo, Hi: w.cutFrom(n)}, across(w.strips[n])})
		}
		rests = append(rests, area{plane.Span{Lo: on[len(on)-1].ToMM, Hi: w.blockOf[n].block.whole().Hi}, across(w.strips[n])})
	}
	w.out[len(w.out)-1].Start = w.keeps(starts...)
	from := w.cutFrom(group[0])
	at := from
	for i, p := range first {
		if p.FromMM > at+sameMark {
			var gaps []area
			for _, n := range group {
				off := w.cutFrom(n) - from
				gaps = append(gaps, area{plane.Span{Lo: at + off, Hi: p.FromMM + off}, across(w.strips[n])})
			}
			cuts = append(cuts, Cut{At: figure(w.rule, p.FromMM-from), MM: p.FromMM - from, Off: w.leaves(gaps...)})
		}
		var off []nest.Piece
		for _, n := range group {
			off = append(off, w.pieces[n][i])
		}
		mark, mm := figure(w.rule, p.ToMM-from), p.ToMM-from
		if w.toEnd(p) { // there is no end to cut
			mark, mm = words([]string{"all", "rest"}[min(len(cuts), 1)]), math.NaN()
		}
		w.got = append(w.got, off...)
		cuts = append(cuts, Cut{At: mark, MM: mm, Off: labels(off) + w.trim(p) + w.forTemplate(p), New: anyNew(off)})
		at = p.ToMM
	}
	if rest := w.keeps(rests...); rest != "" {
		cuts = append(cuts, Cut{At: words("rest"), MM: math.NaN(), Off: rest})
	}
	do := "cross-cut at"
	switch n := len(group); {
	case n == 2:
		do = "cross-cut both"
	case n > 2:
		do = fmt.Sprintf("cross-cut all %d", n)
	}
	w.add(Step{Name: w.out[len(w.out)-1].Name, In: !in.band.plain, Again: true, Do: words(do), Cuts: cuts, With: true})
}

// cutFrom is where along the hide the squared end of a strip is: at that of its
// block, at that of the hide, or where its first piece begins.
func (l *lay) cutFrom(n int) float64 {
	in := l.blockOf[n]
	done := l.cutOff(n)
	switch {
	case len(done) > 0: // it begins where the last of them was cut off
		at := 0.0
		for _, p := range done {
			at = max(at, p.ToMM)
		}
		return at
	case !l.squared[n]:
		return in.block.from
	case l.line(n).cut || len(l.pieces[n]) == 0:
		return 0
	default:
		return l.pieces[n][0].FromMM
	}
}

// square says in the step just written where what it gives is squared, by a
// chalk line: one figure for all, or one for each.
func (w *writer) square(line line, from ...float64) {
	if line.cut {
		return
	}
	if !slices.ContainsFunc(from, func(x float64) bool { return !near(x, from[0]) }) {
		from = from[:1]
	}
	s := &w.out[len(w.out)-1]
	for i, x := range from {
		if i > 0 {
			s.Square = join(s.Square, words(", "))
		}
		if side(x, line) == "" {
			s.Square = join(s.Square, words("on "+line.name))
			continue
		}
		s.Square = join(s.Square, figure(w.rule, math.Abs(x-line.at)))
		if i+1 == len(from) || side(from[i+1], line) != side(x, line) {
			s.Square = join(s.Square, words(" "+side(x, line)))
		}
	}
	if strings.HasPrefix(line.name, "line ") && side(from[len(from)-1], line) != "" {
		s.Square = join(s.Square, words(" of "+line.name))
	}
}

// side is on which side of a line a place is; empty: on it.
func side(x float64, l line) string {
	switch d := x - l.at; {
	case d < -sameMark:
		return "left"
	case d > sameMark:
		return "right"
	}
	return ""
}

// toEnd reports whether a piece ends where its block was cut off.
func (l *lay) toEnd(p nest.Piece) bool {
	in := l.blockOf[p.Strip]
	return !in.band.plain && !in.block.last && near(p.ToMM, in.block.to)
}

// trim says to what width a piece is trimmed that comes from a strip at least a
// mark too wide for it.
func (w *writer) trim(p nest.Piece) string {
	part, ok := w.part(p)
	if !ok || part.Template != nil || w.rule.Up(part.Width) > w.rule.Nearest(w.strips[p.Strip].WidthMM)-sameMark {
		return ""
	}
	return ", trim to " + Plain(figure(w.rule, w.rule.Up(part.Width)))
}

// labels names pieces of one part that are told together, those of an order in
// one: "A12·3, 4, A13·1 main".
func labels(pieces []nest.Piece) string {
	out := ""
	for i := 0; i < len(pieces); {
		order := pieces[i].Order
		var sets []int
		for ; i < len(pieces) && pieces[i].Order == order; i++ {
			sets = append(sets, pieces[i].Set)
		}
		if out != "" {
			out += ", "
		}
		out += order + "·" + numbers(sets)
	}
	out += " " + pieces[0].Part
	if anyNew(pieces) {
		out += star
	}
	return out
}

// star is set behind what lies otherwise than in the plan before, so that a
// print in black tells it, too.
const star = "*"

func anyNew(pieces []nest.Piece) bool {
	return slices.ContainsFunc(pieces, func(p nest.Piece) bool { return p.New })
}

// numbers lists numbers in order, runs of three and more as "4–6".
func numbers(ns []int) string {
	var b strings.Builder
	for i := 0; i < len(ns); {
		j := i
		for j+1 < len(ns) && ns[j+1] == ns[j]+1 {
			j++
		}
		if b.Len() > 0 {
			b.WriteString(", ")
		}
		switch {
		case j-i >= 2:
			b.WriteString(strconv.Itoa(ns[i]) + "–" + strconv.Itoa(ns[j]))
		default:
			j = i
			b.WriteString(strconv.Itoa(ns[i]))
		}
		i = j + 1
	}
	return b.String()
}
