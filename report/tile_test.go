package report

import (
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"

	"strapwise/hide/measure"
	"strapwise/report/internal/made"
)

// All that is drawn is on some sheet, in its own cell, and at its own size; cells
// cover the drawing and overlap nowhere; no sheet is without ink.
func TestTilesShowAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		drawing := Page{Width: rapid.Float64Range(5, 2600).Draw(t, "width"), Height: rapid.Float64Range(5, 1300).Draw(t, "height"), Title: "a drawing"}
		for range rapid.IntRange(1, 12).Draw(t, "items") {
			x, y := rapid.Float64Range(0, drawing.Width).Draw(t, "x"), rapid.Float64Range(0, drawing.Height).Draw(t, "y")
			to := orb.Point{rapid.Float64Range(0, drawing.Width).Draw(t, "to x"), rapid.Float64Range(0, drawing.Height).Draw(t, "to y")}
			drawing.Items = append(drawing.Items, Shape{Points: []orb.Point{{x, y}, to}, Weight: light})
		}
		paper := rapid.SampledFrom([]Paper{A4, A3, Letter}).Draw(t, "paper")
		pages := Tiles(drawing, paper)
		var views []View
		for i, page := range pages {
			w, h := paper.Size()
			if !(page.Width == w && page.Height == h || page.Width == h && page.Height == w) {
				t.Fatalf("page %d is %g × %g mm", i+1, page.Width, page.Height)
			}
			v := page.Items[slices.IndexFunc(page.Items, func(item Item) bool { _, is := item.(View); return is })].(View)
			if i == 0 && len(pages) > 1 { // the map
				if len(v.Items) != len(drawing.Items) {
					t.Fatalf("the map shows %d of %d items", len(v.Items), len(drawing.Items))
				}
				continue
			}
			size := orb.Point{v.From.Max[0] - v.From.Min[0], v.From.Max[1] - v.From.Min[1]}
			if v.At[0] < margin || v.At[0]+size[0] > page.Width-margin+1e-9 || v.At[1]+size[1] > page.Height-margin-tileFoot+1e-9 {
				t.Fatalf("page %d shows %v at %v, off its room", i+1, v.From, v.At)
			}
			if len(v.Items) == 0 {
				t.Fatalf("page %d is empty", i+1)
			}
			views = append(views, v)
		}
		for _, item := range drawing.Items {
			s := item.(Shape)
			for part := 0.0; part <= 1; part += 1.0 / 64 {
				at := orb.Point{s.Points[0][0] + part*(s.Points[1][0]-s.Points[0][0]), s.Points[0][1] + part*(s.Points[1][1]-s.Points[0][1])}
				if !slices.ContainsFunc(views, func(v View) bool { return v.From.Pad(1e-6).Contains(at) }) {
					t.Fatalf("no sheet shows (%g, %g)", at[0], at[1])
				}
			}
		}
	})
}

// What goes on one sheet has one, without a map or lines to join at; and a drawing
// lies the way that takes fewer sheets.
func TestTilesAreFew(t *testing.T) {
	frame := func(w, h float64) Page {
		return Page{Width: w, Height: h, Items: []Item{Shape{Points: []orb.Point{{1, 1}, {w - 1, 1}, {w - 1, h - 1}, {1, h - 1}}, Closed: true, Weight: light}}}
	}
	for _, c := range []struct {
		w, h   float64
		pages  int
		across bool
	}{
		{100, 50, 1, true},
		{281, 171, 1, true},  // A4 across, less margins, head and foot
		{194, 258, 1, false}, // and upright
		{282, 171, 3, true},  // two, and the map
		{194, 500, 3, false},
		{20, 1000, 5, false}, // four sheets, since they overlap
	} {
		pages := Tiles(frame(c.w, c.h), A4)
		if last := pages[len(pages)-1]; len(pages) != c.pages || (last.Width > last.Height) != c.across {
			t.Errorf("%g × %g mm: found %d pages of %g × %g", c.w, c.h, len(pages), last.Width, last.Height)
		}
	}
	// of a large frame, sheets in the middle have nothing on them
	if n, all := len(Tiles(frame(1350, 850), A4)), 1+5*5; n >= all {
		t.Errorf("found %d pages, expected fewer than %d", n, all)
	}
}

// Drawings at full size say what they say without one word over another; a strip is
// drawn as deep as its band, and but for some that flaws cover its pieces are named.
func TestFullSizeDrawings(t *testing.T) {
	named, pieces := 0, 0
	for seed := range uint64(12) {
		j, p, err := made.Random(seed)
		if err != nil {
			t.Fatal(err)
		}
		rule := []measure.Rule{inches, halves, {}}[seed%3]
		h := j.Hides[0]
		page, err := HideDrawing(j, p, h.Name(), rule)
		if err != nil {
			t.Fatal(err)
		}
		if msg := flawed(page); msg != "" {
			t.Errorf("plan %d: %s", seed, msg)
		}
		box := h.Outline().In(h.Frame()).Bound()
		if page.Width < box.Max[0]-box.Min[0] || page.Height < box.Max[1]-box.Min[1] {
			t.Errorf("plan %d: the drawing is %g × %g mm, the hide %v", seed, page.Width, page.Height, box)
		}
		l, err := readLay(j, p, h.Name(), rule)
		if err != nil {
			t.Fatal(err)
		}
		for _, b := range l.bands[:min(4, len(l.bands))] {
			for _, k := range b.blocks {
				strip, err := StripDrawing(j, p, h.Name(), k.name, rule)
				if err != nil {
					t.Fatal(err)
				}
				if math.Abs(strip.Height-b.depth-2*patternAir) > 1e-9 {
					t.Errorf("plan %d: strip %s is drawn %g mm high, its band is %g deep", seed, k.name, strip.Height-2*patternAir, b.depth)
				}
				said := strings.Join(texts(strip), "\n")
				for _, s := range k.strips {
					for _, piece := range l.pieces[s.N] {
						if pieces++; strings.Contains(said, label(piece)) {
							named++
						}
					}
				}
			}
		}
	}
	if pieces < 50 || 10*named < 9*pieces {
		t.Errorf("%d of %d pieces are named", named, pieces)
	}
	j, p, err := made.Sheet()
	if err != nil {
		t.Fatal(err)
	}
	if _, err := StripDrawing(j, p, j.Hides[0].Name(), "9z", inches); err == nil || !strings.Contains(err.Error(), `found no strip or block "9z"`) {
		t.Errorf("got %v", err)
	}
}

// The patterns of a set are as long and as wide as its parts are cut.
func TestSetDrawing(t *testing.T) {
	j, _, err := made.Sheet()
	if err != nil {
		t.Fatal(err)
	}
	page, err := SetDrawing(j, "C1", 1, "", halves)
	if err != nil {
		t.Fatal(err)
	}
	if msg := flawed(page); msg != "" {
		t.Error(msg)
	}
	var sizes []orb.Point
	for _, item := range page.Items {
		if s, ok := item.(Shape); ok && s.Closed && s.Weight == cut {
			b := orb.MultiPoint(s.Points).Bound()
			sizes = append(sizes, orb.Point{b.Max[0] - b.Min[0], b.Max[1] - b.Min[1]})
		}
	}
	if want := []orb.Point{{520, 34.5}, {250, 16}}; !slices.EqualFunc(sizes, want, func(a, b orb.Point) bool { return near(a[0], b[0]) && near(a[1], b[1]) }) {
		t.Errorf("found patterns of %v, expected %v", sizes, want)
	}
	if only, err := SetDrawing(j, "C1", 1, "filler", halves); err != nil || only.Height >= page.Height || only.Width >= page.Width {
		t.Errorf("the filler alone is drawn %g × %g mm: %v", only.Width, only.Height, err)
	}
	for want, ask := range map[string]func() (Page, error){
		`found order "X", expected one of C1`:               func() (Page, error) { return SetDrawing(j, "X", 1, "", halves) },
		"found set 9 of order C1":                           func() (Page, error) { return SetDrawing(j, "C1", 9, "", halves) },
		`found part "tongue", expected one of main, filler`: func() (Page, error) { return SetDrawing(j, "C1", 1, "tongue", halves) },
	} {
		if _, err := ask(); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("got %v, expected %q", err, want)
		}
	}
}
