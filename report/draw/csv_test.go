package draw

import (
	"bytes"
	"encoding/csv"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"strapwise/hide/measure"
	"strapwise/report"
	"strapwise/report/internal/made"
)

// hostile is a table of what spreadsheets and readers stumble over.
func hostile() report.Table {
	t := report.Table{Columns: []report.Column{{Name: "text"}, {Name: "number_mm", Number: true}, {Name: "more"}}}
	for _, s := range []string{
		"=1+1", "+1", "-1", "@sum(a1)", "'quoted", "\tx", "1 3/8 in", `5/8"`, `say "hides"`, "a,b", "a;b", "two\nlines", " air ", "", "A12·3 ü 皮", "=HYPERLINK(\"x\")",
		"7", "105", "007", "1-2", "3/4", "1.50", "12:30", "1E5", "2027-03-01", "1234567890123456", "7e", "5, 6", "4–6",
	} {
		t.Rows = append(t.Rows, []string{s, "-12.5", s})
	}
	return t
}

// Read back by another reader, every cell is what it was but for the ' before what
// could be a formula; numbers have none.
func TestCSV(t *testing.T) {
	table := hostile()
	data := CSV(table)
	data, marked := bytes.CutPrefix(data, []byte("\ufeff"))
	if !marked {
		t.Error("found no byte-order mark")
	}
	rows, err := csv.NewReader(bytes.NewReader(data)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if len(rows) != len(table.Rows)+1 || strings.Join(rows[0], " ") != "text number_mm more" {
		t.Fatalf("found %d rows, the first %q", len(rows), rows[0])
	}
	for i, want := range table.Rows {
		for _, k := range []int{0, 2} {
			got := rows[i+1][k]
			if got != "" && strings.ContainsAny(got[:1], "=+-@\t\r") {
				t.Errorf("%q would be a formula", got)
			}
			if strings.TrimPrefix(got, "'") != want[k] {
				t.Errorf("found %q, expected %q", got, want[k])
			}
		}
		if rows[i+1][1] != "-12.5" {
			t.Errorf("found the number %q, expected -12.5", rows[i+1][1])
		}
	}
}

// Names of orders that are figures are told as text where a spreadsheet would show another
// number or a day, and left alone where it shows them as they are.
func TestCSVKeepsFigures(t *testing.T) {
	for s, marked := range map[string]bool{
		"007": true, "00": true, "1-2": true, "3/4": true, "1.50": true, "12:30": true, "1E5": true, "1e-5": true, "2027-03-01": true, "1234567890123456": true,
		"0": false, "7": false, "105": false, "123456789012345": false, "7e": false, "7a": false, "5, 6": false, "4–6": false, "25 mm": false, "A-2": false, "1 3/8 in": false,
	} {
		if got := asText(s); (got == "'"+s) != marked || !marked && got != s {
			t.Errorf("%q is written as %q", s, got)
		}
	}
}

// The lists of a plan come out the same twice, and have as many cells in each row as
// there are columns.
func TestTablesAsCSV(t *testing.T) {
	j, p, err := made.Side()
	if err != nil {
		t.Fatal(err)
	}
	for name, list := range map[string]func() (report.Table, error){
		"pieces": func() (report.Table, error) {
			return report.PieceTable(j, p, []string{"ash-3"}, measure.RuleOf(measure.Inch))
		},
		"cuts": func() (report.Table, error) {
			return report.CutTable(j, p, []string{"ash-3"}, measure.RuleOf(measure.Inch))
		},
	} {
		table, err := list()
		if err != nil {
			t.Fatal(err)
		}
		again, err := list()
		if err != nil || !bytes.Equal(CSV(table), CSV(again)) {
			t.Errorf("%s: not the same twice: %v", name, err)
		}
		rows, err := csv.NewReader(bytes.NewReader(CSV(table))).ReadAll()
		if err != nil || len(rows) != len(table.Rows)+1 || len(rows) < 10 {
			t.Errorf("%s: found %d rows: %v", name, len(rows), err)
		}
	}
}

// A spreadsheet program reads the cells as they were meant, and takes none for a
// formula.
func TestCSVInASpreadsheet(t *testing.T) {
	program, err := exec.LookPath("soffice")
	if err != nil {
		t.Skip("no spreadsheet program here: Debian has one in libreoffice-calc")
	}
	dir := t.TempDir()
	table := hostile()
	if err := os.WriteFile(filepath.Join(dir, "in.csv"), CSV(table), 0o600); err != nil {
		t.Fatal(err)
	}
	// read as UTF-8 (76) with commas (44), and written with what the cells show
	said, err := exec.Command(program, "--headless", "-env:UserInstallation=file://"+dir+"/profile", "--infilter=CSV:44,34,76,1",
		"--convert-to", "csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,true,false", "--outdir", filepath.Join(dir, "out"), filepath.Join(dir, "in.csv")).CombinedOutput()
	if err != nil {
		t.Fatalf("%v: %s", err, said)
	}
	data, err := os.ReadFile(filepath.Join(dir, "out", "in.csv"))
	if err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(bytes.NewReader(bytes.TrimPrefix(data, []byte("\ufeff")))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range table.Rows {
		got := slices.Clone(rows[i+1])
		got[0] = strings.TrimPrefix(got[0], "'")
		if d := cmp.Diff(want[:2], got[:2]); d != "" {
			t.Errorf("row %d: %s", i+1, d)
		}
	}
}
