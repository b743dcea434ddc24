package rack

import (
	"fmt"
	"time"

	"strapwise/nest/record"
)

// Accepted tells what has been accepted.
type Accepted struct {
	Entry int            `json:"entry"`
	Hides []AcceptedHide `json:"hides"`
}

// AcceptedHide tells what has been accepted of a hide.
type AcceptedHide struct {
	Hide string      `json:"hide"`
	What record.What `json:"what"` // found, changed or gone
}

// Accept takes hides into the record as a person has left them: a file that is new
// there comes in, one that has been changed counts as it is, and a hide whose file is
// gone is written off. The error is a *Refusal, or as of safe.Folder.Replace.
func (r *Rack) Accept(on time.Time, names ...string) (Accepted, error) {
	out := Accepted{Hides: []AcceptedHide{}}
	var lines []record.Line
	for _, name := range names {
		line, err := r.accept(name)
		if err != nil {
			return out, err
		}
		lines = append(lines, line)
		out.Hides = append(out.Hides, AcceptedHide{name, line.What})
	}
	var err error
	out.Entry, err = r.commit(on, lines, nil)
	return out, err
}

func (r *Rack) accept(name string) (record.Line, error) {
	h, known := r.hide(name), r.Ledger.Hide(name)
	switch {
	case h == nil && known == nil:
		return record.Line{}, &Refusal{What: fmt.Sprintf("found no hide named %q on the rack, nor in the record", name), Help: "strapwise rack list shows the rack", Asked: true}
	case known != nil && known.Name != name:
		return record.Line{}, &Refusal{What: fmt.Sprintf("%s is named as %s, which the record has, but for capitals", name, known.Name), Help: "give it another name", Asked: true}
	case known != nil && !known.OnRack():
		return record.Line{}, &Refusal{What: fmt.Sprintf("%s left the rack with entry %d (%s)", name, known.Out, known.Fate), Help: "give new leather a new name", Asked: true}
	case h == nil:
		return record.Line{What: record.Gone, Hide: name, AreaMM2: known.AreaMM2, Cost: known.Cost, File: known.File}, nil
	}
	text, err := r.text(name)
	if err != nil {
		return record.Line{}, err
	}
	line := arrival(record.Found, h, text)
	if known != nil {
		if known.File == line.File {
			return line, &Refusal{What: name + " is in the record as it is", Help: "there is nothing to accept"}
		}
		line.What, line.Of = record.Changed, ""
	}
	return line, nil
}
