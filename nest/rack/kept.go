package rack

import (
	"context"
	"errors"
	"io/fs"
	"path/filepath"

	"strapwise/hide"
	"strapwise/hide/source"
	"strapwise/nest/record"
	"strapwise/nest/safe"
	"strapwise/nest/workshop"
)

// Once is a hide that came from outside and was cut, as it was before, and what has
// become of it and of all that it left.
type Once struct {
	Hide *hide.Hide
	record.Sums
}

// Past gives the hides that came from outside and were cut, as far as their files are
// kept, by name, and the files that are missing. The error is a *source.Error.
func Past(ctx context.Context, shop *workshop.Workshop) (out []Once, missing []string, err error) {
	err = readKept(ctx, shop, func(l *record.Ledger, read func(*record.Hide) (*hide.Hide, error)) error {
		out, missing = nil, nil
		for _, b := range l.Bought() {
			if b.Hide.Fate != record.Cut {
				continue
			}
			switch h, err := read(b.Hide); {
			case errors.Is(err, fs.ErrNotExist):
				missing = append(missing, record.KeptFile(b.Hide.Name))
			case err != nil:
				return err
			default:
				out = append(out, Once{h, b.Sums})
			}
		}
		return nil
	})
	return out, missing, err
}

// CutBy gives the hides that were put away by the plan of that mark, as they were
// before they were cut, by name: with them, the plan can be checked and drawn as on
// the day it was made. The error is a *source.Error.
func CutBy(ctx context.Context, shop *workshop.Workshop, mark string) ([]*hide.Hide, error) {
	var out []*hide.Hide
	err := readKept(ctx, shop, func(l *record.Ledger, read func(*record.Hide) (*hide.Hide, error)) error {
		out = nil
		for _, h := range l.Hides {
			if h.Fate != record.Cut || h.Plan != mark {
				continue
			}
			cut, err := read(h)
			if err != nil {
				return err
			}
			out = append(out, cut)
		}
		return nil
	})
	return out, err
}

// readKept reads the record, and hides from the files that are kept of those cut, while
// nobody changes them.
func readKept(ctx context.Context, shop *workshop.Workshop, use func(*record.Ledger, func(*record.Hide) (*hide.Hide, error)) error) error {
	return safe.Reading(ctx, shop.Dir, func() error {
		_, l, err := readJournal(shop.Dir)
		if err != nil {
			return err
		}
		return use(l, func(h *record.Hide) (*hide.Hide, error) {
			file := record.KeptFile(h.Name)
			text, err := source.ReadFile(filepath.Join(shop.Dir, filepath.FromSlash(file)), file, source.Largest)
			if err != nil {
				return nil, err
			}
			return shop.Hide(file, text, h.Name)
		})
	})
}
