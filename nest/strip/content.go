package strip

import (
	"math/bits"
	"slices"
)

// content is how many pieces of each kind lie somewhere, up to 63 of up to 32 kinds: eight bits a kind,
// so that all are added and compared at once. The sum of two is one, too, before it is cut to what is wanted.
type content [4]uint64

const (
	mostFields = 32
	mostOfKind = 63
	guards     = 0x8080808080808080 // the highest bit of each kind, which no number reaches
)

// of is how many pieces are in a field.
func (c *content) of(field int) int { return int(c[field/8] >> (field % 8 * 8) & 0xff) }

// with is the content and so many pieces more.
func (c content) with(field, n int) content {
	c[field/8] += uint64(n) << (field % 8 * 8)
	return c
}

// plus is both together.
func (c content) plus(d content) content {
	for i := range c {
		c[i] += d[i]
	}
	return c
}

// minus is the content less d, all of which it must hold.
func (c content) minus(d content) content {
	for i := range c {
		c[i] -= d[i]
	}
	return c
}

// within reports whether d holds all that c holds.
func (c *content) within(d *content) bool {
	return ((d[0]|guards)-c[0])&((d[1]|guards)-c[1])&((d[2]|guards)-c[2])&((d[3]|guards)-c[3])&guards == guards
}

// atMost is of each kind the lesser number.
func (c content) atMost(d *content) content {
	for i := range c {
		less := ((d[i] | guards) - c[i]) & guards >> 7 * 0xff // all bits of the fields where c has no more
		c[i] = c[i]&less | d[i]&^less
	}
	return c
}

// each calls found for the kinds of which there are some.
func (c *content) each(found func(field, n int)) {
	for i, w := range c {
		for w != 0 {
			at := bits.TrailingZeros64(w) / 8
			found(i*8+at, int(w>>(at*8)&0xff))
			w &^= 0xff << (at * 8)
		}
	}
}

const (
	mostViews  = 12 // that labels are weighed by: more cost each label more than they drop
	firstViews = 4  // of rules, never given up for new ones
	sharpViews = 6  // that a packing takes over from those before
)

// label is one way to hold pieces: which, what they are worth by each view, and the step that came to it.
type label struct {
	has   content
	worth [mostViews]int
	step  int32
}

// front is labels of which none holds all that another holds. From compareAll on, only labels that hold the
// very same are told from others.
type front struct {
	labels []label
	known  map[content]struct{} // all that were added, once they are many
	most   [mostViews]int       // that any is worth
}

const compareAll = 128 // labels up to which each is compared with all

// clear drops all labels.
func (f *front) clear() { *f = front{labels: f.labels[:0]} }

// add adds a label unless another holds as much, and reports whether it did.
func (f *front) add(l *label) bool {
	if f.known == nil {
		for i := range f.labels {
			if l.has.within(&f.labels[i].has) {
				return false
			}
		}
		f.labels = slices.DeleteFunc(f.labels, func(of label) bool { return of.has.within(&l.has) })
		if len(f.labels) == compareAll {
			f.known = make(map[content]struct{}, 4*compareAll)
			for i := range f.labels {
				f.known[f.labels[i].has] = struct{}{}
			}
		}
	}
	if f.known != nil {
		if _, again := f.known[l.has]; again {
			return false
		}
		f.known[l.has] = struct{}{}
	}
	f.labels = append(f.labels, *l)
	for v, w := range l.worth {
		f.most[v] = max(f.most[v], w)
	}
	return true
}

// addAll adds all of another's.
func (f *front) addAll(of *front) {
	for i := range of.labels {
		f.add(&of.labels[i])
	}
}

// keep drops the labels that are not kept.
func (f *front) keep(kept func(l *label) bool) {
	out := f.labels[:0]
	f.most = [mostViews]int{}
	for i := range f.labels {
		if l := &f.labels[i]; kept(l) {
			out = append(out, *l)
			for v, w := range l.worth {
				f.most[v] = max(f.most[v], w)
			}
		}
	}
	f.labels = out
}
