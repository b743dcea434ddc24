package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"strapwise/hide/measure"
)

// Room on a sheet of a tiled drawing, in millimetres.
const (
	overlap  = 10.0 // of neighbours
	tileHead = 6.0
	tileFoot = 17.0 // for the check bar and the small map
)

// joins is the dash of the lines at which sheets are joined.
var joins = []float64{4, 2}

// Tiles lays a drawing out at its own size on as many sheets of the paper as it
// takes, long side up or across as gives fewer. Each has a bar to check the printer
// by. Where there are several, neighbours overlap and have lines and crosses to lay
// on one another; the first page is a map of all, and sheets that would stay empty
// are left out.
func Tiles(drawing Page, paper Paper) []Page {
	w, h := paper.Size()
	t := newTiling(drawing, orb.Point{w, h})
	if upright := newTiling(drawing, orb.Point{h, w}); len(upright.used) < len(t.used) {
		t = upright
	}
	var pages []Page
	if t.columns*t.rows > 1 {
		pages = append(pages, t.cover())
	}
	for i := range t.used {
		pages = append(pages, t.sheet(i))
	}
	return pages
}

// tiling is how a drawing lies on sheets of paper side by side. A sheet shows its
// own cell and, of each neighbour's, half the overlap:
//
//	┌─────────┬─┄┄┄┄┄┄┄┄┐
//	│   A1    ┊ │  A2   ┊      ─ what A1 shows
//	│         ┊ │       ┊      ┊ what its neighbours show; cells meet half way
//	├┄┄┄┄┄┄┄┄┄┼┄┤
//	└─────────┴─┘
//	┊   B1      ┊
type tiling struct {
	drawing       Page
	paper, cell   orb.Point // sizes
	columns, rows int
	used          []tile // those on which something of the drawing is, row by row
}

// tile is the place of a sheet, counted from 0.
type tile struct{ row, column int }

// name is "A1": its row and its column.
func (t tile) name() string { return fmt.Sprintf("%s%d", strings.ToUpper(letters(t.row)), t.column+1) }

func newTiling(drawing Page, paper orb.Point) *tiling {
	t := &tiling{drawing: drawing, paper: paper}
	cells := func(size, window float64) (n int, cell float64) {
		if size <= window {
			return 1, size
		}
		return int(math.Ceil((size - overlap) / (window - overlap))), window - overlap
	}
	t.columns, t.cell[0] = cells(drawing.Width, paper[0]-2*margin)
	t.rows, t.cell[1] = cells(drawing.Height, paper[1]-2*margin-tileHead-tileFoot)
	for row := range t.rows {
		for column := range t.columns {
			if at := (tile{row, column}); slices.ContainsFunc(drawing.Items, func(item Item) bool { return shows(item, t.own(at)) }) {
				t.used = append(t.used, at)
			}
		}
	}
	return t
}

// shows reports whether some ink of an item lies in a box.
func shows(item Item, box orb.Bound) bool {
	switch it := item.(type) {
	case Text:
		return it.Bound().Intersects(box)
	case Shape:
		box = box.Pad(it.Weight / 2)
		if !orb.MultiPoint(it.Points).Bound().Intersects(box) {
			return false
		}
		for i, p := range it.Points {
			if last := i == len(it.Points)-1; (!last || it.Closed) && crosses(segment{p, it.Points[(i+1)%len(it.Points)]}, box) {
				return true
			}
		}
		return it.Closed && it.Fill > Bare && inside(it.Points, box.Center())
	}
	return false
}

// own is the cell of a sheet, in the drawing. The outer ones reach to its edge.
func (t *tiling) own(at tile) orb.Bound {
	along := func(i, n int, cell, size float64) (lo, hi float64) {
		lo, hi = overlap/2+float64(i)*cell, overlap/2+float64(i+1)*cell
		if i == 0 {
			lo = 0
		}
		if i == n-1 {
			hi = size
		}
		return lo, hi
	}
	var b orb.Bound
	b.Min[0], b.Max[0] = along(at.column, t.columns, t.cell[0], t.drawing.Width)
	b.Min[1], b.Max[1] = along(at.row, t.rows, t.cell[1], t.drawing.Height)
	return b
}

// window is what a sheet shows of the drawing.
func (t *tiling) window(at tile) orb.Bound {
	b, all := t.own(at).Pad(overlap/2), orb.Bound{Max: orb.Point{t.drawing.Width, t.drawing.Height}}
	for axis := range 2 {
		b.Min[axis], b.Max[axis] = max(b.Min[axis], all.Min[axis]), min(b.Max[axis], all.Max[axis])
	}
	return b
}

// sheet sets one of the sheets in use.
func (t *tiling) sheet(i int) Page {
	k := &ink{}
	at := t.used[i]
	v := View{From: t.window(at), At: orb.Point{margin, margin + tileHead}}
	for _, item := range t.drawing.Items {
		if shows(item, v.From) {
			v.Items = append(v.Items, item)
		}
	}
	k.items = append(k.items, v)
	place := "full size"
	if t.columns*t.rows > 1 {
		place = fmt.Sprintf("sheet %s, %d of %d", at.name(), i+1, len(t.used))
	}
	t.heading(k, place)
	for _, to := range []tile{{at.row, at.column - 1}, {at.row, at.column + 1}, {at.row - 1, at.column}, {at.row + 1, at.column}} {
		if slices.Contains(t.used, to) {
			t.joint(k, v, at, to)
		}
	}
	t.foot(k)
	if t.columns*t.rows > 1 {
		const wide, high = 36.0, tileFoot - 4
		scale := min(wide/t.drawing.Width, high/t.drawing.Height)
		t.grid(k, orb.Point{t.paper[0] - margin - t.drawing.Width*scale, t.paper[1] - margin - t.drawing.Height*scale}, scale, at, false)
	}
	return t.page(k)
}

func (t *tiling) page(k *ink) Page {
	return Page{Width: t.paper[0], Height: t.paper[1], Title: t.drawing.Title, Items: k.items}
}

func (t *tiling) heading(k *ink, aside string) {
	right := Text{At: orb.Point{t.paper[0] - margin, margin + 3.4}, Anchor: End, Size: 3.6, Bold: true, Runs: words(aside)}
	k.text(right)
	k.text(Text{At: orb.Point{margin, margin + 3.4}, Size: 3.6, Runs: words(clip(t.drawing.Title, 3.6, right.Bound().Min[0]-margin-4, false))})
}

// joint draws where two sheets meet: the line in the middle of their overlap, two
// crosses on it, and beyond it the neighbour's name.
func (t *tiling) joint(k *ink, v View, at, to tile) {
	own, away := t.own(at), 1.0
	axis, edge := 0, own.Max[0] // across which they meet, and where
	switch {
	case to.column < at.column:
		edge, away = own.Min[0], -1
	case to.row < at.row:
		axis, edge, away = 1, own.Min[1], -1
	case to.row > at.row:
		axis, edge = 1, own.Max[1]
	}
	on := func(along, across float64) orb.Point { // the page
		p := orb.Point{across, along}
		if axis == 1 {
			p = orb.Point{along, across}
		}
		return orb.Point{p[0] - v.From.Min[0] + v.At[0], p[1] - v.From.Min[1] + v.At[1]}
	}
	lo, hi := v.From.Min[1-axis], v.From.Max[1-axis]
	k.line(fine, joins, on(lo, edge), on(hi, edge))
	for _, part := range []float64{0.25, 0.75} {
		cross(k, on(own.Min[1-axis]+part*(own.Max[1-axis]-own.Min[1-axis]), edge))
	}
	name := Text{Anchor: Middle, Size: 2.6, Runs: words("here lies " + to.name())}
	name.At = on((own.Min[1-axis]+own.Max[1-axis])/2, edge+away*overlap/4)
	if name.At[1] += (ascent - descent) / 2 * name.Size; axis == 0 {
		name.At[1] -= (ascent - descent) / 2 * name.Size
		name.At[0] += (ascent - descent) / 2 * name.Size
		name.Turn = 90
	}
	k.polygon(0, Bare, corners(name.Bound().Pad(clear/2))...)
	k.text(name)
}

// cross is a mark to lay on its like.
func cross(k *ink, at orb.Point) {
	const arm, radius = 4.0, 2.0
	k.line(part, nil, orb.Point{at[0] - arm, at[1]}, orb.Point{at[0] + arm, at[1]})
	k.line(part, nil, orb.Point{at[0], at[1] - arm}, orb.Point{at[0], at[1] + arm})
	k.polygon(part, None, circle(at, radius)...)
}

func circle(at orb.Point, radius float64) []orb.Point {
	var out []orb.Point
	for i := range 24 {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / 24)
		out = append(out, orb.Point{at[0] + radius*cos, at[1] + radius*sin})
	}
	return out
}

// Lengths of the check bar, in millimetres.
const (
	barMetric = 100
	barInches = 4
)

// foot draws the check bar: centimetres above it, inches below.
func (t *tiling) foot(k *ink) {
	const size = 2.6
	y := t.paper[1] - margin - 7.5
	end := barInches * measure.MMPerInch
	k.line(light, nil, orb.Point{margin, y}, orb.Point{margin + end, y})
	for n := range barMetric/10 + 1 {
		tall := []float64{3, 1.8}[min(n%10, 1)]
		k.line(light, nil, orb.Point{margin + 10*float64(n), y}, orb.Point{margin + 10*float64(n), y - tall})
	}
	for n := range barInches + 1 {
		tall := []float64{3, 1.8}[min(n%barInches, 1)]
		k.line(light, nil, orb.Point{margin + float64(n)*measure.MMPerInch, y}, orb.Point{margin + float64(n)*measure.MMPerInch, y + tall})
	}
	k.text(Text{At: orb.Point{margin + 50, y - 2.6}, Anchor: Middle, Size: size, Runs: words("100 mm")})
	k.text(Text{At: orb.Point{margin + end/2, y + 5.2}, Anchor: Middle, Size: size, Runs: words("4 in")})
	for i, s := range []string{"print at 100 %, not fitted", "to the paper; hold a rule", "to the bar before cutting"} {
		k.text(Text{At: orb.Point{margin + end + 4, y - 1 + 3.4*float64(i)}, Size: size, Runs: words(s)})
	}
}

// grid draws the sheets in use on a small scale, the given one solid.
func (t *tiling) grid(k *ink, at orb.Point, scale float64, here tile, named bool) {
	for _, u := range t.used {
		b := t.own(u)
		for _, p := range []*orb.Point{&b.Min, &b.Max} {
			*p = orb.Point{at[0] + p[0]*scale, at[1] + p[1]*scale}
		}
		fill := None
		if u == here {
			fill = Solid
		}
		k.shape(Shape{Points: corners(b), Closed: true, Weight: fine, Fill: fill, Dash: joins})
		if named {
			size := min(5, 0.4*(b.Max[0]-b.Min[0]), 0.7*(b.Max[1]-b.Min[1]))
			name := Text{At: orb.Point{b.Center()[0], b.Center()[1] + (ascent-descent)/2*size}, Anchor: Middle, Size: size, Bold: true, Runs: words(u.name())}
			k.polygon(0, Bare, corners(name.Bound().Pad(clear))...)
			k.text(name)
		}
	}
}

// cover is the page map: which sheet shows what, and how they are joined.
func (t *tiling) cover() Page {
	k := &ink{}
	t.heading(k, count(len(t.used), "sheet"))
	how := []string{
		"Trim each sheet along the dashed lines on its right and lower sides. Lay it over its neighbours,",
		"line on line and cross on cross, and tape it down. Cut by the outlines, not by the paper.",
	}
	const size = 3.2
	top := margin + tileHead + 2.0
	for _, s := range how {
		top += size * leading
		k.text(Text{At: orb.Point{margin, top}, Size: size, Runs: words(s)})
	}
	top += 4
	w, h := t.paper[0]-2*margin, t.paper[1]-margin-tileFoot-2-top
	scale := min(w/t.drawing.Width, h/t.drawing.Height)
	at := orb.Point{t.paper[0]/2 - t.drawing.Width*scale/2, top}
	v := View{From: orb.Bound{Min: at, Max: orb.Point{at[0] + t.drawing.Width*scale, at[1] + t.drawing.Height*scale}}, At: at}
	for _, item := range t.drawing.Items {
		s, ok := item.(Shape)
		if !ok || s.Weight < light || s.Fill == Bare {
			continue
		}
		small := Shape{Closed: s.Closed, Weight: max(fine, s.Weight/2)}
		for _, p := range s.Points {
			small.Points = append(small.Points, orb.Point{at[0] + p[0]*scale, at[1] + p[1]*scale})
		}
		v.Items = append(v.Items, small)
	}
	k.items = append(k.items, v)
	t.grid(k, at, scale, tile{-1, -1}, true)
	t.foot(k)
	return t.page(k)
}
