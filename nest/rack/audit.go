package rack

import (
	"context"
	"errors"
	"io/fs"
	"path/filepath"

	"strapwise/hide/source"
	"strapwise/nest/record"
	"strapwise/nest/safe"
	"strapwise/nest/workshop"
)

// Audited is what the audit of a workshop has come to.
type Audited struct {
	Sums     record.Sums      `json:"sums"`
	Entries  int              `json:"entries"` // that count
	Findings []record.Finding `json:"findings"`

	Shop *workshop.Workshop `json:"-"`
}

// Holds reports whether the record holds.
func (a Audited) Holds() bool {
	for _, f := range a.Findings {
		if !f.Note {
			return false
		}
	}
	return true
}

// Audit adds up the record of a workshop and holds it against the files; it changes
// nothing. A journal or hide file that cannot be read is an error, a
// *source.Error.
func Audit(ctx context.Context, dir string) (Audited, error) {
	var out Audited
	err := safe.Reading(ctx, dir, func() (err error) {
		out, err = audit(dir)
		return err
	})
	return out, err
}

func audit(dir string) (Audited, error) {
	shop, err := workshop.ReadHeld(dir)
	if err != nil {
		return Audited{}, err
	}
	r := &Rack{Shop: shop}
	if r.Journal, r.Ledger, err = readJournal(dir); err != nil {
		return Audited{}, err
	}
	var on, kept []record.Seen
	for _, h := range shop.Hides {
		text, err := r.text(h.Name())
		if err != nil {
			return Audited{}, err
		}
		on = append(on, record.Seen{Hide: h, Name: h.Name(), Place: workshop.HideFile(h.Name()), File: printOf(text)})
	}
	for _, h := range r.Ledger.Hides {
		if h.Fate != record.Cut {
			continue
		}
		place := record.KeptFile(h.Name)
		text, err := source.ReadFile(filepath.Join(dir, filepath.FromSlash(place)), place, source.Largest)
		if err != nil && !errors.Is(err, fs.ErrNotExist) {
			return Audited{}, err
		} else if err == nil {
			kept = append(kept, record.Seen{Name: h.Name, Place: place, File: printOf(text)})
		}
	}
	found := r.Ledger.Audit(on, kept)
	if found == nil {
		found = []record.Finding{}
	}
	return Audited{Sums: r.Ledger.Sums(), Entries: len(r.Ledger.Entries), Findings: found, Shop: shop}, nil
}
