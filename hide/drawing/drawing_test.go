package drawing_test

import (
	"fmt"
	"image/png"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"strapwise/hide/drawing"
	"strapwise/hide/plane"
	"strapwise/hide/source"
)

// drawn is a drawing of 100 by 80 mm, a unit to the millimetre.
func drawn(inside string) string {
	return `<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="80mm" viewBox="0 0 100 80">` + "\n" + inside + "\n</svg>\n"
}

func outline(t *testing.T, svg string) plane.Ring {
	t.Helper()
	ring, err := drawing.Outline("cheek.svg", []byte(svg))
	if err != nil {
		t.Fatal(err)
	}
	return ring
}

func length(r plane.Ring) float64 { return planar.Length(r.Orb()) }

// What the standard draws, against formulas of geometry. An outline of chords lies
// within the tolerance of the curve, so that its area misses by no more than the
// tolerance times its length.
func TestAreaAndSize(t *testing.T) {
	const r = 150.0
	for _, c := range []struct {
		rule          string // and where it comes from
		inside        string
		area          float64 // mm²
		width, height float64
	}{
		{"triangle01 of SVG 1.1, 8.3.2 (from memory)", `<path d="M 100 100 L 300 100 L 200 300 z"/>`, 200 * 200 / 2, 200, 200},
		{"arcs01 of SVG 1.1, 8.3.8 (from memory): three quarters of a disc", `<path d="M300,200 h-150 a150,150 0 1,0 150,-150 z"/>`, math.Pi * r * r * 3 / 4, 2 * r, 2 * r},
		{"the same: the quarter that is left", `<path d="M275,175 v-150 a150,150 0 0,0 -150,150 z"/>`, math.Pi * r * r / 4, r, r},
		{"circle", `<circle cx="20" cy="30" r="10"/>`, math.Pi * 100, 20, 20},
		{"ellipse", `<ellipse cx="20" cy="30" rx="12" ry="5"/>`, math.Pi * 60, 24, 10},
		{
			"ellipse turned: half its width is the root of a²cos² + b²sin²", `<ellipse rx="12" ry="5" transform="translate(40 40) rotate(30)"/>`, math.Pi * 60,
			2 * math.Sqrt(144*0.75+25*0.25), 2 * math.Sqrt(144*0.25+25*0.75),
		},
		{"arc turned", `<path d="M10 40 A12 5 30 0 1 30.784609690826528 52 A12 5 30 0 1 10 40"/>`, math.Pi * 60, 2 * math.Sqrt(144*0.75+25*0.25), 2 * math.Sqrt(144*0.25+25*0.75)},
		{"radii too small are scaled up (SVG 1.1, F.6.6)", `<path d="M0 0 A1 1 0 0 1 20 0 Z"/>`, math.Pi * 50, 20, 10},
		{"parabola: two thirds of base and height (Archimedes)", `<path d="M10,50 Q60,-50 110,50 Z"/>`, 100 * 50 * 2.0 / 3, 100, 50},
		{"the same as a cubic", `<path d="M10,50 c 33.333333333333,-66.666666666667 66.666666666667,-66.666666666667 100,0 z"/>`, 100 * 50 * 2.0 / 3, 100, 50},
		{"and on, smoothly, below the line", `<path d="M0 0 Q 50 -100 100 0 T 200 0 V 60 H 0 Z"/>`, 200 * 60, 200, 110},
		{"and with cubics", `<path d="M0 0 C 33.3333333 -66.6666667 66.6666667 -66.6666667 100 0 S 166.6666667 66.6666667 200 0 v60 h-200 z"/>`, 200 * 60, 200, 110},
		{"smooth without a curve before: the control point is the place itself", `<path d="M0 0 T 10 0 V 10 H 0 Z"/>`, 100, 10, 10},
		{"rectangle", `<rect x="3" y="4" width="30" height="20"/>`, 600, 30, 20},
		{"with round corners", `<rect width="30" height="20" rx="5"/>`, 600 - (4-math.Pi)*25, 30, 20},
		{"rounder than it is high", `<rect width="30" height="20" rx="40" ry="40"/>`, math.Pi * 150, 30, 20},
		{"polygon", `<polygon points="0,0 40,0 40,10 10,10, 10,30 0,30"/>`, 600, 40, 30},
		{"numbers run together", `<path d="m10-5.5.5.5e1 6-1-3-8z"/>`, 35.25, 6.5, 9},
		{"flags run together", `<path d="M0 0a10 10 0 1110 10z"/>`, math.Pi*100*3/4 + 50, 20, 20},
		{"groups", `<g transform="translate(5,5)"><g transform="scale(2) rotate(90)"><rect width="3" height="4"/></g></g>`, 48, 8, 6},
		{"rotation about a place, skew, matrix", `<g transform="rotate(90 7 7),skewX(45)"><rect transform="matrix(1 0 0 2 0 0)" width="3" height="4"/></g>`, 24, 8, 11},
		{"mirrored", `<path transform="scale(-1 1)" d="M0 0h10v10z"/>`, 50, 10, 10},
		{"corner twice and clockwise", `<polygon points="0,0 0,10 0,10 10,10 10,0 0,0"/>`, 100, 10, 10},
		{"what is passed over", `<title>a</title><defs><rect width="1" height="1"/></defs><line x2="9"/><text>grain</text>
			<g display="none"><rect width="5" height="5"/></g><path style="fill:red; display: none" d="M0 0h1v1z"/><path d="M5 5"/><rect width="0" height="3"/>
			<x:view xmlns:x="http://example.org/x"><x:path d="oops"/></x:view><circle r="10"/>`, math.Pi * 100, 20, 20},
	} {
		t.Run(c.rule, func(t *testing.T) {
			ring := outline(t, drawn(c.inside))
			if off := math.Abs(ring.Area() - c.area); off > drawing.Tolerance*length(ring) {
				t.Errorf("area %.4f mm², expected %.4f", ring.Area(), c.area)
			}
			b := ring.Bound()
			if b.Min != (orb.Point{}) || math.Abs(b.Max[0]-c.width) > 1e-4 || math.Abs(b.Max[1]-c.height) > 1e-4 {
				t.Errorf("%v, expected %g by %g mm from 0, 0", b, c.width, c.height)
			}
		})
	}
}

// The units of CSS Values and Units, 6.2, and the viewBox.
func TestUnits(t *testing.T) {
	for size, want := range map[string]float64{
		`width="25.4mm" height="25.4mm" viewBox="0 0 10 10"`:                              25.4,
		`width="2.54cm" height="2.54cm" viewBox="0 0 10 10"`:                              25.4,
		`width="1in" height="1in" viewBox="0 0 10 10"`:                                    25.4,
		`width="96px" height="96px" viewBox="0 0 10 10"`:                                  25.4,
		`width="72pt" height="72pt" viewBox="0,0,10,10"`:                                  25.4,
		`width="6pc" height="6pc" viewBox="-5 -5 10 10"`:                                  25.4,
		`width="1e1in" height="10in" viewBox="0 0 100 100"`:                               25.4,
		`width="10px" height="10px"`:                                                      25.4 / 9.6, // without one, a unit is a px
		`width="210mm" height="297mm" viewBox="0 0 793.7008 1122.5197"`:                   25.4 / 9.6,
		`width="210mm" height="297mm" viewBox="0 0 793.7 1122.52" preserveAspectRatio=""`: 25.4 / 9.6,
	} {
		ring := outline(t, `<svg xmlns="http://www.w3.org/2000/svg" `+size+`><rect width="10" height="10"/></svg>`)
		if got := ring.Bound().Max[0]; math.Abs(got-want) > 1e-5*want {
			t.Errorf("%s: %g mm, expected %g", size, got, want)
		}
	}
	if got := outline(t, `<svg width="50mm" height="50mm" viewBox="0 0 50 50"><circle r="1in"/></svg>`).Bound().Max[0]; math.Abs(got-192) > 1e-9 {
		t.Errorf("a radius of 1in is 96 units of the element's own: got a width of %g mm", got) // SVG 1.1, 7.10
	}
}

func TestRefuses(t *testing.T) {
	deep := strings.Repeat("<g>", 20_000) + `<rect width="1" height="1"/>` + strings.Repeat("</g>", 20_000)
	for _, c := range []struct{ rule, svg, want string }{
		{"nothing", "", "cheek.svg: found nothing, expected a drawing in SVG"},
		{"no XML", "hello", "cheek.svg: found nothing, expected a drawing in SVG"},
		{"other XML", "<html></html>", "cheek.svg:1: found the element html, expected a drawing in SVG"},
		{"broken XML", drawn("<g>"), "cheek.svg:3: is not XML: element <g> closed by </svg>"},
		{"cut off", `<svg width="1mm" height="1mm">`, "cheek.svg:1: is not XML: unexpected EOF"},
		{"entity", drawn("&ns;"), "cheek.svg:2: is not XML: invalid character entity &ns;"},
		{"no text", "<svg\x00>", "cheek.svg:1: found a NUL byte, expected text"},
		{"no width", `<svg height="3mm"/>`, "cheek.svg:1: svg.width: found no width of the drawing, expected a length in mm, cm, in, pt, pc or px"},
		{"no unit", `<svg width="3mm" height="3"/>`, `cheek.svg:1: svg.height: found "3" without a unit, expected a length in mm, cm, in, pt, pc or px`},
		{"per cent", `<svg width="100%" height="3mm"/>`, `cheek.svg:1: svg.width: found "100%", expected a length in mm, cm, in, pt, pc or px`},
		{"no size", `<svg width="3mm" height="0mm"/>`, `cheek.svg:1: svg.height: found "0mm", expected more than nothing`},
		{"stretched", `<svg width="30mm" height="30mm" viewBox="0 0 10 11"/>`, "cheek.svg:1: svg.viewBox: found 3 mm to a unit across and 2.72727 upright, expected the same both ways"},
		{"half a viewBox", `<svg width="30mm" height="30mm" viewBox="0 0 10"/>`, `cheek.svg:1: svg.viewBox: found "0 0 10", expected x, y, width and height`},
		{"turned as a whole", `<svg width="30mm" height="30mm" transform="rotate(3)"/>`, "cheek.svg:1: svg.transform: found a transform of the whole drawing, expected it on a group"},
		{"no outline", drawn(`<text>hello</text><line x2="4"/>`), "cheek.svg: found no outline, expected one path, polygon, rect, circle or ellipse"},
		{"two", drawn("<circle r=\"4\"/>\n<g>\n<circle r=\"5\"/></g>"), "cheek.svg:4: found 2 outlines, expected one; the first is in line 2"},
		{"a hole", drawn(`<path d="M0 0h20v20h-20z M5 5h5v5h-5z"/>`), "cheek.svg:2: found 2 outlines, expected one; the first is in line 2"},
		{"open", drawn(`<path d="M0 0h20v20h-20"/>`), "cheek.svg:2: path: found an open line, its ends 20 mm apart, expected a closed outline"},
		{"all but closed", drawn(`<path d="M0 0h20v20h-20v-19.9"/>`), "cheek.svg:2: path: found an open line, its ends 0.1 mm apart, expected a closed outline"},
		{"crossing", drawn(`<polygon points="0,0 10,10 10,0 0,10"/>`), "cheek.svg:2: polygon: the outline crosses itself near (5, 5) mm, from the lower left corner of the rectangle round it"},
		{"a line", drawn(`<path d="M0 0h20z"/>`), "cheek.svg:2: path: found a line, expected an outline that encloses something"},
		{"a loop of a curve", drawn(`<path d="M0 0C40 30 -30 30 10 0z"/>`), "cheek.svg:2: path: the outline crosses itself near "},
		{"a copy", drawn(`<use href="#a"/>`), "cheek.svg:2: use: found a copy of something drawn elsewhere, expected it drawn in its place"},
		{"a drawing within", drawn(`<svg/>`), "cheek.svg:2: svg: found a drawing within the drawing, expected one"},
		{"a second drawing", drawn("") + "<svg/>", "cheek.svg:4: found a second drawing, expected one"},
		{"bad transform", drawn(`<g transform="turn(3)"/>`), "cheek.svg:2: g.transform: found turn with 1 number, expected matrix, translate, scale, rotate, skewX or skewY"},
		{"transform left open", drawn(`<g transform="rotate(3"/>`), `cheek.svg:2: g.transform: found "rotate(3", expected matrix, translate, scale, rotate, skewX or skewY with its numbers in ( )`},
		{"transform of two numbers", drawn(`<g transform="rotate(3 4)"/>`), "cheek.svg:2: g.transform: found rotate with 2 numbers, expected matrix"},
		{"transform in a style", drawn(`<g style="transform: rotate(3deg)"/>`), "cheek.svg:2: g.style: found a transform in a style, expected it as an attribute"},
		{"path without a beginning", drawn(`<path d="L3 3"/>`), `cheek.svg:2: path.d: found "L3 3", expected a path to begin with M`},
		{"unknown command", drawn(`<path d="M3 3 X 4"/>`), `cheek.svg:2: path.d: found "X 4", expected one of the commands M L H V C S Q T A Z`},
		{"number missing", drawn(`<path d="M3 3 L4"/>`), "cheek.svg:2: path.d: found the end, expected a number"},
		{"flag", drawn(`<path d="M3 3 A4 4 0 2 0 9 9"/>`), `cheek.svg:2: path.d: found "2 0 9 9", expected 0 or 1`},
		{"huge number", drawn(`<path d="M3 3 L1e999 0"/>`), `cheek.svg:2: path.d: found "1e999", expected a number of fewer digits`},
		{"far off", drawn(`<path d="M3 3 L1e30 0"/>`), "cheek.svg:2: path.d: found the place (1e+30, 0), expected one on a bench"},
		{"odd points", drawn(`<polygon points="1 2 3"/>`), "cheek.svg:2: polygon.points: found 3 numbers, expected an x and a y for each corner"},
		{"less than nothing", drawn(`<rect width="-3" height="2"/>`), `cheek.svg:2: rect.width: found "-3", expected no less than nothing`},
		{"a length of no unit", drawn(`<rect width="3em" height="2"/>`), `cheek.svg:2: rect.width: found "3em", expected a length in mm, cm, in, pt, pc or px`},
		{"not on a bench", drawn(`<rect width="3" height="2" transform="scale(1e300)"/>`), "is not a place on a bench"},
		{"too many corners", drawn(`<path d="M0 0` + strings.Repeat("l1 1 1 -1", 999) + `V9z"/>`), "cheek.svg:2: path: found an outline of more than 2000 corners, expected a simpler or smaller one"},
		{"too many curves", drawn(`<path d="M0 0` + strings.Repeat("z", 9) + strings.Repeat("h1", 6000) + `v9H0z"/>`), "cheek.svg:2: path.d: found more than 2000 steps, expected a simpler path"},
		{"too many places", drawn(`<polygon points="` + strings.Repeat("1 2 ", 6000) + `"/>`), "cheek.svg:2: polygon.points: found 6000 corners, expected at most 2000"},
		{"too round", drawn(`<circle r="1e9"/>`), "cheek.svg:2: circle: found an outline of more than 2000 corners, expected a simpler or smaller one"},
		{"deep, but sound", drawn(deep), ""},
	} {
		t.Run(c.rule, func(t *testing.T) {
			_, err := drawing.Outline("cheek.svg", []byte(c.svg))
			switch e, ok := source.As(err); {
			case c.want == "" && err == nil:
			case !ok:
				t.Fatalf("found %v, expected an error of the file", err)
			case c.want == "" || !strings.Contains(e.Error(), c.want):
				t.Errorf("found %v, expected %s", err, c.want)
			}
		})
	}
	big := drawn("<!--" + strings.Repeat(" ", source.Largest) + "-->")
	if _, err := drawing.Outline("cheek.svg", []byte(big)); err == nil || !strings.Contains(err.Error(), "larger than 8 MB") {
		t.Errorf("a large file: %v", err)
	}
}

// Every place of a curve is within the tolerance of the corners' outline: places are
// computed here in the plainest way, by the formulas of the standard.
func TestWithinTolerance(t *testing.T) {
	rnd := rand.New(rand.NewPCG(3, 4))
	for range 300 {
		p := [4]orb.Point{{0, 0}, {rnd.Float64() * 60, -rnd.Float64() * 90}, {40 + rnd.Float64()*60, -rnd.Float64() * 90}, {100, 0}}
		svg := drawn(fmt.Sprintf(`<path d="M0 0C%v %v %v %v 100 0V50H0z"/>`, p[1][0], p[1][1], p[2][0], p[2][1]))
		ring, err := drawing.Outline("cheek.svg", []byte(svg))
		if err != nil {
			continue // it may cross itself
		}
		for i := range 1001 {
			u := float64(i) / 1000
			w := [4]float64{(1 - u) * (1 - u) * (1 - u), 3 * u * (1 - u) * (1 - u), 3 * u * u * (1 - u), u * u * u}
			var at orb.Point
			for k := range p {
				at[0] += w[k] * p[k][0]
				at[1] += w[k] * p[k][1]
			}
			at = orb.Point{at[0], 50 - at[1]}
			if off := planar.DistanceFrom(orb.LineString(ring.Orb()), at); off > drawing.Tolerance+1e-9 {
				t.Fatalf("%s: %v lies %.4f mm off the outline", svg, at, off)
			}
		}
	}
}

// librsvg's rsvg-convert, an outside reader of the standard, paints random paths; what
// it paints has the outline's area and size.
func TestAgainstAnotherReader(t *testing.T) {
	tool, err := exec.LookPath("rsvg-convert")
	if err != nil {
		t.Skip("rsvg-convert (Debian: librsvg2-bin) is not installed")
	}
	const dots = 10 // to a millimetre
	dir := t.TempDir()
	rnd := rand.New(rand.NewPCG(5, 6))
	letters := []string{"l%.2f %.2f", "q%.2f %.2f %.2f %.2f", "t%.2f %.2f", "c%.2f %.2f %.2f %.2f %.2f %.2f", "s%.2f %.2f %.2f %.2f", "a%.2f %.2f %.0f %d %d %.2f %.2f"}
	done := 0
	for try := 0; done < 12 && try < 400; try++ {
		d := "M20 20"
		for _, step := range []orb.Point{{25, -4}, {25, 6}, {6, 25}, {-25, 8}, {-28, -5}} { // round about
			x, y := step[0], step[1]
			any := func() float64 { return rnd.Float64()*16 - 8 }
			switch k := rnd.IntN(len(letters)); k {
			case 0, 2:
				d += fmt.Sprintf(letters[k], x, y)
			case 1, 4:
				d += fmt.Sprintf(letters[k], x/2+any(), y/2+any(), x, y)
			case 3:
				d += fmt.Sprintf(letters[k], x/3+any(), y/3+any(), 2*x/3+any(), 2*y/3+any(), x, y)
			case 5:
				d += fmt.Sprintf(letters[k], 4+20*rnd.Float64(), 4+20*rnd.Float64(), 90*rnd.Float64(), rnd.IntN(2), rnd.IntN(2), x, y)
			}
		}
		svg := `<svg xmlns="http://www.w3.org/2000/svg" width="120mm" height="120mm" viewBox="-20 -20 120 120"><g transform="` +
			fmt.Sprintf("rotate(%d 40 40) skewX(%d)", rnd.IntN(360), rnd.IntN(20)) + `"><path d="` + d + `z"/></g></svg>`
		ring, err := drawing.Outline("x.svg", []byte(svg))
		if b := ring.Bound(); err != nil || b.Max[0] > 75 || b.Max[1] > 75 {
			continue // it crosses itself, or may not be on the page
		}
		done++
		at := filepath.Join(dir, "x.svg")
		if err := os.WriteFile(at, []byte(svg), 0o600); err != nil {
			t.Fatal(err)
		}
		if out, err := exec.Command(tool, "-w", fmt.Sprint(120*dots), "-h", fmt.Sprint(120*dots), "-o", at+".png", at).CombinedOutput(); err != nil {
			t.Fatalf("%v: %s", err, out)
		}
		f, err := os.Open(at + ".png")
		if err != nil {
			t.Fatal(err)
		}
		picture, err := png.Decode(f)
		f.Close()
		if err != nil {
			t.Fatal(err)
		}
		area, box := 0.0, orb.Bound{Min: orb.Point{1e9, 1e9}, Max: orb.Point{-1e9, -1e9}}
		for y := range picture.Bounds().Dy() {
			for x := range picture.Bounds().Dx() {
				if _, _, _, a := picture.At(x, y).RGBA(); a > 0 {
					area += float64(a) / 0xffff / dots / dots
					box = box.Extend(orb.Point{float64(x) / dots, float64(y) / dots}).Extend(orb.Point{float64(x+1) / dots, float64(y+1) / dots})
				}
			}
		}
		if box.Min[0] <= 0 || box.Min[1] <= 0 || box.Max[0] >= 120 || box.Max[1] >= 120 {
			done--
			continue // it runs off the page
		}
		size := ring.Bound().Max
		if math.Abs(area-ring.Area()) > drawing.Tolerance*length(ring) || math.Abs(box.Max[0]-box.Min[0]-size[0]) > 0.25 || math.Abs(box.Max[1]-box.Min[1]-size[1]) > 0.25 {
			t.Errorf("%s\npainted %.2f mm², %.2f by %.2f mm; read %.2f mm², %v", svg, area, box.Max[0]-box.Min[0], box.Max[1]-box.Min[1], ring.Area(), size)
		}
	}
	if done < 12 {
		t.Errorf("only %d of the paths could be compared", done)
	}
}

func FuzzOutline(f *testing.F) {
	for _, s := range []string{
		drawn(`<path d="M300,200 h-150 a150,150 0 1,0 150,-150 z"/>`), drawn(`<rect width="30" height="20" rx="5"/>`),
		drawn(`<g transform="rotate(3) scale(2)"><polygon points="0,0 40,0 40,10"/></g>`), drawn(`<path d="M0 0q1 1 2 2t3-3s1 1-4-4z"/>`), "", "<svg",
	} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, svg string) {
		ring, err := drawing.Outline("x.svg", []byte(svg))
		if err != nil {
			if e, ok := source.As(err); !ok || e.File != "x.svg" || e.Rule == "" {
				t.Fatalf("found %v, expected an error of the file", err)
			}
			return
		}
		if ring.Len() < 3 || ring.Len() > drawing.MostCorners || !(ring.Area() > 0) || ring.Bound().Min != (orb.Point{}) {
			t.Fatalf("found %d corners, %g mm², %v", ring.Len(), ring.Area(), ring.Bound())
		}
	})
}

func ExampleOutline() {
	ring, err := drawing.Outline("cheek.svg", []byte(`<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm" viewBox="0 0 60 40">
  <path d="M5 35 H45 A10 10 0 0 0 45 15 H5 Z"/>
</svg>`))
	b := ring.Bound().Max
	fmt.Printf("%.1f by %.1f mm %v\n", b[0], b[1], err)
	// Output: 50.0 by 20.0 mm <nil>
}
