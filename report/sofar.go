package report

import (
	"fmt"
	"slices"
	"strings"

	"strapwise/nest"
)

// soFar writes what is cut of a hide that is begun, to be known before the rest is
// cut, and what is to be written anew on pieces that go to another set.
func (w *writer) soFar() {
	var cut, ripped, apart []int
	for _, b := range w.bands {
		switch left := slices.ContainsFunc(b.blocks, w.left); {
		case !b.cut:
		case b.apart && left:
			apart = append(apart, b.n)
		case b.apart:
			cut = append(cut, b.n)
		default:
			ripped = append(ripped, b.n)
		}
	}
	var told []string
	for _, s := range []struct {
		what  string
		bands []int
	}{{"cut: ", cut}, {"cut into blocks: ", apart}, {"ripped off: ", ripped}} {
		if len(s.bands) > 0 {
			told = append(told, s.what+numbers(s.bands))
		}
	}
	w.add(Step{Note: true, Do: words("so far " + strings.Join(told, "; "))})
	for i, b := range w.cuts.Bands {
		for _, k := range b.Blocks {
			for _, n := range k.Strips {
				for _, p := range w.done[n] {
					if p.New {
						w.rename(p, i+1)
					}
				}
			}
		}
	}
}

// rename writes that a piece goes to another set than it was cut for.
func (w *writer) rename(p nest.Piece, band int) {
	w.got = append(w.got, p)
	w.add(Step{New: true, Do: join(words(fmt.Sprintf("write %s on the %s cut from band %d, ", label(p)+star, p.Part, band)),
		figure(w.rule, p.ToMM-p.FromMM), words(" long"))})
}

// putBy writes which bands that are ripped off nothing is cut from now.
func (w *writer) putBy() {
	var idle []int
	for _, b := range w.bands {
		if b.cut && !b.apart && len(b.blocks) == 0 {
			idle = append(idle, b.n)
		}
	}
	if len(idle) > 0 {
		w.add(Step{Do: words("put by what was ripped off as " + numbers(idle) + ": nothing is cut from it now")})
	}
}
