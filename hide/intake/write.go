package intake

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"github.com/paulmach/orb"

	"strapwise/hide"
)

// Write gives the hide file of a hide, in millimetres, with a note at its head.
// Read gives the same hide again: places are rounded to 0.0001 mm, unless an
// outline would not stand it, and a cost to 6 decimals. The hide's name is that of
// the file, and not in it.
func Write(h *hide.Hide, note string) []byte {
	const fine = 4
	rounded := written(h, note, fine)
	if _, err := Read(h.Name(), rounded, h.Name(), kindsOf(h)); err == nil {
		return rounded
	}
	return written(h, note, -1)
}

func kindsOf(h *hide.Hide) []string {
	kinds := []string{}
	for _, f := range h.Flaws() {
		kinds = append(kinds, f.Kind)
	}
	return kinds
}

// writer sets a hide file, line by line.
type writer struct {
	strings.Builder
	figures
}

// written has places to so many decimals; -1: as many as they have.
func written(h *hide.Hide, note string, decimals int) []byte {
	w := &writer{figures: figures{
		place: func(mm float64) string { return plain(mm, decimals) },
		size:  func(mm float64) string { return plain(mm, -1) },
	}}
	if note != "" {
		w.line("# %s", note)
	}
	w.line("leather = %s", strconv.Quote(h.Leather()))
	w.line("form = %s", strconv.Quote(h.Form()))
	w.words("from", h.From())
	w.day("put_away", h.PutAway())
	w.line(`units = "mm"`)
	w.line("outline = %s", w.points(h.Outline().Corners()))
	if b := h.Backbone(); len(b) > 0 {
		w.line("backbone = %s", w.points(b))
	}
	if h.Trim() > 0 {
		w.line("trim = %s", plain(h.Trim(), -1))
	}
	w.substance(h.Readings())
	if cost := h.Cost(); cost.Equal(cost.Round(2)) && !cost.IsZero() {
		w.line("cost = %s", cost.StringFixed(2))
	} else if !cost.IsZero() {
		w.line("cost = %s", cost.Round(6))
	}
	if h.Stamped() > 0 {
		w.line(`area = "%smm2"`, plain(h.Stamped(), -1))
	}
	w.day("bought", h.Bought())
	w.words("supplier", h.Supplier())
	w.words("grade", h.Grade())
	for _, f := range h.Flaws() {
		w.line("\n[[flaws]]")
		for _, l := range flawLines(f, w.figures) {
			w.line("%s", l)
		}
	}
	for _, z := range h.Zones() {
		w.line("\n[[zones]]")
		w.line("quality = %q", z.Quality)
		w.line("area = %s", w.points(z.Area.Corners()))
		if z.Turned {
			w.line(`grain = "%sdeg"`, plain(z.Grain.Degrees(), 9))
		}
	}
	return []byte(w.String())
}

func (w *writer) line(format string, args ...any) { fmt.Fprintf(w, format+"\n", args...) }

func (w *writer) words(key, words string) {
	if words != "" {
		w.line("%s = %s", key, strconv.Quote(words))
	}
}

func (w *writer) day(key string, day time.Time) {
	if !day.IsZero() {
		w.line("%s = %s", key, day.Format(time.DateOnly))
	}
}

func (w *writer) substance(readings []hide.Reading) {
	switch len(readings) {
	case 0:
	case 1:
		w.line("substance = %s", plain(readings[0].MM, -1))
	default:
		w.line("substance = [")
		for _, r := range readings {
			w.line("  [%s, %s, %s],", w.place(r.At[0]), w.place(r.At[1]), w.size(r.MM))
		}
		w.line("]")
	}
}

// figures write places and sizes, given in millimetres.
type figures struct{ place, size func(mm float64) string }

// flawLines are what a hide file says of a flaw.
func flawLines(f hide.Flaw, n figures) []string {
	out := []string{"kind = " + strconv.Quote(f.Kind)}
	if f.Face == hide.Flesh {
		out = append(out, `face = "flesh"`)
	}
	switch {
	case f.Spot != nil:
		out = append(out, "at = "+n.point(f.Spot.At), "size = "+n.size(f.Spot.Diameter))
	case f.Stroke != nil:
		out = append(out, "line = "+n.points(f.Stroke.Line), "width = "+n.size(f.Stroke.Width))
	case f.Patch != nil:
		out = append(out, "area = "+n.points(f.Patch.Corners()))
	}
	return out
}

func (n figures) point(p orb.Point) string { return "[" + n.place(p[0]) + ", " + n.place(p[1]) + "]" }

func (n figures) points(ps []orb.Point) string {
	var out []string
	for _, p := range ps {
		out = append(out, n.point(p))
	}
	return "[" + strings.Join(out, ", ") + "]"
}

// plain is a number without an exponent, of so many decimals at most; -1: as many
// as it has.
func plain(v float64, decimals int) string {
	if decimals >= 0 {
		scale := math.Pow10(decimals)
		v = math.Round(v*scale) / scale
	}
	return strconv.FormatFloat(v+0, 'f', -1, 64) // +0: no -0
}
