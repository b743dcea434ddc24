package rack

import (
	"fmt"
	"time"

	"strapwise/hide"
	"strapwise/hide/source"
	"strapwise/nest/record"
	"strapwise/nest/safe"
	"strapwise/nest/workshop"
)

// TakeIn puts a hide on the rack: its file, word for word, and its line in the
// record. file is how errors call where the text is from. The error is a
// *source.Error for a text that is no hide file, a *Refusal for a name that is or
// was in use, or as of safe.Folder.Replace.
func (r *Rack) TakeIn(on time.Time, name, file string, text []byte) (*hide.Hide, error) {
	if err := r.MayBeNamed(name); err != nil {
		return nil, err
	}
	h, err := r.Shop.Hide(file, text, name)
	if err != nil {
		return nil, err
	}
	if h.Bought().After(on) {
		doc, err := source.TOML(file, text, &map[string]any{})
		if err != nil {
			return nil, err
		}
		return nil, doc.Fault("bought", fmt.Sprintf("found %s, expected the day on which it is taken in, %s, or an earlier one", h.Bought().Format(time.DateOnly), on.Format(time.DateOnly)),
			"--on tells the day on which it is taken in, if that is not today")
	}
	_, err = r.commit(on, []record.Line{arrival(record.TakenIn, h, text)}, []safe.File{{Name: workshop.HideFile(name), Data: text}})
	return h, err
}

// MayBeNamed refuses a name that is or was in use, since the record tells hides
// apart by their names for good. The error is a *Refusal.
func (r *Rack) MayBeNamed(name string) error {
	switch h := r.Ledger.Hide(name); {
	case h != nil && h.OnRack():
		return &Refusal{What: name + " is on the rack already, by the record", Help: "give it another name", Asked: true}
	case h != nil:
		return &Refusal{What: fmt.Sprintf("a hide named %s was on the rack before: it left with entry %d (%s)", h.Name, h.Out, h.Fate), Help: "give new leather a new name", Asked: true}
	case r.used(name):
		return &Refusal{What: workshop.HideFile(name) + " is there already", Help: "give it another name; or, if it is this hide, record it: strapwise rack accept " + name, Asked: true}
	}
	return nil
}
