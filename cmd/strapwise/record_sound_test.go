package main

import (
	"math"
	"path/filepath"
	"slices"
	"testing"

	"github.com/peterstace/simplefeatures/geom"

	"strapwise/hide"
	"strapwise/hide/intake"
	"strapwise/hide/plane"
	"strapwise/nest"
	"strapwise/nest/rack"
	"strapwise/nest/record"
)

// sound looks at a hide that was cut with other eyes: those of the overlay library,
// on the outline of the file that is kept, and of plain sums.
func (b *benchman) sound(plan nest.Plan, c rack.CutHide) {
	whole := b.outline("cut", c.Hide)
	lay := plan.Hides[slices.IndexFunc(plan.Hides, func(l nest.HideLay) bool { return l.Hide == c.Hide })]
	used := 0.0
	for _, p := range plan.Pieces {
		if p.Hide == c.Hide {
			ring, err := plane.NewRing(p.Outline)
			if err != nil {
				b.t.Fatal(err)
			}
			used += ring.Polygon().Area()
		}
	}
	near := func(what string, got int64, want float64, within float64) {
		if math.Abs(float64(got)-want) > within {
			b.t.Errorf("%s: %s: %d mm², expected %.1f", c.Hide, what, got, want)
		}
	}
	near("whole", c.Whole.AreaMM2, whole.Area(), record.AreaTol)
	near("pieces", c.Used.AreaMM2, used, 1+float64(c.Pieces)/2+used/whole.Area()*record.AreaTol)
	// Of what lies beyond the bands, no more is scrap than what the plan has in no
	// remnant, and remnants that are small.
	rest := less(b.t, whole.AsGeometry(), bandsOf(lay, whole))
	for _, r := range c.Remnants {
		b.did["remnants put back"]++
		outline := b.outline("hides", r.Hide)
		b.remnant(r.Hide, outline, whole, plan)
		near(r.Hide, r.AreaMM2, outline.Area(), 2+r2(outline, whole)*record.AreaTol)
		rest = less(b.t, rest, outline)
	}
	if left := rest.Area(); float64(c.Scrap.AreaMM2)+1+record.AreaTol < left {
		b.t.Errorf("%s: %.0f mm² beyond the bands do not go back, and %d are scrap", c.Hide, left, c.Scrap.AreaMM2)
	}
	for _, outline := range lay.Remnants { // which leave nothing there that is worth a place
		ring, err := plane.NewRing(outline)
		if err != nil {
			b.t.Fatal(err)
		}
		rest = less(b.t, rest, ring.Polygon())
	}
	for _, part := range rest.Dump() {
		if core, err := geom.Buffer(part, -1.05*nest.MinRemnantDepth/2); part.Area() > 1.05*nest.MinRemnantArea && (err != nil || !core.IsEmpty()) {
			b.t.Errorf("%s: %.0f mm² beyond the bands are in no remnant", c.Hide, part.Area())
		}
	}
	if sum := c.Used.AreaMM2 + c.Scrap.AreaMM2; sum+restOf(c) != c.Whole.AreaMM2 {
		b.t.Errorf("%s: the parts have %d mm², the whole %d", c.Hide, sum+restOf(c), c.Whole.AreaMM2)
	}
}

// less is what a shape leaves of another.
func less(t testing.TB, of geom.Geometry, taken geom.Polygon) geom.Geometry {
	left, err := geom.Difference(of, taken.AsGeometry())
	if err != nil {
		t.Fatal(err)
	}
	return left
}

func r2(part, whole geom.Polygon) float64 { return part.Area() / whole.Area() }

func restOf(c rack.CutHide) int64 {
	sum := int64(0)
	for _, r := range c.Remnants {
		sum += r.AreaMM2
	}
	return sum
}

// bandsOf is all from the struck edge to the last band, from one end of the hide
// to the other, by the figures of the plan.
func bandsOf(l nest.HideLay, whole geom.Polygon) geom.Polygon {
	far := 0.0
	for _, band := range l.Bands {
		far = max(far, band.FromMM+band.DepthMM)
	}
	f := plane.NewFrame(l.Strike.From, [2]float64{l.Strike.To[0] - l.Strike.From[0], l.Strike.To[1] - l.Strike.From[1]})
	const beyond = 1e5
	ring, err := plane.NewRing(f.Rect(plane.Span{Lo: -beyond, Hi: beyond}, plane.Span{Lo: 0, Hi: far}))
	if err != nil {
		panic(err)
	}
	return ring.Polygon()
}

// remnant looks at what has come back on the rack: no crossed edges, no sliver, all
// within the hide that it was cut from and clear of what was cut from that.
func (b *benchman) remnant(name string, outline, whole geom.Polygon, plan nest.Plan) {
	if err := outline.Validate(); err != nil {
		b.t.Errorf("%s: %v", name, err)
	}
	smooth, err := outline.AsGeometry().Simplify(1)
	if err != nil {
		b.t.Errorf("%s: %v", name, err)
		return
	}
	if core, err := geom.Buffer(smooth, -12); err != nil || core.IsEmpty() {
		b.t.Errorf("%s: a sliver: nowhere 24 mm deep", name)
	}
	if out, err := geom.Difference(outline.AsGeometry(), whole.AsGeometry()); err != nil || out.Area() > 2 {
		b.t.Errorf("%s: %.1f mm² lie beyond the hide", name, out.Area())
	}
	from := b.spec("hides", name).From()
	for _, p := range slices.Concat(plan.Pieces, plan.Spare, plan.Spoilt) {
		if ring, err := plane.NewRing(p.Outline); p.Hide == from && err == nil {
			if both, err := geom.Intersection(outline.AsGeometry(), ring.Polygon().AsGeometry()); err != nil || both.Area() > 0.5 {
				b.t.Errorf("%s: shares %.2f mm² with a piece", name, both.Area())
			}
		}
	}
}

func (b *benchman) spec(folder, name string) *hide.Hide {
	b.t.Helper()
	file := filepath.Join(b.dir, folder, name+".toml")
	h, err := intake.Read(file, readFile(b.t, file), name, nil)
	if err != nil {
		b.t.Fatal(err)
	}
	return h
}

func (b *benchman) outline(folder, name string) geom.Polygon {
	return b.spec(folder, name).Outline().Polygon()
}
