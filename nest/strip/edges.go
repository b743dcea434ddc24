package strip

import "slices"

// edges is how many near edges bands may have: what lies loose is one band.
func (b *bands) edges() int {
	if b.g.part.loose {
		return min(len(b.value), 1)
	}
	return len(b.value)
}

// compare tells from which near edges bands are as they are from the one before: where all strips
// are that begin there, or further out in a band, as on a rectangle without flaws.
func (b *bands) compare() {
	if b.as != nil {
		return
	}
	deep, all := b.heights[len(b.heights)-1], len(b.value)
	unlike := all // the nearest edge from here on whose strips are not as those of the one before
	b.as = make([]int, b.edges())
	alike := make([]bool, all)
	b.like = make([]int, all)
	for t := range all {
		b.like[t] = t
		if t > 0 && b.alike(t) {
			b.like[t] = b.like[t-1]
		}
	}
	for t := all - 1; t > 0; t-- {
		if b.like[t] == t {
			unlike = t
		}
		alike[t] = unlike == all || unlike >= t+deep
	}
	for t := range b.as {
		if alike[t] {
			b.as[t] = b.as[t-1]
			continue
		}
		b.as[t] = t
		b.unlike = append(b.unlike, t)
	}
}

// alike reports whether the strips that begin at a near edge are as those that begin at the one
// before.
func (b *bands) alike(t int) bool {
	g, y := b.g, b.edge(t)
	for i := range g.lanes {
		l := &g.lanes[i]
		for j := range l.classes {
			if c := &l.classes[j]; y+l.width <= g.y1 && !slices.Equal(g.at(l, c, y), g.at(l, c, y-g.across)) {
				return false
			}
		}
	}
	return true
}

// first is the near edge from which bands were found that are as those from y.
func (b *bands) first(y int) int { return b.edge(b.as[b.near(y)]) }

// room is how deep a band may be from a near edge, in marks.
func (b *bands) room(t int) int {
	y := b.edge(t) - b.g.y0
	return b.s.end(y, b.g.y1-b.g.y0) - y
}

// measure tells how deep bands may be that are found.
func (b *bands) measure() {
	b.rooms = grown(b.rooms, len(b.as))
	clear(b.rooms)
	for t, as := range b.as {
		b.rooms[as] = max(b.rooms[as], b.room(t))
	}
}

// spread has bands from all near edges be as those that were found, but none deeper than there is
// room for.
func (b *bands) spread() {
	for t, as := range slices.Backward(b.as) { // what was found last, since it is no deeper then
		b.from[t] = b.from[as]
		room := b.room(t)
		for j, h := range b.heights {
			if b.value[t][j] = b.value[as][j]; h*b.g.across > room {
				b.value[t][j] = 0
			}
		}
	}
}

// sums is how many sums it takes, about, to find all bands.
func (b *bands) sums() int {
	b.compare()
	n := 0
	for j := range b.heights {
		n += b.stacks[j].Len() + b.ends[j].Len()
	}
	return len(b.unlike) * n * b.g.cells * b.g.cells / 2
}
