package rack_test

import (
	"context"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"

	"strapwise/hide"
	"strapwise/nest"
	"strapwise/nest/rack"
	"strapwise/nest/record"
	"strapwise/nest/strip"
	"strapwise/nest/workshop"
)

var today = time.Date(2027, 3, 2, 0, 0, 0, 0, time.UTC)

// shop makes an invented workshop of these files.
func shop(t testing.TB, files map[string]string) string {
	t.Helper()
	dir := t.TempDir()
	all := map[string]string{"workshop.toml": "[leathers.strap]\n[leathers.calf]\n[tools]\nmarks = \"1mm\"\ndeepest = \"0mm\"\n"}
	for name, text := range files {
		all[name] = text
	}
	for name, text := range all {
		at := filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(at), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(at, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// laid is a plan for all orders of a workshop.
func laid(t testing.TB, dir string) nest.Plan {
	t.Helper()
	w, err := workshop.Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	job, err := w.Job()
	if err != nil {
		t.Fatal(err)
	}
	plan, err := strip.Lay(context.Background(), job, strip.Options{Steps: 50})
	if err != nil {
		t.Fatal(err)
	}
	return plan
}

// change opens a rack for a change, and has the audit hold after it.
func change(t testing.TB, dir string, do func(*rack.Rack)) {
	t.Helper()
	r, err := rack.Open(context.Background(), dir)
	if err != nil {
		t.Fatal(err)
	}
	do(r)
	r.Close()
	if a, err := rack.Audit(context.Background(), dir); err != nil || !a.Holds() {
		t.Errorf("the record does not hold: %v %v", a.Findings, err)
	}
}

func putAway(t testing.TB, dir string, plan nest.Plan, only ...string) (away rack.Away) {
	t.Helper()
	change(t, dir, func(r *rack.Rack) {
		var err error
		if away, err = r.PutAway(today, plan, "00aa00aa", only...); err != nil {
			t.Fatal(err)
		}
	})
	return away
}

func onRack(t testing.TB, dir, name string) *hide.Hide {
	t.Helper()
	w, err := workshop.OpenRack(dir)
	if err != nil {
		t.Fatal(err)
	}
	job, err := w.Job(name)
	if err != nil {
		t.Fatal(err)
	}
	return job.Hides[0]
}

// refused is a change that must be refused with these words.
func refused(t testing.TB, dir, want string, do func(*rack.Rack) error) {
	t.Helper()
	r, err := rack.Open(context.Background(), dir)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	err = do(r)
	if f, ok := errors.AsType[*rack.Refusal](err); !ok || !strings.Contains(f.What, want) || f.Help == "" {
		t.Errorf("found %v, expected %s", err, want)
	}
}

const book = "order,qty,pattern,width,size,leather\nA1,1,strap,100mm,800mm,strap\n"

const bend = `leather = "strap"
form = "bend"
units = "mm"
outline = [[0,0],[1000,0],[1000,600],[0,600]]
backbone = [[0,0],[1000,0]]
trim = 5
substance = [[100,50,3.0],[500,590,3.9]]
cost = 60
bought = 2027-01-09
supplier = "Nether & Son"
grade = "II"
[[flaws]]
kind = "hole"
at = [980,50]
size = 9
[[flaws]]
kind = "hole"
at = [300,400]
size = 9
[[flaws]]
kind = "scar"
face = "flesh"
line = [[950,20],[950,300]]
width = 3
[[flaws]]
kind = "brand"
area = [[700,500],[800,500],[800,700],[700,700]]
[[zones]]
quality = "soft"
area = [[960,0],[1000,0],[1000,90],[960,90]]
[[zones]]
quality = "waste"
area = [[0,500],[100,500],[100,600],[0,600]]
grain = "12deg"
`

// A remnant is a hide of its own with all that is said of the leather that it is of,
// and its share of what the hide cost.
func TestRemnantHasWhatLiesOnIt(t *testing.T) {
	dir := shop(t, map[string]string{"orders.csv": book, "hides/ash-3.toml": bend})
	away := putAway(t, dir, laid(t, dir))
	if len(away.Hides) != 1 || len(away.Hides[0].Remnants) != 1 || away.Hides[0].Remnants[0].Hide != "ash-3-r1" {
		t.Fatalf("put away as %+v", away)
	}
	h := onRack(t, dir, "ash-3-r1")
	var flaws []string
	for _, f := range h.Flaws() {
		flaws = append(flaws, fmt.Sprint(f.Kind, " ", f.Face))
	}
	if want := []string{"hole 0", "scar 1", "brand 0"}; !slices.Equal(flaws, want) {
		t.Errorf("flaws %v, expected %v", flaws, want)
	}
	// What the trim takes, 5 mm along three sides of 495, 1000 and 495 mm, is a zone: the
	// side that was cut is clean.
	if z := h.Zones(); len(z) != 2 || !z[0].Turned || z[1].Turned || z[0].Quality != hide.Waste || z[1].Quality != hide.Waste || math.Abs(z[1].Area.Area()-9900) > 1 {
		t.Errorf("zones %+v", z)
	}
	if len(h.Readings()) != 2 {
		t.Errorf("readings %v: that beyond the cut counts here as well", h.Readings())
	}
	for what, ok := range map[string]bool{
		"form":      h.Form() == "remnant",
		"leather":   h.Leather() == "strap",
		"backbone":  len(h.Backbone()) == 2 && h.Backbone()[1] == orb.Point{1000, 0},
		"trim":      h.Trim() == 0,
		"supplier":  h.Supplier() == "Nether & Son" && h.Grade() == "II",
		"origin":    h.From() == "ash-3" && h.PutAway().Equal(today) && h.Bought().Format(time.DateOnly) == "2027-01-09",
		"outline":   h.Outline().Bound() == orb.Bound{Min: orb.Point{0, 105}, Max: orb.Point{1000, 600}},
		"its share": h.Cost().String() == "49.5", // 495 of 600 mm
		"the rest":  away.Hides[0].Scrap.Cost.String() == "1.48" && away.Hides[0].Used.Cost.String() == "9.02",
	} {
		if !ok {
			t.Errorf("%s is wrong: %+v", what, h.Spec())
		}
	}
	// A remnant of the remnant is named after the bend too.
	away = putAway(t, dir, laid(t, dir))
	if got := away.Hides[0].Remnants; len(got) != 1 || got[0].Hide != "ash-3-r2" {
		t.Errorf("the remnant of a remnant is %v", got)
	}
}

// Leather that is too little is scrap: below the least size, or all of it within the trim
// of the edge that was there.
func TestWhatIsTooLittleIsScrap(t *testing.T) {
	sheet := func(depth, trim float64) string {
		return fmt.Sprintf("leather = \"strap\"\nform = \"sheet\"\nunits = \"mm\"\ncost = 10\noutline = [[0,0],[1000,0],[1000,%g],[0,%g]]\ntrim = %g\n", depth, depth, trim)
	}
	const rules = "[leathers.strap]\n[tools]\nmarks = \"1mm\"\ndeepest = \"0mm\"\n"
	for _, c := range []struct {
		rule        string
		sheet, more string
		back, small int
	}{
		{"kept", sheet(140, 5), "", 1, 0},
		{"below the least", sheet(140, 5), "[rack]\nleast = \"4 dm2\"\n", 0, 1},
		{"just the least", sheet(145, 5), "[rack]\nleast = \"4 dm2\"\n", 1, 0},
		{"less than its trim on the side that is cut", sheet(141, 14), "", 1, 0},
		{"all of it within the trim of the other, twice", sheet(152, 26), "", 0, 2},
	} {
		dir := shop(t, map[string]string{"orders.csv": book, "hides/a.toml": c.sheet, "workshop.toml": rules + c.more})
		got := putAway(t, dir, laid(t, dir)).Hides[0]
		if len(got.Remnants) != c.back || len(got.Small) != c.small {
			t.Errorf("%s: %d back and %d too small, expected %d and %d", c.rule, len(got.Remnants), len(got.Small), c.back, c.small)
		}
	}
}

// Sets count as made when the last of their hides is put away.
func TestSetsAreMadeWithTheLastHide(t *testing.T) {
	dir := shop(t, map[string]string{
		"orders.csv":    "order,qty,pattern,width,size,leather,lining\nA1,2,lined,1in,12in,strap,calf\nA2,1,strap,1in,12in,strap,\n",
		"hides/a.toml":  "leather = \"strap\"\nform = \"sheet\"\nsize = [\"900mm\", \"300mm\"]\n",
		"hides/c.toml":  "leather = \"calf\"\nform = \"skin\"\nsize = [\"900mm\", \"300mm\"]\n",
		"hides/x.toml":  "leather = \"calf\"\nform = \"skin\"\nsize = [\"100mm\", \"90mm\"]\n",
		"workshop.toml": "[leathers.strap]\n[leathers.calf]\nsubstance = \"0.9mm\"\n",
	})
	plan := laid(t, dir)
	first := putAway(t, dir, plan, "a")
	if len(first.Made) != 1 || first.Made[0].Order != "A2" || !slices.Equal(first.Waiting, []string{"c"}) {
		t.Errorf("with the first hide: %+v", first)
	}
	if first.Hides[0].Whole.Cost.String() != "0" {
		t.Errorf("a cost that nobody told: %+v", first.Hides[0].Whole)
	}
	second := putAway(t, dir, plan)
	if len(second.Made) != 1 || second.Made[0].Order != "A1" || !slices.Equal(second.Made[0].Sets, []int{1, 2}) || !slices.Equal(second.Before, []string{"a"}) {
		t.Errorf("with the second: %+v", second)
	}
	w, err := workshop.Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	if made, err := rack.Unstruck(context.Background(), w); err != nil || len(made) != 2 {
		t.Errorf("not struck: %v %v", made, err)
	}
	if cut, err := rack.CutBy(context.Background(), w, "00aa00aa"); err != nil || len(cut) != 2 || cut[0].Name() != "a" {
		t.Errorf("cut by the plan: %v %v", cut, err)
	}
	// The plan and the hides as they were make the day it was made.
	cut, _ := rack.CutBy(context.Background(), w, "00aa00aa")
	job, err := w.Job()
	if err != nil {
		t.Fatal(err)
	}
	job.Hides = cut
	if faults := nest.Check(job, plan); len(faults) > 0 {
		t.Error(faults)
	}
}

// However many lines are lost from the end of the journal, the files tell: of a put-away of two
// hides, and of what is undone after it.
func TestLinesLostAtTheEndAreFound(t *testing.T) {
	dir := shop(t, map[string]string{
		"orders.csv":    "order,qty,pattern,width,size,leather,lining\nA1,2,lined,1in,12in,strap,calf\nA2,1,strap,1in,12in,strap,\n",
		"hides/a.toml":  "leather = \"strap\"\nform = \"sheet\"\nsize = [\"900mm\", \"300mm\"]\n",
		"hides/c.toml":  "leather = \"calf\"\nform = \"skin\"\nsize = [\"900mm\", \"300mm\"]\n",
		"workshop.toml": "[leathers.strap]\n[leathers.calf]\nsubstance = \"0.9mm\"\n",
	})
	journal := filepath.Join(dir, record.File)
	lose := func(least int) {
		t.Helper()
		whole, err := os.ReadFile(journal)
		if err != nil {
			t.Fatal(err)
		}
		lines := strings.SplitAfter(strings.TrimSuffix(string(whole), "\n"), "\n")
		for n := len(lines) - 1; n >= least; n-- {
			if err := os.WriteFile(journal, []byte(strings.Join(lines[:n], "")), 0o644); err != nil {
				t.Fatal(err)
			}
			if a, err := rack.Audit(context.Background(), dir); err == nil && a.Holds() {
				t.Errorf("of %d lines the record holds with %d", len(lines), n)
			}
		}
		if err := os.WriteFile(journal, whole, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if away := putAway(t, dir, laid(t, dir)); len(away.Made) != 2 {
		t.Fatalf("%+v", away)
	}
	lose(1)
	change(t, dir, func(r *rack.Rack) {
		if _, err := r.Undo(today); err != nil {
			t.Fatal(err)
		}
	})
	lose(2)
}

// A hide of the plan that is gone by other ways does not keep the others.
func TestTheOthersArePutAway(t *testing.T) {
	dir := shop(t, map[string]string{
		"orders.csv":   "order,qty,pattern,width,size,leather\nA1,2,strap,100mm,800mm,strap\n",
		"hides/a.toml": "leather = \"strap\"\nform = \"sheet\"\nsize = [\"1000mm\", \"120mm\"]\n",
		"hides/b.toml": "leather = \"strap\"\nform = \"sheet\"\nsize = [\"1000mm\", \"120mm\"]\n",
	})
	plan := laid(t, dir)
	change(t, dir, func(r *rack.Rack) {
		if _, err := r.Accept(today, "a"); err != nil {
			t.Fatal(err)
		}
	})
	if err := os.Remove(filepath.Join(dir, "hides", "a.toml")); err != nil {
		t.Fatal(err)
	}
	all := func(r *rack.Rack) error {
		_, err := r.PutAway(today, plan, "00aa00aa")
		return err
	}
	refused(t, dir, `found no hide named "a" on the rack, which the plan cuts`, all)
	change(t, dir, func(r *rack.Rack) {
		if _, err := r.Accept(today, "a"); err != nil {
			t.Fatal(err)
		}
	})
	refused(t, dir, "a is no longer on the rack: it left with entry 2 (gone)", all)
	if away := putAway(t, dir, plan, "b"); len(away.Hides) != 1 || len(away.Made) != 1 || len(away.Waiting)+len(away.Before) != 0 {
		t.Errorf("put away as %+v", away)
	}
}

// A plan that is not what was cut is not put away, and nothing is changed.
func TestPutAwayRefuses(t *testing.T) {
	for _, c := range []struct {
		rule  string
		spoil func(*nest.Plan)
		want  string
	}{
		{"a remnant beyond the hide", func(p *nest.Plan) { p.Hides[0].Remnants[0][0] = orb.Point{-500, 105} }, "remnant: ash-3, remnant 1: reaches out of the hide"},
		{"a remnant beyond the hide, where more sets lack than pieces are cut", func(p *nest.Plan) {
			p.Unplaced = make([]nest.Unplaced, 5)
			p.Hides[0].Remnants[0][0] = orb.Point{-500, 105}
		}, "remnant: ash-3, remnant 1: reaches out of the hide"},
		{"a remnant kept back", func(p *nest.Plan) { p.Hides[0].Remnants = nil }, "remnant: ash-3: leaves"},
		{"a remnant twice", func(p *nest.Plan) { p.Hides[0].Remnants = append(p.Hides[0].Remnants, p.Hides[0].Remnants[0]) }, "shares leather with another remnant"},
		{"a remnant of two corners", func(p *nest.Plan) { p.Hides[0].Remnants[0] = p.Hides[0].Remnants[0][:2] }, "its outline is not a simple one"},
		{"a piece twice", func(p *nest.Plan) {
			again := p.Pieces[0]
			again.Set = 2
			p.Pieces = append(p.Pieces, again)
		}, "overlap: "},
		{"a piece elsewhere than told", func(p *nest.Plan) { p.Pieces[0].ToMM += 5 }, "position: "},
		{"a piece of no shape", func(p *nest.Plan) { p.Pieces[0].Outline = nil }, "shape: "},
		{"a strip gone", func(p *nest.Plan) { p.Hides[0].Strips = nil }, "the plan is not of the hides on the rack"},
		{"a hide twice", func(p *nest.Plan) { p.Hides = append(p.Hides, p.Hides[0]) }, "the plan lays ash-3 twice"},
		{"a hide of elsewhere", func(p *nest.Plan) { p.Hides[0].Hide = "../../elsewhere" }, `found no hide named "../../elsewhere" on the rack`},
		{"another form", func(p *nest.Plan) { p.Format = "other/9" }, "format: "},
		{"nothing cut", func(p *nest.Plan) { p.Hides = nil }, "the plan cuts nothing"},
	} {
		dir := shop(t, map[string]string{"orders.csv": book, "hides/ash-3.toml": bend})
		plan := laid(t, dir)
		c.spoil(&plan)
		t.Run(c.rule, func(t *testing.T) {
			refused(t, dir, c.want, func(r *rack.Rack) error {
				_, err := r.PutAway(today, plan, "00aa00aa")
				return err
			})
			if _, err := os.Stat(filepath.Join(dir, record.File)); err == nil {
				t.Error("something was written")
			}
		})
	}
}

// House rules, prices and the book may change while the leather is cut.
func TestWhatIsCutIsCut(t *testing.T) {
	dir := shop(t, map[string]string{"orders.csv": book, "hides/ash-3.toml": bend})
	plan := laid(t, dir)
	for name, text := range map[string]string{
		"workshop.toml":    "[leathers.strap]\n[uses.load]\nquality = \"prime\"\nsubstance = [\"9mm\", \"10mm\"]\n[tools]\nmarks = \"7mm\"\ngrips = \"9in\"\n",
		"orders.csv":       "order,qty,pattern,width,size,leather\n",
		"hides/ash-3.toml": bend + "[[flaws]]\nkind = \"hole\"\nat = [400,50]\nsize = 20\n",
	} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if away := putAway(t, dir, plan); away.Hides[0].Pieces != 1 {
		t.Errorf("put away as %+v", away)
	}
}

// The tools may change, too, when a tilted edge has been struck or a band cut into blocks.
func TestWhatIsCutWithOtherToolsIsCut(t *testing.T) {
	for _, c := range []struct {
		name, book, hide string
		laid             func(nest.HideLay) bool
	}{
		{
			"tilted", "A1,1,strap,20mm,800mm,strap\n",
			"outline = [[0,0],[1000,0],[1000,300],[0,300]]\n" +
				"[[zones]]\nquality = \"waste\"\narea = [[-10,-10],[1010,-10],[1010,95.35],[-10,59.65]]\n" +
				"[[zones]]\nquality = \"waste\"\narea = [[-10,99.65],[1010,135.35],[1010,310],[-10,310]]\n",
			func(l nest.HideLay) bool { return l.Strike.AngleDeg != 0 },
		},
		{
			"blocks", "A1,1,strap,60mm,500mm,strap\nA2,2,strap,30mm,400mm,strap\n",
			"outline = [[0,0],[1300,0],[1300,60],[0,60]]\n",
			func(l nest.HideLay) bool { return len(l.Bands) == 1 && len(l.Bands[0].Blocks) == 2 },
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			dir := shop(t, map[string]string{
				"orders.csv":    "order,qty,pattern,width,size,leather\n" + c.book,
				"workshop.toml": "[leathers.strap]\n[tools]\ntilt = \"2deg\"\ngrips = \"0mm\"\n",
				"hides/a.toml":  "leather = \"strap\"\nform = \"sheet\"\nunits = \"mm\"\n" + c.hide,
			})
			plan := laid(t, dir)
			if len(plan.Hides) != 1 || !c.laid(plan.Hides[0]) {
				t.Fatalf("laid otherwise: %+v", plan.Hides)
			}
			rules := "[leathers.strap]\n[tools]\ndeepest = \"0mm\"\npart = \"7mm\"\nblocks = 1\ncutter = [\"70mm\", \"80mm\"]\n"
			if err := os.WriteFile(filepath.Join(dir, "workshop.toml"), []byte(rules), 0o644); err != nil {
				t.Fatal(err)
			}
			if away := putAway(t, dir, plan); away.Hides[0].Pieces != len(plan.Pieces) {
				t.Errorf("put away as %+v", away)
			}
		})
	}
}

// What is found on a hide that the record knows is recorded with it, so that the audit
// has nothing to note. A file that is not as it was read is left alone.
func TestFind(t *testing.T) {
	const name = "hides/ash-3.toml"
	scarred := bend + "[[flaws]]\nkind = \"hole\"\nat = [400,50]\nsize = 20\n"
	find := func(was string) []rack.Find {
		return []rack.Find{{Hide: "ash-3", Was: []byte(was), Now: []byte(scarred)}}
	}
	for _, c := range []struct {
		rule    string
		known   bool
		byHand  string
		changed int // lines of the record
	}{
		{"known", true, "", 1},
		{"unknown", false, "", 0},
		{"changed by hand since it was recorded", true, bend + "# mine\n", 0},
	} {
		t.Run(c.rule, func(t *testing.T) {
			dir, was := shop(t, map[string]string{"orders.csv": book, name: bend}), bend
			if c.known {
				change(t, dir, func(r *rack.Rack) {
					if _, err := r.Accept(today, "ash-3"); err != nil {
						t.Fatal(err)
					}
				})
			}
			if c.byHand != "" {
				was = c.byHand
				if err := os.WriteFile(filepath.Join(dir, filepath.FromSlash(name)), []byte(was), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			refused(t, dir, name+" was changed by another program meanwhile", func(r *rack.Rack) error {
				return r.Find(today, find(was+"\n"))
			})
			change(t, dir, func(r *rack.Rack) {
				if err := r.Find(today, find(was)); err != nil {
					t.Fatal(err)
				}
			})
			if got, err := os.ReadFile(filepath.Join(dir, filepath.FromSlash(name))); err != nil || string(got) != scarred {
				t.Errorf("the file is %q, %v", got, err)
			}
			journal, err := os.ReadFile(filepath.Join(dir, record.File))
			if got := strings.Count(string(journal), string(record.Changed)); got != c.changed || c.known && err != nil {
				t.Errorf("the record has %d such lines, expected %d: %v\n%s", got, c.changed, err, journal)
			}
			a, err := rack.Audit(context.Background(), dir)
			if quiet := len(a.Findings) == 0; err != nil || quiet != (c.known && c.byHand == "") {
				t.Errorf("the audit finds %v, %v", a.Findings, err)
			}
		})
	}
}

// Undo takes nothing away that a hand has been at, and says what to do.
func TestUndoRefuses(t *testing.T) {
	rest, cut, whole := "hides/ash-3-r1.toml", "cut/ash-3.toml", "hides/ash-3.toml"
	for _, c := range []struct {
		rule  string
		files map[string]string // an empty one is taken away
		want  string
	}{
		{"a remnant changed", map[string]string{rest: bend + "# mine\n"}, rest + " has been changed since entry 1 wrote it"},
		{"the hide written anew", map[string]string{whole: bend}, whole + " is there again"},
		{"the kept file gone", map[string]string{cut: ""}, cut + " is not there as it was"},
		{"the kept file changed", map[string]string{cut: bend + "# mine\n"}, cut + " is not there as it was"},
	} {
		dir := shop(t, map[string]string{"orders.csv": book, "hides/ash-3.toml": bend})
		putAway(t, dir, laid(t, dir))
		for name, text := range c.files {
			at := filepath.Join(dir, filepath.FromSlash(name))
			if text == "" {
				if err := os.Remove(at); err != nil {
					t.Fatal(err)
				}
				continue
			}
			if err := os.WriteFile(at, []byte(text), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		t.Run(c.rule, func(t *testing.T) {
			refused(t, dir, c.want, func(r *rack.Rack) error {
				_, err := r.Undo(today)
				return err
			})
		})
	}
	// A remnant that is gone is no hindrance: it would go.
	dir := shop(t, map[string]string{"orders.csv": book, "hides/ash-3.toml": bend})
	putAway(t, dir, laid(t, dir))
	if err := os.Remove(filepath.Join(dir, rest)); err != nil {
		t.Fatal(err)
	}
	change(t, dir, func(r *rack.Rack) {
		if done, err := r.Undo(today); err != nil || !slices.Equal(done.Back, []string{"ash-3"}) {
			t.Errorf("undone %+v, %v", done, err)
		}
	})
}

func ExampleRack_TakeIn() {
	dir, err := os.MkdirTemp("", "workshop")
	if err != nil {
		panic(err)
	}
	defer os.RemoveAll(dir)
	if err := os.WriteFile(filepath.Join(dir, "workshop.toml"), []byte("[leathers.bridle]\n"), 0o666); err != nil {
		panic(err)
	}

	r, err := rack.Open(context.Background(), dir)
	if err != nil {
		panic(err)
	}
	h, err := r.TakeIn(today, "ash-3", "ash-3.toml", []byte("leather = \"bridle\"\nform = \"bend\"\nsize = [\"1300mm\", \"600mm\"]\ncost = 96.50\n"))
	if err != nil {
		panic(err)
	}
	r.Close()
	fmt.Println(h.Name(), h.Area(), "mm²")

	a, err := rack.Audit(context.Background(), dir)
	fmt.Println(a.Holds(), a.Sums.OnRack.AreaMM2, a.Sums.OnRack.Cost, err)
	// Output:
	// ash-3 780000 mm²
	// true 780000 96.5 <nil>
}
