package nest

import (
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"

	"strapwise/hide"
	"strapwise/hide/measure"
	"strapwise/hide/plane"
)

// cutNames are the pieces of the bench that are marked as cut, in its order.
func cutNames(p Plan) string {
	var out []string
	for _, x := range p.Pieces {
		if x.Cut {
			out = append(out, x.Part+string(rune('0'+x.Set)))
		}
	}
	return strings.Join(out, " ")
}

// What is told as cut marks what must have been cut for it, and no more; the plan
// still keeps all rules, and the plan it was begun from is as it was.
func TestBegin(t *testing.T) {
	for _, tt := range []struct {
		rule   string
		do     func(b *Begun) error
		pieces string
		left   int // parts of the hide
	}{
		{"nothing", func(*Begun) error { return nil }, "", 1},
		{"a rip implies those before it", func(b *Begun) error { b.Rip("ash-3", 2); return nil }, "", 3},
		{"a band", func(b *Begun) error { b.Cut("ash-3", 1); return nil }, "main1 main2", 1},
		{"a band of blocks", func(b *Begun) error { b.Cut("ash-3", 2); return nil }, "filler1 filler1 filler2 filler2 keeper1 keeper2 keeper3", 2},
		{"a block parts its band", func(b *Begun) error { b.CutBlock("ash-3", 2, 0); return nil }, "filler1 filler1", 3},
		{"a band cut apart", func(b *Begun) error { b.CutApart("ash-3", 2); return nil }, "", 4},
		{"a band of one strip has no blocks", func(b *Begun) error { b.CutApart("ash-3", 1); return nil }, "", 2},
		{"a piece parts a band of one strip", func(b *Begun) error { return b.CutPiece(0) }, "main1", 2},
		{"the last piece of a strip ends it", func(b *Begun) error { return b.CutPiece(1) }, "main1 main2", 1},
		// strip 4 is done with, the rest of strip 5 is left, and block 1
		{"a piece implies the strips before it", func(b *Begun) error { return b.CutPiece(6) }, "filler2 filler2 keeper1", 4},
		{"a piece twice", func(b *Begun) error {
			if err := b.CutPiece(0); err != nil {
				return err
			}
			return b.CutPiece(0)
		}, "main1", 2},
		{"a spoilt piece", func(b *Begun) error { return b.Spoil(0) }, "", 2},
	} {
		k := newBench()
		k.job.Hides = []*hide.Hide{k.hide()}
		was := string(k.plan.Encode())
		b := k.plan.Begin()
		if err := tt.do(b); err != nil {
			t.Errorf("%s: %v", tt.rule, err)
			continue
		}
		if got := cutNames(b.Plan); got != tt.pieces {
			t.Errorf("%s: found %q cut, expected %q", tt.rule, got, tt.pieces)
		}
		if got := b.Plan.left(&b.Plan.Hides[0]); len(got) != tt.left {
			t.Errorf("%s: found %d parts left, expected %d: %v", tt.rule, len(got), tt.left, got)
		}
		if v := CheckCut(k.job, b.Plan); v != nil {
			t.Errorf("%s: %v", tt.rule, v)
		}
		if v := Check(k.job, b.Plan); len(b.Plan.Spoilt) == 0 && v != nil {
			t.Errorf("%s: %v", tt.rule, v)
		}
		if string(k.plan.Encode()) != was {
			t.Errorf("%s: the plan before has changed", tt.rule)
		}
		again, err := DecodePlan("plan.json", b.Plan.Encode())
		if err != nil || string(again.Encode()) != string(b.Plan.Encode()) {
			t.Errorf("%s: what is cut is not in the file: %v", tt.rule, err)
		}
	}
}

// A plan of more pieces than hides hold is refused before it is looked at.
func TestCheckCutRefusesTooManyPieces(t *testing.T) {
	k := newBench()
	k.job.Hides = []*hide.Hide{k.hide()}
	k.plan.Pieces = make([]Piece, mostSpare+1)
	if got := CheckCut(k.job, k.plan); len(got) != 1 || got[0].Rule != RuleSets {
		t.Errorf("found %v", got)
	}
}

func TestNamed(t *testing.T) {
	p := newBench().plan
	for _, tt := range []struct {
		name        string
		band, block int
		err         string
	}{
		{"1", 1, -1, ""},
		{"2", 2, -1, ""},
		{"2a", 2, 0, ""},
		{"2b", 2, 1, ""},
		{"2c", 0, 0, "has 2"},
		{"2zzzzzzzzzzzzzzzzzzzzzzzzzz", 0, 0, "has 2"},
		{"1a", 0, 0, "not cut into blocks"},
		{"4", 0, 0, "bands 1 to 3"},
		{"0", 0, 0, "expected a band"},
		{"", 0, 0, "expected a band"},
		{"a", 0, 0, "expected a band"},
		{"+1", 0, 0, "expected a band"},
		{"99999999999999999999", 0, 0, "expected a band"},
	} {
		band, block, err := p.Named("ash-3", tt.name)
		switch {
		case tt.err == "" && (err != nil || band != tt.band || block != tt.block):
			t.Errorf("%q: found %d, %d, %v, expected %d, %d", tt.name, band, block, err, tt.band, tt.block)
		case tt.err != "" && (err == nil || !strings.Contains(err.Error(), tt.err)):
			t.Errorf("%q: found %v, expected %q", tt.name, err, tt.err)
		}
	}
	if _, _, err := p.Named("oak-1", "1"); err == nil {
		t.Error("found a band of a hide that the plan does not cut")
	}
}

// A piece that was cut before a flaw in it was known is spoilt, or kept as judged;
// one that its use may contain is neither.
func TestJudge(t *testing.T) {
	for _, sound := range []bool{false, true} {
		k := newBench()
		b := k.plan.Begin()
		b.Cut("ash-3", 2)
		k.flaw(spot(300, 30, 5))                                                                     // in main 1, which is not cut yet
		k.flaw(spot(500, 60, 5))                                                                     // in a filler of set 2
		k.flaw(hide.Flaw{Kind: "vein", Spot: &hide.Spot{At: spot(700, 55, 3).Spot.At, Diameter: 3}}) // fillers may contain it
		k.job.Hides = []*hide.Hide{k.hide()}
		met := b.Judge(k.job, func(Piece) bool { return sound })
		var names []string
		for _, p := range met {
			names = append(names, p.Name())
		}
		if want := []string{"A12·2 filler"}; !cmp.Equal(names, want) {
			t.Errorf("found %q, expected %q", names, want)
		}
		judged := slices.ContainsFunc(b.Plan.Pieces, func(p Piece) bool { return p.Judged })
		if judged != sound || len(b.Plan.Spoilt) == 0 == !sound {
			t.Errorf("sound %v: found judged %v and %d spoilt", sound, judged, len(b.Plan.Spoilt))
		}
		if again := b.Judge(k.job, func(Piece) bool { return false }); again != nil {
			t.Errorf("found %v looked at again", again)
		}
	}
}

// A piece that is wider than long lies with its length across the strip: there, turned
// grain suits it.
func TestJudgeOfPiecesWiderThanLong(t *testing.T) {
	k := newBench()
	k.each("keeper", func(p *Part) { p.Length, p.Width = 12.5, 70 })
	for set := 1; set <= 3; set++ {
		k.piece(set, "keeper", 0).AngleDeg += 90
	}
	k.zone(hide.Zone{Quality: hide.Firm, Area: plane.Box(orb.Point{400, 55}, orb.Point{1300, 90}), Turned: true, Grain: 90 * measure.Degree})
	k.job.Hides = []*hide.Hide{k.hide()}
	b := k.plan.Begin()
	b.CutBlock("ash-3", 2, 1)
	for _, p := range b.Judge(k.job, func(Piece) bool { return false }) {
		if p.Part == "keeper" {
			t.Errorf("found %s refused", p.Name())
		}
	}
}

// CheckRelaid names what has not stayed, and what is laid where nothing is left.
func TestCheckRelaid(t *testing.T) {
	begun := func(b *Begun) {
		b.Cut("ash-3", 1)
		b.CutBlock("ash-3", 2, 0)
	}
	for _, tt := range []struct {
		rule string
		do   func(p *Plan)
		want string
	}{
		{"as it was", func(*Plan) {}, ""},
		{"a cut piece that is gone", func(p *Plan) { p.Pieces = p.Pieces[1:] }, "has not stayed"},
		{"a cut piece elsewhere", func(p *Plan) { p.Pieces[0].Outline[0][0] += 3 }, "has not stayed"},
		{"a cut piece that is to be cut", func(p *Plan) { p.Pieces[0].Cut = false }, "has not stayed"},
		{"a cut band elsewhere", func(p *Plan) { p.Hides[0].Bands[0].DepthMM++ }, "was ripped off"},
		{"a cut band that is to be ripped", func(p *Plan) { p.Hides[0].Bands[1].Cut = false }, "was ripped off"},
		{"blocks parted otherwise", func(p *Plan) { p.Hides[0].Bands[1].Blocks[0].ToMM += 10 }, "its blocks have not stayed"},
		{"a cut strip that is to be ripped", func(p *Plan) { p.Hides[0].Strips[0].Cut = false }, "strip 1: was ripped off"},
		{"another struck edge", func(p *Plan) { p.Hides[0].Strike.From[0] += 5 }, "struck edge"},
		{"another squared end", func(p *Plan) { p.Hides[0].SquaredMM = 90 }, "squared end"},
		{"another chalk line", func(p *Plan) { p.Hides[0].Chalked = []float64{100} }, "chalk lines"},
		{"a hide left out", func(p *Plan) { p.Hides = nil }, "was begun"},
		{"a piece over what is cut", func(p *Plan) { p.Pieces[9].Outline = p.Pieces[0].Outline }, "no leather is left"},
		{"a piece over a rip", func(p *Plan) { p.Pieces[4].Outline = newBench().frame().Rect(span(450, 850), span(45, 61)) }, ""},
		{"a piece over the edge of a loose block", func(p *Plan) { p.Pieces[4].Outline = newBench().frame().Rect(span(430, 830), span(35, 51)) }, "no leather is left"},
		{"a cut piece that is spoilt", func(p *Plan) {
			p.Spoilt = append(p.Spoilt, p.Pieces[0])
			p.Pieces = p.Pieces[1:]
		}, "main: was cut, but has not stayed"},
		{"a piece called cut", func(p *Plan) { p.Pieces[9].Cut = true }, "A12 set 3 main: is called cut, but was not cut before"},
		{"a spare piece from nowhere", func(p *Plan) { p.Spare = append(p.Spare, p.Pieces[9]) }, "is called cut, but was not cut before"},
		{"a spoilt piece from nowhere", func(p *Plan) { p.Spoilt = append(p.Spoilt, p.Pieces[9]) }, "is called cut, but was not cut before"},
		{"a piece called sound", func(p *Plan) { p.Pieces[0].Judged = true }, "is held to be sound for its use, but was not before"},
		{"a band called cut", func(p *Plan) { p.Hides[0].Bands[2].Cut = true }, "band 3: is called cut, but was not ripped off before"},
		{"a strip called cut", func(p *Plan) { p.Hides[0].Strips[3].Cut = true }, "strip 4: is called cut, but was not ripped off before"},
		{"a hide called begun", func(p *Plan) {
			p.Hides = append(p.Hides, HideLay{Hide: "oak-1", Bands: []Band{{DepthMM: 20, Cut: true}}})
		}, "oak-1, band 1: is called cut, but was not ripped off before"},
	} {
		k := newBench()
		k.job.Hides = []*hide.Hide{k.hide()}
		b := k.plan.Begin()
		begun(b)
		after := b.Plan.Begin().Plan
		for i := range after.Pieces {
			after.Pieces[i].Outline = slices.Clone(after.Pieces[i].Outline)
		}
		tt.do(&after)
		var found []string
		for _, v := range CheckRelaid(k.job, b.Plan, after) {
			if v.Rule == RuleCut && strings.Contains(v.String(), "stayed") || strings.Contains(v.String(), "no leather") || strings.Contains(v.String(), "was ") {
				found = append(found, v.String())
			}
		}
		if tt.want == "" && found != nil || tt.want != "" && !strings.Contains(strings.Join(found, "\n"), tt.want) {
			t.Errorf("%s: found %q, expected %q", tt.rule, found, tt.want)
		}
	}
}

// A band that was only ripped off is not cut apart by a relay.
func TestCheckRelaidNamesABandCalledCutApart(t *testing.T) {
	k := newBench()
	k.job.Hides = []*hide.Hide{k.hide()}
	before := k.plan.Begin()
	before.Rip("ash-3", 2)
	after := before.Plan.Begin()
	after.CutApart("ash-3", 2)
	if got := CheckRelaid(k.job, before.Plan, after.Plan); len(got) != 1 || got[0].Where != "ash-3, band 2" {
		t.Errorf("found %v", got)
	}
}

func TestCompare(t *testing.T) {
	k := newBench()
	b := k.plan.Begin()
	b.Cut("ash-3", 1)
	same := Compare(k.job, k.plan, b.Plan, b.Plan)
	if same.Lost != nil || same.Gained != nil || same.Kept != same.Marks || same.Marks == 0 || same.Named != nil {
		t.Errorf("found %+v between a plan and itself", same)
	}
	after := b.Plan.Begin().Plan
	after.Pieces = slices.DeleteFunc(after.Pieces, func(p Piece) bool { return p.Set == 3 }) // strips 6 and 7, and a keeper
	c := Compare(k.job, k.plan, b.Plan, after)
	if want := []Set{{"A12", 3}}; !cmp.Equal(c.Lost, want) || c.Kept >= c.Marks {
		t.Errorf("found %+v, expected %v lost and fewer marks", c, want)
	}
	if back := Compare(k.job, after, after, b.Plan); !cmp.Equal(back.Gained, c.Lost) {
		t.Errorf("found %+v, expected %v gained", back, c.Lost)
	}
	after = b.Plan.Begin().Plan
	for _, m := range []struct{ piece, strip int }{{7, 5}, {8, 6}} { // keepers of band 2: along it, and to band 3
		p := &after.Pieces[m.piece]
		p.Strip, p.Outline, p.New = m.strip, newBench().frame().Rect(span(700, 770), span(100, 110)), true
	}
	after.Pieces[9].Order, after.Pieces[9].New = "B7", true
	if c, want := Compare(k.job, k.plan, b.Plan, after), []Move{
		{"A12·2 keeper", "ash-3, band 2", "ash-3, band 2"}, {"A12·3 keeper", "ash-3, band 2", "ash-3, band 3"}, {"B7·3 main", "", "ash-3, band 3"},
	}; !cmp.Equal(c.Moved, want) {
		t.Errorf("found moves %v, expected %v", c.Moved, want)
	}
	after = b.Plan.Begin().Plan
	after.Hides[0].Remnants = slices.Clone(after.Hides[0].Remnants[1:])
	if c := Compare(k.job, k.plan, b.Plan, after); !cmp.Equal(c.Rests, []Renumbered{{"ash-3", 2, 1}}) {
		t.Errorf("found %v renumbered", c.Rests)
	}
	after = b.Plan.Begin().Plan
	after.Pieces[0].Set, after.Pieces[0].New = 2, true
	if c := Compare(k.job, k.plan, b.Plan, after); !cmp.Equal(c.Named, []Renamed{{"A12·1 main", "A12·2 main"}}) {
		t.Errorf("found %v renamed", c.Named)
	}
}

// A band that is off the hide is ripped into strips however deep it is.
func TestRippedBandsMayBeDeep(t *testing.T) {
	k := newBench()
	k.job.Tools.Deepest = 30
	k.job.Hides = []*hide.Hide{k.hide()}
	b := k.plan.Begin()
	deep := func(p Plan) (n int) {
		for _, v := range Check(k.job, p) {
			if v.Rule == RuleBands {
				n++
			}
		}
		return n
	}
	if n := deep(b.Plan); n != 2 {
		t.Errorf("%d of the 2 deep bands are named", n)
	}
	b.Rip("ash-3", 3)
	if n := deep(b.Plan); n != 0 {
		t.Errorf("%d bands that are off the hide are named", n)
	}
}
