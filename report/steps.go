package report

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"strapwise/hide/measure"
	"strapwise/hide/plane"
	"strapwise/nest"
)

// Step is one thing to do at the bench and to tick off.
type Step struct {
	Name   string // of what it makes: "5, 6" bands, "7a" a block whose strips it rips; empty: it is about the hide
	In     bool   // within a block
	Again  bool   // the step before it has the same name
	Set    []Run  // what the cutter is set to, a bare figure; empty: nothing is ripped
	Same   bool   // the cutter stands there already
	Hand   bool   // wider or narrower than the cutter takes: by rule and knife
	Do     []Run
	Square []Run // where what it makes is squared, left or right of the chalk line; empty: it has a square end, or needs none
	Usual  bool  // that is told with the line, for all that say no other
	Scrap  bool  // what it leaves of its block is scrap
	Cuts   []Cut // marks to cut at, in order; may be empty
	With   bool  // belongs to the step before it: the two are not parted
	Note   bool  // to be known, not to be done
	New    bool  // otherwise than in the plan before
}

// Cut is one mark of a cross-cut and what comes off there. The mark is counted
// from the squared end, in a band that is not squared from the line ("4 left").
type Cut struct {
	At  []Run  // "rest": what the cut before leaves, or "all" of a block
	Off string // "A12·3 main", "scrap", "block 7a"; a star at its end: not so in the plan before
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

// whole is what to do, where to square what it gives, and what is left.
func (s Step) whole() []Run {
	out := s.Do
	if len(s.Square) > 0 && !s.Usual {
		out = join(out, words(", square "), s.Square)
	}
	if s.Scrap {
		out = join(out, words("; the rest is scrap"))
	}
	return out
}

// Steps is the cutting list of one hide of a plan, in the order of work.
// Figures are in the rule's system, at its marks. The error says what in the
// plan cannot be cut as it is told.
func Steps(j nest.Job, p nest.Plan, hideName string, rule measure.Rule) ([]Step, error) {
	l, err := readLay(j, p, hideName, rule)
	if err != nil {
		return nil, err
	}
	return l.steps(), nil
}

// writer gathers steps and remembers how the cutter stands.
type writer struct {
	*lay
	out    []Step
	setTo  float64 // width the cutter stands at, mm; 0: not set yet
	told   bool    // what a block is
	struck int     // steps before the first rip
}

func (l *lay) steps() []Step {
	w := &writer{lay: l}
	w.strike()
	at := 0.0 // how far out the hide is ripped
	for i := 0; i < len(l.bands); {
		b := &l.bands[i]
		if !b.loose && !b.cut {
			w.waste(b.from - at)
		}
		n := w.alikeBands(i)
		switch group := l.bands[i : i+n]; {
		case b.cut && !slices.ContainsFunc(b.blocks, l.left): // nothing is to be done
		case b.apart:
			for _, k := range b.blocks {
				if l.left(k) {
					w.stack([]block{k}, *b)
				}
			}
		case len(b.blocks) == 0:
			w.rip(b.name(), b.depth, "scrap")
		case b.plain:
			w.plain(group)
		default:
			w.blocks(group)
		}
		i += n
		at = max(at, l.bands[i-1].far())
	}
	w.squares()
	w.knife()
	w.putBy()
	w.putAway()
	return w.out
}

func (w *writer) add(s Step) { w.out = append(w.out, s) }

// strike writes the first two cuts, from which all the others are measured.
func (w *writer) strike() {
	if w.begun() {
		w.soFar()
	}
	s := w.cuts.Strike
	fig := func(mm float64) []Run { return figure(w.rule, math.Abs(mm)) }
	u := " " + unitShort(w.rule)
	edge, end, side := "the backbone", "the start of the backbone", ""
	if len(w.hide.Backbone()) == 0 {
		edge, end = "the lower edge of the hide", "its left end"
	}
	if s.EdgeMM < 0 {
		side = ", on the near side"
	}
	a, b := w.hide.Frame().Into(s.From), w.hide.Frame().Into(s.To)
	switch {
	case w.begun():
	case s.AngleDeg != 0 && math.Abs(a[1]-b[1]) > sameMark:
		w.add(Step{Do: join(words("strike the edge "), fig(a[1]), words(u+" from "+edge+" at the squared end, "), fig(b[1]),
			words(u+" at "), fig(b[0]-a[0]), words(u+" along"))})
	case math.Abs(s.EdgeMM) < sameMark:
		w.add(Step{Do: words("strike the edge along " + edge)})
	default:
		w.add(Step{Do: join(words("strike the edge "), fig(s.EdgeMM), words(u+" from "+edge+side))})
	}
	for _, line := range w.lines {
		at := w.tape(line.at)
		do := words("before any rip, chalk " + line.name + " square across the hide ")
		switch {
		case line.cut && line.there:
			continue
		case line.there:
			do = words(line.name + " is chalked ")
		case w.begun():
			do = words("before the next rip, chalk " + line.name + " square across the hide ")
		case line.cut:
			do = words("square the end ")
		}
		switch {
		case math.Abs(at) < sameMark:
			do = join(do, words("at "+end))
		case at < 0:
			do = join(do, fig(at), words(u+" before "+end))
		default:
			do = join(do, fig(at), words(u+" from "+end))
		}
		w.add(Step{Do: do, Note: line.there})
	}
	w.struck = len(w.out)
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

// plain writes bands that are a strip each, and alike.
func (w *writer) plain(bands []band) {
	var strips []int
	for _, b := range bands {
		strips = append(strips, b.blocks[0].strips[0].N)
	}
	w.off(bands, take("take", len(strips), 1))
	w.crossCut(strips)
}

// off writes the ripping off of bands, or that it has been done.
func (w *writer) off(bands []band, do string) {
	if bands[0].cut {
		w.add(Step{Name: bandNames(bands), Do: words(do + ", ripped off already"), New: bands[0].new})
		return
	}
	w.rip(bandNames(bands), bands[0].depth, do)
	w.out[len(w.out)-1].New = bands[0].new
}

func bandNames(bands []band) string {
	var ns []int
	for _, b := range bands {
		ns = append(ns, b.n)
	}
	return numbers(ns)
}

// take says how many strips a setting of the cutter gives, from each of so many
// blocks alike.
func take(do string, n, each int) string {
	do += " " + count(n, "strip")
	if each > 1 {
		do += " of each"
	}
	return do
}

// alikeBands counts the bands from i on that lie edge to edge and, from where
// they are measured, are cut at the same marks into the same parts, so that they
// can be told in one line.
func (w *writer) alikeBands(i int) int {
	n := 1
	for ; i+n < len(w.bands); n++ {
		if a, b := w.bands[i+n-1], w.bands[i+n]; b.loose || a.cut || b.cut || a.new != b.new || len(a.blocks) == 0 || len(a.blocks) != len(b.blocks) || a.plain != b.plain ||
			!near(a.far(), b.from) || !near(a.depth, b.depth) || w.lines[a.line] != w.lines[b.line] ||
			!w.alikeMarks(a, b) || !slices.EqualFunc(a.blocks, b.blocks, w.alikeBlocks) {
			break
		}
	}
	return n
}

// waste writes the ripping off of a strip that is not used, if there is one.
func (w *writer) waste(width float64) {
	if width > sameMark {
		w.rip("", width, "scrap")
	}
}

// rip writes one setting of the cutter, or of rule and knife where the cutter
// does not reach.
func (w *writer) rip(name string, width float64, do string) {
	t := w.job.Tools
	s := Step{Name: name, Set: figure(w.rule, width), Do: words(do)}
	switch {
	case t.CutterMax > 0 && width > t.CutterMax+sameMark, width < t.CutterMin-sameMark:
		s.Hand = true
	case near(width, w.setTo):
		s.Same = true
	default:
		w.setTo = width
	}
	w.add(s)
}

func near(a, b float64) bool { return math.Abs(a-b) < sameMark }

// cutFrom is where along the hide the squared end of a strip is: at that of its
// block, at that of the hide, or where its first piece begins.
func (w *writer) cutFrom(n int) float64 {
	in := w.blockOf[n]
	done := w.cutOff(n)
	switch {
	case len(done) > 0: // it begins where the last of them was cut off
		at := 0.0
		for _, p := range done {
			at = max(at, p.ToMM)
		}
		return at
	case !w.squared[n]:
		return in.block.from
	case w.line(n).cut || len(w.pieces[n]) == 0:
		return 0
	default:
		return w.pieces[n][0].FromMM
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
	from := w.cutFrom(group[0])
	at := from
	for i, p := range first {
		if p.FromMM > at+sameMark {
			cuts = append(cuts, Cut{At: figure(w.rule, p.FromMM-from), Off: "scrap"})
		}
		var off []nest.Piece
		for _, n := range group {
			off = append(off, w.pieces[n][i])
		}
		mark := figure(w.rule, p.ToMM-from)
		switch {
		case !w.toEnd(p): // there is an end to cut
		case len(cuts) == 0:
			mark = words("all")
		default:
			mark = words("rest")
		}
		cuts = append(cuts, Cut{mark, labels(off) + w.trim(p), anyNew(off)})
		at = p.ToMM
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

// toEnd reports whether a piece ends where its block was cut off.
func (w *writer) toEnd(p nest.Piece) bool {
	in := w.blockOf[p.Strip]
	return !in.band.plain && !in.block.last && near(p.ToMM, in.block.to)
}

// trim says to what width a piece is trimmed that comes from a strip at least a
// mark too wide for it.
func (w *writer) trim(p nest.Piece) string {
	part, ok := w.part(p)
	if !ok || w.rule.Up(part.Width) > w.rule.Nearest(w.strips[p.Strip].WidthMM)-sameMark {
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

// knife writes the pieces that no strip holds.
func (w *writer) knife() {
	for _, p := range w.loose {
		length, width := w.size(p)
		w.add(Step{Do: join(words("cut out by rule and knife "), figure(w.rule, width), words(" × "), figure(w.rule, length), words(" "+label(p)))})
	}
}

// putAway writes what goes back on the rack. Rips go from end to end of the hide,
// so that the first or the last of them has cut it free.
func (w *writer) putAway() {
	for i, r := range w.cuts.Remnants {
		ring, err := plane.NewRing(r)
		if err != nil {
			continue // nothing to put away; yield counts it as scrap
		}
		b := w.bound(r)
		from := "beyond the last rip"
		if b.Center()[1] < 0 {
			from = "below the struck edge"
		}
		w.add(Step{Do: join(words(fmt.Sprintf("put back remnant %d, %s, ", i+1, from)), figure(w.rule, b.Max[1]-b.Min[1]), words(" × "),
			figure(w.rule, b.Max[0]-b.Min[0]), words(", "+w.rule.Area(ring.Area())))})
	}
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
