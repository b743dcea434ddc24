package strip

import "slices"

// shape is a band as it is ripped and cross-cut, whatever pieces it is cut into:
//
//	 ─────────────────────────────────────────────── y + depth
//	|              |waste|        |                 |
//	|      2       |─────|   1    |        1        |
//	|──────────────|  0  |────────|                 |   lanes, from y outward
//	|      0       |     |   1    |─────────────────|
//	|              |     |        |        0        |
//	 ─────────────────────────────────────────────── y
//	lo   block   hi lo  hi
type shape struct {
	y, depth int
	blocks   []stack
	rips     []rip  // all strips of all blocks
	simple   []fits // the room of all, if no two classes share any; nil: some do
}

// fits is so many times the same room, by where a sweep has what it holds.
type fits struct{ at, times int32 }

// stack is a block as strips of such lanes, the first at the band's near edge.
type stack struct {
	lo, hi int
	lanes  []int16
}

// newShape is a shape on a hide.
func newShape(g *ground, y, depth int, blocks []stack) shape {
	sh := shape{y: y, depth: depth, blocks: blocks}
	for _, b := range blocks {
		at := y
		for _, i := range b.lanes {
			sh.rips = append(sh.rips, g.rip(int(i), at, b.lo, b.hi))
			at += g.lanes[i].width
		}
	}
	if !slices.ContainsFunc(sh.rips, func(r rip) bool { return r.shared != nil }) {
		for i := range sh.rips {
			for _, f := range sh.rips[i].apart {
				at := g.entry(f)
				if j := slices.IndexFunc(sh.simple, func(of fits) bool { return of.at == at }); j >= 0 {
					sh.simple[j].times++
				} else {
					sh.simple = append(sh.simple, fits{at, 1})
				}
			}
		}
	}
	return sh
}

// shapes are those that the planner knows, by hide and near edge, so that what
// the bound found dear to compute serves the search as well. Each is kept as it lies at the first of the near edges
// from which it may begin.
type shapes struct {
	all     []shape
	at      map[*ground][]*shelf // by y-y0: those that may begin there
	several int                  // shelves that several near edges share
	seen    map[string]bool
}

func newShapes() *shapes { return &shapes{at: map[*ground][]*shelf{}, seen: map[string]bool{}} }

// add makes a shape known, wherever bands are as from the near edge at which it was found.
func (s *shapes) add(b *bands, sh shape) {
	key := sh.key(b.g)
	if s.seen[key] {
		return
	}
	s.seen[key] = true
	on := s.shelf(b, b.near(sh.y))
	on.shapes = append(on.shapes, int32(len(s.all)))
	s.all = append(s.all, sh)
}

// key tells shapes apart.
func (sh *shape) key(g *ground) string {
	key := []byte(g.hide.Name())
	put := func(n int) { key = append(key, 0, byte(n), byte(n>>8), byte(n>>16)) }
	put(g.part.number)
	put(g.tilt.rise)
	put(g.tilt.run)
	put(sh.y)
	put(sh.depth)
	for _, b := range sh.blocks {
		put(b.lo)
		put(b.hi)
		for _, l := range b.lanes {
			put(int(l))
		}
	}
	return string(key)
}
