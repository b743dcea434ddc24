package report

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"

	"strapwise/hide"
	"strapwise/hide/measure"
	"strapwise/hide/plane"
	"strapwise/nest"
	"strapwise/report/internal/made"
)

// Whoever follows the list finds every piece where the plan has it, by lines that
// each lie on the leather of the strips they serve, and by marks that are
// counted from an end cut before: for all plans and rules.
func TestMarksAreFoundAtTheBench(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		j, p, err := made.Random(rapid.Uint64().Draw(t, "plan"))
		if err != nil {
			t.Fatal(err)
		}
		rule := rapid.SampledFrom([]measure.Rule{inches, halves, {}}).Draw(t, "rule")
		l, err := readLay(j, p, j.Hides[0].Name(), rule)
		if err != nil {
			t.Fatal(err)
		}
		if msg := astray(l); msg != "" {
			t.Fatal(msg)
		}
	})
}

// astray follows the list of a lay and says where it leads to another place than
// the plan.
func astray(l *lay) string {
	whole := l.hide.Whole(l.frame)
	w := &writer{lay: l}
	off := func(at, want float64) bool { return math.Abs(at-want) > 1.01*l.rule.Up(sameMark) }
	square := map[int]float64{} // of each strip, along the hide
	var band nest.Band
	bandAt, next := 0.0, 0
	for _, s := range l.steps() {
		if strings.HasPrefix(Plain(s.Do), "a band for") {
			for w.simpleBands(next) > 0 {
				next++
			}
			band = l.cuts.Bands[next]
			next++
			if bandAt = 0; len(s.Square) > 0 {
				bandAt = squares(l, s, bandStrips(band)[:1])[0]
			}
		}
		if len(s.Strips) == 0 && len(s.Cuts) > 0 {
			for _, c := range s.Cuts {
				if !slices.ContainsFunc(band.Blocks, func(b nest.Block) bool {
					at := bandAt + read(l.rule, Plain(c.At))
					return !off(at, b.FromMM) || !off(at, b.ToMM)
				}) {
					return fmt.Sprintf("a band is cut at %s, where no block begins or ends", Plain(c.At))
				}
			}
		}
		if len(s.Strips) > 0 && len(s.Square) > 0 {
			for i, at := range squares(l, s, s.Strips) {
				square[s.Strips[i]] = at
			}
		}
		for _, n := range s.Strips {
			if len(s.Cuts) == 0 {
				continue
			}
			line, strip := l.line(n), l.strips[n]
			from, known := square[n]
			switch {
			case w.inBlock(n):
				from = l.blocks[n].FromMM
			case !line.cut && !known:
				return fmt.Sprintf("strip %d is cross-cut and was never squared", n)
			case !(ground{runs: whole.Runs(plane.Span{Lo: strip.FromMM, Hi: strip.FromMM + strip.WidthMM})}).has(line.at, 0):
				return fmt.Sprintf("strip %d has no leather at %s, %g", n, line.name, line.at)
			}
			rest := l.pieces[n]
			for _, c := range s.Cuts {
				if c.Off == "scrap" {
					continue
				}
				if at := from + read(l.rule, Plain(c.At)); off(at, rest[0].ToMM) {
					return fmt.Sprintf("strip %d: %s ends at %g, the plan has %g", n, c.Off, at, rest[0].ToMM)
				}
				rest = rest[1:]
			}
		}
	}
	return ""
}

// squares are the places, along the hide, at which a step squares strips.
func squares(l *lay, s Step, strips []int) []float64 {
	text := Plain(s.Square)
	if i := strings.LastIndex(text, " of line "); i >= 0 {
		text = text[:i]
	}
	told := strings.Split(text, ", ")
	out := make([]float64, len(strips))
	side := ""
	for i := len(strips) - 1; i >= 0; i-- { // the side is told after the last of those on it
		words := told[min(i, len(told)-1)]
		at := l.line(strips[i]).at
		for _, to := range []string{"left", "right"} {
			if before, found := strings.CutSuffix(words, " "+to); found {
				words, side = before, to
			}
		}
		switch {
		case strings.HasPrefix(words, "on "):
		case side == "left":
			at -= read(l.rule, words)
		default:
			at += read(l.rule, words)
		}
		out[i] = at
	}
	return out
}

// read is a bare figure of the list in millimetres.
func read(rule measure.Rule, s string) float64 {
	unit := "mm"
	if rule.System == measure.Inch {
		unit = "in"
	}
	mm, err := measure.Length(s+unit, 0)
	if err != nil {
		panic(err)
	}
	return mm
}

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
	l, err := readLay(nest.Job{Hides: []*hide.Hide{h}}, p, "z", measure.Rule{})
	if err != nil {
		t.Fatal(err)
	}
	if msg := astray(l); msg != "" {
		t.Error(msg)
	}
	got := fmt.Sprint(l.steps())
	for _, want := range []string{
		"chalk line A square across the hide 30 mm from its left end", "chalk line B square across the hide 900 mm",
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
		"side":  {made.Side, "before any rip, chalk the line square across the hide 8 in from the start of the backbone"},
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
