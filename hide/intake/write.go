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
	decimals int // of places; -1: as many as they have
}

func written(h *hide.Hide, note string, decimals int) []byte {
	w := &writer{decimals: decimals}
	if note != "" {
		w.line("# %s", note)
	}
	w.line("leather = %s", strconv.Quote(h.Leather()))
	w.line("form = %s", strconv.Quote(h.Form()))
	w.words("from", h.From())
	w.day("put_away", h.PutAway())
	w.line(`units = "mm"`)
	w.line("outline = %s", w.places(h.Outline().Corners()))
	if b := h.Backbone(); len(b) > 0 {
		w.line("backbone = %s", w.places(b))
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
		w.flaw(f)
	}
	for _, z := range h.Zones() {
		w.line("\n[[zones]]")
		w.line("quality = %q", z.Quality)
		w.line("area = %s", w.places(z.Area.Corners()))
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
			w.line("  [%s, %s, %s],", plain(r.At[0], w.decimals), plain(r.At[1], w.decimals), plain(r.MM, -1))
		}
		w.line("]")
	}
}

func (w *writer) flaw(f hide.Flaw) {
	w.line("\n[[flaws]]")
	w.line("kind = %s", strconv.Quote(f.Kind))
	if f.Face == hide.Flesh {
		w.line(`face = "flesh"`)
	}
	switch {
	case f.Spot != nil:
		w.line("at = %s", w.place(f.Spot.At))
		w.line("size = %s", plain(f.Spot.Diameter, -1))
	case f.Stroke != nil:
		w.line("line = %s", w.places(f.Stroke.Line))
		w.line("width = %s", plain(f.Stroke.Width, -1))
	case f.Patch != nil:
		w.line("area = %s", w.places(f.Patch.Corners()))
	}
}

func (w *writer) place(p orb.Point) string {
	return fmt.Sprintf("[%s, %s]", plain(p[0], w.decimals), plain(p[1], w.decimals))
}

func (w *writer) places(ps []orb.Point) string {
	var out []string
	for _, p := range ps {
		out = append(out, w.place(p))
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
