package rack

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"strapwise/hide/source"
	"strapwise/nest/record"
	"strapwise/nest/safe"
	"strapwise/nest/workshop"
)

// Audited is what the audit of a workshop has come to.
type Audited struct {
	Sums     record.Sums      `json:"sums"`    // of all hides that ever came from outside
	Entries  int              `json:"entries"` // that count
	Findings []record.Finding `json:"findings"`
	Bought   []record.Bought  `json:"-"`

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
	if kept, err = keptFiles(dir); err != nil {
		return Audited{}, err
	}
	found := r.Ledger.Audit(on, kept)
	if found == nil {
		found = []record.Finding{}
	}
	out := Audited{Entries: len(r.Ledger.Entries), Findings: found, Bought: r.Ledger.Bought(), Shop: shop}
	for _, b := range out.Bought {
		out.Sums.Plus(b.Sums)
	}
	return out, nil
}

// keptFiles are those of hides that were cut.
func keptFiles(dir string) ([]record.Seen, error) {
	entries, err := os.ReadDir(filepath.Join(dir, record.KeptFolder))
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, &source.Error{File: record.KeptFolder, Rule: "cannot be read: " + source.Cause(err)}
	}
	var kept []record.Seen
	for _, e := range entries {
		name, ok := strings.CutSuffix(e.Name(), ".toml")
		if !ok || strings.HasPrefix(name, ".") {
			continue
		}
		place := record.KeptFile(name)
		text, err := source.ReadFile(filepath.Join(dir, filepath.FromSlash(place)), place, source.Largest)
		if err != nil {
			return nil, err
		}
		kept = append(kept, record.Seen{Name: name, Place: place, File: printOf(text)})
	}
	return kept, nil
}
