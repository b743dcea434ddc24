package report

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"strapwise/hide"
	"strapwise/hide/measure"
	"strapwise/hide/plane"
	"strapwise/nest"
	"strapwise/nest/strip"
	"strapwise/report/internal/made"
)

// Whoever follows the list to the letter holds the pieces of the plan in the end,
// each cut by an edge or a line that was there: for all plans and rules.
func TestTheListIsThePlan(t *testing.T) {
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
		if err := followed(l, rounded); err != nil {
			t.Fatal(err)
		}
	})
}

// The same of plans that the planner makes, on the rule that it planned for: to
// the mark, and in no other cuts than the plan counts but the squared ends.
func TestTheListIsThePlannersPlan(t *testing.T) {
	met := map[string]int{}
	for seed := range uint64(30) {
		r := rand.New(rand.NewPCG(seed, 2))
		j, _, err := made.Random(seed)
		if err != nil {
			t.Fatal(err)
		}
		if j.Hides[0].Area() > 1e6 { // mm²; more takes the planner long
			continue
		}
		rule := []measure.Rule{{Mark: 1}, {System: measure.Inch, Mark: measure.MMPerInch / 16}}[r.IntN(2)]
		j.Tools.Mark, j.Tools.Part = rule.Mark, []float64{25, measure.MMPerInch}[rule.System]
		j.Tools.Deepest = rule.Down([]float64{0, 55, 75}[r.IntN(3)])
		j.Tools.Blocks = r.IntN(4)
		p, err := strip.Lay(context.Background(), j, strip.Options{Seed: seed, Steps: 12})
		if err != nil {
			t.Fatal(err)
		}
		if faults := nest.Check(j, p); len(faults) > 0 {
			t.Fatalf("job %d: %v", seed, faults)
		}
		for _, h := range p.Hides {
			l, err := readLay(j, p, h.Hide, rule)
			if err != nil {
				t.Fatal(err)
			}
			if err := followed(l, 1e-4); err != nil {
				t.Fatalf("job %d: %v", seed, err)
			}
			for _, b := range l.bands {
				for _, k := range b.blocks {
					met["blocks"]++
					if k.open {
						met["open blocks"]++
					}
					for _, s := range k.strips {
						if len(l.pieces[s.N]) == 0 {
							met["scrap strips"]++
						}
					}
				}
			}
		}
	}
	for _, what := range []string{"blocks", "open blocks", "scrap strips"} {
		if met[what] == 0 {
			t.Errorf("no plan has %s: the test tests nothing of them", what)
		}
	}
}

// rounded says that places are compared as far as the figures of the list tell
// them, where a plan was made for another rule.
const rounded = 0

// bench is the leather as it comes apart.
type bench struct {
	*lay
	whole  *hide.Leather
	tol    float64
	ripped float64          // how far out
	on     map[string]*held // by what is written on it
	got    map[string]held  // pieces, by their labels
	cuts   int              // made, but for squared ends at the plan's own
	fell   []held           // what gave no piece
}

// held is a bit of leather; its near end is unknown until it is cut.
type held struct{ x0, x1, y0, y1 float64 }

// followed follows the list of a lay to the letter and compares what it gives
// with the plan.
func followed(l *lay, tol float64) error {
	b := &bench{lay: l, whole: l.hide.Whole(l.frame), tol: tol, on: map[string]*held{}, got: map[string]held{}}
	b.begin()
	steps := l.steps()
	var taken []*held
	said := ""
	for i, s := range steps {
		var err error
		switch {
		case s.Usual && !strings.Contains(said, "; square each strip and band "+Plain(s.Square)+" of it"):
			err = errors.New("nothing tells where to square it")
		case s.Name == "" && len(s.Set) == 0:
			said += Plain(s.Do)
		case !s.With && s.In:
			taken, err = b.ripBlock(s)
		case !s.With:
			taken, err = b.rip(s)
		case strings.HasPrefix(Plain(steps[i-1].Do), "rip ") || strings.HasPrefix(Plain(steps[i-1].Do), "take the band"):
			err = b.cutApart(s, names(s.Name))
		default:
			err = b.crossCut(s, taken)
		}
		if err != nil {
			return fmt.Errorf("step %d, %q: %w", i+1, s, err)
		}
	}
	for _, h := range b.on { // what is left of blocks
		b.fell = append(b.fell, *h)
	}
	if err := b.keeps(); err != nil {
		return err
	}
	if err := b.names(steps); err != nil {
		return err
	}
	return b.compare()
}

var remnantNames = regexp.MustCompile(`remnants? ([0-9]+(?:[–,] ?[0-9]+)*)`)

// names says which remnant that a band leaves is not named once, where it falls off, or
// was before.
func (b *bench) names(steps []Step) error {
	told := map[string]int{}
	for _, s := range steps {
		if s.Name == "" && len(s.Set) == 0 {
			continue
		}
		text := s.String()
		for _, m := range remnantNames.FindAllStringSubmatch(text, -1) {
			for _, n := range names(m[1]) {
				told[n]++
			}
		}
	}
	for _, r := range b.remnants {
		from, banded := b.from(r)
		if n := names(strings.TrimRight(from, "abcdefghijklmnopqrstuvwxyz")); banded && len(n) == 1 {
			if i, _ := strconv.Atoi(n[0]); b.bands[i-1].cut {
				banded = told[fmt.Sprint(r.n)] > 1
			}
		}
		if banded && told[fmt.Sprint(r.n)] != 1 {
			return fmt.Errorf("remnant %d from %s is named %d times", r.n, from, told[fmt.Sprint(r.n)])
		}
	}
	return nil
}

// keeps says which remnant of the plan is not in the leather that fell off, in one piece.
func (b *bench) keeps() error {
	far := b.ripped
	for _, band := range b.bands {
		far = max(far, band.far())
	}
	b.fell = append(b.fell, held{math.Inf(-1), math.Inf(1), math.Inf(-1), 0}, held{math.Inf(-1), math.Inf(1), far, math.Inf(1)})
	if b.lines[0].cut {
		to := far
		if b.lay.cuts.SquaredMM > 0 {
			to = b.lay.cuts.SquaredMM
		}
		b.fell = append(b.fell, held{math.Inf(-1), 0, 0, to}, held{math.Inf(-1), 0, to, far})
	}
	for i, r := range b.lay.cuts.Remnants {
		box, off := b.bound(r), b.slack(2*len(b.strips))+0.02 // a remnant may be drawn in by a hair
		if !slices.ContainsFunc(b.fell, func(h held) bool {
			return (math.IsNaN(h.x0) || box.Min[0] >= h.x0-off) && box.Max[0] <= h.x1+off && box.Min[1] >= h.y0-off && box.Max[1] <= h.y1+off
		}) {
			return fmt.Errorf("remnant %d at %v is in no piece of leather that falls off", i+1, box)
		}
	}
	return nil
}

// begin has the leather as it is when some is cut: bands that are off the hide,
// blocks, what is left of blocks and of strips, each with its name.
func (b *bench) begin() {
	for _, band := range b.bands {
		if !band.cut {
			continue
		}
		b.fell = append(b.fell, held{math.Inf(-1), math.Inf(1), b.ripped, band.from})
		b.ripped = band.far()
		if !band.apart {
			h := &held{x0: math.NaN(), x1: math.Inf(1), y0: band.from, y1: band.far()}
			if b.lines[0].cut {
				h.x0 = 0
			}
			b.on[band.name()] = h
			continue
		}
		at := math.Inf(-1)
		for _, k := range band.blocks {
			b.fell = append(b.fell, held{at, k.from, band.from, band.far()})
			at = k.to
			block := &held{k.from, k.whole().Hi, band.from, band.far()} // the last goes on to the end of the hide
			for _, s := range k.strips {
				if !s.Cut {
					break
				}
				block.y0 = s.FromMM + s.WidthMM
				at := k.whole().Lo
				for _, p := range b.cutOff(s.N) {
					b.fell = append(b.fell, held{at, p.FromMM, s.FromMM, block.y0})
					at = max(at, p.ToMM)
				}
				if len(b.pieces[s.N]) > 0 {
					b.on[k.name+" rest"] = &held{at, k.to, s.FromMM, block.y0}
				}
				b.fell = append(b.fell, held{at, k.whole().Hi, s.FromMM, block.y0})
			}
			b.on[k.name] = block
			if !b.left(k) {
				b.fell = append(b.fell, held{k.whole().Lo, k.whole().Hi, block.y0, block.y1})
			}
		}
	}
}

func (b *bench) rip(s Step) ([]*held, error) {
	named := names(s.Name)
	if len(named) == 0 {
		named = []string{""}
	}
	do := Plain(s.Do)
	if _, off := strings.CutSuffix(do, ", ripped off already"); off {
		return []*held{b.on[s.Name]}, b.square(s, b.on[s.Name], 0)
	}
	known := false
	if len(b.remnants) > 0 && strings.HasPrefix(do, "remnant") {
		do = "scrap"
	}
	for _, want := range []string{"scrap", "rip the band", "take " + count(len(named), "strip"), "rip " + count(len(named), "band")} {
		known = known || do == want || strings.HasPrefix(do, want+", measure from ")
	}
	if !known || do == "rip the band" && len(named) > 1 {
		return nil, fmt.Errorf("expected %d of them", len(named))
	}
	var out []*held
	for i, n := range named {
		h := &held{x0: math.NaN(), x1: math.Inf(1), y0: b.ripped, y1: b.ripped + read(b.rule, Plain(s.Set))}
		if b.lines[0].cut {
			h.x0 = 0
		}
		b.ripped = h.y1
		b.cuts++
		if n != "" {
			b.on[n] = h
		}
		if err := b.square(s, h, i); err != nil {
			return nil, err
		}
		if do == "scrap" {
			b.fell = append(b.fell, *h)
		}
		out = append(out, h)
	}
	return out, nil
}

// square squares the strip or band of that place among those that a step gives.
func (b *bench) square(s Step, h *held, i int) error {
	told := strings.Split(Plain(s.Square), ", ")
	if told[0] == "" {
		return nil
	}
	text := told[min(i, len(told)-1)]
	line, side := b.lineIn(Plain(s.Square)), ""
	for k := min(i, len(told)-1); k < len(told) && side == ""; k++ { // the side is told after the last of those on it
		for _, to := range []string{"left", "right"} {
			if strings.HasSuffix(strings.Split(told[k], " of ")[0], " "+to) {
				side = to
			}
		}
	}
	if !b.leatherAt(line.at, h) && !(!s.In && b.partAt(line.at, h)) { // of a band, the line may show on a part
		return fmt.Errorf("there is no leather at %s, %g", line.name, line.at)
	}
	at := 0.0
	if !strings.HasPrefix(text, "on ") {
		at = read(b.rule, strings.TrimSuffix(strings.TrimSuffix(strings.Split(text, " of ")[0], " left"), " right"))
	}
	if side == "left" {
		at = -at
	}
	b.fell = append(b.fell, held{h.x0, line.at + at, h.y0, h.y1})
	h.x0 = line.at + at
	b.cuts++
	if math.Abs(h.x0) < b.slack(1) {
		b.cuts-- // the squared end comes free
	}
	return nil
}

// partAt is leatherAt for some part of the depth, of which there are twenty.
func (b *bench) partAt(x float64, h *held) bool {
	for i := range 20 {
		y := h.y0 + (float64(i)+0.5)/20*(h.y1-h.y0)
		if b.leatherAt(x, &held{y0: y - b.slack(9) - 0.1, y1: y + b.slack(9) + 0.1}) {
			return true
		}
	}
	return false
}

// leatherAt reports whether a bit has leather all across at a place along it.
func (b *bench) leatherAt(x float64, h *held) bool {
	off := b.slack(9)
	y := plane.Span{Lo: h.y0 + off, Hi: h.y1 - off}
	return y.Hi-y.Lo < sameMark || slices.ContainsFunc(b.whole.Runs(y), func(r plane.Span) bool { return r.Lo-off <= x && x <= r.Hi+off })
}

// lineIn is the line that words speak of.
func (b *bench) lineIn(s string) line {
	for _, l := range b.lines {
		if !l.cut && (l.name == "the line" || strings.Contains(s+" ", l.name+" ")) {
			return l
		}
	}
	panic("no line in " + s)
}

// cutApart cuts bands into blocks.
func (b *bench) cutApart(s Step, bands []string) error {
	for i, n := range bands {
		band := *b.on[n]
		at := band.x0
		for _, c := range s.Cuts {
			text := Plain(c.At)
			figure, side, sided := strings.Cut(text, " ")
			x := band.x1
			switch {
			case text == "rest":
			case text == "on it":
				x = b.lineOfBand(n).at
			case strings.HasSuffix(text, "left"):
				x = b.lineOfBand(n).at - read(b.rule, strings.TrimSuffix(text, " left"))
			case strings.HasSuffix(text, "right"):
				x = b.lineOfBand(n).at + read(b.rule, strings.TrimSuffix(text, " right"))
			case math.IsNaN(band.x0):
				return fmt.Errorf("band %s is marked from an end that it does not have (%s %s %v)", n, figure, side, sided)
			default:
				x = band.x0 + read(b.rule, text)
			}
			if text != "rest" {
				b.cuts++
			}
			if blocks, named := strings.CutPrefix(c.Off, "block "); named {
				b.on[names(blocks)[i]] = &held{at, x, band.y0, band.y1}
			} else {
				b.fell = append(b.fell, held{at, x, band.y0, band.y1})
			}
			at = x
		}
		b.on[n].x0 = at // of a band that is one block the rest
	}
	return nil
}

func (b *bench) lineOfBand(name string) line {
	n, _ := strconv.Atoi(name)
	return b.lines[b.bands[n-1].line]
}

// ripBlock takes strips off blocks.
func (b *bench) ripBlock(s Step) ([]*held, error) {
	if Plain(s.Do) == "the rest of the strip ripped last" {
		return []*held{b.on[s.Name+" rest"]}, nil
	}
	do := strings.Fields(Plain(s.Do))
	n := 0
	if len(b.remnants) > 0 {
		do = strings.Fields(strings.Split(Plain(s.Do), ", remnant")[0])
	}
	for _, w := range do {
		if k, err := strconv.Atoi(w); err == nil {
			n = k
		}
	}
	var out []*held
	for _, name := range names(s.Name) {
		block := b.on[name]
		if block == nil {
			return nil, fmt.Errorf("there is no block %s", name)
		}
		for range n {
			strip := *block
			if len(s.Set) > 0 {
				strip.y1 = block.y0 + read(b.rule, Plain(s.Set))
			}
			if strip.y1 > block.y1+b.slack(9) {
				return nil, fmt.Errorf("%s is not deep enough: %g of %g", name, strip.y1, block.y1)
			}
			if strip.y1 < block.y1-b.slack(9) {
				b.cuts++
			}
			block.y0 = strip.y1
			if err := b.square(s, &strip, len(out)); err != nil {
				return nil, err
			}
			out = append(out, &strip)
			if strings.HasPrefix(do[0], "scrap") || strings.Contains(Plain(s.Do), ", remnant") {
				b.fell = append(b.fell, strip)
			}
		}
		if left := block.y1-block.y0 > b.slack(9); b.tol > 0 && s.Rest != "" && !left {
			return nil, fmt.Errorf("nothing is left of %s to be %s", name, s.Rest)
		}
	}
	return out, nil
}

// crossCut cuts strips alike into pieces.
func (b *bench) crossCut(s Step, strips []*held) error {
	for i, strip := range strips {
		at := strip.x0
		if !b.leatherAt(at, strip) {
			return fmt.Errorf("there is no end to measure from at %g", at)
		}
		for _, c := range s.Cuts {
			x := strip.x1
			if text := Plain(c.At); text != "rest" && text != "all" {
				x = strip.x0 + read(b.rule, text)
				b.cuts++
			}
			if c.Off != "scrap" && !strings.HasPrefix(c.Off, "remnant") {
				b.got[labelled(c.Off)[i]] = held{at, x, strip.y0, strip.y1}
			} else {
				b.fell = append(b.fell, held{at, x, strip.y0, strip.y1})
			}
			at = x
		}
		b.fell = append(b.fell, held{at, strip.x1, strip.y0, strip.y1})
	}
	return nil
}

// compare says where the pieces in hand are not those of the plan.
func (b *bench) compare() error {
	want, plan := 0, nest.Plan{Hides: []nest.HideLay{b.lay.cuts}}
	for n, on := range b.pieces {
		for _, p := range on {
			want++
			plan.Pieces = append(plan.Pieces, p)
			got, found := b.got[label(p)]
			if !found {
				return fmt.Errorf("the list gives no %s", label(p))
			}
			s := b.strips[n]
			for _, d := range []float64{got.x0 - p.FromMM, got.x1 - p.ToMM, got.y0 - s.FromMM, got.y1 - s.FromMM - s.WidthMM} {
				if !(math.Abs(d) <= b.slack(2*len(b.strips))) {
					return fmt.Errorf("%s is at %v, the plan has it at %g to %g in strip %d at %g", label(p), got, p.FromMM, p.ToMM, n, s.FromMM)
				}
			}
		}
	}
	if want != len(b.got) {
		return fmt.Errorf("the list gives %d pieces, the plan has %d", len(b.got), want)
	}
	if cuts := nest.Cuts(plan); b.tol > 0 && !b.begun() && b.cuts != cuts {
		return fmt.Errorf("the list takes %d cuts, the plan counts %d", b.cuts, cuts)
	}
	return nil
}

// slack is what places may be off that so many figures were added up for.
func (b *bench) slack(figures int) float64 {
	if b.tol > 0 {
		return b.tol
	}
	return float64(1+figures) * b.rule.Up(sameMark)
}

// names are those that a list of them stands for: "5, 7–9", "7a, 8a".
func names(s string) []string {
	var out []string
	for word := range strings.SplitSeq(s, ", ") {
		from, to, run := strings.Cut(word, "–")
		switch {
		case word == "":
		case !run:
			out = append(out, word)
		default:
			lo, _ := strconv.Atoi(from)
			hi, _ := strconv.Atoi(to)
			for n := lo; n <= hi; n++ {
				out = append(out, fmt.Sprint(n))
			}
		}
	}
	return out
}

// labelled are the labels of the pieces that words name: "A12·3, 4, A13·1 main".
func labelled(s string) []string {
	s, _, _ = strings.Cut(s, ", trim to ")
	s, _, _ = strings.Cut(s, ", for ") // a template
	s = strings.TrimSuffix(s, star)
	i := strings.LastIndex(s, " ")
	order := ""
	var out []string
	for word := range strings.SplitSeq(s[:i], ", ") {
		if o, sets, named := strings.Cut(word, "·"); named {
			order, word = o, sets
		}
		for _, n := range names(word) {
			out = append(out, order+"·"+n+s[i:])
		}
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
