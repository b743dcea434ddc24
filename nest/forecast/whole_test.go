package forecast

import (
	"math"
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

// drawsEnv is how many hides TestRealHidesLieInTheBand draws for each; to measure by.
const drawsEnv = "STRAPWISE_DRAWS"

// seedEnv is the first of the seeds that it draws by.
const seedEnv = "STRAPWISE_SEED"

func number(name string, otherwise int) int {
	if n, err := strconv.Atoi(os.Getenv(name)); err == nil {
		return n
	}
	return otherwise
}

// What six real hides give in collars and in belts lies in the band in which nine of ten
// should, forecast for their size and share of flaws: by the outlines and flaws of the
// other five, and by models measured on the other five. Each time it must hold that
//
//   - of twelve yields at most three lie outside: 1.2 are to be expected, four or more
//     once in forty times;
//   - they stand high in their forecasts as often as low: the mean of the shares that give
//     less has the deviation 1/√(12 × 6) about a half, if both yields of a hide go together, and
//     may be 1.6 of it off, one time in ten;
//   - bands are narrow and few are missed by much: the interval score (Gneiting and Raftery,
//     Journal of the American Statistical Association 102, 2007, section 6.2), here against
//     the middle of the band, is 0.28 as measured, or little more: a floor to be lowered as forecasts
//     become better, not a test of chance. What a band misses by counts 20 times what it is wider by.
func TestRealHidesLieInTheBand(t *testing.T) {
	if testing.Short() {
		t.Skip("lays hundreds of whole hides")
	}
	draws := number(drawsEnv, 19) // of 19, as many lie below the least as above the most: 1 in 20
	seed := number(seedEnv, 1)
	most := 0.32
	if draws != 19 || seed != 1 {
		most = 0.4 // other draws, other bands
	}
	hides := wholeHides(t)
	belt := strap(0, 44*in, 1.5*in)
	for by, world := range map[string]func(others []*hide.Hide) *World{
		"hides":  func(others []*hide.Hide) *World { return NewWorld(firm(), others) },
		"models": func(others []*hide.Hide) *World { return NewWorld(measured(others), nil) },
	} {
		outside, place, width, score := 0, 0.0, 0.0, 0.0
		for i, h := range hides {
			w := world(slices.Delete(slices.Clone(hides), i, i+1))
			for what, article := range map[string]nest.Order{"collars": collar(0), "belts": belt} {
				b := bandFor(t, w, h, article, bench(), draws, uint64(seed))
				t.Logf("by the other %s, %s: %s %d, forecast %d to %d; %.0f %% give less", by, h.Name(), what, b.got, b.lo, b.hi, 100*b.place)
				if b.missed() > 0 {
					outside++
				}
				place += b.place / 12
				width += float64(b.hi-b.lo) / b.middle / 12
				score += (float64(b.hi-b.lo) + 2/0.1*float64(b.missed())) / b.middle / 12
			}
		}
		t.Logf("by the other %s: %d of 12 lie in the band, which is %.0f %% of its middle wide; %.0f %% give less; score %.2f", by, 12-outside, 100*width, 100*place, score)
		if outside > 3 || math.Abs(place-0.5) > 1.6/math.Sqrt(12*6) || score > most {
			t.Errorf("by the other %s: %d of 12 lie outside the band, %.0f %% give less, the score is %.2f", by, outside, 100*place, score)
		}
	}
}
