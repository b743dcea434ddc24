package report

import (
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/paulmach/orb"
)

// row is one line of the set list. Its items are placed from the column's
// left edge and the row's top.
type row struct {
	texts  []Text
	boxes  []Shape
	height float64
	opens  bool   // begins a step that may be parted from what comes before
	of     string // where the row does not begin a step, the name of the one that it goes on with
}

// Sizes of type and spacing in the list, in ems unless told otherwise.
const (
	leading  = 1.34 // from line to line
	stepGap  = 0.30 // before a step that is not part of the one before
	tick     = 0.82 // side of a tick box
	tickGap  = 0.60
	colGap   = 0.55 // between the columns of a step
	blockIn  = 0.80 // how far a block stands in from its band
	cellGap  = 0.90 // between cross-cuts
	markGap  = 0.40 // between a mark and what comes off there
	listHead = 1.35 // height of the words over the columns
	headSize = 0.8  // of those words
)

// listing is the cutting list set in one size of type and one width of column.
// Where the column is wide enough, a strip and its cross-cuts stand on one row,
// and a block stands in from its band:
//
//	☐ no.   cutter  take                       ☐ cross-cut at
//	☐ 5, 6     1⅜   2 strips                   ☐   25½ A12·1, 3 main     51 A12·2, 4 main
//	☐ 7        3¼   rip the band               ☐   22¾ block 7a        rest block 7b
//	   ☐ 7a     ¾   scrap, 1 strip
//	     7a         the rest is 1 strip        ☐   20¼ A104·6 main
//
// In a narrow column the cross-cuts stand under their strip unless they are few,
// and the words over the column say so:
//
//	☐ no.   cutter  take, then cross-cut at
//	☐ 5, 6     1⅜   2 strips
//	☐   25½ A12·1, 3 main     51 A12·2, 4 main
//	☐ 7        1½   1 strip   ☐    48 A13·1 lead
type listing struct {
	size, width float64
	inline      bool    // cross-cuts stand beside their strip
	squares     bool    // strips are squared by a chalk line
	numberAt    float64 // left edge of the numbers
	setEnd      float64 // right edge of the figure the cutter is set to
	doAt        float64 // left edge of what to take
	cutsAt      float64 // left edge of the cross-cuts, or of their tick box
	figure      float64 // width of a usual mark
	doEnd       float64 // right edge of the words last set there
	markWidth   float64
	cell        float64 // distance from cross-cut to cross-cut
	slots       int     // cross-cuts on one row
	accent      bool    // what is set now has changed since the last lay
	name        string  // of the step that is set now
	rows        []row
}

func textWidth(runs []Run, size float64, isBold bool) float64 {
	return Text{Size: size, Bold: isBold, Runs: runs}.Width()
}

// setList sets the list. It falls back to cross-cuts under their strips where
// not even one goes beside them.
func setList(steps []Step, size, width float64, inline bool) *listing {
	l := &listing{size: size, width: width, inline: inline, numberAt: (tick + tickGap) * size}
	l.squares = slices.ContainsFunc(steps, func(s Step) bool { return len(s.Square) > 0 })
	number, set, do := l.head("no."), l.head("cutter"), l.head("take")
	var cells, marks []float64
	for _, s := range steps {
		number = max(number, l.in(s)+textWidth(words(s.Name), size, true))
		set = max(set, textWidth(s.Set, size, true))
		if s.Name != "" && len(s.Cuts) == 0 {
			do = max(do, textWidth(taken(s), size, false))
		}
		for _, c := range s.Cuts {
			marks = append(marks, textWidth(c.At, size, true))
			l.markWidth = max(l.markWidth, marks[len(marks)-1])
			cells = append(cells, textWidth(words(c.Off), size, false))
		}
	}
	l.setEnd = l.numberAt + min(number, width/5) + colGap*size + set
	l.doAt = l.setEnd + colGap*size
	if inline {
		l.cutsAt = l.doAt + min(do, width/3) + 2*colGap*size
	}
	room := width - l.cutsAt - l.numberAt
	l.slots, l.cell = 1, room
	if slices.Sort(marks); len(marks) > 0 {
		l.figure = marks[len(marks)*4/5]
	}
	if len(cells) > 0 { // as many to a row as let four in five keep to their place
		slices.Sort(cells)
		usual := l.markWidth + (markGap+cellGap)*size + cells[len(cells)*4/5]
		l.slots = int((room + cellGap*size) / usual)
		if l.slots < 1 && inline {
			return setList(steps, size, width, false)
		}
		l.slots = max(1, l.slots)
		l.cell = min(room/float64(l.slots), 1.25*usual)
	}
	for _, s := range steps {
		l.step(s)
	}
	return l
}

// head is the width of a word over a column.
func (l *listing) head(s string) float64 { return textWidth(words(s), headSize*l.size, false) }

func (l *listing) newRow(gap float64) *row {
	l.rows = append(l.rows, row{height: (leading + gap) * l.size, of: l.name})
	return &l.rows[len(l.rows)-1]
}

// put sets words, if there are any, on the row's baseline, at x from the column's edge.
func (l *listing) put(r *row, x float64, anchor Anchor, isBold bool, runs []Run) {
	if Plain(runs) == "" {
		return
	}
	base := r.height - (leading-ascent-0.24)*l.size
	r.texts = append(r.texts, Text{At: orb.Point{x, base}, Anchor: anchor, Size: l.size, Bold: isBold, Runs: runs, Accent: l.accent})
}

func (l *listing) tick(r *row, x float64) {
	top, side := r.height-(leading-0.2)*l.size, tick*l.size
	r.boxes = append(r.boxes, Shape{Closed: true, Weight: light, Points: []orb.Point{
		{x, top}, {x + side, top}, {x + side, top + side}, {x, top + side},
	}})
}

// in is how far a step stands in from the column's edge.
func (l *listing) in(s Step) float64 {
	if s.In && !s.With {
		return blockIn * l.size
	}
	return 0
}

func (l *listing) step(s Step) {
	l.accent = s.New
	defer func() { l.accent = false }()
	if s.With && len(l.rows) > 0 {
		if !l.inline {
			if l.beside(s.Cuts) {
				return
			}
			l.newRow(0)
		}
		at := l.cutsAt
		if s.In && !l.inline {
			at += blockIn * l.size
		}
		l.tick(&l.rows[len(l.rows)-1], at)
		l.cuts(at+l.numberAt, s.Cuts)
		return
	}
	gap := stepGap
	if s.In && s.Again {
		gap = 0
	}
	l.name = ""
	r := l.newRow(gap)
	l.name = s.Name
	r.opens = !s.Again
	if s.ticked() {
		l.tick(r, l.in(s))
	}
	if s.Name == "" && len(s.Set) == 0 {
		l.wrap(r, l.numberAt, l.width, s.Do)
		return
	}
	at := l.numberAt + l.in(s)
	room := l.setEnd - at - textWidth(s.Set, l.size, true) - colGap*l.size + 1e-9
	l.put(r, at, Start, !s.Again, words(clip(s.Name, l.size, room, true)))
	l.put(r, l.setEnd, End, !s.Same, s.Set)
	do := taken(s)
	right := l.width
	if l.inline {
		right = l.cutsAt - colGap*l.size
	}
	l.doEnd = l.wrap(r, l.doAt, right, do)
}

// taken is what a step takes, without the word that stands over the column.
func taken(s Step) []Run {
	do := slices.Clone(s.told())
	do[0].Words = strings.TrimPrefix(do[0].Words, "take ")
	return do
}

// beside sets few cuts behind what is taken, on its row, and reports whether
// they go there.
func (l *listing) beside(cuts []Cut) bool {
	mark, label := l.figure, 0.0
	var offs []float64
	for _, c := range cuts {
		mark = max(mark, textWidth(c.At, l.size, true))
		offs = append(offs, textWidth(words(c.Off), l.size, false))
		label += markGap*l.size + offs[len(offs)-1] + cellGap*l.size
	}
	x := max(l.doAt+textWidth(words("1 strip"), l.size, false), l.doEnd) + 2*colGap*l.size
	if x+l.numberAt+float64(len(cuts))*mark+label-cellGap*l.size > l.width {
		return false
	}
	r := &l.rows[len(l.rows)-1]
	l.tick(r, x)
	x += l.numberAt
	for i, c := range cuts {
		l.accent = c.New
		l.put(r, x+mark, End, true, c.At)
		l.put(r, x+mark+markGap*l.size, Start, false, words(c.Off))
		x += mark + (markGap+cellGap)*l.size + offs[i]
	}
	return true
}

// wrap sets words between x and right, on as many rows as they take, and returns
// where the last of them ends.
func (l *listing) wrap(r *row, x, right float64, runs []Run) float64 {
	var line []Run
	for _, word := range split(runs) {
		longer := join(line, word)
		if len(line) > 0 && x+textWidth(trimmed(longer), l.size, false) > right {
			l.put(r, x, Start, false, trimmed(line))
			r = l.newRow(0)
			longer = word
		}
		line = longer
	}
	if w := textWidth(trimmed(line), l.size, false); x+w > right && len(line) == 1 {
		line = words(clip(line[0].Words, l.size, right-x, false))
	}
	l.put(r, x, Start, false, trimmed(line))
	return x + textWidth(trimmed(line), l.size, false)
}

// split breaks a text after each space.
func split(runs []Run) [][]Run {
	var out [][]Run
	var word []Run
	for _, r := range runs {
		if r.Den != 0 {
			word = append(word, r)
			continue
		}
		rest := r.Words
		for rest != "" {
			i := 0
			for i < len(rest) {
				c, n := utf8.DecodeRuneInString(rest[i:])
				i += n
				if c == ' ' {
					break
				}
			}
			word = append(word, Run{Words: rest[:i]})
			if rest[i-1] == ' ' {
				out, word = append(out, word), nil
			}
			rest = rest[i:]
		}
	}
	if len(word) > 0 {
		out = append(out, word)
	}
	return out
}

// trimmed is a text without the space at its end.
func trimmed(runs []Run) []Run {
	out := slices.Clone(runs)
	if n := len(out); n > 0 && out[n-1].Den == 0 {
		w := out[n-1].Words
		for w != "" && w[len(w)-1] == ' ' {
			w = w[:len(w)-1]
		}
		out[n-1].Words = w
	}
	return out
}

// cuts sets the marks of a cross-cut in columns from x on. What is longer than
// a column takes as many as it needs, and as many rows.
func (l *listing) cuts(x float64, cuts []Cut) {
	label := l.markWidth + markGap*l.size
	slot := 0
	for _, c := range cuts {
		off := clipWords(c.Off, l.size, l.width-x-label)
		need := 1
		for float64(need)*l.cell-cellGap*l.size < label+textWidth(words(off), l.size, false) && need < l.slots {
			need++
		}
		if slot > 0 && slot+need > l.slots {
			l.newRow(0)
			slot = 0
		}
		r := &l.rows[len(l.rows)-1] // the label before may have taken further rows
		l.accent = c.New
		at := x + float64(slot)*l.cell
		l.put(r, at+l.markWidth, End, true, c.At)
		l.wrap(r, at+label, l.width, words(off))
		slot += need
	}
}

// columns says where each column of the list ends: the index of the row after
// its last. It is nil if the list does not go into so many columns of that
// height.
func (l *listing) columns(count int, height float64) []int {
	var ends []int
	done := 0
	for range count {
		if done == len(l.rows) {
			break
		}
		end := l.column(done, height)
		if end == done {
			return nil
		}
		ends = append(ends, end)
		done = end
	}
	if done < len(l.rows) {
		return nil
	}
	return ends
}

// column fills one column from row i on and returns the row after its last.
// It parts a step from its marks only where a whole column would not hold it.
func (l *listing) column(i int, height float64) int {
	room := height - listHead*l.size - l.goingOn(i)
	const hair = 1e-9 // mm, by which sums of heights may differ
	j := i
	for j < len(l.rows) && room >= l.rows[j].height-hair {
		room -= l.rows[j].height
		j++
	}
	if j == len(l.rows) {
		return j
	}
	for k := j; k > i; k-- {
		if l.rows[k].opens {
			return k
		}
	}
	return j
}

// goingOn is the height of the line that repeats, at the head of a column, the name of the
// step that goes on there with row i; 0 if none does.
func (l *listing) goingOn(i int) float64 {
	if l.rows[i].of == "" {
		return 0
	}
	return leading * l.size
}

// height is the least height at which the list goes into so many columns.
func (l *listing) height(count int) float64 {
	lo, hi := 0.0, listHead*l.size
	for _, r := range l.rows {
		hi += r.height
	}
	for hi-lo > 0.1 {
		if mid := (lo + hi) / 2; l.columns(count, mid) != nil {
			hi = mid
		} else {
			lo = mid
		}
	}
	return hi
}

// draw puts rows from..to with the words over them at the given place.
func (l *listing) draw(k *ink, at orb.Point, from, to int) {
	head := func(x float64, a Anchor, s string) {
		k.text(Text{At: orb.Point{at[0] + x, at[1] + headSize*l.size}, Anchor: a, Size: headSize * l.size, Runs: words(s)})
	}
	head(l.numberAt, Start, "no.")
	head(l.setEnd, End, "cutter")
	take, then := "take", "cross-cut at"
	if l.squares {
		take, then = "take, square from the line", "cross-cut from there at"
	}
	right := l.width
	if l.inline {
		head(l.cutsAt, Start, then)
		right = l.cutsAt - colGap*l.size
	} else {
		take += ", then " + then
	}
	for _, s := range []string{take, "take, square, cross-cut at", "take"} {
		if l.doAt+l.head(s) <= right {
			head(l.doAt, Start, s)
			break
		}
	}
	y := at[1] + listHead*l.size
	k.line(fine, nil, orb.Point{at[0], y - 0.2*l.size}, orb.Point{at[0] + l.width, y - 0.2*l.size})
	if h := l.goingOn(from); h > 0 {
		k.text(Text{At: orb.Point{at[0] + l.numberAt, y + h - (leading-ascent-0.24)*l.size}, Size: l.size, Bold: true, Runs: words(clip(l.rows[from].of+" …", l.size, l.width-l.numberAt, true))})
		y += h
	}
	for _, r := range l.rows[from:to] {
		for _, b := range r.boxes {
			b.Points = slices.Clone(b.Points)
			for i, p := range b.Points {
				b.Points[i] = orb.Point{p[0] + at[0], p[1] + y}
			}
			k.shape(b)
		}
		for _, t := range r.texts {
			t.At = orb.Point{t.At[0] + at[0], t.At[1] + y}
			k.text(t)
		}
		y += r.height
	}
}
