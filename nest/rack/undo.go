package rack

import (
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"strconv"
	"time"

	"strapwise/hide/source"
	"strapwise/nest/record"
	"strapwise/nest/safe"
	"strapwise/nest/workshop"
)

// Undone tells what has been undone.
type Undone struct {
	Entry   int           `json:"entry"` // that counts no more
	Date    time.Time     `json:"date"`
	Lines   []record.Line `json:"-"`
	Removed []string      `json:"removed"`  // hides that were put on the rack by it
	Back    []string      `json:"restored"` // and those that were taken off it
}

// Undo takes back the last entry that counts: files that it wrote go, and those
// that it took away come back as they were. What a person has written by hand, or
// changed since, is never taken away. The error is a *Refusal, or as of
// safe.Folder.Replace.
func (r *Rack) Undo(on time.Time) (Undone, error) {
	last := r.Ledger.Last()
	if last == nil {
		return Undone{}, &Refusal{What: "the record has nothing to undo", Help: "strapwise rack list shows the rack"}
	}
	out := Undone{Entry: last.N, Date: last.Date, Lines: last.Lines, Removed: []string{}, Back: []string{}}
	var files []safe.File
	for _, l := range last.Lines {
		var err error
		switch l.What {
		case record.TakenIn, record.Remnant:
			files, err = r.unwrite(files, l)
			out.Removed = append(out.Removed, l.Hide)
		case record.Cut:
			files, err = r.restore(files, l)
			out.Back = append(out.Back, l.Hide)
		}
		if err != nil {
			return out, err
		}
	}
	_, err := r.commit(on, []record.Line{{What: record.Undone, Of: strconv.Itoa(last.N)}}, files)
	return out, err
}

// unwrite takes a file away that an entry has written, unless it has been changed
// since.
func (r *Rack) unwrite(files []safe.File, l record.Line) ([]safe.File, error) {
	text, err := r.text(l.Hide)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return files, nil
	case err != nil:
		return nil, err
	case printOf(text) != l.File:
		return nil, &Refusal{
			What: fmt.Sprintf("%s has been changed since entry %d wrote it", workshop.HideFile(l.Hide), l.Entry),
			Help: "move the file out of the workshop, and undo then; nothing was replaced",
		}
	}
	return append(files, safe.File{Name: workshop.HideFile(l.Hide), Gone: true}), nil
}

// restore puts the file of a hide that was cut back on the rack.
func (r *Rack) restore(files []safe.File, l record.Line) ([]safe.File, error) {
	kept := record.KeptFile(l.Hide)
	if r.hide(l.Hide) != nil {
		return nil, &Refusal{What: workshop.HideFile(l.Hide) + " is there again, though the hide was cut", Help: "move the file out of the workshop, and undo then; nothing was replaced"}
	}
	text, err := source.ReadFile(filepath.Join(r.Shop.Dir, filepath.FromSlash(kept)), kept, source.Largest)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, err
	}
	if err != nil || printOf(text) != l.File {
		return nil, &Refusal{What: kept + " is not there as it was when the hide was cut", Help: "put it back from a copy, and undo then; nothing was replaced"}
	}
	return append(files, safe.File{Name: workshop.HideFile(l.Hide), Data: text}, safe.File{Name: kept, Gone: true}), nil
}
