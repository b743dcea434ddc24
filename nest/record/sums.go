package record

import "github.com/shopspring/decimal"

// Amount is leather and what it cost.
type Amount struct {
	AreaMM2 int64           `json:"area_mm2"`
	Cost    decimal.Decimal `json:"cost"`
}

func (a *Amount) add(areaMM2 int64, cost decimal.NullDecimal) {
	a.AreaMM2 += areaMM2
	a.Cost = a.Cost.Add(cost.Decimal) // 0 if not known
}

// Sums is what came on the rack, and where it is.
type Sums struct {
	Hides  int    `json:"hides"`   // that came, remnants not counted
	Came   Amount `json:"came"`    // with them, as corrected later
	Pieces Amount `json:"pieces"`  // is in pieces
	Scrap  Amount `json:"scrap"`   // in scrap
	OnRack Amount `json:"on_rack"` // still there, as hides and remnants
	Gone   Amount `json:"gone"`    // written off
}

// Went is what is accounted for.
func (s Sums) Went() Amount {
	var a Amount
	for _, p := range []Amount{s.Pieces, s.Scrap, s.OnRack, s.Gone} {
		a.AreaMM2 += p.AreaMM2
		a.Cost = a.Cost.Add(p.Cost)
	}
	return a
}

// Sums adds up all that ever came on the rack, line by line.
func (l *Ledger) Sums() Sums {
	var s Sums
	for _, e := range l.Entries {
		for _, line := range e.Lines {
			switch line.What {
			case TakenIn, Found:
				s.Hides++
				s.Came.add(line.AreaMM2, line.Cost)
			case Pieces:
				s.Pieces.add(line.AreaMM2, line.Cost)
			case Scrap:
				s.Scrap.add(line.AreaMM2, line.Cost)
			case Gone:
				s.Gone.add(line.AreaMM2, line.Cost)
			}
		}
	}
	for _, c := range l.fresh {
		s.Came.add(c.areaMM2, c.cost)
	}
	for _, h := range l.Hides {
		if h.OnRack() {
			s.OnRack.add(h.AreaMM2, h.Cost)
		}
	}
	return s
}
