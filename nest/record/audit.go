package record

import (
	"fmt"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"strapwise/hide"
)

// AreaTol is how far, in mm², the area of a hide file may be from that in the
// record: a square centimetre. Places in files are rounded to 0.0001 mm, which on
// an outline of ten metres comes to a square millimetre; a changed corner comes to
// more.
const AreaTol = 100

// Finding is something that does not hold, and what to do about it.
type Finding struct {
	Where string `json:"where"` // a file, or an entry of the journal
	What  string `json:"what"`  // in one sentence
	Do    string `json:"do"`
	Note  bool   `json:"note"` // good to know, but nothing is wrong
}

// String gives one line.
func (f Finding) String() string { return f.Where + ": " + f.What }

// Seen is a hide file as it lies in a folder.
type Seen struct {
	Hide  *hide.Hide // of a file on the rack
	Name  string     // of the hide
	Place string     // the file, relative to the workshop
	File  string     // its print, as in the journal
}

// Audit holds the ledger against itself, against the files on the rack, and
// against those kept of hides that were cut. What it finds comes in a fixed order;
// nothing but notes means that the record holds.
func (l *Ledger) Audit(rack, kept []Seen) []Finding {
	found := l.Unbalanced()
	byName := map[string]Seen{}
	for _, s := range rack {
		byName[strings.ToLower(s.Name)] = s
	}
	for _, h := range l.Hides {
		s, there := byName[strings.ToLower(h.Name)]
		switch place := "hides/" + h.Name + ".toml"; {
		case h.OnRack() && !there:
			found = append(found, Finding{Where: place, What: "the hide is on the rack by the record, and its file is not there", Do: "put the file back from a copy; or, if the leather is gone, write it off: strapwise rack accept " + h.Name})
		case h.OnRack():
			found = append(found, h.compare(s)...)
		case there:
			found = append(found, Finding{Where: s.Place, What: fmt.Sprintf("the hide left the rack with entry %d (%s), and there is a file of its name again", h.Out, h.Fate), Do: "give new leather a new name; or take the file away, if it was put back by mistake"})
		}
	}
	var strange []string
	for _, s := range rack {
		if l.Hide(s.Name) == nil {
			strange = append(strange, s.Name)
		}
	}
	if len(strange) > 0 {
		names := strings.Join(strange, " ")
		found = append(found, Finding{Where: "hides", What: "not in the record yet: " + names, Do: "each comes in when it is put away, or at once: strapwise rack accept " + names, Note: true})
	}
	return append(found, l.keeping(kept)...)
}

// compare holds a hide on the rack against its file.
func (h *Hide) compare(s Seen) []Finding {
	if h.File == s.File {
		return nil
	}
	differs := h.Differs(s.Hide)
	accept := "undo the change; or, if the file is right, take it as it is: strapwise rack accept " + h.Name
	if len(differs) == 0 {
		return []Finding{{Where: s.Place, What: "the file has changed since it was recorded; its area, its cost and what it is are the same", Do: accept, Note: true}}
	}
	return []Finding{{Where: s.Place, What: "the file has changed since it was recorded: " + strings.Join(differs, ", "), Do: accept}}
}

// Differs tells what of a hide's file is not as in the record; its flaws and zones
// are not in it.
func (h *Hide) Differs(now *hide.Hide) []string {
	var out []string
	if d := WholeArea(now.Area()) - h.AreaMM2; d > AreaTol || d < -AreaTol {
		out = append(out, fmt.Sprintf("its area is %d cm², recorded as %d cm²", WholeArea(now.Area())/100, h.AreaMM2/100))
	}
	if cost := Pennies(now.Cost()); !sameCost(cost, h.Cost) {
		out = append(out, fmt.Sprintf("its cost is %s, recorded as %s", told(cost), told(h.Cost)))
	}
	for _, w := range []struct{ what, now, then string }{
		{"leather", now.Leather(), h.Leather},
		{"form", now.Form(), h.Form},
		{"supplier", now.Supplier(), h.Supplier},
		{"grade", now.Grade(), h.Grade},
	} {
		if w.now != w.then {
			out = append(out, fmt.Sprintf("its %s is %q, recorded as %q", w.what, w.now, w.then))
		}
	}
	return out
}

// sameCost takes a cost of nothing for one that is not known: so files have it.
func sameCost(a, b decimal.NullDecimal) bool { return a.Decimal.Equal(b.Decimal) }

func told(cost decimal.NullDecimal) string {
	if !cost.Valid {
		return "not told"
	}
	return cost.Decimal.StringFixed(2)
}

// keeping holds the files kept of hides that were cut against the record.
func (l *Ledger) keeping(kept []Seen) []Finding {
	var found []Finding
	for _, h := range l.Hides {
		if h.Fate != Cut {
			continue
		}
		place := KeptFile(h.Name)
		i := slices.IndexFunc(kept, func(s Seen) bool { return s.Name == h.Name })
		switch {
		case i < 0:
			found = append(found, Finding{Where: place, What: fmt.Sprintf("the file of a hide that was cut (entry %d) is not there, without which that cannot be undone", h.Out), Do: "put the file back from a copy, if you may want to undo it", Note: true})
		case kept[i].File != h.File:
			found = append(found, Finding{Where: place, What: fmt.Sprintf("the file of a hide that was cut (entry %d) has changed since", h.Out), Do: "put the file back from a copy, or take it away: then the entry cannot be undone"})
		}
	}
	for _, s := range kept {
		if h := l.Hide(s.Name); h == nil || h.Fate != Cut {
			found = append(found, Finding{Where: s.Place, What: "the file is kept of a hide that was cut, and the record does not say so", Do: "put " + File + " back from a copy: it is older than this, or missing; or take the file away"})
		}
	}
	return found
}

// KeptFile is where the file of a hide is kept once it has been cut, relative to
// the workshop.
func KeptFile(name string) string { return KeptFolder + "/" + name + ".toml" }

// KeptFolder is the folder of those files.
const KeptFolder = "cut"

// Unbalanced adds up every hide that was cut, entry by entry, and then every hide that
// ever came from outside, with all that it left, and tells what does not come out even.
func (l *Ledger) Unbalanced() []Finding {
	var found []Finding
	for _, e := range l.Entries {
		for _, line := range e.Lines {
			if line.What == Cut {
				found = append(found, l.balanceCut(e, line)...)
			}
		}
	}
	for _, b := range l.Bought() {
		if went := b.Went(); !went.Equal(b.Came) {
			found = append(found, Finding{
				Where: File, Do: restore,
				What: fmt.Sprintf("%s came as %d mm² for %s, and with all that it left %d mm² for %s are accounted for", b.Hide.Name, b.Came.AreaMM2, b.Came.Cost.StringFixed(2), went.AreaMM2, went.Cost.StringFixed(2)),
			})
		}
	}
	return found
}

// balanceCut holds what a hide had against what it was cut into.
func (l *Ledger) balanceCut(e Entry, cut Line) []Finding {
	var parts Amount
	for _, line := range e.Lines {
		if (line.What == Pieces || line.What == Scrap) && line.Hide == cut.Hide || line.What == Remnant && line.Of == cut.Hide {
			parts.add(line.AreaMM2, line.Cost)
		}
	}
	where := fmt.Sprintf("%s, entry %d", File, e.N)
	var found []Finding
	if parts.AreaMM2 != cut.AreaMM2 {
		found = append(found, Finding{Where: where, What: fmt.Sprintf("%s had %d mm², and its pieces, remnants and scrap have %d", cut.Hide, cut.AreaMM2, parts.AreaMM2), Do: restore})
	}
	if !parts.Cost.Equal(cut.Cost.Decimal) {
		found = append(found, Finding{Where: where, What: fmt.Sprintf("%s cost %s, and its pieces, remnants and scrap cost %s", cut.Hide, told(cut.Cost), parts.Cost.StringFixed(2)), Do: restore})
	}
	if h := l.Hide(cut.Hide); h.AreaMM2 != cut.AreaMM2 || !sameCost(h.Cost, cut.Cost) {
		found = append(found, Finding{Where: where, What: fmt.Sprintf("%s is cut as %d mm² for %s, and came as %d mm² for %s", cut.Hide, cut.AreaMM2, told(cut.Cost), h.AreaMM2, told(h.Cost)), Do: restore})
	}
	return found
}
