package nest

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"

	"strapwise/hide"
	"strapwise/hide/plane"
)

const raster = 10 // mm

// sheet is leather as squares with sides of raster, between which walls are cuts.
type sheet struct {
	wide, high  int
	right, over [][]bool // a wall on that side of a square
	taken       [][]bool
}

func newSheet(wide, high int) *sheet {
	grid := func() [][]bool {
		g := make([][]bool, wide)
		for x := range g {
			g[x] = make([]bool, high)
		}
		return g
	}
	return &sheet{wide, high, grid(), grid(), grid()}
}

func (s *sheet) rip(x0, x1, y int) {
	for x := x0; x < min(x1, s.wide) && y > 0; x++ {
		s.over[x][y-1] = true
	}
}

func (s *sheet) crossCut(x, y0, y1 int) {
	for y := y0; y < y1 && 0 < x && x < s.wide; y++ {
		s.right[x-1][y] = true
	}
}

// left are the areas, in squares, of what is connected, is no piece, and is deep and
// large enough; largest first.
func (s *sheet) left() []int {
	var out []int
	for x := range s.wide {
		for y := range s.high {
			if s.taken[x][y] {
				continue
			}
			var lo, hi [2]int
			lo, n := [2]int{x, y}, 0
			hi = lo
			todo := [][2]int{{x, y}}
			s.taken[x][y] = true
			reach := func(x, y int, wall bool) {
				if !wall && !s.taken[x][y] {
					s.taken[x][y] = true
					todo = append(todo, [2]int{x, y})
				}
			}
			for len(todo) > 0 {
				at := todo[len(todo)-1]
				todo = todo[:len(todo)-1]
				n++
				for i := range at {
					lo[i], hi[i] = min(lo[i], at[i]), max(hi[i], at[i]+1)
				}
				x, y := at[0], at[1]
				if x+1 < s.wide {
					reach(x+1, y, s.right[x][y])
				}
				if x > 0 {
					reach(x-1, y, s.right[x-1][y])
				}
				if y+1 < s.high {
					reach(x, y+1, s.over[x][y])
				}
				if y > 0 {
					reach(x, y-1, s.over[x][y-1])
				}
			}
			if min(hi[0]-lo[0], hi[1]-lo[1])*raster >= MinRemnantDepth && n*raster*raster >= MinRemnantArea {
				out = append(out, n)
			}
		}
	}
	slices.SortFunc(out, func(a, b int) int { return b - a })
	return out
}

// laidOn is a lay as Check has it, of a hide that it cuts.
func laidOn(h *hide.Hide, lay *HideLay) *laid {
	l := &laid{hide: h, leather: newGround(h), lay: lay, strike: struckOn(h, lay), byNumber: map[int]*cutStrip{}, bandOf: map[int]*Band{}}
	for i := range lay.Strips {
		l.strips = append(l.strips, &cutStrip{Strip: &lay.Strips[i], drawn: true})
		l.byNumber[lay.Strips[i].N] = l.strips[i]
	}
	l.holdBands()
	return l
}

// What a hide leaves is what falls apart when its cuts are drawn on squared paper: random
// lays of bands, blocks, strips and pieces, of which some are empty.
func TestRemnantsLaw_fallApart(t *testing.T) {
	const wide, high, struck = 120, 80, 5
	box := mustHide(t, orb.Point{0, 0}, orb.Point{wide * raster, 0}, orb.Point{wide * raster, high * raster}, orb.Point{0, high * raster})
	met, cuts := 0, map[string]int{}
	for seed := range uint64(400) {
		r := rand.New(rand.NewPCG(seed, 1))
		s := newSheet(wide, high)
		p := Plan{}
		mm := func(n int) float64 { return float64(n * raster) }
		off, far := r.IntN(2)*r.IntN(25), struck // the squared end, and how far out it is cut
		from := orb.Point{mm(off), struck * raster}
		lay := HideLay{Hide: "ash-3", Strike: Strike{From: from, To: orb.Point{wide * raster, struck * raster}}}
		f := plane.NewFrame(from, orb.Point{1, 0})
		s.rip(0, wide, struck)
		for y := struck + r.IntN(2)*r.IntN(8); y < high-30; y += r.IntN(2) * r.IntN(9) {
			band := Band{FromMM: mm(y - struck)}
			s.rip(off, wide, y)
			var full []Block // those of which something is cut
			var ripped [][]int
			depth := 3 + r.IntN(12)
			for x := off + r.IntN(3)*r.IntN(20); x < wide && len(band.Blocks) < 3; x += r.IntN(2) * r.IntN(20) {
				block := Block{FromMM: mm(x - off)}
				end := min(x+20+r.IntN(60), wide)
				block.ToMM = mm(end - off)
				var far []int // edges of its strips, up to the last that holds a piece
				last := 0
				for at := 0; at < depth; {
					width := min(1+r.IntN(6), depth-at)
					n := len(lay.Strips) + 1
					lay.Strips = append(lay.Strips, Strip{N: n, FromMM: mm(y - struck + at), WidthMM: mm(width), Outline: f.Rect(span(mm(x-off), mm(end-off)), span(mm(y-struck+at), mm(y-struck+at+width)))})
					block.Strips = append(block.Strips, n)
					at += width
					far = append(far, y+at)
					for from := x + r.IntN(30); from < end-1 && r.IntN(3) > 0; {
						to := min(from+1+r.IntN(25), end)
						p.Pieces = append(p.Pieces, Piece{Hide: "ash-3", Strip: n, FromMM: mm(from - off), ToMM: mm(to - off)})
						s.crossCut(from, y+at-width, y+at)
						s.crossCut(to, y+at-width, y+at)
						for i := from; i < to; i++ {
							for j := y + at - width; j < y+at; j++ {
								s.taken[i][j] = true
							}
						}
						last = len(far)
						from = to + r.IntN(2)*r.IntN(20)
					}
					if r.IntN(3) == 0 {
						break
					}
				}
				band.Blocks = append(band.Blocks, block)
				if last > 0 {
					full, ripped = append(full, block), append(ripped, far[:last])
				}
				x = end
			}
			for i, k := range full {
				from, to := off+int(k.FromMM/raster), off+int(k.ToMM/raster)
				s.crossCut(from, y, y+depth)
				if i+1 < len(full) {
					s.crossCut(to, y, y+depth)
				} else {
					to = wide // the last of a band is its rest
				}
				for _, at := range ripped[i] {
					s.rip(from, to, at)
				}
			}
			y += depth
			s.rip(off, wide, y)
			far = y
			band.DepthMM = mm(depth)
			lay.Bands = append(lay.Bands, band)
		}
		s.rip(0, wide, far)
		s.crossCut(off, struck, far)
		p.Hides = []HideLay{lay}
		want := s.left()
		got := mapped(Remnants(box, p), func(r []orb.Point) int { return int(math.Round(polygonOf(r).Area() / raster / raster)) })
		if !slices.Equal(got, want) {
			t.Fatalf("seed %d: found remnants of %v squares, expected %v", seed, got, want)
		}
		met += len(want)
		lay.Remnants = Remnants(box, p)
		l := laidOn(box, &lay)
		for i, r := range lay.Remnants {
			if cut, through := l.strike.cutThrough(r, l.cutLines(p.Pieces)); through {
				t.Fatalf("seed %d: remnant %d is cut %s", seed, i+1, cut.what)
			}
			for j, other := range lay.Remnants[:i] { // two side by side are one but for a cut
				both, err := geom.Union(polygonOf(r).AsGeometry(), polygonOf(other).AsGeometry())
				if err != nil || !both.IsPolygon() {
					continue
				}
				cut, through := l.strike.cutThrough(cornersOf(both.MustAsPolygon()), l.cutLines(p.Pieces))
				if !through {
					t.Fatalf("seed %d: remnants %d and %d are one by the cuts", seed, j+1, i+1)
				}
				cuts[strings.TrimRight(cut.what, " 0123456789")]++
			}
		}
	}
	if met < 1000 {
		t.Errorf("met %d remnants, expected more", met)
	}
	for _, what := range []string{
		"along the struck edge", "along band", "at the squared end", "where the squared end ends", "at an end of a block of band", "along strip",
	} {
		if cuts[what] == 0 {
			t.Errorf("no two remnants are parted by a cut %s: %v", what, cuts)
		}
	}
}
