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
	Cuts   []Cut // marks to cut at, in order, all from the squared end; may be empty
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
	b.WriteString(Plain(s.Do))
	for i, c := range s.Cuts {
		b.WriteString([]string{" ", " | "}[min(i, 1)] + Plain(c.At) + " " + c.Off)
	}
	return b.String()
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
	switch {
	case math.Abs(s.SquareMM) < sameMark:
		w.add(Step{Do: words("square the end at " + end)})
	case s.SquareMM < 0:
		w.add(Step{Do: join(words("square the end "), fig(s.SquareMM), words(u+" before "+end))})
	default:
		w.add(Step{Do: join(words("square the end "), fig(s.SquareMM), words(u+" from "+end))})
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
	at := 0.0
	for _, block := range b.Blocks {
		if block.FromMM > at+sameMark {
			cuts = append(cuts, Cut{figure(w.rule, block.FromMM), "scrap"})
		}
		off := "scrap"
		if len(block.Strips) > 0 {
			off = stripWords(block.Strips)
		}
		cuts = append(cuts, Cut{figure(w.rule, block.ToMM), off})
		at = block.ToMM
	}
	return cuts
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
// wide and are cut at the same marks into the same parts of the same orders,
// so that they can be told in one line.
func (w *writer) alike(strips []int) int {
	n := 1
	for ; n < len(strips); n++ {
		a, b := w.strips[strips[n-1]], w.strips[strips[n]]
		if !near(a.FromMM+a.WidthMM, b.FromMM) || !near(a.WidthMM, b.WidthMM) || !near(w.cutFrom(a.N), w.cutFrom(b.N)) ||
			!slices.EqualFunc(w.pieces[a.N], w.pieces[b.N], func(p, q nest.Piece) bool {
				return p.Order == q.Order && p.Part == q.Part && near(p.FromMM, q.FromMM) && near(p.ToMM, q.ToMM)
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

// cutFrom is where along the hide a strip begins when it comes to be
// cross-cut: at the squared end, or where its block does.
func (w *writer) cutFrom(n int) float64 {
	for _, b := range w.cuts.Bands {
		if (len(b.Blocks) > 1 || len(bandStrips(b)) > 1) && slices.Contains(bandStrips(b), n) {
			return w.blocks[n].FromMM
		}
	}
	return 0
}

// crossCut writes the marks of one strip or of several alike.
func (w *writer) crossCut(group []int) {
	first := w.pieces[group[0]]
	if len(first) == 0 {
		w.add(Step{Strips: group, Do: words("no piece, put aside"), With: true})
		return
	}
	var cuts []Cut
	at := w.cutFrom(group[0])
	for i, p := range first {
		if p.FromMM > at+sameMark {
			cuts = append(cuts, Cut{figure(w.rule, p.FromMM), "scrap"})
		}
		var sets []int
		for _, n := range group {
			sets = append(sets, w.pieces[n][i].Set)
		}
		off := fmt.Sprintf("%s·%s %s", p.Order, numbers(sets), p.Part)
		if part, ok := w.part(p); ok && w.rule.Nearest(part.Width) < w.rule.Nearest(w.strips[group[0]].WidthMM)-sameMark {
			off += ", trim to " + Plain(figure(w.rule, part.Width))
		}
		cuts = append(cuts, Cut{figure(w.rule, p.ToMM), off})
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

// knife writes the pieces that no strip holds.
func (w *writer) knife() {
	for _, p := range w.loose {
		length, width := w.size(p)
		w.add(Step{Do: join(words("cut out by rule and knife "), figure(w.rule, width), words(" × "), figure(w.rule, length), words(" "+label(p)))})
	}
}

// putAway writes what goes back on the rack.
func (w *writer) putAway() {
	for i, r := range w.cuts.Remnants {
		ring, err := plane.NewRing(r)
		if err != nil {
			continue // nothing to put away; yield counts it as scrap
		}
		b := w.bound(r)
		w.add(Step{Do: join(words(fmt.Sprintf("put back remnant %d, ", i+1)), figure(w.rule, b.Max[1]-b.Min[1]), words(" × "),
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
