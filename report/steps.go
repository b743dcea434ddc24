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
	Strips []int // numbers of the strips it makes or cross-cuts; none: it is about the hide
	Set    []Run // what the cutter is set to, a bare figure; empty: nothing is ripped
	Same   bool  // the cutter stands there already
	Hand   bool  // wider or narrower than the cutter takes: by rule and knife
	Do     []Run
	Square []Run // where its strips are squared, left or right of the chalk line; empty: they have a square end
	Cuts   []Cut // marks to cut at, in order, all from the squared end of the strip; may be empty
	With   bool  // belongs to the step before it: the two are not parted
}

// Cut is one mark of a cross-cut and what comes off there.
type Cut struct {
	At  []Run
	Off string // "A12·3 main", "scrap", "strips 4–6"
}

// String is the step in plain letters.
func (s Step) String() string {
	var b strings.Builder
	if len(s.Strips) > 0 {
		b.WriteString(numbers(s.Strips) + ": ")
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

// whole is what to do and where to square what it gives.
func (s Step) whole() []Run {
	if len(s.Square) == 0 {
		return s.Do
	}
	return join(s.Do, words(", square "), s.Square)
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
	listed map[int]bool
}

func (l *lay) steps() []Step {
	w := &writer{lay: l, listed: map[int]bool{}}
	w.strike()
	at := 0.0 // how far out the hide is ripped
	for i := 0; i < len(l.cuts.Bands); {
		if n := w.simpleBands(i); n > 0 {
			var strips []int
			for _, b := range l.cuts.Bands[i : i+n] {
				strips = append(strips, b.Blocks[0].Strips[0])
			}
			at = w.stack(strips, at, math.Inf(1))
			i += n
			continue
		}
		at = w.band(l.cuts.Bands[i], at)
		i++
	}
	for _, s := range l.cuts.Strips { // none is dropped, whatever the bands say
		if !w.listed[s.N] {
			w.stack([]int{s.N}, s.FromMM, math.Inf(1))
		}
	}
	w.knife()
	w.putAway()
	return w.out
}

func (w *writer) add(s Step) { w.out = append(w.out, s) }

// strike writes the first two cuts, from which all the others are measured.
func (w *writer) strike() {
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
		if line.cut {
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
		w.add(Step{Do: do})
	}
	if !w.lines[0].cut {
		w.out[len(w.out)-1].Do = join(w.out[len(w.out)-1].Do, words("; square each strip so far left or right of it as told, and cross-cut from that end"))
	}
}

// simpleBands counts the bands from i on that hold one strip each.
func (w *writer) simpleBands(i int) int {
	n := 0
	for _, b := range w.cuts.Bands[i:] {
		if len(b.Blocks) != 1 || len(b.Blocks[0].Strips) != 1 {
			break
		}
		n++
	}
	return n
}

// band writes a band that is cross-cut into blocks before it is ripped into
// strips, and returns how far out the hide is ripped after it.
func (w *writer) band(b nest.Band, at float64) float64 {
	w.waste(b.FromMM - at)
	all := bandStrips(b)
	if len(all) == 0 {
		w.rip(nil, b.DepthMM, "a band of no strips")
		return b.FromMM + b.DepthMM
	}
	w.rip(nil, b.DepthMM, "a band for "+stripWords(all))
	w.square(all[:1], w.bandFrom(b))
	w.add(Step{Do: words("cross-cut at"), Cuts: w.blockCuts(b), With: true})
	for _, block := range b.Blocks {
		w.stack(block.Strips, b.FromMM, b.FromMM+b.DepthMM)
	}
	return b.FromMM + b.DepthMM
}

func bandStrips(b nest.Band) []int {
	var all []int
	for _, block := range b.Blocks {
		all = append(all, block.Strips...)
	}
	return all
}

func (w *writer) blockCuts(b nest.Band) []Cut {
	var cuts []Cut
	from := w.bandFrom(b)
	at := from
	for _, block := range b.Blocks {
		if block.FromMM > at+sameMark {
			cuts = append(cuts, Cut{figure(w.rule, block.FromMM-from), "scrap"})
		}
		off := "scrap"
		if len(block.Strips) > 0 {
			off = stripWords(block.Strips)
		}
		cuts = append(cuts, Cut{figure(w.rule, block.ToMM-from), off})
		at = block.ToMM
	}
	return cuts
}

// bandFrom is where a band that is cut into blocks has its squared end.
func (w *writer) bandFrom(b nest.Band) float64 {
	if w.lines[0].cut {
		return 0
	}
	return b.Blocks[0].FromMM
}

// stack writes strips that lie one outside the other, ripped from the edge at
// the given distance; to is where the stack ends if it has been ripped off as
// a band. It returns the outer edge of the last strip.
func (w *writer) stack(strips []int, at, to float64) float64 {
	for len(strips) > 0 {
		first := w.strips[strips[0]]
		w.waste(first.FromMM - at)
		n := w.alike(strips)
		group := slices.Clone(strips[:n])
		last := w.strips[group[n-1]]
		end := last.FromMM + last.WidthMM
		switch {
		case n == 1 && len(strips) == 1 && near(at, first.FromMM) && near(end, to): // no rip is left to do
			w.add(Step{Strips: group, Do: words("rest of the block")})
		case n == 1:
			w.rip(group, first.WidthMM, "take 1 strip")
		default:
			w.rip(group, first.WidthMM, fmt.Sprintf("take %d strips", n))
		}
		w.crossCut(group)
		for _, s := range group {
			w.listed[s] = true
		}
		at, strips = end, strips[n:]
	}
	return at
}

// alike counts the strips from the first on that lie edge to edge, are equally
// wide and, from their squared ends, are cut at the same marks into the same
// parts, so that they can be told in one line.
func (w *writer) alike(strips []int) int {
	n := 1
	for ; n < len(strips); n++ {
		a, b := w.strips[strips[n-1]], w.strips[strips[n]]
		from, start := w.cutFrom(a.N), w.cutFrom(b.N)
		if !near(a.FromMM+a.WidthMM, b.FromMM) || !near(a.WidthMM, b.WidthMM) || w.line(a.N) != w.line(b.N) ||
			!slices.EqualFunc(w.pieces[a.N], w.pieces[b.N], func(p, q nest.Piece) bool {
				return p.Part == q.Part && w.trim(p) == w.trim(q) && near(p.FromMM-from, q.FromMM-start) && near(p.ToMM-from, q.ToMM-start)
			}) {
			break
		}
	}
	return n
}

func near(a, b float64) bool { return math.Abs(a-b) < sameMark }

// waste writes the ripping off of a strip that is not used, if there is one.
func (w *writer) waste(width float64) {
	if width > sameMark {
		w.rip(nil, width, "waste")
	}
}

// rip writes one setting of the cutter, or of rule and knife where the cutter
// does not reach.
func (w *writer) rip(strips []int, width float64, do string) {
	t := w.job.Tools
	s := Step{Strips: strips, Set: figure(w.rule, width), Do: words(do)}
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

// inBlock reports whether a strip is ripped out of a block that was cross-cut
// before, so that its end is square.
func (w *writer) inBlock(n int) bool {
	return slices.ContainsFunc(w.cuts.Bands, func(b nest.Band) bool {
		all := bandStrips(b)
		return (len(b.Blocks) > 1 || len(all) > 1) && slices.Contains(all, n)
	})
}

// cutFrom is where along the hide the squared end of a strip is: at that of its
// block, at that of the hide, or where its first piece begins.
func (w *writer) cutFrom(n int) float64 {
	switch {
	case w.inBlock(n):
		return w.blocks[n].FromMM
	case w.lines[0].cut || len(w.pieces[n]) == 0:
		return 0
	default:
		return w.pieces[n][0].FromMM
	}
}

// square says in the step just written where its strips are squared, by the
// chalk line: one figure for all, or one for each.
func (w *writer) square(strips []int, from ...float64) {
	line := w.line(strips[0])
	if line.cut {
		return
	}
	if !slices.ContainsFunc(from, func(x float64) bool { return !near(x, from[0]) }) {
		from = from[:1]
	}
	s := &w.out[len(w.out)-1]
	side := func(x float64) string {
		switch d := x - line.at; {
		case d < -sameMark:
			return "left"
		case d > sameMark:
			return "right"
		}
		return ""
	}
	for i, x := range from {
		if i > 0 {
			s.Square = join(s.Square, words(", "))
		}
		if side(x) == "" {
			s.Square = join(s.Square, words("on "+line.name))
			continue
		}
		s.Square = join(s.Square, figure(w.rule, math.Abs(x-line.at)))
		if i+1 == len(from) || side(from[i+1]) != side(x) {
			s.Square = join(s.Square, words(" "+side(x)))
		}
	}
	if len(w.lines) > 1 && side(from[len(from)-1]) != "" {
		s.Square = join(s.Square, words(" of "+line.name))
	}
}

// crossCut writes the marks of one strip or of several alike.
func (w *writer) crossCut(group []int) {
	first := w.pieces[group[0]]
	if len(first) == 0 {
		w.add(Step{Strips: group, Do: words("no piece, put aside"), With: true})
		return
	}
	if !w.inBlock(group[0]) {
		var from []float64
		for _, n := range group {
			from = append(from, w.cutFrom(n))
		}
		w.square(group, from...)
	}
	var cuts []Cut
	from := w.cutFrom(group[0])
	at := from
	for i, p := range first {
		if p.FromMM > at+sameMark {
			cuts = append(cuts, Cut{figure(w.rule, p.FromMM-from), "scrap"})
		}
		var off []nest.Piece
		for _, n := range group {
			off = append(off, w.pieces[n][i])
		}
		cuts = append(cuts, Cut{figure(w.rule, p.ToMM-from), labels(off) + w.trim(p)})
		at = p.ToMM
	}
	do := "cross-cut at"
	switch n := len(group); {
	case n == 2:
		do = "cross-cut both"
	case n > 2:
		do = fmt.Sprintf("cross-cut all %d", n)
	}
	w.add(Step{Strips: group, Do: words(do), Cuts: cuts, With: true})
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
	return out + " " + pieces[0].Part
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

func stripWords(ns []int) string {
	if len(ns) == 1 {
		return "strip " + numbers(ns)
	}
	return "strips " + numbers(ns)
}
