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
	SetMM  float64
	Far    []Run // from the struck edge to where a rip of the hide ends, to check by; empty: it is in a block
	FarMM  float64
	Same   bool // the cutter stands there already
	Hand   bool // wider or narrower than the cutter takes: by rule and knife
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

// told is all there is to do but for the cuts, with the place of what the cutter does
// not reach.
func (s Step) told() []Run {
	do := s.whole()
	if s.Hand {
		do = join(do, words(", by rule and knife"))
		if len(s.Far) > 0 {
			do = join(do, words(", "), s.Far, words(" from the struck edge"))
		}
	}
	return do
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
	got    []nest.Piece // cut so far
	setTo  float64      // width the cutter stands at, mm; 0: not set yet
	told   bool         // what a block is
	struck int          // steps before the first rip
	far    float64      // mm, of what is ripped off the hide now, from the struck edge; 0: a block is ripped
	lying  []*pile      // blocks cut apart and not ripped to the end
}

// stage is what is ripped off the hide next: bands alike, or a strip of waste. A band
// that is off already is a stage, too, as long as something is to be cut from it.
type stage struct {
	width float64 // mm, of each; 0: nothing is ripped off
	far   float64 // mm, of the last, from the struck edge
	bands []band  // none: waste
	piles []*pile // that the bands are cut into
}

func (l *lay) steps() []Step { return l.written().out }

// inOrder are the pieces of the hide that get a name in the course of the work: those
// that come off, in that order, after those that are off and are named anew.
func (l *lay) inOrder() []nest.Piece { return l.written().got }

// all are the pieces of the hide, those that are cut before the others.
func (l *lay) all() []nest.Piece {
	var out []nest.Piece
	for _, s := range l.cuts.Strips {
		out = append(out, l.done[s.N]...)
	}
	return append(out, slices.DeleteFunc(l.inOrder(), func(p nest.Piece) bool { return p.Cut })...)
}

func (l *lay) written() *writer {
	w := &writer{lay: l}
	w.strike()
	stages := w.stages()
	r := w.rips(stages)
	var piles []*pile // as r numbers them
	for _, move := range r.order() {
		if move != hideNext {
			w.stacks(w.setting(piles[move]))
			continue
		}
		w.ripOff(stages[0])
		w.stacks(w.setTo)
		piles = append(piles, stages[0].piles...)
		stages = stages[1:]
	}
	w.squares()
	w.knife()
	w.putBy()
	w.putAway()
	return w
}

// stages are all rips of the hide, outward.
func (w *writer) stages() []stage {
	var out []stage
	at := 0.0 // how far out the hide is ripped
	for i := 0; i < len(w.bands); {
		first := w.bands[i]
		if waste := first.from - at; waste > sameMark && !first.loose && !first.cut {
			out = append(out, stage{width: waste, far: first.from})
		}
		n := w.alikeBands(i)
		s := stage{width: first.depth, far: w.bands[i+n-1].far(), bands: w.bands[i : i+n]}
		if first.cut {
			s.width = 0
		}
		if len(first.blocks) > 0 && !first.plain {
			s.piles = w.piles(s.bands)
		}
		if !first.cut || slices.ContainsFunc(first.blocks, w.left) {
			out = append(out, s)
		}
		i += n
		at = max(at, s.far)
	}
	return out
}

// ripOff writes how a stage comes off the hide.
func (w *writer) ripOff(s stage) {
	w.far = s.far
	defer func() { w.far = 0 }()
	switch {
	case len(s.bands) == 0:
		w.rip("", s.width, "scrap")
	case len(s.bands[0].blocks) == 0:
		w.rip(s.bands[0].name(), s.width, "scrap")
	case s.bands[0].apart:
		w.lying = append(w.lying, s.piles...)
	case s.bands[0].plain:
		w.plain(s.bands)
	default:
		w.blocks(s.bands)
		w.lying = append(w.lying, s.piles...)
	}
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
	switch {
	case w.begun():
	case w.tilted():
		w.add(Step{Do: join(words("strike the edge aslant, through two marks: "), w.aslant(edge, end))})
	case math.Abs(s.EdgeMM) < sameMark:
		w.add(Step{Do: words("strike the edge along " + edge)})
	default:
		w.add(Step{Do: join(words("strike the edge "), fig(s.EdgeMM), words(u+" from "+edge+side))})
	}
	for _, line := range w.lines {
		at := w.tape(line.at)
		across := " square across the hide "
		if w.tilted() {
			across = " square to the struck edge, where that is "
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
			do = words("square the end to the struck edge, where that is ")
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

// rip writes one setting of the cutter, or of rule and knife where the cutter
// does not reach.
func (w *writer) rip(name string, width float64, do string) {
	s := Step{Name: name, Set: figure(w.rule, width), SetMM: width, Do: words(do)}
	if w.far > 0 {
		s.Far, s.FarMM = figure(w.rule, w.far), w.far
	}
	switch {
	case w.byHand(width):
		s.Hand = true
	case near(width, w.setTo):
		s.Same = true
	default:
		w.setTo = width
	}
	w.add(s)
}

// byHand reports whether the cutter does not reach so far, or so near.
func (l *lay) byHand(width float64) bool {
	t := l.job.Tools
	return t.CutterMax > 0 && width > t.CutterMax+sameMark || width < t.CutterMin-sameMark
}

func near(a, b float64) bool { return math.Abs(a-b) < sameMark }

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
			cuts = append(cuts, Cut{At: figure(w.rule, p.FromMM-from), MM: p.FromMM - from, Off: "scrap"})
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
		cuts = append(cuts, Cut{At: mark, MM: mm, Off: labels(off) + w.trim(p), New: anyNew(off)})
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
func (l *lay) toEnd(p nest.Piece) bool {
	in := l.blockOf[p.Strip]
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
		w.got = append(w.got, p)
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
