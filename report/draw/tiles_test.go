package draw

import (
	"cmp"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"testing"

	"github.com/paulmach/orb"

	"strapwise/hide/measure"
	"strapwise/nest"
	"strapwise/report"
	"strapwise/report/internal/made"
)

var papers = map[string]report.Paper{"A4": report.A4, "A3": report.A3, "Letter": report.Letter}

// onPaper is a hide at full size on sheets of a paper: the drawing, and the document.
// That of made.Side takes several rows of sheets, that of made.Sheet one.
func onPaper(t *testing.T, paper report.Paper, make func() (nest.Job, nest.Plan, error)) (report.Page, []byte) {
	t.Helper()
	j, p, err := make()
	if err != nil {
		t.Fatal(err)
	}
	drawing, err := report.HideDrawing(j, p, j.Hides[0].Name(), measure.Rule{})
	if err != nil {
		t.Fatal(err)
	}
	data, err := PDF(report.Tiles(drawing, paper))
	if err != nil {
		t.Fatal(err)
	}
	return drawing, data
}

// outline is the outline of the hide in its drawing: the heaviest closed line.
func outline(t *testing.T, drawing report.Page) []orb.Point {
	t.Helper()
	for _, item := range drawing.Items {
		if s, ok := item.(report.Shape); ok && s.Closed && s.Weight == outlineWeight {
			return s.Points
		}
	}
	t.Fatal("found no outline")
	return nil
}

const outlineWeight = 0.6 // mm, of the outline of a hide

// exactly is how far joined sheets may be off, in millimetres.
const exactly = 0.2

// window is what a sheet shows of the drawing: the first place that it clips to.
func (s sheet) window() orb.Bound { return orb.MultiPoint(s.clips[0].points).Bound() }

// outline is the hide's outline on a sheet, whole as the document has it, or nil.
func (s sheet) outline(want []orb.Point) []orb.Point {
	for _, path := range s.paths {
		if path.closed && len(path.points) == len(want) && math.Abs(path.weight-outlineWeight) <= 2*written {
			return path.points
		}
	}
	return nil
}

// joined says where the drawing's corner is on each sheet, put together as a person
// does: by the crosses, whose places are read from the document.
func joined(t *testing.T, pages []sheet, want []orb.Point) map[int]orb.Point {
	t.Helper()
	type place struct{ row, column int }
	at := map[place]int{}
	crosses := map[int][]orb.Point{}
	name := regexp.MustCompile(`^sheet ([A-Z])(\d+), \d+ of \d+$`)
	for i, p := range pages {
		for _, text := range p.texts {
			if m := name.FindStringSubmatch(text); m != nil {
				at[place{int(m[1][0] - 'A'), int(number(t, m[2])) - 1}] = i
			}
		}
		for _, path := range p.paths {
			b := orb.MultiPoint(path.points).Bound()
			if path.closed && len(path.points) == 24 && math.Abs(b.Max[0]-b.Min[0]-4) < 0.05 {
				crosses[i] = append(crosses[i], b.Center())
			}
		}
	}
	if len(at) != len(pages)-1 { // the first is the map
		t.Fatalf("found %d sheets by name, expected %d", len(at), len(pages)-1)
	}
	order := make([]place, 0, len(at))
	for where := range at {
		order = append(order, where)
	}
	slices.SortFunc(order, func(a, b place) int { return cmp.Or(cmp.Compare(a.row, b.row), cmp.Compare(a.column, b.column)) })
	corner := map[int]orb.Point{at[order[0]]: {}}
	// those of one edge are the two farthest out on that side
	edge := func(i, axis int, far bool) []orb.Point {
		all := slices.Clone(crosses[i])
		slices.SortFunc(all, func(a, b orb.Point) int {
			// those of the other axis' edges are nearer in
			return cmp.Or(cmp.Compare(math.Round(a[axis]), math.Round(b[axis])), cmp.Compare(a[1-axis], b[1-axis]))
		})
		if far {
			return all[len(all)-2:]
		}
		return all[:2]
	}
	for range order {
		for _, from := range order {
			for axis, to := range []place{{from.row, from.column + 1}, {from.row + 1, from.column}} {
				i, k := at[from], at[to] // 0, the map, if there is none
				_, known := corner[i]
				if _, other := corner[k]; i == 0 || k == 0 || known == other {
					continue
				}
				mine, theirs := edge(i, axis, true), edge(k, axis, false)
				move := orb.Point{theirs[0][0] - mine[0][0], theirs[0][1] - mine[0][1]}
				if d := math.Hypot(theirs[1][0]-mine[1][0]-move[0], theirs[1][1]-mine[1][1]-move[1]); d > 3*written {
					t.Errorf("the crosses of %v and %v are %.3f mm apart", from, to, d)
				}
				if known {
					corner[k] = orb.Point{corner[i][0] + move[0], corner[i][1] + move[1]}
				} else {
					corner[i] = orb.Point{corner[k][0] - move[0], corner[k][1] - move[1]}
				}
			}
		}
	}
	if len(corner) != len(order) {
		t.Fatalf("%d of %d sheets could be joined", len(corner), len(order))
	}
	// the whole is laid on the drawing by the outline's first corner on one sheet
	for _, where := range order {
		i := at[where]
		if line := pages[i].outline(want); line != nil {
			off := orb.Point{line[0][0] - corner[i][0] - want[0][0], line[0][1] - corner[i][1] - want[0][1]}
			for k, c := range corner {
				corner[k] = orb.Point{c[0] + off[0], c[1] + off[1]}
			}
			return corner
		}
	}
	t.Fatal("no sheet shows the outline")
	return nil
}

// Sheets joined by their crosses show the outline where it is, and all of it, by the
// numbers in the document.
func TestTilesJoin(t *testing.T) {
	for name, paper := range papers {
		hide := made.Sheet
		if paper == report.Letter { // a whole side, with corners where no sheet is needed
			hide = made.Side
		}
		drawing, data := onPaper(t, paper, hide)
		pages := readPDF(t, data)
		want := outline(t, drawing)
		corner := joined(t, pages, want)
		var windows []orb.Bound // of the drawing, as joined
		for i, p := range pages {
			if i == 0 {
				continue
			}
			w := p.window()
			for _, at := range []*orb.Point{&w.Min, &w.Max} {
				*at = orb.Point{at[0] - corner[i][0], at[1] - corner[i][1]}
			}
			windows = append(windows, w)
			line := p.outline(want)
			for k, at := range line {
				if d := math.Hypot(at[0]-corner[i][0]-want[k][0], at[1]-corner[i][1]-want[k][1]); d > exactly {
					t.Errorf("%s, page %d: corner %d of the outline is %.3f mm off", name, i+1, k, d)
				}
			}
			if line == nil && slices.ContainsFunc(samples(want), w.Contains) {
				t.Errorf("%s, page %d: shows no outline", name, i+1)
			}
		}
		for _, at := range samples(want) {
			if !slices.ContainsFunc(windows, func(b orb.Bound) bool { return b.Contains(at) }) {
				t.Errorf("%s: no sheet shows the outline at %v", name, at)
			}
		}
	}
}

// samples are places along a closed line, 5 mm apart or less.
func samples(ring []orb.Point) []orb.Point {
	var out []orb.Point
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		n := math.Ceil(math.Hypot(b[0]-a[0], b[1]-a[1]) / 5)
		for k := range int(n) {
			part := float64(k) / n
			out = append(out, orb.Point{a[0] + part*(b[0]-a[0]), a[1] + part*(b[1]-a[1])})
		}
	}
	return out
}

// The bar for checking the printer is as long as it says, by the numbers in the
// document, on every sheet of paper, which has the size that it should have.
func TestCheckBar(t *testing.T) {
	sizes := map[string]orb.Point{"A4": {210, 297}, "A3": {297, 420}, "Letter": {215.9, 279.4}} // ISO 216; ANSI/ASME Y14.1 size A
	for name, paper := range papers {
		_, data := onPaper(t, paper, made.Sheet)
		for i, p := range readPDF(t, data) {
			short, long := min(p.width, p.height), max(p.width, p.height)
			if want := sizes[name]; math.Abs(short-want[0]) > 2*written || math.Abs(long-want[1]) > 2*written {
				t.Errorf("%s: page %d is %.2f × %.2f mm", name, i+1, p.width, p.height)
			}
			var above, below []float64 // x of the tall ticks
			for _, path := range p.paths {
				if len(path.points) != 2 || path.points[0][0] != path.points[1][0] || path.points[0][1] < p.height-20 {
					continue
				}
				switch tall := path.points[0][1] - path.points[1][1]; {
				case math.Abs(tall-3) < 2*written:
					above = append(above, path.points[0][0])
				case math.Abs(tall+3) < 2*written:
					below = append(below, path.points[0][0])
				}
			}
			if len(above) != 2 || len(below) != 2 || math.Abs(above[1]-above[0]-100) > 2*written || math.Abs(below[1]-below[0]-101.6) > 2*written {
				t.Errorf("%s, page %d: found ticks at %v above and %v below, expected them 100 and 101.6 mm apart", name, i+1, above, below)
			}
		}
	}
}

// printed renders a document as a printer would, or skips the test.
func printed(t *testing.T, data []byte, dpi int) []raster {
	t.Helper()
	program, err := exec.LookPath("pdftoppm")
	if err != nil {
		t.Skip("no pdftoppm here: Debian has it in poppler-utils")
	}
	dir := t.TempDir()
	file := filepath.Join(dir, "in.pdf")
	if err := os.WriteFile(file, data, 0o600); err != nil {
		t.Fatal(err)
	}
	if said, err := exec.Command(program, "-gray", "-r", fmt.Sprint(dpi), file, filepath.Join(dir, "out")).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, said)
	}
	names, err := filepath.Glob(filepath.Join(dir, "out*"))
	if err != nil || len(names) == 0 {
		t.Fatalf("pdftoppm left nothing: %v", err)
	}
	slices.Sort(names)
	var out []raster
	for _, name := range names {
		out = append(out, readRaster(t, name, float64(dpi)/25.4))
	}
	return out
}

// raster is a page in grey: 0 is ink, 255 paper.
type raster struct {
	w, h  int
	grey  []byte
	perMM float64
}

func readRaster(t *testing.T, file string, perMM float64) raster {
	t.Helper()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	r := raster{perMM: perMM}
	var depth, n int
	if _, err := fmt.Sscanf(string(data[:min(len(data), 40)]), "P5\n%d %d\n%d\n", &r.w, &r.h, &depth); err != nil {
		t.Fatal(err)
	}
	n = len(data) - r.w*r.h
	r.grey = data[n:]
	return r
}

// ink is how dark it is at a place in millimetres, from 0 to 1.
func (r raster) ink(x, y float64) float64 {
	i, j := int(math.Floor(x*r.perMM)), int(math.Floor(y*r.perMM))
	if i < 0 || j < 0 || i >= r.w || j >= r.h {
		return 0
	}
	return 1 - float64(r.grey[j*r.w+i])/255
}

// The bar measured on the printed page, between the middles of its outer ticks.
func TestCheckBarPrinted(t *testing.T) {
	for name, paper := range papers {
		_, data := onPaper(t, paper, made.Sheet)
		for i, p := range printed(t, data, 300)[:2] {
			bottom := float64(p.h)/p.perMM - 8 - 7.5 // of the page to the bar
			for _, bar := range []struct{ y, long float64 }{{bottom - 2.4, 100}, {bottom + 2.4, 101.6}} {
				var ticks []float64
				for x := 4.0; x < 8+bar.long+3; x += 0.01 {
					if p.ink(x, bar.y) < 0.3 {
						continue
					}
					from := x
					for p.ink(x, bar.y) >= 0.3 {
						x += 0.01
					}
					ticks = append(ticks, (from+x)/2)
				}
				if n := len(ticks); n < 2 || math.Abs(ticks[n-1]-ticks[0]-bar.long) > exactly {
					t.Errorf("%s, page %d: found ticks at %v, expected the outer ones %g mm apart", name, i+1, ticks, bar.long)
				}
			}
		}
	}
}

// The outline measured on the printed sheets, put together by their crosses.
func TestTilesJoinPrinted(t *testing.T) {
	for name, paper := range papers {
		hide := made.Sheet
		if paper == report.A3 { // a whole side, on the fewest sheets
			hide = made.Side
		}
		drawing, data := onPaper(t, paper, hide)
		const dpi = 254 // ten dots to the millimetre
		rasters := printed(t, data, dpi)
		pages := readPDF(t, data)
		ring := outline(t, drawing)
		corner := joined(t, pages, ring)
		seen, all, most := 0, 0, 0.0
		for i, a := range ring {
			b := ring[(i+1)%len(ring)]
			long := math.Hypot(b[0]-a[0], b[1]-a[1])
			across := orb.Point{-(b[1] - a[1]) / long, (b[0] - a[0]) / long}
			for s := 2.5; s < long-1; s += 5 {
				at := orb.Point{a[0] + s/long*(b[0]-a[0]), a[1] + s/long*(b[1]-a[1])}
				for n, c := range corner {
					on := orb.Point{at[0] + c[0], at[1] + c[1]}
					if !pages[n].window().Pad(-6).Contains(on) { // beyond the line to join at, the neighbour's name may lie over it
						continue
					}
					all++
					// the black across the line is as wide as the line, unless other ink meets it there
					lo, hi := 0.0, 0.0
					for lo > -2 && rasters[n].ink(on[0]+lo*across[0], on[1]+lo*across[1]) > 0.5 {
						lo -= 0.02
					}
					for hi < 2 && rasters[n].ink(on[0]+hi*across[0], on[1]+hi*across[1]) > 0.5 {
						hi += 0.02
					}
					if hi-lo > outlineWeight+0.25 {
						continue
					}
					seen++
					if most = max(most, math.Abs(lo+hi)/2); math.Abs(lo+hi)/2 > exactly || hi-lo < outlineWeight-0.25 {
						t.Errorf("%s, page %d: at %v the line runs from %.2f to %.2f mm across", name, n+1, at, lo, hi)
					}
				}
			}
		}
		if 10*seen < 8*all {
			t.Errorf("%s: the outline could be measured at %d of %d places", name, seen, all)
		}
		t.Logf("%s: %d sheets, %d places, at most %.2f mm off", name, len(corner), seen, most)
	}
}
