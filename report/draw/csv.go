package draw

import (
	"bytes"
	"encoding/csv"
	"regexp"
	"strings"

	"strapwise/report"
)

// CSV writes a table as comma-separated values after RFC 4180, in UTF-8 with a
// byte-order mark, without which spreadsheets take · and × for other letters. A text
// that a spreadsheet would take for a formula, for a day or for a number that is not
// written so has a ' before it, which marks text there; so has one that begins with a '
// itself, so that taking one off gives the text back.
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
				row[i] = asText(c)
			}
		}
		_ = w.Write(row)
	}
	w.Flush()
	return out.Bytes()
}

var (
	figures = regexp.MustCompile(`^[0-9](?:[-0-9.,:/]|[eE][-+]?)*[0-9]$`) // 007, 1-2, 3/4, 1.50, 12:30, 1E5
	whole   = regexp.MustCompile(`^[1-9][0-9]{0,14}$`)                    // more digits a spreadsheet rounds
)

// asText puts a ' before what begins as formulas do, and before figures that a spreadsheet
// would show otherwise.
func asText(s string) string {
	if s != "" && strings.ContainsAny(s[:1], "=+-@'\t\r") || figures.MatchString(s) && !whole.MatchString(s) {
		return "'" + s
	}
	return s
}
