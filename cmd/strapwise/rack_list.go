package main

import (
	"fmt"
	"maps"
	"slices"
	"time"

	"github.com/spf13/cobra"

	"strapwise/hide"
	"strapwise/hide/measure"
	"strapwise/hide/source"
	"strapwise/nest/workshop"
)

func newRackList(u *ui) *cobra.Command {
	var on string
	c := &cobra.Command{
		Use:     "list",
		Short:   "every hide: leather, form, area, what of it is free, longest run, cost, age",
		Example: "  strapwise rack list --json",
		Args:    noArgs,
		RunE: func(*cobra.Command, []string) error {
			today, err := day(on)
			if err != nil {
				return err
			}
			return rackList(u, today)
		},
	}
	c.Flags().StringVar(&on, "on", "", "the `date` from which ages are told (default today)")
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
	FreeMM2   float64 `json:"free_mm2"`       // that serves it, clear of flaws, zones and trim
	LongestMM float64 `json:"longest_run_mm"` // that serves it, of a strip an inch wide
	Flaws     int     `json:"flaws"`
	Cost      string  `json:"cost"`   // money; empty if not told
	Bought    string  `json:"bought"` // a date; empty if not told
	From      string  `json:"from"`   // of a remnant, the hide that it was cut from
	Supplier  string  `json:"supplier"`
	Grade     string  `json:"grade"`

	serving *hide.Leather // what serves the use, or load if none is served
}

func inFigures(w *workshop.Workshop, h *hide.Hide) (rackHide, error) {
	out := rackHide{
		Hide: h.Name(), Leather: h.Leather(), Form: h.Form(), AreaMM2: h.Area(), Flaws: len(h.Flaws()),
		From: h.From(), Supplier: h.Supplier(), Grade: h.Grade(),
	}
	if !h.Bought().IsZero() {
		out.Bought = h.Bought().Format(time.DateOnly)
	}
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
			out.Use, out.FreeMM2, out.LongestMM, out.serving = use, l.Area(searchStep), run.Len(), l
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

func rackList(u *ui, today time.Time) error {
	w, err := workshop.OpenRack(u.workshop)
	if err != nil {
		return err
	}
	all := []rackHide{}
	u.notes(w)
	rows := []string{fmt.Sprintf("hide\tleather\tform\tarea\tfree\tlongest run %s wide\tfor\tflaws\tcost\tage", w.Rule.Length(probe))}
	for _, h := range w.Hides {
		r, err := inFigures(w, h)
		if err != nil {
			return err
		}
		all = append(all, r)
		rows = append(rows, fmt.Sprintf("%s\t%s\t%s\t%s\t%s\t%s\t%s\t%d\t%s\t%s", r.Hide, r.Leather, r.Form,
			w.Rule.ColumnArea(r.AreaMM2), w.Rule.ColumnArea(r.FreeMM2), w.Rule.Length(w.Rule.Down(r.LongestMM)), orDash(r.Use), r.Flaws, orDash(r.Cost), orDash(age(since(h), today))))
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

// since is when a hide was bought or, if that is not told, put away as a remnant.
func since(h *hide.Hide) time.Time {
	if h.Bought().IsZero() {
		return h.PutAway()
	}
	return h.Bought()
}

// age tells how long ago leather was bought or put away, empty if that is not known or yet to
// come.
func age(since, today time.Time) string {
	const month = 365.25 / 12
	days := today.Sub(since).Hours() / 24
	switch {
	case since.IsZero() || days < 0:
		return ""
	case days < 2*month:
		return source.Count(int(days), "day")
	case days < 24*month:
		return source.Count(int(days/month), "month")
	}
	return source.Count(int(days/month/12), "year")
}

func orDash(s string) string {
	if s == "" {
		return "-"
	}
	return s
}
