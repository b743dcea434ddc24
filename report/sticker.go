package report

import (
	"fmt"

	"github.com/paulmach/orb"

	"strapwise/hide"
	"strapwise/hide/measure"
	"strapwise/nest"
)

// Label is what a sticker says: a name, and lines below it, the first the largest.
type Label struct {
	Name  []Run
	Lines [][]Run
}

// PieceLabels are those of the pieces of a hide, in the order in which they are
// cut: order and set, part, size, and where they lay.
func PieceLabels(j nest.Job, p nest.Plan, hideName string, rule measure.Rule) ([]Label, error) {
	l, err := readLay(j, p, hideName, rule)
	if err != nil {
		return nil, err
	}
	var out []Label
	mark := words("plan " + Mark(p))
	for _, piece := range l.inOrder() {
		length, width := l.size(piece)
		where := hideName
		switch in := l.blockOf[piece.Strip]; {
		case in.block == nil:
		case in.band.lettered():
			where += ", block " + in.block.name
		default:
			where += ", band " + in.block.name
		}
		kind := l.hide.Leather() + ", " + piece.Use
		if file := l.templateFile(piece); file != "" {
			kind += ", template " + file
		}
		out = append(out, Label{Name: words(label(piece)), Lines: [][]Run{
			join(figure(rule, width), words(" × "), figure(rule, length), words(" "+unitShort(rule))),
			words(kind),
			words(where),
			mark,
		}})
	}
	return out, nil
}

// HideLabel is that of a hide on the rack: name, leather, area, the longest run of
// a strip of some width that serves a use, and where it comes from. No use: there
// is no such run.
func HideLabel(h *hide.Hide, use string, run, width float64, rule measure.Rule) Label {
	longest := words("no run " + rule.Length(width) + " wide")
	if use != "" {
		longest = join(words("longest run "), figure(rule, rule.Down(run)), words(" "+unitShort(rule)+", "), figure(rule, width), words(" wide, for "+use))
	}
	from := h.Form()
	if h.From() != "" {
		from += " of " + h.From()
	}
	if !h.Bought().IsZero() {
		from += ", bought " + h.Bought().Format("2006-01-02")
	}
	return Label{Name: words(h.Name()), Lines: [][]Run{
		words(h.Leather()),
		words(rule.BothAreas(h.Area()) + ", " + count(len(h.Flaws()), "flaw")),
		longest,
		words(from),
	}}
}

// StickerGrid says how many stickers stand on a sheet of paper, long side up, edge
// to edge. First is the one to begin with, counted from 1, row by row.
type StickerGrid struct{ Columns, Rows, First int }

// mostStickers is how many go side by side or one below the other: more would hold
// no word that could be read.
const mostStickers = 20

// Check says what is wrong with a grid.
func (g StickerGrid) Check() error {
	switch {
	case g.Columns < 1 || g.Rows < 1 || g.Columns > mostStickers || g.Rows > mostStickers:
		return fmt.Errorf("found %d x %d stickers, expected from 1 to %d either way", g.Columns, g.Rows, mostStickers)
	case g.First < 1 || g.First > g.Columns*g.Rows:
		return fmt.Errorf("found sticker %d, expected from 1 to %d", g.First, g.Columns*g.Rows)
	}
	return nil
}

// Stickers sets labels on sheets of the grid, which must be one that Check passes.
func Stickers(title string, labels []Label, paper Paper, g StickerGrid) []Page {
	h, w := paper.Size()
	each := orb.Point{w / float64(g.Columns), h / float64(g.Rows)}
	var pages []Page
	for place := g.First - 1; len(labels) > 0; place = 0 {
		k := &ink{}
		for i := range g.Columns - 1 {
			x := float64(i+1) * each[0]
			k.line(fine, nil, orb.Point{x, 0}, orb.Point{x, h})
		}
		for i := range g.Rows - 1 {
			y := float64(i+1) * each[1]
			k.line(fine, nil, orb.Point{0, y}, orb.Point{w, y})
		}
		for ; place < g.Columns*g.Rows && len(labels) > 0; place++ {
			at := orb.Point{float64(place%g.Columns) * each[0], float64(place/g.Columns) * each[1]}
			sticker(k, labels[0], orb.Bound{Min: at, Max: orb.Point{at[0] + each[0], at[1] + each[1]}}.Pad(-stickerAir))
			labels = labels[1:]
		}
		pages = append(pages, Page{Width: w, Height: h, Title: title, Items: k.items})
	}
	return pages
}

// Sizes on a sticker, in millimetres.
const (
	stickerAir   = 4.5 // to its edge, which printers and scissors miss by some
	stickerName  = 6.4
	stickerFirst = 5.0
	stickerLine  = 3.2
	mostGrown    = 1.8 // times these, where there is room
)

// sticker sets a label in a box: the lines as large as its height allows, each as its
// width does. What would be too small to read is left out.
func sticker(k *ink, l Label, box orb.Bound) {
	lines := append([][]Run{l.Name}, l.Lines...)
	sizes := []float64{stickerName, stickerFirst}
	usual := 0.0
	for i := range lines {
		if i >= len(sizes) {
			sizes = append(sizes, stickerLine)
		}
		usual += sizes[i] * leading
	}
	grown := min(mostGrown, (box.Max[1]-box.Min[1])/usual)
	y := box.Min[1]
	for i, runs := range lines {
		size := max(leastList, sizes[i]*grown)
		t := Text{Size: size, Bold: i == 0, Runs: runs}
		if w := t.Width(); w > box.Max[0]-box.Min[0] {
			t.Size = max(leastList, size*(box.Max[0]-box.Min[0])/w)
		}
		if t.Width() > box.Max[0]-box.Min[0]+1e-9 {
			room := box.Max[0] - box.Min[0]
			t.Runs = words(clip(clipOrder(Plain(runs), t.Size, room, t.Bold), t.Size, room, t.Bold))
		}
		if y+size*(ascent+descent) > box.Max[1] {
			return
		}
		t.At = orb.Point{box.Min[0], y + size*ascent}
		k.text(t)
		y += size * leading
	}
}
