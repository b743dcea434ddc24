package strip

import (
	"math"
	"slices"
)

// stretch is a strip of a hide, or so much of it, in marks.
type stretch struct{ hide, lane, y, lo, hi int }

// held is what a stretch holds that is worth so much in all views.
type held struct {
	least [mostViews]int
	all   []label
}

// reached is some pieces laid in a stretch such that they end as soon as they can, the last at x.
type reached struct {
	label
	end     int
	field   int
	x       int
	extends bool // to more pieces
}

// stripSpace is a stretch of which the pieces are told.
type stripSpace struct {
	*hand
	of    stretch
	lane  *lane
	runs  [][]run // by class
	union []run   // of all classes, where they are several
}

// room is that stretch, until another is asked for.
func (h *hand) room(s stretch) stripSpace {
	g := h.views[0].at(s.hide).g
	lane := &g.lanes[s.lane]
	n := len(lane.classes)
	for len(h.runs) <= n {
		h.runs = append(h.runs, nil)
	}
	for j := range n {
		h.runs[j] = within(h.runs[j][:0], g.at(lane, &lane.classes[j], s.y), s.lo, s.hi)
	}
	r := stripSpace{hand: h, of: s, lane: lane, runs: h.runs[:n]}
	if n > 1 {
		h.runs[n] = within(h.runs[n][:0], g.strip(s.lane, s.y).union, s.lo, s.hi)
		r.union = h.runs[n]
	}
	return r
}

// beyond is what the room is worth from x on in a view.
func (r *stripSpace) beyond(v *view, x int) int {
	tables := v.at(r.of.hide).tables
	sum := func(of int, runs []run) int {
		all := 0
		for _, u := range runs {
			if lo := max(u.lo, x); lo < u.hi {
				all += int(tables[of].best[u.hi-lo])
			}
		}
		return all
	}
	apart := 0
	for j, runs := range r.runs {
		apart += sum(r.lane.table+j, runs)
	}
	if r.union == nil {
		return apart
	}
	return min(apart, sum(r.lane.table+len(r.runs), r.union))
}

// fillings are all that the room may hold of no more than most that may come to be
// worth so much, as few pieces as may be first.
func (r *stripSpace) fillings(most *content, least [mostViews]int) []reached {
	const many = 32 // found by their content
	all := []reached{{label: label{step: -1}, end: r.of.lo}}
	var index map[content]int
	find := func(has content) int {
		if index == nil {
			return slices.IndexFunc(all, func(f reached) bool { return f.has == has })
		}
		if at, known := index[has]; known {
			return at
		}
		return -1
	}
	for i := 0; i < len(all); i++ {
		for j, runs := range r.runs {
			for _, k := range r.lane.classes[j].kinds {
				f := r.field[k]
				if f < 0 || all[i].has.of(f) >= most.of(f) {
					continue
				}
				x, fits := earliest(runs, all[i].end, r.p.kinds[k].length)
				if !fits {
					continue
				}
				all[i].extends = true
				if r.use() {
					return all
				}
				next := reached{label: all[i].label, end: x + r.p.kinds[k].length, field: f, x: x}
				next.has = next.has.with(f, 1)
				at := find(next.has)
				if at >= 0 && all[at].end <= next.end {
					continue
				}
				for i, v := range r.views {
					next.worth[i] += v.worth[f]
				}
				switch {
				case !r.may(&next, least):
				case at >= 0:
					all[at] = next
				default:
					if all = append(all, next); len(all) == many {
						index = make(map[content]int, 4*many)
						for i := range all {
							index[all[i].has] = i
						}
					} else if index != nil {
						index[next.has] = len(all) - 1
					}
				}
			}
		}
	}
	return all
}

// may reports whether the pieces and what lies beyond them may be worth so much.
func (r *stripSpace) may(of *reached, least [mostViews]int) bool {
	for i, v := range r.views {
		if of.worth[i] < least[i] && of.worth[i]+r.beyond(v, of.end) < least[i] {
			return false
		}
	}
	return true
}

// earliest is where a piece of such length lies first, from x on.
func earliest(runs []run, x, length int) (at int, fits bool) {
	for _, u := range runs {
		if at := max(x, u.lo); at+length <= u.hi {
			return at, true
		}
	}
	return 0, false
}

// stretch gives every greatest content of a stretch that is worth so much, and maybe poorer ones that
// were found before.
func (h *hand) stretch(s stretch, least [mostViews]int) []label {
	known := h.held[s]
	if known != nil {
		enough := true
		for i := range h.views {
			enough = enough && known.least[i] <= least[i]
		}
		if enough {
			return known.all
		}
	}
	r := h.room(s)
	for i, v := range h.views {
		worth := r.beyond(v, s.lo)
		if worth < least[i] {
			return nil
		}
		if known != nil { // asked before for more: twice the slack, so that it is not asked each time for a little less
			least[i] = min(known.least[i], worth-2*(worth-least[i]))
		}
	}
	var out front
	for _, f := range r.fillings(&h.need, least) {
		if !f.extends && h.enough(&f.label, least) {
			out.add(&f.label)
		}
	}
	h.held[s] = &held{least, out.labels}
	return out.labels
}

// place lays such pieces in a stretch that holds them.
func (h *hand) place(s stretch, has content) []cut {
	r := h.room(s)
	h.budget = budget{math.MaxInt, func() bool { return false }} // what is looked for is there, and wanted even by who has no more time
	all := r.fillings(&has, [mostViews]int{})
	index := map[content]int{}
	for i := range all {
		index[all[i].has] = i
	}
	var out []cut
	for has != (content{}) {
		f := &all[index[has]]
		out = append([]cut{{h.kinds[f.field], f.x}}, out...)
		has = has.with(f.field, -1)
	}
	return out
}
