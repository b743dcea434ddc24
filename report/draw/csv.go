package draw

import (
	"bytes"
	"encoding/csv"
	"strings"

	"strapwise/report"
)

// CSV writes a table as comma-separated values after RFC 4180, in UTF-8 with a
// byte-order mark, without which spreadsheets take · and × for other letters. A text
// that a spreadsheet would take for a formula has a ' before it, which marks text
// there; so has one that begins with a ' itself, so that taking one off gives the
// text back.
func CSV(t report.Table) []byte {
	var out bytes.Buffer // takes all it is given
	out.WriteString("\ufeff")
	w := csv.NewWriter(&out)
	w.UseCRLF = true
	row := make([]string, len(t.Columns))
	for i, c := range t.Columns {
		row[i] = c.Name
	}
	_ = w.Write(row)
	for _, cells := range t.Rows {
		for i, c := range cells {
			if row[i] = c; !t.Columns[i].Number {
				row[i] = unformula(c)
			}
		}
		_ = w.Write(row)
	}
	w.Flush()
	return out.Bytes()
}

// unformula puts a ' before what begins as formulas do.
func unformula(s string) string {
	if s != "" && strings.ContainsAny(s[:1], "=+-@'\t\r") {
		return "'" + s
	}
	return s
}
