package draw

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"time"
	"unicode/utf16"

	"codeberg.org/go-pdf/fpdf"
	"github.com/paulmach/orb"

	"strapwise/report"
)

// PDF writes pages as one document, at true size, with the type in it, so that it
// looks and prints everywhere the same. Texts can be sought and copied. It refers
// to nothing outside itself, and equal pages give equal bytes. The error names the
// first page and item whose figures are no numbers.
func PDF(pages []report.Page) ([]byte, error) {
	if len(pages) == 0 {
		return nil, errors.New("found no page, expected one or more")
	}
	for i, page := range pages {
		if err := checked(page); err != nil {
			return nil, fmt.Errorf("page %d: %w", i+1, err)
		}
	}
	p := &pdf{Fpdf: fpdf.New("P", "mm", "", "")}
	p.SetCatalogSort(true)
	p.SetCreationDate(undated)
	p.SetModificationDate(undated)
	title, _ := inFont(pages[0].Title) // the library takes no other letters
	p.SetTitle(title, true)
	p.SetLang("en")
	p.SetProducer("strapwise", false)
	p.SetAutoPageBreak(false, 0)
	p.SetLineJoinStyle("round")
	p.fonts()
	for _, page := range pages {
		p.AddPageFormat("P", fpdf.SizeType{Wd: page.Width, Ht: page.Height})
		p.items(page.Items, orb.Bound{Max: orb.Point{page.Width, page.Height}})
	}
	var out bytes.Buffer
	if err := p.Output(&out); err != nil {
		return nil, err
	}
	return trueSize(out.Bytes())
}

// undated stands where PDF wants the time of making, which would make bytes
// differ that are otherwise the same.
var undated = time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)

type pdf struct {
	*fpdf.Fpdf
	from orb.Point // what of the drawing stands at the page's corner
}

// items draws what of them may show in a part of the drawing.
func (p *pdf) items(all []report.Item, shown orb.Bound) {
	for _, item := range all {
		switch it := item.(type) {
		case report.Shape:
			p.shape(it, shown)
		case report.Text:
			p.text(it)
		case report.View:
			p.ClipRect(it.At[0], it.At[1], it.From.Max[0]-it.From.Min[0], it.From.Max[1]-it.From.Min[1], false)
			p.from = orb.Point{it.From.Min[0] - it.At[0], it.From.Min[1] - it.At[1]}
			p.items(it.Items, it.From)
			p.from = orb.Point{}
			p.ClipEnd()
		}
	}
}

// on is where a place of the drawing is on the page.
func (p *pdf) on(at orb.Point) (x, y float64) { return at[0] - p.from[0], at[1] - p.from[1] }

func (p *pdf) shape(s report.Shape, shown orb.Bound) {
	if len(s.Points) < 2 {
		return
	}
	if s.Closed {
		p.fill(s, shown)
	}
	if s.Weight <= 0 {
		return
	}
	p.ink(s.Accent, p.SetDrawColor)
	defer p.ink(false, p.SetDrawColor)
	p.SetLineWidth(s.Weight)
	p.SetDashPattern(s.Dash, 0)
	p.path(s)
	p.DrawPath("D")
}

// ink sets a colour to black or to the accent.
func (p *pdf) ink(accented bool, set func(r, g, b int)) {
	if accented {
		set(accentRed, accentGreen, accentBlue)
	} else {
		set(0, 0, 0)
	}
}

func (p *pdf) path(s report.Shape) {
	for i, at := range s.Points {
		if x, y := p.on(at); i == 0 {
			p.MoveTo(x, y)
		} else {
			p.LineTo(x, y)
		}
	}
	if s.Closed {
		p.ClosePath()
	}
}

func (p *pdf) fill(s report.Shape, shown orb.Bound) {
	switch s.Fill {
	case report.Bare:
		p.SetFillColor(255, 255, 255)
		p.path(s)
		p.DrawPath("F")
		p.SetFillColor(0, 0, 0)
	case report.Solid:
		p.ink(s.Accent, p.SetFillColor)
		p.path(s)
		p.DrawPath("F")
		p.ink(false, p.SetFillColor)
	case report.Hatch:
		p.textured(s, shown, report.HatchWeight, "butt", strokes)
	case report.Stipple:
		p.textured(s, shown, report.DotSize, "round", dotted(report.StipplePitch))
	case report.Dense:
		p.textured(s, shown, report.DotSize, "round", dotted(report.DensePitch))
	}
}

// dotted gives dots as strokes of no length, which round ends make dots.
func dotted(pitch float64) func(orb.Bound) [][2]orb.Point {
	return func(box orb.Bound) [][2]orb.Point {
		var out [][2]orb.Point
		for _, d := range dots(box, pitch) {
			out = append(out, [2]orb.Point{d, d})
		}
		return out
	}
}

// textured draws the strokes of a texture within a shape.
func (p *pdf) textured(s report.Shape, shown orb.Bound, weight float64, ends string, strokes func(orb.Bound) [][2]orb.Point) {
	box := orb.MultiPoint(s.Points).Bound()
	if !box.Intersects(shown) {
		return
	}
	box = orb.Bound{
		Min: orb.Point{max(box.Min[0], shown.Min[0]), max(box.Min[1], shown.Min[1])},
		Max: orb.Point{min(box.Max[0], shown.Max[0]), min(box.Max[1], shown.Max[1])},
	}
	var within []fpdf.PointType
	for _, at := range s.Points {
		x, y := p.on(at)
		within = append(within, fpdf.PointType{X: x, Y: y})
	}
	p.ClipPolygon(within, false)
	p.SetLineWidth(weight)
	p.SetDashPattern(nil, 0)
	p.SetLineCapStyle(ends)
	for _, line := range strokes(box.Pad(weight)) {
		p.MoveTo(p.on(line[0]))
		p.LineTo(p.on(line[1]))
	}
	p.DrawPath("D")
	p.SetLineCapStyle("butt")
	p.ClipEnd()
}

// text sets a line of type as its anchor has it, by the widths of the very letters
// that are in the document.
func (p *pdf) text(t report.Text) {
	style := ""
	if t.Bold {
		style = "B"
	}
	p.ink(t.Accent, p.SetTextColor)
	parts, plain := letters(t)
	width := 0.0
	p.SetFont(face, style, 0)
	for i := range parts {
		p.SetFontUnitSize(parts[i].size)
		parts[i].width = p.GetStringWidth(parts[i].words)
		width += parts[i].width
	}
	x, y := p.on(t.At)
	if t.Turn != 0 {
		p.TransformBegin()
		p.TransformRotate(t.Turn, x, y)
	}
	switch t.Anchor {
	case report.Middle:
		x -= width / 2
	case report.End:
		x -= width
	}
	if !plain { // what is read from it is not what is seen
		p.RawWriteStr("/Span <</ActualText <" + utf16Hex(t.String()) + ">>> BDC")
	}
	for _, part := range parts {
		p.SetFontUnitSize(part.size)
		p.Text(x, y-part.up, part.words)
		x += part.width
	}
	if !plain {
		p.RawWriteStr("EMC")
	}
	if t.Turn != 0 {
		p.TransformEnd()
	}
}

// letter is a stretch of a text that is set in one size and at one height.
type letter struct {
	words           string
	size, up, width float64 // mm
}

// letters breaks a text into what is set alike. It reports whether what is set,
// read on end, is what the text says.
func letters(t report.Text) (parts []letter, plain bool) {
	add := func(s string, size, up float64) {
		if n := len(parts); n > 0 && parts[n-1].size == size && parts[n-1].up == up {
			parts[n-1].words += s
			return
		}
		parts = append(parts, letter{words: s, size: size, up: up})
	}
	plain = true
	for _, r := range t.Runs {
		if r.Den == 0 {
			s, all := inFont(r.Words)
			plain = plain && all
			add(s, t.Size, 0)
			continue
		}
		if g, ok := glyphs[[2]int64{r.Num, r.Den}]; ok {
			add(g, t.Size, 0)
			continue
		}
		plain = false
		small := report.FractionScale * t.Size
		add(fmt.Sprint(r.Num), small, rise*t.Size)
		add(stroke, t.Size, 0)
		add(fmt.Sprint(r.Den), small, 0)
	}
	return parts, plain
}

func utf16Hex(s string) string {
	var b strings.Builder
	b.WriteString("FEFF")
	for _, u := range utf16.Encode([]rune(s)) {
		fmt.Fprintf(&b, "%04X", u)
	}
	return b.String()
}
