package report

import (
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"

	"strapwise/hide"
	"strapwise/hide/measure"
	"strapwise/hide/plane"
	"strapwise/nest"
)

// blocksPlan is a sheet of 900 × 200 mm from whose left end a corner is missing
// up to so many millimetres. Two bands alike hold three blocks, of which the
// outer ones are alike; a third has one strip less deep than itself.
func blocksPlan(t *testing.T, missing float64) (nest.Job, nest.Plan) {
	t.Helper()
	h, err := hide.New(hide.Spec{
		Name: "s", Leather: "l", Form: "sheet",
		Outline: []orb.Point{{0, 0}, {900, 0}, {900, 200}, {missing, 200}, {0, 20}},
	})
	if err != nil {
		t.Fatal(err)
	}
	lay := nest.HideLay{Hide: "s", Strike: nest.Strike{To: orb.Point{900, 0}}}
	p := nest.Plan{}
	sets := 0
	strip := func(block nest.Block, y, width float64, part string, at ...float64) int {
		n := len(lay.Strips) + 1
		x := plane.Span{Lo: block.FromMM, Hi: block.ToMM}
		across := plane.Span{Lo: y, Hi: y + width}
		lay.Strips = append(lay.Strips, nest.Strip{N: n, FromMM: y, WidthMM: width, Outline: plane.Identity.Rect(x, across)})
		for i := 1; i < len(at); i += 2 {
			sets++
			p.Pieces = append(p.Pieces, nest.Piece{
				Hide: "s", Order: "A", Set: sets, Part: part, Use: "load", Strip: n, FromMM: at[i-1], ToMM: at[i],
				Outline: plane.Identity.Rect(plane.Span{Lo: at[i-1], Hi: at[i]}, across),
			})
		}
		return n
	}
	for _, y := range []float64{0, 60} {
		a, b, c := nest.Block{FromMM: 0, ToMM: 250}, nest.Block{FromMM: 250, ToMM: 600}, nest.Block{FromMM: 650, ToMM: 900}
		a.Strips = []int{strip(a, y, 30, "main", 100, 240), strip(a, y+30, 30, "main", 100, 240)}
		b.Strips = []int{strip(b, y, 20, ""), strip(b, y+20, 25, "belt", 250, 600)}
		c.Strips = []int{strip(c, y, 30, "main", 750, 890), strip(c, y+30, 30, "main", 750, 890)}
		lay.Bands = append(lay.Bands, nest.Band{FromMM: y, DepthMM: 60, Blocks: []nest.Block{a, b, c}})
	}
	p.Hides = []nest.HideLay{lay}
	return nest.Job{Hides: []*hide.Hide{h}, Tools: nest.Tools{CutterMin: 6, CutterMax: 102}}, p
}

// Whatever goes back on the rack is named where it falls off, and at the end with the
// band or block that left it.
func TestWhatBandsLeaveIsNamed(t *testing.T) {
	j, p := blocksPlan(t, 0)
	l := &p.Hides[0]
	f := plane.NewFrame(l.Strike.From, orb.Point{1, 0})
	for _, a := range []area{
		{plane.Span{Lo: 600, Hi: 650}, plane.Span{Lo: 0, Hi: 60}},    // between two blocks of band 1
		{plane.Span{Lo: 250, Hi: 600}, plane.Span{Lo: 105, Hi: 120}}, // beside the strips of block 2b
		{plane.Span{Lo: 250, Hi: 600}, plane.Span{Lo: 0, Hi: 20}},    // a strip of 1b
		{plane.Span{Lo: 650, Hi: 750}, plane.Span{Lo: 30, Hi: 60}},   // before the piece of a strip of 1c
		{plane.Span{Lo: 890, Hi: 1e3}, plane.Span{Lo: 30, Hi: 60}},   // and behind it
	} {
		l.Remnants = append(l.Remnants, f.Rect(a.along, a.across))
	}
	steps, err := Steps(j, p, "s", measure.Rule{Mark: 1})
	if err != nil {
		t.Fatal(err)
	}
	got := fmt.Sprint(steps)
	for _, want := range []string{
		" | 650 remnant 1 | rest block", "1b, 2b: set the cutter to 20, take 1 strip of each, remnant 3", "; the rest is remnant 2",
		"cross-cut all 8 100 remnant 4 | 240", "put back what bands leave, 2.2 dm²: remnant 1 from 1, 2 from 2b, 3 from 1b, 4 from 1c, 5 from 1c]",
	} {
		if !strings.Contains(got, want) {
			t.Errorf("expected %q in %s", want, got)
		}
	}
}

// Bands and blocks alike share their lines; scrap that has to come off is told,
// and so is what is left. Where the hide's end is ragged, the line serves.
func TestBlocksAreTold(t *testing.T) {
	for missing, want := range map[float64]string{
		0: `
strike the edge along the lower edge of the hide
square the end at its left end
blocks: cut a band apart at the marks, and write each block's name in its near left corner; rip a block from its near edge outward, and cross-cut what comes off from its left end; a block that the list leaves lies by until the cutter is set for it
1, 2: set the cutter to 60, rip 2 bands
1, 2: cross-cut at 250 block 1a, 2a | 600 block 1b, 2b | 650 scrap | rest block 1c, 2c
1a, 2a, 1c, 2c: set the cutter to 30, take 2 strips of each
1a, 2a, 1c, 2c: cross-cut all 8 100 scrap | 240 A·1, 2, 6, 7, 4, 5, 9, 10 main
1b, 2b: set the cutter to 20, scrap, 1 strip of each
1b, 2b: set the cutter to 25, take 1 strip of each; the rest is scrap
1b, 2b: cross-cut both all A·3, 8 belt
`,
		90: `
strike the edge along the lower edge of the hide
before any rip, chalk the line square across the hide 100 mm from its leftmost point; square each strip so far left or right of it as told, and cross-cut from that end
blocks: cut a band apart at the marks, and write each block's name in its near left corner; rip a block from its near edge outward, and cross-cut what comes off from its left end; a block that the list leaves lies by until the cutter is set for it
1, 2: set the cutter to 60, rip 2 bands, measure from the line
1, 2: cross-cut at 150 right block 1a, 2a | 500 right block 1b, 2b | 550 right scrap | rest block 1c, 2c
1a, 2a: set the cutter to 30, take 2 strips of each, square on the line
1a, 2a: cross-cut all 4 140 A·1, 2, 6, 7 main
1c, 2c: leave the cutter at 30, take 2 strips of each
1c, 2c: cross-cut all 4 100 scrap | 240 A·4, 5, 9, 10 main
1b, 2b: set the cutter to 20, scrap, 1 strip of each
1b, 2b: set the cutter to 25, take 1 strip of each; the rest is scrap
1b, 2b: cross-cut both all A·3, 8 belt
`,
	} {
		j, p := blocksPlan(t, missing)
		l, err := readLay(j, p, "s", measure.Rule{Mark: 1})
		if err != nil {
			t.Fatal(err)
		}
		var got strings.Builder
		for _, s := range l.steps() {
			if s.Name != "" || s.Note || len(s.Set) == 0 {
				fmt.Fprintln(&got, s)
			}
		}
		if d := cmp.Diff(strings.TrimPrefix(want, "\n"), got.String()); d != "" {
			t.Errorf("%g mm missing: %s", missing, d)
		}
		if err := followed(l, 1e-6); err != nil {
			t.Errorf("%g mm missing: %v", missing, err)
		}
	}
}

// A strip that begins over a notch has no end where its block was cut: it is
// squared from a line of its own, while the hide's squared end serves the rest.
func TestStripOverANotch(t *testing.T) {
	j, p := blocksPlan(t, 0)
	h, err := hide.New(hide.Spec{Name: "s", Leather: "l", Form: "sheet", Outline: []orb.Point{
		{0, 0}, {900, 0}, {900, 200}, {700, 200}, {650, 100}, {600, 200}, {0, 200},
	}})
	if err != nil {
		t.Fatal(err)
	}
	j.Hides[0] = h
	l, err := readLay(j, p, "s", measure.Rule{Mark: 1})
	if err != nil {
		t.Fatal(err)
	}
	if err := followed(l, 1e-6); err != nil {
		t.Error(err)
	}
	got := fmt.Sprint(l.steps())
	for _, want := range []string{
		"square the end at its left end", "chalk the line square across the hide 750 mm from its left end",
		"2c: the rest is 1 strip, square on the line", "2c: leave the cutter at 30, take 1 strip 2c: cross-cut at 100 scrap | 240 ",
	} {
		if !strings.Contains(got, want) {
			t.Errorf("the list does not say %q: %s", want, got)
		}
	}
}

func TestLetters(t *testing.T) {
	for i, want := range map[int]string{0: "a", 25: "z", 26: "aa", 27: "ab", 52: "ba"} {
		if got := letters(i); got != want {
			t.Errorf("%d: got %q, expected %q", i, got, want)
		}
	}
}
