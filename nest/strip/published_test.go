package strip_test

import (
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/paulmach/orb"

	"strapwise/hide"
	"strapwise/hide/plane"
	"strapwise/nest"
	"strapwise/nest/strip"
)

// published reads a file of published cases; testdata/SOURCES.md says whose.
func published[T any](t *testing.T, file string) []T {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("testdata", file))
	if err != nil {
		t.Fatal(err)
	}
	var all []T
	if err := json.Unmarshal(data, &all); err != nil {
		t.Fatal(err)
	}
	return all
}

// cutting is a published case as a job: a sheet without grain, marks of 1 mm,
// a cutter that needs no grip and takes any width.
type cutting struct {
	length, depth float64
	deepest       float64 // band of several strips; 0: plain strips
	holes         []plane.Ring
	pieces        []cutPiece
}

type cutPiece struct {
	length, width, worth float64
	copies               int
}

// turned is the case with its axes exchanged: strips run the other way.
func (c cutting) turned() cutting {
	out := cutting{length: c.depth, depth: c.length}
	for _, h := range c.holes {
		b := h.Bound()
		out.holes = append(out.holes, plane.Box(orb.Point{b.Min[1], b.Min[0]}, orb.Point{b.Max[1], b.Max[0]}))
	}
	for _, p := range c.pieces {
		p.length, p.width = p.width, p.length
		out.pieces = append(out.pieces, p)
	}
	return out
}

func (c cutting) job(t *testing.T) nest.Job {
	t.Helper()
	s := hide.Spec{Name: "sheet", Leather: "sheet", Form: "sheet", Outline: plane.Box(orb.Point{}, orb.Point{c.length, c.depth}).Corners()}
	for _, h := range c.holes {
		s.Flaws = append(s.Flaws, hide.Flaw{Kind: "hole", Patch: &h})
	}
	h, err := hide.New(s)
	if err != nil {
		t.Fatal(err)
	}
	// An angle of 0: the published cases are not cut askew.
	j := nest.Job{
		Hides: []*hide.Hide{h},
		Uses:  map[string]hide.Use{"any": {Name: "any", Quality: hide.Firm}},
		Tools: nest.Tools{Mark: 1, CutterMin: 1, CutterMax: max(c.length, c.depth), Deepest: c.deepest, Part: 1},
	}
	for i, p := range c.pieces {
		j.Orders = append(j.Orders, nest.Order{
			ID: fmt.Sprintf("P%d", i+1), FirstSet: 1, Qty: p.copies, Worth: p.worth,
			Parts: []nest.Part{{Name: "main", Leather: "sheet", Use: "any", Length: p.length, Width: p.width, Count: 1}},
		})
	}
	return j
}

// lay plans the case and checks the plan.
func (c cutting) lay(t *testing.T, steps int) nest.Result {
	t.Helper()
	job := c.job(t)
	plan, err := strip.Lay(context.Background(), job, strip.Options{Seed: 1, Steps: steps})
	if err != nil {
		t.Fatal(err)
	}
	for _, v := range nest.Check(job, plan) {
		t.Error(v)
	}
	return plan.Result
}
