package report

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"strapwise/hide/measure"
	"strapwise/nest"
	"strapwise/report/internal/shape"
)

// Paper is a size of paper, used with its long side across.
type Paper int

// The papers.
const (
	A4 Paper = iota
	A3
	Letter
)

// Size is the paper's width and height in millimetres.
func (p Paper) Size() (width, height float64) {
	switch p {
	case A3:
		return 420, 297
	case Letter:
		return 279.4, 215.9
	default:
		return 297, 210
	}
}

// ParsePaper reads a paper's name.
func ParsePaper(s string) (Paper, error) {
	switch s {
	case "a4", "A4":
		return A4, nil
	case "a3", "A3":
		return A3, nil
	case "letter", "Letter":
		return Letter, nil
	}
	return A4, fmt.Errorf("found paper %q, expected a4, a3 or letter", s)
}

// Options say how a sheet is set. The zero value is A4 with a metric rule.
type Options struct {
	Rule     measure.Rule // the workshop's own: every figure on the sheet is read on it
	Paper    Paper
	FullSize bool   // scale 1:1, on a page as large as the hide asks for
	Workshop string // its name, at the head; may be empty
	Date     string // as it is to be printed; may be empty
	Claim    string // what is known of better lays; empty: Proof of the plan's result
}

// Room on a page, in millimetres.
const (
	margin     = 8.0
	headRoom   = 17.0
	footRoom   = 6.5
	gutter     = 6.0 // between picture and list, and between columns of the list
	leastList  = 2.4 // size of type
	usualList  = 3.2
	fairScale  = 0.72 // of the scale it could have without a list, a picture should keep this beside one
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
	s := &sheet{lay: l, options: o, steps: l.steps(), mark: Mark(p)}
	s.width, s.height = o.Paper.Size()
	if o.FullSize {
		return s.fullSize()
	}
	room := s.room()
	for spare := 0.0; ; spare++ {
		at, _ := s.arrange(room, spare)
		pages, wants, err := s.draw(at, spare)
		if err != nil || wants <= spare || spare >= mostKey {
			return pages, err
		}
		spare = min(max(spare, wants-1), mostKey-1)
	}
}

type sheet struct {
	*lay
	options       Options
	steps         []Step
	mark          string // of the plan
	width, height float64
}

// room is what head and foot leave of a page.
func (s *sheet) room() orb.Bound {
	return orb.Bound{Min: orb.Point{margin, margin + headRoom}, Max: orb.Point{s.width - margin, s.height - margin - footRoom}}
}

// arrangement is where picture and list stand on the first page.
type arrangement struct {
	scale   float64
	picture orb.Bound
	list    *listing
	at      []orb.Point // upper left corner of each column of the list
	ends    []int       // row after each column's last
	height  float64     // of the columns
}

// arrange tries the list under the picture and beside it, in the largest type
// that leaves the picture large enough, first for a fair picture, then for the
// least. It reports false if the page cannot hold both; then the picture has
// it, and the list as much of it as is left.
func (s *sheet) arrange(room orb.Bound, spare float64) (arrangement, bool) {
	w, h := room.Max[0]-room.Min[0], room.Max[1]-room.Min[1]
	best := s.scaleFor(w, h, spare)
	var tried []arrangement
	for _, enough := range []float64{fairScale, leastScale} {
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
			list := setList(s.steps, size, column, inline)
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
		l := setList(s.steps, size, column, column > 34*size)
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
// of the page; the rest of the list goes over to the next.
func (s *sheet) split(room orb.Bound, spare float64) arrangement {
	w, h := room.Max[0]-room.Min[0], room.Max[1]-room.Min[1]
	list := s.shortest(w)
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

// shortest sets the list in the usual type so that it takes the least paper:
// in as many columns side by side as serve best, cross-cuts beside their
// strips or under them.
func (s *sheet) shortest(w float64) *listing {
	var best *listing
	least := math.Inf(1)
	for count := 1; ; count++ {
		column := (w - float64(count-1)*gutter) / float64(count)
		if count > 1 && column < 20*usualList {
			return best
		}
		for _, inline := range []bool{true, false} {
			list := setList(s.steps, usualList, column, inline)
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

// draw sets the pages of an arrangement. It returns how many lines the list
// of numbered flaws wants.
func (s *sheet) draw(a arrangement, spare float64) ([]Page, float64, error) {
	k := &ink{}
	wants := drawPicture(s.lay, k, a.picture, a.scale, spare)
	done := s.columns(k, a)
	inks := []*ink{k}
	room := s.room()
	for done < len(a.list.rows) {
		next := &ink{}
		rest := arrangement{list: a.list, height: room.Max[1] - room.Min[1]}
		for i := range s.listColumns(a.list) {
			end := a.list.column(done, rest.height)
			rest.at = append(rest.at, orb.Point{room.Min[0] + float64(i)*(a.list.width+gutter), room.Min[1]})
			rest.ends = append(rest.ends, end)
			s.column(next, rest, i, done)
			if done = end; done == len(a.list.rows) {
				break
			}
		}
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

// columns sets the columns of the first page and returns the row after the last.
func (s *sheet) columns(k *ink, a arrangement) int {
	from := 0
	for i := range a.ends {
		s.column(k, a, i, from)
		from = a.ends[i]
	}
	return from
}

func (s *sheet) column(k *ink, a arrangement, i, from int) {
	at := a.at[i]
	if i > 0 {
		k.line(fine, nil, orb.Point{at[0] - gutter/2, at[1]}, orb.Point{at[0] - gutter/2, at[1] + a.height})
	}
	a.list.draw(k, at, from, a.ends[i])
}

// fullSize lays the hide out at its own size, with the list beside it.
func (s *sheet) fullSize() ([]Page, error) {
	for spare := 0.0; ; spare++ {
		pw, ph := s.pictureSize(1, spare)
		h := max(ph, 120)
		list := setList(s.steps, usualList, 42*usualList, true)
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
		pages, wants, err := s.draw(a, spare)
		if err != nil || wants <= spare || spare >= mostKey {
			return pages, err
		}
		spare = min(max(spare, wants-1), mostKey-1)
	}
}

func (s *sheet) title() string { return "cutting sheet: " + s.hide.Name() + ", plan " + s.mark }

// head says what lies on the bench, what the plan gives and what is known of
// better ones.
func (s *sheet) head(k *ink, page, of int, scale float64) error {
	left, right, top := margin, s.width-margin, margin
	aside := s.aside()
	if of > 1 {
		aside = fmt.Sprintf("plan %s · sheet %d of %d", s.mark, page, of) + strings.TrimPrefix(aside, "plan "+s.mark)
	}
	w := right - left
	asideText := Text{At: orb.Point{right, top + 5.2}, Anchor: End, Size: 3.6, Runs: words(clip(aside, 3.6, w/3, false))}
	k.text(asideText)
	name := Text{At: orb.Point{left, top + 5.2}, Size: 6.4, Bold: true, Runs: words(clip(s.hide.Name(), 6.4, w/3, true))}
	k.text(name)
	x := name.Bound().Max[0] + 4
	k.text(Text{At: orb.Point{x, top + 5.2}, Size: 3.6, Runs: words(clip(s.about(), 3.6, asideText.Bound().Min[0]-3-x, false))})
	line, err := s.totals()
	if err != nil {
		return err
	}
	if scale == 1 {
		line += " · full size"
	} else {
		line += fmt.Sprintf(" · drawn 1 : %.1f", 1/scale)
	}
	k.line(cut, nil, orb.Point{left, top + 7.6}, orb.Point{right, top + 7.6})
	t := Text{At: orb.Point{left, top + 11.4}, Size: 3.2, Runs: words(clip(line, 3.2, w, false))}
	k.text(t)
	size := 2.8
	m := Text{At: orb.Point{right, top + 15.2}, Anchor: End, Size: size, Runs: words(s.marks())}
	k.text(m)
	room := m.Bound().Min[0] - left - 4
	proof := Text{At: orb.Point{left, top + 15.2}, Size: size, Runs: words(s.proof())}
	if proof.Width() > room {
		proof.Runs = words(clip(cmp.Or(s.options.Claim, shortProof(s.plan.Result)), size, room, false))
	}
	k.text(proof)
	return nil
}

// about is what lies on the bench.
func (s *sheet) about() string {
	return fmt.Sprintf("%s, %s, %s", s.hide.Leather(), s.hide.Form(), s.rule.BothAreas(s.hide.Area()))
}

// aside is whose plan it is, and of when.
func (s *sheet) aside() string {
	aside := "plan " + s.mark
	for _, more := range []string{s.options.Workshop, s.options.Date} {
		if more != "" {
			aside += " · " + more
		}
	}
	return aside
}

// totals are what the plan gives, in one line.
func (s *sheet) totals() (string, error) {
	used, err := s.used()
	if err != nil {
		return "", err
	}
	totals := []string{s.sets(), s.pieceCount(), count(len(s.cuts.Strips), "strip"), s.work(), fmt.Sprintf("%.0f %% of the leather used", 100*used)}
	if s.changed() {
		totals = append(totals, "changed: in red, with a star")
	}
	return strings.Join(totals, " · "), nil
}

// proof is what is known of better lays.
func (s *sheet) proof() string { return cmp.Or(s.options.Claim, Proof(s.plan.Result)) }

// marks says how the marks of the list count.
func (s *sheet) marks() string {
	marks := "All marks in " + unit(s.rule) + "; cross-cuts count from the squared end"
	if !s.lines[0].cut {
		marks += " of each strip"
	}
	if slices.ContainsFunc(s.bands, band.lettered) {
		marks += ", in a block from its left end"
	}
	return marks + "."
}

// cent is the least difference of money that is told.
const cent = 0.005

// Proof says in words what a plan is worth and what is proven of it.
func Proof(r nest.Result) string {
	switch {
	case r.Proven && r.CostBound > 0 && r.Cost <= r.CostBound+cent:
		return fmt.Sprintf("all sets are made, worth %.2f, from hides that cost %.2f; proven: no choice of hides that gives them costs less", r.Value, r.Cost)
	case r.Proven && r.CostBound > 0:
		return fmt.Sprintf("all sets are made, worth %.2f, from hides that cost %.2f; no choice of hides that gives them costs less than %.2f", r.Value, r.Cost, r.CostBound)
	case r.Proven:
		return fmt.Sprintf("proven: no lay of straight strips on these hides is worth more than this one, %.2f", r.Value)
	case r.Bound > 0:
		return fmt.Sprintf("no lay of straight strips on these hides is worth more than %.2f; this one is worth %.2f", r.Bound, r.Value)
	default:
		return fmt.Sprintf("this lay is worth %.2f; nothing is proven of better ones", r.Value)
	}
}

// shortProof is Proof where there is less room.
func shortProof(r nest.Result) string {
	switch {
	case r.Proven && r.CostBound > 0 && r.Cost <= r.CostBound+cent:
		return fmt.Sprintf("all sets, from hides that cost %.2f: proven the least", r.Cost)
	case r.Proven && r.CostBound > 0:
		return fmt.Sprintf("all sets, from hides that cost %.2f; the least is %.2f or more", r.Cost, r.CostBound)
	case r.Proven:
		return fmt.Sprintf("worth %.2f: proven the most", r.Value)
	}
	return Proof(r)
}

// pieceCount says how many pieces the hide gives, and how many of them are cut.
func (s *sheet) pieceCount() string {
	if n := s.cut(); n > 0 {
		return fmt.Sprintf("%s, %d of them cut", count(s.count(), "piece"), n)
	}
	return count(s.count(), "piece")
}

// sets says how many sets the plan completes.
func (s *sheet) sets() string {
	asked, complete := 0, 0
	for _, c := range s.plan.Sets {
		asked, complete = asked+c.Asked, complete+c.Complete
	}
	where := ""
	if n := len(s.plan.Hides); n > 1 {
		where = fmt.Sprintf(" from %d hides", n)
	}
	return fmt.Sprintf("%d of %s complete%s", complete, count(asked, "set"), where)
}

// work says how many cuts the hide takes, and how often the cutter is set.
func (s *sheet) work() string {
	p := nest.Plan{Hides: []nest.HideLay{s.cuts}}
	for _, piece := range s.plan.Pieces {
		if piece.Hide == s.hide.Name() {
			p.Pieces = append(p.Pieces, piece)
		}
	}
	settings := 0
	for _, step := range s.steps {
		if len(step.Set) > 0 && !step.Same && !step.Hand {
			settings++
		}
	}
	return count(nest.Cuts(p), "cut") + ", " + count(settings, "setting") + " of the cutter"
}

func count(n int, one string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %ss", n, one)
}

// used is the part of the hide that becomes pieces.
func (s *sheet) used() (float64, error) {
	sum := 0.0
	for _, p := range s.plan.Pieces {
		if p.Hide != s.hide.Name() {
			continue
		}
		g, err := shape.Of(p.Outline)
		if err != nil {
			return 0, fmt.Errorf("hide %q: %s: %w", s.hide.Name(), label(p), err)
		}
		sum += g.Area()
	}
	return sum / s.hide.Area(), nil
}

// cautions are the least that belongs beside a blade (common practice; the
// maker's own judgement comes first).
const cautions = "Cut away from the hand; keep fingers off an exposed gauge. Nothing that bears load from belly or across the grain. Check both faces before each cut."

func (s *sheet) foot(k *ink, page, of int) {
	left, right, base := margin, s.width-margin, s.height-margin
	k.line(fine, nil, orb.Point{left, base - 4.4}, orb.Point{right, base - 4.4})
	aside := ""
	switch {
	case page < of:
		aside = "THE LIST GOES ON OVERLEAF" + s.larger()
	case of == 1 && s.options.FullSize:
		aside = "print at 100 %; check against the ruler under the hide"
	}
	t := Text{At: orb.Point{right, base - 0.8}, Anchor: End, Size: 2.6, Bold: page < of, Runs: words(aside)}
	if aside != "" {
		k.text(t)
	}
	k.text(Text{At: orb.Point{left, base - 0.8}, Size: 2.6, Runs: words(clip(cautions, 2.6, t.Bound().Min[0]-left-4, false))})
}

// larger names the paper that would hold the sheet on one page.
func (s *sheet) larger() string {
	if s.options.Paper == A3 {
		return ""
	}
	big := &sheet{lay: s.lay, options: s.options, steps: s.steps}
	big.width, big.height = A3.Size()
	if _, fits := big.arrange(big.room(), 1); fits {
		return "; A3 HOLDS IT ON ONE SHEET"
	}
	return ""
}
