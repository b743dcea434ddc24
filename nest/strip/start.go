package strip

// bandStart is where bands of a packing begin: y, in marks from the ground's first.
type bandStart struct {
	*packing
	hide, y int
	at      [2]*front // lays that have got there
	ends    []front   // by where their last band ends, in marks from the ground's first
}

// strips adds all bands of one strip.
func (s *bandStart) strips() {
	g := s.views[0].at(s.hide).g
	n := g.y1 - g.y0
	for i := range g.lanes {
		end := s.y + g.lanes[i].width
		if end > n || s.over() {
			continue
		}
		least := s.lack(end)
		if s.worthAll(least, func(v *view) int { return max(0, int(v.at(s.hide).strips[i*(n+1)+s.y])) }) {
			s.add(0, s.hands[0].plain(s.hide, i, s.y, least), end)
			s.sharpen(s.hide, s.y, end, s.at[0], s.ends)
		}
	}
}

// bands adds all others, a few depths at a time. A band that took too long is broken off, and begun again
// after views were sharpened by what it gave.
func (s *bandStart) bands() {
	g, b := s.views[0].at(s.hide).g, s.views[0].at(s.hide).bands
	if b == nil || (s.y+g.y0)%g.across != 0 {
		return
	}
	t := b.near(s.y + g.y0)
	var depths []int // by place in heights
	for j := 1; j < len(b.heights) && s.y+b.heights[j]*g.across <= g.y1-g.y0; j++ {
		depths = append(depths, j)
	}
	for len(depths) > 0 && !s.over() {
		var bands []bandTask
		for ; len(depths) > 0 && len(bands) < len(s.hands); depths = depths[1:] {
			of := bandTask{j: depths[0], end: s.y + b.heights[depths[0]]*g.across}
			of.least = s.lack(of.end)
			if s.worthAll(of.least, func(v *view) int { return int(v.at(s.hide).bands.value[t][of.j]) }) {
				bands = append(bands, of)
			}
		}
		s.askHands(s.hide, t, bands)
		var again []int
		for i, of := range bands {
			if s.add(i, of.held, of.end); !of.all {
				again = append(again, of.j)
			}
		}
		for _, of := range bands {
			s.sharpen(s.hide, s.y, of.end, s.at[0], s.ends)
		}
		if again != nil {
			s.long *= 2
			depths = append(again, depths...)
		}
	}
}

// over reports whether no more bands need to be looked at.
func (s *bandStart) over() bool {
	return s.left < 0 || s.found != nil || len(s.at[0].labels)+len(s.at[1].labels) == 0
}

// lack is what a band must be worth at the least that ends there.
func (s *bandStart) lack(end int) (out [mostViews]int) {
	for i, v := range s.views {
		most := 0
		for _, f := range s.at {
			if len(f.labels) > 0 {
				most = max(most, f.most[i])
			}
		}
		out[i] = v.need - v.rest[s.hide] - int(v.at(s.hide).next[end]) - most
	}
	return out
}

// worthAll reports whether something may be worth so much in all views.
func (w *packing) worthAll(least [mostViews]int, worth func(v *view) int) bool {
	for i, v := range w.views {
		if worth(v) < least[i] {
			return false
		}
	}
	return true
}

// enough reports whether a label is worth so much in all views.
func (w *packing) enough(l *label, least [mostViews]int) bool {
	for i := range w.views {
		if l.worth[i] < least[i] {
			return false
		}
	}
	return true
}

// add adds bands that a hand has told to the lays that have got there.
func (s *bandStart) add(by int, bands []label, end int) {
	g := s.views[0].at(s.hide).g
	for i := range bands {
		for _, f := range s.at {
			for j := range f.labels {
				if s.use() || s.found != nil {
					return
				}
				before, last := &f.labels[j], &bands[i]
				sum := s.sum(before, last)
				if !s.may(&sum, func(v *view) int { return int(v.at(s.hide).next[end]) + v.rest[s.hide] }) {
					continue
				}
				sum.step = int32(len(s.laid))
				s.laid = append(s.laid, packedBand{before.step, last.step, int8(by), int32(s.hide), int32(s.y + g.y0), int32(end - s.y)})
				if s.need.within(&sum.has) {
					s.finish(sum.step)
				} else if s.ends[end].add(&sum) {
					continue
				}
				s.laid = s.laid[:sum.step]
			}
		}
	}
}

// hand goes over bands, on its own.
type hand struct {
	*packing
	budget
	blocks []packedBlock
	strips []packedStrip
	held   map[stretch]*held
	stacks []front // scratch
	runs   [][]run // scratch
}

// bandTask is for a hand to tell what bands hold that begin at a near edge, are as deep as place j in heights says and are worth so
// much; or some of that, if all takes too long.
type bandTask struct {
	j, end int
	least  [mostViews]int
	held   []label
	all    bool
}

// askHands has each hand tell what bands of one depth hold that begin at near edge t.
func (w *packing) askHands(hide, t int, bands []bandTask) {
	if len(bands) == 0 {
		return
	}
	w.tellEdge(hide, t)
	each(len(bands), func(i int) {
		h, b := &w.hands[i], &bands[i]
		h.budget = w.budget
		b.held, b.all = h.band(hide, t, b.j, b.least)
	})
	before := w.left
	for i := range bands {
		w.left -= before - w.hands[i].left
	}
}

// plain is what strips hold of that lane that are bands, begin at y, in marks from the ground's first, and are worth so much.
func (h *hand) plain(hide, lane, y int, least [mostViews]int) (held []label) {
	g := h.views[0].at(hide).g
	h.budget = h.packing.budget
	for _, l := range h.stretch(stretch{hide, lane, y + g.y0, g.x0, g.x1}, least) {
		if l.has != (content{}) && h.enough(&l, least) {
			h.strips = append(h.strips, packedStrip{-1, int32(lane), int32(y + g.y0), l.has})
			h.blocks = append(h.blocks, packedBlock{-1, int32(len(h.strips) - 1), 0, int32(g.cells)})
			l.step = int32(len(h.blocks) - 1)
			held = append(held, l)
		}
	}
	h.packing.left = h.left
	return held
}
