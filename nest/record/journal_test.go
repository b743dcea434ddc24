package record

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/shopspring/decimal"

	"strapwise/hide/source"
)

func on(day string) time.Time {
	t, err := time.Parse(time.DateOnly, day)
	if err != nil {
		panic(err)
	}
	return t
}

func paid(s string) decimal.NullDecimal { return decimal.NewNullDecimal(decimal.RequireFromString(s)) }

// An invented bend, cut into a collar's worth and a remnant, which is cut in turn.
func bend() Line {
	return Line{What: TakenIn, Hide: "ash-3", Leather: "bridle, tan", Form: "bend", Supplier: `Nether "& Son"`, Grade: "II", AreaMM2: 1000, Cost: paid("96.50"), File: "aa"}
}

func cutUp() []Line {
	return []Line{
		{What: Cut, Hide: "ash-3", AreaMM2: 1000, Cost: paid("96.50"), Plan: "01", File: "aa"},
		{What: Pieces, Hide: "ash-3", Order: "A1", Part: "main", Sets: "1-2", Count: 2, AreaMM2: 500, Cost: paid("48.25"), Plan: "01"},
		{What: Remnant, Hide: "ash-3-r1", Of: "ash-3", Leather: "bridle, tan", Form: "remnant", AreaMM2: 400, Cost: paid("38.60"), Plan: "01", File: "bb"},
		{What: Scrap, Hide: "ash-3", AreaMM2: 100, Cost: paid("9.65"), Plan: "01"},
		{What: Made, Order: "A1", Sets: "1-2", Count: 2, Plan: "01"},
	}
}

// grown is a journal of some entries.
func grown(entries ...[]Line) *Journal {
	j := &Journal{}
	for i, lines := range entries {
		j = j.With(on("2027-03-01").AddDate(0, 0, i), lines)
	}
	return j
}

func TestJournalIsReadAsItWasWritten(t *testing.T) {
	j := grown([]Line{bend()}, cutUp(), []Line{{What: Undone, Of: "2"}})
	again, err := Decode(File, j.Text())
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(j.Lines(), again.Lines()); diff != "" {
		t.Error(diff)
	}
	// It is only ever added to, also where the last line has lost its end.
	longer := again.With(on("2027-04-01"), cutUp())
	if !bytes.HasPrefix(longer.Text(), j.Text()) {
		t.Error("what was written before has changed")
	}
	cut, err := Decode(File, bytes.TrimSuffix(j.Text(), []byte("\n")))
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(cut.With(on("2027-04-01"), cutUp()).Text(), longer.Text()) {
		t.Error("a lost line end matters")
	}
	const want = `entry,date,what,hide,of,leather,form,supplier,grade,order,part,sets,count,area_mm2,cost,plan,file,seal
1,2027-03-01,taken in,ash-3,,"bridle, tan",bend,"Nether ""& Son""",II,,,,,1000,96.50,,aa,`
	if !strings.HasPrefix(string(j.Text()), want) {
		t.Errorf("begins with %.250s", j.Text())
	}
}

// Each change of a journal by hand is found, with its line.
func TestJournalChangedByHand(t *testing.T) {
	sound := string(grown([]Line{bend()}, cutUp()).Text())
	lines := strings.SplitAfter(sound, "\n")
	for _, c := range []struct{ rule, text, want string }{
		{"a figure", strings.Replace(sound, "1000,96.50", "1001,96.50", 1), "journal.csv:2: seal: this line, or one before it, is not as it was written"},
		{"a line left out", lines[0] + lines[1] + lines[2] + lines[4] + lines[5] + lines[6], "journal.csv:4: seal: this line,"},
		{"the first entry left out", lines[0] + strings.Join(lines[2:], ""), "journal.csv:2: entry: found 2 after 0, expected no gap"},
		{"two lines changed about", lines[0] + lines[1] + lines[2] + lines[4] + lines[3], "journal.csv:4: seal: this line,"},
		{"half a line", sound[:len(sound)-30], "journal.csv:7: found 5 cells, expected 18"},
		{"other headings", strings.Replace(sound, "entry,", "no,", 1), "journal.csv:1: found other headings, expected entry,date,"},
		{"a word", strings.Replace(sound, "taken in", "stolen", 1), `journal.csv:2: what: found "stolen", which strapwise does not write there`},
		{"no date", strings.Replace(sound, "2027-03-01", "1.3.2027", 1), `journal.csv:2: date: found "1.3.2027"`},
		{"a cost in words", strings.Replace(sound, "96.50", "much", 1), `journal.csv:2: cost: found "much"`},
		{"a cost as spreadsheets write it", strings.Replace(sound, "96.50", "96.5", 1), `journal.csv:2: cost: found "96.5"`},
		{"an area below 0", strings.Replace(sound, ",1000,", ",-1000,", 1), `journal.csv:2: area_mm2: found "-1000"`},
		{"a quote too many", strings.Replace(sound, "2027-03-01", `20"27`, 1), "journal.csv:2: no line of a table"},
		{"nothing left of it", "", "journal.csv: found nothing in it, expected a journal"},
		{"something else", "\x00\xff", "journal.csv:1: found other headings"},
	} {
		_, err := Decode(File, []byte(c.text))
		if e, ok := source.As(err); !ok || !strings.HasPrefix(err.Error(), c.want) || e.Hint == "" {
			t.Errorf("%s: found %v, expected %s", c.rule, err, c.want)
		}
	}
}

// Entries that cannot follow those before them are found, seals or not.
func TestLedgerRefuses(t *testing.T) {
	undo := func(n string) []Line { return []Line{{What: Undone, Of: n}} }
	for _, c := range []struct {
		rule string
		j    *Journal
		want string
	}{
		{"taken in twice", grown([]Line{bend()}, []Line{bend()}), "entry 2 takes in ash-3, which was on the rack before"},
		{"cut before it came", grown(cutUp()), "entry 1 has ash-3 cut, which is not on the rack"},
		{"cut twice", grown([]Line{bend()}, cutUp(), cutUp()), "entry 3 has ash-3 cut, which is not on the rack"},
		{"pieces of a hide that is not cut", grown([]Line{bend()}, cutUp()[1:]), "entry 2 has pieces of ash-3, which it does not cut"},
		{"a remnant of a hide that is not cut", grown([]Line{bend()}, cutUp()[2:3]), "entry 2 has remnant of ash-3, which it does not cut"},
		{"sets made of nothing", grown([]Line{bend()}, cutUp()[4:]), "entry 2 has sets made, and no hide cut for them"},
		{"undoes nothing", grown(undo("1")), "entry 1 undoes entry 1, which is not the last that counts"},
		{"undoes what is not the last", grown([]Line{bend()}, cutUp(), undo("1")), "entry 3 undoes entry 1, which is not the last that counts"},
		{"undoes twice", grown([]Line{bend()}, cutUp(), undo("2"), undo("2")), "entry 4 undoes entry 2, which is not the last that counts"},
		{"undoes by the way", grown(append([]Line{bend()}, undo("1")...)), "entry 1 undoes in the midst of other lines"},
	} {
		if _, err := c.j.Ledger(); err == nil || !strings.HasSuffix(err.Error(), c.want) {
			t.Errorf("%s: found %v, expected %s", c.rule, err, c.want)
		}
	}
	// What is undone may be done again.
	j := grown([]Line{bend()}, cutUp(), undo("2"), undo("1"), []Line{bend()}, cutUp())
	l, err := j.Ledger()
	if err != nil {
		t.Fatal(err)
	}
	if h := l.Hide("ASH-3"); h == nil || h.In != 5 || h.Out != 6 || h.Fate != Cut || len(l.Entries) != 2 {
		t.Errorf("found %+v", h)
	}
}

func FuzzDecode(f *testing.F) {
	f.Add(grown([]Line{bend()}, cutUp(), []Line{{What: Undone, Of: "2"}}).Text())
	f.Add([]byte{})
	f.Fuzz(func(t *testing.T, text []byte) {
		j, err := Decode(File, text)
		if err != nil {
			if _, ok := source.As(err); !ok {
				t.Fatalf("%T", err)
			}
			return
		}
		again, err := Decode(File, j.With(on("2027-03-02"), []Line{bend()}).Text())
		if err != nil || len(again.Lines()) != len(j.Lines())+1 {
			t.Fatalf("one line more: %v", err)
		}
		if l, err := j.Ledger(); err == nil {
			l.Audit(nil, nil)
		}
	})
}

func TestSetNumbers(t *testing.T) {
	for want, sets := range map[string][]int{"": nil, "4": {4}, "1-3 5": {5, 3, 1, 2, 2}, "1-2": {1, 2}} {
		if got := SetNumbers(sets); got != want {
			t.Errorf("%v: found %q", sets, got)
		}
	}
}
