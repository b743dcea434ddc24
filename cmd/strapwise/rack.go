package main

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"github.com/paulmach/orb"
	"github.com/spf13/cobra"

	"strapwise/hide"
	"strapwise/hide/measure"
	"strapwise/hide/plane"
	"strapwise/hide/source"
	"strapwise/nest/workshop"
)

func newRack(u *ui) *cobra.Command {
	c := &cobra.Command{
		Use:     "rack",
		Short:   "the leather on hand",
		Example: "  strapwise rack list\n  strapwise rack show ash-3",
		Args:    noSuchCommand,
		RunE:    func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	c.AddCommand(
		&cobra.Command{
			Use:     "list",
			Short:   "every hide: leather, form, area, longest run, cost",
			Example: "  strapwise rack list --json",
			Args:    noArgs,
			RunE:    func(*cobra.Command, []string) error { return rackList(u) },
		},
		&cobra.Command{
			Use:     "show HIDE",
			Short:   "one hide: its size, flaws, zones and runs",
			Example: "  strapwise rack show ash-3",
			Args: func(c *cobra.Command, args []string) error {
				if len(args) != 1 {
					return &usage{fmt.Sprintf("found %s, expected the name of one hide", source.Count(len(args), "argument")), "strapwise rack list shows the names"}
				}
				return nil
			},
			RunE: func(_ *cobra.Command, args []string) error { return rackShow(u, args[0]) },
		},
	)
	return c
}

// probe is the width of strip for which the rack tells the longest run: an inch,
// the commonest collar.
const probe = measure.MMPerInch

// rackHide is a hide on the rack, in figures. Lengths are millimetres.
type rackHide struct {
	Hide      string  `json:"hide"`
	Leather   string  `json:"leather"`
	Form      string  `json:"form"`
	AreaMM2   float64 `json:"area_mm2"`
	Use       string  `json:"use"`            // the most demanding that the leather serves; empty if none
	LongestMM float64 `json:"longest_run_mm"` // that serves it, of a strip an inch wide
	Flaws     int     `json:"flaws"`
	Cost      string  `json:"cost"` // money; empty if not told

	serving *hide.Leather // what serves the use, or load if none is served
}

func inFigures(w *workshop.Workshop, h *hide.Hide) (rackHide, error) {
	out := rackHide{Hide: h.Name(), Leather: h.Leather(), Form: h.Form(), AreaMM2: h.Area(), Flaws: len(h.Flaws())}
	if !h.Cost().IsZero() {
		out.Cost = h.Cost().StringFixed(2)
	}
	for _, use := range usesOf(w) {
		l, err := h.Serving(w.Uses[use], h.Frame())
		if err != nil {
			return rackHide{}, err
		}
		if out.serving == nil {
			out.serving = l
		}
		if run, _ := l.Longest(probe, searchStep); run.Len() > 0 {
			out.Use, out.LongestMM, out.serving = use, run.Len(), l
			break
		}
	}
	return out, nil
}

// usesOf are the names of a workshop's uses: the built-in ones, most demanding
// first, then its own.
func usesOf(w *workshop.Workshop) []string {
	var names []string
	for _, u := range hide.BuiltInUses() {
		names = append(names, u.Name)
	}
	for _, own := range slices.Sorted(maps.Keys(w.Uses)) {
		if !slices.Contains(names, own) {
			names = append(names, own)
		}
	}
	return names
}

// searchStep is how far apart, in millimetres, the rack looks for long runs.
const searchStep = 1

func rackList(u *ui) error {
	w, err := workshop.OpenRack(u.workshop)
	if err != nil {
		return err
	}
	all := []rackHide{}
	u.notes(w)
	rows := []string{fmt.Sprintf("hide\tleather\tform\tarea\tlongest run %s wide\tfor\tflaws\tcost", w.Rule.Length(probe))}
	for _, h := range w.Hides {
		r, err := inFigures(w, h)
		if err != nil {
			return err
		}
		all = append(all, r)
		rows = append(rows, fmt.Sprintf("%s\t%s\t%s\t%s\t%s\t%s\t%d\t%s", r.Hide, r.Leather, r.Form,
			w.Rule.Area(r.AreaMM2), w.Rule.Length(w.Rule.Down(r.LongestMM)), orDash(r.Use), r.Flaws, orDash(r.Cost)))
	}
	switch {
	case u.json:
		return u.value(map[string][]rackHide{"hides": all})
	case len(all) == 0:
		u.text("the rack is empty\n")
	default:
		u.table(rows)
	}
	return nil
}

func orDash(s string) string {
	if s == "" {
		return "-"
	}
	return s
}

func rackShow(u *ui, name string) error {
	w, err := workshop.OpenRack(u.workshop)
	if err != nil {
		return err
	}
	job, err := w.Job(name)
	if err != nil {
		return &usage{err.Error(), "strapwise rack list shows the names"}
	}
	u.notes(w)
	h := job.Hides[0]
	r, err := inFigures(w, h)
	if err != nil {
		return err
	}
	if u.json {
		return u.value(r)
	}
	u.table(hideRows(w, h, r))
	return nil
}

// hideRows describes a hide for people.
func hideRows(w *workshop.Workshop, h *hide.Hide, r rackHide) []string {
	rule := w.Rule
	box := h.Outline().In(h.Frame()).Bound()
	rows := []string{
		"hide\t" + r.Hide,
		"leather\t" + r.Leather + ", " + r.Form,
		"along the backbone\t" + rule.Both(box.Max[0]-box.Min[0]),
		"across it\t" + rule.Both(box.Max[1]-box.Min[1]),
		"area\t" + rule.BothAreas(r.AreaMM2),
	}
	if h.Stamped() > 0 {
		rows = append(rows, "area as sold\t"+rule.BothAreas(h.Stamped()))
	}
	if h.Trim() > 0 {
		rows = append(rows, "trim\t"+rule.Both(h.Trim()))
	}
	for i, s := range h.Readings() {
		label := ""
		if i == 0 {
			label = "substance"
		}
		text := fmt.Sprintf("%.1f mm", s.MM)
		if len(h.Readings()) > 1 {
			text += " at " + place(h, s.At, rule)
		}
		rows = append(rows, label+"\t"+text)
	}
	rows = append(rows, "cost\t"+orDash(r.Cost))
	if !h.Bought().IsZero() {
		rows = append(rows, "bought\t"+h.Bought().Format("2006-01-02"))
	}
	for i, width := range []float64{0.5, 1, 1.5, 2} {
		label := ""
		if i == 0 {
			label = "longest run"
			if r.Use != "" {
				label += " for " + r.Use
			}
		}
		run, at := r.serving.Longest(width*measure.MMPerInch, searchStep)
		text := "none"
		if run.Len() > 0 {
			text = fmt.Sprintf("%s, %s from the backbone", rule.Length(rule.Down(run.Len())), rule.Length(at))
		}
		rows = append(rows, fmt.Sprintf("%s\t%s wide: %s", label, rule.Length(width*measure.MMPerInch), text))
	}
	for i, f := range h.Flaws() {
		label := ""
		if i == 0 {
			label = "flaws"
		}
		rows = append(rows, fmt.Sprintf("%s\t%d  %s", label, i+1, describe(h, f, rule)))
	}
	for i, z := range h.Zones() {
		label := ""
		if i == 0 {
			label = "zones"
		}
		text := z.Quality.String() + ", " + rule.BothAreas(z.Area.Area())
		if z.Turned {
			text += fmt.Sprintf(", grain turned %.4g°", z.Grain.Degrees())
		}
		rows = append(rows, label+"\t"+text)
	}
	return rows
}

// describe puts a flaw in words.
func describe(h *hide.Hide, f hide.Flaw, rule measure.Rule) string {
	var words []string
	words = append(words, f.Kind)
	switch {
	case f.Spot != nil:
		words = append(words, rule.Length(f.Spot.Diameter)+" across", "at "+place(h, f.Spot.At, rule))
	case f.Stroke != nil:
		words = append(words, rule.Length(f.Stroke.Width)+" wide", "from "+place(h, f.Stroke.Line[0], rule), "to "+place(h, f.Stroke.Line[len(f.Stroke.Line)-1], rule))
	case f.Patch != nil:
		words = append(words, rule.Area(f.Patch.Area()), "about "+place(h, centre(*f.Patch), rule))
	}
	if f.Face == hide.Flesh {
		words = append(words, "on the flesh side")
	}
	return strings.Join(words, ", ")
}

func centre(r plane.Ring) orb.Point { return r.Bound().Center() }

// place tells where on a hide a point lies, as a tape would: along the backbone
// and away from it.
func place(h *hide.Hide, p orb.Point, rule measure.Rule) string {
	at := h.Frame().Into(p)
	return fmt.Sprintf("%s along, %s out", rule.Length(at[0]), rule.Length(at[1]))
}
