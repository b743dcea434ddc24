package rack

import (
	"context"
	"path/filepath"

	"strapwise/hide"
	"strapwise/hide/source"
	"strapwise/nest/record"
	"strapwise/nest/safe"
	"strapwise/nest/workshop"
)

// CutBy gives the hides that were put away by the plan of that mark, as they were
// before they were cut, by name: with them, the plan can be checked and drawn as on
// the day it was made. The error is a *source.Error.
func CutBy(ctx context.Context, shop *workshop.Workshop, mark string) ([]*hide.Hide, error) {
	var out []*hide.Hide
	err := safe.Reading(ctx, shop.Dir, func() error {
		out = nil
		_, l, err := readJournal(shop.Dir)
		if err != nil {
			return err
		}
		for _, h := range l.Hides {
			if h.Fate != record.Cut || h.Plan != mark {
				continue
			}
			file := record.KeptFile(h.Name)
			text, err := source.ReadFile(filepath.Join(shop.Dir, filepath.FromSlash(file)), file, source.Largest)
			if err != nil {
				return err
			}
			cut, err := shop.Hide(file, text, h.Name)
			if err != nil {
				return err
			}
			out = append(out, cut)
		}
		return nil
	})
	return out, err
}
