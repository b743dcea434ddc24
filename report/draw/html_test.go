package draw

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"strapwise/hide/measure"
	"strapwise/nest"
	"strapwise/report"
	"strapwise/report/internal/made"
)

// madePlans are hides and cuts of every kind.
func madePlans(t *testing.T, each func(name string, j nest.Job, p nest.Plan)) {
	t.Helper()
	for name, make := range map[string]func() (nest.Job, nest.Plan, error){
		"side": made.Side, "whole": made.Whole, "sheet": made.Sheet,
		"random": func() (nest.Job, nest.Plan, error) { return made.Random(3) },
	} {
		j, p, err := make()
		if err != nil {
			t.Fatal(err)
		}
		each(name, j, p)
	}
}

func cards(t *testing.T) map[string]report.Card {
	t.Helper()
	out := map[string]report.Card{}
	madePlans(t, func(name string, j nest.Job, p nest.Plan) {
		card, err := report.NewCard(j, p, j.Hides[0].Name(), report.Options{Rule: measure.RuleOf(measure.Inch), Workshop: `A & B <"straps"> 'x'`})
		if err != nil {
			t.Fatal(err)
		}
		out[name] = card
	})
	return out
}

// A sheet as HTML has every line of the list, with a box for what is to be done and
// one for its cross-cuts, all the words of the picture, and nothing from outside.
func TestHTML(t *testing.T) {
	for name, card := range cards(t) {
		data, err := HTML(card)
		if err != nil {
			t.Fatal(err)
		}
		if again, _ := HTML(card); !bytes.Equal(data, again) {
			t.Errorf("%s: not the same twice", name)
		}
		said := words(t, data)
		boxes := 0
		for _, line := range card.Lines {
			want := []string{line.Name, setWords(line.Set), setWords(line.Do)}
			for _, c := range line.Cuts {
				want = append(want, setWords(c.At), c.Off)
			}
			for _, w := range want {
				if !strings.Contains(said, strings.Join(strings.Fields(w), " ")) {
					t.Errorf("%s: the list does not say %q", name, w)
				}
			}
			if line.Tick {
				boxes++
			}
			if len(line.Cuts) > 0 {
				boxes++
			}
		}
		if got := bytes.Count(data, []byte(`type="checkbox"`)); got != boxes || boxes == 0 {
			t.Errorf("%s: found %d boxes to tick, expected %d", name, got, boxes)
		}
		for _, fact := range append(card.Facts, card.Name, card.About, card.Mark, card.Cautions) {
			if !strings.Contains(said, fact) {
				t.Errorf("%s: the page does not say %q", name, fact)
			}
		}
		for _, link := range regexp.MustCompile(`(href|src|action|data|srcset)="[^"]*"|url\([^)]*\)|@import|<script|<link|<iframe`).FindAllString(string(data), -1) {
			if !strings.HasPrefix(link, "url(#") {
				t.Errorf("%s: refers to %s", name, link)
			}
		}
	}
}

// Boxes have names to be read aloud, in which a fraction does not run into the figure before it.
func TestHTMLNamesItsBoxes(t *testing.T) {
	card := cards(t)["side"]
	card.Lines = []report.Line{
		{Tick: true, Name: "6", Set: []report.Run{{Words: "1"}}, Do: []report.Run{{Words: "take 1 strip, square 20"}, {Num: 3, Den: 16}, {Words: " <right>"}}},
		{Tick: true, Set: []report.Run{{Words: "2"}}, Do: []report.Run{{Words: "scrap"}}},
	}
	data, err := HTML(card)
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{`"done: 6 take 1 strip, square 20 3/16 &lt;right&gt;"`, `"done: scrap"`} {
		if !bytes.Contains(data, []byte("aria-label="+want)) {
			t.Errorf("no box is named %s", want)
		}
	}
}

// A fraction beside a whole number is no other one to who copies it or has it read out.
func TestHTMLKeepsFractionsApart(t *testing.T) {
	data, err := HTML(report.Card{Picture: report.Page{Width: 10, Height: 10}, Lines: []report.Line{{Tick: true, Name: "1", Do: []report.Run{{Words: "square 6"}, {Num: 3, Den: 16}, {Words: " right"}}}}})
	if err != nil {
		t.Fatal(err)
	}
	if want := `aria-label="done: 1 square 6 3/16 right"`; !bytes.Contains(data, []byte(want)) {
		t.Errorf("no %s in %s", want, data)
	}
	if said, want := words(t, data), "square 6 3⁄16 right"; !strings.Contains(said, want) {
		t.Errorf("the page does not say %q, but %q", want, said)
	}
}

// What is not so in the plan before is told apart, line by line and cut by cut.
func TestHTMLTellsWhatIsNew(t *testing.T) {
	card := cards(t)["side"]
	for i := range card.Lines {
		line := &card.Lines[i]
		line.New = i%2 == 0
		for k := range line.Cuts {
			line.Cuts[k].New = i%3 == 0
		}
	}
	lines, cuts := 0, 0
	for _, line := range card.Lines {
		if line.New {
			lines++
		}
		for _, c := range line.Cuts {
			if c.New {
				cuts++
			}
		}
	}
	data, err := HTML(card)
	if err != nil {
		t.Fatal(err)
	}
	if got := bytes.Count(data, []byte(`<tr class="new"`)); got != lines || lines == 0 {
		t.Errorf("found %d new lines, expected %d", got, lines)
	}
	if got := bytes.Count(data, []byte(`class="cut new"`)); got != cuts || cuts == 0 {
		t.Errorf("found %d new cuts, expected %d", got, cuts)
	}
}

// A picture as HTML holds the picture and no more, and refers to nothing outside.
func TestPicture(t *testing.T) {
	for name, card := range cards(t) {
		data, err := Picture(card.Picture)
		if err != nil {
			t.Fatal(err)
		}
		svg, err := SVG(card.Picture)
		if err != nil {
			t.Fatal(err)
		}
		if drawn := svg[bytes.Index(svg, []byte("<svg")):]; !bytes.Contains(data, drawn) {
			t.Errorf("%s: the picture is another", name)
		}
		if said, want := words(t, data), words(t, svg); !strings.HasSuffix(said, want) {
			t.Errorf("%s: the page says more than the picture", name)
		}
		if link := regexp.MustCompile(`(href|src|action|srcset)=|@import|<script|<link|<iframe`).Find(data); link != nil {
			t.Errorf("%s: refers to something: %s", name, link)
		}
	}
}

// setWords is a text as the page has it, without the marks of fractions.
func setWords(all []report.Run) string {
	return regexp.MustCompile(`<[^>]*>`).ReplaceAllString(strings.NewReplacer("&#39;", "'", "&#34;", `"`, "&amp;", "&").Replace(string(runs(all))), "")
}

// words is all the text of a page, which must be well-formed to the last tag.
func words(t *testing.T, data []byte) string {
	t.Helper()
	var b strings.Builder
	for d := xml.NewDecoder(bytes.NewReader(data)); ; {
		tok, err := d.Token()
		if errors.Is(err, io.EOF) {
			return strings.Join(strings.Fields(b.String()), " ")
		}
		if err != nil {
			t.Fatal(err)
		}
		switch tok := tok.(type) {
		case xml.CharData:
			b.Write(tok)
		case xml.StartElement:
			if tok.Name.Local == "td" || tok.Name.Local == "p" || tok.Name.Local == "text" {
				b.WriteByte(' ')
			}
		}
	}
}

// A checker of HTML finds nothing to say.
func TestHTMLIsValid(t *testing.T) {
	program, err := exec.LookPath("html-validate")
	if err != nil {
		t.Skip("no html-validate here: npm install -g html-validate")
	}
	dir := t.TempDir()
	rules := `{"root": true, "extends": ["html-validate:standard"], "rules": {
		"void-style": ["error", {"style": "selfclose"}], "no-inline-style": "off"}}`
	if err := os.WriteFile(filepath.Join(dir, ".htmlvalidate.json"), []byte(rules), 0o600); err != nil {
		t.Fatal(err)
	}
	pages := map[string][]byte{}
	for name, card := range cards(t) {
		if pages[name], err = HTML(card); err != nil {
			t.Fatal(err)
		}
		if pages[name+"-picture"], err = Picture(card.Picture); err != nil {
			t.Fatal(err)
		}
	}
	for name, data := range pages {
		file := filepath.Join(dir, name+".html")
		if err := os.WriteFile(file, data, 0o600); err != nil {
			t.Fatal(err)
		}
		if said, err := exec.Command(program, file).CombinedOutput(); err != nil {
			t.Errorf("%s: %v: %s", name, err, said)
		}
	}
}
