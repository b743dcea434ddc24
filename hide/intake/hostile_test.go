package intake

import (
	"fmt"
	"strings"
	"testing"

	"strapwise/hide/source"
)

// Each file is wrong in one way; the message says where and what was expected.
func TestHostileFiles(t *testing.T) {
	flaw := func(keys string) string { return bend + "[[flaws]]\nkind = 'hole'\n" + keys }
	zone := func(keys string) string { return bend + "[[zones]]\n" + keys }
	sized := "leather = 'a'\nform = 'bend'\n"
	for _, c := range []struct{ rule, text, want string }{
		// what the hide is
		{"empty file", "", "hides/a.toml: found none of outline, stations and size, expected one"},
		{"no leather", "form = 'bend'\nsize = ['52in','26in']", "hides/a.toml: leather: found no leather, expected the name that orders ask for"},
		{"blank leather", "leather = ' '\nform = 'bend'\nsize = ['52in','26in']", "hides/a.toml:1: leather: found no leather, expected the name that orders ask for"},
		{"no form", "leather = 'a'\nsize = ['52in','26in']", "hides/a.toml: form: found no form, expected one of hide, side, back, bend, butt, shoulder, belly, skin, sheet, remnant"},
		{"unknown form", "leather = 'a'\nform = 'bent'\nsize = ['52in','26in']", `hides/a.toml:2: form: found "bent", expected one of hide, side, back, bend, butt, shoulder, belly, skin, sheet, remnant`},
		{"unknown key", bend + "tanned = 'A'", `hides/a.toml:5: tanned: unknown key "tanned"`},
		{"supplier on two lines", bend + "supplier = \"a\\nb\"", `hides/a.toml:5: supplier: found "a\nb", expected a few words on one line`},
		{"from no hide", bend + "from = 'a/b'", `hides/a.toml:5: from: found "a/b", expected the name of the hide that this one was cut from`},
		{"unknown units", "units = 'yd'\n", `hides/a.toml:1: units: found "yd", expected mm, cm or in`},
		{"no day", bend + "bought = 2027-02-30", "hides/a.toml:5: bought: no day of the calendar, expected a date such as 2027-02-11"},
		// outline
		{"no outline", head, "hides/a.toml: found none of outline, stations and size, expected one"},
		{"two outlines", bend + "size = [1,2]", "hides/a.toml:5: size: found outline and size, expected only one of outline, stations and size"},
		{"outline of inches", "leather = 'a'\nform = 'bend'\nunits = 'in'\noutline = [[0,0],[40,24],[40,0],[0,24]]", "hides/a.toml:4: outline: the outline crosses itself near (20, 12) in"},
		{"outline of a line", head + "outline = [[0,0],[20,0],[40,0]]", "hides/a.toml:4: outline: the outline encloses nothing"},
		{"stations of inches", "leather = 'a'\nform = 'bend'\nunits = 'in'\nstations = [{at=10,to=9},{at=0,to=9}]", "hides/a.toml:4: stations[1].at: found 0 in, expected more than at the station before, which is at 10 in"},
		{"stations as written", "leather = 'a'\nform = 'bend'\nstations = [{at='10in',to='9in'},{at='2 1/2in',to='9in'}]", "hides/a.toml:3: stations[1].at: found 2 1/2in, expected more than at the station before, which is at 10in"},
		{"a station upside down, as written", "leather = 'a'\nform = 'bend'\nstations = [{at='0in',to='0in'},{at='2in',to='9in'}]", "hides/a.toml:3: stations[0].to: found 0in, expected more than from, which is 0 mm"},
		{"backbone of inches", "leather = 'a'\nform = 'bend'\nunits = 'in'\nsize = [50, 25]\nbackbone = [[0,-500],[50,-500]]", "hides/a.toml:5: backbone: 500 in away from the outline, expected a line along the hide's edge or through it"},
		{"bought never", bend + "bought = 0000-01-01", "hides/a.toml:5: bought: found 0000-01-01, expected a date such as 2027-02-11"},
		{"put away in another age", bend + "put_away = 9999-12-31", "hides/a.toml:5: put_away: found 9999-12-31, expected a date such as 2027-02-11"},
		{"crossed outline", head + "outline = [[0,0],[100,100],[100,0],[0,100]]", "hides/a.toml:4: outline: the outline crosses itself near (50, 50) mm"},
		{"two corners", head + "outline = [[0,0],[100,100]]", "hides/a.toml:4: outline: an outline needs at least 3 different corners"},
		{"empty outline", head + "outline = []", "hides/a.toml:4: outline: an outline needs at least 3 different corners"},
		{"corner of three", head + "outline = [[0,0],\n[1,2,3]]", "hides/a.toml:5: outline[1]: found 3 numbers, expected x and y"},
		{"corner of one", head + "outline = [[0]]", "hides/a.toml:4: outline[0]: found 1 number, expected x and y"},
		{"nan", head + "outline = [[0,0],[100,nan],[0,100]]", `hides/a.toml:4: outline[1][1]: "nan": not a number, expected a length`},
		{"inf", head + "outline = [[0,0],[-inf,0],[0,100]]", `hides/a.toml:4: outline[1][0]: "-inf": not a number, expected a length`},
		{"huge exponent", head + "outline = [[0,0],[1e308,0],[0,100]]", `hides/a.toml:4: outline[1][0]: "1e+308": longer than a kilometre, expected a length`},
		{"exponent too huge", head + "outline = [[0,0],[1e9999,0],[0,100]]", "hides/a.toml:4: outline: a number too large to read"},
		{"huge whole number", head + "outline = [[0,0],[9223372036854775807,0],[0,100]]", `hides/a.toml:4: outline[1][0]: "9.223372036854776e+18": longer than a kilometre, expected a length`},
		{"a tent, not a hide", head + "outline = [[0,0],[30000,0],[0,100]]", "hides/a.toml:4: outline: 30000 mm by 100 mm, expected at most 20 m either way"},
		{"a crumb, not a hide", head + "outline = [[0,0],[0.5,0],[0,100]]", "hides/a.toml:4: outline: only 0.5 mm by 100 mm, expected leather of at least a millimetre"},
		{"bare number without units", sized + "size = [52, 26]", `hides/a.toml:3: size[0]: "52": a number without a unit, expected a length`},
		{"nought over nought", sized + "size = ['5/0in', '26in']", `hides/a.toml:3: size[0]: "5/0in": a fraction with 0 below the stroke`},
		{"size of one", sized + "size = ['52in']", "hides/a.toml:3: size: found 1 length, expected 2: along the backbone and across"},
		{"size of nothing", sized + "size = ['0in', '26in']", "hides/a.toml:3: size[0]: found 0, expected a length above 0"},
		{"negative size", sized + "size = ['-52in', '26in']", `hides/a.toml:3: size[0]: "-52in": less than 0, expected a length`},
		{"one station", head + "stations = [{at=0,to=600}]", "hides/a.toml:4: stations: found 1 station, expected at least 2"},
		{"stations out of order", head + "stations = [\n{at=300,to=600},\n{at=0,to=600}]", "hides/a.toml:6: stations[1].at: found 0 mm, expected more than at the station before, which is at 300 mm"},
		{"two stations at one place", head + "stations = [{at=300,to=600},{at=300,to=610}]", "hides/a.toml:4: stations[1].at: found 300 mm, expected more than at the station before, which is at 300 mm"},
		{"station upside down", head + "stations = [{at=0,from=20,to=10},{at=300,to=610}]", "hides/a.toml:4: stations[0].to: found 10 mm, expected more than from, which is 20 mm"},
		{"station without leather", head + "stations = [{at=0,to=600},{at=300,to=0}]", "hides/a.toml:4: stations[1].to: found 0 mm, expected more than from, which is 0 mm"},
		{"station without to", head + "stations = [{at=0,to=10},{at=300}]", "hides/a.toml:4: stations[1]: found no at or no to, expected both"},
		{"stations too long", head + "stations = [{at=0,to=10},{at='25m',to=10}]", "hides/a.toml:4: stations: 25000 mm by 10 mm, expected at most 20 m either way"},
		// backbone, trim, substance
		{"backbone of one point", bend + "backbone = [[0,0]]", "hides/a.toml:5: backbone: expected 2 points, found 1"},
		{"backbone of one place", bend + "backbone = [[5,5],[5,5]]", "hides/a.toml:5: backbone: its ends are less than a millimetre apart, expected a line"},
		{"negative trim", bend + "trim = -5", `hides/a.toml:5: trim: "-5": less than 0, expected a length`},
		{"trim of a wrong unit", bend + "trim = '5 furlongs'", `hides/a.toml:5: trim: "5 furlongs": unknown unit "furlongs", expected mm, cm, m, in or ft`},
		{"trim that is no length", bend + "trim = true", `hides/a.toml:5: trim: "true": found true or false, expected a length`},
		{"trim that leaves nothing", bend + "trim = 300", "hides/a.toml:5: trim: 300 mm from every edge leaves no leather"},
		{"decimal comma", bend + "trim = '1,5mm'", `hides/a.toml:5: trim: "1,5mm": a comma in a number, expected a decimal point`},
		{"thin as paper", bend + "substance = 0.01", "hides/a.toml:5: substance: found 0.01 mm, expected 0.1 to 30 mm"},
		{"thick as a plank", bend + "substance = '3in'", "hides/a.toml:5: substance: found 76.2 mm, expected 0.1 to 30 mm"},
		{"a range", bend + "substance = '9-10oz'", `hides/a.toml:5: substance: "9-10oz": found a range, expected one measure`},
		{"reading of two", bend + "substance = [[1,2]]", "hides/a.toml:5: substance[0]: found no reading, expected x, y and thickness"},
		{"no readings", bend + "substance = []", "hides/a.toml:5: substance: found an empty list, expected readings"},
		{"reading outside", bend + "substance = [[1,2,3],\n[5000,2,3]]", "hides/a.toml:6: substance[1]: read at (5000, 2) mm, outside the hide"},
		// money
		{"negative cost", bend + "cost = -1", `hides/a.toml:5: cost: found "-1", expected money such as 96.50`},
		{"cost of nan", bend + "cost = nan", `hides/a.toml:5: cost: found "NaN", expected money such as 96.50`},
		{"cost with a huge exponent", bend + "cost = '1e999999999'", `hides/a.toml:5: cost: found "1e999999999", expected money such as 96.50`},
		{"cost and price", bend + "cost = 1\nprice = '1/sqft'\narea = '1 sqft'", "hides/a.toml:6: price: found cost and price, expected only one of them"},
		{"price without area", bend + "price = '7.20/sqft'", "hides/a.toml:5: price: found a price without an area, expected both"},
		{"price of nothing", bend + "area = '1 sqft'\nprice = 7.20", "hides/a.toml:6: price: expected money for a unit of area"},
		{"price by length", bend + "area = '1 sqft'\nprice = '7.20/ft'", `hides/a.toml:6: price: "ft": found the length "ft", expected an area`},
		{"bare area", bend + "area = 13.75", `hides/a.toml:5: area: "13.75": found a number, expected an area`},
		// flaws and zones
		{"unknown kind", bend + "[[flaws]]\nkind = 'moth'\nat = [1,1]\nsize = 2", `hides/a.toml:6: flaws[0].kind: unknown kind of flaw "moth", expected one of brand, cut, hole, loose, scar, scratch, tick, vein, wrinkle`},
		{"no kind", bend + "[[flaws]]\nat = [1,1]\nsize = 2", "hides/a.toml:5: flaws[0].kind: found no kind, expected one of brand, cut, hole, loose, scar, scratch, tick, vein, wrinkle"},
		{"no shape", flaw(""), "hides/a.toml:5: flaws[0]: found none of at, line and area, expected one"},
		{"two shapes", flaw("at = [1,1]\nline = [[1,1],[2,2]]"), "hides/a.toml:8: flaws[0].line: found at and line, expected only one of at, line and area"},
		{"spot without size", flaw("at = [1,1]"), "hides/a.toml:5: flaws[0].size: found no size, expected the diameter of the spot"},
		{"spot of nothing", flaw("at = [1,1]\nsize = 0"), "hides/a.toml:8: flaws[0].size: found 0 mm, expected a diameter above 0 and at most 5 m"},
		{"spot with width", flaw("at = [1,1]\nsize = 3\nwidth = 3"), "hides/a.toml:9: flaws[0].width: found width with at, expected it with line only"},
		{"patch with size", flaw("area = [[1,1],[2,1],[2,2]]\nsize = 3"), "hides/a.toml:8: flaws[0].size: found size with area, expected it with at only"},
		{"stroke of one point", flaw("line = [[1,1]]\nwidth = 1"), "hides/a.toml:7: flaws[0].line: found one point, expected a line of at least 2"},
		{"stroke of no width", flaw("line = [[1,1],[2,2]]"), "hides/a.toml:5: flaws[0].width: found no width, expected how wide the line is"},
		{"stroke too wide", flaw("line = [[1,1],[2,2]]\nwidth = '6m'"), "hides/a.toml:8: flaws[0].width: found 6000 mm, expected a width above 0 and at most 5 m"},
		{"crossed flaw", flaw("") + "area = [[0,0],[100,100],[100,0],[0,100]]", "hides/a.toml:7: flaws[0].area: the outline crosses itself near (50, 50) mm"},
		{"spot outside", flaw("at = [1020,300]\nsize = 30"), "hides/a.toml:7: flaws[0].at: wholly outside the hide"},
		{"stroke outside", flaw("line = [[1020,300],[1020,-300]]\nwidth = 30"), "hides/a.toml:7: flaws[0].line: wholly outside the hide"},
		{"patch outside", flaw("area = [[1020,300],[1030,300],[1030,310]]"), "hides/a.toml:7: flaws[0].area: wholly outside the hide"},
		{"unknown face", flaw("face = 'back'\nat = [1,1]\nsize = 3"), `hides/a.toml:7: flaws[0].face: found "back", expected grain or flesh`},
		{"later flaw", flaw("at = [1,1]\nsize = 3\n[[flaws]]\nkind='cut'\nat = [1,'x']\nsize = 3"), `hides/a.toml:11: flaws[1].at[1]: "x": found 'x' where a number was expected`},
		{"unknown quality", zone("quality = 'good'\narea = [[0,0],[1,0],[1,1]]"), `hides/a.toml:6: zones[0].quality: found "good", expected prime, firm, soft or waste`},
		{"zone without area", zone("quality = 'soft'"), "hides/a.toml:5: zones[0].area: found no area, expected its corners"},
		{"zone outside", zone("quality = 'soft'\narea = [[0,-1],[1,-1],[1,-2]]"), "hides/a.toml:7: zones[0].area: wholly outside the hide"},
		{"grain without a unit", zone("quality = 'soft'\narea = [[0,0],[1,0],[1,1]]\ngrain = 12"), `hides/a.toml:8: zones[0].grain: "12": found a number, expected an angle`},
		{"grain of a turn and more", zone("quality = 'soft'\narea = [[0,0],[1,0],[1,1]]\ngrain = '372deg'"), `hides/a.toml:8: zones[0].grain: "372deg": more than a full turn, expected an angle`},
		// no text at all
		{"cut-off file", bend[:len(bend)-20], "hides/a.toml:4: the file ends within a list, expected ]"},
		{"NUL bytes", bend + "trim\x00\x00 = 5", "hides/a.toml:5: found a NUL byte, expected text"},
		{"a photograph", "\xff\xd8\xff\xe1JFIF", "hides/a.toml:1: found the byte 0xff, which is no text in UTF-8"},
		{"corners without end", head + "outline = [" + strings.Repeat("[0,0],", 20_001) + "]", "hides/a.toml:4: outline: found 20001 corners, expected at most 20000"},
	} {
		t.Run(c.rule, func(t *testing.T) {
			h, err := Read("hides/a.toml", []byte(c.text), "a", nil)
			if err == nil {
				t.Fatalf("read as %+v", h)
			}
			if err.Error() != c.want {
				t.Errorf("\n got %s\nwant %s", err, c.want)
			}
			if _, ok := source.As(err); !ok {
				t.Errorf("a %T, want a *source.Error", err)
			}
		})
	}
}

func TestHintsSayWhatWouldMendIt(t *testing.T) {
	for _, c := range []struct{ text, hint string }{
		{"leather='a'\nform='bend'\nsize = [52, 26]", `say units = "mm" or "in" at the head of the file, or write 52mm or 52in`},
		{"leather='a'\nform='bend'\nsize = ['52', 26]", "write 52mm or 52in"},
		{bend + "colour = 1", "known here: area, backbone, bought, cost, flaws, form, from, grade, leather, outline, price, put_away, size, stations, substance, supplier, trim, units, zones"},
		{bend + "substanse = 1", "did you mean substance?"},
		{bend + "price = '7.20/sqft'", `give the area as it is stamped: area = "13 3/4 sqft"`},
		{bend + "[[flaws]]\nkind='hole'\nat=[-50,0]\nsize=9", "check the coordinates and the units, or leave it out"},
	} {
		_, err := Read("hides/a.toml", []byte(c.text), "a", nil)
		e, ok := source.As(err)
		if !ok || e.Hint != c.hint {
			t.Errorf("got %v, hint %q\nwant hint %q", err, e.Hint, c.hint)
		}
	}
}

func TestANameThatNoFileCanHave(t *testing.T) {
	_, err := Read("hides/a b.toml", []byte(bend), "../a", nil)
	if want := `hides/a b.toml: name: found "../a", expected letters, digits and - _ . that begin with a letter or digit and do not end with a point`; fmt.Sprint(err) != want {
		t.Errorf("got %v", err)
	}
}

func FuzzRead(f *testing.F) {
	f.Add([]byte(whole))
	for _, s := range []string{
		bend, head + "stations = [{at=0,to=600},{at='1m',from=5,to='2ft'}]", "leather='a'\nform='skin'\nsize=['52in','26in']\narea='22³'\nprice='7.2/sqft'",
		bend + "[[flaws]]\nkind='hole'\nat=[1,1]\nsize='1 3/8\"'\n[[zones]]\nquality='soft'\narea=[[0,0],[1,0],[1,1]]\ngrain='-3.5deg'",
		bend + "trim=299\nsubstance=[[1,2,'9oz']]\nbought=2027-02-11",
	} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		h, err := Read("hides/f.toml", data, "f", nil)
		if err != nil {
			if e, ok := source.As(err); !ok || e.File != "hides/f.toml" || e.Rule == "" || h != nil {
				t.Fatalf("%T: %v", err, err)
			}
			return
		}
		if !(h.Area() > 0) || h.Outline().Len() < 3 || h.Trim() < 0 || h.Cost().IsNegative() || h.Leather() == "" {
			t.Fatalf("read as a hide: %+v", h)
		}
		again, err := Read("hides/f.toml", Write(h, "a note"), "f", nil)
		if err != nil {
			t.Fatalf("written as\n%s\n%v", Write(h, ""), err)
		}
		if what := differ(h, again); what != "" {
			t.Fatalf("%s is another in\n%s", what, Write(h, ""))
		}
	})
}
