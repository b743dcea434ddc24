package report

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"strapwise/hide/measure"
	"strapwise/report/internal/made"
)

// The list of pieces has each piece once, with the lengths that are on its sheet,
// as text and in millimetres alike.
func TestPieceTable(t *testing.T) {
	for seed := range uint64(20) {
		j, p, err := made.Random(seed)
		if err != nil {
			t.Fatal(err)
		}
		name := j.Hides[0].Name()
		table, err := PieceTable(j, p, []string{name}, inches)
		if err != nil {
			t.Fatal(err)
		}
		l, err := readLay(j, p, name, inches)
		if err != nil {
			t.Fatal(err)
		}
		if len(table.Rows) != l.count() {
			t.Errorf("plan %d: found %d rows, expected %d", seed, len(table.Rows), l.count())
		}
		for i, piece := range l.inOrder() {
			row := map[string]string{}
			for k, c := range table.Columns {
				row[c.Name] = table.Rows[i][k]
			}
			if row["order"] != piece.Order || row["set"] != strconv.Itoa(piece.Set) || row["part"] != piece.Part || row["strip"] != l.where(piece) {
				t.Errorf("plan %d: found %v, expected %s", seed, row, label(piece))
			}
			for _, of := range []string{"length", "width"} {
				alike(t, row[of], row[of+"_mm"])
			}
			if to, _ := strconv.ParseFloat(row["to_mm"], 64); math.Abs(to-piece.ToMM) > sameMark {
				t.Errorf("plan %d: %s ends at %s, expected %g", seed, label(piece), row["to_mm"], piece.ToMM)
			}
		}
	}
}

// alike says that a length as text is one in millimetres, on the mark.
func alike(t *testing.T, text, mm string) {
	t.Helper()
	text = strings.TrimSuffix(strings.TrimSuffix(text, " left"), " right")
	got, err := measure.Length(text, 0)
	if err != nil {
		t.Fatal(err)
	}
	want, err := strconv.ParseFloat(mm, 64)
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(got-math.Abs(want)) > inches.Up(sameMark)/2+sameMark {
		t.Errorf("%s stands beside %s mm", text, mm)
	}
}

// The list of cuts has every setting and every mark of the cutting list, in order,
// and marks that grow along each strip.
func TestCutTable(t *testing.T) {
	for seed := range uint64(20) {
		j, p, err := made.Random(seed)
		if err != nil {
			t.Fatal(err)
		}
		name := j.Hides[0].Name()
		table, err := CutTable(j, p, []string{name}, inches)
		if err != nil {
			t.Fatal(err)
		}
		steps, err := Steps(j, p, name, inches)
		if err != nil {
			t.Fatal(err)
		}
		at := map[string]int{}
		for i, c := range table.Columns {
			at[c.Name] = i
		}
		rows := table.Rows
		n, edge := 0, 0.0
		for _, s := range steps {
			if s.Note {
				continue
			}
			n++
			last := math.Inf(-1)
			for i := range max(1, len(s.Cuts)) {
				row := rows[0]
				rows = rows[1:]
				if row[at["step"]] != strconv.Itoa(n) || row[at["strips"]] != s.Name {
					t.Fatalf("plan %d: found %q, expected step %d, %s", seed, row, n, s)
				}
				if len(s.Set) > 0 {
					alike(t, row[at["cutter"]], row[at["cutter_mm"]])
				}
				if s.FarMM > 0 {
					alike(t, row[at["from_edge"]], row[at["from_edge_mm"]])
					if v, _ := strconv.ParseFloat(row[at["from_edge_mm"]], 64); v <= edge {
						t.Errorf("plan %d: a rip at %g comes after one at %g", seed, v, edge)
					} else {
						edge = v
					}
				}
				if len(s.Cuts) == 0 {
					continue
				}
				if row[at["gives"]] != s.Cuts[i].Off {
					t.Errorf("plan %d: found %q, expected what comes off: %s", seed, row, s.Cuts[i].Off)
				}
				if mm := row[at["mark_mm"]]; mm != "" {
					if row[at["mark"]] != "on it" {
						alike(t, row[at["mark"]], mm)
					}
					if v, _ := strconv.ParseFloat(mm, 64); v <= last {
						t.Errorf("plan %d: mark %g comes after %g", seed, v, last)
					} else {
						last = v
					}
				}
			}
		}
		if len(rows) > 0 {
			t.Errorf("plan %d: found %d rows more than steps", seed, len(rows))
		}
	}
}

// A mark in words has no unit; one in figures has, and its side.
func TestMarkOfACut(t *testing.T) {
	for want, c := range map[string]Cut{
		"1/2 in": {At: figure(inches, 12.7), MM: 12.7}, "rest": {At: words("rest"), MM: math.NaN()}, "on it": {At: words("on it")},
		"4 in left": {At: join(figure(inches, 101.6), words(" left")), MM: -101.6}, "1 3/8 in right": {At: join(figure(inches, 34.925), words(" right")), MM: 34.925},
	} {
		if got := mark(c, inches); got != want {
			t.Errorf("got %q, expected %q", got, want)
		}
	}
}
