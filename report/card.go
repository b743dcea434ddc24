package report

import (
	"github.com/paulmach/orb"

	"strapwise/nest"
)

// Card is a cutting sheet taken apart: its words, its picture, and its list as
// lines, for a format that lays them out itself.
type Card struct {
	Name     string // of the hide
	About    string
	Mark     string   // of the plan
	Facts    []string // what the plan gives, what is proven, how marks count
	Picture  Page
	Lines    []Line
	Cautions string
}

// Line is a step of the list with the marks that belong to it.
type Line struct {
	Tick bool // there is something to be done before the marks
	Name string
	In   bool  // within a block
	Set  []Run // what the cutter is set to
	Same bool  // the cutter stands there already
	New  bool  // not so in the plan before
	Do   []Run
	Cuts []Cut
}

// Width and greatest height of a card's picture, in millimetres.
const (
	cardWidth  = 281
	cardHeight = 150
)

// NewCard takes the sheet of one hide of a plan apart.
func NewCard(j nest.Job, p nest.Plan, hideName string, o Options) (Card, error) {
	l, err := readLay(j, p, hideName, o.Rule)
	if err != nil {
		return Card{}, err
	}
	s := &sheet{lay: l, options: o, steps: l.steps(), mark: o.markOf(p)}
	totals, err := s.totals()
	if err != nil {
		return Card{}, err
	}
	c := Card{
		Name: hideName, About: s.about(), Mark: s.aside(), Cautions: cautions,
		Facts: []string{totals, s.proof(), s.marks()},
	}
	withKey(func(spare float64) (wants float64) {
		k := &ink{}
		scale := l.scaleFor(cardWidth, cardHeight, spare)
		w, h := l.pictureSize(scale, spare)
		wants = drawPicture(l, k, orb.Bound{Max: orb.Point{w, h}}, scale, spare)
		c.Picture = Page{Width: w, Height: h, Title: s.title(), Items: k.items}
		return wants
	})
	for _, step := range s.steps {
		if n := len(c.Lines); step.With && n > 0 {
			c.Lines[n-1].Cuts = step.Cuts
			continue
		}
		c.Lines = append(c.Lines, Line{Tick: step.ticked(), Name: step.Name, In: step.In, Set: step.Set, Same: step.Same, New: step.New, Do: step.told(), Cuts: step.Cuts})
	}
	return c, nil
}
