// Package rack is the leather on hand, what is cut from it and what goes back, with
// the record of it all: taking in, putting away what a plan leaves, accepting what
// a person has changed by hand, undoing, and the audit.
//
// A Rack is open for one change, while nobody else reads or changes the workshop.
// Each change is one entry of the journal, and is made with its files or not at
// all. Before anything is written, the new record must add up.
package rack

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io/fs"
	"path/filepath"
	"strings"
	"time"

	"strapwise/hide"
	"strapwise/hide/source"
	"strapwise/nest/record"
	"strapwise/nest/safe"
	"strapwise/nest/workshop"
)

// Rack is the leather of a workshop and its record, held for one change.
type Rack struct {
	Shop    *workshop.Workshop // without the order book
	Journal *record.Journal
	Ledger  *record.Ledger

	folder *safe.Folder
}

// Open takes hold of a workshop's rack. The error is a *source.Error, or an error
// of safe.Open.
func Open(ctx context.Context, dir string) (*Rack, error) {
	if _, err := workshop.OpenRack(dir); err != nil { // before anything is made in a folder that is none
		return nil, err
	}
	f, err := safe.Open(ctx, dir)
	if err != nil {
		return nil, err
	}
	r := &Rack{folder: f}
	if err := r.read(); err != nil {
		f.Close()
		return nil, err
	}
	return r, nil
}

func (r *Rack) read() (err error) {
	if r.Shop, err = workshop.ReadHeld(r.folder.Dir()); err != nil {
		return err
	}
	r.Journal, r.Ledger, err = readJournal(r.folder.Dir())
	return err
}

// readJournal reads the journal of a workshop; one that is not there is empty.
func readJournal(dir string) (*record.Journal, *record.Ledger, error) {
	j := &record.Journal{}
	text, err := source.ReadFile(filepath.Join(dir, record.File), record.File, record.MaxBytes)
	if err == nil {
		j, err = record.Decode(record.File, text)
	}
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, nil, err
	}
	l, err := j.Ledger()
	return j, l, err
}

// LastDay is the day of the last entry of a workshop's record, zero if there is none.
func LastDay(ctx context.Context, dir string) (day time.Time, err error) {
	err = safe.Reading(ctx, dir, func() error {
		j, _, err := readJournal(dir)
		if err == nil && len(j.Lines()) > 0 {
			day = j.Lines()[len(j.Lines())-1].Date
		}
		return err
	})
	return day, err
}

// Close lets go of the rack.
func (r *Rack) Close() { r.folder.Close() }

// Refusal says why a change is not made.
type Refusal struct {
	What, Help string
	Asked      bool // what was asked for is wrong, not the state of the rack
}

func (r *Refusal) Error() string { return r.What }

// commit makes the change: the files, one more entry of these lines, if there are
// any, and what is to change with it in other folders. It returns the entry's number.
func (r *Rack) commit(on time.Time, lines []record.Line, files []safe.File, beside ...safe.Part) (int, error) {
	if len(lines) == 0 {
		return 0, safe.Together(append([]safe.Part{{In: r.folder, Files: files}}, beside...)...)
	}
	j := r.Journal.With(on, lines)
	if again, err := record.Decode(record.File, j.Text()); err != nil {
		return 0, err
	} else if l, err := again.Ledger(); err != nil {
		return 0, err
	} else if faults := l.Unbalanced(); len(faults) > 0 {
		return 0, &Refusal{What: "the record would not add up: " + faults[0].String(), Help: "nothing was replaced; strapwise rack audit tells more"}
	}
	files = append(files, safe.File{Name: record.File, Data: j.Text()})
	return j.Lines()[len(j.Lines())-1].Entry, safe.Together(append([]safe.Part{{In: r.folder, Files: files}}, beside...)...)
}

// hide is the hide of that name on the rack, or nil.
func (r *Rack) hide(name string) *hide.Hide {
	for _, h := range r.Shop.Hides {
		if h.Name() == name {
			return h
		}
	}
	return nil
}

// text is the file of a hide on the rack.
func (r *Rack) text(name string) ([]byte, error) {
	return source.ReadFile(filepath.Join(r.Shop.Dir, filepath.FromSlash(workshop.HideFile(name))), workshop.HideFile(name), source.Largest)
}

// printOf is how the journal tells one content of a file from another.
func printOf(text []byte) string {
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:8])
}

// used reports whether a name is or was that of a hide, whatever its capitals.
func (r *Rack) used(name string) bool {
	if r.Ledger.Hide(name) != nil {
		return true
	}
	for _, h := range r.Shop.Hides {
		if strings.EqualFold(h.Name(), name) {
			return true
		}
	}
	return false
}

// arrival is the line with which a hide comes on the rack.
func arrival(what record.What, h *hide.Hide, text []byte) record.Line {
	return record.Line{
		What: what, Hide: h.Name(), Of: h.From(), Leather: h.Leather(), Form: h.Form(), Supplier: h.Supplier(), Grade: h.Grade(),
		AreaMM2: record.WholeArea(h.Area()), Cost: record.Pennies(h.Cost()), File: printOf(text),
	}
}
