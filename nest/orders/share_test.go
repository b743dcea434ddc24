package orders

import (
	"strings"
	"testing"

	"strapwise/hide/source"
	"strapwise/nest"
)

func names(parts []nest.Part) string {
	var out []string
	for _, p := range parts {
		out = append(out, p.Name+" of "+p.Leather)
	}
	return strings.Join(out, ", ")
}

// What is not named stands aside, and a share is what one leather gives.
func TestSetAndShare(t *testing.T) {
	h := builtInHouse(t)
	for _, c := range []struct{ leather, lining, of, own, aside string }{
		{"bridle-tan", "", "bridle-tan", "main of bridle-tan, filler of bridle-tan, keeper of bridle-tan", "foam of foam, lining of lining"},
		{"bridle-tan", "glove-skin", "glove-skin", "lining of glove-skin", "main of bridle-tan, filler of bridle-tan, foam of foam, keeper of bridle-tan"},
		{"", "glove-skin", "glove-skin", "lining of glove-skin", "foam of foam, main of order, filler of order, keeper of order"},
		{"", "", "foam", "foam of foam", "main of order, filler of order, lining of lining, keeper of order"},
		{"bridle-tan", "bridle-tan", "bridle-tan", "main of bridle-tan, filler of bridle-tan, lining of bridle-tan, keeper of bridle-tan", "foam of foam"},
		{"", "", "bridle-tan", "", "foam of foam, main of order, filler of order, lining of lining, keeper of order"},
	} {
		l, err := h.Set("raised", inch, 16*inch, c.leather, c.lining)
		if err != nil {
			t.Fatal(err)
		}
		s := l.Share(c.of)
		if names(s.Parts) != c.own || names(s.Aside) != c.aside {
			t.Errorf("%q, %q: %s gives %s; aside %s", c.leather, c.lining, c.of, names(s.Parts), names(s.Aside))
		}
		if again := l.Share(c.of); names(again.Parts) != c.own || names(again.Aside) != c.aside {
			t.Errorf("%q, %q: a share changed its line", c.leather, c.lining)
		}
	}
}

// Lining is of 2 oz, faces that are lined of 4 to 5 oz: common practice, no source.
func TestRole(t *testing.T) {
	const ounce = inch / 64
	const own = `
[patterns.tag.pieces.main]
leather = "order"
length = "size"
width = "width"
use = "load"
cut = "strip"
[patterns.tag.pieces.backing]
leather = "felt"
length = "size"
width = "width"
use = "hidden"
cut = "knife"
`
	var file struct {
		Patterns map[string]map[string]any `toml:"patterns"`
	}
	doc, err := source.TOML("workshop.toml", []byte(own), &file)
	if err != nil {
		t.Fatal(err)
	}
	h, err := NewHouse(doc, file.Patterns, []Leather{{"bridle", 0}, {"face", 4 * ounce}, {"skin", 2 * ounce}, {"foam", 6}, {"felt", 3}}, testUses, nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		pattern, leather string
		want             Role
	}{
		{"raised", "bridle", AsOrder},
		{"raised", "face", AsOrder},
		{"raised", "skin", AsLining},
		{"raised", "foam", AsNamed},
		{"raised", "felt", NoRole}, // another pattern names it
		{"flat", "bridle", AsOrder},
		{"flat", "skin", NoRole}, // too thin, and flat has no lining
		{"flat", "foam", NoRole},
		{"tag", "felt", AsNamed},
		{"tag", "bridle", AsOrder},
		{"none", "bridle", NoRole},
	} {
		if got := h.Role(c.pattern, c.leather); got != c.want {
			t.Errorf("%s for %s: got role %d, want %d", c.leather, c.pattern, got, c.want)
		}
	}
}
