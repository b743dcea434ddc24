package report

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"strapwise/hide/measure"
	"strapwise/nest"
	"strapwise/report/internal/made"
)

// No text of a hide by itself covers other text or leaves the page, every kind of
// flaw on it is named, and nothing speaks of cuts.
func TestPortrait(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		j, _, err := made.Random(rapid.Uint64().Draw(t, "plan"))
		if err != nil {
			t.Fatal(err)
		}
		o := Options{
			Paper:    rapid.SampledFrom([]Paper{A4, A3, Letter}).Draw(t, "paper"),
			Rule:     rapid.SampledFrom([]measure.Rule{inches, {}}).Draw(t, "rule"),
			Workshop: rapid.SampledFrom([]string{"", "W", strings.Repeat("a long name ", 20)}).Draw(t, "workshop"),
		}
		h := j.Hides[0]
		page, err := Portrait(j, h.Name(), o)
		if err != nil {
			t.Fatal(err)
		}
		if msg := flawed(page); msg != "" {
			t.Fatal(msg)
		}
		said := strings.Join(texts(page), "\n")
		for _, f := range h.Flaws() {
			if !strings.Contains(said, f.Kind[:min(len(f.Kind), 10)]) { // long names are cut
				t.Errorf("no word of a %s in\n%s", f.Kind, said)
			}
		}
		for _, word := range []string{"strip", "squared", "chalk", "plan"} {
			if strings.Contains(said, " "+word) {
				t.Errorf("speaks of a %s:\n%s", word, said)
			}
		}
	})
	if _, err := Portrait(nest.Job{}, "ash-3", Options{}); err == nil {
		t.Error("a hide that is not there was drawn")
	}
}
