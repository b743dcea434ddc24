package forecast

import (
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"testing"

	"strapwise/hide"
	"strapwise/hide/chance"
	"strapwise/hide/intake"
	"strapwise/nest"
)

// wholeHides are six whole hides as digitised in a leather cutting room; see
// testdata/whole/SOURCES.md. Which of it is soft is left out: their bellies are not
// marked, and the few poorer places are not what the models call soft.
func wholeHides(t *testing.T) []*hide.Hide {
	t.Helper()
	files, err := filepath.Glob("testdata/whole/*.toml")
	if err != nil || len(files) != 6 {
		t.Fatalf("found %d hides, expected 6; %v", len(files), err)
	}
	var out []*hide.Hide
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		h, err := intake.Read(file, data, filepath.Base(file), nil)
		if err != nil {
			t.Fatal(err)
		}
		s := h.Spec()
		s.Leather, s.Zones = "bridle", nil
		if h, err = hide.New(s); err != nil {
			t.Fatal(err)
		}
		out = append(out, h)
	}
	return out
}

// firm is the models with hides that are firm all over.
func firm() chance.Models {
	m := chance.BuiltIn()
	f := m.Forms["hide"]
	f.Firm = 1
	m.Forms["hide"] = f
	return m
}

// drawsEnv is how many hides TestRealHidesLieInTheBand draws for each, and has it ask the
// models, too; to measure by.
const drawsEnv = "STRAPWISE_DRAWS"

// What six real hides give in collars and in belts lies in the band in which nine of
// ten should, forecast for their size and share of flaws by the outlines and flaws of
// the other five. Of twelve, 1.2 are to be expected outside, and four or more once in
// forty times.
func TestRealHidesLieInTheBand(t *testing.T) {
	if testing.Short() {
		t.Skip("lays hundreds of whole hides")
	}
	draws, models := 19, false // of 19, as many lie below the least as above the most: 1 in 20
	if n, err := strconv.Atoi(os.Getenv(drawsEnv)); err == nil {
		draws, models = n, true
	}
	hides := wholeHides(t)
	band := func(by string, article nest.Order, others func(i int) []*hide.Hide) (outside int) {
		for i, h := range hides {
			if how := yieldIn(t, NewWorld(firm(), others(i)), h, article, bench(), draws); how != "" {
				t.Logf("%s, %s: %s", by, h.Name(), how)
				outside++
			}
		}
		t.Logf("%s: %d of 6 lie in the band", by, 6-outside)
		return outside
	}
	belt := strap(0, 44*in, 1.5*in)
	rest := func(i int) []*hide.Hide { return slices.Delete(slices.Clone(hides), i, i+1) }
	if n := band("collars by the others", collar(0), rest) + band("belts by the others", belt, rest); n > 3 {
		t.Errorf("%d of 12 lie outside the band", n)
	}
	if none := func(int) []*hide.Hide { return nil }; models {
		band("collars by the models", collar(0), none)
		band("belts by the models", belt, none)
	}
}
