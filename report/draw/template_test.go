package draw

import (
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/paulmach/orb"

	"strapwise/hide/drawing"
	"strapwise/hide/measure"
	"strapwise/nest"
	"strapwise/report"
)

// A template printed at full size measures what its drawing says, from the middle of
// the line: a disc of 90 mm with a square of 40 mm joined to it, drawn by its formula in
// a unit of its own, turned and moved.
func TestTemplatePrinted(t *testing.T) {
	const r, side = 45.0, 40.0
	svg := fmt.Sprintf(`<svg xmlns="http://www.w3.org/2000/svg" width="10in" height="5in" viewBox="0 0 720 360"><g transform="translate(300 170) rotate(180) scale(%g)">
		<path d="M%g %g A%g %g 0 1 0 %g %g H-90 V%g Z"/></g></svg>`, 72/25.4, -math.Sqrt(r*r-side*side/4), side/2, r, r, -math.Sqrt(r*r-side*side/4), -side/2, side/2)
	// SVG's y points down, so that the long arc round the middle has sweep 0
	outline, err := drawing.Outline("x.svg", []byte(svg))
	if err != nil {
		t.Fatal(err)
	}
	for name, paper := range papers {
		data, err := PDF(report.Tiles(report.TemplateDrawing(&nest.Template{File: "x.svg", Outline: outline}, measure.Rule{}), paper))
		if err != nil {
			t.Fatal(err)
		}
		pages := printed(t, data, 254)
		if len(pages) != 1 {
			t.Fatalf("%s: found %d sheets, expected one", name, len(pages))
		}
		page := pages[0]
		corners := pageOutline(t, data, outline.Len())
		b := orb.MultiPoint(corners).Bound()
		if w, h := b.Max[0]-b.Min[0], b.Max[1]-b.Min[1]; math.Abs(w-(90+r)) > exactly || math.Abs(h-2*r) > exactly {
			t.Errorf("%s: the outline is %.2f by %.2f mm, expected %g by %g", name, w, h, 90+r, 2*r)
		}
		// turned by half a turn, the disc is on the left and the square on the right
		middle := orb.Point{b.Min[0] + r, b.Center()[1]}
		for deg := 40.0; deg < 320; deg += 7 {
			sin, cos := math.Sincos(deg * math.Pi / 180)
			from, to, on := 0.0, 0.0, false
			for at := r - 3; at < r+3; at += 0.02 {
				switch ink := page.ink(middle[0]+at*cos, middle[1]+at*sin) > 0.5; {
				case ink && !on:
					from, on = at, true
				case !ink && on && to == 0:
					to = at
				}
			}
			if at := (from + to) / 2; math.Abs(at-r) > exactly {
				t.Errorf("%s: at %g° the line is %.2f mm from the middle, expected %g", name, deg, at, r)
			}
		}
	}
}

// pageOutline is the closed line of so many corners in a document of one page.
func pageOutline(t *testing.T, data []byte, corners int) []orb.Point {
	t.Helper()
	for _, path := range readPDF(t, data)[0].paths {
		if path.closed && len(path.points) == corners {
			return path.points
		}
	}
	t.Fatalf("found no outline of %d corners", corners)
	return nil
}

// ezdxf finds the outlines of templates on the layer of pieces, closed and as large as
// they are.
func TestTemplatesInDXF(t *testing.T) {
	outline, err := drawing.Outline("x.svg", []byte(`<svg width="60mm" height="60mm" viewBox="0 0 60 60"><circle cx="30" cy="30" r="25"/></svg>`))
	if err != nil {
		t.Fatal(err)
	}
	data, err := DXF(report.Plot{Title: "x", Layers: []report.Layer{{Name: "PIECES", Paths: []report.Path{{Points: outline.Corners(), Closed: true}}}}})
	if err != nil {
		t.Fatal(err)
	}
	if exec.Command("/usr/bin/python3", "-c", "import ezdxf").Run() != nil {
		t.Skip("no ezdxf here: Debian has it as python3-ezdxf")
	}
	file := filepath.Join(t.TempDir(), "x.dxf")
	if err := os.WriteFile(file, data, 0o600); err != nil {
		t.Fatal(err)
	}
	said, err := exec.Command("/usr/bin/python3", "-c", `
import ezdxf, ezdxf.math, sys
doc = ezdxf.readfile(sys.argv[1])
assert not doc.audit().errors
p, = doc.modelspace().query('*[layer=="PIECES"]')
assert p.is_closed
print(abs(ezdxf.math.area([v.dxf.location for v in p.vertices])))`, file).CombinedOutput()
	if err != nil {
		t.Fatalf("%v: %s", err, said)
	}
	var area float64
	if _, err := fmt.Sscan(string(said), &area); err != nil || math.Abs(area-outline.Area()) > 0.1 || math.Abs(area-math.Pi*625) > drawing.Tolerance*2*math.Pi*25 {
		t.Errorf("found %s mm², expected %.2f of a disc of %.2f", said, outline.Area(), math.Pi*625)
	}
}
