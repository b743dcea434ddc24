package rack_test

import (
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/paulmach/orb"

	"strapwise/nest"
	"strapwise/nest/rack"
)

// Of a template the outline is in pieces, and what is round it in its rectangle scrap:
// twelve discs of 30 mm in rectangles of 30 by 30 from a strip of a sheet.
func TestTemplatesArePutAwayAsTheirOutlines(t *testing.T) {
	dir := shop(t, map[string]string{
		"orders.csv": "order,qty,pattern,width,size,leather\nA1,12,disc,1in,12in,strap\n",
		"workshop.toml": "[leathers.strap]\n[tools]\nmarks = \"1mm\"\ndeepest = \"0mm\"\n" +
			"[patterns.disc.pieces.disc]\ntemplate = \"disc.svg\"\nuse = \"face\"\ncut = \"knife\"\n",
		"disc.svg":     `<svg xmlns="http://www.w3.org/2000/svg" width="40mm" height="40mm" viewBox="0 0 40 40"><circle cx="20" cy="20" r="15"/></svg>`,
		"hides/a.toml": "leather = \"strap\"\nform = \"sheet\"\nunits = \"mm\"\ncost = 10\noutline = [[0,0],[360,0],[360,230],[0,230]]\n",
	})
	plan := laid(t, dir)
	// The drawing may be changed, or gone, by the time that the leather is cut.
	rules := []byte("[leathers.strap]\n[tools]\nmarks = \"1mm\"\n")
	if err := os.WriteFile(filepath.Join(dir, "workshop.toml"), rules, 0o644); err != nil {
		t.Fatal(err)
	}
	away := putAway(t, dir, plan)
	h := away.Hides[0]
	whole := int64(360 * 230)
	discs := 12 * math.Pi * 225
	if used := float64(h.Used.AreaMM2); used > discs || used < discs*0.99 || h.Pieces != 12 {
		t.Errorf("found %d pieces of %g mm², expected 12 of a little below %g", h.Pieces, used, discs)
	}
	rest := int64(0)
	for _, r := range h.Remnants {
		rest += r.AreaMM2
	}
	if h.Used.AreaMM2+rest+h.Scrap.AreaMM2 != whole || rest != 360*200 || h.Scrap.AreaMM2 < 360*30-int64(discs) {
		t.Errorf("found %d in pieces, %d in remnants and %d in scrap, expected %d together", h.Used.AreaMM2, rest, h.Scrap.AreaMM2, whole)
	}
}

// A plan whose template reaches where another piece is, is not what was cut.
func TestTemplatesThatShareLeatherAreNotPutAway(t *testing.T) {
	dir := shop(t, map[string]string{
		"orders.csv": "order,qty,pattern,width,size,leather\nA1,2,disc,1in,12in,strap\n",
		"workshop.toml": "[leathers.strap]\n[tools]\nmarks = \"1mm\"\n" +
			"[patterns.disc.pieces.disc]\ntemplate = \"disc.svg\"\nuse = \"face\"\ncut = \"knife\"\n",
		"disc.svg":     `<svg xmlns="http://www.w3.org/2000/svg" width="40mm" height="40mm" viewBox="0 0 40 40"><circle cx="20" cy="20" r="15"/></svg>`,
		"hides/a.toml": "leather = \"strap\"\nform = \"sheet\"\nsize = [\"360mm\", \"230mm\"]\n",
	})
	plan := laid(t, dir)
	for i, p := range plan.Pieces[0].Outline {
		plan.Pieces[0].Outline[i] = orb.Point{p[0] + 25, p[1]}
	}
	plan.Pieces[0].FromMM += 25
	plan.Pieces[0].ToMM += 25
	refused(t, dir, "overlap: ", func(r *rack.Rack) error {
		_, err := r.PutAway(today, plan, "00aa00aa")
		return err
	})
	plan = laid(t, dir)
	plan.Pieces[0].Outline[0], plan.Pieces[0].Outline[20] = plan.Pieces[0].Outline[20], plan.Pieces[0].Outline[0]
	refused(t, dir, nest.RuleShape+": ", func(r *rack.Rack) error {
		_, err := r.PutAway(today, plan, "00aa00aa")
		return err
	})
}
