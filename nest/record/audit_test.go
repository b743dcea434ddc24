package record

import (
	"fmt"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"strapwise/hide"
)

// seen is a file on the rack of a hide of so many mm².
func seen(t *testing.T, name, file string, area float64, change func(*hide.Spec)) Seen {
	t.Helper()
	s := hide.Spec{Name: name, Leather: "bridle, tan", Form: "remnant", Outline: []orb.Point{{0, 0}, {area / 10, 0}, {area / 10, 10}, {0, 10}}, Cost: paid("38.60").Decimal}
	if change != nil {
		change(&s)
	}
	h, err := hide.New(s)
	if err != nil {
		t.Fatal(err)
	}
	return Seen{Hide: h, Name: name, Place: "hides/" + name + ".toml", File: file}
}

func audit(t *testing.T, j *Journal, rack, kept []Seen) (wrong, notes []string) {
	t.Helper()
	l, err := j.Ledger()
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range l.Audit(rack, kept) {
		if f.Do == "" {
			t.Errorf("%s: does not say what to do", f)
		}
		if f.Note {
			notes = append(notes, f.String())
		} else {
			wrong = append(wrong, f.String())
		}
	}
	return wrong, notes
}

func TestAuditHoldsTheRecordAgainstTheFiles(t *testing.T) {
	j := grown([]Line{bend()}, cutUp())
	rest := seen(t, "ash-3-r1", "bb", 400, nil)
	keptBend := Seen{Name: "ash-3", File: "aa"}
	for _, c := range []struct {
		rule       string
		rack, kept []Seen
		wrong      string
		note       string
	}{
		{"all as it was", []Seen{rest}, []Seen{keptBend}, "", ""},
		{"a file gone", nil, []Seen{keptBend}, "hides/ash-3-r1.toml: the hide is on the rack by the record, and its file is not there", ""},
		{"a flaw added", []Seen{seen(t, "ash-3-r1", "cc", 400, nil)}, []Seen{keptBend}, "", "hides/ash-3-r1.toml: the file has changed since it was recorded; its area, its cost and what it is are the same"},
		{"rounded", []Seen{seen(t, "ash-3-r1", "cc", 499, nil)}, []Seen{keptBend}, "", "hides/ash-3-r1.toml: the file has changed"},
		{"smaller", []Seen{seen(t, "ash-3-r1", "cc", 299, nil)}, []Seen{keptBend}, "hides/ash-3-r1.toml: the file has changed since it was recorded: its area is 2 cm², recorded as 4 cm²", ""},
		{"dearer", []Seen{seen(t, "ash-3-r1", "cc", 400, func(s *hide.Spec) { s.Cost = paid("38.61").Decimal })}, []Seen{keptBend}, "its cost is 38.61, recorded as 38.60", ""},
		{"other leather", []Seen{seen(t, "ash-3-r1", "cc", 400, func(s *hide.Spec) { s.Leather = "calf" })}, []Seen{keptBend}, `its leather is "calf", recorded as "bridle, tan"`, ""},
		{"another supplier", []Seen{seen(t, "ash-3-r1", "cc", 400, func(s *hide.Spec) { s.Supplier = "x" })}, []Seen{keptBend}, `its supplier is "x", recorded as ""`, ""},
		{"back from the knife", []Seen{rest, seen(t, "ash-3", "aa", 1000, nil)}, []Seen{keptBend}, "hides/ash-3.toml: the hide left the rack with entry 2 (cut), and there is a file of its name again", ""},
		{"a new file", []Seen{rest, seen(t, "elm", "dd", 1000, nil)}, []Seen{keptBend}, "", "hides: not in the record yet: elm"},
		{"a kept file gone", []Seen{rest}, nil, "", "cut/ash-3.toml: the file of a hide that was cut (entry 2) is not there"},
		{"a kept file of another hide", []Seen{rest}, []Seen{keptBend, {Name: "elm", Place: "cut/elm.toml"}}, "cut/elm.toml: the file is kept of a hide that was cut, and the record does not say so", ""},
		{"a kept file changed", []Seen{rest}, []Seen{{Name: "ash-3", File: "ee"}}, "cut/ash-3.toml: the file of a hide that was cut (entry 2) has changed since", ""},
	} {
		wrong, notes := audit(t, j, c.rack, c.kept)
		for _, x := range []struct {
			found []string
			want  string
		}{{wrong, c.wrong}, {notes, c.note}} {
			if x.want == "" && len(x.found) > 0 || x.want != "" && (len(x.found) != 1 || !strings.Contains(x.found[0], x.want)) {
				t.Errorf("%s: found %q, expected %q", c.rule, x.found, x.want)
			}
		}
	}
}

// A journal that does not add up is found, though its seals were set anew.
func TestAuditAddsUp(t *testing.T) {
	rack, kept := []Seen{seen(t, "ash-3-r1", "bb", 400, nil)}, []Seen{{Name: "ash-3", File: "aa"}}
	for _, c := range []struct {
		rule  string
		spoil func(l []Line)
		want  string
	}{
		{"a square millimetre lost", func(l []Line) { l[1].AreaMM2-- }, "journal.csv, entry 2: ash-3 had 1000 mm², and its pieces, remnants and scrap have 999"},
		{"a penny gained", func(l []Line) { l[3].Cost = paid("9.66") }, "journal.csv, entry 2: ash-3 cost 96.50, and its pieces, remnants and scrap cost 96.51"},
		{"more cut than there was", func(l []Line) { l[0].AreaMM2, l[3].AreaMM2 = 1001, 101 }, "journal.csv, entry 2: ash-3 is cut as 1001 mm² for 96.50, and came as 1000 mm² for 96.50"},
		{"a cost forgotten", func(l []Line) { l[3].Cost.Valid, l[3].Cost.Decimal = false, paid("0.00").Decimal }, "and its pieces, remnants and scrap cost 86.85"},
	} {
		lines := cutUp()
		c.spoil(lines)
		wrong, _ := audit(t, grown([]Line{bend()}, lines), rack, kept)
		if len(wrong) == 0 || !strings.Contains(wrong[0], c.want) {
			t.Errorf("%s: found %q, expected %s", c.rule, wrong, c.want)
		}
	}
}

func TestSums(t *testing.T) {
	gone := Line{What: Gone, Hide: "ash-3-r1", AreaMM2: 400, Cost: paid("38.60")}
	smaller := Line{What: Changed, Hide: "ash-3", Leather: "bridle, tan", Form: "bend", AreaMM2: 900, Cost: paid("90.00"), File: "zz"}
	for want, j := range map[string]*Journal{
		"1000 96.5 = 500 48.25 + 100 9.65 + 400 38.6 + 0 0": grown([]Line{bend()}, cutUp()),
		"1000 96.5 = 500 48.25 + 100 9.65 + 0 0 + 400 38.6": grown([]Line{bend()}, cutUp(), []Line{gone}),
		"900 90 = 0 0 + 0 0 + 900 90 + 0 0":                 grown([]Line{bend()}, []Line{smaller}),
	} {
		l, err := j.Ledger()
		if err != nil {
			t.Fatal(err)
		}
		all := l.Bought()
		if len(all) != 1 || all[0].Hide.Name != "ash-3" {
			t.Fatalf("bought: %v", all)
		}
		s := all[0].Sums
		got := fmt.Sprintf("%s = %s + %s + %s + %s", inShort(s.Came), inShort(s.Pieces), inShort(s.Scrap), inShort(s.OnRack), inShort(s.Gone))
		if got != want || !s.Came.Equal(s.Went()) {
			t.Errorf("found %s, expected %s", got, want)
		}
	}
}

func inShort(a Amount) string { return fmt.Sprint(a.AreaMM2, " ", a.Cost) }
