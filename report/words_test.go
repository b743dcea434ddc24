package report

import (
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"strapwise/hide"
	"strapwise/hide/measure"
	"strapwise/hide/plane"
	"strapwise/nest"
	"strapwise/report/internal/made"
)

// offcut is the sheet of made.Sheet with flaws and zones on it, as words.
func offcut(t *testing.T, spec hide.Spec) (string, nest.Plan) {
	t.Helper()
	page, p := offcutSheet(t, spec)
	return strings.Join(texts(page), "\n"), p
}

// offcutSheet is the same as a page.
func offcutSheet(t *testing.T, spec hide.Spec) (Page, nest.Plan) {
	t.Helper()
	j, p, err := made.Sheet()
	if err != nil {
		t.Fatal(err)
	}
	spec.Name, spec.Leather, spec.Form, spec.Outline = "offcut-9", "bridle-tan", "sheet", j.Hides[0].Outline().Corners()
	if j.Hides[0], err = hide.New(spec); err != nil {
		t.Fatal(err)
	}
	pages, err := Sheet(j, p, "offcut-9", Options{})
	if err != nil {
		t.Fatal(err)
	}
	if msg := flawed(pages[0]); msg != "" {
		t.Error(msg)
	}
	return pages[0], p
}

// Paper and plan file are matched by the mark: other plans have others, and the
// same plan read from its file has the same.
func TestMark(t *testing.T) {
	all, p := offcut(t, hide.Spec{})
	if !strings.Contains(all, "plan "+Mark(p)) {
		t.Errorf("the sheet does not bear %q:\n%s", Mark(p), all)
	}
	again, err := nest.DecodePlan("plan.json", p.Encode())
	if err != nil {
		t.Fatal(err)
	}
	if Mark(again) != Mark(p) {
		t.Errorf("read again the plan is %s, before it was %s", Mark(again), Mark(p))
	}
	again.Pieces[0].Set++
	if Mark(again) == Mark(p) {
		t.Errorf("another plan has the same mark, %s", Mark(p))
	}
}

// A flaw under a piece whose use allows it says so, one that only scrap has does not.
func TestAcceptedFlaws(t *testing.T) {
	wrinkle := func(x, y float64) hide.Flaw {
		return hide.Flaw{Kind: "wrinkle", Spot: &hide.Spot{At: orb.Point{x, y}, Diameter: 6}}
	}
	for want, at := range map[string][2]float64{"wrinkle, accepted": {120, 77}, "wrinkle": {580, 77}} { // in a filler, beyond it
		all, _ := offcut(t, hide.Spec{Flaws: []hide.Flaw{wrinkle(at[0], at[1])}})
		if !strings.Contains(all, want) || strings.Contains(all, "accepted") != strings.Contains(want, "accepted") {
			t.Errorf("at %v: expected %q in\n%s", at, want, all)
		}
	}
}

// Every zone has its name: on its outline where pieces take up the inside, or in
// the list under the picture.
func TestZonesAreNamed(t *testing.T) {
	for _, c := range []struct{ from, to orb.Point }{
		{orb.Point{100, 10}, orb.Point{500, 80}},
		{orb.Point{2, 2}, orb.Point{600, 66}},
		{orb.Point{510, 30}, orb.Point{516, 50}},
	} {
		box := plane.Box(c.from, c.to)
		all, _ := offcut(t, hide.Spec{Zones: []hide.Zone{{Quality: hide.Prime, Area: box}}})
		if !strings.Contains(all, "prime") {
			t.Errorf("the zone from %v to %v has no name:\n%s", c.from, c.to, all)
		}
	}
}

// A zone in which the grain lies otherwise says by how much.
func TestTurnedZonesAreNamed(t *testing.T) {
	for _, quality := range []hide.Quality{hide.Soft, hide.Prime} {
		z := hide.Zone{Quality: quality, Area: plane.Box(orb.Point{100, 10}, orb.Point{500, 80}), Turned: true, Grain: 30 * measure.Degree}
		all, _ := offcut(t, hide.Spec{Zones: []hide.Zone{z}})
		if want := quality.String() + " (grain turned 30°)"; !strings.Contains(all, want) {
			t.Errorf("found no %q in\n%s", want, all)
		}
	}
}
