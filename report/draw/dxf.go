package draw

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/paulmach/orb"

	"strapwise/report"
)

// DXF writes a plot as a drawing exchange file of the oldest release that programs
// still read everywhere, R12 (AC1009; Autodesk, "DXF Reference"): closed and open
// POLYLINEs and TEXT on a layer for each kind, in millimetres, y up. Letters beyond
// ASCII are written as that format has them, \U+00B7. Equal plots give equal bytes.
func DXF(p report.Plot) ([]byte, error) {
	d := &dxf{}
	all := orb.MultiPoint{}
	for _, l := range p.Layers {
		for _, path := range l.Paths {
			if err := finite(path.Points...); err != nil {
				return nil, fmt.Errorf("layer %s: %w", l.Name, err)
			}
			all = append(all, path.Points...)
		}
		for _, n := range l.Notes {
			if err := finite(n.At, orb.Point{n.Size, n.Turn}); err != nil {
				return nil, fmt.Errorf("layer %s, %q: %w", l.Name, n.Text, err)
			}
		}
	}
	if len(all) == 0 {
		return nil, fmt.Errorf("found a plot without a line, expected the outline of a hide")
	}
	d.put(999, ascii(p.Title)+", millimetres")
	d.section("HEADER", func() {
		d.put(9, "$ACADVER").put(1, "AC1009")
		d.put(9, "$INSUNITS").put(70, "4") // millimetres: unknown to R12, and heeded by most that read it
		d.put(9, "$EXTMIN").point(10, all.Bound().Min)
		d.put(9, "$EXTMAX").point(10, all.Bound().Max)
	})
	d.section("TABLES", func() {
		d.table("LTYPE", 1, func() {
			d.put(0, "LTYPE").put(2, "CONTINUOUS").put(70, "0").put(3, "Solid line").put(72, "65").put(73, "0").put(40, "0.0")
		})
		d.table("LAYER", len(p.Layers)+1, func() {
			for i, name := range append([]string{"0"}, names(p.Layers)...) {
				const white = 7 // shown black on white
				colour := white
				if i > 0 {
					colour = 1 + (i-1)%white
				}
				d.put(0, "LAYER").put(2, name).put(70, "0").put(62, strconv.Itoa(colour)).put(6, "CONTINUOUS")
			}
		})
		d.table("STYLE", 1, func() {
			d.put(0, "STYLE").put(2, "STANDARD").put(70, "0").put(40, "0.0").put(41, "1.0").put(50, "0.0").put(71, "0").put(42, "2.5").put(3, "txt").put(4, "")
		})
	})
	d.section("ENTITIES", func() {
		for _, l := range p.Layers {
			for _, path := range l.Paths {
				d.polyline(l.Name, path)
			}
			for _, n := range l.Notes {
				d.text(l.Name, n)
			}
		}
	})
	d.put(0, "EOF")
	return d.out.Bytes(), nil
}

func names(layers []report.Layer) []string {
	var out []string
	for _, l := range layers {
		out = append(out, l.Name)
	}
	return out
}

type dxf struct{ out bytes.Buffer }

// put writes a group: its code, and its value on the next line.
func (d *dxf) put(code int, value string) *dxf {
	fmt.Fprintf(&d.out, "%3d\r\n%s\r\n", code, value)
	return d
}

// point writes a place as the groups code and code + 10.
func (d *dxf) point(code int, p orb.Point) *dxf {
	return d.put(code, exact(p[0])).put(code+10, exact(p[1]))
}

func (d *dxf) section(name string, within func()) {
	d.put(0, "SECTION").put(2, name)
	within()
	d.put(0, "ENDSEC")
}

func (d *dxf) table(name string, entries int, within func()) {
	d.put(0, "TABLE").put(2, name).put(70, strconv.Itoa(entries))
	within()
	d.put(0, "ENDTAB")
}

func (d *dxf) polyline(layer string, p report.Path) {
	closed := "0"
	if p.Closed {
		closed = "1"
	}
	d.put(0, "POLYLINE").put(8, layer).put(66, "1").put(70, closed)
	d.point(10, orb.Point{}).put(30, "0.0")
	for _, at := range p.Points {
		d.put(0, "VERTEX").put(8, layer).point(10, at).put(30, "0.0")
	}
	d.put(0, "SEQEND").put(8, layer)
}

func (d *dxf) text(layer string, n report.Note) {
	d.put(0, "TEXT").put(8, layer).point(10, n.At).put(30, "0.0").put(40, exact(n.Size)).put(1, ascii(n.Text)).put(50, exact(n.Turn))
	d.put(72, "1").put(73, "2") // from the middle, both ways
	d.point(11, n.At).put(31, "0.0")
}

// exact prints a number to a hundred-thousandth, with a point as readers want it.
func exact(v float64) string {
	s := strconv.FormatFloat(math.Round(v*1e5)/1e5+0, 'f', -1, 64)
	if !strings.Contains(s, ".") {
		s += ".0"
	}
	return s
}

// ascii writes letters beyond ASCII, and signs that mean something to readers, by
// their numbers.
func ascii(s string) string {
	var b strings.Builder
	for _, r := range s {
		switch {
		case r >= ' ' && r < 0x7F && r != '\\' && r != '%' && r != '^':
			b.WriteRune(r)
		case r <= 0xFFFF:
			fmt.Fprintf(&b, `\U+%04X`, r)
		default:
			b.WriteByte('?')
		}
	}
	return b.String()
}
