package orders

import (
	"io/fs"
	"math"
	"strings"
	"testing"

	"strapwise/hide/measure"
	"strapwise/hide/source"
)

// drawings are the files of a workshop that was never there.
func drawings(files map[string]string) func(string) ([]byte, error) {
	return func(name string) ([]byte, error) {
		if text, there := files[name]; there {
			return []byte(text), nil
		}
		return nil, fs.ErrNotExist
	}
}

// half is a half disc of a radius of 20 mm on its straight side.
const half = `<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm" viewBox="0 0 60 40"><path d="M10 30 a20 20 0 0 1 40 0 z"/></svg>`

const cheeks = `
[patterns.bridle.pieces.cheek]
template = "drawn/cheek.svg"
use = "face"
cut = "knife"
count = 2
`

func TestTemplate(t *testing.T) {
	h, err := houseOf(cheeks, drawings(map[string]string{"drawn/cheek.svg": half}))
	if err != nil {
		t.Fatal(err)
	}
	line, err := h.Set("bridle", measure.MMPerInch, 400, "bridle-tan", "")
	if err != nil {
		t.Fatal(err)
	}
	p := line.Parts[0]
	if math.Abs(p.Length-40) > 1e-9 || math.Abs(p.Width-20) > 1e-9 || p.Count != 2 || !p.Knife || p.Template == nil || p.Template.File != "drawn/cheek.svg" {
		t.Fatalf("found %+v", p)
	}
	// half a disc, by the formula; the chords lose at most the tolerance all along
	if off := 200*math.Pi - p.Area(); off < 0 || off > 0.05*20*math.Pi {
		t.Errorf("%g mm², expected %g", p.Area(), 200*math.Pi)
	}
	// The drawing is seen from above: its straight side is below, towards the backbone.
	if b := p.Template.Outline; b.Corner(0)[1] != 0 {
		t.Errorf("begins at %v", b.Corner(0))
	}
}

// One file that serves several pieces is read once, and theirs is the same template.
func TestTemplateOfSeveralPieces(t *testing.T) {
	reads := 0
	files := drawings(map[string]string{"a.svg": half, "b.svg": half, "c.svg": strings.Replace(half, "20 20 0", "21 21 0", 1)})
	h, err := houseOf(strings.ReplaceAll(`
[patterns.x.pieces.a]
template = "a.svg" REST
[patterns.x.pieces.b]
template = "./a.svg" REST
[patterns.y.pieces.c]
template = "b.svg" REST
[patterns.y.pieces.d]
template = "c.svg" REST
`, "REST", "\nuse = \"face\"\ncut = \"knife\""), func(name string) ([]byte, error) {
		reads++
		return files(name)
	})
	if err != nil {
		t.Fatal(err)
	}
	x, err := h.Set("x", 25, 400, "bridle-tan", "")
	if err != nil {
		t.Fatal(err)
	}
	y, err := h.Set("y", 25, 400, "bridle-tan", "")
	if err != nil {
		t.Fatal(err)
	}
	a, b, c, d := x.Parts[0].Template, x.Parts[1].Template, y.Parts[0].Template, y.Parts[1].Template
	if reads != 3 || a != b || !a.Same(c) || a.Same(d) || a.Same(nil) {
		t.Errorf("%d reads; the same: %v %v %v", reads, a == b, a.Same(c), a.Same(d))
	}
}

// A template stands for the length and the width of the pattern that it changes.
func TestTemplateInABuiltInPattern(t *testing.T) {
	h, err := houseOf("[patterns.flat.pieces.keeper]\ntemplate = \"k.svg\"\ncut = \"knife\"\n", drawings(map[string]string{"k.svg": half}))
	if err != nil {
		t.Fatal(err)
	}
	line, err := h.Set("flat", measure.MMPerInch, 400, "bridle-tan", "")
	if err != nil {
		t.Fatal(err)
	}
	if p := line.Parts[1]; p.Name != "keeper" || math.Abs(p.Length-40) > 1e-9 || p.Use != "loop" {
		t.Errorf("found %+v", p)
	}
}

func TestTemplateRefuses(t *testing.T) {
	piece := func(template string) string {
		return "[patterns.x.pieces.a]\ntemplate = " + template + "\nuse = \"face\"\ncut = \"knife\"\n"
	}
	files := drawings(map[string]string{
		"cheek.svg": half, "open.svg": strings.Replace(half, " z", "", 1), "tiny.svg": strings.ReplaceAll(half, "mm", "px"),
		"huge.svg": strings.NewReplacer("60mm", "1500in", "40mm", "1000in").Replace(half), "flea.svg": strings.NewReplacer("60mm", "0.6mm", "40mm", "0.4mm").Replace(half),
	})
	const at = "workshop.toml:2: patterns.x.pieces.a.template: "
	for _, c := range []struct{ rule, text, want string }{
		{"sound", piece(`"cheek.svg"`), ""},
		{"in points of a screen", piece(`"tiny.svg"`), ""},
		{"missing", piece(`"chek.svg"`), at + `found no file "chek.svg" in the workshop, expected the drawing of the template`},
		{"above the workshop", piece(`"../cheek.svg"`), at + `found "../cheek.svg", which leads out of the workshop, expected a file in it`},
		{"there and back", piece(`"a/../cheek.svg"`), at + `found "a/../cheek.svg", which leads out of the workshop, expected a file in it`},
		{"elsewhere", piece(`"/etc/cheek.svg"`), at + `found "/etc/cheek.svg", which leads out of the workshop, expected a file in it`},
		{"other strokes", piece(`'a\cheek.svg'`), at + `found "a\\cheek.svg", expected the name of a drawing, its folders parted by /`},
		{"another format", piece(`"cheek.dxf"`), at + `found "cheek.dxf", expected a drawing in SVG, its name with .svg at the end`},
		{"no name", piece(`3`), at + "found 3, expected a name in quotes"},
		{"with a length", piece(`"cheek.svg"`) + "length = \"2in\"\n", "workshop.toml:5: patterns.x.pieces.a.length: found a length beside a template, expected one or the other"},
		{"with a width", piece(`"cheek.svg"`) + "width = \"2in\"\n", "workshop.toml:5: patterns.x.pieces.a.width: found a width beside a template, expected one or the other"},
		{"ripped", strings.Replace(piece(`"cheek.svg"`), "knife", "strip", 1), at + `found a template of what is cut as "strip", expected cut = "knife"`},
		{"without a use", strings.Replace(piece(`"cheek.svg"`), "use = \"face\"", "", 1), "workshop.toml:1: patterns.x.pieces.a: found no use, expected use and cut beside a template"},
		{"in a ripped piece of a pattern", "[patterns.flat.pieces.keeper]\ntemplate = \"cheek.svg\"\n", `workshop.toml:2: patterns.flat.pieces.keeper.template: found a template of what is cut as "strip", expected cut = "knife"`},
		{"not closed", piece(`"open.svg"`), "open.svg:1: path: found an open line, its ends 40 mm apart, expected a closed outline"},
		{"huge", piece(`"huge.svg"`), "huge.svg: found an outline 25400 mm long, expected 1 mm to 10000 mm"},
		{"tiny", piece(`"flea.svg"`), "flea.svg: found an outline 0.4 mm long, expected 1 mm to 10000 mm"},
	} {
		_, err := houseOf(c.text, files)
		switch e, ok := source.As(err); {
		case c.want == "" && err == nil:
		case !ok || e.Error() != c.want:
			t.Errorf("%s: found %v, expected %s", c.rule, err, c.want)
		}
	}
}
