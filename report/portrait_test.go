package report

import (
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"

	"strapwise/hide"
	"strapwise/hide/measure"
	"strapwise/hide/plane"
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

// The name of a zone breaks its own edge, but not the outline of the hide.
func TestZoneNamesKeepOffTheOutline(t *testing.T) {
	box := func(x0, y0, x1, y1 float64) plane.Ring { return plane.Box(orb.Point{x0, y0}, orb.Point{x1, y1}) }
	h, err := hide.New(hide.Spec{
		Name: "rest", Leather: "bridle", Form: hide.Remnant, Outline: box(0, 0, 1000, 200).Corners(),
		Zones: []hide.Zone{{Quality: hide.Waste, Area: box(0, 197, 1000, 200)}, {Quality: hide.Prime, Area: box(0, 0, 1000, 200)}},
	})
	if err != nil {
		t.Fatal(err)
	}
	page, err := Portrait(nest.Job{Hides: []*hide.Hide{h}}, "rest", Options{})
	if err != nil {
		t.Fatal(err)
	}
	var outline []orb.Point
	for _, item := range page.Items {
		if s, ok := item.(Shape); ok && s.Closed && s.Weight == heavy {
			outline = s.Points
		}
	}
	if len(outline) == 0 {
		t.Fatal("found no outline of the hide")
	}
	named := false
	for _, item := range page.Items {
		text, ok := item.(Text)
		if !ok {
			continue
		}
		named = named || text.String() == "prime"
		for i, p := range outline {
			if crosses(segment{p, outline[(i+1)%len(outline)]}, text.Bound()) {
				t.Errorf("%q lies across the outline", text)
			}
		}
	}
	if !named {
		t.Error("prime is not named where it has room")
	}
	if said := strings.Join(texts(page), "\n"); !strings.Contains(said, "zones not named: waste") {
		t.Errorf("the narrow zone is told nowhere in\n%s", said)
	}
}
