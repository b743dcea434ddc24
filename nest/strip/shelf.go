package strip

import (
	"cmp"
	"slices"
)

// shelf holds the shapes that are known where bands are alike (edges.go): at one near edge, or at
// several, as on a rectangle.
type shelf struct {
	shapes []int32 // indices of all
	number int     // among the shelves that several near edges share, from 0 on; -1: of one
}

// from are the shapes known of a hide that may begin at y, and whether other near edges share them.
func (s *shapes) from(g *ground, y int) (known []int32, shared bool) {
	if at := s.of(g); at != nil && at[y-g.y0] != nil {
		return at[y-g.y0].shapes, at[y-g.y0].number >= 0
	}
	return nil, false
}

// of are the shelves of a hide by y-y0, nil where there is none; or nil.
func (s *shapes) of(g *ground) []*shelf {
	if s == nil {
		return nil
	}
	return s.at[g]
}

// shelf is where shapes are put that begin at near edge t.
func (s *shapes) shelf(b *bands, t int) *shelf {
	g, as := b.g, b.as[t]
	if s.at[g] == nil {
		s.at[g] = make([]*shelf, g.y1-g.y0+1)
	}
	at := s.at[g]
	first := b.edge(as) - g.y0
	if at[first] == nil {
		on := &shelf{number: -1}
		if as+1 < len(b.as) && b.as[as+1] == as {
			on.number = s.several
			s.several++
		}
		for t := as; t < len(b.as) && b.as[t] == as; t++ {
			at[b.edge(t)-g.y0] = on
		}
	}
	return at[first]
}

// alike reports whether most of the near edges of a hide from which bands are known share them with others.
func (s *shapes) alike(g *ground) bool {
	own, shared := 0, 0
	for _, on := range s.of(g) {
		switch {
		case on == nil:
		case on.number < 0:
			own++
		default:
			shared++
		}
	}
	return shared > own
}

// top is the best shape of a shelf among those of one depth.
type top struct {
	depth        int
	shape, worth int32
}

// shelfTops are those of a shelf, the shallowest first.
type shelfTops struct {
	changes int // of prices, when they were told
	seen    int // shapes of the shelf
	best    []top
}

// tops tells the best shapes of a shelf of several near edges, once for all under the same prices.
func (s *sweep) tops(on *shelf) []top {
	for len(s.top) <= on.number {
		s.top = append(s.top, shelfTops{})
	}
	t := &s.top[on.number]
	if t.changes == s.changes && t.seen == len(on.shapes) {
		return t.best
	}
	for _, i := range on.shapes[t.seen:] {
		depth := s.shapes.all[i].depth
		if j, some := slices.BinarySearchFunc(t.best, depth, func(t top, depth int) int { return cmp.Compare(t.depth, depth) }); !some {
			t.best = slices.Insert(t.best, j, top{depth: depth, shape: i})
		}
	}
	t.changes, t.seen = s.changes, len(on.shapes)
	s.place = grown(s.place, t.best[len(t.best)-1].depth+1)
	for j := range t.best { // those that were the best, first: mostly they still are
		top := &t.best[j]
		s.place[top.depth] = j
		top.worth = s.look(top.shape)
	}
	for _, i := range on.shapes {
		top := &t.best[s.place[s.hopes[i].depth]]
		if s.hopes[i].since == s.falling && s.hopes[i].worth <= top.worth {
			continue
		}
		if v := s.look(i); v > top.worth {
			top.worth, top.shape = v, i
		}
	}
	return t.best
}

// look gives the relaxed value of a shape, and takes note of it.
func (s *sweep) look(i int32) int32 {
	h := &s.hopes[i]
	h.worth, h.since = s.shape(&s.shapes.all[i]), s.falling
	return h.worth
}

// bestTop is what bestShape tells of the shapes of a shelf of several near edges.
func (s *sweep) bestTop(on *shelf, y, hi int, best int32) int32 {
	effort := s.effort()
	hi = s.end(y, hi)
	for _, t := range s.tops(on) {
		end := y + t.depth
		if end > hi {
			break
		}
		if s.next[end] >= 0 && t.worth > effort {
			best = max(best, t.worth-effort+s.next[end])
		}
	}
	return best
}
