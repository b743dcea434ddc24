package intake

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"time"

	"strapwise/hide/money"
)

// Measures are what a person tells of a hide, in their own words, each the value of
// a key of a hide file. What is empty is not told.
type Measures struct {
	Leather, Form     string
	Size              string   // "52in x 26in", along the backbone and across
	Stations          []string // "12in:24in" or "12in:1/2in:24in": at, from and to
	Trim, Substance   string
	Cost, Price, Area string
	Bought            string // 2027-02-11
	Supplier, Grade   string
}

// across parts the two lengths of a size.
var across = regexp.MustCompile(`\s*[x×X,]\s*`)

// File is the hide file that says so, with a note at its head. Read tells what is
// wrong with it, if anything.
func (m Measures) File(note string) []byte {
	var w writer
	w.line("# %s", note)
	w.words("leather", m.Leather)
	w.words("form", m.Form)
	if m.Size != "" {
		w.line("size = [%s]", quotedList(across.Split(strings.TrimSpace(m.Size), -1)))
	}
	if len(m.Stations) > 0 {
		w.line("stations = [")
		for _, s := range m.Stations {
			w.line("  {%s},", stationOf(s))
		}
		w.line("]")
	}
	w.words("trim", m.Trim)
	w.words("substance", m.Substance)
	_, noMoney := money.Amount(m.Cost)
	w.bare("cost", m.Cost, noMoney == nil)
	w.words("price", m.Price)
	w.words("area", m.Area)
	_, noDay := time.Parse(time.DateOnly, m.Bought)
	w.bare("bought", m.Bought, noDay == nil)
	w.words("supplier", m.Supplier)
	w.words("grade", m.Grade)
	return []byte(w.String())
}

// bare writes a value without quotes, if it may stand so.
func (w *writer) bare(key, value string, may bool) {
	if may {
		w.line("%s = %s", key, value)
		return
	}
	w.words(key, value)
}

func quotedList(items []string) string {
	var out []string
	for _, s := range items {
		out = append(out, strconv.Quote(s))
	}
	return strings.Join(out, ", ")
}

// stationOf is one station of a file.
func stationOf(text string) string {
	keys := []string{"at", "to"}
	words := strings.Split(text, ":")
	if len(words) == 3 {
		keys = []string{"at", "from", "to"}
	}
	var out []string
	for i, word := range words {
		if i < len(keys) {
			out = append(out, fmt.Sprintf("%s = %s", keys[i], strconv.Quote(strings.TrimSpace(word))))
		}
	}
	return strings.Join(out, ", ")
}
