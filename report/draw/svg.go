// Package draw writes pages to files: one file a format. It draws what a page
// holds and decides nothing.
package draw

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"strings"

	svg "github.com/ajstarks/svgo/float"

	"strapwise/report"
)

// family is the list of faces to look for: plain ones that most machines have,
// the narrow ones before the wide.
const family = "Arial, Helvetica, 'Liberation Sans', 'DejaVu Sans Condensed', sans-serif"

// SVG writes a page as an SVG document: its size and its coordinates are
// millimetres, it refers to nothing outside itself, and equal pages give equal
// bytes. The error names the first item whose figures are no numbers.
func SVG(page report.Page) ([]byte, error) {
	if err := checked(page); err != nil {
		return nil, err
	}
	var out bytes.Buffer // svgo reports no write errors; a buffer has none
	s := svg.New(&out)
	s.Decimals = 3
	s.StartviewUnit(page.Width, page.Height, "mm", 0, 0, page.Width, page.Height)
	s.Title(page.Title) // svgo escapes what stands in elements
	patterns(s)
	s.Rect(0, 0, page.Width, page.Height, `fill="white"`)
	fmt.Fprintf(&out, "<g font-family=\"%s\" stroke-linejoin=\"round\">\n", escaped(family))
	items(&out, page.Items)
	s.Gend()
	s.End()
	return out.Bytes(), nil
}

func items(out *bytes.Buffer, all []report.Item) {
	for _, item := range all {
		switch it := item.(type) {
		case report.Shape:
			shape(out, it)
		case report.Text:
			text(out, it)
		case report.View:
			w, h := num(it.From.Max[0]-it.From.Min[0]), num(it.From.Max[1]-it.From.Min[1])
			fmt.Fprintf(out, "<svg x=\"%s\" y=\"%s\" width=\"%s\" height=\"%s\" viewBox=\"%s %s %s %s\" overflow=\"hidden\">\n",
				num(it.At[0]), num(it.At[1]), w, h, num(it.From.Min[0]), num(it.From.Min[1]), w, h)
			items(out, it.Items)
			out.WriteString("</svg>\n")
		}
	}
}

// patterns are the textures of the fills, in user units: millimetres.
func patterns(s *svg.SVG) {
	s.Def()
	p := func(id string, w, h float64, turn string, draw func()) {
		fmt.Fprintf(s.Writer, "<pattern id=\"%s\" width=\"%s\" height=\"%s\" patternUnits=\"userSpaceOnUse\"%s>\n", id, num(w), num(h), turn)
		draw()
		fmt.Fprintln(s.Writer, "</pattern>")
	}
	p("hatch", report.HatchPitch, report.HatchPitch, ` patternTransform="rotate(45)"`, func() {
		s.Rect(0, 0, report.HatchWeight, report.HatchPitch)
	})
	dots := func(id string, pitch float64) {
		p(id, pitch, pitch, "", func() {
			s.Circle(pitch/4, pitch/4, report.DotSize/2)
			s.Circle(pitch*3/4, pitch*3/4, report.DotSize/2)
		})
	}
	dots("stipple", report.StipplePitch)
	dots("dense", report.DensePitch)
	s.DefEnd()
}

func shape(out *bytes.Buffer, s report.Shape) {
	if len(s.Points) < 2 {
		return
	}
	out.WriteString(`<path d="`)
	for i, p := range s.Points {
		out.WriteByte("ML"[min(i, 1)])
		out.WriteString(num(p[0]) + " " + num(p[1]))
	}
	if s.Closed {
		out.WriteByte('Z')
	}
	fmt.Fprintf(out, `" fill="%s"`, fill(s))
	if s.Weight > 0 {
		fmt.Fprintf(out, ` stroke="%s" stroke-width="%s"`, inkOf(s.Accent), num(s.Weight))
	}
	if len(s.Dash) > 0 && s.Weight > 0 {
		var d []string
		for _, v := range s.Dash {
			d = append(d, num(v))
		}
		fmt.Fprintf(out, ` stroke-dasharray="%s"`, strings.Join(d, " "))
	}
	out.WriteString("/>\n")
}

// The accent is a deep red that prints dark.
const accentRed, accentGreen, accentBlue = 0x8b, 0x0f, 0x14

var accent = fmt.Sprintf("#%02x%02x%02x", accentRed, accentGreen, accentBlue)

func inkOf(accented bool) string {
	if accented {
		return accent
	}
	return "black"
}

func fill(s report.Shape) string {
	if !s.Closed {
		return "none"
	}
	switch s.Fill {
	case report.Bare:
		return "white"
	case report.Solid:
		return inkOf(s.Accent)
	case report.Hatch:
		return "url(#hatch)"
	case report.Stipple:
		return "url(#stipple)"
	case report.Dense:
		return "url(#dense)"
	default:
		return "none"
	}
}

func text(out *bytes.Buffer, t report.Text) {
	fmt.Fprintf(out, `<text x="%s" y="%s" font-size="%s"`, num(t.At[0]), num(t.At[1]), num(t.Size))
	if t.Bold {
		out.WriteString(` font-weight="bold"`)
	}
	if t.Accent {
		fmt.Fprintf(out, ` fill="%s"`, accent)
	}
	switch t.Anchor {
	case report.Middle:
		out.WriteString(` text-anchor="middle"`)
	case report.End:
		out.WriteString(` text-anchor="end"`)
	}
	if t.Turn != 0 {
		fmt.Fprintf(out, ` transform="rotate(%s %s %s)"`, num(-t.Turn), num(t.At[0]), num(t.At[1]))
	}
	out.WriteString(` xml:space="preserve">`)
	for _, r := range t.Runs {
		if r.Den == 0 {
			out.WriteString(escaped(r.Words))
			continue
		}
		out.WriteString(fraction(r, t.Size))
	}
	out.WriteString("</text>\n")
}

// fraction sets a fraction as one letter, or else from small figures either
// side of a stroke.
func fraction(r report.Run, size float64) string {
	if g, ok := glyphs[[2]int64{r.Num, r.Den}]; ok {
		return g
	}
	small, up := num(report.FractionScale*size), num(rise*size)
	return fmt.Sprintf(`<tspan font-size="%s" dy="-%s">%d</tspan><tspan dy="%s">%s</tspan><tspan font-size="%s">%d</tspan>`,
		small, up, r.Num, up, stroke, small, r.Den)
}

// num prints a number to a thousandth of a millimetre, without idle noughts.
func num(v float64) string {
	s := fmt.Sprintf("%.3f", v)
	s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	if s == "-0" {
		return "0"
	}
	return s
}

func escaped(s string) string {
	var b bytes.Buffer
	_ = xml.EscapeText(&b, []byte(s)) // a buffer takes all it is given
	return b.String()
}
