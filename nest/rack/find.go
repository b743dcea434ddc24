package rack

import (
	"bytes"
	"time"

	"strapwise/nest/record"
	"strapwise/nest/safe"
	"strapwise/nest/workshop"
)

// Find is a hide's file with what was found on the hide while it was cut.
type Find struct {
	Hide     string
	Was, Now []byte
}

// Find writes what was found into the files of hides, and into the record of those
// that it knows; beside are changes of other folders that belong to it. The error is
// a *Refusal if a file is not as it was, or as of safe.Together.
func (r *Rack) Find(on time.Time, finds []Find, beside ...safe.Part) error {
	var lines []record.Line
	var files []safe.File
	for _, f := range finds {
		if text, err := r.text(f.Hide); err != nil || !bytes.Equal(text, f.Was) {
			return &Refusal{What: workshop.HideFile(f.Hide) + " was changed by another program meanwhile", Help: "nothing was written; relay again"}
		}
		h, err := r.Shop.Hide(workshop.HideFile(f.Hide), f.Now, f.Hide)
		if err != nil {
			return err
		}
		files = append(files, safe.File{Name: workshop.HideFile(f.Hide), Data: f.Now})
		// A file that was changed by hand before waits for rack accept.
		if known := r.Ledger.Hide(f.Hide); known != nil && known.OnRack() && known.File == printOf(f.Was) {
			line := arrival(record.Changed, h, f.Now)
			line.Of = ""
			lines = append(lines, line)
		}
	}
	_, err := r.commit(on, lines, files, beside...)
	return err
}
