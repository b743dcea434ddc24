package record

import "github.com/shopspring/decimal"

// Amount is leather and what it cost.
type Amount struct {
	AreaMM2 int64           `json:"area_mm2"`
	Cost    decimal.Decimal `json:"cost"`
}

func (a *Amount) add(areaMM2 int64, cost decimal.NullDecimal) {
	a.Plus(Amount{areaMM2, cost.Decimal}) // 0 if not known
}

// Plus adds another amount to it.
func (a *Amount) Plus(b Amount) {
	a.AreaMM2 += b.AreaMM2
	a.Cost = a.Cost.Add(b.Cost)
}

// Equal reports whether two amounts are one.
func (a Amount) Equal(b Amount) bool { return a.AreaMM2 == b.AreaMM2 && a.Cost.Equal(b.Cost) }

// Sums is leather that came on the rack, and where it is.
type Sums struct {
	Came   Amount `json:"came"`    // as files were corrected later
	Pieces Amount `json:"pieces"`  // is in pieces
	Scrap  Amount `json:"scrap"`   // in scrap
	OnRack Amount `json:"on_rack"` // still there, as hides and remnants
	Gone   Amount `json:"gone"`    // written off
}

// Plus adds others to the sums.
func (s *Sums) Plus(o Sums) {
	s.Came.Plus(o.Came)
	s.Pieces.Plus(o.Pieces)
	s.Scrap.Plus(o.Scrap)
	s.OnRack.Plus(o.OnRack)
	s.Gone.Plus(o.Gone)
}

// Went is what is accounted for.
func (s Sums) Went() Amount {
	var a Amount
	for _, p := range []Amount{s.Pieces, s.Scrap, s.OnRack, s.Gone} {
		a.Plus(p)
	}
	return a
}

// Bought is a hide that came on the rack from outside, and what became of it and of
// all remnants that it ever left.
type Bought struct {
	Hide *Hide
	Sums
}

// Bought gives every hide that ever came from outside, by name, added up line by
// line.
func (l *Ledger) Bought() []Bought {
	sums := map[*Hide]*Sums{}
	of := func(name string) *Sums {
		whole := l.Hide(name).whole
		if sums[whole] == nil {
			sums[whole] = &Sums{}
		}
		return sums[whole]
	}
	for _, e := range l.Entries {
		for _, line := range e.Lines {
			switch line.What {
			case TakenIn, Found:
				of(line.Hide).Came.add(line.AreaMM2, line.Cost)
			case Pieces:
				of(line.Hide).Pieces.add(line.AreaMM2, line.Cost)
			case Scrap:
				of(line.Hide).Scrap.add(line.AreaMM2, line.Cost)
			case Gone:
				of(line.Hide).Gone.add(line.AreaMM2, line.Cost)
			}
		}
	}
	for _, c := range l.corrected {
		of(c.hide.Name).Came.add(c.areaMM2, c.cost)
	}
	for _, h := range l.Hides {
		if h.OnRack() {
			of(h.Name).OnRack.add(h.AreaMM2, h.Cost)
		}
	}
	var out []Bought
	for _, h := range l.Hides {
		if h.whole == h {
			out = append(out, Bought{h, *sums[h]})
		}
	}
	return out
}
