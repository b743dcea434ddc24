package draw

import (
	"bytes"
	"encoding/json"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"strapwise/nest"
	"strapwise/report"
)

func plots(t *testing.T) map[string]report.Plot {
	t.Helper()
	out := map[string]report.Plot{}
	madePlans(t, func(name string, j nest.Job, p nest.Plan) {
		plot, err := report.Plotted(j, p, j.Hides[0].Name())
		if err != nil {
			t.Fatal(err)
		}
		out[name] = plot
	})
	return out
}

const odd = `100%%d \P A·1 ^J "皮" 𝄞`

// plain is a plot of one of each, small enough to be read.
func plain() report.Plot {
	return report.Plot{Title: "t·1", Layers: []report.Layer{
		{Name: "PIECES", Paths: []report.Path{{Points: []orb.Point{{0, 0}, {10.123456, 0}, {10, 5}}, Closed: true}}},
		{Name: "TEXT", Notes: []report.Note{{At: orb.Point{5, 2}, Size: 3, Turn: 12.5, Text: odd}}},
		{Name: "CROSS-CUTS", Paths: []report.Path{{Points: []orb.Point{{-1, 2}, {-1, 4}}}}},
	}}
}

// groups are the codes and values of a file, as its format has them: two lines each.
func groups(t *testing.T, data []byte) [][2]string {
	t.Helper()
	lines := strings.Split(strings.TrimSuffix(string(data), "\r\n"), "\r\n")
	if len(lines)%2 != 0 {
		t.Fatalf("found %d lines, expected pairs", len(lines))
	}
	var out [][2]string
	for i := 0; i < len(lines); i += 2 {
		if _, err := strconv.Atoi(strings.TrimSpace(lines[i])); err != nil {
			t.Fatalf("line %d: found %q, expected a group code", i+1, lines[i])
		}
		out = append(out, [2]string{strings.TrimSpace(lines[i]), lines[i+1]})
	}
	return out
}

func TestDXF(t *testing.T) {
	data, err := DXF(plain())
	if err != nil {
		t.Fatal(err)
	}
	var said strings.Builder
	for _, g := range groups(t, data) {
		said.WriteString(g[0] + "=" + g[1] + " ")
	}
	for _, want := range []string{
		"999=t\\U+00B71, millimetres ", "9=$ACADVER 1=AC1009 ", "10=-1.0 20=0.0 9=$EXTMAX 10=10.12346 20=5.0 ",
		"0=LAYER 2=PIECES ", "0=LAYER 2=CROSS-CUTS ", "0=POLYLINE 8=PIECES 66=1 70=1 ", "0=VERTEX 8=PIECES 10=10.12346 20=0.0 ",
		"0=POLYLINE 8=CROSS-CUTS 66=1 70=0 ", "0=TEXT 8=TEXT 10=5.0 20=2.0 ", `1=100\U+0025\U+0025d \U+005CP A\U+00B71 \U+005EJ "\U+76AE" ? 50=12.5 `,
	} {
		if !strings.Contains(said.String(), want) {
			t.Errorf("found no %q in %s", want, said.String())
		}
	}
	if bytes.ContainsFunc(data, func(r rune) bool { return r > 0x7E }) {
		t.Error("found a letter beyond ASCII")
	}
	if again, _ := DXF(plain()); !bytes.Equal(data, again) {
		t.Error("not the same twice")
	}
}

func TestDXFRefuses(t *testing.T) {
	nowhere := plain()
	nowhere.Layers[1].Notes[0].Turn = math.NaN()
	for rule, p := range map[string]report.Plot{
		"found a plot without a line": {}, "layer TEXT, ": nowhere,
		"layer X: found the place": {Layers: []report.Layer{{Name: "X", Paths: []report.Path{{Points: []orb.Point{{math.Inf(1), 0}}}}}}},
	} {
		if _, err := DXF(p); err == nil || !strings.Contains(err.Error(), rule) {
			t.Errorf("got %v, expected %q", err, rule)
		}
	}
}

// readBack is a file as another program reads it.
type readBack struct {
	Faults []string
	Paths  []struct {
		Layer  string
		Closed bool
		Points [][2]float64
	}
	Texts []string
}

// Readers of DXF outside this project, and how to ask for them.
var dxfReaders = map[string]struct {
	have, read []string
	missing    string
}{
	"ezdxf": {
		have: []string{"/usr/bin/python3", "-c", "import ezdxf"},
		read: []string{"/usr/bin/python3", "-c", `
import sys, json, ezdxf
doc = ezdxf.readfile(sys.argv[1])
audit = doc.audit()
out = {"Faults": [e.message for e in audit.errors + audit.fixes], "Paths": [], "Texts": []}
for e in doc.modelspace():
    if e.dxftype() == "POLYLINE":
        out["Paths"].append({"Layer": e.dxf.layer, "Closed": e.is_closed, "Points": [[v.dxf.location.x, v.dxf.location.y] for v in e.vertices]})
    elif e.dxftype() == "TEXT":
        out["Texts"].append(e.dxf.text)
    else:
        out["Faults"].append("found a " + e.dxftype())
json.dump(out, sys.stdout)
`},
		missing: "no ezdxf here: Debian has it in python3-ezdxf",
	},
	"dxf-parser": {
		have: []string{"node", "-e", "require('dxf-parser')"},
		read: []string{"node", "-e", `
const Parser = require('dxf-parser'), out = {Faults: [], Paths: [], Texts: []}
for (const e of new Parser().parseSync(require('fs').readFileSync(process.argv[1], 'utf8')).entities) {
	if (e.type === 'POLYLINE') out.Paths.push({Layer: e.layer, Closed: e.shape, Points: e.vertices.map(v => [v.x, v.y])})
	else if (e.type === 'TEXT') out.Texts.push(e.text)
	else out.Faults.push('found a ' + e.type)
}
console.log(JSON.stringify(out))
`},
		missing: "no dxf-parser here: npm install -g dxf-parser, and NODE_PATH=$(npm root -g)",
	},
}

// Other programs read the file without a complaint, and find the same lines on the
// same layers to a thousandth of a millimetre.
func TestDXFReadByOthers(t *testing.T) {
	const closely = 0.001 // mm
	for name, reader := range dxfReaders {
		t.Run(name, func(t *testing.T) {
			if err := exec.Command(reader.have[0], reader.have[1:]...).Run(); err != nil {
				t.Skip(reader.missing)
			}
			all := plots(t)
			all["plain"] = plain()
			for what, plot := range all {
				data, err := DXF(plot)
				if err != nil {
					t.Fatal(err)
				}
				file := filepath.Join(t.TempDir(), "plot.dxf")
				if err := os.WriteFile(file, data, 0o600); err != nil {
					t.Fatal(err)
				}
				said, err := exec.Command(reader.read[0], append(reader.read[1:len(reader.read):len(reader.read)], file)...).Output()
				if err != nil {
					t.Fatalf("%s: %v", what, err)
				}
				var got readBack
				if err := json.Unmarshal(said, &got); err != nil {
					t.Fatalf("%s: %v: %s", what, err, said)
				}
				for _, f := range got.Faults {
					t.Errorf("%s: %s", what, f)
				}
				n, notes := 0, 0
				for _, l := range plot.Layers {
					notes += len(l.Notes)
					for _, want := range l.Paths {
						if n >= len(got.Paths) {
							t.Fatalf("%s: found %d lines, expected more", what, n)
						}
						p := got.Paths[n]
						n++
						if p.Layer != l.Name || p.Closed != want.Closed || len(p.Points) != len(want.Points) {
							t.Errorf("%s: found %+v, expected %+v on layer %s", what, p, want, l.Name)
							continue
						}
						for i, at := range p.Points {
							if math.Hypot(at[0]-want.Points[i][0], at[1]-want.Points[i][1]) > closely {
								t.Errorf("%s, layer %s: found a corner at %v, expected %v", what, l.Name, at, want.Points[i])
							}
						}
					}
				}
				if n != len(got.Paths) || notes != len(got.Texts) {
					t.Errorf("%s: found %d lines and %d texts, expected %d and %d", what, len(got.Paths), len(got.Texts), n, notes)
				}
			}
		})
	}
}
