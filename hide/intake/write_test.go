package intake

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"
	"github.com/shopspring/decimal"

	"strapwise/hide"
	"strapwise/hide/plane"
)

// differ tells what of two hides is not the same, within what Write rounds.
func differ(a, b *hide.Hide) string {
	near := cmp.Options{
		cmp.Comparer(func(x, y float64) bool { return math.Abs(x-y) <= 0.0000501 || math.Abs(x-y) <= 1e-12*math.Abs(x) }),
		cmp.Comparer(func(p, q orb.Point) bool { return math.Abs(p[0]-q[0])+math.Abs(p[1]-q[1]) < 0.000101 }),
		cmp.Comparer(func(x, y decimal.Decimal) bool { return x.Sub(y).Abs().LessThanOrEqual(decimal.New(5, -7)) }),
		cmp.Comparer(func(x, y plane.Ring) bool {
			if x.Len() != y.Len() {
				return false
			}
			for i := range x.Len() {
				if p, q := x.Corner(i), y.Corner(i); math.Abs(p[0]-q[0])+math.Abs(p[1]-q[1]) > 0.000101 {
					return false
				}
			}
			return true
		}),
	}
	x, y := a.Spec(), b.Spec()
	y.System = x.System // what is written is in millimetres
	if a.Outline().Len() != b.Outline().Len() {
		return "the outline"
	}
	x.Outline, y.Outline = a.Outline().Corners(), b.Outline().Corners()
	if len(x.Readings) == 1 {
		x.Readings[0].At, y.Readings[0].At = [2]float64{}, [2]float64{} // it holds everywhere
	}
	return cmp.Diff(x, y, near)
}

func TestWriteAndReadAgain(t *testing.T) {
	texts := map[string]string{
		"everything": whole,
		"a remnant":  "leather = 'a \"b\" \\ ö'\nform = 'remnant'\nfrom = 'ash-3'\nput_away = 2027-03-02\nsupplier = 'Nether & Son'\ngrade = 'II'\nunits = 'in'\noutline = [[0,0],[10.123456789,0],[10,-3.3]]\nsubstance = [[1,1,'9oz'],[100,50,3.7]]\ncost = 12.1\n",
		"a price":    "leather = 'a'\nform = 'skin'\nsize = ['52in','26in']\narea = '22³'\nprice = '7.2/sqft'\n",
		"a thin cut": "leather = 'a'\nform = 'skin'\nunits = 'mm'\noutline = [[0,0],[10,0],[10,10],[5.00001,0.00002],[5,0.00001],[4.99999,0.00002],[0,10]]\n",
	}
	files, err := filepath.Glob("../../testdata/demo/hides/*.toml")
	if err != nil || len(files) < 6 {
		t.Fatal(files, err)
	}
	for _, f := range files {
		data, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		texts[f] = string(data)
	}
	for name, text := range texts {
		h := read(t, text)
		data := Write(h, "what is left of ash-3")
		if !strings.HasPrefix(string(data), "# what is left of ash-3\nleather = ") {
			t.Errorf("%s: begins with %.60s", name, data)
		}
		if what := differ(h, read(t, string(data))); what != "" {
			t.Errorf("%s: %s", name, what)
		}
	}
}
