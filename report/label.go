package report

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"strapwise/hide"
	"strapwise/nest"
	"strapwise/report/internal/shape"
)

// Sizes of type in the picture, in millimetres.
const (
	numberSize    = 5.0
	labelSize     = 3.0
	fullLabel     = 5.0 // at full size
	leastLabel    = 2.4 // below it nothing can be read at arm's length
	flawSize      = 2.6
	flawNumber    = 2.4
	flawCircle    = 1.9 // radius round a flaw's number
	leastInMargin = 2.6 // of bands' numbers where very many crowd
)

// bandNumbers sets each band's number: within it if it is one strip and high
// enough, else in the margin at its end, with a fine line to it.
func (p *picture) bandNumbers() {
	var left, right []numbered
	for i, band := range p.lay.bands {
		b := p.bands[i]
		if band.plain && b.Max[1]-b.Min[1] >= numberSize*(ascent+descent)+2*clear && p.numberWithin(band.n, b) {
			continue
		}
		y := b.Center()[1]
		left = append(left, numbered{band.n, orb.Point{b.Min[0], y}, b.Max[0]})
	}
	room := p.body.Max[1] - p.body.Min[1] + baseRoom/2
	const pitch = numberSize * (ascent + descent)
	for i := 1; i < len(left) && float64(len(right)+1)*pitch < room; i++ {
		// where two crowd, the second goes to the other end
		if math.Abs(left[i].at[1]-left[i-1].at[1]) < pitch {
			right = append(right, left[i].turned())
			left = slices.Delete(left, i, i+1)
		}
	}
	for i := len(left) - 1; i >= 0 && len(left) > p.marginHolds() && len(right) < p.marginHolds(); i-- {
		// and where one margin would run over, the other takes what it can
		right = append(right, left[i].turned())
		left = slices.Delete(left, i, i+1)
	}
	p.marginNumbers(left, true)
	p.marginNumbers(right, false)
}

// marginHolds is how many numbers, as small as they may be, stand one above the
// other beside the hide.
func (p *picture) marginHolds() int {
	lo, hi := p.marginRoom()
	return int((hi - lo) / leastInMargin / (ascent + descent + 0.05))
}

// marginRoom is from where to where numbers may stand beside the hide.
func (p *picture) marginRoom() (lo, hi float64) { return p.room.Min[1], p.body.Max[1] + baseRoom/4 }

// numbered is a band whose number stands in the margin: its end there.
type numbered struct {
	n        int
	at       orb.Point
	otherEnd float64 // x of that
}

// turned is the same with the number at the band's other end.
func (n numbered) turned() numbered {
	return numbered{n.n, orb.Point{n.otherEnd, n.at[1]}, n.at[0]}
}

// numberWithin sets a band's number near its left end, clear of the ragged edge of
// the hide and of all else.
func (p *picture) numberWithin(n int, b orb.Bound) bool {
	const far = 30.0 // mm from its end, no one looks for it
	t := Text{Size: numberSize, Bold: true, Runs: words(fmt.Sprint(n))}
	for x := b.Min[0] + 2.6; x < b.Min[0]+far; x++ {
		t.At = orb.Point{x, b.Center()[1] + (ascent-descent)/2*t.Size}
		box := t.Bound()
		if box.Max[0] > b.Max[0]-1 {
			return false
		}
		if !p.k.onText(box) && !p.k.onSolid(box) && !p.k.onLine(box) {
			p.k.text(t)
			return true
		}
	}
	return false
}

// marginNumbers sets numbers one above the other beside the hide, each as near
// its band as the others let it.
func (p *picture) marginNumbers(ns []numbered, left bool) {
	if len(ns) == 0 {
		return
	}
	slices.SortStableFunc(ns, func(a, b numbered) int { return cmp.Compare(a.at[1], b.at[1]) })
	lo, hi := p.marginRoom()
	for most := p.marginHolds(); len(ns) > most; {
		ns = everySecond(ns) // the rest are counted off between them
	}
	size := min(numberSize, (hi-lo)/float64(len(ns))/(ascent+descent+0.05))
	pitch := size * (ascent + descent + 0.04)
	want := make([]float64, len(ns))
	for i, n := range ns {
		want[i] = n.at[1]
	}
	got := spread(want, pitch, lo+pitch/2, hi-pitch/2)
	x, anchor, into := p.body.Min[0]-2.5, End, 1.0
	if !left {
		x, anchor, into = p.body.Max[0]+2.5, Start, -1.0
	}
	for i, n := range ns {
		t := Text{At: orb.Point{x, got[i] + (ascent-descent)/2*size}, Anchor: anchor, Size: size, Bold: true, Runs: words(fmt.Sprint(n.n))}
		p.k.text(t)
		leader := []orb.Point{{x + into*0.6, got[i]}, {x + into*1.8, got[i]}, n.at}
		p.k.line(fine, nil, leader...)
		p.k.keep(leader, false)
	}
}

func everySecond(ns []numbered) []numbered {
	var out []numbered
	for i := 0; i < len(ns); i += 2 {
		out = append(out, ns[i])
	}
	return out
}

// spread moves places apart to at least the pitch, each as little as it may,
// and keeps them between lo and hi if there is room. The places come sorted.
// Those that crowd are held in one stack about their mean.
func spread(want []float64, pitch, lo, hi float64) []float64 {
	type stack struct {
		n        int
		sum, top float64 // sum of wanted tops of the stack; where its first stands
	}
	place := func(s stack) float64 {
		return max(lo, min(s.sum/float64(s.n), hi-float64(s.n-1)*pitch))
	}
	var stacks []stack
	for _, w := range want {
		s := stack{n: 1, sum: w}
		s.top = place(s)
		for len(stacks) > 0 {
			before := stacks[len(stacks)-1]
			if before.top+float64(before.n)*pitch <= s.top {
				break
			}
			// joined, the later stack stands before.n places further down
			s = stack{n: before.n + s.n, sum: before.sum + s.sum - float64(s.n*before.n)*pitch}
			s.top = place(s)
			stacks = stacks[:len(stacks)-1]
		}
		stacks = append(stacks, s)
	}
	var out []float64
	for _, s := range stacks {
		for i := range s.n {
			out = append(out, s.top+float64(i)*pitch)
		}
	}
	return out
}

// pieceLabels names every piece that is high and long enough.
func (p *picture) pieceLabels() {
	for _, s := range p.lay.cuts.Strips {
		for _, piece := range p.lay.pieces[s.N] { // what is cut has its name written on it
			p.pieceLabel(piece)
		}
	}
	for _, piece := range p.loose {
		p.pieceLabel(piece)
	}
}

// pieceLabel names a piece, at full size again and again along it.
func (p *picture) pieceLabel(piece nest.Piece) {
	outline := p.onPage(piece.Outline)
	b := orb.MultiPoint(outline).Bound()
	n := 1.0
	if p.scale >= 1 {
		n = math.Ceil((b.Max[0] - b.Min[0]) / sheetStretch)
	}
	each := (b.Max[0] - b.Min[0]) / n
	for i := range int(n) {
		x := b.Min[0] + float64(i)*each
		p.labelIn(piece, outline, orb.Bound{Min: orb.Point{x, b.Min[1]}, Max: orb.Point{x + each, b.Max[1]}})
	}
}

// labelIn names a piece within a part of it.
func (p *picture) labelIn(piece nest.Piece, outline []orb.Point, b orb.Bound) {
	length, width := p.size(piece)
	mark := ""
	if piece.New {
		mark = star
	}
	short := words(label(piece) + mark)
	long := join(short, words("  "), figure(p.rule, width), words(" × "), figure(p.rule, length))
	heights := []float64{0.5}
	if file := p.templateFile(piece); file != "" {
		long = join(short, words("  template "+file))
		heights = []float64{0.5, 0.4, 0.6, 0.3, 0.7}
	}
	set := words(fmt.Sprintf("%s·%d%s", piece.Order, piece.Set, mark))
	for _, try := range []struct {
		size float64
		runs []Run
	}{{fullLabel, long}, {labelSize, long}, {labelSize, short}, {2.7, short}, {leastLabel, short}, {labelSize, set}, {leastLabel, set}} {
		t := Text{Size: try.size, Anchor: Middle, Runs: try.runs, Accent: piece.New}
		w := t.Width()
		if try.size > labelSize && p.scale < 1 || b.Max[1]-b.Min[1] < try.size*(ascent+descent)+0.1 || b.Max[0]-b.Min[0] < w+1.2 {
			continue
		}
		for _, part := range []float64{0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.1, 0.9, 0, 1} {
			x := b.Min[0] + w/2 + 0.6 + part*(b.Max[0]-b.Min[0]-w-1.2)
			for _, height := range heights {
				t.At = orb.Point{x, b.Min[1] + height*(b.Max[1]-b.Min[1]) + (ascent-descent)/2*try.size}
				box := t.Bound()
				if p.k.onText(box) || p.k.onSolid(box) || !inside(outline, box.Min) || !inside(outline, box.Max) || len(heights) > 1 && !boxInside(outline, box) {
					continue
				}
				bare := box // clears a texture, never a cut
				if len(heights) == 1 {
					bare = box.Pad(clear / 2)
				}
				bare.Min[1], bare.Max[1] = max(bare.Min[1], b.Min[1]+cut), min(bare.Max[1], b.Max[1]-cut)
				p.k.polygon(0, Bare, corners(bare)...)
				p.k.text(t)
				return
			}
		}
	}
}

// flawName is the word for a flaw on the sheet.
func flawName(f hide.Flaw) string {
	if f.Face == hide.Flesh {
		return "flesh " + f.Kind
	}
	return f.Kind
}

// accepted reports whether a piece of the plan lies over a flaw, which its use
// then allows.
func (p *picture) accepted(i int) bool {
	f, place := p.hide.Flaws()[i], p.lay.flaws[i]
	reach := place.Envelope()
	for _, piece := range p.plan.Pieces {
		if piece.Hide != p.hide.Name() || p.job.Uses[piece.Use].Refuses(f) {
			continue
		}
		g, err := shape.Of(piece.Outline)
		if err == nil && g.Envelope().Intersects(reach) && shape.On(g, place).Area() > 0.5 { // mm²; an edge may touch
			return true
		}
	}
	return false
}

// flawNames sets each flaw's name in it or beside it where there is room, else
// its number, and keeps the numbers for the list. Numbers follow the hide's file.
func (p *picture) flawNames() {
	for i, f := range p.hide.Flaws() {
		name := flawName(f)
		if p.found(i) {
			name += star
		}
		if p.accepted(i) {
			name += ", accepted"
		}
		rings := p.flaws[i]
		if len(rings) > 0 && p.nameWithin(rings[0], name) {
			continue
		}
		b := orb.MultiPoint(slices.Concat(rings...)).Bound()
		t := Text{Size: flawSize, Anchor: Middle, Runs: words(clip(name, flawSize, 30, false))}
		if at, ok := p.beside(b, t.Width(), flawSize*(ascent+descent), []float64{0.5}, true); ok {
			t.At = orb.Point{at[0], at[1] + (ascent-descent)/2*flawSize}
			p.knock(t)
			continue
		}
		const side = 2 * flawCircle
		at, ok := p.beside(b, side, side, []float64{0.4, 1.5, 3}, true)
		if !ok { // a circle of bare paper may interrupt a line
			at, ok = p.beside(b, side, side, []float64{0.4, 1.5, 3, 5, 8, 12}, false)
		}
		if ok {
			p.numberFlaw(i+1, at, b)
			p.key = p.key.add(i+1, name)
		} else {
			p.key = p.key.add(0, name)
		}
	}
}

// key lists flaws that have no name in the picture, those of one name together.
type key []struct {
	name string
	ns   []int // numbers that stand beside them
	bare int   // how many found no room for even a number
}

// add takes in a flaw; n is its number in the picture, or 0 if it has none there.
func (k key) add(n int, name string) key {
	i := 0
	for i < len(k) && k[i].name != name {
		i++
	}
	if i == len(k) {
		k = append(k, key{{name: name}}...)
	}
	if n == 0 {
		k[i].bare++
	} else {
		k[i].ns = append(k[i].ns, n)
	}
	return k
}

// entries are the words of the list, one for each name.
func (k key) entries() []string {
	var out []string
	for _, e := range k {
		words := strings.TrimSpace(numbers(e.ns) + " " + e.name)
		switch {
		case e.bare > 0 && len(e.ns) > 0:
			words += fmt.Sprintf(" and %d more, not numbered", e.bare)
		case e.bare > 0:
			words = fmt.Sprintf("%d × %s, not numbered", e.bare, e.name)
		}
		out = append(out, words)
	}
	return out
}

func (p *picture) numberFlaw(n int, at orb.Point, b orb.Bound) {
	ring := circle(at, flawCircle)
	t := Text{At: orb.Point{at[0], at[1] + (ascent-descent)/2*flawNumber}, Anchor: Middle, Size: flawNumber, Runs: words(fmt.Sprint(n))}
	near := orb.Point{max(b.Min[0], min(at[0], b.Max[0])), max(b.Min[1], min(at[1], b.Max[1]))}
	if d := math.Hypot(near[0]-at[0], near[1]-at[1]); d > flawCircle+0.6 {
		p.k.line(fine, nil, at, near)
	}
	p.k.polygon(fine, Bare, ring...)
	p.k.text(t)
	p.k.avoid(ring)
}

// nameWithin sets a name inside a flaw that is large enough for it.
func (p *picture) nameWithin(ring []orb.Point, name string) bool {
	t := Text{Size: flawSize, Anchor: Middle, Runs: words(name)}
	c := orb.MultiPoint(ring).Bound().Center()
	t.At = orb.Point{c[0], c[1] + (ascent-descent)/2*flawSize}
	box := t.Bound()
	if !boxInside(ring, box.Pad(0.6)) || p.k.onText(box) {
		return false
	}
	p.knock(t)
	return true
}

// beside looks for a free box of that size near another, at the distances
// told, nearest first; strict keeps it off drawn lines too. It gives the middle.
func (p *picture) beside(b orb.Bound, w, h float64, distances []float64, strict bool) (orb.Point, bool) {
	c := b.Center()
	for _, d := range distances {
		dx, dy := (b.Max[0]-b.Min[0]+w)/2+d, (b.Max[1]-b.Min[1]+h)/2+d
		for _, way := range [][2]float64{
			{1, 0},
			{-1, 0},
			{0, -1},
			{0, 1},
			{0.5, -1},
			{-0.5, -1},
			{0.5, 1},
			{-0.5, 1},
			{1, -0.5},
			{-1, -0.5},
			{1, 0.5},
			{-1, 0.5},
			{1, -1},
			{-1, -1},
			{1, 1},
			{-1, 1},
		} {
			at := orb.Point{c[0] + way[0]*dx, c[1] + way[1]*dy}
			box := orb.Bound{Min: orb.Point{at[0] - w/2, at[1] - h/2}, Max: orb.Point{at[0] + w/2, at[1] + h/2}}
			if strict && p.free(box) || !strict && !p.k.onText(box) && !p.k.onSolid(box) &&
				box.Min[0] > p.room.Min[0] && box.Max[0] < p.room.Max[0] && box.Min[1] > p.room.Min[1] && box.Max[1] < p.room.Max[1] {
				return at, true
			}
		}
	}
	return orb.Point{}, false
}

// flawKey sets the list of flaws and zones without a name under the ruler, as far as the room
// kept for it goes, and returns the lines it takes.
func (p *picture) flawKey() float64 {
	if len(p.key)+len(p.zones) == 0 {
		return 0
	}
	left := p.body.Min[0]
	width := p.room.Max[0] - left
	y := p.body.Max[1] + baseRoom
	lines := 0.0
	set := func(s string) {
		lines++
		if lines <= p.spare {
			p.k.text(Text{At: orb.Point{left, y + (lines-1)*keyLine + flawSize}, Size: flawSize, Runs: words(clip(s, flawSize, width, false))})
		}
	}
	told := strings.Join(p.key.entries(), "; ")
	if told != "" {
		told = "flaws: " + told
	}
	if len(p.zones) > 0 {
		told = strings.TrimPrefix(told+"; zones not named: "+strings.Join(p.zones, ", "), "; ")
	}
	line := ""
	for _, word := range strings.SplitAfter(told, " ") {
		if line != "" && textWidth(words(line+word), flawSize, false) > width {
			set(line)
			line = ""
		}
		line += word
	}
	set(line)
	return lines
}
