package report

import (
	"fmt"
	"testing"

	"github.com/paulmach/orb"
)

// Where the marks of a band go on in the next column, its number stands over them.
func TestColumnsRepeatTheNumber(t *testing.T) {
	marks := Step{Name: "7", With: true}
	for i := range 12 {
		marks.Cuts = append(marks.Cuts, Cut{At: figure(inches, float64(i)*100), Off: fmt.Sprintf("A1·%d keeper", i)})
	}
	steps := []Step{
		{Name: "1", Set: words("1"), Do: words("take 1 strip")},
		{Name: "7", Set: words("2"), Do: words("take 1 strip")},
		marks,
		{Name: "8", Set: words("1"), Do: words("take 1 strip")},
	}
	for _, width := range []float64{50, 140} { // marks under their strip, and beside it
		l := setList(steps, 3, width, width > 100)
		height := l.height(3)
		from, repeated := 0, 0
		for _, end := range l.columns(3, height) {
			k := &ink{}
			l.draw(k, orb.Point{}, from, end)
			heads := map[string]bool{}
			for _, item := range k.items {
				text, ok := item.(Text)
				if !ok {
					continue
				}
				heads[Plain(text.Runs)] = true
				if text.Bound().Max[1] > height {
					t.Errorf("%g mm wide: %q stands below the column", width, text)
				}
			}
			parted := from > 0 && l.rows[from].of == "7"
			if heads["7 …"] != parted {
				t.Errorf("%g mm wide: the column from row %d has %v", width, from, heads)
			}
			if parted {
				repeated++
			}
			from = end
		}
		if repeated == 0 {
			t.Errorf("%g mm wide: no column goes on with band 7", width)
		}
	}
}
