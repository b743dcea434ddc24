package intake

import (
	"strings"
	"testing"
	"time"
)

func TestMeasuresAreReadAsTheyWereTold(t *testing.T) {
	m := Measures{
		Leather: `bridle "tan"`, Form: "bend", Size: "52in × 2ft 2in", Trim: "1/4in", Substance: "9oz",
		Cost: "96.50", Bought: "2027-02-11", Supplier: "Nether & Son", Grade: "II",
	}
	h := read(t, string(m.File("a note")))
	box := h.Outline().Bound()
	if h.Leather() != m.Leather || h.Form() != "bend" || box.Max[0] != 52*25.4 || box.Max[1] != 26*25.4 || h.Trim() != 25.4/4 || h.Readings()[0].MM != 9*25.4/64 ||
		h.Cost().String() != "96.5" || h.Bought().Format(time.DateOnly) != m.Bought || h.Supplier() != m.Supplier || h.Grade() != "II" {
		t.Errorf("read as %+v", h)
	}
	m = Measures{Leather: "a", Form: "side", Stations: []string{"0in:20in", "10in : 1/2in : 22in"}, Price: "7.20/sqft", Area: "2 1/4 sqft"}
	h = read(t, string(m.File("a note")))
	if got := h.Outline().Corner(1); got[0] != 254 || got[1] != 12.7 || h.Cost().String() != "16.2" {
		t.Errorf("read as %+v", h)
	}
}

// What is told wrongly is refused, whatever it is.
func TestMeasuresToldWrongly(t *testing.T) {
	sound := Measures{Leather: "a", Form: "side", Size: "52in x 26in"}
	for want, change := range map[string]func(*Measures){
		"size: found 1 length":            func(m *Measures) { m.Size = "52in" },
		"size: found 3 lengths":           func(m *Measures) { m.Size = "52in x 26in x 1in" },
		"a number without a unit":         func(m *Measures) { m.Size = "52 x 26" },
		"cost: found \"much\"":            func(m *Measures) { m.Cost = "much" },
		"bought: found text":              func(m *Measures) { m.Bought = "soon" },
		"stations[0]: found no at or":     func(m *Measures) { m.Size, m.Stations = "", []string{"12in", "1in:2in"} },
		"stations[1].at: \"1\"":           func(m *Measures) { m.Size, m.Stations = "", []string{"0in:12in", "1:2in:3in:4in"} },
		"supplier: found \"a\\nb\"":       func(m *Measures) { m.Supplier = "a\nb" },
		"found stations and size":         func(m *Measures) { m.Stations = []string{"0in:2in"} },
		"form: found \"si\\\"de\\ncost=1": func(m *Measures) { m.Form = "si\"de\ncost=1" },
	} {
		m := sound
		change(&m)
		_, err := Read("hides/a.toml", m.File("a note"), "a", nil)
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("found %v, expected %s", err, want)
		}
	}
}
