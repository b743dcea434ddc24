package main

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"sync/atomic"
	"testing"

	"strapwise/nest"
)

// keepEnv names a folder in which TestRandomWorkshops leaves its workshops and
// plans, for looking at or for checking by other means; workshopsEnv is how many
// there are, twenty if it is not set.
const (
	keepEnv      = "STRAPWISE_KEEP"
	workshopsEnv = "STRAPWISE_WORKSHOPS"
)

// TestRandomWorkshops: whatever the shape of the hides, the flaws in them and
// the rules of the house, a lay is made, it holds, and (of one in five, for
// time) making it again gives the same bytes. Then half of each hide is cut, a flaw is
// met, and the rest is laid again, which holds, too; and its prices
// add up.
func TestRandomWorkshops(t *testing.T) {
	root := os.Getenv(keepEnv)
	if root == "" {
		root = t.TempDir()
	}
	workshops := uint64(20)
	if s := os.Getenv(workshopsEnv); s != "" {
		var err error
		if workshops, err = strconv.ParseUint(s, 10, 32); err != nil {
			t.Fatal(err)
		}
	}
	var population strings.Builder
	var pieces, barren atomic.Int64
	t.Run("seed", func(t *testing.T) { // ends when all of them have
		for seed := uint64(1); seed <= workshops; seed++ {
			dir := filepath.Join(root, fmt.Sprintf("random-%02d", seed))
			for name, text := range randomWorkshop(seed) {
				population.WriteString(text)
				writeFile(t, filepath.Join(dir, filepath.FromSlash(name)), text)
			}
			t.Run(fmt.Sprint(seed), func(t *testing.T) {
				t.Parallel()
				n := layHolds(t, dir, seed%5 == 0)
				if pieces.Add(int64(n)); n == 0 {
					barren.Add(1)
				}
			})
		}
	})
	// What the population must hold, or the test says less than it seems to.
	for _, feature := range []string{
		"flat,", "lined,", "raised,", "rolled,", "lead,", "belt,", "strap,", "tag,", "tag;", "\ufeff",
		"stations =", "outline =", "size = [", "backbone =", "trim =", "grain =", `units = "cm"`,
		"at = [", "line =", "area =", `face = "flesh"`, `"waste"`, `"prime"`, `"soft"`, "effort =", `grips = "0mm"`, "tilt =",
	} {
		if !strings.Contains(population.String(), feature) {
			t.Errorf("no workshop has %q", feature)
		}
	}
	if n := barren.Load(); n > 0 && 20*n >= int64(workshops) {
		t.Errorf("nothing can be made in %d of %d workshops, expected fewer than one in twenty", n, workshops)
	}
	if n := pieces.Load(); n < 1000 {
		t.Errorf("%d pieces laid in all, expected 1000 or more", n)
	}
}

// layHolds lays a workshop and has the lay checked, perhaps makes it again, and
// returns the number of pieces: none if no set can be made, and then there is no plan.
func layHolds(t *testing.T, dir string, twice bool) int {
	t.Helper()
	args := []string{"lay", "--workshop", dir, "--steps", "12", "--time", "1m"}
	file := filepath.Join(dir, "plans", planFile)
	said, code := runHere(args...)
	if code == 1 && strings.Contains(said, "no set can be made from this rack") {
		if _, err := os.Stat(file); err == nil {
			t.Error("no set can be made, but there is a plan")
		}
		return 0
	}
	if code != 0 {
		t.Fatalf("lay: exit %d: %s", code, said)
	}
	if said, code := runHere("check", "--workshop", dir); code != 0 || strings.Contains(said, "changed") {
		t.Errorf("check: exit %d: %s", code, said)
	}
	first := readFile(t, file)
	plan, err := nest.DecodePlan(file, first)
	if err != nil {
		t.Fatal(err)
	}
	if twice {
		runHere(args...)
		if !bytes.Equal(first, readFile(t, file)) {
			t.Error("a second lay of the same files is another")
		}
	}
	relayHolds(t, dir, plan)
	priceAddsUp(t, dir)
	return len(plan.Pieces)
}

// relayHolds lays a copy of the workshop again when half of each hide is cut.
func relayHolds(t *testing.T, dir string, plan nest.Plan) {
	t.Helper()
	copied := dir + "-relaid"
	if err := os.CopyFS(copied, os.DirFS(dir)); err != nil {
		t.Fatal(err)
	}
	args := []string{"relay", "--workshop", copied, "--steps", "12", "--time", "1m"}
	for _, l := range plan.Hides {
		half := len(l.Bands) / 2
		if half > 0 {
			args = append(args, "--cut", fmt.Sprintf("%s: to %d", l.Hide, half))
		}
		off := "--apart"
		if !l.Bands[half].Several() {
			off = "--ripped"
		}
		args = append(args, off, fmt.Sprintf("%s: %d", l.Hide, half+1))
		args = append(args, "--found", fmt.Sprintf("%s: cut on band %d, 0 to 60 mm", l.Hide, half+1))
	}
	if len(plan.Hides) == 0 {
		return
	}
	if said, code := runHere(args...); code != 0 {
		t.Fatalf("%q: exit %d: %s", args, code, said)
	}
	if said, code := runHere("check", "--workshop", copied); code != 0 || strings.Contains(said, "changed") {
		t.Errorf("check: exit %d: %s", code, said)
	}
	priceAddsUp(t, copied)
	for _, l := range plan.Hides {
		was, now := readFile(t, filepath.Join(dir, "hides", l.Hide+".toml")), readFile(t, filepath.Join(copied, "hides", l.Hide+".toml"))
		if !bytes.HasPrefix(now, was) || len(now) == len(was) {
			t.Errorf("%s: found its file otherwise than with a flaw more", l.Hide)
		}
	}
}

// runHere runs the program and returns all that it printed and its exit code.
func runHere(args ...string) (said string, code int) {
	var b bytes.Buffer
	code = run(context.Background(), args, &b, &b)
	return b.String(), code
}

func writeFile(t *testing.T, path, text string) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}

func readFile(t *testing.T, path string) []byte {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// maker invents the files of a workshop. Lengths are millimetres until they
// are written.
type maker struct {
	*rand.Rand
	tilted bool // the struck edge may be
}

// randomWorkshop gives the files of a workshop by name: the same for the same
// seed.
func randomWorkshop(seed uint64) map[string]string {
	m := maker{rand.New(rand.NewPCG(seed, 0)), seed%2 == 0}
	files := map[string]string{"workshop.toml": m.rules(), "orders.csv": m.book(), "cheek.svg": randomTemplate(seed)}
	for i, leather := range []string{"russet", "black", "calf", "foam", "russet", "black"} {
		if i < 4 || m.maybe(0.4) {
			files[fmt.Sprintf("hides/h%d.toml", i+1)] = m.hide(leather)
		}
	}
	return files
}

func (m maker) maybe(chance float64) bool         { return m.Float64() < chance }
func (m maker) between(low, high float64) float64 { return low + (high-low)*m.Float64() }
func (m maker) one(of ...string) string           { return of[m.IntN(len(of))] }
func (m maker) jitter(points [][2]float64, by float64) {
	for i := range points {
		points[i][0] += m.between(-by, by)
		points[i][1] += m.between(-by, by)
	}
}

func (m maker) rules() string {
	var b strings.Builder
	fmt.Fprintf(&b, "units = %q\n", m.one("in", "mm"))
	b.WriteString("[leathers.russet]\nsubstance = \"3.8mm\"\n[leathers.black]\n[leathers.calf]\nsubstance = \"0.9mm\"\n[leathers.foam]\nsubstance = \"6mm\"\n")
	if m.maybe(0.5) {
		fmt.Fprintf(&b, "[uses.load]\nangle = %q\n", m.one("0deg", "5deg"))
		if m.maybe(0.5) {
			b.WriteString("substance = [\"3mm\", \"4.5mm\"]\n")
		}
	}
	if m.maybe(0.3) {
		b.WriteString("[uses.hidden]\nquality = \"waste\"\nflaws = [\"scar\", \"loose\"]\n")
	}
	fmt.Fprintf(&b, "[uses.show]\nquality = %q\nflaws = [\"tick\"]\nangle = \"10deg\"\n", m.one("firm", "prime"))
	b.WriteString(`[patterns.tag.pieces.main]
length = "size + 40mm"
width = "width"
use = "load"
cut = "strip"
[patterns.tag.pieces.badge]
length = "2 * width"
width = "width + 8mm"
use = "show"
cut = "knife"
count = 2
[patterns.tag.pieces.cheek]
template = "cheek.svg"
use = "show"
cut = "knife"
`)
	fmt.Fprintf(&b, "[tools]\nmarks = %q\ngrips = %q\n", m.one("1/32in", "1/16in", "1mm", "0.5mm"), m.one("0mm", "1in", "15mm"))
	if m.maybe(0.3) {
		b.WriteString("effort = 0.05\n")
	}
	if m.tilted {
		b.WriteString("tilt = \"3deg\"\n")
	}
	return b.String()
}

// randomTemplate gives the drawing of a template: a round corner, curves that bulge or are
// hollow, in one unit or another.
func randomTemplate(seed uint64) string {
	m := maker{Rand: rand.New(rand.NewPCG(seed, 1))}
	w, h := m.between(40, 160), m.between(20, 70)
	unit, mm := "mm", 1.0
	if m.maybe(0.5) {
		unit, mm = "in", 25.4
	}
	return fmt.Sprintf(`<svg xmlns="http://www.w3.org/2000/svg" width="%.3[1]f%[2]s" height="%.3[1]f%[2]s" viewBox="0 0 300 300"><g transform="translate(150 150) rotate(%[3]s)">
<path d="M0 0 L%.2[4]f 0 A9 9 0 0 %[5]d %.2[6]f 9 V%.2[7]f Q%.2[8]f %.2[9]f %.2[10]f %.2[7]f T0 %.2[7]f z"/></g></svg>`,
		300/mm, unit, m.one("0", "180"), w, m.IntN(2), w+9, h+9, m.between(0.6, 0.9)*w, h+9-m.between(-12, 12), 0.55*w)
}

func (m maker) book() string {
	between := m.one(",", ";")
	price := m.maybe(0.8)
	rows := []string{strings.ReplaceAll("order,due,qty,pattern,width,size,leather,lining,price,note", ",", between)}
	for i := range 5 + m.IntN(6) {
		pattern := m.one("flat", "lined", "raised", "rolled", "lead", "belt", "strap", "tag")
		width := m.one("1/2in", "5/8in", `"3/4"""`, "1in", "1 1/4in", "25mm", "32mm")
		size := m.one("10in", "12in", "1ft 4in", "45cm", "510mm")
		switch pattern {
		case "belt":
			size = m.one("30in", "34 1/2in", "90cm")
		case "lead":
			size = m.one("3ft", "4ft", "1200mm")
		}
		cells := []string{
			fmt.Sprintf("R%d", i+1-i%3/2), // now and then two rows of one order
			m.one("", "2027-05-01", "2027-06-15"), fmt.Sprint(1 + m.IntN(9)), pattern, width, size, m.one("russet", "black"), "calf", "", "",
		}
		if price {
			cells[8] = fmt.Sprintf("%.2f", m.between(10, 80))
		}
		rows = append(rows, strings.Join(cells, between))
	}
	return m.one("", "\ufeff") + strings.Join(rows, m.one("\n", "\r\n")) + "\n"
}

// hide invents a hide file: a body along the x axis, which may then be turned,
// with all that lies on it, about the origin.
func (m maker) hide(leather string) string {
	h := &hideMaker{maker: m, unit: "mm", mm: 1}
	if m.maybe(0.5) {
		h.unit, h.mm = "in", 25.4
	} else if m.maybe(0.3) {
		h.unit, h.mm = "cm", 10
	}
	h.long, h.deep = m.between(700, 2300), m.between(350, 900)
	fmt.Fprintf(h, "leather = %q\nform = %q\nunits = %q\n", leather, m.one("side", "bend", "shoulder", "skin", "remnant"), h.unit)
	switch shape := m.IntN(4); {
	case leather == "foam" || shape == 0:
		fmt.Fprintf(h, "size = [%s, %s]\n", h.length(h.long), h.length(h.deep))
	case shape == 1:
		h.stations()
	default:
		h.turn, h.aside = m.between(-math.Pi, math.Pi), m.between(-300, 300)
		h.outline()
	}
	if m.maybe(0.6) {
		fmt.Fprintf(h, "trim = %s\n", h.length(m.between(1, 9)))
	}
	switch m.IntN(3) {
	case 0:
		fmt.Fprintf(h, "substance = %.1f\n", m.between(3, 4.2))
	case 1:
		h.WriteString("substance = [")
		for range 4 {
			p := h.inside()
			fmt.Fprintf(h, "[%s, %.1f], ", strings.Trim(h.points(p), "[]"), m.between(2.7, 4.6))
		}
		h.WriteString("]\n")
	}
	fmt.Fprintf(h, "cost = %.2f\n", m.between(10, 200))
	if leather != "foam" {
		for range m.IntN(12) {
			h.flaw()
		}
		for range m.IntN(4) {
			h.zone()
		}
	}
	return h.String()
}

// hideMaker writes a hide file.
type hideMaker struct {
	maker
	strings.Builder
	unit        string
	mm          float64 // of a unit
	long, deep  float64
	turn, aside float64
}

func (h *hideMaker) length(mm float64) string { return fmt.Sprintf("%.3f", mm/h.mm) }

// points writes points where they come to lie.
func (h *hideMaker) points(ps ...[2]float64) string {
	var out []string
	sin, cos := math.Sincos(h.turn)
	for _, p := range ps {
		out = append(out, fmt.Sprintf("[%s, %s]", h.length(p[0]*cos-p[1]*sin+h.aside), h.length(p[0]*sin+p[1]*cos)))
	}
	return strings.Join(out, ", ")
}

// inside is a place well within the hide.
func (h *hideMaker) inside() [2]float64 {
	return [2]float64{h.between(0.12, 0.88) * h.long, h.between(0.18, 0.75) * h.deep}
}

func (h *hideMaker) stations() {
	h.WriteString("stations = [\n")
	for at := 0.0; at <= h.long; at += h.between(90, 300) {
		from := ""
		if h.maybe(0.4) {
			from = "from = " + h.length(h.between(-20, 0.1*h.deep)) + ", "
		}
		fmt.Fprintf(h, "  {at = %s, %sto = %s},\n", h.length(at), from, h.length(h.between(0.8, 1.1)*h.deep))
	}
	fmt.Fprintf(h, "  {at = %s, to = %s},\n]\n", h.length(h.long+400), h.length(0.8*h.deep))
}

// outline writes a wavy hide or, one in three, an angular remnant, and its
// backbone.
func (h *hideMaker) outline() {
	var ring [][2]float64
	if h.maybe(0.33) {
		ring = [][2]float64{{0, 0}, {h.long, 0}, {h.long, h.deep}, {0.55 * h.long, h.deep}, {0.5 * h.long, 0.8 * h.deep}, {0, 0.8 * h.deep}}
		h.jitter(ring, 0.04*h.deep)
	} else {
		n := 5 + h.IntN(12)
		for i := range n {
			ring = append(ring, [2]float64{h.long * float64(i) / float64(n-1), h.between(-0.05, 0.1) * h.deep})
		}
		for i := n - 1; i >= 0; i-- {
			ring = append(ring, [2]float64{h.long * float64(i) / float64(n-1), h.between(0.78, 1.15) * h.deep})
		}
	}
	fmt.Fprintf(h, "outline = [%s]\nbackbone = [%s]\n", h.points(ring...), h.points([2]float64{0, 0}, [2]float64{h.long, h.between(-15, 15)}))
}

func (h *hideMaker) flaw() {
	kind := h.one("hole", "cut", "scar", "brand", "scratch", "tick", "vein", "wrinkle", "loose")
	fmt.Fprintf(h, "\n[[flaws]]\nkind = %q\n", kind)
	if h.maybe(0.3) {
		h.WriteString("face = \"flesh\"\n")
	}
	p := h.inside()
	switch h.IntN(3) {
	case 0:
		fmt.Fprintf(h, "at = %s\nsize = %s\n", h.points(p), h.length(h.between(3, 40)))
	case 1:
		line := [][2]float64{p, {p[0] + 60, p[1] + 25}, {p[0] + 150, p[1] - 10}}
		h.jitter(line, 25)
		fmt.Fprintf(h, "line = [%s]\nwidth = %s\n", h.points(line...), h.length(h.between(1, 12)))
	case 2:
		fmt.Fprintf(h, "area = [%s]\n", h.points(h.patch(p, 60, 40)...))
	}
}

func (h *hideMaker) zone() {
	quality := h.one("prime", "firm", "soft", "soft", "waste")
	size := h.between(0.1, 0.35)
	fmt.Fprintf(h, "\n[[zones]]\nquality = %q\narea = [%s]\n", quality, h.points(h.patch(h.inside(), size*h.long, size*h.deep)...))
	if quality == "firm" || h.maybe(0.2) {
		fmt.Fprintf(h, "grain = \"%.1fdeg\"\n", h.between(-25, 25))
	}
}

// patch is an area of five corners about a place, so far out either way.
func (h *hideMaker) patch(at [2]float64, x, y float64) [][2]float64 {
	ring := [][2]float64{{at[0] - x, at[1] - y}, {at[0] + x, at[1] - y}, {at[0] + 1.1*x, at[1]}, {at[0] + x, at[1] + y}, {at[0] - x, at[1] + y}}
	h.jitter(ring, 0.2*min(x, y))
	return ring
}

// TestRandomWorkshopsDiffer: a seed stands for one workshop, and another seed
// for another.
func TestRandomWorkshopsDiffer(t *testing.T) {
	a, again, b := fmt.Sprint(randomWorkshop(1)), fmt.Sprint(randomWorkshop(1)), fmt.Sprint(randomWorkshop(2))
	if a != again || a == b {
		t.Error("seed and workshop do not belong together")
	}
	if bare := regexp.MustCompile(`NaN|Inf|%!`).FindString(a + b); bare != "" {
		t.Errorf("a workshop holds %q", bare)
	}
}
