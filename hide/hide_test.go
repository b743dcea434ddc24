package hide_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/shopspring/decimal"

	"strapwise/hide"
	"strapwise/hide/measure"
	"strapwise/hide/plane"
)

// sound is a Spec without a fault, of an invented bend.
func sound() hide.Spec {
	return hide.Spec{
		Name: "ash-3", Leather: "bridle-tan", Form: "bend",
		Outline:  []orb.Point{{0, 0}, {1300, 0}, {1300, 650}, {0, 640}},
		Backbone: []orb.Point{{0, 0}, {1300, 0}},
		Trim:     5,
		Readings: []hide.Reading{{At: orb.Point{10, 10}, MM: 3.8}, {At: orb.Point{900, 500}, MM: 3.1}},
		Flaws: []hide.Flaw{
			{Kind: "hole", Spot: &hide.Spot{At: orb.Point{410, 220}, Diameter: 18}},
			{Kind: "scar", Face: hide.Flesh, Stroke: &hide.Stroke{Line: []orb.Point{{200, 90}, {320, 130}}, Width: 12}},
			{Kind: "brand", Patch: square(900, 300, 100)},
		},
		Zones: []hide.Zone{{Quality: hide.Soft, Area: *square(0, 500, 140), Turned: true, Grain: 12 * measure.Degree}},
		Cost:  decimal.RequireFromString("96.50"), Stamped: 9e5,
	}
}

func square(x, y, side float64) *plane.Ring {
	r := plane.Box(orb.Point{x, y}, orb.Point{x + side, y + side})
	return &r
}

func TestASoundSpecIsAHide(t *testing.T) {
	h, err := hide.New(sound())
	if err != nil {
		t.Fatal(err)
	}
	if h.Name() != "ash-3" || h.Area() != 1300*645 || len(h.Flaws()) != 3 || len(h.Zones()) != 1 || h.Frame() != plane.NewFrame(orb.Point{}, orb.Point{1, 0}) {
		t.Errorf("got %+v", h)
	}
}

func TestEachFaultNamesItsPathAndRule(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	type spec = hide.Spec
	for _, c := range []struct {
		rule   string
		breaks func(*hide.Spec)
		want   string
	}{
		{"no name", func(s *spec) { s.Name = "" }, "name: found no name, expected one"},
		{"name with a separator", func(s *spec) { s.Name = "a/b" }, `name: found "a/b", expected letters, digits and - _ . that begin with a letter or digit and do not end with a point`},
		{"name that climbs", func(s *spec) { s.Name = ".." }, `name: found "..", expected letters, digits and - _ . that begin with a letter or digit and do not end with a point`},
		{"name with a backslash", func(s *spec) { s.Name = `a\b` }, `name: found "a\\b", expected letters, digits and - _ . that begin with a letter or digit and do not end with a point`},
		{"name with a line end", func(s *spec) { s.Name = "a\nb" }, `name: found "a\nb", expected letters, digits and - _ . that begin with a letter or digit and do not end with a point`},
		{"name that ends with a point", func(s *spec) { s.Name = "ash." }, `name: found "ash.", expected letters, digits and - _ . that begin with a letter or digit and do not end with a point`},
		{"name too long", func(s *spec) { s.Name = strings.Repeat("a", 201) }, "name: longer than 200 letters, expected a name"},
		{"no leather", func(s *spec) { s.Leather = "\t" }, "leather: found no leather, expected the name that orders ask for"},
		{"leather on two lines", func(s *spec) { s.Leather = "a\nb" }, `leather: found "a\nb", expected a few words on one line`},
		{"supplier on two lines", func(s *spec) { s.Supplier = "a\nb" }, `supplier: found "a\nb", expected a few words on one line`},
		{"a grade too long", func(s *spec) { s.Grade = strings.Repeat("é", 500) }, "grade: found 500 letters, expected at most 200"},
		{"leather turned round", func(s *spec) { s.Leather = "tan\u202e" }, `leather: found "tan\u202e", expected a few words on one line`},
		{"supplier turned round", func(s *spec) { s.Supplier = "\u2067Upper Hides" }, `supplier: found "\u2067Upper Hides", expected a few words on one line`},
		{"unknown form", func(s *spec) { s.Form = "Bend" }, `form: found "Bend", expected one of hide, side, back, bend, butt, shoulder, belly, skin, sheet, remnant`},
		{"no outline", func(s *spec) { s.Outline = nil }, "outline: an outline needs at least 3 different corners"},
		{"crossed outline", func(s *spec) { s.Outline = []orb.Point{{0, 0}, {10, 10}, {10, 0}, {0, 10}} }, "outline: the outline crosses itself near (5, 5) mm"},
		{"outline of nan", func(s *spec) { s.Outline[1][0] = nan }, "outline: corner 2 (NaN, 0) is not a place on a bench"},
		{"outline without end", func(s *spec) { s.Outline[1][0] = inf }, "outline: corner 2 (+Inf, 0) is not a place on a bench"},
		{"too large", func(s *spec) { s.Outline[1][0] = 20_001 }, "outline: 20001 mm by 650 mm, expected at most 20 m either way"},
		{"too small", func(s *spec) { s.Outline = []orb.Point{{0, 0}, {0.9, 0}, {0, 50}} }, "outline: only 0.9 mm by 50 mm, expected leather of at least a millimetre"},
		{"hair-thin", func(s *spec) { s.Outline = []orb.Point{{0, 0}, {50, 50}, {0, 1e-3}} }, "outline: only 50 mm by 50 mm, expected leather of at least a millimetre"},
		{"backbone of three", func(s *spec) { s.Backbone = make([]orb.Point, 3) }, "backbone: expected 2 points, found 3"},
		{"backbone of one place", func(s *spec) { s.Backbone[1] = orb.Point{0, 0.5} }, "backbone: its ends are less than a millimetre apart, expected a line"},
		{"backbone of nan", func(s *spec) { s.Backbone[1][1] = nan }, "backbone: a point that is no place on a bench"},
		{"backbone metres beside the hide", func(s *spec) { s.Backbone = []orb.Point{{0, -2000}, {1300, -2000}} }, "backbone: 2000 mm away from the outline, expected a line along the hide's edge or through it"},
		{"backbone metres beyond its end", func(s *spec) { s.Backbone = []orb.Point{{5000, 0}, {6000, 0}} }, "backbone: 3700 mm away from the outline, expected a line along the hide's edge or through it"},
		{"backbone of another hide, aslant", func(s *spec) { s.Backbone = []orb.Point{{9000, 9000}, {9010, 8990}} }, "backbone: 11349.1 mm away from the outline, expected a line along the hide's edge or through it"},
		{"negative trim", func(s *spec) { s.Trim = -1 }, "trim: found -1 mm, expected 0 or more"},
		{"trim of nan", func(s *spec) { s.Trim = nan }, "trim: found NaN mm, expected 0 or more"},
		{"trim without end", func(s *spec) { s.Trim = inf }, "trim: +Inf mm from every edge leaves no leather"},
		{"trim of half the depth", func(s *spec) { s.Trim = 325 }, "trim: 325 mm from every edge leaves no leather"},
		{"trim of half a waist", func(s *spec) { // a triangle's greatest circle is much less than half its depth
			s.Outline, s.Flaws, s.Zones, s.Readings, s.Trim = []orb.Point{{0, 0}, {100, 0}, {0, 100}}, nil, nil, nil, 29.3
		}, "trim: 29.3 mm from every edge leaves no leather"},
		{"reading of nan", func(s *spec) { s.Readings[1].MM = nan }, "substance[1]: found NaN mm, expected 0.1 to 30 mm"},
		{"reading of nothing", func(s *spec) { s.Readings[1].MM = 0 }, "substance[1]: found 0 mm, expected 0.1 to 30 mm"},
		{"only reading too thick", func(s *spec) { s.Readings = []hide.Reading{{MM: 31}} }, "substance: found 31 mm, expected 0.1 to 30 mm"},
		{"reading outside", func(s *spec) { s.Readings[0].At = orb.Point{-26, 10} }, "substance[0]: read at (-26, 10) mm, outside the hide"},
		{"reading nowhere", func(s *spec) { s.Readings[0].At[0] = nan }, "substance[0]: read at (NaN, 10) mm, outside the hide"},
		{"flaw without a kind", func(s *spec) { s.Flaws[1].Kind = " " }, "flaws[1].kind: found no kind, expected one such as hole or scar"},
		{"flaw of a third face", func(s *spec) { s.Flaws[1].Face = 2 }, "flaws[1].face: found neither grain nor flesh"},
		{"flaw without a shape", func(s *spec) { s.Flaws[0].Spot = nil }, "flaws[0]: found 0 shapes, expected one: a spot, a stroke or a patch"},
		{"flaw of two shapes", func(s *spec) { s.Flaws[0].Patch = square(0, 0, 9) }, "flaws[0]: found 2 shapes, expected one: a spot, a stroke or a patch"},
		{"spot of no size", func(s *spec) { s.Flaws[0].Spot.Diameter = 0 }, "flaws[0].size: found 0 mm, expected a diameter above 0 and at most 5 m"},
		{"spot of nan", func(s *spec) { s.Flaws[0].Spot.Diameter = nan }, "flaws[0].size: found NaN mm, expected a diameter above 0 and at most 5 m"},
		{"spot nowhere", func(s *spec) { s.Flaws[0].Spot.At[1] = inf }, "flaws[0].at: a point that is no place on a bench"},
		{"spot outside", func(s *spec) { s.Flaws[0].Spot.At = orb.Point{1310, 100} }, "flaws[0].at: wholly outside the hide"},
		{"stroke of no width", func(s *spec) { s.Flaws[1].Stroke.Width = -2 }, "flaws[1].width: found -2 mm, expected a width above 0 and at most 5 m"},
		{"stroke of one place", func(s *spec) { s.Flaws[1].Stroke.Line = []orb.Point{{5, 5}, {5, 5}} }, "flaws[1].line: found one point, expected a line of at least 2"},
		{"stroke nowhere", func(s *spec) { s.Flaws[1].Stroke.Line[1][0] = nan }, "flaws[1].line: a point that is no place on a bench"},
		{"stroke outside", func(s *spec) { s.Flaws[1].Stroke.Line = []orb.Point{{0, -7}, {900, -7}} }, "flaws[1].line: wholly outside the hide"},
		{"patch of nothing", func(s *spec) { s.Flaws[2].Patch = new(plane.Ring) }, "flaws[2].area: wholly outside the hide"},
		{"patch outside", func(s *spec) { s.Flaws[2].Patch = square(0, -20, 19) }, "flaws[2].area: wholly outside the hide"},
		{"patch too large", func(s *spec) { s.Flaws[2].Patch = square(0, 0, 2e4+1) }, "flaws[2].area: 20001 mm by 20001 mm, expected at most 20 m either way"},
		{"zone of no quality", func(s *spec) { s.Zones[0].Quality = 9 }, "zones[0].quality: found no quality, expected prime, firm, soft or waste"},
		{"zone of nothing", func(s *spec) { s.Zones[0].Area = plane.Ring{} }, "zones[0].area: wholly outside the hide"},
		{"zone outside", func(s *spec) { s.Zones[0].Area = *square(2000, 0, 50) }, "zones[0].area: wholly outside the hide"},
		{"zone with a grain of nan", func(s *spec) { s.Zones[0].Grain = measure.Angle(nan) }, "zones[0].grain: found no angle, expected at most a full turn"},
		{"negative cost", func(s *spec) { s.Cost = decimal.RequireFromString("-0.01") }, "cost: found -0.01, expected 0 or more"},
		{"cost beyond counting", func(s *spec) { s.Cost = decimal.New(1, 999_999) }, "cost: more than a thousand million, expected the cost of a hide"},
		{"stamp of nan", func(s *spec) { s.Stamped = nan }, "area: expected an area of at most 400 m²"},
		{"negative stamp", func(s *spec) { s.Stamped = -1 }, "area: expected an area of at most 400 m²"},
	} {
		t.Run(c.rule, func(t *testing.T) {
			s := sound()
			c.breaks(&s)
			h, err := hide.New(s)
			var f *hide.Fault
			if !errors.As(err, &f) {
				t.Fatalf("got %v, %v; want a *hide.Fault", h, err)
			}
			if f.Error() != c.want {
				t.Errorf("\n got %s\nwant %s", f, c.want)
			}
		})
	}
}

func TestWhatIsOddButSound(t *testing.T) {
	type spec = hide.Spec
	for rule, bend := range map[string]func(*hide.Spec){
		"names of other tongues":                func(s *spec) { s.Name = "Häute_2.neu-ß9" },
		"nothing told but what must be":         func(s *spec) { *s = spec{Name: "a", Leather: "b", Form: "skin", Outline: s.Outline} },
		"a flaw partly outside":                 func(s *spec) { s.Flaws[0].Spot.At = orb.Point{1305, 100} },
		"a patch round the whole hide":          func(s *spec) { s.Flaws[2].Patch = square(-10, -10, 2000) },
		"a stroke across, its ends outside":     func(s *spec) { s.Flaws[1].Stroke.Line = []orb.Point{{500, -90}, {500, 900}} },
		"a patch across, its corners outside":   func(s *spec) { r := plane.Box(orb.Point{500, -90}, orb.Point{510, 900}); s.Flaws[2].Patch = &r },
		"a spot larger than the hide":           func(s *spec) { s.Flaws[0].Spot.Diameter = 4000 },
		"a zone beyond the edge":                func(s *spec) { s.Zones[0].Area = *square(-500, -500, 4000) },
		"one reading, its place not told":       func(s *spec) { s.Readings = []hide.Reading{{At: orb.Point{-1e5, 0}, MM: 3}} },
		"a reading a finger beyond the edge":    func(s *spec) { s.Readings[0].At = orb.Point{-20, 10} },
		"a trim that leaves a hair":             func(s *spec) { s.Trim = 319 },
		"a backbone away from the leather":      func(s *spec) { s.Backbone = []orb.Point{{0, -400}, {900, -380}} },
		"a backbone through the middle":         func(s *spec) { s.Backbone = []orb.Point{{600, 320}, {700, 321}} },
		"a backbone across":                     func(s *spec) { s.Backbone = []orb.Point{{900, 640}, {900, 0}} },
		"a backbone drawn longer than any hide": func(s *spec) { s.Backbone = []orb.Point{{-9000, 0}, {9000, 0}} },
		"a belly, drawn with the backbone of its hide": func(s *spec) {
			s.Form, s.Backbone = "belly", []orb.Point{{0, -1400}, {1300, -1400}}
		},
		"a remnant from the far end of its hide": func(s *spec) {
			s.Form, s.Backbone = "remnant", []orb.Point{{-2900, 0}, {-2000, 0}}
		},
		"the grain turned backwards": func(s *spec) { s.Zones[0].Grain = -90 * measure.Degree },
		"far from the origin, as on a remnant": func(s *spec) {
			for i := range s.Outline {
				s.Outline[i][0] += 15_000
			}
			s.Backbone = []orb.Point{{15_000, 0}, {16_300, 0}}
			s.Flaws, s.Zones, s.Readings = nil, nil, nil
		},
	} {
		s := sound()
		bend(&s)
		if _, err := hide.New(s); err != nil {
			t.Errorf("%s: %v", rule, err)
		}
	}
}

// A hide does not change when the Spec that it was made from does.
func TestAHideKeepsItsOwn(t *testing.T) {
	s := sound()
	h, err := hide.New(s)
	if err != nil {
		t.Fatal(err)
	}
	s.Outline[0][0], s.Backbone[0][0], s.Readings[0].MM, s.Zones[0].Quality = -99, -99, -99, -99
	s.Flaws[0].Spot.Diameter, s.Flaws[1].Stroke.Line[0][0], s.Flaws[1].Stroke.Width, s.Flaws[2].Kind = -99, -99, -99, ""
	*s.Flaws[2].Patch = plane.Ring{}
	again := sound()
	f := h.Flaws()
	if h.Backbone()[0] != again.Backbone[0] || h.Readings()[0] != again.Readings[0] || h.Zones()[0].Quality != hide.Soft ||
		f[0].Spot.Diameter != 18 || f[1].Stroke.Line[0] != (orb.Point{200, 90}) || f[1].Stroke.Width != 12 || f[2].Kind != "brand" || f[2].Patch.Len() != 4 {
		t.Error("the hide changed with the Spec")
	}
}

func TestFrameWithoutABackboneBeginsAtTheLeather(t *testing.T) {
	s := sound()
	s.Backbone = nil
	for i := range s.Outline {
		s.Outline[i][0] -= 7
	}
	h, err := hide.New(s)
	if err != nil {
		t.Fatal(err)
	}
	if got := h.Frame().Into(orb.Point{-7, 0}); got != (orb.Point{0, 0}) {
		t.Errorf("the lower left corner lies at %v of the frame", got)
	}
}

// How thick a leather is said to be counts where nobody has measured the hide.
func TestThickness(t *testing.T) {
	thin := hide.Use{Name: "thin", Substance: &hide.Substance{From: 1, To: 2}}
	for _, c := range []struct {
		rule     string
		readings []hide.Reading
		nominal  float64
		serves   bool
	}{
		{"nobody told", nil, 0, true},
		{"its leather is too thick", nil, 3.8, false},
		{"its leather is as asked", nil, 1.5, true},
		{"it was measured", []hide.Reading{{MM: 1.8}}, 3.8, true},
	} {
		s := sound()
		s.Readings = c.readings
		h, err := hide.New(s)
		if err != nil {
			t.Fatal(err)
		}
		h = h.Of(c.nominal)
		leather, err := h.Serving(thin, h.Frame())
		if err != nil {
			t.Fatal(err)
		}
		if serves := len(leather.Runs(plane.Span{Lo: 100, Hi: 120})) > 0; serves != c.serves {
			t.Errorf("%s: serves: %t", c.rule, serves)
		}
	}
}

func TestQualityNamesReadBack(t *testing.T) {
	for q := hide.Waste; q <= hide.Prime; q++ {
		if got, ok := hide.ParseQuality(q.String()); !ok || got != q {
			t.Errorf("%v reads back as %v", q, got)
		}
	}
	if _, ok := hide.ParseQuality("Firm"); ok {
		t.Error("capitals are taken")
	}
}
