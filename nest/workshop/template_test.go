package workshop

import (
	"slices"
	"strings"
	"testing"
)

const (
	cheek = `<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm"><circle cx="20mm" cy="20mm" r="15mm"/></svg>`

	cheekRules = `
[leathers.bridle]
[patterns.bridle.pieces.cheek]
template = "drawn/cheek.svg"
use = "face"
cut = "knife"
`
)

// What a plan is made from includes the drawings, once each, so that it is stale
// when one of them changes.
func TestTemplatesAreInputs(t *testing.T) {
	for _, c := range []struct{ rule, file, text, want string }{
		{"there", "drawn/cheek.svg", cheek, ""},
		{"missing", "drawn/chek.svg", cheek, `workshop.toml:4: patterns.bridle.pieces.cheek.template: found no file "drawn/cheek.svg" in the workshop, expected the drawing of the template`},
		{"a folder", "drawn/cheek.svg/x", cheek, "drawn/cheek.svg: found a folder, expected a file"},
		{"not closed", "drawn/cheek.svg", "<svg width=\"1mm\" height=\"1mm\">\n<path d='M0 0h3v3'/></svg>", "drawn/cheek.svg:2: path: found an open line"},
		{"too large", "drawn/cheek.svg", strings.Repeat(" ", 9<<20), "drawn/cheek.svg: larger than 8 MB, expected a smaller file"},
	} {
		w, err := OpenRules(folder(t, "workshop.toml", cheekRules, c.file, c.text))
		if c.want != "" {
			if err == nil || !strings.HasPrefix(err.Error(), c.want) {
				t.Errorf("%s: found %v, expected %s", c.rule, err, c.want)
			}
			continue
		}
		if err != nil {
			t.Fatal(err)
		}
		var files []string
		for _, in := range w.Inputs {
			files = append(files, in.File)
		}
		if want := []string{"drawn/cheek.svg", "workshop.toml"}; !slices.Equal(files, want) {
			t.Errorf("inputs %v, expected %v", files, want)
		}
	}
}
