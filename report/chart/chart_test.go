package chart

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"

	"strapwise/report"
)

// pages are charts of many shapes: one bar, many, parts of nothing, long names.
func pages() map[string]report.Page {
	r := rand.New(rand.NewPCG(4, 4))
	out := map[string]report.Page{}
	for n := 1; n <= 12; n += 3 {
		var bars []Bar
		for i := range n {
			b := Bar{Label: fmt.Sprintf("ash-%d", i), Note: fmt.Sprintf("%.2f", 100*r.Float64())}
			for k, name := range []string{"in pieces", "in flaws", "other waste", "back on the rack"} {
				b.Parts = append(b.Parts, Part{Name: name, Value: max(0, r.Float64()-0.1*float64(k)), Fill: report.Fill(1 + k)})
			}
			b.Parts[0].Value++
			bars = append(bars, b)
		}
		out[fmt.Sprintf("bars %d", n)] = Bars("where the leather went", "a plan", bars)
		out[fmt.Sprintf("columns %d", n)] = Columns("price against size", "an article", bars)
		counts := make([]int, 200)
		for i := range counts {
			counts[i] = int(float64(8*n) * (1 + 0.3*r.NormFloat64()))
		}
		out[fmt.Sprintf("histogram %d", n)] = Histogram("how many", "of 200", "sets", counts, 5*n, 11*n, []Mark{{"half give this or more", 8 * n}, {"9 in 10 give this or more", 5 * n}})
	}
	return out
}

// No text stands on another or leaves the paper.
func TestTextIsApart(t *testing.T) {
	for name, p := range pages() {
		var boxes []orb.Bound
		for _, item := range p.Items {
			text, ok := item.(report.Text)
			if !ok {
				continue
			}
			b := text.Bound()
			if b.Min[0] < 0 || b.Min[1] < 0 || b.Max[0] > p.Width || b.Max[1] > p.Height {
				t.Errorf("%s: %q leaves the paper", name, text)
			}
			for i, o := range boxes {
				if o.Min[0] < b.Max[0]-0.01 && b.Min[0] < o.Max[0]-0.01 && o.Min[1] < b.Max[1]-0.4 && b.Min[1] < o.Max[1]-0.4 {
					t.Errorf("%s: %q stands on text %d", name, text, i)
				}
			}
			boxes = append(boxes, b)
		}
	}
}

// filled are the areas drawn with a fill, by fill.
func filled(p report.Page) map[report.Fill]float64 {
	out := map[report.Fill]float64{}
	for _, item := range p.Items {
		if s, ok := item.(report.Shape); ok && s.Closed && s.Weight > 0 {
			b := orb.MultiPoint(s.Points).Bound()
			out[s.Fill] += (b.Max[0] - b.Min[0]) * (b.Max[1] - b.Min[1])
		}
	}
	return out
}

// What is drawn is as large as what it stands for.
func TestAreasAreInProportion(t *testing.T) {
	bars := []Bar{
		{Label: "a", Parts: []Part{{Name: "x", Value: 3, Fill: report.Solid}, {Name: "y", Value: 1, Fill: report.Hatch}}},
		{Label: "b", Parts: []Part{{Name: "x", Value: 1, Fill: report.Solid}, {Name: "y", Value: 1, Fill: report.Hatch}}},
	}
	for name, p := range map[string]report.Page{"bars": Bars("t", "", bars), "columns": Columns("t", "", bars)} {
		if f := filled(p); math.Abs(f[report.Solid]/f[report.Hatch]-2) > 1e-9 {
			t.Errorf("%s: solid to hatch is %g, expected 4 to 2", name, f[report.Solid]/f[report.Hatch])
		}
	}
	p := Histogram("t", "", "sets", []int{1, 2, 2, 3, 3, 3, 9, 9}, 2, 3, nil)
	if f := filled(p); math.Abs(f[report.Hatch]/f[report.Bare]-5.0/3) > 1e-9 {
		t.Errorf("histogram: hatched to white is %g, expected 5 to 3", f[report.Hatch]/f[report.Bare])
	}
}

func TestTicks(t *testing.T) {
	for most, want := range map[float64]float64{63: 70, 7: 7, 8: 8, 100: 100, 0.3: 0.3, 1: 1, 2.2: 2.5, 999: 1000} {
		got := ticks(most, 0.01)
		if last := got[len(got)-1]; math.Abs(last-want) > 1e-9 || len(got) < 4 || len(got) > 9 {
			t.Errorf("up to %g: %v, expected to end at %g", most, got, want)
		}
	}
	if got := ticks(0.02, 1); len(got) != 2 || got[1] != 1 {
		t.Errorf("got %v, expected 0 and 1", got)
	}
}
