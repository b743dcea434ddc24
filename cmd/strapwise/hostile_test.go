package main

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// A sound little workshop, into which each case puts one bad file.
const (
	soundRules = "units = \"in\"\n[leathers.strap]\n"
	soundBook  = "order,due,qty,pattern,width,size,leather,lining,price,note\nA1,2027-03-01,2,flat,1in,16in,strap,,20.00,\n"
	soundHide  = "leather = \"strap\"\nform = \"bend\"\nunits = \"mm\"\noutline = [[0,0],[1300,0],[1300,600],[0,600]]\n"
)

// workshopWith writes the sound workshop with other files over it.
func workshopWith(t *testing.T, files map[string]string) string {
	t.Helper()
	dir := t.TempDir()
	all := map[string]string{"workshop.toml": soundRules, "orders.csv": soundBook, "hides/ash-1.toml": soundHide}
	for name, text := range files {
		all[name] = text
	}
	for name, text := range all {
		path := filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// strapwise runs the program and returns what it printed and its exit code.
func strapwise(args ...string) (out, errs string, code int) {
	var o, e bytes.Buffer
	code = run(context.Background(), args, &o, &e)
	return o.String(), e.String(), code
}

// TestHostileFiles: each bad file gives one error that names file and line and
// what was found, exit 2, and nothing is written.
func TestHostileFiles(t *testing.T) {
	hide := func(more string) map[string]string { return map[string]string{"hides/ash-1.toml": soundHide + more} }
	rules := func(more string) map[string]string { return map[string]string{"workshop.toml": soundRules + more} }
	template := func(svg string) map[string]string {
		return map[string]string{"cheek.svg": svg, "workshop.toml": soundRules + "[patterns.halter.pieces.cheek]\ntemplate = \"cheek.svg\"\nuse = \"face\"\ncut = \"knife\"\n"}
	}
	head := "order,due,qty,pattern,width,size,leather,lining,price,note\n"
	book := func(row string) map[string]string { return map[string]string{"orders.csv": head + row + "\n"} }
	million := strings.Repeat("A1,2027-03-01,1,flat,1in,16in,strap,,20.00,\n", 1_000_000)
	tests := []struct {
		name  string
		files map[string]string
		want  string // what the error must say, as a pattern
	}{
		{"crossed outline", map[string]string{"hides/ash-1.toml": "leather = \"strap\"\nform = \"bend\"\nunits = \"mm\"\noutline = [[0,0],[900,600],[900,0],[0,600]]\n"}, `hides/ash-1\.toml:4: outline: .*crosses itself near \(450, 300\)`},
		{"two corners", map[string]string{"hides/ash-1.toml": "leather = \"strap\"\nform = \"bend\"\nunits = \"mm\"\noutline = [[0,0],[900,600]]\n"}, `hides/ash-1\.toml:4: outline: .*3`},
		{"flaw outside", hide("[[flaws]]\nkind = \"hole\"\nat = [5000, 20]\nsize = 10\n"), `hides/ash-1\.toml:\d+: flaws\[0\]`},
		{"unknown kind of flaw", hide("[[flaws]]\nkind = \"hloe\"\nat = [50, 20]\nsize = 10\n"), `hides/ash-1\.toml:6: flaws\[0\]\.kind: .*hloe`},
		{"flaw of two shapes", hide("[[flaws]]\nkind = \"hole\"\nat = [50, 20]\nsize = 10\nline = [[1,1],[2,2]]\n"), `hides/ash-1\.toml:\d+: flaws\[0\]`},
		{"flaw without a size", hide("[[flaws]]\nkind = \"hole\"\nat = [50, 20]\n"), `hides/ash-1\.toml:\d+: flaws\[0\]`},
		{"unknown key of a hide", hide("thickness = 4\n"), `hides/ash-1\.toml:5: .*thickness`},
		{"wrong unit", hide("trim = \"5 furlongs\"\n"), `hides/ash-1\.toml:5: trim: .*furlongs`},
		{"a fifth over nothing", hide("trim = \"5/0in\"\n"), `hides/ash-1\.toml:5: trim: .*5/0in`},
		{"negative trim", hide("trim = -3\n"), `hides/ash-1\.toml:5: trim: `},
		{"trim that leaves nothing", hide("trim = 400\n"), `hides/ash-1\.toml:5: trim: `},
		{"not a number", hide("trim = nan\n"), `hides/ash-1\.toml:5: trim: `},
		{"endless", hide("substance = inf\n"), `hides/ash-1\.toml:5: substance: `},
		{"two outlines", hide("size = [\"50in\", \"20in\"]\n"), `hides/ash-1\.toml:\d+: `},
		{"unknown form", map[string]string{"hides/ash-1.toml": strings.Replace(soundHide, "bend", "bent", 1)}, `hides/ash-1\.toml:2: form: .*bent`},
		{"unknown leather of a hide", map[string]string{"hides/ash-1.toml": strings.Replace(soundHide, "strap", "stirrup", 1)}, `hides/ash-1\.toml:1: leather: .*stirrup`},
		{"zone of no quality", hide("[[zones]]\nquality = \"fine\"\narea = [[0,0],[90,0],[90,90]]\n"), `hides/ash-1\.toml:6: zones\[0\]\.quality: .*fine`},
		{"cut-off hide", map[string]string{"hides/ash-1.toml": soundHide[:len(soundHide)-20]}, `hides/ash-1\.toml:\d+: `},
		{"key given twice", hide("trim = 1\ntrim = 2\n"), `hides/ash-1\.toml:6: `},
		{"open template", template("<svg width='9mm' height='9mm'>\n<path d='M0 0h9v9'/></svg>"), `cheek\.svg:2: path: found an open line`},
		{"template of no size", template("<svg>\n<path d='M0 0h9v9z'/></svg>"), `cheek\.svg:1: svg\.width: `},
		{"template of entities", template("<!DOCTYPE svg [<!ENTITY a \"aaaa\">]>\n<svg width='9mm' height='9mm'>&a;</svg>"), `cheek\.svg:2: is not XML`},
		{"bytes of a picture as a template", template("\x89PNG\r\n\x1a\n\x00\x00"), `cheek\.svg:\d+: `},
		{"bytes of another file", map[string]string{"hides/ash-1.toml": "\x89PNG\r\n\x1a\n\x00\x00"}, `hides/ash-1\.toml`},
		{"unknown key of the rules", rules("[tools]\nmark = \"1/16in\"\n"), `workshop\.toml:\d+: .*mark`},
		{"cutter the wrong way round", rules("[tools]\ncutter = [\"4in\", \"1/4in\"]\n"), `workshop\.toml:4: tools\.cutter`},
		{"rule without marks", rules("[tools]\nmarks = \"0in\"\n"), `workshop\.toml:4: tools\.marks`},
		{"pattern with a ring of measures", rules("[patterns.loop]\na = \"b\"\nb = \"a\"\n[patterns.loop.pieces.main]\nleather = \"order\"\nlength = \"a\"\nwidth = \"width\"\nuse = \"load\"\ncut = \"strip\"\n"), `workshop\.toml:\d+: patterns\.loop`},
		{"length times length", rules("[patterns.flat.pieces.main]\nlength = \"size * width\"\n"), `workshop\.toml:4: patterns\.flat\.pieces\.main\.length`},
		{"piece of an unknown use", rules("[patterns.flat.pieces.main]\nuse = \"lode\"\n"), `workshop\.toml:4: patterns\.flat\.pieces\.main\.use: .*lode`},
		{"unknown column", map[string]string{"orders.csv": "order,due,qty,pattern,width,size,leather,colour\nA1,,1,flat,1in,16in,strap,red\n"}, `orders\.csv:1: .*colour`},
		{"column twice", map[string]string{"orders.csv": "order,qty,qty,pattern,width,size,leather\nA1,1,1,flat,1in,16in,strap\n"}, `orders\.csv:1: .*qty`},
		{"ragged row", book("A1,2027-03-01,2,flat,1in"), `orders\.csv:2: `},
		{"no such day", book("A1,2027-02-30,2,flat,1in,16in,strap,,20,"), `orders\.csv:2: due: .*2027-02-30`},
		{"no sets", book("A1,,0,flat,1in,16in,strap,,20,"), `orders\.csv:2: qty: `},
		{"unknown pattern", book("A1,,1,flta,1in,16in,strap,,20,"), `orders\.csv:2: pattern: .*flta`},
		{"bare width", book("A1,,1,flat,1,16in,strap,,20,"), `orders\.csv:2: width: `},
		{"cut-off quotes", book("A1,,1,flat,\"1in,16in,strap,,20,"), `orders\.csv:2: `},
		{"filler of no length", book("A1,,1,raised,1in,5in,strap,strap,20,"), `orders\.csv:2: .*filler`},
		{"negative price", book("A1,,1,flat,1in,16in,strap,,-20,"), `orders\.csv:2: price: `},
		{"a million rows", map[string]string{"orders.csv": head + million}, `orders\.csv: larger than 8 MB`},
		{"ten thousand rows and one", map[string]string{"orders.csv": head + million[:10_001*len(million)/1_000_000]}, `orders\.csv:\d+: .*rows`},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			dir := workshopWith(t, tt.files)
			out, errs, code := strapwise("lay", "--workshop", dir)
			if code != 2 || out != "" {
				t.Errorf("exit %d, stdout %q; want 2 and nothing", code, out)
			}
			lines := strings.Split(strings.TrimRight(errs, "\n"), "\n")
			if ok, err := regexp.MatchString("^strapwise: "+tt.want, lines[0]); !ok || err != nil {
				t.Errorf("said %q, want %s", lines[0], tt.want)
			}
			if len(lines) > 2 || len(lines) == 2 && !strings.HasPrefix(lines[1], "hint: ") {
				t.Errorf("want one error and perhaps a hint, got\n%s", errs)
			}
			if len(errs) > 400 {
				t.Errorf("an error of %d letters", len(errs))
			}
			if _, err := os.Stat(filepath.Join(dir, "plans")); err == nil {
				t.Error("something was written")
			}
		})
	}
	if len(tests) < 30 {
		t.Errorf("only %d bad files", len(tests))
	}
}

// TestOddFiles: files that look odd and are sound are read as meant.
func TestOddFiles(t *testing.T) {
	var corners strings.Builder
	const n = 10_000
	for i := range n / 2 {
		fmt.Fprintf(&corners, "[%.3f,%.3f],", 1300*float64(i)/(n/2), 0.3*float64(i%2))
	}
	for i := range n / 2 {
		fmt.Fprintf(&corners, "[%.3f,%.3f],", 1300-1300*float64(i)/(n/2), 600-0.3*float64(i%2))
	}
	tests := []struct {
		name  string
		files map[string]string
	}{
		{"semicolons and a byte-order mark", map[string]string{"orders.csv": "\ufefforder;due;qty;pattern;width;size;leather;price\r\nA1;;2;flat;1in;16in;strap;20.00\r\n"}},
		{"columns in another order, some left out", map[string]string{"orders.csv": "leather,size,width,pattern,qty,order\nstrap,16in,1in,flat,2,A1\n"}},
		{"inches in quotes", map[string]string{"orders.csv": "order,qty,pattern,width,size,leather\nA1,2,flat,\"1\"\"\",\"1' 4\"\"\",strap\n"}},
		{"empty rows", map[string]string{"orders.csv": "\n" + soundBook + "\n,,,,,,,,,\n\n"}},
		{"a hide with a byte-order mark and the line ends of another system", map[string]string{"hides/ash-1.toml": "\ufeff" + strings.ReplaceAll(soundHide, "\n", "\r\n")}},
		{"ten thousand corners", map[string]string{"hides/ash-1.toml": "leather = \"strap\"\nform = \"bend\"\nunits = \"mm\"\noutline = [" + corners.String() + "]\n"}},
		{"ten thousand corners, trimmed", map[string]string{"hides/ash-1.toml": "leather = \"strap\"\nform = \"bend\"\nunits = \"mm\"\ntrim = 5\noutline = [" + corners.String() + "]\n"}},
		{"clockwise, the first corner said again", map[string]string{"hides/ash-1.toml": strings.Replace(soundHide, "[[0,0],[1300,0],[1300,600],[0,600]]", "[[0,0],[0,600],[1300,600],[1300,0],[0,0]]", 1)}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			dir := workshopWith(t, tt.files)
			out, errs, code := strapwise("lay", "--workshop", dir)
			if code != 0 || !strings.Contains(out, "A1") || !strings.Contains(out, "proven") {
				t.Errorf("exit %d\n%s%s", code, out, errs)
			}
			if _, errs, code := strapwise("check", "--workshop", dir); code != 0 {
				t.Errorf("check: exit %d\n%s", code, errs)
			}
		})
	}
}
