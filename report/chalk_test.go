package report

import (
	"fmt"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"strapwise/hide"
	"strapwise/hide/measure"
	"strapwise/hide/plane"
	"strapwise/nest"
	"strapwise/report/internal/made"
)

// A hide whose strips have no place in common is measured from several lines.
func TestLinesOfACrookedHide(t *testing.T) {
	h, err := hide.New(hide.Spec{
		Name: "z", Leather: "l", Form: "hide",
		Outline: []orb.Point{{0, 0}, {600, 0}, {620, 100}, {1400, 120}, {1400, 220}, {700, 220}, {560, 120}, {0, 100}},
	})
	if err != nil {
		t.Fatal(err)
	}
	strip := func(n int, from, x float64) (nest.Strip, nest.Band, nest.Piece) {
		y := plane.Span{Lo: from, Hi: from + 40}
		box := plane.Identity.Rect(plane.Span{Lo: x, Hi: x + 300}, y)
		return nest.Strip{N: n, Outline: box, WidthMM: 40, FromMM: from},
			nest.Band{FromMM: from, DepthMM: 40, Blocks: []nest.Block{{ToMM: 1400, Strips: []int{n}}}},
			nest.Piece{Hide: "z", Order: "A", Set: n, Part: "main", Use: "load", Strip: n, FromMM: x, ToMM: x + 300, Outline: box}
	}
	p := nest.Plan{Hides: []nest.HideLay{{Hide: "z", Strike: nest.Strike{To: orb.Point{1400, 0}}}}}
	for i, at := range [][2]float64{{0, 20}, {40, 30}, {170, 900}} {
		s, b, piece := strip(i+1, at[0], at[1])
		lay := &p.Hides[0]
		lay.Strips, lay.Bands, p.Pieces = append(lay.Strips, s), append(lay.Bands, b), append(p.Pieces, piece)
	}
	j := nest.Job{Hides: []*hide.Hide{h}}
	l, err := readLay(j, p, "z", measure.Rule{})
	if err != nil {
		t.Fatal(err)
	}
	if err := followed(l, rounded); err != nil {
		t.Error(err)
	}
	pages, err := Sheet(j, p, "z", Options{})
	if err != nil {
		t.Fatal(err)
	}
	if all := strings.Join(texts(pages[0]), "\n"); !strings.Contains(all, "mm from line A") {
		t.Errorf("the ruler does not say which line it counts from:\n%s", all)
	}
	got := fmt.Sprint(l.steps())
	for _, want := range []string{
		"chalk line A square across the hide 30 mm from its leftmost point", "chalk line B square across the hide 900 mm",
		"take 2 strips, square 10 left, on line A", "square on line B",
	} {
		if !strings.Contains(got, want) {
			t.Errorf("the list does not say %q: %s", want, got)
		}
	}
}

// The squared end is cut where every strip has leather there; else no mark of the
// list counts from it.
func TestSquaredEndOrLine(t *testing.T) {
	for name, c := range map[string]struct {
		make maker
		want string
	}{
		"sheet": {made.Sheet, "square the end at its left end"},
		"side":  {made.Side, "before any rip, chalk the line square across the hide 9 in from the leftmost point of the hide"},
	} {
		j, p, err := c.make()
		if err != nil {
			t.Fatal(err)
		}
		steps, err := Steps(j, p, j.Hides[0].Name(), inches)
		if err != nil {
			t.Fatal(err)
		}
		if got := steps[1].String(); !strings.HasPrefix(got, c.want) {
			t.Errorf("%s: got %q, expected %q", name, got, c.want)
		}
	}
}
