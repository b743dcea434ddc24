package main

import "strapwise/nest/forecast"

// setsJSON is a forecast of sets as JSON.
type setsJSON struct {
	Form    string         `json:"form"`
	Grade   string         `json:"grade"`
	Leather string         `json:"leather"`
	Hides   int            `json:"hides"`
	AreaMM2 float64        `json:"area_mm2"` // of one on the average
	Net     float64        `json:"in_pieces"`
	Mean    float64        `json:"mean"`
	Spread  float64        `json:"deviation"`
	Bound   float64        `json:"bound"` // mean of what no lay exceeds
	AtLeast map[string]int `json:"at_least"`
	Sets    []int          `json:"sets"` // of every hide, least first
	Assumed []string       `json:"assumed"`
	Seed    uint64         `json:"seed"`
	Files   []string       `json:"files"`
}

func setsFigures(k forecast.Kind, y forecast.Yield, assumed []string, seed uint64, files []string) setsJSON {
	d := y.Sets
	return setsJSON{
		Form: k.Form, Grade: k.Grade, Leather: k.Leather, Hides: len(d), AreaMM2: y.Area, Net: y.Net, Mean: d.Mean(), Spread: d.Deviation(), Bound: y.Bound,
		AtLeast: map[string]int{"95%": d.AtLeast(0.95), "90%": d.AtLeast(0.9), "50%": d.AtLeast(0.5), "10%": d.AtLeast(0.1), "5%": d.AtLeast(0.05)},
		Sets:    d, Assumed: assumed, Seed: seed, Files: files,
	}
}

// buyJSON is what to buy as JSON.
type buyJSON struct {
	Leathers []leatherJSON `json:"leathers"`
	Seed     uint64        `json:"seed"`
}

type leatherJSON struct {
	Leather string       `json:"leather"`
	Asked   int          `json:"asked"`
	OnRack  int          `json:"on_rack"`
	Best    *choiceJSON  `json:"best"`
	Others  []choiceJSON `json:"others"`
	All     bool         `json:"all_tried"`
}

type choiceJSON struct {
	Lots []lotJSON `json:"lots"`
	Cost *string   `json:"cost"`
	Sure float64   `json:"sure"`
}

type lotJSON struct {
	Offer    int    `json:"offer"` // in workshop.toml among those of the leather, from 0
	Form     string `json:"form"`
	Grade    string `json:"grade"`
	Supplier string `json:"supplier"`
	Hides    int    `json:"hides"`
}

func buyFigures(all []shelf, seed uint64) buyJSON {
	out := buyJSON{Leathers: []leatherJSON{}, Seed: seed}
	for _, s := range all {
		choice := func(c forecast.Choice) choiceJSON {
			j := choiceJSON{Lots: []lotJSON{}, Cost: known(c.Cost), Sure: c.Sure}
			for _, l := range c.Lots {
				o := s.offers[l.Offer]
				j.Lots = append(j.Lots, lotJSON{l.Offer, o.Form, o.Grade, o.Supplier, l.Hides})
			}
			return j
		}
		l := leatherJSON{Leather: s.Leather, Asked: s.Asked, OnRack: s.OnRack, Others: []choiceJSON{}, All: s.All}
		if len(s.Best.Lots) > 0 {
			best := choice(s.Best)
			l.Best = &best
		}
		for _, c := range s.Single {
			if len(c.Lots) > 0 {
				l.Others = append(l.Others, choice(c))
			}
		}
		out.Leathers = append(out.Leathers, l)
	}
	return out
}
