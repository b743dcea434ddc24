package strip_test

import (
	"context"
	"fmt"
	"os/exec"
	"slices"
	"testing"

	"github.com/paulmach/orb"

	"strapwise/hide"
	"strapwise/nest"
	"strapwise/nest/strip"
)

// exactSteps are those of each lay.
const exactSteps = strip.DefaultSteps

// Seeds of the cases. Those of blocks are few of many that cbc solves in a
// third of a second; in the first fourteen, blocks give more than plain strips.
var (
	plainSeeds = func() (all []uint64) {
		for seed := range uint64(36) {
			all = append(all, seed)
		}
		return all
	}()
	gainSeeds  = []uint64{3, 9, 10, 12, 22, 24, 26, 33, 45, 47, 48, 57, 62, 71}
	blockSeeds = append(gainSeeds, 1, 4, 5, 11, 13, 15, 21, 25, 28, 29, 31, 38, 40, 41, 44, 49, 52, 56)
)

// shortOf are the seeds whose optimum the search misses, for plain strips and
// for blocks.
var shortOf = map[bool][]uint64{false: {57}}

func seedsOf(plain bool) []uint64 {
	if plain {
		return plainSeeds
	}
	return blockSeeds
}

// TestExactCasesVary: the cases hold what makes lays hard, each several times.
func TestExactCasesVary(t *testing.T) {
	for _, plain := range []bool{true, false} {
		seeds := seedsOf(plain)
		seen := map[string]int{}
		note := func(what string, is bool) {
			if is {
				seen[what]++
			}
		}
		for _, seed := range seeds {
			e := exactCase(t, seed, plain)
			usesOf := map[float64]map[string]bool{} // by width
			sets := false
			for _, o := range e.job.Orders {
				sets = sets || len(o.Parts) > 1
				for _, p := range o.Parts {
					if usesOf[p.Width] == nil {
						usesOf[p.Width] = map[string]bool{}
					}
					usesOf[p.Width][p.Use] = true
				}
			}
			shared := false
			for _, uses := range usesOf {
				shared = shared || len(uses) > 1
			}
			flaws, zones, readings := 0, 0, 0
			for _, h := range e.hides {
				flaws, zones, readings = flaws+len(h.flaws), zones+len(h.zones), readings+len(h.readings)
			}
			note("sets", sets)
			note("several uses in a width", shared)
			note("two hides", len(e.hides) > 1)
			note("flaws", flaws > 0)
			note("zones", zones > 0)
			note("readings", readings > 0)
		}
		if len(seeds) < 30 {
			t.Errorf("%d cases, want 30 or more", len(seeds))
		}
		for _, what := range []string{"sets", "several uses in a width", "two hides", "flaws", "zones", "readings"} {
			if seen[what] < 8 {
				t.Errorf("plain %v: %d of %d cases have %s, want 8", plain, seen[what], len(seeds), what)
			}
		}
	}
}

// TestProgramByHand: optima that can be seen, in marks, on sheets without flaw
// but for one stroke.
//
//	┌──┬──┐   a block of one wide piece beside a block   ┌─────┐
//	│  ├──┤   of two narrow ones; strips over the whole  ├~~~~~┤ a stroke one mark deep
//	└──┴──┘   sheet take only one sort                   └─────┘
func TestProgramByHand(t *testing.T) {
	solver := cbc(t)
	type piece struct {
		length, width, qty int
		worth              float64
	}
	for _, tt := range []struct {
		what          string
		long, deep    int
		stroke        bool // from mark 2 to 3 of the depth
		pieces        []piece
		plain, blocks float64
	}{
		{"beside each other", 6, 4, false, []piece{{3, 4, 1, 3}, {3, 2, 2, 1}}, 3, 5},
		{"one of each width over the whole", 6, 4, false, []piece{{6, 2, 2, 1}}, 2, 2},
		{"more asked than there is", 7, 4, false, []piece{{3, 2, 9, 1}}, 4, 4},
		// The cutter takes no waste of one mark off; but a band three marks deep
		// may be ripped and a strip of two ripped from it.
		{"waste between", 6, 5, true, []piece{{6, 2, 2, 1}}, 1, 2},
		{"no cutter so wide", 6, 5, false, []piece{{6, 5, 1, 1}}, 0, 0},
	} {
		e := exact{job: nest.Job{Uses: exactUses(), Tools: nest.Tools{Mark: exactMark, CutterMin: 2 * exactMark, CutterMax: 4 * exactMark}}}
		h := exactHide{kind: "strap", long: tt.long, deep: tt.deep}
		l, d := exactMark*float64(tt.long), exactMark*float64(tt.deep)
		h.outline = []orb.Point{{0, 0}, {l, 0}, {l, d}, {0, d}}
		if tt.stroke {
			h.flaws = []hide.Flaw{{Kind: "hole", Stroke: &hide.Stroke{Line: []orb.Point{{0, 2.5 * exactMark}, {l, 2.5 * exactMark}}, Width: exactMark}}}
		}
		e.hides = []exactHide{h}
		for i, p := range tt.pieces {
			e.job.Orders = append(e.job.Orders, nest.Order{
				ID: string(rune('A' + i)), FirstSet: 1, Qty: p.qty, Worth: p.worth,
				Parts: []nest.Part{{Name: "main", Leather: "strap", Use: "load", Length: exactMark * float64(p.length), Width: exactMark * float64(p.width), Count: 1}},
			})
		}
		plain, blocks := layProgram(e, true).optimum(t, solver), layProgram(e, false).optimum(t, solver)
		if plain != tt.plain || blocks != tt.blocks {
			t.Errorf("%s: strips %v, blocks %v, want %v and %v", tt.what, plain, blocks, tt.plain, tt.blocks)
		}
	}
}

// cbc is the solver, or the end of the test.
func cbc(t *testing.T) string {
	t.Helper()
	path, err := exec.LookPath("cbc")
	if err != nil {
		t.Skip("no cbc here: Debian has it in coinor-cbc")
	}
	return path
}

// TestExact solves random small jobs as mixed-integer programs: no plan is
// worth more than the optimum, and no bound is below it.
func TestExact(t *testing.T) {
	solver := cbc(t)
	for _, plain := range []bool{true, false} {
		seeds := seedsOf(plain)
		equal, proven := 0, 0
		for _, seed := range seeds {
			name := fmt.Sprintf("plain %v, seed %d", plain, seed)
			e := exactCase(t, seed, plain)
			optimum := layProgram(e, plain).optimum(t, solver)
			plan, err := strip.Lay(context.Background(), e.job, strip.Options{Seed: seed, Steps: exactSteps})
			if err != nil {
				t.Fatal(err)
			}
			for _, v := range nest.Check(e.job, plan) {
				t.Errorf("%s: %v", name, v)
			}
			got := plan.Result
			switch {
			case got.Value > optimum+solved:
				t.Errorf("%s: laid %v, the optimum is %v", name, got.Value, optimum)
			case got.Bound < optimum-solved:
				t.Errorf("%s: bound %v, the optimum is %v", name, got.Bound, optimum)
			case got.Value >= optimum-solved:
				equal++
			case !slices.Contains(shortOf[plain], seed):
				t.Errorf("%s: laid %v, the optimum is %v", name, got.Value, optimum)
			default:
				t.Logf("%s: laid %v of %v, bound %v", name, got.Value, optimum, got.Bound)
			}
			if got.Proven {
				proven++
			}
		}
		t.Logf("plain %v: %d of %d plans are optima, %d proven", plain, equal, len(seeds), proven)
	}
}

// solved is how far from the truth cbc's optimum may be.
const solved = 1e-4

// TestBlocksGiveMore: strips over the whole hide are a case of blocks, so that
// the program that knows blocks finds all they give, and at these seeds more.
func TestBlocksGiveMore(t *testing.T) {
	solver := cbc(t)
	for _, seed := range gainSeeds {
		e := exactCase(t, seed, false)
		strips, blocks := layProgram(e, true).optimum(t, solver), layProgram(e, false).optimum(t, solver)
		if blocks < strips+solved {
			t.Errorf("seed %d: blocks give %v, plain strips %v", seed, blocks, strips)
		}
	}
}
