package rack

import (
	"fmt"
	"slices"
	"time"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"strapwise/hide"
	"strapwise/hide/money"
	"strapwise/hide/source"
	"strapwise/nest"
	"strapwise/nest/record"
	"strapwise/nest/safe"
	"strapwise/nest/workshop"
)

// Away is what putting away has come to.
type Away struct {
	Entry   int        `json:"entry"`
	Hides   []CutHide  `json:"hides"`
	Made    []MadeSets `json:"made"`    // complete with these hides
	Before  []string   `json:"before"`  // hides of the plan that were put away earlier
	Waiting []string   `json:"waiting"` // and those that are still on the rack
}

// CutHide is a hide that has been cut, and what became of it. Areas are whole mm².
type CutHide struct {
	Hide     string        `json:"hide"`
	Whole    record.Amount `json:"whole"`
	Pieces   int           `json:"pieces"`
	Used     record.Amount `json:"used"`
	Remnants []Back        `json:"remnants"`
	Scrap    record.Amount `json:"scrap"`
	Small    []int         `json:"small"` // numbers of remnants on the sheet that are scrap: below the least size, or no strip within their trim
}

// Back is a remnant that is on the rack now.
type Back struct {
	Remnant int    `json:"remnant"` // its number on the sheet
	Hide    string `json:"hide"`
	record.Amount
}

// PutAway takes hides that have been cut as a plan says off the rack, and puts
// what they leave on it: all of the plan's hides that are there, or those named.
// mark is the plan's. A hide that the record does not know comes into it at the same
// time. The error is a *Refusal, a *source.Error, or as of safe.Folder.Replace.
func (r *Rack) PutAway(on time.Time, plan nest.Plan, mark string, only ...string) (Away, error) {
	out := Away{Hides: []CutHide{}, Made: []MadeSets{}, Before: []string{}, Waiting: []string{}}
	names, err := r.toPutAway(plan, mark, only, &out)
	if err != nil {
		return out, err
	}
	if faults := r.untrue(plan, names); len(faults) > 0 {
		return out, &Refusal{
			What: fmt.Sprintf("the plan is not of the hides on the rack: %s", faults[0]),
			Help: "nothing was put away; look whether a hide's file has been changed since the plan was made: strapwise check tells all",
		}
	}
	change := &cutting{rack: r, on: on, plan: plan, mark: mark}
	for _, name := range names {
		c, err := change.cut(name)
		if err != nil {
			return out, err
		}
		out.Hides = append(out.Hides, c)
	}
	book, err := r.book()
	if err != nil {
		return out, err
	}
	out.Made = madeBy(plan, append(slices.Clone(out.Before), names...), names)
	// They stand before what must add up, so that lines lost at the end of the entry are found out.
	var made []record.Line
	for _, m := range out.Made {
		made = append(made, record.Line{What: record.Made, Order: m.Order, Sets: record.SetNumbers(m.Sets), Count: len(m.Sets), Plan: mark, File: book})
	}
	out.Entry, err = r.commit(on, append(made, change.lines...), change.files)
	return out, err
}

// toPutAway sorts the plan's hides: those to put away now, those that were put away
// before, and those that wait.
func (r *Rack) toPutAway(plan nest.Plan, mark string, only []string, out *Away) ([]string, error) {
	laid := map[string]bool{}
	var names []string
	for _, l := range plan.Hides {
		laid[l.Hide] = true
	}
	for _, name := range only {
		if !laid[name] {
			return nil, &Refusal{What: fmt.Sprintf("--hide: the plan cuts nothing from %q", name), Help: "strapwise sheet draws the hides of a plan", Asked: true}
		}
	}
	for i, l := range plan.Hides {
		known, there := r.Ledger.Hide(l.Hide), r.hide(l.Hide) != nil
		away := known != nil && known.Fate == record.Cut && known.Plan == mark
		wanted := len(only) == 0 && !away || slices.Contains(only, l.Hide)
		switch {
		case slices.ContainsFunc(plan.Hides[:i], func(o nest.HideLay) bool { return o.Hide == l.Hide }):
			return nil, &Refusal{What: fmt.Sprintf("the plan lays %s twice", l.Hide), Help: "lay again"}
		case !wanted && away:
			out.Before = append(out.Before, l.Hide)
		case !wanted && there:
			out.Waiting = append(out.Waiting, l.Hide)
		case !wanted: // whatever became of it
		case away:
			return nil, &Refusal{What: fmt.Sprintf("%s has been put away already, with entry %d", l.Hide, known.Out), Help: "strapwise rack undo takes the last entry back"}
		case known != nil && !known.OnRack():
			return nil, &Refusal{What: fmt.Sprintf("%s is no longer on the rack: it left with entry %d (%s)", l.Hide, known.Out, known.Fate), Help: "lay again with the leather that is there, or name the others with --hide"}
		case !there:
			return nil, &Refusal{What: fmt.Sprintf("found no hide named %q on the rack, which the plan cuts", source.Shorten(l.Hide, source.Quoted)), Help: "put its file back from a copy, or name the others with --hide"}
		default:
			names = append(names, l.Hide)
		}
	}
	if len(names) == 0 {
		if len(out.Before) > 0 {
			return nil, &Refusal{What: "all hides of the plan have been put away already", Help: "strapwise rack undo takes the last entry back"}
		}
		return nil, &Refusal{What: "the plan cuts nothing", Help: "there is nothing to put away"}
	}
	return names, nil
}

// cutting gathers what a change makes of files and record.
type cutting struct {
	rack  *Rack
	on    time.Time
	plan  nest.Plan
	mark  string
	lines []record.Line
	files []safe.File
	named []string // new hides
}

// cut takes one hide off the rack and puts its remnants on it.
func (c *cutting) cut(name string) (CutHide, error) {
	h := c.rack.hide(name)
	text, err := c.rack.text(name)
	if err != nil {
		return CutHide{}, err
	}
	known := c.rack.Ledger.Hide(name)
	if known == nil {
		found := arrival(record.Found, h, text)
		c.lines = append(c.lines, found)
		known = &record.Hide{Name: name, AreaMM2: found.AreaMM2, Cost: found.Cost, Supplier: h.Supplier(), Grade: h.Grade()}
	} else if differs := known.Differs(h); known.File != printOf(text) && len(differs) > 0 {
		return CutHide{}, &Refusal{
			What: fmt.Sprintf("%s has changed since it was recorded: %s", workshop.HideFile(name), differs[0]),
			Help: "undo the change; or, if the file is right, take it as it is: strapwise rack accept " + name,
		}
	}
	parts, err := c.parts(h)
	if err != nil {
		return CutHide{}, err
	}
	areas := money.Portions(known.AreaMM2, parts.measured)
	costs := record.ShareCost(known.Cost, areas)
	out := CutHide{Hide: name, Remnants: []Back{}, Small: parts.small, Whole: record.Amount{AreaMM2: known.AreaMM2, Cost: known.Cost.Decimal}}
	c.lines = append(c.lines, record.Line{What: record.Cut, Hide: name, AreaMM2: known.AreaMM2, Cost: known.Cost, Plan: c.mark, File: printOf(text)})
	for i, p := range parts.lines {
		p.AreaMM2, p.Cost = areas[i], costs[i]
		amount := record.Amount{AreaMM2: p.AreaMM2, Cost: p.Cost.Decimal}
		switch p.What {
		case record.Pieces:
			out.Pieces += p.Count
			out.Used.AreaMM2 += amount.AreaMM2
			out.Used.Cost = out.Used.Cost.Add(amount.Cost)
		case record.Scrap:
			out.Scrap = amount
		case record.Remnant:
			rest := parts.left[i]
			rest.spec.Cost = p.Cost.Decimal
			back, data, err := c.back(rest)
			if err != nil {
				return out, err
			}
			p.Hide, p.Of, p.Leather, p.Form, p.Supplier, p.Grade = back.Name(), name, back.Leather(), back.Form(), back.Supplier(), back.Grade()
			p.File = printOf(data)
			out.Remnants = append(out.Remnants, Back{Remnant: rest.n, Hide: back.Name(), Amount: amount})
		}
		c.lines = append(c.lines, p)
	}
	c.files = append(c.files, safe.File{Name: workshop.HideFile(name), Gone: true}, safe.File{Name: record.KeptFile(name), Data: text})
	return out, nil
}

// parts is what a hide is cut into, as measured: pieces by order and part, remnants,
// and scrap, which is always the last.
type parts struct {
	lines    []record.Line
	measured []float64    // mm²
	left     map[int]left // by line
	small    []int
}

// left is what there is to say of a remnant, and its number on the sheet.
type left struct {
	n    int
	spec hide.Spec
}

func (p *parts) add(l record.Line, mm2 float64) {
	p.lines, p.measured = append(p.lines, l), append(p.measured, mm2)
}

func (c *cutting) parts(h *hide.Hide) (parts, error) {
	out := parts{left: map[int]left{}, small: []int{}}
	rest := h.Area()
	type key struct{ order, part string }
	at, sets := map[key]int{}, map[key][]int{}
	var keys []key // in the order of the plan
	// What is spoilt is scrap.
	for _, p := range slices.Concat(c.plan.Pieces, c.plan.Spare) {
		if p.Hide != h.Name() {
			continue
		}
		k := key{p.Order, p.Part}
		if _, known := at[k]; !known {
			at[k] = len(out.lines)
			keys = append(keys, k)
			out.add(record.Line{What: record.Pieces, Hide: h.Name(), Order: p.Order, Part: p.Part, Plan: c.mark}, 0)
		}
		a := areaOf(p.Outline)
		out.lines[at[k]].Count++
		out.measured[at[k]] += a
		sets[k] = append(sets[k], p.Set)
		rest -= a
	}
	for _, k := range keys {
		out.lines[at[k]].Sets = record.SetNumbers(sets[k])
	}
	for _, l := range c.plan.Hides {
		if l.Hide != h.Name() {
			continue
		}
		for i, outline := range l.Remnants {
			spec, worth, err := nest.Keep(h, outline, c.rack.Shop.Least)
			if err != nil {
				return out, fmt.Errorf("what is left of %s: %w", h.Name(), err)
			}
			if !worth {
				out.small = append(out.small, i+1)
				continue
			}
			spec.From, spec.PutAway = h.Name(), c.on
			a := areaOf(outline)
			out.left[len(out.lines)] = left{i + 1, spec}
			out.add(record.Line{What: record.Remnant, Plan: c.mark}, a)
			rest -= a
		}
	}
	out.add(record.Line{What: record.Scrap, Hide: h.Name(), Plan: c.mark}, max(0, rest))
	return out, nil
}

// areaOf is the area of an outline that Check has found simple.
func areaOf(outline []orb.Point) float64 {
	ring := append(orb.Ring{}, outline...)
	return max(planar.Area(append(ring, outline[0])), -planar.Area(append(ring, outline[0])))
}
