package report

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"strapwise/hide/measure"
	"strapwise/nest"
)

// Options say how a sheet is set. The zero value is A4 with a metric rule.
type Options struct {
	Rule     measure.Rule // the workshop's own: every figure on the sheet is read on it
	Paper    Paper
	FullSize bool   // scale 1:1, on a page as large as the hide asks for
	Workshop string // its name, at the head; may be empty
	Date     string // as it is to be printed; may be empty
	Claim    string // what is known of better lays; empty: Proof of the plan's result
	Mark     string // of the plan, told once for all its sheets; empty: told for this one
}

func (o Options) markOf(p nest.Plan) string {
	if o.Mark != "" {
		return o.Mark
	}
	return Mark(p)
}

// Room on a page, in millimetres.
const (
	margin     = 8.0
	headRoom   = 17.0
	footRoom   = 6.5
	gutter     = 6.0 // between picture and list, and between columns of the list
	leastList  = 2.4 // size of type
	usualList  = 3.2
	fairScale  = 0.72 // of the scale it could have without a list, a picture should keep this beside one, on A4
	leastScale = 0.50 // and keeps at least this, or the list goes overleaf
	mostKey    = 12.0 // lines of the list of flaws, so that it leaves the picture its room
)

// Sheet draws how one hide of the plan is cut: the picture, and the cutting
// list beside or under it, with the same numbers. It is one page wherever the
// list can be read on it; else the list goes on over further pages of the same
// size, and the first one says so. Nothing is left out and no text covers
// other text.
func Sheet(j nest.Job, p nest.Plan, hideName string, o Options) ([]Page, error) {
	l, err := readLay(j, p, hideName, o.Rule)
	if err != nil {
		return nil, err
	}
	s := &sheet{lay: l, options: o, steps: l.steps(), mark: o.markOf(p), lists: map[setting]*listing{}}
	s.width, s.height = o.Paper.Size()
	if o.FullSize {
		return s.fullSize()
	}
	room := s.room()
	var pages []Page
	withKey(func(spare float64) (wants float64) {
		at, _ := s.arrange(room, spare)
		pages, wants, err = s.draw(at, spare)
		return wants
	})
	return pages, err
}

// withKey has a picture drawn, again if need be, until the room that is spared for the list
// of its flaws is as much as that wants, or as it may have: both in lines.
func withKey(draw func(spare float64) (wants float64)) {
	spare := 0.0
	for wants := draw(spare); wants > spare && spare < mostKey; wants = draw(spare) {
		spare = min(max(spare+1, wants), mostKey)
	}
}

type sheet struct {
	*lay
	options       Options
	steps         []Step
	mark          string // of the plan
	width, height float64
	lists         map[setting]*listing // set so far, since arrangements ask for the same again and again
}

// setting is how a list is set.
type setting struct {
	size, width float64
	inline      bool
}

func (s *sheet) setList(size, width float64, inline bool) *listing {
	as := setting{size, width, inline}
	if s.lists[as] == nil {
		s.lists[as] = setList(s.steps, size, width, inline)
	}
	return s.lists[as]
}

// room is what head and foot leave of a page.
func (s *sheet) room() orb.Bound {
	return orb.Bound{Min: orb.Point{margin, margin + headRoom}, Max: orb.Point{s.width - margin, s.height - margin - footRoom}}
}

// arrangement is where picture and list stand on the first page, or the list on a further one.
type arrangement struct {
	scale   float64
	picture orb.Bound
	list    *listing
	from    int         // first row of the list on this page
	at      []orb.Point // upper left corner of each column of the list
	ends    []int       // row after each column's last
	height  float64     // of the columns
}

// arrange tries the list under the picture and beside it, in the largest type
// that leaves the picture large enough, first for a fair picture, then for the
// least. It reports false if the page cannot hold both; then the picture has
// it, and the list as much of it as is left. On larger paper the type comes before the picture.
func (s *sheet) arrange(room orb.Bound, spare float64) (arrangement, bool) {
	w, h := room.Max[0]-room.Min[0], room.Max[1]-room.Min[1]
	best := s.scaleFor(w, h, spare)
	var tried []arrangement
	a4, _ := A4.Size()
	for _, enough := range []float64{max(leastScale, fairScale*min(1, a4/s.width)), leastScale} {
		for i, size := 0, usualList; size > leastList-0.01; i, size = i+1, size-0.2 {
			if i == len(tried) {
				tried = append(tried, s.largest(room, size, spare))
			}
			if tried[i].scale >= enough*best {
				return tried[i], true
			}
		}
	}
	return s.split(room, spare), false
}

// largest is the arrangement with the largest picture, of those with the list
// in one size of type.
func (s *sheet) largest(room orb.Bound, size, spare float64) arrangement {
	var found arrangement
	for _, a := range append(s.under(room, size, spare), s.beside(room, size, spare)...) {
		if a.scale > found.scale+1e-9 {
			found = a
		}
	}
	return found
}

// under lists the ways of setting the list in columns beneath the picture.
func (s *sheet) under(room orb.Bound, size, spare float64) []arrangement {
	var out []arrangement
	w := room.Max[0] - room.Min[0]
	for count := 1; ; count++ {
		column := (w - float64(count-1)*gutter) / float64(count)
		if column < 20*size {
			return out
		}
		for _, inline := range []bool{true, false} {
			list := s.setList(size, column, inline)
			height := list.height(count)
			over := room.Max[1] - room.Min[1] - height - gutter
			scale := s.scaleFor(w, over, spare)
			if scale <= 0 {
				continue
			}
			_, ph := s.pictureSize(scale, spare)
			a := arrangement{scale: scale, list: list, height: height, ends: list.columns(count, height)}
			a.picture = orb.Bound{Min: room.Min, Max: orb.Point{room.Max[0], room.Min[1] + ph + gutter/2}}
			for i := range a.ends {
				a.at = append(a.at, orb.Point{room.Min[0] + float64(i)*(column+gutter), room.Min[1] + ph + gutter})
			}
			out = append(out, a)
		}
	}
}

// beside lists the ways of setting it in columns to the right of the picture.
func (s *sheet) beside(room orb.Bound, size, spare float64) []arrangement {
	var out []arrangement
	w, h := room.Max[0]-room.Min[0], room.Max[1]-room.Min[1]
	for count := 1; count <= 3; count++ {
		list, ends := s.narrowest(count, (w-4*sideRoom)/float64(count)-gutter, h, size)
		if ends == nil {
			continue
		}
		taken := float64(count) * (list.width + gutter)
		a := arrangement{scale: s.scaleFor(w-taken, h, spare), list: list, ends: ends, height: h}
		a.picture = orb.Bound{Min: room.Min, Max: orb.Point{room.Max[0] - taken, room.Max[1]}}
		for i := range ends {
			a.at = append(a.at, orb.Point{room.Max[0] - taken + gutter + float64(i)*(list.width+gutter), room.Min[1]})
		}
		if a.scale > 0 {
			out = append(out, a)
		}
	}
	return out
}

// narrowest sets the list in so many columns of that height, no wider than
// they need be. Ends is nil where even the widest do not hold it.
func (s *sheet) narrowest(count int, widest, height, size float64) (list *listing, ends []int) {
	try := func(column float64) bool {
		l := s.setList(size, column, column > 34*size)
		if e := l.columns(count, height); e != nil {
			list, ends = l, e
			return true
		}
		return false
	}
	least := 20 * size
	for column := least; column < widest; column += 8 * size {
		if try(column) {
			for column -= 7 * size; column > least && !try(column); column += size {
			}
			return list, ends
		}
	}
	return nil, nil
}

// split gives the picture all the room it can use and the list what is left
// of the page; the rest of the list goes over to the next. The type is the largest that
// makes do with the fewest pages.
func (s *sheet) split(room orb.Bound, spare float64) arrangement {
	var best arrangement
	fewest := math.MaxInt
	for size := usualList; size > leastList-0.01; size -= 0.2 {
		a := s.splitIn(room, size, spare)
		if n := len(s.overleaf(a)); n < fewest {
			best, fewest = a, n
		}
	}
	return best
}

// splitIn is the split with the list in one size of type.
func (s *sheet) splitIn(room orb.Bound, size, spare float64) arrangement {
	w, h := room.Max[0]-room.Min[0], room.Max[1]-room.Min[1]
	list := s.shortest(w, size)
	a := arrangement{list: list, picture: room, scale: s.scaleFor(w, h, spare)}
	_, ph := s.pictureSize(a.scale, spare)
	a.height = h - ph - gutter/2
	a.picture.Max[1] = room.Min[1] + ph
	done := 0
	for i := range s.listColumns(list) {
		end := list.column(done, a.height)
		if end == done {
			break
		}
		a.at = append(a.at, orb.Point{room.Min[0] + float64(i)*(list.width+gutter), room.Max[1] - a.height})
		a.ends = append(a.ends, end)
		done = end
	}
	return a
}

// shortest sets the list in one size of type so that it takes the least paper:
// in as many columns side by side as serve best, cross-cuts beside their
// strips or under them.
func (s *sheet) shortest(w, size float64) *listing {
	var best *listing
	least := math.Inf(1)
	for count := 1; ; count++ {
		column := (w - float64(count-1)*gutter) / float64(count)
		if count > 1 && column < 20*size {
			return best
		}
		for _, inline := range []bool{true, false} {
			list := s.setList(size, column, inline)
			total := 0.0
			for _, r := range list.rows {
				total += r.height
			}
			if total/float64(count) < least {
				best, least = list, total/float64(count)
			}
		}
	}
}

// listColumns is how many columns of the list go side by side.
func (s *sheet) listColumns(list *listing) int {
	room := s.room()
	return max(1, int((room.Max[0]-room.Min[0]+gutter)/(list.width+gutter)+1e-6))
}

// overleaf is where the list goes on after the first page, page by page.
func (s *sheet) overleaf(first arrangement) []arrangement {
	room, done := s.room(), 0
	if n := len(first.ends); n > 0 {
		done = first.ends[n-1]
	}
	var out []arrangement
	for done < len(first.list.rows) {
		a := arrangement{list: first.list, height: room.Max[1] - room.Min[1], from: done}
		for i := range s.listColumns(a.list) {
			done = a.list.column(done, a.height)
			a.at = append(a.at, orb.Point{room.Min[0] + float64(i)*(a.list.width+gutter), room.Min[1]})
			a.ends = append(a.ends, done)
			if done == len(a.list.rows) {
				break
			}
		}
		out = append(out, a)
	}
	return out
}

// draw sets the pages of an arrangement. It returns how many lines the list
// of numbered flaws wants.
func (s *sheet) draw(a arrangement, spare float64) ([]Page, float64, error) {
	k := &ink{}
	wants := drawPicture(s.lay, k, a.picture, a.scale, spare)
	s.columns(k, a)
	inks := []*ink{k}
	for _, rest := range s.overleaf(a) {
		next := &ink{}
		s.columns(next, rest)
		inks = append(inks, next)
	}
	var pages []Page
	for i, k := range inks {
		if err := s.head(k, i+1, len(inks), a.scale); err != nil {
			return nil, 0, err
		}
		s.foot(k, i+1, len(inks))
		pages = append(pages, Page{Width: s.width, Height: s.height, Title: s.title(), Items: k.items})
	}
	return pages, wants, nil
}

// columns sets the columns of a page.
func (s *sheet) columns(k *ink, a arrangement) {
	from := a.from
	for i, end := range a.ends {
		at := a.at[i]
		if i > 0 {
			k.line(fine, nil, orb.Point{at[0] - gutter/2, at[1]}, orb.Point{at[0] - gutter/2, at[1] + a.height})
		}
		a.list.draw(k, at, from, end)
		from = end
	}
}

// fullSize lays the hide out at its own size, with the list beside it.
func (s *sheet) fullSize() ([]Page, error) {
	var pages []Page
	var err error
	withKey(func(spare float64) (wants float64) {
		pw, ph := s.pictureSize(1, spare)
		h := max(ph, 120)
		list := s.setList(usualList, 42*usualList, true)
		count := 1
		for list.columns(count, h) == nil {
			count++
		}
		taken := float64(count) * (list.width + gutter)
		s.width, s.height = math.Ceil(pw+taken+2*margin), math.Ceil(h+headRoom+footRoom+2*margin)
		room := s.room()
		a := arrangement{scale: 1, list: list, ends: list.columns(count, h), height: h}
		a.picture = orb.Bound{Min: room.Min, Max: orb.Point{room.Min[0] + pw, room.Max[1]}}
		for i := range a.ends {
			a.at = append(a.at, orb.Point{room.Min[0] + pw + gutter + float64(i)*(list.width+gutter), room.Min[1]})
		}
		pages, wants, err = s.draw(a, spare)
		return wants
	})
	return pages, err
}

func count(n int, one string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %ss", n, one)
}
