package report

import (
	"math"
	"testing"

	"github.com/paulmach/orb"

	"strapwise/nest"
	"strapwise/report/internal/made"
)

// The layers of a plot are those of the hide's file and of the plan, in their own
// coordinates; every end of a piece that is cut lies on a cross-cut.
func TestPlotIsThePlan(t *testing.T) {
	for seed := range uint64(30) {
		j, p, err := made.Random(seed)
		if err != nil {
			t.Fatal(err)
		}
		h := j.Hides[0]
		plot, err := Plotted(j, p, h.Name())
		if err != nil {
			t.Fatal(err)
		}
		l, err := readLay(j, p, h.Name(), inches)
		if err != nil {
			t.Fatal(err)
		}
		paths := map[string][]Path{}
		for _, layer := range plot.Layers {
			paths[layer.Name] = layer.Paths
		}
		if !sameRing(paths["OUTLINE"][0].Points, h.Outline().Corners()) {
			t.Errorf("plan %d: the outline is another", seed)
		}
		if len(paths["ZONES"]) != len(h.Zones()) || len(paths["FLAWS"]) < len(h.Flaws()) {
			t.Errorf("plan %d: found %d zones and %d flaws, the hide has %d and %d", seed, len(paths["ZONES"]), len(paths["FLAWS"]), len(h.Zones()), len(h.Flaws()))
		}
		for i, s := range l.cuts.Strips {
			if !sameRing(paths["STRIPS"][i].Points, s.Outline) {
				t.Errorf("plan %d: strip %d is another", seed, s.N)
			}
		}
		for i, piece := range l.inOrder() {
			if !sameRing(paths["PIECES"][i].Points, piece.Outline) {
				t.Errorf("plan %d: %s is another", seed, label(piece))
			}
		}
		if len(paths["PIECES"]) != l.count() || len(paths["REMNANTS"]) != len(l.cuts.Remnants) {
			t.Errorf("plan %d: found %d pieces and %d remnants", seed, len(paths["PIECES"]), len(paths["REMNANTS"]))
		}
		for n, on := range l.pieces {
			y := l.strips[n].FromMM + l.strips[n].WidthMM/2
			for _, piece := range on {
				if end := l.frame.OutOf(orb.Point{piece.ToMM, y}); !onSome(paths["CROSS-CUTS"], end) {
					t.Errorf("plan %d: no cross-cut at the end of %s", seed, label(piece))
				}
				if start := l.frame.OutOf(orb.Point{piece.FromMM, y}); piece.FromMM > sameMark && !onSome(paths["CROSS-CUTS"], start) {
					t.Errorf("plan %d: no cross-cut where %s begins", seed, label(piece))
				}
			}
		}
	}
}

func sameRing(a, b []orb.Point) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i] != b[i] {
			return false
		}
	}
	return true
}

// onSome reports whether a place lies on one of the lines.
func onSome(lines []Path, at orb.Point) bool {
	for _, l := range lines {
		a, b := l.Points[0], l.Points[1]
		long := math.Hypot(b[0]-a[0], b[1]-a[1])
		along := ((at[0]-a[0])*(b[0]-a[0]) + (at[1]-a[1])*(b[1]-a[1])) / long
		off := ((at[0]-a[0])*(b[1]-a[1]) - (at[1]-a[1])*(b[0]-a[0])) / long
		if math.Abs(off) < sameMark && along > -sameMark && along < long+sameMark {
			return true
		}
	}
	return false
}

// Of blocks, the cuts between them and within them are all there, each once.
func TestCrossCutsOfBlocks(t *testing.T) {
	j, p := blocksPlan(t, 0)
	plot, err := Plotted(j, p, "s")
	if err != nil {
		t.Fatal(err)
	}
	rips := 0 // bands, and those strips of blocks that do not end with their band
	for _, b := range p.Hides[0].Bands {
		rips++
		for _, k := range b.Blocks {
			for _, n := range k.Strips {
				if s := p.Hides[0].Strips[n-1]; !near(s.FromMM+s.WidthMM, b.FromMM+b.DepthMM) {
					rips++
				}
			}
		}
	}
	if got := len(plot.Layers[layerCrossCuts].Paths); got != nest.Cuts(p)-rips+len(p.Hides[0].Bands) { // with the squared end of each band
		t.Errorf("found %d cross-cuts, expected %d", got, nest.Cuts(p)-rips+len(p.Hides[0].Bands))
	}
}
