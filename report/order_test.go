package report

import (
	"context"
	"fmt"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"strapwise/hide/measure"
	"strapwise/nest"
	"strapwise/nest/strip"
	"strapwise/nest/trial"
)

// follow does the work in an order, with nothing but what each entry asks for and
// what the cutter then stands right for. It returns how often the cutter is set,
// or -1 if something is left or was asked for before it was free.
func (r rips) follow(order []int) int {
	done, set, settings, ripped := make([]int, len(r.blocks)), 0, 0, 0
	var free []int
	for _, move := range order {
		asked := 0
		switch {
		case move == hideNext && ripped < len(r.hide):
			asked = r.hide[ripped]
			free = append(free, r.frees[ripped]...)
			ripped++
		case slices.Contains(free, move) && done[move] < len(r.blocks[move]):
			asked = r.blocks[move][done[move]]
		default:
			return -1
		}
		if asked != 0 && asked != set {
			set = asked
			settings++
		}
		for _, k := range free {
			for done[k] < len(r.blocks[k]) && (r.blocks[k][done[k]] == 0 || r.blocks[k][done[k]] == set) {
				done[k]++
			}
		}
	}
	for k, b := range r.blocks {
		if done[k] < len(b) {
			return -1
		}
	}
	if ripped < len(r.hide) {
		return -1
	}
	return settings
}

// fewest tries every order of single rips, none of which brings others along.
func (r rips) fewest(ripped int, done []int, set int, best map[string]int) int {
	key := fmt.Sprint(ripped, done, set)
	if n, known := best[key]; known {
		return n
	}
	least, left := 1<<30, false
	try := func(asked int, next func() int) {
		left = true
		cost, after := 0, set
		if asked != 0 && asked != set {
			cost, after = 1, asked
		}
		before := set
		set = after
		least = min(least, cost+next())
		set = before
	}
	if ripped < len(r.hide) {
		try(r.hide[ripped], func() int { return r.fewest(ripped+1, done, set, best) })
	}
	for at := range ripped {
		for _, k := range r.frees[at] {
			if done[k] < len(r.blocks[k]) {
				try(r.blocks[k][done[k]], func() int {
					next := slices.Clone(done)
					next[k]++
					return r.fewest(ripped, next, set, best)
				})
			}
		}
	}
	if !left {
		least = 0
	}
	best[key] = least
	return least
}

// No order sets the cutter fewer times: found by trying every one.
func TestFewestSettings(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var r rips
		setting := rapid.IntRange(0, 4)
		for range rapid.IntRange(0, 5).Draw(t, "rips of the hide") {
			r.hide = append(r.hide, setting.Draw(t, "setting"))
			var frees []int
			for range rapid.IntRange(0, 2).Draw(t, "blocks") {
				frees = append(frees, len(r.blocks))
				r.blocks = append(r.blocks, rapid.SliceOfN(setting, 0, 3).Draw(t, "block"))
			}
			r.frees = append(r.frees, frees)
		}
		got := r.follow(r.order())
		if want := r.fewest(0, make([]int, len(r.blocks)), 0, map[string]int{}); got != want {
			t.Fatalf("%+v: the order %v sets the cutter %d times, expected %d", r, r.order(), got, want)
		}
	})
}

// A hide of more than can be looked through is ripped to the end all the same.
func TestOrderOfVeryMuch(t *testing.T) {
	var r rips
	for i := range 120 {
		r.hide = append(r.hide, 1+i*7%31)
		r.frees = append(r.frees, []int{2 * i, 2*i + 1})
		r.blocks = append(r.blocks, []int{1 + i*5%37, 1 + i*3%29, 1 + i%13}, []int{1 + i*11%23, 1 + i%7})
	}
	got, least := r.follow(r.order()), r.begun()
	if got < r.toCome(least) {
		t.Errorf("set %d times, expected an order that is done to the end in at least %d", got, r.toCome(least))
	}
}

// bandByBand is how often the cutter is set, and at how many marks is cross-cut,
// by whoever takes bands, blocks and strips one by one as the plan has them.
func (l *lay) bandByBand() (settings, marks int) {
	w := &writer{lay: l}
	set, at := 0.0, 0.0
	rip := func(width float64) {
		if width > sameMark && !w.byHand(width) && !near(width, set) {
			set = width
			settings++
		}
	}
	for _, b := range l.bands {
		if !b.loose {
			rip(b.from - at)
		}
		rip(b.depth)
		at = max(at, b.far())
		if !b.plain {
			marks += figures(w.blockCuts(b))
		}
		for _, k := range b.blocks {
			for _, s := range k.strips {
				if !b.plain && b.far()-s.FromMM-s.WidthMM > sameMark {
					rip(s.WidthMM)
				}
				one := &writer{lay: l, out: []Step{{}}}
				one.crossCut([]int{s.N})
				marks += figures(one.out[len(one.out)-1].Cuts)
			}
		}
	}
	return settings, marks
}

// figures counts the marks at which a cut is made.
func figures(cuts []Cut) int {
	n := 0
	for _, c := range cuts {
		if at := Plain(c.At); at != "rest" && at != "all" {
			n++
		}
	}
	return n
}

// asListed is the same by the list.
func (l *lay) asListed() (settings, marks int) {
	for _, s := range l.steps() {
		if len(s.Set) > 0 && !s.Same && !s.Hand {
			settings++
		}
		marks += figures(s.Cuts)
	}
	return settings, marks
}

// What the order of work spares, on plans of the planner for bends and sides cut
// in blocks: four settings of ten, and one mark of ten.
func TestOrderSpares(t *testing.T) {
	var plain, listed [2]int
	some := []string{"worth-bend-25", "worth-side-60", "strips-10", "strips-25", "sets-bend", "sets-side"}
	for _, in := range trial.Instances() {
		if !slices.Contains(some, in.Name) {
			continue
		}
		j := in.Job(1)
		p, err := strip.Lay(context.Background(), j, strip.Options{Seed: 1, Steps: 1})
		if err != nil {
			t.Fatal(err)
		}
		if faults := nest.Check(j, p); len(faults) > 0 {
			t.Fatal(faults)
		}
		rule := measure.RuleOf(measure.Inch)
		if near(j.Tools.Mark, 1) {
			rule = measure.RuleOf(measure.Metric)
		}
		l, err := readLay(j, p, p.Hides[0].Hide, rule)
		if err != nil {
			t.Fatal(err)
		}
		if err := followed(l, 1e-4); err != nil {
			t.Errorf("%s: %v", in.Name, err)
		}
		s0, m0 := l.bandByBand()
		s1, m1 := l.asListed()
		t.Logf("%-16s settings %2d → %2d, marks %3d → %3d", in.Name, s0, s1, m0, m1)
		if s1 > s0 || m1 > m0 {
			t.Errorf("%s: the list asks for more work than the plan band by band", in.Name)
		}
		plain, listed = [2]int{plain[0] + s0, plain[1] + m0}, [2]int{listed[0] + s1, listed[1] + m1}
	}
	t.Logf("all: settings %d → %d, marks %d → %d", plain[0], listed[0], plain[1], listed[1])
	if 10*listed[0] > 6*plain[0] {
		t.Errorf("the cutter is set %d times of %d, expected at most six tenths", listed[0], plain[0])
	}
}
