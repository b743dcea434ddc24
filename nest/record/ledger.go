package record

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/shopspring/decimal"

	"strapwise/hide/source"
)

// Hide is a hide as the record has it.
type Hide struct {
	Name, Leather, Form, Supplier, Grade string
	From                                 string // of a remnant: the hide that it was cut from
	AreaMM2                              int64
	Cost                                 decimal.NullDecimal
	File                                 string // the print of its file when it was last looked at
	In, Out                              int    // the entries in which it came on the rack, and left it; 0: it is there
	Since                                time.Time
	Fate                                 What   // Cut or Gone; empty while it is on the rack
	Plan                                 string // by which it was cut

	whole *Hide // that came from outside, of which this is a part; or itself
}

// OnRack reports whether the hide is on the rack, by the record.
func (h *Hide) OnRack() bool { return h.Out == 0 }

// Entry is the lines of one command.
type Entry struct {
	N     int
	Date  time.Time
	Lines []Line
}

func (e Entry) has(what What) bool {
	return slices.ContainsFunc(e.Lines, func(l Line) bool { return l.What == what })
}

// Ledger is what the entries of a journal that count add up to. It is not to be
// changed.
type Ledger struct {
	Hides   []*Hide // that were ever on the rack, by name
	Entries []Entry // that count, in order: those undone are left out

	byName map[string]*Hide // in small letters: some computers cannot tell capitals

	corrected []correction
}

// correction is by how much a hide was found to be more when its file was accepted
// anew.
type correction struct {
	hide    *Hide
	areaMM2 int64
	cost    decimal.NullDecimal
}

// Hide is the hide of that name, whatever its capitals, or nil.
func (l *Ledger) Hide(name string) *Hide { return l.byName[strings.ToLower(name)] }

// Last is the last entry that counts, or nil.
func (l *Ledger) Last() *Entry {
	if len(l.Entries) == 0 {
		return nil
	}
	return &l.Entries[len(l.Entries)-1]
}

// Ledger adds up the journal. The error is a *source.Error: an entry that cannot
// follow those before it.
func (j *Journal) Ledger() (*Ledger, error) {
	l := &Ledger{byName: map[string]*Hide{}}
	for _, e := range j.entries() {
		first := e.Lines[0]
		if first.What != Undone {
			l.Entries = append(l.Entries, e)
			continue
		}
		last := l.Last()
		if last == nil || first.Of != strconv.Itoa(last.N) {
			return nil, contradiction(e, fmt.Sprintf("undoes entry %s, which is not the last that counts", first.Of))
		}
		l.Entries = l.Entries[:len(l.Entries)-1]
	}
	for _, e := range l.Entries {
		for _, line := range e.Lines {
			if why := l.post(e, line); why != "" {
				return nil, contradiction(e, why)
			}
		}
		if e.has(Made) && !e.has(Cut) {
			return nil, contradiction(e, "has sets made, and no hide cut for them")
		}
	}
	slices.SortFunc(l.Hides, func(a, b *Hide) int { return cmp.Compare(a.Name, b.Name) })
	return l, nil
}

func contradiction(e Entry, why string) error {
	return &source.Error{File: File, Rule: fmt.Sprintf("entry %d %s", e.N, why), Hint: restore}
}

func (j *Journal) entries() []Entry {
	var out []Entry
	for _, line := range j.lines {
		if n := len(out); n == 0 || out[n-1].N != line.Entry {
			out = append(out, Entry{N: line.Entry, Date: line.Date})
		}
		e := &out[len(out)-1]
		e.Lines = append(e.Lines, line)
	}
	return out
}

// post enters a line, or says why it cannot be.
func (l *Ledger) post(e Entry, line Line) string {
	h := l.Hide(line.Hide)
	switch line.What {
	case TakenIn, Found, Remnant:
		if h != nil {
			return fmt.Sprintf("takes in %s, which was on the rack before", line.Hide)
		}
		h = &Hide{
			Name: line.Hide, Leather: line.Leather, Form: line.Form, Supplier: line.Supplier, Grade: line.Grade, From: line.Of,
			AreaMM2: line.AreaMM2, Cost: line.Cost, File: line.File, In: e.N, Since: e.Date,
		}
		h.whole = h
		if line.What == Remnant {
			from := l.Hide(line.Of)
			if from == nil || from.Out != e.N || from.Fate != Cut {
				return fmt.Sprintf("has %s of %s, which it does not cut", line.What, line.Of)
			}
			h.whole = from.whole
		}
		l.Hides = append(l.Hides, h)
		l.byName[strings.ToLower(line.Hide)] = h
	case Cut, Gone, Changed:
		if h == nil || !h.OnRack() {
			return fmt.Sprintf("has %s %s, which is not on the rack", line.Hide, line.What)
		}
		if line.What == Changed {
			l.corrected = append(l.corrected, correction{h, line.AreaMM2 - h.AreaMM2, difference(line.Cost, h.Cost)})
			h.AreaMM2, h.Cost, h.File = line.AreaMM2, line.Cost, line.File
			h.Leather, h.Form, h.Supplier, h.Grade = line.Leather, line.Form, line.Supplier, line.Grade
			return ""
		}
		h.Out, h.Fate, h.Plan, h.File = e.N, line.What, line.Plan, line.File
	case Pieces, Scrap:
		if h == nil || h.Out != e.N || h.Fate != Cut {
			return fmt.Sprintf("has %s of %s, which it does not cut", line.What, line.Hide)
		}
	case Undone:
		return "undoes in the midst of other lines"
	}
	return ""
}

func difference(a, b decimal.NullDecimal) decimal.NullDecimal {
	if !a.Valid && !b.Valid {
		return decimal.NullDecimal{}
	}
	return decimal.NewNullDecimal(a.Decimal.Sub(b.Decimal))
}
