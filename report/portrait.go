package report

import (
	"fmt"

	"github.com/paulmach/orb"

	"strapwise/hide"
	"strapwise/hide/plane"
	"strapwise/nest"
)

// Portrait draws one hide of the job as it lies on the bench, with its flaws, zones
// and backbone, and nothing cut: a page to hold against the leather. Of the options
// it takes rule, paper, workshop and date.
func Portrait(j nest.Job, hideName string, o Options) (Page, error) {
	h := j.Hide(hideName)
	if h == nil {
		return Page{}, fmt.Errorf("found no hide %q in the job", hideName)
	}
	l := &lay{job: j, rule: o.Rule, hide: h, frame: h.Frame()}
	l.readFlaws()
	box := h.Outline().In(l.frame).Bound()
	l.lines, l.uncut = []line{{cut: true}}, "along the backbone"
	if along := (plane.Span{Lo: box.Min[0], Hi: box.Max[0]}); h.Form() == hide.Remnant || along.Lo > 0 || along.Hi < 0 {
		l.lines[0].at, l.uncut = along.Lo, "from the left end"
	}
	s := &sheet{lay: l, options: o}
	s.width, s.height = o.Paper.Size()
	room := s.room()
	room.Min[1] -= headRoom - portraitHead
	var k *ink
	var scale float64
	withKey(func(spare float64) (wants float64) {
		k, scale = &ink{}, s.scaleFor(room.Max[0]-room.Min[0], room.Max[1]-room.Min[1], spare)
		return drawPicture(l, k, room, scale, spare)
	})
	s.portraitHead(k, scale)
	s.foot(k, 1, 1)
	return Page{Width: s.width, Height: s.height, Title: "hide: " + h.Name(), Items: k.items}, nil
}

// portraitHead is the room of the head of a portrait, in millimetres.
const portraitHead = 10.0

// portraitHead says which hide it is.
func (s *sheet) portraitHead(k *ink, scale float64) {
	left, right, top, w := margin, s.width-margin, margin, s.width-2*margin
	aside := fmt.Sprintf("drawn 1 : %.1f", 1/scale)
	for _, more := range []string{s.options.Workshop, s.options.Date} {
		if more != "" {
			aside += " · " + more
		}
	}
	asideText := Text{At: orb.Point{right, top + 5.2}, Anchor: End, Size: 3.6, Runs: words(clip(aside, 3.6, w/3, false))}
	k.text(asideText)
	h := s.hide
	name := Text{At: orb.Point{left, top + 5.2}, Size: 6.4, Bold: true, Runs: words(clip(h.Name(), 6.4, w/3, true))}
	k.text(name)
	what := fmt.Sprintf("%s, %s, %s", h.Leather(), h.Form(), s.rule.BothAreas(h.Area()))
	if h.From() != "" {
		what += ", cut from " + h.From()
	}
	x := name.Bound().Max[0] + 4
	k.text(Text{At: orb.Point{x, top + 5.2}, Size: 3.6, Runs: words(clip(what, 3.6, asideText.Bound().Min[0]-3-x, false))})
	k.line(cut, nil, orb.Point{left, top + 7.6}, orb.Point{right, top + 7.6})
}
