package report

import (
	"math"
	"slices"

	"strapwise/hide/measure"
	"strapwise/hide/plane"
	"strapwise/nest"
)

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
	w.templates()
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
		w.rip("", s.width, w.leaves(area{w.ripped(), plane.Span{Lo: s.far - s.width, Hi: s.far}}))
	case len(s.bands[0].blocks) == 0:
		w.rip(s.bands[0].name(), s.width, w.leaves(area{w.ripped(), s.bands[0].across()}))
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
	s := Step{Name: name, Set: figure(w.rule, width), SetMM: width, FarMM: w.far, Do: words(do)}
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

// knife writes the pieces that no strip holds.
func (w *writer) knife() {
	for _, p := range w.loose {
		w.got = append(w.got, p)
		length, width := w.size(p)
		if t := w.template(p); t != nil {
			w.add(Step{Do: join(words("cut out to template "+t.File+" by knife, "), figure(w.rule, width), words(" × "), figure(w.rule, length), words(" "+label(p)))})
			continue
		}
		w.add(Step{Do: join(words("cut out by rule and knife "), figure(w.rule, width), words(" × "), figure(w.rule, length), words(" "+label(p)))})
	}
}
