package report

import (
	"fmt"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"strapwise/hide/measure"
	"strapwise/report/internal/made"
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

// What comes off for several orders at once tells each by all of its name, on as many rows
// as that takes.
func TestMarksTellOrdersWhole(t *testing.T) {
	steps := []Step{
		{Name: "8, 9", Set: words("3/4"), Do: words("take 2 strips")},
		{Name: "8, 9", With: true, Cuts: []Cut{
			{At: figure(inches, 26*25.4), Off: "Customer-11·1, Customer-19·1 main"},
			{At: figure(inches, 52*25.4), Off: "Customer-11·2 main"},
		}},
	}
	const width = 50
	l := setList(steps, 3, width, false)
	var said []string
	for _, r := range l.rows {
		for _, text := range r.texts {
			said = append(said, Plain(text.Runs))
			if text.Bound().Max[0] > width {
				t.Errorf("%q stands beside the column", text)
			}
		}
	}
	if got, want := strings.Join(said, " "), "8, 9 3/4 2 strips 26 Customer-11·1, Customer-19·1 main 52 Customer-11·2 main"; got != want {
		t.Errorf("found %q, expected %q", got, want)
	}
}

// A list that goes overleaf is set in the largest type that makes do with the fewest pages.
func TestLongListTakesFewPages(t *testing.T) {
	j, p, err := made.Whole()
	if err != nil {
		t.Fatal(err)
	}
	l, err := readLay(j, p, "oak-1", inches)
	if err != nil {
		t.Fatal(err)
	}
	smaller := 0
	for n := 20; n < 320; n += 30 {
		s := &sheet{lay: l, steps: make([]Step, n), lists: map[setting]*listing{}}
		s.width, s.height = A4.Size()
		for i := range s.steps {
			s.steps[i] = Step{Name: fmt.Sprint(i + 1), Set: words("1"), Do: words("take 1 strip, and one more of these, square at the left")}
		}
		a := s.split(s.room(), 0)
		pages := len(s.overleaf(a))
		if least := len(s.overleaf(s.splitIn(s.room(), leastList, 0))); pages > least {
			t.Errorf("%d steps: %d further pages, expected %d", n, pages, least)
		}
		if a.list.size < usualList-0.01 {
			smaller++
			if larger := len(s.overleaf(s.splitIn(s.room(), a.list.size+0.2, 0))); larger <= pages {
				t.Errorf("%d steps: set in %.1f mm, and as few pages hold them in larger type", n, a.list.size)
			}
		}
	}
	if smaller == 0 {
		t.Error("no list is set smaller for a page less")
	}
}

// A list of hundreds of steps goes over to further pages and says so.
func TestLongListGoesOn(t *testing.T) {
	j, p, err := made.Whole()
	if err != nil {
		t.Fatal(err)
	}
	lengthen(&p, 3*len(p.Hides[0].Strips))
	pages, err := Sheet(j, p, "oak-1", Options{})
	if err != nil {
		t.Fatal(err)
	}
	if len(pages) < 2 {
		t.Fatalf("got %d page, expected several", len(pages))
	}
	first := strings.Join(texts(pages[0]), "\n")
	for _, want := range []string{"THE LIST GOES ON OVERLEAF", fmt.Sprintf("sheet 1 of %d", len(pages))} {
		if !strings.Contains(first, want) {
			t.Errorf("the first page does not say %q", want)
		}
	}
	if last := strings.Join(texts(pages[len(pages)-1]), "\n"); strings.Contains(last, "OVERLEAF") {
		t.Error("the last page sends the reader further")
	}
	steps, _ := Steps(j, p, "oak-1", measure.Rule{})
	if msg := lost(steps, pages); msg != "" {
		t.Error(msg)
	}
	for i, page := range pages {
		if msg := flawed(page); msg != "" {
			t.Errorf("page %d: %s", i+1, msg)
		}
	}
}

// The first of several pages names larger paper where, and only where, that holds the sheet
// on one page.
func TestLargerPaperIsNamed(t *testing.T) {
	named := map[bool]int{}
	for _, more := range []int{0, 40, 80, 160} {
		j, p, err := made.Whole()
		if err != nil {
			t.Fatal(err)
		}
		lengthen(&p, more)
		on := func(paper Paper) []Page {
			pages, err := Sheet(j, p, "oak-1", Options{Paper: paper})
			if err != nil {
				t.Fatal(err)
			}
			return pages
		}
		small := on(A4)
		if len(small) == 1 {
			continue
		}
		got, want := strings.Contains(strings.Join(texts(small[0]), "\n"), "A3 HOLDS IT ON ONE SHEET"), len(on(A3)) == 1
		if named[got]++; got != want {
			t.Errorf("%d strips more: %d pages; A3 is named: %v, expected %v", more, len(small), got, want)
		}
	}
	if named[true] == 0 || named[false] == 0 {
		t.Errorf("A3 is named or not: %v, expected both", named)
	}
}

// Where picture and list go on one page, all of the list is on it.
func TestArrangementsHoldTheList(t *testing.T) {
	for seed := range uint64(100) {
		j, p, err := made.Random(seed)
		if err != nil {
			t.Fatal(err)
		}
		for _, paper := range []Paper{A4, A3, Letter} {
			l, err := readLay(j, p, j.Hides[0].Name(), measure.Rule{})
			if err != nil {
				t.Fatal(err)
			}
			s := &sheet{lay: l, steps: l.steps(), lists: map[setting]*listing{}}
			s.width, s.height = paper.Size()
			a, fits := s.arrange(s.room(), 0)
			if rows := len(a.list.rows); fits && (len(a.ends) == 0 || a.ends[len(a.ends)-1] != rows) {
				t.Errorf("seed %d, paper %d: columns end with rows %v, expected all %d", seed, paper, a.ends, rows)
			}
		}
	}
}
