package strip

import (
	"math/rand/v2"
	"testing"
)

// TestContentCounts: contents are added, compared and cut kind by kind as lists of numbers are.
func TestContentCounts(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	part := 0
	for range 20_000 {
		var a, b [mostFields]int
		var c, d content
		for f := range a {
			switch r.IntN(4) {
			case 0:
				a[f] = r.IntN(mostOfKind + 1)
				b[f] = min(mostOfKind, a[f]+r.IntN(20))
			case 1:
				b[f] = mostOfKind * r.IntN(2)
			}
			if r.IntN(200) == 0 {
				a[f], b[f] = b[f], a[f]
			}
			c, d = c.with(f, a[f]), d.with(f, b[f])
		}
		within := true
		sum, least := c.plus(d), c.atMost(&d)
		rest := sum.minus(d)
		var each [mostFields]int
		c.each(func(f, n int) { each[f] = n })
		for f := range a {
			within = within && a[f] <= b[f]
			if c.of(f) != a[f] || sum.of(f) != a[f]+b[f] || least.of(f) != min(a[f], b[f]) || each[f] != a[f] {
				t.Fatalf("%v and %v: found %d, %d together, %d of both", a, b, c.of(f), sum.of(f), least.of(f))
			}
		}
		if within {
			part++
		}
		if c.within(&d) != within || rest != c {
			t.Fatalf("%v within %v: %v", a, b, !within)
		}
	}
	if part < 2000 {
		t.Errorf("only %d were part of another", part)
	}
}

// TestFrontKeepsTheGreatest: of few labels none is kept that is part of another, and of many none twice.
func TestFrontKeepsTheGreatest(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for _, n := range []int{10, 400} {
		var f front
		all := map[content]bool{}
		for range n {
			l := label{worth: [mostViews]int{r.IntN(100)}}
			for field := range 3 {
				l.has = l.has.with(field, r.IntN(7))
			}
			if added := f.add(&l); added && all[l.has] {
				t.Fatal("added twice")
			}
			all[l.has] = true
		}
		for has := range all {
			held := false
			for i := range f.labels {
				held = held || has.within(&f.labels[i].has)
			}
			if !held {
				t.Errorf("of %d labels none holds %v", n, has)
			}
		}
		for i := range f.labels {
			for j := range f.labels {
				if i != j && len(f.labels) < compareAll && f.labels[i].has.within(&f.labels[j].has) {
					t.Errorf("of compareAll labels one is part of another")
				}
			}
		}
		f.keep(func(l *label) bool { return l.worth[0] < 50 })
		for i := range f.labels {
			if f.labels[i].worth[0] >= 50 || f.labels[i].worth[0] > f.most[0] {
				t.Errorf("kept %v, at the most %d", f.labels[i].worth[0], f.most[0])
			}
		}
	}
}
