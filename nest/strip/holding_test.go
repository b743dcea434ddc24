package strip

import (
	"cmp"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"

	"strapwise/hide"
	"strapwise/nest"
)

// holding is some multisets of pieces, each as a byte for each kind: how many. None is
// part of another.
type holding []string

// slowHolding finds what a hide holds by trying everything, without tables, runs or prices.
type slowHolding struct {
	t      testing.TB
	p      *problem
	g      *ground
	want   []int
	gap    int
	serve  map[[3]int]bool    // by kind and corner
	strips map[[4]int]holding // by width, near edge and both ends
	stacks map[[4]int]holding // by near edge, far edge of the band and both ends
	chains map[[4]int]holding // by near and far edge, where it begins and blocks left
	afters map[[2]int]holding // by near edge, and 1 if a band adjoins there
}

// slowHolds gives every multiset of pieces, by kind, that the hide can hold and that is
// not part of another, of each kind no more than want.
func slowHolds(t testing.TB, p *problem, g *ground, want []int, gap int) [][]int {
	t.Helper()
	s := newSlowHolding(t, p, want)
	return s.counts(s.hide(g, gap))
}

// slowHoldsAll is that of all hides together. Pieces that are cut already are not counted.
func slowHoldsAll(t testing.TB, p *problem, want []int, gap int) [][]int {
	t.Helper()
	s := newSlowHolding(t, p, want)
	all := s.nothing()
	for _, g := range p.grounds {
		all = s.greatest(s.sums(nil, all, s.hide(g, gap)))
	}
	return s.counts(all)
}

func newSlowHolding(t testing.TB, p *problem, want []int) *slowHolding {
	t.Helper()
	for k, kd := range p.kinds {
		if want[k] < 0 || want[k] > math.MaxUint8 {
			t.Fatalf("%d pieces of a kind: more than a byte holds", want[k])
		}
		if kd.knife && p.job.Tools.Grips > 0 {
			t.Fatal("serves has what is cut by knife gripped, too")
		}
	}
	return &slowHolding{t: t, p: p, want: want}
}

// hide is what a hide holds, or a part of one whose cutting has begun.
func (s *slowHolding) hide(g *ground, gap int) holding {
	s.t.Helper()
	s.g, s.gap = g, gap
	s.serve, s.afters = map[[3]int]bool{}, map[[2]int]holding{}
	s.strips, s.stacks, s.chains = map[[4]int]holding{}, map[[4]int]holding{}, map[[4]int]holding{}
	if !g.part.loose {
		return s.after(g.y0, g.part.ripped())
	}
	all := s.sums(nil, s.nothing(), s.nothing()) // one band, from its near edge
	for i := range g.lanes {
		if w := g.lanes[i].width; g.y0+w <= g.y1 {
			all = s.sums(all, s.strip(w, g.y0, g.x0, g.x1), s.nothing())
		}
	}
	for depth := 1; g.y0+depth <= g.y1 && float64(depth)*s.p.mark <= s.p.job.Tools.Deepest+hide.Touch; depth++ {
		if depth == g.y1-g.y0 || isSum(g, depth) {
			all = s.sums(all, s.chain(g.y0, g.y0+depth, g.x0, s.blocks()), s.nothing())
		}
	}
	return s.greatest(all)
}

// blocks is how many blocks a band may have; less than nothing: any number.
func (s *slowHolding) blocks() int {
	if most := s.p.job.Tools.Blocks; most > 0 {
		return most
	}
	return -1
}

// after is what the leather from y on holds, where a band ends that adjoins whatever begins there,
// or none.
func (s *slowHolding) after(y int, adjoins bool) holding {
	if y >= s.g.y1 {
		return s.nothing()
	}
	key := [2]int{y}
	if adjoins {
		key[1] = 1
	}
	if known := s.afters[key]; known != nil {
		return known
	}
	var all map[string]bool
	if adjoins { // as much waste as must be, or more
		all = s.sums(all, s.after(y+s.gap, false), s.nothing())
	} else {
		all = s.sums(all, s.after(y+1, false), s.nothing())
	}
	for i := range s.g.lanes {
		if w := s.g.lanes[i].width; y+w <= s.g.y1 {
			all = s.sums(all, s.strip(w, y, s.g.x0, s.g.x1), s.after(y+w, true))
		}
	}
	for depth := 1; y%s.g.across == 0 && y+depth <= s.g.y1 && float64(depth)*s.p.mark <= s.p.job.Tools.Deepest+hide.Touch; depth++ {
		if isSum(s.g, depth) {
			all = s.sums(all, s.chain(y, y+depth, s.g.x0, s.blocks()), s.after(y+depth, true))
		}
	}
	s.afters[key] = s.greatest(all)
	return s.afters[key]
}

// isSum reports whether strips of the hide can be so deep together.
func isSum(g *ground, depth int) bool {
	if depth <= 0 {
		return depth == 0
	}
	return slices.ContainsFunc(g.lanes, func(l lane) bool { return isSum(g, depth-l.width) })
}

// chain is what a band between y and end holds from lo on, in so many blocks or, if that is
// negative, in any number of them.
func (s *slowHolding) chain(y, end, lo, blocks int) holding {
	if lo >= s.g.x1 || blocks == 0 {
		return s.nothing()
	}
	key := [4]int{y, end, lo, blocks}
	if known := s.chains[key]; known != nil {
		return known
	}
	all := s.sums(nil, s.chain(y, end, lo+s.g.along, blocks), s.nothing())
	for hi := lo + s.g.along; hi <= s.g.x1; hi += s.g.along {
		all = s.sums(all, s.stack(y, end, lo, hi), s.chain(y, end, hi, max(blocks-1, -1)))
	}
	s.chains[key] = s.greatest(all)
	return s.chains[key]
}

// stack is what a block holds of a band that goes to end, in strips from y on.
func (s *slowHolding) stack(y, end, lo, hi int) holding {
	key := [4]int{y, end, lo, hi}
	if known := s.stacks[key]; known != nil {
		return known
	}
	all := s.sums(nil, s.nothing(), s.nothing())
	for i := range s.g.lanes {
		w := s.g.lanes[i].width
		if left := end - y - w; left == 0 || left > 0 && float64(left)*s.p.mark >= s.p.job.Tools.Grips {
			all = s.sums(all, s.strip(w, y, lo, hi), s.stack(y+w, end, lo, hi))
		}
	}
	s.stacks[key] = s.greatest(all)
	return s.stacks[key]
}

// strip is what a strip from y on holds between x and hi, of whatever uses.
func (s *slowHolding) strip(width, y, x, hi int) holding {
	if x >= hi {
		return s.nothing()
	}
	key := [4]int{width, y, x, hi}
	if known := s.strips[key]; known != nil {
		return known
	}
	all := s.sums(nil, s.strip(width, y, x+1, hi), s.nothing())
	for k, kd := range s.p.kinds {
		if kd.width == width && s.want[k] > 0 && x+kd.length <= hi && s.serves(k, x, y) {
			all = s.sums(all, s.one(k), s.strip(width, y, x+kd.length, hi))
		}
	}
	s.strips[key] = s.greatest(all)
	return s.strips[key]
}

func (s *slowHolding) serves(k, x, y int) bool {
	key := [3]int{k, x, y}
	may, known := s.serve[key]
	if !known {
		kd, part := s.p.kinds[k], s.g.part
		in := part.lay == nil || x >= part.x0 && x+kd.length <= part.x1
		may = in && kd.leather == s.g.hide.Leather() && serves(s.t, s.p, s.g, k, x, y)
		s.serve[key] = may
	}
	return may
}

// nothing is what holds no piece, one what holds a piece.
func (s *slowHolding) nothing() holding { return holding{string(make([]byte, len(s.want)))} }

func (s *slowHolding) one(k int) holding {
	out := make([]byte, len(s.want))
	out[k] = 1
	return holding{string(out)}
}

// sums adds to all what two places hold together, of each kind no more than is wanted.
func (s *slowHolding) sums(all map[string]bool, a, b holding) map[string]bool {
	if all == nil {
		all = map[string]bool{}
	}
	sum := make([]byte, len(s.want))
	for _, v := range a {
		for _, w := range b {
			for k := range sum {
				sum[k] = byte(min(int(v[k])+int(w[k]), s.want[k]))
			}
			if !all[string(sum)] {
				all[string(sum)] = true
			}
		}
	}
	return all
}

// greatest leaves out what is part of another.
func (s *slowHolding) greatest(all map[string]bool) holding {
	pieces := func(v string) int {
		n := 0
		for k := range len(v) {
			n += int(v[k])
		}
		return n
	}
	sorted := make([]string, 0, len(all))
	size := make(map[string]int, len(all))
	for v := range all {
		sorted, size[v] = append(sorted, v), pieces(v)
	}
	slices.SortFunc(sorted, func(a, b string) int { return cmp.Or(size[b]-size[a], cmp.Compare(b, a)) })
	var out holding
	for _, v := range sorted {
		if !slices.ContainsFunc(out, func(w string) bool { return isPart(v, w) }) {
			out = append(out, v)
		}
	}
	return out
}

// isPart reports whether v has no more of any kind than w.
func isPart(v, w string) bool {
	for k := range len(v) {
		if v[k] > w[k] {
			return false
		}
	}
	return true
}

func (s *slowHolding) counts(all holding) [][]int {
	var out [][]int
	for _, v := range all {
		n := make([]int, len(s.want))
		for k := range n {
			n[k] = int(v[k])
		}
		out = append(out, n)
	}
	return out
}

// fetch is the most that one of those multisets fetches.
func fetch(held [][]int, price []float64) float64 {
	most := 0.0
	for _, v := range held {
		sum := 0.0
		for k, n := range v {
			sum += float64(n) * price[k]
		}
		most = max(most, sum)
	}
	return most
}

// TestSlowHolds: what hides hold fetches, at any price, what the slow recursion over worth finds, and
// as much as the sweep over all bands finds where no width is shared by two uses; with few
// wanted they hold the same but for what is beyond.
func TestSlowHolds(t *testing.T) {
	exact, won, shares, fewer, wider, held := 0, 0, 0, 0, 0, 0
	for seed := uint64(0); seed < 24; seed++ {
		job, r := cutSmall(t, seed)
		for i := range job.Orders {
			for j := range job.Orders[i].Parts {
				if seed%2 == 0 { // no width is shared by two uses
					job.Orders[i].Parts[j].Use = "load"
				}
			}
		}
		p := problemOf(t, job)
		p.gap = 1 + r.IntN(3)
		ample, few := make([]int, len(p.kinds)), make([]int, len(p.kinds))
		for k := range ample {
			ample[k], few[k] = 100, r.IntN(4)
		}
		all := slowHoldsAll(t, p, ample, p.gap)
		var each [][][]int
		for _, g := range p.grounds {
			each = append(each, slowHolds(t, p, g, ample, p.gap))
		}
		shared := false
		for _, l := range p.grounds[0].lanes {
			shared = shared || len(l.classes) > 1
		}
		if shared {
			shares++
		} else {
			exact++
		}
		b := newBound(p, newShapes(), p.whole())
		plain := 0.0 // what strips of the whole hide fetch, and with waste as narrow as may be
		for range 20 {
			price := randomPrices(p, r)
			together := 0.0
			b.ask(slices.Clone(price), allBands)
			for i, g := range p.grounds {
				got, sweep := fetch(each[i], price), b.hides[i].ways[0].value
				switch want := slowWorth(t, p, g, price, job.Tools.Deepest, p.gap); {
				case math.Abs(got-want) > 1e-9:
					t.Errorf("seed %d: what the hide holds fetches %v, the optimum is %v", seed, got, want)
				case sweep < got-1e-9:
					t.Errorf("seed %d: sweep %v is below what the hide holds, %v", seed, sweep, got)
				case !shared && sweep > got+1e-9:
					t.Errorf("seed %d: sweep %v, what the hide holds fetches %v", seed, sweep, got)
				}
				together += got
				if plain = slowWorth(t, p, g, price, 0, p.gap); got > plain {
					won++
				}
				if p.gap > 1 && slowWorth(t, p, g, price, job.Tools.Deepest, 1) > got {
					wider++
				}
			}
			if got := fetch(all, price); math.Abs(got-together) > 1e-9 {
				t.Errorf("seed %d: all hides fetch %v, one by one %v", seed, got, together)
			}
		}
		s := newSlowHolding(t, p, few)
		cut := map[string]bool{}
		for _, v := range all {
			w := make([]byte, len(v))
			for k := range v {
				w[k] = byte(min(v[k], few[k]))
			}
			cut[string(w)] = true
		}
		if got, want := slowHoldsAll(t, p, few, p.gap), s.counts(s.greatest(cut)); fmt.Sprint(got) != fmt.Sprint(want) {
			t.Errorf("seed %d: of %v the hides hold %v, not %v", seed, few, got, want)
		} else if len(got) < len(all) {
			fewer++
		}
		held += len(all)
	}
	t.Logf("%d multisets held; %d hides of no shared width, %d with one; %d gains by bands, %d losses by wide waste, %d fewer for want", held, exact, shares, won, wider, fewer)
	if exact < 5 || shares < 3 || won < 5 || wider < 5 || fewer < 5 {
		t.Error("the hides show too little")
	}
}

// cutSmall is a small job, one of two with bands, blocks and grips, one of five with another hide.
func cutSmall(t *testing.T, seed uint64) (nest.Job, *rand.Rand) {
	t.Helper()
	job, r := small(t, seed, 8)
	if seed%4 >= 2 {
		job.Tools.Deepest, job.Tools.Part = float64(50+10*r.IntN(4)), float64(40+10*r.IntN(3))
		job.Tools.Blocks, job.Tools.Grips = r.IntN(4), float64(10*r.IntN(4))
		job.Orders = append(job.Orders[:1], pieces("P", 3, float64(50+10*r.IntN(6)), float64(20+10*r.IntN(3)), 5))
	}
	if seed%5 == 4 {
		spec := job.Hides[0].Spec()
		spec.Name = "i"
		spec.Flaws = []hide.Flaw{{Kind: "hole", Spot: &hide.Spot{At: orb.Point{30 + 240*r.Float64(), 60}, Diameter: 9}}}
		job.Hides = append(job.Hides, newHide(t, spec))
	}
	return job, r
}

// randomPrices are in whole units, near to the pieces' areas or far from it.
func randomPrices(p *problem, r *rand.Rand) []float64 {
	price, spread := make([]float64, len(p.kinds)), 2*r.Float64()
	for k := range price {
		price[k] = math.Round(p.kinds[k].area * max(0, 1+spread*(r.Float64()-0.5)))
	}
	return price
}

// slowWorth is the most that a hide is worth with pieces without limit: the plain recursion over y.
func slowWorth(t testing.TB, p *problem, g *ground, price []float64, deepest float64, gap int) float64 {
	strips := map[[4]int]float64{}
	start, free := make([]float64, g.y1-g.y0+1), make([]float64, g.y1-g.y0+1)
	for y := g.y1 - 1; y >= g.y0; y-- {
		beyond := func(end int) float64 {
			if next := end + gap; next < g.y1 {
				return max(start[end-g.y0], free[next-g.y0])
			}
			return start[end-g.y0]
		}
		v := 0.0
		for _, l := range g.lanes {
			if end := y + l.width; end <= g.y1 {
				v = max(v, slowStrip(t, p, g, l.width, y, g.x0, g.x1, price)+beyond(end))
			}
		}
		for d := g.across; y%g.across == 0 && float64(d)*p.mark <= deepest && y+d <= g.y1; d += g.across {
			if isSum(g, d) {
				v = max(v, slowBand(t, p, g, y, d, price, strips)+beyond(y+d))
			}
		}
		start[y-g.y0], free[y-g.y0] = v, max(v, free[y-g.y0+1])
	}
	return free[0]
}

// TestSlowHoldsByHand: what little sheets hold that can be told by hand.
func TestSlowHoldsByHand(t *testing.T) {
	long, short, deep := pieces("A", 9, 60, 30, 1), pieces("B", 9, 40, 30, 1), pieces("C", 9, 40, 60, 1)
	lesser := pieces("D", 9, 40, 30, 1)
	lesser.Parts[0].Use = "hidden"
	line := func(kind string, x0, y0, x1, y1 float64) hide.Flaw {
		return hide.Flaw{Kind: kind, Stroke: &hide.Stroke{Line: []orb.Point{{x0, y0}, {x1, y1}}, Width: 2}}
	}
	across := line("cut", 0, 35, 100, 35)
	tests := []struct {
		name                 string
		depth                float64
		flaws                []hide.Flaw
		orders               []nest.Order
		deepest, grips, part float64
		blocks, gap          int
		want                 []int
		holds                string
	}{
		{"strips", 60, nil, []nest.Order{long, short}, 0, 0, 0, 0, 1, []int{9, 9}, "[[2 2] [1 3] [0 4]]"},
		{"few wanted", 60, nil, []nest.Order{long, short}, 0, 0, 0, 0, 1, []int{1, 3}, "[[1 3]]"},
		{"too shallow", 20, nil, []nest.Order{long, short}, 0, 0, 0, 0, 1, []int{9, 9}, "[[0 0]]"},
		{"narrow waste", 70, []hide.Flaw{across}, []nest.Order{long, short}, 0, 0, 0, 0, 1, []int{9, 9}, "[[2 2] [1 3] [0 4]]"},
		{"wide waste", 70, []hide.Flaw{across}, []nest.Order{long, short}, 0, 0, 0, 0, 2, []int{9, 9}, "[[1 1] [0 2]]"},
		{"no cross-cuts", 60, nil, []nest.Order{long, short, deep}, 0, 0, 0, 0, 1, []int{9, 9, 9}, "[[2 2 0] [1 3 0] [0 4 0] [0 0 2]]"},
		{"cross-cuts", 60, nil, []nest.Order{long, short, deep}, 60, 0, 20, 0, 1, []int{9, 9, 9}, "[[2 2 0] [1 3 0] [0 4 0] [2 0 1] [1 1 1] [0 2 1] [0 0 2]]"},
		{"one block", 60, nil, []nest.Order{long, short, deep}, 60, 0, 20, 1, 1, []int{9, 9, 9}, "[[2 2 0] [1 3 0] [0 4 0] [0 0 2]]"},
		{"cells too coarse", 60, nil, []nest.Order{long, short, deep}, 60, 0, 50, 0, 1, []int{9, 9, 9}, "[[2 2 0] [1 3 0] [0 4 0] [0 2 1] [0 0 2]]"},
		{"too deep", 60, nil, []nest.Order{long, short, deep}, 50, 0, 20, 0, 1, []int{9, 9, 9}, "[[2 2 0] [1 3 0] [0 4 0] [0 0 2]]"},
		{"not gripped", 60, nil, []nest.Order{long, short, deep}, 60, 40, 20, 0, 1, []int{9, 9, 9}, "[[1 1 0] [0 2 0] [0 0 2]]"},
		{"two uses", 30, []hide.Flaw{line("scar", 75, 0, 75, 30)}, []nest.Order{long, lesser}, 0, 0, 0, 0, 1, []int{9, 9}, "[[1 1] [0 2]]"},
	}
	for _, c := range tests {
		t.Run(c.name, func(t *testing.T) {
			spec := sheet(t, "s", "strap", 100, c.depth).Spec()
			spec.Flaws = c.flaws
			job := nest.Job{
				Hides: []*hide.Hide{newHide(t, spec)}, Uses: uses(), Orders: c.orders,
				Tools: nest.Tools{Mark: 10, CutterMin: 10, CutterMax: 200, Deepest: c.deepest, Grips: c.grips, Part: c.part, Blocks: c.blocks},
			}
			p := problemOf(t, job)
			if got := fmt.Sprint(slowHolds(t, p, p.grounds[0], c.want, c.gap)); got != c.holds {
				t.Errorf("holds %v, not %v", got, c.holds)
			}
		})
	}
}
