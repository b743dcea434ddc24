package report

import (
	"fmt"
	"math"
	"strings"
	"sync"

	"github.com/paulmach/orb"
	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// The type is laid out by the widths of the Go fonts. Whoever shows the page
// may have another plain sans: widthSlack allows for one that runs wider.
// Measured on the sheet's own words, DejaVu Sans Condensed takes 1.03 of the
// Go fonts' width and DejaVu Sans, the widest in common use, 1.13; the rest of
// that is made up by the air between columns.
const widthSlack = 1.1

// ascent and descent are how far letters reach from the baseline, in ems:
// what the tallest figure and the deepest p of the Go fonts need.
const (
	ascent  = 0.76
	descent = 0.22
)

// FractionScale is the size of the figures of a fraction that is set from
// figures and a stroke, against the text round it.
const FractionScale = 0.62

type face struct {
	common [0x250]float64 // advances of the Latin letters, in ems
	mu     sync.Mutex     // guards what follows
	font   *sfnt.Font
	buffer sfnt.Buffer
}

var (
	regular = sync.OnceValue(func() *face { return newFace(goregular.TTF) })
	bold    = sync.OnceValue(func() *face { return newFace(gobold.TTF) })
)

func newFace(ttf []byte) *face {
	parsed, err := sfnt.Parse(ttf)
	if err != nil {
		panic("report: a font compiled into the program does not parse: " + err.Error())
	}
	f := &face{font: parsed}
	for r := range f.common {
		f.common[r] = f.advance(rune(r))
	}
	return f
}

func (f *face) runeWidth(r rune) float64 {
	if r >= 0 && int(r) < len(f.common) {
		return f.common[r]
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.advance(r)
}

// advance is the width of r in ems; 1 for letters the font does not have,
// which is what a full-width letter takes.
func (f *face) advance(r rune) float64 {
	const em = 1000
	if i, err := f.font.GlyphIndex(&f.buffer, r); err == nil && i != 0 {
		if a, err := f.font.GlyphAdvance(&f.buffer, i, fixed.I(em), font.HintingNone); err == nil {
			return float64(a) / 64 / em
		}
	}
	return 1
}

func (f *face) wordsWidth(s string) float64 {
	w := 0.0
	for _, r := range s {
		w += f.runeWidth(r)
	}
	return w
}

// Width is the length of the text along its baseline in millimetres, with
// some slack for a face that runs wider than the one it is measured in.
func (t Text) Width() float64 {
	f := regular()
	if t.Bold {
		f = bold()
	}
	w := 0.0
	for _, r := range t.Runs {
		if r.Den == 0 {
			w += f.wordsWidth(r.Words)
			continue
		}
		set := FractionScale*(f.wordsWidth(fmt.Sprint(r.Num))+f.wordsWidth(fmt.Sprint(r.Den))) + f.wordsWidth("⁄")
		w += max(set, f.runeWidth('⅜'))
	}
	return w * t.Size * widthSlack
}

// Bound is the smallest upright rectangle round the text, from the top of its
// figures to the foot of its descenders.
func (t Text) Bound() orb.Bound {
	w := t.Width()
	from := 0.0
	switch t.Anchor {
	case Middle:
		from = -w / 2
	case End:
		from = -w
	}
	sin, cos := math.Sincos(-t.Turn * math.Pi / 180)
	var corners orb.MultiPoint
	for _, x := range []float64{from, from + w} {
		for _, y := range []float64{-ascent * t.Size, descent * t.Size} {
			corners = append(corners, orb.Point{t.At[0] + x*cos - y*sin, t.At[1] + x*sin + y*cos})
		}
	}
	return corners.Bound()
}

// words is a text of one run.
func words(s string) []Run { return []Run{{Words: s}} }

// Plain is a text in plain letters: "1 3/8".
func Plain(runs []Run) string {
	var b strings.Builder
	for _, r := range runs {
		switch {
		case r.Den == 0:
			b.WriteString(r.Words)
		default:
			if s := b.String(); s != "" && s[len(s)-1] >= '0' && s[len(s)-1] <= '9' {
				b.WriteByte(' ')
			}
			fmt.Fprintf(&b, "%d/%d", r.Num, r.Den)
		}
	}
	return b.String()
}

// clip shortens words until they are no wider than so many millimetres; a cut
// end shows as "…".
func clip(s string, size, width float64, isBold bool) string {
	fits := func(s string) bool {
		return Text{Size: size, Bold: isBold, Runs: words(s)}.Width() <= width
	}
	if fits(s) {
		return s
	}
	r := []rune(s)
	for len(r) > 0 && !fits(string(r)+"…") {
		r = r[:len(r)-1]
	}
	return string(r) + "…"
}

// clipOrder shortens what comes off at a cross-cut, "A12·3 main", by the name
// of its order only: set and part are what tells pieces apart. Some of the order's
// name stays, even if it is then wider.
func clipOrder(s string, size, width float64, isBold bool) string {
	i := strings.LastIndex(s, "·")
	if i < 0 || textWidth(words(s), size, isBold) <= width {
		return s
	}
	return clip(s[:i], size, max(width-textWidth(words(s[i:]), size, isBold), 3*size), isBold) + s[i:]
}

// clipWords shortens those words that are wider by themselves; the others can go on the
// next row, so that no order is told by half its name that could be told by all of it.
func clipWords(s string, size, width float64) string {
	all := strings.Split(s, " ")
	for i, word := range all {
		if strings.Contains(word, "·") {
			all[i] = clipOrder(word, size, width, false)
		} else {
			all[i] = clip(word, size, width, false)
		}
	}
	return strings.Join(all, " ")
}
