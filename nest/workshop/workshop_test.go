package workshop

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"strapwise/hide"
	"strapwise/hide/measure"
	"strapwise/hide/source"
	"strapwise/nest"
	"strapwise/nest/orders"
)

// folder writes a workshop: pairs of a file's name and its content.
func folder(t testing.TB, files ...string) string {
	t.Helper()
	dir := t.TempDir()
	for i := 0; i < len(files); i += 2 {
		at := filepath.Join(dir, filepath.FromSlash(files[i]))
		if err := os.MkdirAll(filepath.Dir(at), 0o777); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(at, []byte(files[i+1]), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

const (
	plainRules = "[leathers.bridle-tan]\n"
	plainHide  = "leather = \"bridle-tan\"\nform = \"bend\"\nsize = [\"52in\", \"26in\"]\n"
	heading    = "order,qty,pattern,width,size,leather\n"
)

// An invented workshop that says all that can be said.
const fullRules = `
units = "in"
flaw_kinds = ["tar", "bug-bite"]

[leathers.bridle-tan]
substance = "3.8mm"
[leathers.glove-skin]
substance = "2oz"
[leathers.foam]

[uses.hidden]
flaws = ["scar", "tar", "scar"]
[uses.load]
angle = "5deg"
substance = ["3mm", "4.5mm"]
[uses.badge]
quality = "prime"
flaws = []
angle = "90deg"

[patterns.raised]
turn = "2 1/2in"
[patterns.raised.pieces.badge]
length = "1 1/2in"
width = "width"
use = "badge"
cut = "knife"

[tools]
marks = "1/64in"
cutter = ["3/8in", "3in"]
grips = "0mm"
effort = 0.05
`

func TestOpen(t *testing.T) {
	dir := folder(t,
		"workshop.toml", fullRules,
		"orders.csv", "order,due,qty,pattern,width,size,leather,lining,price,note\nA12,2027-03-01,3,raised,1in,16in,bridle-tan,glove-skin,95,\nA13,,1,lead,3/4in,4ft,bridle-tan,,,\n",
		"hides/oak-2.toml", plainHide+"[[flaws]]\nkind = \"tar\"\nat = [\"10in\", \"10in\"]\nsize = \"1in\"\n",
		"hides/ash-3.toml", plainHide,
		"hides/ash-3.txt", "not a hide",
		"hides/.ash-3.toml", "an editor's own",
		"hides/.toml", "no name",
		"plans/old.toml", "not a hide",
	)
	w, err := Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	if w.Dir != dir || w.Rule != (measure.Rule{System: measure.Inch, Mark: 25.4 / 64}) {
		t.Errorf("dir %q, rule %+v", w.Dir, w.Rule)
	}
	if want := (nest.Tools{Mark: 25.4 / 64, CutterMin: 25.4 * 3 / 8, CutterMax: 76.2, Grips: 0, Effort: 0.05}); !near(w.Tools, want) {
		t.Errorf("tools %+v, want %+v", w.Tools, want)
	}
	if diff := cmp.Diff([]orders.Leather{{Name: "bridle-tan", Substance: 3.8}, {Name: "foam"}, {Name: "glove-skin", Substance: 25.4 / 32}}, w.Leathers); diff != "" {
		t.Error(diff)
	}
	if want := []string{"brand", "bug-bite", "cut", "hole", "loose", "scar", "scratch", "tar", "tick", "vein", "wrinkle"}; !slices.Equal(w.Kinds, want) {
		t.Errorf("kinds %v, want %v", w.Kinds, want)
	}
	deg := measure.Degree
	uses := map[string]hide.Use{
		"load":   {Name: "load", Quality: hide.Firm, Angle: 5 * deg, Substance: &hide.Substance{From: 3, To: 4.5}},
		"hidden": {Name: "hidden", Quality: hide.Soft, Flaws: []string{"scar", "tar"}, Angle: 15 * deg},
		"badge":  {Name: "badge", Quality: hide.Prime, Angle: 90 * deg},
		"face":   hide.BuiltInUses()[1],
		"loop":   hide.BuiltInUses()[2],
		"lining": hide.BuiltInUses()[3],
	}
	if diff := cmp.Diff(uses, w.Uses); diff != "" {
		t.Error(diff)
	}
	var parts []string
	for _, p := range w.Lines[0].Parts {
		parts = append(parts, p.Name)
	}
	if !slices.Equal(parts, []string{"main", "filler", "foam", "lining", "keeper", "badge"}) || len(w.Lines) != 2 {
		t.Errorf("%d lines, parts %v", len(w.Lines), parts)
	}
	if got, want := w.Lines[0].Parts[0].Length/25.4, 20+2.5+3; math.Abs(got-want) > 1e-9 {
		t.Errorf("main %v in, want %v: the workshop's turn", got, want)
	}
	if got := w.names(); !slices.Equal(got, []string{"ash-3", "oak-2"}) {
		t.Errorf("hides %v", got)
	}
	var files []string
	for _, in := range w.Inputs {
		files = append(files, in.File)
		data, err := os.ReadFile(filepath.Join(dir, filepath.FromSlash(in.File)))
		if sum := sha256.Sum256(data); err != nil || in.SHA256 != hex.EncodeToString(sum[:]) {
			t.Errorf("%s: checksum %s of a file that has %x (%v)", in.File, in.SHA256, sum, err)
		}
	}
	if !slices.Equal(files, []string{"hides/ash-3.toml", "hides/oak-2.toml", "orders.csv", "workshop.toml"}) {
		t.Errorf("inputs %v", files)
	}
	if want := []string{
		"orders.csv: lines without a price count for nothing where others have one: 3",
		"hides/ash-3.txt is not on the rack: expected a file named hides/NAME.toml, in small letters at its end",
	}; !slices.Equal(w.Warnings, want) {
		t.Errorf("warnings %q, want %q", w.Warnings, want)
	}
}

func near(a, b nest.Tools) bool {
	return math.Abs(a.Mark-b.Mark)+math.Abs(a.CutterMin-b.CutterMin)+math.Abs(a.CutterMax-b.CutterMax)+math.Abs(a.Grips-b.Grips)+math.Abs(a.Effort-b.Effort) < 1e-9
}

// What is left out has a default: contract of the workshop file.
func TestDefaults(t *testing.T) {
	for _, c := range []struct {
		text   string
		system measure.System
		mark   float64
	}{
		{"", measure.Metric, 1},
		{"units = \"mm\"", measure.Metric, 1},
		{"units = \"in\"", measure.Inch, 25.4 / 32},
		{"units = \"in\"\ntools.marks = \"0.5mm\"", measure.Inch, 0.5},
	} {
		w, err := OpenRack(folder(t, "workshop.toml", c.text))
		if err != nil {
			t.Errorf("%q: %v", c.text, err)
			continue
		}
		want := nest.Tools{Mark: c.mark, CutterMin: 6.35, CutterMax: 101.6, Grips: 25.4}
		if w.Rule.System != c.system || w.Rule.Mark != c.mark || !near(w.Tools, want) {
			t.Errorf("%q: rule %+v, tools %+v, want %+v", c.text, w.Rule, w.Tools, want)
		}
		if len(w.Lines)+len(w.Hides)+len(w.Warnings) != 0 || len(w.Inputs) != 1 {
			t.Errorf("%q: a folder without book and rack gives %+v", c.text, w)
		}
	}
}

// What a command does not need cannot stand in its way.
func TestOpenInPart(t *testing.T) {
	dir := folder(t, "workshop.toml", plainRules, "orders.csv", "nonsense\n", "hides/ash-3.toml", plainHide)
	if _, err := Open(dir); err == nil {
		t.Error("Open took a broken book")
	}
	w, err := OpenRack(dir)
	if err != nil || len(w.Hides) != 1 || len(w.Inputs) != 2 {
		t.Errorf("OpenRack: %+v, %v", w, err)
	}
	dir = folder(t, "workshop.toml", plainRules, "orders.csv", heading+"A1,1,flat,1in,16in,bridle-tan\n", "hides/ash-3.toml", "nonsense")
	if _, err := Open(dir); err == nil {
		t.Error("Open took a broken hide")
	}
	w, err = OpenBook(dir)
	if err != nil || len(w.Lines) != 1 || len(w.Inputs) != 2 {
		t.Errorf("OpenBook: %+v, %v", w, err)
	}
}

func TestJob(t *testing.T) {
	w, err := Open(folder(t, "workshop.toml", plainRules, "orders.csv", heading+"A1,2,flat,1in,16in,bridle-tan\n",
		"hides/ash-3.toml", plainHide, "hides/oak-2.toml", plainHide, "hides/ash.toml", plainHide, "hides/ash-10.toml", plainHide))
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ only, want []string }{
		{nil, []string{"ash", "ash-3", "ash-10", "oak-2"}},
		{[]string{"oak-2"}, []string{"oak-2"}},
		{[]string{"oak-2", "ash-3", "oak-2"}, []string{"ash-3", "oak-2"}},
	} {
		job, err := w.Job(c.only...)
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, h := range job.Hides {
			got = append(got, h.Name())
		}
		if !slices.Equal(got, c.want) || len(job.Orders) != 1 || job.Orders[0].Qty != 2 || job.Tools != w.Tools || len(job.Uses) != 5 {
			t.Errorf("only %v: hides %v, job %+v", c.only, got, job)
		}
	}
	_, err = w.Job("oak-2", "yew")
	if want := `found no hide named "yew" on the rack, expected one of ash, ash-3, ash-10, oak-2`; err == nil || err.Error() != want {
		t.Errorf("got %v, want %s", err, want)
	}
	w.Hides = nil
	_, err = w.Job("yew")
	if want := `found no hide named "yew": the rack is empty`; err == nil || err.Error() != want {
		t.Errorf("got %v, want %s", err, want)
	}
}

// A workshop is read and left as it was.
func TestReadsOnly(t *testing.T) {
	dir := folder(t, "workshop.toml", plainRules, "orders.csv", heading, "hides/ash-3.toml", plainHide)
	state := func() string {
		var b strings.Builder
		err := filepath.Walk(dir, func(path string, info os.FileInfo, err error) error {
			fmt.Fprintln(&b, path, info.Size(), info.ModTime(), info.Mode())
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
		return b.String()
	}
	before := state()
	if _, err := Open(dir); err != nil {
		t.Fatal(err)
	}
	if after := state(); after != before {
		t.Errorf("before:\n%safter:\n%s", before, after)
	}
}

func TestRulesRefuse(t *testing.T) {
	for _, c := range []struct{ rule, text, want, hint string }{
		{"unknown section", "[charges]\nmargin = 2\n", `workshop.toml:1: charges: unknown key "charges"`, "known here: flaw_kinds, leathers, models, offers, patterns, prices, rack, tools, units, uses"},
		{"unknown key", "[leathers.a]\ncolour = \"tan\"\n", `workshop.toml:2: leathers.a.colour: unknown key "colour"`, "known here: substance"},
		{"mistyped key", "[tools]\ngrip = \"1in\"\n", `workshop.toml:2: tools.grip: unknown key "grip"`, "did you mean grips?"},
		{"units", "units = \"cm\"\n", `workshop.toml:1: units: found "cm", expected mm or in`, ""},
		{"empty units", "units = \"\"\n", `workshop.toml:1: units: found "", expected mm or in`, ""},
		{"bare number for a length", "[tools]\n\nmarks = 1\n", `workshop.toml:3: tools.marks: "1": a number without a unit, expected a length`, "write 1mm or 1in"},
		{"bare number for a thickness", "[leathers.a]\nsubstance = 3.8\n", `workshop.toml:2: leathers.a.substance: "3.8": a number without a unit, expected a length`, "write 3.8mm or 3.8in"},
		{"marks of nothing", "[tools]\nmarks = \"0mm\"\n", `workshop.toml:2: tools.marks: found 0 mm, expected 0.1 mm to 25.4 mm`, ""},
		{"one cutter width", "[tools]\ncutter = [\"4in\"]\n", `workshop.toml:2: tools.cutter: found a list of 1, expected the least and the greatest strip width`, `write ["1/4in", "4in"]`},
		{"cutter the wrong way round", "[tools]\ncutter = [\"4in\", \"1in\"]\n", `workshop.toml:2: tools.cutter: found a least strip width of 101.6 mm above the greatest of 25.4 mm, expected the least first`, ""},
		{"a cutter width that is none", "[tools]\ncutter = [\"1/4in\", \"wide\"]\n", `workshop.toml:2: tools.cutter[1]: "wide": found 'w' where a number was expected`, ""},
		{"effort below nothing", "[tools]\neffort = -1\n", `workshop.toml:2: tools.effort: found -1, expected 0 to 1000000`, "it is what one cut costs, in money"},
		{"effort that is no number", "[tools]\neffort = nan\n", `workshop.toml:2: tools.effort: found NaN, expected 0 to 1000000`, "it is what one cut costs, in money"},
		{"too steep", "[tools]\ntilt = \"20deg\"\n", `workshop.toml:2: tools.tilt: found 20 degrees, expected 0 to 15`, "it is the most that the struck edge may lie off the backbone"},
		{"bands without end", "[tools]\ndeepest = \"2m\"\n", `workshop.toml:2: tools.deepest: found 2000 mm, expected 0 mm to 1000 mm`, ""},
		{"blocks below nothing", "[tools]\nblocks = -1\n", `workshop.toml:2: tools.blocks: found -1, expected 1 to 100`, "it is the most blocks that a band is cross-cut into; leave it out for any number"},
		{"no length between cross-cuts", "[tools]\npart = \"0in\"\n", `workshop.toml:2: tools.part: found 0 mm, expected 0.1 mm to 1000 mm`, ""},
		{"effort as text", "[tools]\neffort = \"0.05\"\n", `workshop.toml:2: tools.effort: found text in quotes, expected a number`, ""},
		{"quality", "[uses.load]\nquality = \"good\"\n", `workshop.toml:2: uses.load.quality: found "good", expected prime, firm, soft or waste`, ""},
		{"a kind of flaw", "[uses.load]\nflaws = [\"scar\", \"tar\"]\n", `workshop.toml:2: uses.load.flaws[1]: found the kind "tar", expected one of brand, cut, hole, loose, scar, scratch, tick, vein, wrinkle`, "new kinds are listed in flaw_kinds"},
		{"an angle without a unit", "[uses.load]\nangle = \"3\"\n", `workshop.toml:2: uses.load.angle: "3": a number without a unit, expected an angle`, "write 3deg"},
		{"an angle past square", "[uses.load]\nangle = \"91deg\"\n", `workshop.toml:2: uses.load.angle: found 91 degrees, expected 0 to 90`, "it is the most that a piece may turn off the grain"},
		{"a thickness alone", "[uses.load]\nsubstance = [\"3mm\"]\n", `workshop.toml:2: uses.load.substance: found a list of 1, expected the least and the greatest thickness`, `write ["3mm", "4.5mm"]`},
		{"thicknesses the wrong way round", "[uses.load]\nsubstance = [\"8oz\", \"3mm\"]\n", `workshop.toml:2: uses.load.substance: found a least thickness of 3.175 mm above the greatest of 3 mm, expected the least first`, ""},
		{"a new use left open", "[uses.badge]\nquality = \"firm\"\nangle = \"3deg\"\n", `workshop.toml:1: uses.badge: found a new use without flaws, expected quality, flaws and angle`, "built in are load, face, loop, lining, hidden"},
		{"a kind known already", "flaw_kinds = [\"tar\", \"scar\"]\n", `workshop.toml:1: flaw_kinds[1]: found the kind "scar", which is known already, expected a new one`, ""},
		{"a name that is none", "[leathers.\"\"]\n", `workshop.toml:1: leathers."": found the name "", expected letters and figures, at most 40`, ""},
		{"a pattern's mistake", "[patterns.flat]\npitch = \"1in +\"\n", `workshop.toml:2: patterns.flat.pitch: in "1in +" at letter 6: found the end, expected a length, a number, a measure or an opening bracket`, ""},
		{"a pattern's use", "[patterns.flat.pieces.main]\nuse = \"badge\"\n", `workshop.toml:2: patterns.flat.pieces.main.use: found the use "badge", expected one of face, hidden, lining, load, loop`, ""},
	} {
		refused(t, c.rule, folder(t, "workshop.toml", c.text), c.want, c.hint)
	}
}

func refused(t *testing.T, rule, dir, want, hint string) {
	t.Helper()
	w, err := Open(dir)
	e, ok := source.As(err)
	switch {
	case !ok:
		t.Errorf("%s: got %+v, %v, want %s", rule, w, err, want)
	case strings.ReplaceAll(e.Error(), dir, "DIR") != want || e.Hint != hint:
		t.Errorf("%s:\n got %s (%s)\nwant %s (%s)", rule, e, e.Hint, want, hint)
	}
}

func TestFilesRefuse(t *testing.T) {
	refused(t, "no workshop", folder(t, "orders.csv", heading),
		"workshop.toml: found no such file in DIR, expected the house rules", "a workshop is a folder with workshop.toml, orders.csv and hides")
	refused(t, "a hide of a leather not listed", folder(t, "workshop.toml", plainRules, "orders.csv", heading, "hides/ash-3.toml", "form = \"bend\"\nleather = \"suede\"\nsize = [\"52in\", \"26in\"]\n"),
		`hides/ash-3.toml:2: leather: found the leather "suede", expected one of bridle-tan`, "add [leathers.suede] to workshop.toml")
	refused(t, "no leathers at all", folder(t, "workshop.toml", "", "orders.csv", heading, "hides/ash-3.toml", plainHide),
		`hides/ash-3.toml:1: leather: found the leather "bridle-tan", and workshop.toml lists none`, "add [leathers.bridle-tan] to workshop.toml")
	refused(t, "names alike but for capitals", folder(t, "workshop.toml", plainRules, "orders.csv", heading, "hides/Ash.toml", plainHide, "hides/ash.toml", plainHide),
		"hides/ash.toml: found the same name as hides/Ash.toml but for capitals, expected another", "some computers cannot tell the two apart")
	refused(t, "a folder for a hide", folder(t, "workshop.toml", plainRules, "orders.csv", heading, "hides/ash.toml/x", ""),
		"hides/ash.toml: found a folder, expected a file", "")
	refused(t, "a folder for a book", folder(t, "workshop.toml", plainRules, "orders.csv/x", ""),
		"orders.csv: found a folder, expected a file", "")
	refused(t, "a file for the rack", folder(t, "workshop.toml", plainRules, "orders.csv", heading, "hides", ""),
		"hides: cannot be read: not a directory", "hides is a folder with one file for each piece of leather")
	refused(t, "a book's mistake", folder(t, "workshop.toml", plainRules, "orders.csv", heading+"A1,1,flat,1in,16in,suede\n"),
		`orders.csv:2: leather: found the leather "suede", expected one of bridle-tan`, "add [leathers.suede] to workshop.toml")

	dir := folder(t, "workshop.toml", plainRules, "orders.csv", heading, "hides/ash.toml", plainHide)
	if err := os.Symlink("gone.toml", filepath.Join(dir, "hides", "elm.toml")); err != nil {
		t.Skip(err)
	}
	refused(t, "a link to nothing", dir, "hides/elm.toml: found a link to nothing, expected a file", "")

	dir = folder(t, "workshop.toml", plainRules)
	if err := os.Symlink("gone.csv", filepath.Join(dir, "orders.csv")); err != nil {
		t.Skip(err)
	}
	refused(t, "a link to no book", dir, "orders.csv: found a link to nothing, expected a file", "")

	dir = folder(t, "workshop.toml", plainRules, "hides/ash.toml", plainHide)
	if err := os.Chmod(filepath.Join(dir, "hides", "ash.toml"), 0); err != nil {
		t.Fatal(err)
	}
	if f, err := os.Open(filepath.Join(dir, "hides", "ash.toml")); err == nil {
		f.Close() // who may read everything cannot see this one
		return
	}
	refused(t, "a file that may not be read", dir, "hides/ash.toml: cannot be read: permission denied", "")
}

// What lies in the folder of hides and is not read is told, unless it is there
// for a reason of its own.
func TestOverlooked(t *testing.T) {
	files := []string{"workshop.toml", "[leathers.bridle-tan]\n"}
	told := []string{"hides/..x.toml", "hides/h.TOML", "hides/h.tml", "hides/h.toml.txt", "hides/hides.csv", "hides/used/ash-1.toml"}
	kept := []string{".toml", ".#h.toml", ".h.toml.swp", "h.toml~", "#h.toml#", "h.toml.bak", "H.TOML.ORIG", "ash-3.JPG", "Thumbs.db"}
	for _, name := range told {
		files = append(files, name, "x")
	}
	for _, name := range kept {
		files = append(files, "hides/"+name, "x")
	}
	w, err := OpenRack(folder(t, files...))
	if err != nil {
		t.Fatal(err)
	}
	told[len(told)-1] = "hides/used"
	if len(w.Warnings) != len(told) {
		t.Errorf("warnings %q, want one for each of %q", w.Warnings, told)
	}
	for i, s := range w.Warnings {
		if !strings.HasPrefix(s, told[i]+" is not on the rack: expected a file named hides/NAME.toml") {
			t.Errorf("warning %q, want one of %s", s, told[i])
		}
	}
	files = files[:2]
	for i := range 30 {
		files = append(files, fmt.Sprintf("hides/h%02d.tml", i), "x")
	}
	if w, err = OpenRack(folder(t, files...)); err != nil || len(w.Warnings) != 11 || w.Warnings[10] != "hides: 20 more files like these" {
		t.Errorf("%v, warnings %q", err, w.Warnings)
	}
}

// A rack that is there under nearly its name is not taken for none.
func TestMisnamed(t *testing.T) {
	const rules = "[leathers.bridle-tan]\n"
	for name, warning := range map[string]string{
		"hide/a.toml":    "found hide and no hides: expected that name",
		"hide-notes.txt": "",
		"order.csv":      "",
		"hides/a.jpg":    "",
	} {
		w, err := OpenRack(folder(t, "workshop.toml", rules, name, ""))
		if got := strings.Join(w.Warnings, "\n"); err != nil || got != warning {
			t.Errorf("%s: %v, warned %q, want %q", name, err, got, warning)
		}
	}
}

// A book that is missing is no empty one.
func TestNoBook(t *testing.T) {
	const none = "an order book is a CSV file with a row for each order; put it there, or name another folder with --workshop"
	for name, hint := range map[string]string{
		"Orders.CSV":     "found Orders.CSV: rename it to orders.csv",
		"order.csv":      "found order.csv: rename it to orders.csv",
		"orders.csv.txt": "found orders.csv.txt: rename it to orders.csv",
		"orders.csv~":    none,
		"notes.txt":      none,
	} {
		dir := folder(t, "workshop.toml", "[leathers.bridle-tan]\n", name, "")
		for _, open := range []func(string) (*Workshop, error){Open, OpenBook} {
			_, err := open(dir)
			fault, ok := source.As(err)
			if want := "orders.csv: found no such file in " + dir + ", expected the order book"; !ok || fault.Error() != want || fault.Hint != hint {
				t.Errorf("%s: got %v, want %q with the hint %q", name, err, want, hint)
			}
		}
	}
}

// A link to a rack that is not there is no empty rack.
func TestRackThatIsGone(t *testing.T) {
	dir := folder(t, "workshop.toml", "[leathers.bridle-tan]\n")
	if err := os.Symlink("nowhere", filepath.Join(dir, "hides")); err != nil {
		t.Skip("no links here")
	}
	if _, err := OpenRack(dir); err == nil || err.Error() != "hides: found a link to nothing, expected a folder" {
		t.Errorf("got %v", err)
	}
}

// An area as stamped that cannot be that of the outline is told.
func TestStampFarFromOutline(t *testing.T) {
	const hide = "leather = \"bridle-tan\"\nform = \"bend\"\nsize = [\"48in\", \"24in\"]\narea = " // 8 sq ft
	for area, warns := range map[string]bool{"900 sqft": true, "5 sqft": true, "12 1/4 sqft": true, "5.5 sqft": false, "8 sqft": false, "11 3/4 sqft": false} {
		w, err := OpenRack(folder(t, "workshop.toml", "units = \"in\"\n[leathers.bridle-tan]\n", "hides/ash-3.toml", hide+"\""+area+"\"\n"))
		if err != nil {
			t.Fatal(err)
		}
		if warned := len(w.Warnings) == 1 && strings.HasPrefix(w.Warnings[0], "hides/ash-3.toml: area: found ") && strings.Contains(w.Warnings[0], "the outline has 8.0 sq ft"); warned != warns || !warns && len(w.Warnings) > 0 {
			t.Errorf("%s: warnings %q", area, w.Warnings)
		}
	}
}
