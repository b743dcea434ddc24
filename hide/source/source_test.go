package source

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"github.com/pelletier/go-toml/v2"

	"strapwise/hide/measure"
)

// bench is a small file form with every kind of place.
type bench struct {
	Leather  string         `toml:"leather"`
	Count    int            `toml:"count"`
	Cost     float64        `toml:"cost"`
	Trim     any            `toml:"trim"`
	Outline  [][]any        `toml:"outline"`
	Stations []station      `toml:"stations"`
	Bought   toml.LocalDate `toml:"bought"`
	Flaws    []struct {
		Kind string `toml:"kind"`
		At   []any  `toml:"at"`
	} `toml:"flaws"`
	Leathers map[string]struct {
		Substance any `toml:"substance"`
	} `toml:"leathers"`
}

type station struct {
	At   any `toml:"at"`
	From any `toml:"from"`
}

func TestEveryErrorNamesLinePathAndRule(t *testing.T) {
	const oneValue = "found no value, expected text in quotes, a number, a date or a list"
	for _, c := range []struct{ rule, text, want, hint string }{
		{"unknown key, nearest known", "count = 1\nlether = 'x'", `b.toml:2: lether: unknown key "lether"`, "did you mean leather?"},
		{"unknown key, none near", "[leathers.tan]\nwidth = 1", `b.toml:2: leathers.tan.width: unknown key "width"`, "known here: substance"},
		{"unknown key in a later item", "[[flaws]]\nkind='a'\n[[flaws]]\nknd='b'", `b.toml:4: flaws[1].knd: unknown key "knd"`, "did you mean kind?"},
		{"unknown key in an inline table", "stations = [{at=1},\n {form=2}]", `b.toml:2: stations[1].form: unknown key "form"`, "did you mean from?"},
		{"unknown table", "[colours]\n", `b.toml:1: colours: unknown key "colours"`, "known here: bought, cost, count, flaws, leather, leathers, outline, stations, trim"},
		{"capitals are another key", "Leather = 'x'", `b.toml:1: Leather: unknown key "Leather"`, "did you mean leather?"},
		{"quoted key", "\"a b\" = 1", `b.toml:1: "a b": unknown key "a b"`, "known here: bought, cost, count, flaws, leather, leathers, outline, stations, trim"},
		{"number for text", "leather = 3", "b.toml:1: leather: found a whole number, expected text in quotes", ""},
		{"text for number", "count = 'x'", "b.toml:1: count: found text in quotes, expected a whole number", ""},
		{"point in whole number", "count = 1.5", "b.toml:1: count: found a number, expected a whole number", ""},
		{"list for text", "leather = ['a']", "b.toml:1: leather: found a list, expected text in quotes", ""},
		{"table for text", "[leather]", "b.toml:1: leather: found a table, expected text in quotes", ""},
		{"number among corners", "outline = [[0,0],\n 3]", "b.toml:2: outline[1]: found a whole number, expected a list", ""},
		{"list among tables", "flaws = [[1]]", "b.toml:1: flaws[0]: found a list, expected a table", ""},
		{"one table for a list", "[flaws]\nkind = 'x'", "b.toml:1: flaws: found a table, expected a list", "write [[flaws]]"},
		{"text for a date", "bought = '2027-02-11'", "b.toml:1: bought: found text in quotes, expected a date", "write 2027-02-11, without quotes"},
		{"time for a date", "bought = 2027-02-11T08:00:00Z", "b.toml:1: bought: found a time, expected a date", "write 2027-02-11, without quotes"},
		{"no such day", "bought = 2027-02-30", "b.toml:1: bought: no day of the calendar, expected a date such as 2027-02-11", ""},
		{"given twice", "leather = 'a'\nleather = 'b'", "b.toml:2: leather: given twice, expected once", ""},
		{"table given twice", "[leathers]\n[leathers]", "b.toml:2: leathers: given twice, expected once", ""},
		{"number out of range", "trim = 1e999", "b.toml:1: trim: a number too large to read", ""},
		{"whole number out of range", "trim = 99999999999999999999", "b.toml:1: trim: a number too large to read", ""},
		{"file cut off in a list", "leather = 'a'\noutline = [[0,0],[1", "b.toml:2: the file ends within a list, expected ]", ""},
		{"file cut off in text", "leather = 'a", "b.toml:1: text without its closing ', expected one on the same line", ""},
		{"text over the end of a line", "leather = \"a\n", "b.toml:1: text without its closing \", expected one on the same line", ""},
		{"no value", "leather =", "b.toml:1: " + oneValue, ""},
		{"word without quotes", "leather = tan", "b.toml:1: " + oneValue, "put text in straight quotes"},
		{"curly quotes", "leather = “tan”", "b.toml:1: " + oneValue, "put text in straight quotes"},
		{"decimal comma", "trim = 1,5", "b.toml:1: found more after the value, expected the end of the line", "put text in quotes, and a point in decimal numbers"},
		{"no equals sign", "leather 'x'", "b.toml:1: expected = after the key", ""},
		{"no comma in a list", "outline = [[0,0] [1,1]]", "b.toml:1: expected a comma or ] after this item of the list", ""},
		{"NUL byte", "leather = 'a'\ncount\x00 = 1", "b.toml:2: found a NUL byte, expected text", ""},
		{"not UTF-8", "leather = 'a'\n# \xff", "b.toml:2: found the byte 0xff, which is no text in UTF-8", "save it again with the encoding UTF-8"},
		{"UTF-16", "\xff\xfel\x00", "b.toml:1: text in UTF-16, expected UTF-8", "save it again with the encoding UTF-8"},
		{"too large", strings.Repeat("#", Largest+1), "b.toml:1: larger than 8 MB, expected a file written by hand", ""},
		{"nested too deep", "trim = " + strings.Repeat("[", 1<<20), "b.toml:1: arrays and inline tables are nested more than the maximum of 10000 levels deep", ""},
		{"dotted key too deep", "\n[" + strings.Repeat("a.", 1<<20) + "a]", "b.toml:2: a key of more than 100 parts, expected a few", ""},
		{"dotted value too deep", strings.Repeat("a.", 1<<20) + "a = 1", "b.toml:1: a key of more than 100 parts, expected a few", ""},
		{"too many keys", manyKeys(20_000), "b.toml:10001: a table of more than 10000 keys, expected a few", ""},
	} {
		t.Run(c.rule, func(t *testing.T) {
			_, err := TOML("b.toml", []byte(c.text), new(bench))
			e, ok := As(err)
			if !ok {
				t.Fatalf("got %v, want a *source.Error", err)
			}
			if e.Error() != c.want {
				t.Errorf("\n got %s\nwant %s", e, c.want)
			}
			if e.Hint != c.hint {
				t.Errorf("hint\n got %s\nwant %s", e.Hint, c.hint)
			}
		})
	}
}

func manyKeys(n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, "k%d = 1\n", i)
	}
	return b.String()
}

func TestOddButGoodFilesRead(t *testing.T) {
	for rule, text := range map[string]string{
		"byte-order mark":         "\xef\xbb\xbfleather = 'tan'\ncount = 1\n",
		"lines ended as in DOS":   "leather = 'tan'\r\ncount = 1\r\n",
		"no end of line":          "leather = 'tan'\ncount = 1",
		"comments and no spaces":  "# mine\nleather='tan'#x\n\n\ncount=1",
		"keys in another order":   "count = 1\nleather = \"tan\"",
		"a whole number for cost": "cost = 3\nleather = 'tan'\ncount = 1",
	} {
		var b bench
		if _, err := TOML("b.toml", []byte(text), &b); err != nil || b.Leather != "tan" || b.Count != 1 {
			t.Errorf("%s: got %+v, %v", rule, b, err)
		}
	}
}

func TestLineOfEachPath(t *testing.T) {
	const text = `leather = 'x'   # 1
stations = [
  {at = 1},
  {at = 2},
]
outline = [[0, 0], [1,
  1]]
[[flaws]]
kind = 'a'
[[flaws]]
at = [
  1,
  2]
[leathers.tan]
substance = 1
[leathers."two words"]
substance = [
]
`
	doc, err := TOML("b.toml", []byte(text), new(bench))
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		path string
		line int
		has  bool
	}{
		{"leather", 1, true},
		{"stations", 2, true},
		{"stations[0]", 3, true},
		{"stations[1].at", 4, true},
		{"stations[1].from", 4, false}, // its parent's
		{"outline[1]", 6, true},
		{"outline[1][1]", 7, true},
		{"flaws", 8, true},
		{"flaws[0]", 8, true},
		{"flaws[0].kind", 9, true},
		{"flaws[1].at", 11, true},
		{"flaws[1].at[1]", 13, true},
		{"flaws[1].area", 10, false},
		{"flaws[9].area", 8, false},
		{"leathers.tan.substance", 15, true},
		{Key("leathers", "two words") + ".substance", 17, true},
		{"nothing", 0, false},
		{"flaws[x]", 8, true}, // no path: that of its head
		{"flaws[-1]", 8, true},
		{`"`, 0, true},
		{"", 0, true},
	} {
		if got := doc.Line(c.path); got != c.line {
			t.Errorf("Line(%s) = %d, want %d", c.path, got, c.line)
		}
		if got := doc.Has(c.path); got != c.has {
			t.Errorf("Has(%s) = %v, want %v", c.path, got, c.has)
		}
	}
}

func TestZeroDocKnowsNoLine(t *testing.T) {
	var d Doc
	if d.Line("a.b[1]") != 0 || d.Has("a") {
		t.Error("the zero Doc knows a value")
	}
	if got := d.Fault("a", "wrong", "").Error(); got != ": a: wrong" {
		t.Errorf("got %q", got)
	}
}

func TestWrapKeepsTheHintOfAMeasure(t *testing.T) {
	doc, err := TOML("b.toml", []byte("\ntrim = '1,5mm'"), new(bench))
	if err != nil {
		t.Fatal(err)
	}
	_, err = measure.Length("1,5mm", 0)
	e := doc.Wrap("trim", err)
	if e.Error() != `b.toml:2: trim: "1,5mm": a comma in a number, expected a decimal point` || e.Hint != "write 1.5mm" {
		t.Errorf("got %s, hint %s", e, e.Hint)
	}
	found, ok := As(fmt.Errorf("reading the rack: %w", e))
	if !ok || found != e {
		t.Error("As does not find a wrapped error")
	}
	if _, ok := As(errors.New("other")); ok {
		t.Error("As finds what is not there")
	}
}

func TestPathsTakenApartAreThePathsPutTogether(t *testing.T) {
	for _, key := range []string{"a", "bridle-tan", "two words", "a.b", "x[1]", `in "quotes"`, "", "⅜"} {
		got := steps(Item(Key(Key("", key), key), 7))
		want := []step{{key, -1}, {key, -1}, {"", 7}}
		if fmt.Sprint(got) != fmt.Sprint(want) {
			t.Errorf("%q: got %v, want %v", key, got, want)
		}
	}
}

func FuzzTOML(f *testing.F) {
	for _, s := range []string{
		"leather = 'x'\n[[flaws]]\nkind = 'a'\nat = [1, 2]\n", "stations = [{at = 1}, {at = '1 3/8\"'}]",
		"a.b.c = 1\n[a.b]\nd = 2", "bought = 2027-02-11\n[leathers.tan]\nsubstance = 3.8", "outline = [[0,0],[1,0],[0.5,1e3]]",
		"[[flaws]]\n[flaws.x]\n", "x = {a = {b = [1,{c=2}]}}", "\xef\xbb\xbfcount = 1\r\n",
	} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		var b bench
		doc, err := TOML("f.toml", data, &b)
		lines := strings.Count(string(data), "\n") + 1
		if err != nil {
			e, ok := As(err)
			if !ok || e.File != "f.toml" || e.Rule == "" || e.Line < 0 || e.Line > lines {
				t.Fatalf("%v of %d lines", err, lines)
			}
			return
		}
		for i := range b.Flaws {
			at := Item("flaws", i)
			if n := doc.Line(at); !doc.Has(at) || n < 1 || n > lines {
				t.Fatalf("%s stands on line %d of %d", at, n, lines)
			}
		}
		var free map[string]any
		if _, err := TOML("f.toml", data, &free); err != nil {
			t.Fatalf("reads into a struct but not into a map: %v", err)
		}
	})
}
