package report

import (
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"
	"pgregory.net/rapid"

	"strapwise/hide"
	"strapwise/hide/measure"
	"strapwise/nest"
	"strapwise/report/internal/made"
)

var update = flag.Bool("update", false, "write the golden files anew")

type maker func() (nest.Job, nest.Plan, error)

var (
	inches = measure.RuleOf(measure.Inch)
	halves = measure.Rule{System: measure.Metric, Mark: 0.5}
)

// The list and the words of the picture, line by line.
func TestGolden(t *testing.T) {
	for name, c := range map[string]struct {
		make maker
		o    Options
	}{
		"side-inch":    {made.Side, Options{Rule: inches, Workshop: "Invented Strap Works", Date: "3 March 2027"}},
		"whole-metric": {made.Whole, Options{Workshop: "Invented Strap Works", Date: "3 March 2027"}},
		"sheet-metric": {made.Sheet, Options{Rule: halves}},
	} {
		t.Run(name, func(t *testing.T) {
			j, p, err := c.make()
			if err != nil {
				t.Fatal(err)
			}
			steps, err := Steps(j, p, j.Hides[0].Name(), c.o.Rule)
			if err != nil {
				t.Fatal(err)
			}
			var b strings.Builder
			for _, s := range steps {
				fmt.Fprintln(&b, s)
			}
			pages, err := Sheet(j, p, j.Hides[0].Name(), c.o)
			if err != nil {
				t.Fatal(err)
			}
			for i, page := range pages {
				fmt.Fprintf(&b, "\npage %d, %g × %g mm\n", i+1, page.Width, page.Height)
				for _, line := range texts(page) {
					fmt.Fprintln(&b, line)
				}
			}
			file := filepath.Join("testdata", name+".txt")
			if *update {
				if err := os.WriteFile(file, []byte(b.String()), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			if d := cmp.Diff(string(want), b.String()); d != "" {
				t.Error(d)
			}
		})
	}
}

// texts are the words of a page, sorted, since where they stand is no matter here.
func texts(p Page) []string {
	var out []string
	for _, i := range p.Items {
		if t, ok := i.(Text); ok {
			out = append(out, fmt.Sprintf("%.1f %s", t.Size, t))
		}
	}
	slices.Sort(out)
	return out
}

// No text covers other text or leaves the page, none is too small to read, and
// every strip and every cross-cut is on some page: for all plans, papers and rules.
func TestNothingOverlapsNothingIsLost(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		j, p, err := made.Random(rapid.Uint64().Draw(t, "plan"))
		if err != nil {
			t.Fatal(err)
		}
		o := Options{
			Paper:    rapid.SampledFrom([]Paper{A4, A3, Letter}).Draw(t, "paper"),
			Rule:     rapid.SampledFrom([]measure.Rule{inches, halves, {}}).Draw(t, "rule"),
			FullSize: rapid.IntRange(0, 5).Draw(t, "full") == 0,
			Workshop: rapid.SampledFrom([]string{"", "W", strings.Repeat("a long name ", 20)}).Draw(t, "workshop"),
		}
		name := j.Hides[0].Name()
		pages, err := Sheet(j, p, name, o)
		if err != nil {
			t.Fatal(err)
		}
		for i, page := range pages {
			if msg := flawed(page); msg != "" {
				t.Fatalf("page %d of %d: %s", i+1, len(pages), msg)
			}
		}
		steps, err := Steps(j, p, name, o.Rule)
		if err != nil {
			t.Fatal(err)
		}
		if msg := lost(steps, pages); msg != "" {
			t.Fatal(msg)
		}
	})
}

func flawed(page Page) string {
	var set []Text
	sheet := orb.Bound{Max: orb.Point{page.Width, page.Height}}
	for _, item := range page.Items {
		t, ok := item.(Text)
		if !ok {
			continue
		}
		b := t.Bound()
		if !sheet.Contains(b.Min) || !sheet.Contains(b.Max) {
			return fmt.Sprintf("%q leaves the page: %v", t, b)
		}
		if t.Size < 0.8*leastList-0.01 {
			return fmt.Sprintf("%q is %.2f mm small", t, t.Size)
		}
		for _, o := range set {
			if ob := o.Bound(); ob.Min[0] < b.Max[0] && b.Min[0] < ob.Max[0] && ob.Min[1] < b.Max[1] && b.Min[1] < ob.Max[1] {
				return fmt.Sprintf("%q %v covers %q %v", t, b, o, ob)
			}
		}
		set = append(set, t)
	}
	return ""
}

func lost(steps []Step, pages []Page) string {
	on := map[string]int{}
	for _, p := range pages {
		for _, i := range p.Items {
			if t, ok := i.(Text); ok {
				on[t.String()]++
			}
		}
	}
	listed := map[string]int{}
	for _, s := range steps {
		if !s.With {
			listed[s.Name]++
		}
	}
	for _, s := range steps {
		if s.Name != "" && on[s.Name] == 0 {
			return fmt.Sprintf("no page has %q in its list", s.Name)
		}
		for _, c := range s.Cuts {
			if blocks, named := strings.CutPrefix(c.Off, "block "); named {
				for name := range strings.SplitSeq(blocks, ", ") {
					if on[name] <= listed[name] {
						return fmt.Sprintf("block %s has no name in the picture", name)
					}
				}
			}
		}
	}
	marks := map[string]int{}
	for _, s := range steps {
		for _, c := range s.Cuts {
			marks[Plain(c.At)]++
			if named := c.Off[max(0, strings.LastIndex(c.Off, "·")):]; !ends(on, named) {
				return fmt.Sprintf("no page names %q", c.Off)
			}
		}
	}
	for m, n := range marks {
		if on[m] < n {
			return fmt.Sprintf("mark %s is on the pages %d times, expected %d", m, on[m], n)
		}
	}
	return ""
}

// ends reports whether a text ends with the words, or one with the first of them
// and the next line is the others.
func ends(on map[string]int, words string) bool {
	with := func(tail string) bool {
		for text := range on {
			if strings.HasSuffix(text, tail) {
				return true
			}
		}
		return false
	}
	if with(words) {
		return true
	}
	for i, r := range words {
		if r == ' ' && with(words[:i]) && on[words[i+1:]] > 0 {
			return true
		}
	}
	return false
}

// What the head of a sheet, a rule and a texture is drawn over the hide only.
func TestFlawsStayOnTheHide(t *testing.T) {
	for seed := range uint64(20) {
		j, p, err := made.Random(seed)
		if err != nil {
			t.Fatal(err)
		}
		pages, err := Sheet(j, p, j.Hides[0].Name(), Options{})
		if err != nil {
			t.Fatal(err)
		}
		var leather orb.Bound
		for _, item := range pages[0].Items {
			if s, ok := item.(Shape); ok && s.Closed && s.Weight == heavy {
				leather = orb.MultiPoint(s.Points).Bound().Pad(2)
			}
		}
		for _, item := range pages[0].Items {
			s, ok := item.(Shape)
			if b := orb.MultiPoint(s.Points).Bound(); ok && s.Fill >= Solid && len(s.Points) > 3 && (!leather.Contains(b.Min) || !leather.Contains(b.Max)) {
				t.Fatalf("plan %d: a texture covers %v, the hide is at %v", seed, b, leather)
			}
		}
	}
}

// A strip is ripped from end to end of the hide; what its outline has beyond
// the leather is not drawn.
func TestStripsEndAtTheLeather(t *testing.T) {
	j, p, err := made.Sheet()
	if err != nil {
		t.Fatal(err)
	}
	for i := range p.Hides[0].Strips { // 620 mm of leather
		pts := p.Hides[0].Strips[i].Outline
		pts[1][0], pts[2][0] = 2000, 2000
	}
	pages, err := Sheet(j, p, "offcut-9", Options{FullSize: true})
	if err != nil {
		t.Fatal(err)
	}
	for _, item := range pages[0].Items {
		if s, ok := item.(Shape); ok && s.Closed {
			if b := orb.MultiPoint(s.Points).Bound(); b.Max[0]-b.Min[0] > 620+1e-6 {
				t.Errorf("found a shape %.1f mm long on a hide of 620 mm", b.Max[0]-b.Min[0])
			}
		}
	}
}

// A strip is as wide as its piece on the first mark not below: 34.1 mm is cut at
// 34.5 and told so. Only what is at least a mark too wide is trimmed, and nothing
// is told smaller than it is.
func TestTrimIsToldByTheMark(t *testing.T) {
	for width, want := range map[float64]struct{ trim, label string }{
		34.5: {"", "34.5 × 520"}, 34.4: {"", "34.5 × 520"}, 34.1: {"", "34.5 × 520"},
		34: {"trim to 34", "34 × 520"}, 33.6: {"trim to 34", "34 × 520"},
	} {
		j, p, err := made.Sheet()
		if err != nil {
			t.Fatal(err)
		}
		j.Orders[0].Parts[0].Width = width
		j.Orders[0].Parts[0].Length = 519.6
		steps, err := Steps(j, p, "offcut-9", halves)
		if err != nil {
			t.Fatal(err)
		}
		list := fmt.Sprint(steps)
		if got := strings.Contains(list, "trim to"); got != (want.trim != "") || !strings.Contains(list, want.trim) {
			t.Errorf("a part of %g mm in a strip of 34.5 mm: expected %q in %s", width, want.trim, list)
		}
		pages, err := Sheet(j, p, "offcut-9", Options{Rule: halves})
		if err != nil {
			t.Fatal(err)
		}
		if all := strings.Join(texts(pages[0]), "\n"); !strings.Contains(all, "main  "+want.label) {
			t.Errorf("a part of %g × 519.6 mm: expected the label %q in\n%s", width, want.label, all)
		}
	}
}

// Strips whose pieces differ only in order and set are told in one line.
func TestAlikeAcrossOrders(t *testing.T) {
	j, p, err := made.Sheet()
	if err != nil {
		t.Fatal(err)
	}
	other := j.Orders[0]
	other.ID = "C2"
	j.Orders = append(j.Orders, other)
	for i := range p.Pieces {
		if p.Pieces[i].Strip == 2 {
			p.Pieces[i].Order = "C2"
		}
	}
	steps, err := Steps(j, p, "offcut-9", halves)
	if err != nil {
		t.Fatal(err)
	}
	if got, want := fmt.Sprint(steps), "1, 2: cross-cut both 520 C1·1, C2·2 main"; !strings.Contains(got, want) {
		t.Errorf("expected %q in %s", want, got)
	}
}

// The list says on which side of the cuts a remnant lies.
func TestRemnantsAreFound(t *testing.T) {
	j, p, err := made.Sheet()
	if err != nil {
		t.Fatal(err)
	}
	first := p.Hides[0].Remnants[0]
	p.Hides[0].Remnants = append(p.Hides[0].Remnants, nil)
	for _, c := range first { // another, on the near side
		p.Hides[0].Remnants[1] = append(p.Hides[0].Remnants[1], orb.Point{c[0], c[1] - 200})
	}
	steps, err := Steps(j, p, "offcut-9", halves)
	if err != nil {
		t.Fatal(err)
	}
	got := fmt.Sprint(steps)
	for _, want := range []string{"put back remnant 1, beyond the last rip, 55", "put back remnant 2, below the struck edge, 55"} {
		if !strings.Contains(got, want) {
			t.Errorf("expected %q in %s", want, got)
		}
	}
}

// lengthen cuts so many strips more, as if those of the plan were cut again further out.
func lengthen(p *nest.Plan, more int) {
	lay := &p.Hides[0]
	for n, strips := 0, len(lay.Strips); n < more; n++ {
		s := lay.Strips[n%strips]
		s.N = len(lay.Strips) + 1
		s.WidthMM += float64(n) / 100 // no two alike
		lay.Strips = append(lay.Strips, s)
		for _, piece := range p.Pieces {
			if piece.Strip == n%strips+1 {
				piece.Strip = s.N
				p.Pieces = append(p.Pieces, piece)
			}
		}
	}
}

// A hide with hundreds of long flaws across one another still has its sheet:
// those with no room for a number are counted under it.
func TestManyFlaws(t *testing.T) {
	j, p, err := made.Sheet()
	if err != nil {
		t.Fatal(err)
	}
	r := rand.New(rand.NewPCG(3, 3))
	spec := hide.Spec{Name: "offcut-9", Leather: "bridle-tan", Form: "sheet", Outline: j.Hides[0].Outline().Corners()}
	for i := range 150 {
		line := []orb.Point{{620 * r.Float64(), 140 * r.Float64()}, {620 * r.Float64(), 140 * r.Float64()}, {620 * r.Float64(), 140 * r.Float64()}}
		spec.Flaws = append(spec.Flaws, hide.Flaw{Kind: "scar", Face: hide.Face(i % 2), Stroke: &hide.Stroke{Line: line, Width: 1}})
	}
	if j.Hides[0], err = hide.New(spec); err != nil {
		t.Fatal(err)
	}
	pages, err := Sheet(j, p, "offcut-9", Options{})
	if err != nil {
		t.Fatal(err)
	}
	if msg := flawed(pages[0]); msg != "" {
		t.Error(msg)
	}
	if all := strings.Join(texts(pages[0]), "\n"); !strings.Contains(all, "not numbered") {
		t.Errorf("the sheet does not count the flaws it has no room to number:\n%s", all)
	}
}

// Scale 1:1 means that a piece of 520 mm is drawn 520 mm long.
func TestFullSize(t *testing.T) {
	j, p, err := made.Sheet()
	if err != nil {
		t.Fatal(err)
	}
	pages, err := Sheet(j, p, "offcut-9", Options{FullSize: true})
	if err != nil {
		t.Fatal(err)
	}
	if all := strings.Join(texts(pages[0]), "\n"); !strings.Contains(all, "print at 100 %; check against the ruler") {
		t.Errorf("the page does not say how to print it:\n%s", all)
	}
	for _, item := range pages[0].Items {
		if s, ok := item.(Shape); ok && s.Closed {
			b := orb.MultiPoint(s.Points).Bound()
			if math.Abs(b.Max[0]-b.Min[0]-520) < 1e-9 && math.Abs(b.Max[1]-b.Min[1]-34.5) < 1e-9 {
				return
			}
		}
	}
	t.Error("found no piece of 520 × 34.5 mm on the page")
}

func TestSheetRefuses(t *testing.T) {
	for rule, spoil := range map[string]func(*nest.Plan){
		"found no hide":                      func(p *nest.Plan) {},
		"the plan cuts nothing":              func(p *nest.Plan) { p.Hides = nil },
		"a struck edge of no length":         func(p *nest.Plan) { p.Hides[0].Strike.To = p.Hides[0].Strike.From },
		"strip 1 twice":                      func(p *nest.Plan) { p.Hides[0].Strips[1].N = 1 },
		"strip 1 with 2 corners":             func(p *nest.Plan) { p.Hides[0].Strips[0].Outline = make2() },
		"which the plan does not describe":   func(p *nest.Plan) { p.Hides[0].Bands[0].Blocks[0].Strips[0] = 77 },
		"strip 1 in two blocks":              func(p *nest.Plan) { p.Hides[0].Bands[1].Blocks[0].Strips[0] = 1 },
		"C1·1 main with 0 corners, expected": func(p *nest.Plan) { p.Pieces[0].Outline = nil },
	} {
		j, p, err := made.Sheet()
		if err != nil {
			t.Fatal(err)
		}
		spoil(&p)
		name := "offcut-9"
		if rule == "found no hide" {
			name = "nowhere"
		}
		if _, err := Sheet(j, p, name, Options{}); err == nil || !strings.Contains(err.Error(), rule) {
			t.Errorf("got %v, expected %q", err, rule)
		}
	}
}

func make2() []orb.Point { return []orb.Point{{0, 0}, {1, 1}} }

func TestFigure(t *testing.T) {
	for _, c := range []struct {
		rule measure.Rule
		mm   float64
		want string
	}{
		{inches, 1.375 * 25.4, "1 3/8"},
		{inches, 0.5 * 25.4, "1/2"},
		{inches, -0.5 * 25.4, "−1/2"},
		{inches, -2.25 * 25.4, "−2 1/4"},
		{inches, 72 * 25.4, "72"},
		{inches, 0, "0"},
		{halves, 34.5, "34.5"},
		{halves, -34.5, "−34.5"},
		{halves, 520, "520"},
	} {
		if got := Plain(figure(c.rule, c.mm)); got != c.want {
			t.Errorf("%v mm: got %q, expected %q", c.mm, got, c.want)
		}
	}
}

func TestNumbers(t *testing.T) {
	for want, ns := range map[string][]int{"": nil, "3": {3}, "1, 2": {1, 2}, "1–3": {1, 2, 3}, "1, 4–6, 9": {1, 4, 5, 6, 9}, "2, 1": {2, 1}} {
		if got := numbers(ns); got != want {
			t.Errorf("%v: got %q, expected %q", ns, got, want)
		}
	}
}

// Spread places keep their order, stand a pitch apart, stay between the limits
// where there is room, and do not move where none crowds.
func TestSpreadLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want := rapid.SliceOfN(rapid.Float64Range(0, 100), 1, 20).Draw(t, "want")
		slices.Sort(want)
		got := spread(want, 5, 0, 100)
		if len(got) != len(want) {
			t.Fatalf("got %d places, expected %d", len(got), len(want))
		}
		crowded := want[0] < 0
		for i := range got {
			if i > 0 {
				crowded = crowded || want[i]-want[i-1] < 5
				if got[i]-got[i-1] < 5-1e-9 {
					t.Fatalf("places %d and %d are %g apart", i-1, i, got[i]-got[i-1])
				}
			}
			if got[i] < -1e-9 || got[i] > 100+1e-9 {
				t.Fatalf("place %d at %g is out of bounds", i, got[i])
			}
		}
		if !crowded && cmp.Diff(want, got) != "" {
			t.Fatalf("moved without need: %v to %v", want, got)
		}
	})
}

func TestTextBoundTurns(t *testing.T) {
	level := Text{At: orb.Point{10, 20}, Size: 5, Runs: words("strip")}
	up := level
	up.Turn = 90
	a, b := level.Bound(), up.Bound()
	if w := a.Max[0] - a.Min[0]; math.Abs(w-(b.Max[1]-b.Min[1])) > 1e-9 || math.Abs(w-level.Width()) > 1e-9 {
		t.Errorf("level %v, turned %v, width %g", a, b, level.Width())
	}
	if math.Abs(b.Max[1]-20) > 1e-9 || a.Min[0] != 10 {
		t.Errorf("does not begin at its anchor: level %v, turned %v", a, b)
	}
}
