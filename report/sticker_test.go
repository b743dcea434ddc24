package report

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"

	"strapwise/report/internal/made"
)

// Each piece of a hide has one label, in the order in which the list cuts them.
func TestPieceLabels(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		j, p, err := made.Random(rapid.Uint64().Draw(t, "plan"))
		if err != nil {
			t.Fatal(err)
		}
		name := j.Hides[0].Name()
		labels, err := PieceLabels(j, p, name, inches)
		if err != nil {
			t.Fatal(err)
		}
		var want []string
		steps, err := Steps(j, p, name, inches)
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range steps {
			for _, c := range s.Cuts {
				if strings.Contains(c.Off, "·") {
					want = append(want, labelled(c.Off)...)
				}
			}
		}
		var got []string
		for _, l := range labels {
			got = append(got, Plain(l.Name))
		}
		for _, piece := range p.Pieces { // those of no strip come last, each in a step of its own
			if piece.Hide == name && !slices.Contains(want, label(piece)) {
				want = append(want, label(piece))
			}
		}
		if slices.Sort(got); fmt.Sprint(got) != fmt.Sprint(slices.Sorted(slices.Values(want))) {
			t.Fatalf("found labels of %v, expected %v", got, want)
		}
	})
}

// Stickers keep to their places: no word over another, over an edge, or lost where
// there is room.
func TestStickers(t *testing.T) {
	labels := func(n int) []Label {
		var out []Label
		for i := range n {
			out = append(out, Label{Name: words(fmt.Sprintf("A%d·1 main", i)), Lines: [][]Run{words("1 × 25"), words("bridle, load"), words("ash-3, strip 7a"), words(strings.Repeat("long ", 20))}})
		}
		return out
	}
	for _, c := range []struct {
		paper Paper
		grid  StickerGrid
		n     int
		pages int
	}{
		{A4, StickerGrid{3, 8, 1}, 24, 1},
		{A4, StickerGrid{3, 8, 1}, 25, 2},
		{Letter, StickerGrid{3, 10, 30}, 2, 2},
		{A3, StickerGrid{2, 5, 4}, 7, 1},
		{A4, StickerGrid{1, 1, 1}, 3, 3},
		{A4, StickerGrid{20, 20, 1}, 5, 1},
	} {
		pages := Stickers("labels", labels(c.n), c.paper, c.grid)
		if len(pages) != c.pages {
			t.Errorf("%+v: found %d pages, expected %d", c, len(pages), c.pages)
		}
		names := 0
		for _, page := range pages {
			if msg := flawed(page); msg != "" {
				t.Errorf("%+v: %s", c, msg)
			}
			each := orb.Point{page.Width / float64(c.grid.Columns), page.Height / float64(c.grid.Rows)}
			for _, item := range page.Items {
				text, ok := item.(Text)
				if !ok {
					continue
				}
				if text.Bold {
					names++
				}
				b := text.Bound()
				if int(b.Min[0]/each[0]) != int(b.Max[0]/each[0]) || int(b.Min[1]/each[1]) != int(b.Max[1]/each[1]) {
					t.Errorf("%+v: %q lies on an edge", c, text)
				}
			}
		}
		if c.grid.Columns < 20 && names != c.n {
			t.Errorf("%+v: found %d names", c, names)
		}
	}
	for want, g := range map[string]StickerGrid{
		"found 0 x 8 stickers": {0, 8, 1}, "found 3 x 21 stickers": {3, 21, 1},
		"found sticker 25, expected from 1 to 24": {3, 8, 25}, "found sticker 0": {3, 8, 0},
	} {
		if err := g.Check(); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("got %v, expected %q", err, want)
		}
	}
}

// However long the name of an order is, and however small the sticker, set and part tell
// the pieces apart.
func TestStickersKeepSetAndPart(t *testing.T) {
	var labels []Label
	want := []string{"·1 main", "·1 keeper", "·12 main"}
	for _, tail := range want {
		labels = append(labels, Label{Name: words("Mrs Featherstonehaugh-Cholmondeley of Upper Slaughter" + tail), Lines: [][]Run{words("1 × 25")}})
	}
	for _, paper := range []Paper{A4, Letter} {
		page := Stickers("labels", labels, paper, StickerGrid{5, 13, 1})[0]
		if msg := flawed(page); msg != "" {
			t.Error(msg)
		}
		i := 0
		for _, item := range page.Items {
			text, ok := item.(Text)
			if !ok || !text.Bold {
				continue
			}
			if s := Plain(text.Runs); !strings.HasPrefix(s, "Mrs Feather") || !strings.HasSuffix(s, "…"+want[i]) {
				t.Errorf("found %q, expected the order's name shortened before %q", s, want[i])
			}
			if text.Width() > page.Width/5-2*stickerAir {
				t.Errorf("%q is wider than its sticker", text)
			}
			i++
		}
	}
}
