package main

import (
	"slices"

	"github.com/shopspring/decimal"

	"strapwise/hide/money"
	"strapwise/report/price"
)

// Figures as JSON: areas are mm², money is text with two decimals, null where it
// is not known.

func text(a price.Amount) *string {
	if !a.Valid {
		return nil
	}
	s := a.Decimal.StringFixed(money.Places)
	return &s
}

func known(d decimal.Decimal) *string { return text(decimal.NewNullDecimal(d)) }

type priceFigures struct {
	Plan    string          `json:"plan"`
	Hides   []hideFigures   `json:"hides"`
	Orders  []billFigures   `json:"orders"`
	None    []usedFigures   `json:"of_no_order"` // spare pieces, and hides that gave none
	Wanted  []wantedFigures `json:"hardware"`
	Thread  float64         `json:"thread_mm"`
	Flaws   []lostFigures   `json:"flaws"`
	Sources []sourceFigures `json:"sources"`
	Files   []string        `json:"files"`
}

type hideFigures struct {
	Hide     string   `json:"hide"`
	Paid     *string  `json:"paid"`
	Net      *string  `json:"in_pieces"`
	Flaws    *string  `json:"in_flaws"`
	Waste    *string  `json:"other_waste"`
	Remnant  *string  `json:"back_on_the_rack"`
	NetMM2   float64  `json:"in_pieces_mm2"`
	Wasted   float64  `json:"waste"` // 1 − net/gross
	Supplier string   `json:"supplier"`
	Grade    string   `json:"grade"`             // as bought
	Marked   float64  `json:"cutting_value"`     // by its flaws, per cent
	Laid     *float64 `json:"cutting_laid"`      // by laying, per cent
	Graded   string   `json:"proved_to_be"`      // the grade of the two
	Worth    *string  `json:"worth_as_laid"`     // of what was paid, by its grade
	Unknown  string   `json:"unknown,omitempty"` // why it cannot be told where the leather went
}

type billFigures struct {
	Order    string        `json:"order,omitempty"`
	Pattern  string        `json:"pattern"`
	WidthMM  float64       `json:"width_mm"`
	SizeMM   float64       `json:"size_mm"`
	Sets     int           `json:"sets"`
	NetMM2   float64       `json:"leather_mm2"`
	Used     []usedFigures `json:"leathers"`
	Leather  *string       `json:"leather"`
	Flaws    *string       `json:"its_flaws"`
	Waste    *string       `json:"its_waste"`
	ByArea   *string       `json:"by_area"`
	Hardware *string       `json:"hardware"`
	Thread   *string       `json:"thread"`
	Minutes  *float64      `json:"minutes"`
	Work     *string       `json:"work"`
	Cost     *string       `json:"cost"`
	Overhead *string       `json:"overhead"`
	Margin   *string       `json:"margin"`
	Before   *string       `json:"before_tax"`
	Tax      *string       `json:"tax"`
	Price    *string       `json:"price"`
	Each     *string       `json:"one"`
	Book     *string       `json:"the_book_asks_for_one"`
	Missing  []string      `json:"not_counted"`
}

type usedFigures struct {
	Leather string  `json:"leather"`
	NetMM2  float64 `json:"in_pieces_mm2"`
	Net     *string `json:"in_pieces"`
	Flaws   *string `json:"its_flaws"`
	Waste   *string `json:"its_waste"`
}

type wantedFigures struct {
	hardwareRow
	Cost *string `json:"cost"`
}

type lostFigures struct {
	Hide     string  `json:"hide"`
	Flaw     int     `json:"flaw"` // from 1; 0: what stands for more than one
	What     string  `json:"what"`
	Regained float64 `json:"regained_mm2"`
	Most     float64 `json:"at_most_mm2"`
	Cost     *string `json:"cost"`
}

type sourceFigures struct {
	Leather  string  `json:"leather"`
	Supplier string  `json:"supplier"`
	Grade    string  `json:"grade"`
	Hides    int     `json:"hides"`
	Marked   float64 `json:"cutting_value"` // by their flaws, per cent, on the average
	UsedMM2  float64 `json:"used_mm2"`
	NetMM2   float64 `json:"in_pieces_mm2"`
	Paid     *string `json:"paid"`
	Wasted   float64 `json:"waste"`
}

func (p priced) figures(files []string) priceFigures {
	out := priceFigures{Plan: p.plan, Hides: []hideFigures{}, Orders: []billFigures{}, None: usedBy(p.none), Wanted: []wantedFigures{}, Thread: p.thread, Flaws: []lostFigures{}, Sources: []sourceFigures{}, Files: files}
	for i, h := range p.account.Hides {
		c := p.cuts[i]
		f := hideFigures{
			Hide: h.Hide, Paid: text(h.Paid), NetMM2: h.MM2.Net, Wasted: h.Wasted(), Supplier: c.Supplier, Grade: c.Grade,
			Marked: c.Marked, Graded: c.Graded(), Worth: text(c.Worth()), Unknown: h.Unknown,
		}
		if h.Paid.Valid {
			f.Net, f.Flaws, f.Waste, f.Remnant = known(h.Cost.Net), known(h.Cost.Flaws), known(h.Cost.Waste), known(h.Cost.Remnant)
		}
		if c.Laid > 0 {
			f.Laid = &c.Laid
		}
		out.Hides = append(out.Hides, f)
	}
	for _, o := range p.orders {
		out.Orders = append(out.Orders, figuresOf(o))
	}
	for _, w := range p.wanted {
		out.Wanted = append(out.Wanted, wantedFigures{hardwareRow{w.Name, w.Count, w.Width, w.Length}, text(w.Cost)})
	}
	for _, r := range p.regain {
		for _, l := range r.Lost {
			out.Flaws = append(out.Flaws, lostFigures{r.Hide, l.Flaw + 1, l.What, l.Regained, l.Most, text(l.Cost)})
		}
	}
	out.Sources = sourcesOf(price.Sources(slices.Concat(p.cuts, p.past)))
	return out
}

func sourcesOf(all []price.Source) []sourceFigures {
	out := []sourceFigures{}
	for _, s := range all {
		out = append(out, sourceFigures{s.Leather, s.Supplier, s.Grade, s.Hides, s.Marked, s.Used(), s.MM2.Net, known(s.Paid), s.Wasted()})
	}
	return out
}

// recordJSON is what the record tells as JSON.
type recordJSON struct {
	Hides   []pastFigures   `json:"hides"`
	Sources []sourceFigures `json:"sources"`
	Files   []string        `json:"files"`
}

type pastFigures struct {
	Hide       string  `json:"hide"`
	Leather    string  `json:"leather"`
	Supplier   string  `json:"supplier"`
	Grade      string  `json:"grade"`         // as bought
	Marked     float64 `json:"cutting_value"` // by its flaws, per cent
	Graded     string  `json:"proved_to_be"`
	Paid       *string `json:"paid"`
	Net        *string `json:"in_pieces"`
	Waste      *string `json:"waste_cost"`
	Remnant    *string `json:"back_on_the_rack"`
	NetMM2     float64 `json:"in_pieces_mm2"`
	WasteMM2   float64 `json:"waste_mm2"`
	RemnantMM2 float64 `json:"back_on_the_rack_mm2"`
	Wasted     float64 `json:"waste"` // 1 − net/gross
}

func recordFigures(cuts []price.Cut, sources []price.Source, files []string) recordJSON {
	out := recordJSON{Hides: []pastFigures{}, Sources: sourcesOf(sources), Files: files}
	for _, c := range cuts {
		f := pastFigures{
			Hide: c.Hide, Leather: c.Leather, Supplier: c.Supplier, Grade: c.Grade, Marked: c.Marked, Graded: c.Graded(), Paid: text(c.Paid),
			NetMM2: c.MM2.Net, WasteMM2: c.MM2.Waste, RemnantMM2: c.MM2.Remnant, Wasted: c.Wasted(),
		}
		if c.Paid.Valid {
			f.Net, f.Waste, f.Remnant = known(c.Cost.Net), known(c.Cost.Waste), known(c.Cost.Remnant)
		}
		out.Hides = append(out.Hides, f)
	}
	return out
}

func figuresOf(o price.Order) billFigures {
	b := o.Bill
	f := billFigures{
		Order: o.Line.ID, Pattern: o.Line.Pattern, WidthMM: o.Line.Width, SizeMM: o.Line.Size, Sets: b.Sets, NetMM2: b.NetMM2,
		Leather: text(b.Leather.Net), Flaws: text(b.Leather.Flaws), Waste: text(b.Leather.Waste), ByArea: text(b.ByArea),
		Hardware: text(b.Fitted), Thread: text(b.Thread), Work: text(b.Work), Cost: known(b.Cost), Overhead: text(b.Overhead),
		Margin: text(b.Margin), Before: known(b.Before), Tax: text(b.Tax), Price: known(b.Price), Each: known(b.Each()),
		Book: text(o.Line.Price), Missing: append([]string{}, b.Missing...),
	}
	f.Used = usedBy(o.Used)
	if b.Minutes.Valid {
		m := b.Minutes.Decimal.InexactFloat64()
		f.Minutes = &m
	}
	return f
}

func usedBy(all []price.Used) []usedFigures {
	out := []usedFigures{}
	for _, l := range all {
		out = append(out, usedFigures{l.Leather, l.MM2, text(l.Cost.Net), text(l.Cost.Flaws), text(l.Cost.Waste)})
	}
	return out
}

// listJSON is a price list as JSON.
type listJSON struct {
	List  []billFigures `json:"list"`
	Files []string      `json:"files"`
}

func listFigures(rows []listed, files []string) listJSON {
	out := listJSON{List: []billFigures{}, Files: files}
	for _, r := range rows {
		out.List = append(out.List, figuresOf(price.Order{Line: r.line, Bill: r.bill}))
	}
	return out
}
