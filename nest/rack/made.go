package rack

import (
	"context"
	"errors"
	"io/fs"
	"path/filepath"
	"slices"
	"strings"

	"strapwise/hide/source"
	"strapwise/nest"
	"strapwise/nest/record"
	"strapwise/nest/safe"
	"strapwise/nest/workshop"
)

// MadeSets are sets of an order of which all pieces have been cut.
type MadeSets struct {
	Order string `json:"order"`
	Sets  []int  `json:"sets"` // numbers
}

// madeBy gives the sets of a plan, in the order of its book, that are complete with
// the hides put away, and were not without the latest of them.
func madeBy(plan nest.Plan, away, latest []string) []MadeSets {
	type key struct {
		order string
		set   int
	}
	open, late := map[key]bool{}, map[key]bool{}
	for _, p := range plan.Pieces {
		k := key{p.Order, p.Set}
		open[k] = open[k] || !slices.Contains(away, p.Hide)
		late[k] = late[k] || slices.Contains(latest, p.Hide)
	}
	out := []MadeSets{}
	at := map[string]int{}
	seen := map[key]bool{}
	for _, p := range plan.Pieces {
		k := key{p.Order, p.Set}
		if seen[k] || open[k] || !late[k] {
			continue
		}
		seen[k] = true
		i, known := at[p.Order]
		if !known {
			i = len(out)
			at[p.Order] = i
			out = append(out, MadeSets{Order: p.Order})
		}
		out[i].Sets = append(out[i].Sets, p.Set)
	}
	book := map[string]int{}
	for i, s := range plan.Sets {
		book[s.Order] = i
	}
	slices.SortStableFunc(out, func(a, b MadeSets) int { return book[a.Order] - book[b.Order] })
	for i := range out {
		slices.Sort(out[i].Sets)
	}
	return out
}

// book is the print of the order book, empty if there is none. It is left as it is:
// a person strikes from it what is made.
func (r *Rack) book() (string, error) {
	text, err := source.ReadFile(filepath.Join(r.Shop.Dir, workshop.BookFile), workshop.BookFile, source.Largest)
	if errors.Is(err, fs.ErrNotExist) {
		return "", nil
	}
	return printOf(text), err
}

// Unstruck gives the lines of the record for sets that are made and surely stand in
// the order book still, since it has not been changed from that day: they would be
// laid again. The error is a *source.Error.
func Unstruck(ctx context.Context, shop *workshop.Workshop) ([]record.Line, error) {
	book := ""
	for _, in := range shop.Inputs {
		if in.File == workshop.BookFile {
			book = in.SHA256
		}
	}
	var out []record.Line
	err := safe.Reading(ctx, shop.Dir, func() error {
		out = nil
		_, l, err := readJournal(shop.Dir)
		if err != nil || book == "" {
			return err
		}
		for _, e := range l.Entries {
			for _, line := range e.Lines {
				if line.What == record.Made && line.File != "" && strings.HasPrefix(book, line.File) {
					out = append(out, line)
				}
			}
		}
		return nil
	})
	return out, err
}
