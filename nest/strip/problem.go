package strip

import (
	"cmp"
	"math"
	"slices"

	"strapwise/hide"
	"strapwise/nest"
)

// kind is one size of piece: all pieces of a job that may stand for each other.
type kind struct {
	leather string
	use     string
	length  int // marks along the strip
	width   int // marks across it
	knife   bool
	barred  bool    // the strap cutter does not take that width: there is no more than is cut already
	area    float64 // mm²

	template *nest.Template // laid as the rectangle round it; nil: it is that rectangle
}

// need is how many pieces of a kind a set takes.
type need struct{ kind, count int }

// row is an order as sets to complete.
type row struct {
	order *nest.Order
	qty   int     // sets that the tools and the rack do not rule out at once
	worth float64 // of a set, to the planner
	needs []need
	bar   string // why qty is less than the order's; empty if it is not
	part  string // the part that bars it
}

// problem is a job in the planner's terms: lengths are whole marks.
type problem struct {
	job     nest.Job
	mark    float64 // mm
	gap     int     // marks: least waste strip between two bands
	grips   int     // marks: least leather beside a strip of a block when it is ripped off
	kinds   []kind
	demand  []int // pieces of each kind, were every set made
	rows    []row
	grounds []*ground
	ways    [][]*ground // by ground: the hide under all tilts that are looked at; nil: as it lies
	gifts   []int       // pieces of each kind that are cut already
	begun   *begun      // what is cut already; nil: nothing
	hurried bool        // some orders come first, so that worth is not money
	shares  []float64   // by kind: a piece's share, by area, of the worth of a set, at the best
	unit    float64     // a mean worth of a mm² of the leather asked for
}

// marks rounds a length up to a whole number of marks.
func marks(mm, mark float64) int { return int(math.Ceil((mm - nest.SameLength) / mark)) }

// newProblem reads a job of which nothing is cut yet.
func newProblem(job nest.Job) (*problem, error) { return newProblemOn(job, nil, nil) }

// newProblemOn reads a job, of which so much is cut already, and hides are turned so.
func newProblemOn(job nest.Job, of *begun, turned map[string]tilt) (*problem, error) {
	p := &problem{job: job, mark: job.Tools.Mark, begun: of}
	p.gap, p.grips = max(1, marks(job.Tools.CutterMin, p.mark)), marks(job.Tools.Grips, p.mark)
	worth, area := 0.0, 0.0
	for i := range job.Orders {
		o := &job.Orders[i]
		r := row{order: o, qty: o.Qty, worth: o.Worth}
		for _, part := range o.Parts {
			n := p.kindOf(part)
			if n < 0 {
				k := kind{
					leather: part.Leather, use: part.Use, knife: part.Knife, barred: !job.Tools.CanCut(part), template: part.Template,
					length: marks(part.Length, p.mark), width: marks(part.Width, p.mark),
				}
				k.area = float64(k.length) * float64(k.width) * p.mark * p.mark
				n, p.kinds = len(p.kinds), append(p.kinds, k)
			}
			r.add(n, part.Count)
			if r.bar == "" && !job.Tools.CanCut(part) {
				r.bar, r.part = "the strap cutter does not take that width", part.Name
			}
		}
		p.rows = append(p.rows, r)
	}
	p.gifts = make([]int, len(p.kinds))
	of.collect(p)
	p.bar()
	p.first()
	p.demand = make([]int, len(p.kinds))
	for _, r := range p.rows {
		for _, n := range r.needs {
			p.demand[n.kind] += r.qty * n.count
			area += float64(r.qty*n.count) * p.kinds[n.kind].area
		}
		worth += float64(r.qty) * r.worth
	}
	for _, h := range job.Hides {
		for _, part := range of.parts(p, h) {
			g, err := newGround(p, h, part, turned[h.Name()])
			if err != nil {
				return nil, err
			}
			p.grounds = append(p.grounds, g)
		}
	}
	p.shares = make([]float64, len(p.kinds))
	for _, r := range p.rows {
		set := 0.0
		for _, n := range r.needs {
			set += p.kinds[n.kind].area * float64(n.count)
		}
		for _, n := range r.needs {
			p.shares[n.kind] = max(p.shares[n.kind], r.worth*p.kinds[n.kind].area/set)
		}
	}
	if area > 0 {
		p.unit = max(worth, 1) / area
	}
	return p, nil
}

func (r *row) add(kind, count int) {
	for i := range r.needs {
		if r.needs[i].kind == kind {
			r.needs[i].count += count
			return
		}
	}
	r.needs = append(r.needs, need{kind, count})
}

// bar rules out the sets that want a leather of which there is none, or a width that the strap cutter does not
// take, but for those whose pieces of that are cut already.
func (p *problem) bar() {
	stocked := map[string]bool{}
	for _, h := range p.job.Hides {
		stocked[h.Leather()] = true
	}
	for i := range p.rows {
		r := &p.rows[i]
		for _, part := range r.order.Parts {
			if r.bar == "" && !stocked[part.Leather] {
				r.bar, r.part = "no "+part.Leather+" on the rack", part.Name
			}
		}
		for _, n := range r.needs {
			if k := &p.kinds[n.kind]; k.barred || !stocked[k.leather] {
				r.qty = min(r.qty, p.gifts[n.kind]/n.count)
			}
		}
	}
}

// first makes a set of an order due by the job's date worth more than all sets
// of all other orders together: it multiplies its worth by a whole number.
func (p *problem) first() {
	others, least := 0.0, math.Inf(1)
	due := func(r *row) bool {
		return !r.order.Due.IsZero() && !r.order.Due.After(p.job.By) && r.worth > 0
	}
	for i := range p.rows {
		if r := &p.rows[i]; due(r) {
			least = min(least, r.worth)
		} else {
			others += float64(r.qty) * r.worth
		}
	}
	for i := range p.rows {
		if r := &p.rows[i]; due(r) {
			r.worth *= 1 + math.Ceil(others/least)
			p.hurried = true
		}
	}
}

// leastGap is the least waste strip, in marks, that any lay must leave between
// two bands. Bands that the strap cutter need not rip may lie as they like.
func (p *problem) leastGap() int {
	for k := range p.kinds {
		if p.kinds[k].knife {
			return 1
		}
	}
	return p.gap
}

// meanWorth is the worth of a set on the mean of all that are asked for, as in the
// order book.
func (p *problem) meanWorth() float64 {
	worth, sets := 0.0, 0
	for _, r := range p.rows {
		worth += float64(r.qty) * r.order.Worth
		sets += r.qty
	}
	return worth / float64(max(1, sets))
}

// complete reports whether every set of the order book is made.
func (p *problem) complete(made []int) bool {
	for i, r := range p.rows {
		if made[i] < r.order.Qty {
			return false
		}
	}
	return true
}

// worthOf is what such sets are worth to the planner.
func (p *problem) worthOf(sets []int) float64 {
	worth := 0.0
	for i, n := range sets {
		worth += float64(n) * p.rows[i].worth
	}
	return worth
}

// making is the problem in which the sets made are all that is asked for.
func (p *problem) making(made []int) *problem {
	q := *p
	q.rows, q.demand = slices.Clone(p.rows), make([]int, len(p.kinds))
	for i := range q.rows {
		r := &q.rows[i]
		order := *r.order
		order.Qty, r.qty, r.order = made[i], made[i], &order
		for _, n := range r.needs {
			q.demand[n.kind] += r.qty * n.count
		}
	}
	return &q
}

// useNamed is a use of the job.
func (p *problem) useNamed(name string) hide.Use { return p.job.Uses[name] }

// worthUnit is the largest amount of money of which every sum of gains is a
// multiple, or 0 if the effort of cuts makes it any number.
func worthUnit(q question) float64 {
	if q.toll != 0 {
		return 0
	}
	const cent = 0.01
	unit := 0
	for _, gain := range q.gain {
		cents := gain / cent
		whole := int(math.Round(cents))
		if math.Abs(cents-float64(whole)) > 1e-6 {
			return 0
		}
		for a := whole; a != 0; {
			unit, a = a, unit%a
		}
	}
	return float64(unit) * cent
}

// leathers are those of the kinds, in the order of the job.
func (p *problem) leathers() []string {
	var out []string
	for _, kd := range p.kinds {
		if !slices.Contains(out, kd.leather) {
			out = append(out, kd.leather)
		}
	}
	return out
}

// large is how many of the grounds are no loose parts, of which there may be many on one hide and
// each is one band.
func (p *problem) large(grounds []int) int {
	n := 0
	for _, gi := range grounds {
		if !p.grounds[gi].part.loose {
			n++
		}
	}
	return n
}

// byWidth gives the kinds of one leather that are asked for and can be cut, grouped by width, narrowest first.
func (p *problem) byWidth(leather string) [][]int {
	var of []int
	for k := range p.kinds {
		if p.kinds[k].leather == leather && p.demand[k] > 0 && !p.kinds[k].barred {
			of = append(of, k)
		}
	}
	slices.SortStableFunc(of, func(a, b int) int { return cmp.Compare(p.kinds[a].width, p.kinds[b].width) })
	var groups [][]int
	for _, k := range of {
		if n := len(groups); n > 0 && p.kinds[groups[n-1][0]].width == p.kinds[k].width {
			groups[n-1] = append(groups[n-1], k)
		} else {
			groups = append(groups, []int{k})
		}
	}
	return groups
}
