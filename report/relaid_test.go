package report

import (
	"context"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"

	"strapwise/hide"
	"strapwise/hide/measure"
	"strapwise/nest"
	"strapwise/nest/strip"
	"strapwise/report/internal/made"
)

// found is the hide with one more flaw.
func found(t *testing.T, h *hide.Hide, f hide.Flaw) *hide.Hide {
	t.Helper()
	out, err := hide.New(hide.Spec{
		Name: h.Name(), Leather: h.Leather(), Form: h.Form(), Outline: h.Outline().Corners(), Backbone: h.Backbone(), Trim: h.Trim(),
		Readings: h.Readings(), Flaws: append(slices.Clone(h.Flaws()), f), Zones: h.Zones(), Cost: h.Cost(), Stamped: h.Stamped(), Bought: h.Bought(),
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// onePiece chooses a piece on the hide, if there is one from a block of several
// strips, with more beyond it.
func onePiece(r *rand.Rand, p nest.Plan, name string) int {
	any, inBlock := -1, -1
	for _, i := range r.Perm(len(p.Pieces)) {
		x := p.Pieces[i]
		if x.Hide != name || x.Cut {
			continue
		}
		any = i
		for _, b := range p.Lay(name).Bands {
			for _, k := range b.Blocks {
				if len(k.Strips) > 1 && slices.Contains(k.Strips, x.Strip) && slices.ContainsFunc(p.Pieces, func(y nest.Piece) bool {
					return y.Hide == name && y.Strip == x.Strip && y.FromMM > x.FromMM
				}) {
					inBlock = i
				}
			}
		}
	}
	if inBlock >= 0 {
		return inBlock
	}
	return any
}

// Whoever follows the list of a plan that was laid again, with what is cut in hand,
// holds the pieces that were still to be cut in the end.
func TestTheListIsTheRelay(t *testing.T) {
	met := map[string]int{}
	for seed := range uint64(40) {
		r := rand.New(rand.NewPCG(seed, 3))
		j, _, err := made.Random(seed)
		if err != nil {
			t.Fatal(err)
		}
		if j.Hides[0].Area() > 1e6 { // mm²; more takes the planner long
			continue
		}
		rule := measure.Rule{Mark: 1}
		j.Tools.Mark, j.Tools.Part = rule.Mark, 25
		j.Tools.Deepest = rule.Down([]float64{0, 55, 75}[r.IntN(3)])
		p, err := strip.Lay(context.Background(), j, strip.Options{Seed: seed, Steps: 12})
		if err != nil {
			t.Fatal(err)
		}
		for turn := range 2 {
			if len(p.Hides) == 0 || p.Lay(j.Hides[0].Name()) == nil {
				break
			}
			name := j.Hides[0].Name()
			b := p.Begin()
			n := r.IntN(len(p.Lay(name).Bands)) + 1
			for i := range n - 1 {
				b.Cut(name, i+1)
			}
			[]func(string, int){b.Rip, b.CutApart}[r.IntN(2)](name, n)
			if todo := onePiece(r, p, name); todo >= 0 {
				if err := b.CutPiece(todo); err != nil {
					t.Fatal(err)
				}
			}
			if l := b.Plan.Lay(name); l.SquaredMM == 0 && len(l.Chalked) == 0 {
				if l.SquaredMM, l.Chalked, err = Lines(j, p, name, rule); err != nil {
					t.Fatal(err)
				}
			}
			box := j.Hides[0].Outline().Bound()
			at := orb.Point{box.Min[0] + (0.2+0.6*r.Float64())*(box.Max[0]-box.Min[0]), box.Min[1] + (0.2+0.6*r.Float64())*(box.Max[1]-box.Min[1])}
			j.Hides = slices.Clone(j.Hides)
			j.Hides[0] = found(t, j.Hides[0], hide.Flaw{Kind: "scar", Spot: &hide.Spot{At: at, Diameter: 12}})
			b.Judge(j, func(nest.Piece) bool { return false })
			if p, err = strip.Relay(context.Background(), j, b.Plan, strip.Options{Seed: seed, Steps: 12}); err != nil {
				t.Fatal(err)
			}
			if faults := nest.CheckRelaid(j, b.Plan, p); len(faults) > 0 {
				t.Fatalf("job %d, turn %d: %v", seed, turn, faults)
			}
			l, err := readLay(j, p, name, rule)
			if err != nil {
				t.Fatal(err)
			}
			if err := followed(l, 1e-4); err != nil {
				t.Fatalf("job %d, turn %d: %v\n%v", seed, turn, err, l.steps())
			}
			if _, err := Sheet(j, p, name, Options{Rule: rule}); err != nil {
				t.Fatal(err)
			}
			for _, s := range l.steps() {
				text := s.String()
				for _, what := range []string{"ripped off already", "take the band", "the rest of the strip", "the block is", "put by"} {
					if strings.Contains(text, what) {
						met[what]++
					}
				}
			}
		}
	}
	t.Log(met)
	for _, what := range []string{"ripped off already", "take the band", "the rest of the strip"} {
		if met[what] == 0 {
			t.Errorf("no list says %q: the test tests nothing of it", what)
		}
	}
}

// The list of a hide that is begun tells what is cut, and begins with what is to
// be done next; marks count from the end that there is.
func TestSoFar(t *testing.T) {
	j, p := blocksPlan(t, 0)
	b := p.Begin()
	b.CutBlock("s", 1, 0)
	first := slices.IndexFunc(b.Plan.Pieces, func(p nest.Piece) bool { return p.Strip == b.Plan.Hides[0].Bands[0].Blocks[2].Strips[0] })
	if err := b.CutPiece(first); err != nil {
		t.Fatal(err)
	}
	b.Plan.Hides[0].SquaredMM = b.Plan.Hides[0].FarMM()
	b.Plan.Hides[0].Bands[1].New = true
	for i := range b.Plan.Pieces {
		q := &b.Plan.Pieces[i]
		if q.Set == 8 || q.Set == 1 { // in block 2b, and one that is cut
			q.New = true
		}
	}
	l, err := readLay(j, b.Plan, "s", measure.Rule{Mark: 1})
	if err != nil {
		t.Fatal(err)
	}
	var got strings.Builder
	for _, s := range l.steps() {
		fmt.Fprintln(&got, s)
	}
	const want = `so far cut into blocks: 1
write A·1 main* on the main cut from band 1, 140 long
1c: the rest is 1 strip
1c: cross-cut at 100 scrap | 240 A·5 main
blocks: cut a band apart at the marks, and write each block's name in its near left corner; rip a block from its near edge outward, and cross-cut what comes off from its left end; a block that the list leaves lies by until the cutter is set for it
2: set the cutter to 60, rip the band
2: cross-cut at 250 block 2a | 600 block 2b | 650 scrap | rest block 2c
1b, 2b: set the cutter to 20, scrap, 1 strip of each
1b, 2b: set the cutter to 25, take 1 strip of each; the rest is scrap
1b, 2b: cross-cut both all A·3, 8 belt*
2a, 2c: set the cutter to 30, take 2 strips of each
2a, 2c: cross-cut all 4 100 scrap | 240 A·6, 7, 9, 10 main
`
	if d := cmp.Diff(want, got.String()); d != "" {
		t.Error(d)
	}
	if err := followed(l, 1e-6); err != nil {
		t.Error(err)
	}
}

// A stretch is told from where the sheet has its marks counted.
func TestStretch(t *testing.T) {
	j, p := blocksPlan(t, 0)
	for _, tt := range []struct {
		band, block int
		lo, hi      float64 // along the hide
	}{{1, -1, 10, 30}, {1, 1, 260, 280}, {2, 2, 660, 680}} {
		got, err := Stretch(j, p, "s", measure.Rule{Mark: 1}, tt.band, tt.block, 10, 30)
		if err != nil {
			t.Fatal(err)
		}
		if b := orb.MultiPoint(got).Bound(); b.Min[0] != tt.lo || b.Max[0] != tt.hi {
			t.Errorf("band %d, block %d: found %v, expected %g to %g", tt.band, tt.block, got, tt.lo, tt.hi)
		}
	}
	if _, err := Stretch(j, p, "s", measure.Rule{Mark: 1}, 3, -1, 10, 30); err == nil {
		t.Error("found band 3 of 2")
	}
}

// What is cut is drawn in fine lines and bears no name; what has changed is in the
// accent and has a star, so that a print in black tells it, too.
func TestSheetOfARelay(t *testing.T) {
	j, p := blocksPlan(t, 0)
	b := p.Begin()
	b.Cut("s", 1)
	b.Plan.Relaid = &nest.Relaid{Found: []nest.Found{{Hide: "s", Flaw: 0}}}
	j.Hides[0] = found(t, j.Hides[0], hide.Flaw{Kind: "scar", Spot: &hide.Spot{At: orb.Point{500, 150}, Diameter: 20}})
	cut := map[string]bool{}
	for i := range b.Plan.Pieces {
		q := &b.Plan.Pieces[i]
		cut[q.Name()] = q.Cut
		q.New = q.Set == 8
	}
	pages, err := Sheet(j, b.Plan, "s", Options{Rule: measure.Rule{Mark: 1}, Paper: A3})
	if err != nil {
		t.Fatal(err)
	}
	starred, accented, outlines := 0, 0, 0
	for _, item := range pages[0].Items {
		switch it := item.(type) {
		case Text:
			name, _, _ := strings.Cut(it.String(), "  ")
			if cut[name] {
				t.Errorf("found the name of %s, which is cut", name)
			}
			if strings.Contains(it.String(), star) && !strings.Contains(it.String(), "changed") {
				starred++
			}
		case Shape:
			if it.Accent {
				accented++
			}
			if it.Closed && it.Weight == fine && len(it.Points) == 4 {
				outlines++
			}
		}
	}
	if starred < 3 || accented < 2 { // a piece in picture and list, and a flaw
		t.Errorf("found %d texts with a star and %d shapes in the accent, expected the piece that is new and the scar", starred, accented)
	}
	if n := len(b.Plan.Pieces) / 2; outlines < n {
		t.Errorf("found %d fine outlines, expected one of each of %d pieces that are cut", outlines, n)
	}
}

// What is spoilt is drawn in fine lines with a stroke from corner to corner; a piece that has
// changed, in a heavier line than one that has not; and the head tells how many are cut.
func TestSheetShowsWhatBecameOfPieces(t *testing.T) {
	j, p := blocksPlan(t, 0)
	b := p.Begin()
	b.Cut("s", 1)
	if err := b.Spoil(0); err != nil {
		t.Fatal(err)
	}
	for i := range b.Plan.Pieces {
		b.Plan.Pieces[i].New = b.Plan.Pieces[i].Set == 8
	}
	pages, err := Sheet(j, b.Plan, "s", Options{Rule: measure.Rule{Mark: 1}, Paper: A3})
	if err != nil {
		t.Fatal(err)
	}
	outlines := map[orb.Bound]bool{}
	strokes, moved, still := 0, 0.0, 0.0
	for _, item := range pages[0].Items {
		s, ok := item.(Shape)
		if !ok {
			continue
		}
		box := orb.MultiPoint(s.Points).Bound()
		switch {
		case s.Closed && s.Weight == fine:
			outlines[box] = true
		case len(s.Points) == 2 && s.Weight == fine && outlines[box]:
			strokes++
		case s.Closed && s.Fill == None && s.Accent:
			moved = max(moved, s.Weight)
		case s.Closed && s.Fill == None && s.Weight == part:
			still = s.Weight
		}
	}
	if strokes != 1 {
		t.Errorf("found %d pieces struck out, expected the one that is spoilt", strokes)
	}
	if !(moved > still && still > 0) {
		t.Errorf("a piece that has changed is drawn %g wide, others %g", moved, still)
	}
	if all := strings.Join(texts(pages[0]), "\n"); !strings.Contains(all, "9 pieces, 4 of them cut") {
		t.Errorf("the head does not tell that 4 of 9 pieces are cut:\n%s", all)
	}
}

// The head of a sheet says that something is in red only where something is: a find or a
// move on this hide, not on another.
func TestHeadTellsChangesOfItsHide(t *testing.T) {
	scar := hide.Flaw{Kind: "scar", Spot: &hide.Spot{At: orb.Point{500, 150}, Diameter: 20}}
	for name, c := range map[string]struct {
		on   string // the hide that the scar was found on
		move int    // the set that is laid otherwise; 0: none
		want bool
	}{
		"a find on it":             {"s", 0, true},
		"a find on another":        {"other", 0, false},
		"a piece is moved":         {"other", 8, true},
		"cut, and named otherwise": {"other", 1, true},
	} {
		j, p := blocksPlan(t, 0)
		b := p.Begin()
		b.Cut("s", 1)
		b.Plan.Relaid = &nest.Relaid{Found: []nest.Found{{Hide: c.on, Flaw: 0}}}
		j.Hides[0] = found(t, j.Hides[0], scar)
		for i := range b.Plan.Pieces {
			b.Plan.Pieces[i].New = b.Plan.Pieces[i].Set == c.move
		}
		pages, err := Sheet(j, b.Plan, "s", Options{Rule: measure.Rule{Mark: 1}})
		if err != nil {
			t.Fatal(err)
		}
		if got := strings.Contains(strings.Join(texts(pages[0]), "\n"), "changed: in red"); got != c.want {
			t.Errorf("%s: the head tells of changes: %v, expected %v", name, got, c.want)
		}
	}
}

// Other forms tell what is cut apart, so that nobody cuts it again: DXF by a layer,
// the list of pieces by a word, labels by leaving it out.
func TestFormsOfARelay(t *testing.T) {
	j, p := blocksPlan(t, 0)
	b := p.Begin()
	b.Cut("s", 1)
	cut := 0
	for i := range b.Plan.Pieces {
		q := &b.Plan.Pieces[i]
		if q.New = q.Set == 8; q.Cut {
			cut++
		}
	}
	all := len(b.Plan.Pieces)
	plot, err := Plotted(j, b.Plan, "s")
	if err != nil {
		t.Fatal(err)
	}
	if n := len(plot.Layers[layerPieces].Paths); n != all-cut {
		t.Errorf("found %d pieces to be cut, expected %d of %d", n, all-cut, all)
	}
	if n := len(plot.Layers[layerDone].Paths); n <= cut {
		t.Errorf("found %d lines on the layer of what is done, expected %d pieces, their strips and cross-cuts", n, cut)
	}
	for _, path := range plot.Layers[layerCrossCuts].Paths {
		if y := path.Points[0][1]; y < b.Plan.Lay("s").Bands[1].FromMM-1e-6 {
			t.Errorf("a cross-cut at %v is of a band that is cut", path.Points)
		}
	}
	rule := measure.Rule{Mark: 1}
	table, err := PieceTable(j, b.Plan, []string{"s"}, rule)
	if err != nil {
		t.Fatal(err)
	}
	states := map[string]int{}
	for _, row := range table.Rows {
		states[row[len(row)-1]]++
	}
	if len(table.Rows) != all || states["cut"] != cut || states["new"] == 0 {
		t.Errorf("found %d pieces, %v, expected %d with %d cut", len(table.Rows), states, all, cut)
	}
	labels, err := PieceLabels(j, b.Plan, "s", rule)
	if err != nil || len(labels) != all-cut {
		t.Errorf("found %d labels, %v, expected %d", len(labels), err, all-cut)
	}
	card, err := NewCard(j, b.Plan, "s", Options{Rule: rule})
	if err != nil || !slices.ContainsFunc(card.Lines, func(l Line) bool { return l.New || slices.ContainsFunc(l.Cuts, func(c Cut) bool { return c.New }) }) {
		t.Errorf("no line of the list on the screen has changed: %v", err)
	}
}
