package strip

import (
	"slices"
	"testing"

	"github.com/paulmach/orb"

	"strapwise/hide"
	"strapwise/nest"
)

// What all blocks of a band begin with and nobody wants is left on the hide, if a waste
// strip may be so wide and the band begin there.
func TestBandsRiseOverScrap(t *testing.T) {
	job := nest.Job{
		Hides: []*hide.Hide{sheet(t, "h", "strap", 600, 200)}, Uses: uses(),
		Tools:  nest.Tools{Mark: 1, CutterMin: 6, CutterMax: 100, Deepest: 100, Part: 25},
		Orders: []nest.Order{pieces("A", 9, 200, 10, 1), pieces("B", 9, 200, 20, 1)},
	}
	p, err := newProblem(job)
	if err != nil {
		t.Fatal(err)
	}
	g := p.grounds[0]
	lane := func(width int) int { return slices.IndexFunc(g.lanes, func(l lane) bool { return l.width == width }) }
	stack := func(lo, hi, y int, widths ...int) block { // those above 0 hold a piece
		k := block{lo: lo, hi: hi}
		for _, w := range widths {
			s := placed{lane: lane(max(w, -w)), y: y}
			if w > 0 {
				s.cuts = []cut{{kind: map[int]int{10: 0, 20: 1}[w], x: lo}}
			}
			k.strips, y = append(k.strips, s), y+max(w, -w)
		}
		return k
	}
	for _, c := range []struct {
		rule   string
		blocks []block
		gap    int // marks, of the least waste strip
		y      int
		plain  bool
	}{
		{"both begin with 20", []block{stack(0, 300, 0, -20, 10), stack(300, 600, 0, -10, -10, 20)}, 6, 20, false},
		{"10 of each", []block{stack(0, 300, 0, -20, 10), stack(300, 600, 0, -10, 20)}, 6, 0, false},
		{"one begins with a piece", []block{stack(0, 300, 0, 20, 10), stack(300, 600, 0, -20, 20)}, 6, 0, false},
		{"the widest that both have", []block{stack(0, 300, 0, -10, -20, 10), stack(300, 600, 0, -10, -10, 10)}, 6, 10, false},
		{"too narrow a waste strip", []block{stack(0, 600, 0, -10, 20)}, 12, 0, false},
		{"what is left is one strip", []block{stack(0, 600, 0, -10, -10, 20)}, 6, 20, true},
	} {
		p.gap = c.gap
		b := band{0, 40, c.blocks}
		out := p.rise(g, b)
		if out.y != c.y || out.end() != b.end() || g.isPlain(&out) != c.plain {
			t.Errorf("%s: begins at %d and ends at %d, expected %d and %d: %+v", c.rule, out.y, out.end(), c.y, b.end(), out)
		}
		n, was := 0, 0
		out.cuts(func(cut) { n++ })
		b.cuts(func(cut) { was++ })
		if n != was {
			t.Errorf("%s: %d pieces of %d", c.rule, n, was)
		}
	}
}

// Bands slide towards a backbone that lies past the hide's far edge no farther than there is
// leather, and not off a ripped edge by less than a waste strip.
func TestBandsSettleOnLeather(t *testing.T) {
	h, err := hide.New(hide.Spec{
		Name: "h", Leather: "strap", Form: "sheet", Backbone: []orb.Point{{0, 0}, {600, 0}},
		Outline: []orb.Point{{0, -200}, {600, -200}, {600, -40}, {0, -40}},
	})
	if err != nil {
		t.Fatal(err)
	}
	p, err := newProblem(nest.Job{
		Hides: []*hide.Hide{h}, Uses: uses(), Tools: nest.Tools{Mark: 1, CutterMin: 6, CutterMax: 100, Deepest: 100},
		Orders: []nest.Order{pieces("A", 9, 200, 10, 1)},
	})
	if err != nil {
		t.Fatal(err)
	}
	g := p.grounds[0]
	for _, c := range []struct {
		rule         string
		y, depth, to int
		ripped       bool
	}{
		{"to the far edge", -120, 60, -100, false},
		{"no leather is left", -100, 60, -100, false},
		{"from the hide's edge", -200, 156, -196, false},
		{"from the ripped edge", -200, 60, -100, true},
		{"too little room for a waste strip", -200, 156, -200, true},
	} {
		if g.part.lay = nil; c.ripped {
			g.part.lay = &nest.HideLay{}
		}
		l := p.emptyLay()
		l.bands[0] = []band{{c.y, c.depth, []block{{lo: 0, hi: 600, strips: []placed{{y: c.y, cuts: []cut{{x: 0}}}}}}}}
		(&filler{p: p}).settle(l, 0, true)
		if got := l.bands[0][0].y; got != c.to {
			t.Errorf("%s: slid from %d to %d, expected %d", c.rule, c.y, got, c.to)
		}
	}
}
