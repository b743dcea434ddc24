package workshop

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/shopspring/decimal"

	"strapwise/hide/chance"
	"strapwise/nest/orders"
)

const priced = `units = "in"
[leathers.bridle]
[prices]
hour = 18
stitching = "1.5/in"
thread = "0.06/m"
overhead = "12.5%"
tax = "20 %"
[prices.minutes]
flat = 20
[prices.hardware]
buckle = { "1in" = 1.40, '3/4"' = "1.15" }
dee = 0.45
cord = "0.70/m"
[prices.leathers]
foam = { price = "2.20/sqft", waste = "10%" }
[[offers]]
leather = "bridle"
form = "bend"
grade = "B"
size = ["52in", "26in"]
price = "11.80/sqft"
supplier = "Nether Tannery"
[[offers]]
leather = "bridle"
form = "side"
price = 160
area = "23³"
[models]
marked_off = "1/2in"
[models.flaws]
brand = 0
[models.forms.butt]
depth = ["50in", "54in"]
firm = "80%"
[models.forms.hide]
ragged = ["1/2in", "25.4mm"]
uneven = "5%"
slant = "3deg"
strewn = [2, 9]
at_edge = "40%"
`

// What is told is known, to the penny; what is not told is not.
func TestPrices(t *testing.T) {
	w, err := OpenRules(folder(t, "workshop.toml", priced))
	if err != nil {
		t.Fatal(err)
	}
	r := w.Rates
	same := func(what string, got decimal.Decimal, want string) {
		t.Helper()
		if !got.Equal(decimal.RequireFromString(want)) {
			t.Errorf("%s: %v, expected %s", what, got, want)
		}
	}
	same("hour", r.Hour.Decimal, "18")
	same("overhead", r.Overhead.Decimal, "0.125")
	same("tax", r.Tax.Decimal, "0.2")
	same("10 in of stitching", r.Stitching.Of(254), "15")
	same("a metre of thread", r.Thread.Of(1000), "0.06")
	same("a square foot of foam", r.Leathers["foam"].Of(92903.04).Round(2), "2.44") // 2.20 / 0.9
	if r.Margin.Valid {
		t.Errorf("a margin of %v, expected none told", r.Margin)
	}
	for _, c := range []struct {
		name          string
		width, length float64
		want          string
	}{{"buckle", 25.4, 0, "1.40"}, {"buckle", 19.05, 0, "1.15"}, {"dee", 31.75, 0, "0.45"}, {"cord", 5, 500, "0.35"}} {
		got, known := r.Piece(orders.Hardware{Name: c.name, Count: 1, Width: c.width, Length: c.length})
		if same(c.name, got, c.want); !known {
			t.Errorf("%s: not known", c.name)
		}
	}
	for _, h := range []orders.Hardware{{Name: "buckle", Width: 38.1}, {Name: "clip", Width: 25.4}, {Name: "cord", Width: 5}} {
		if got, known := r.Piece(h); known {
			t.Errorf("%s of %g mm: %v, expected not told", h.Name, h.Width, got)
		}
	}
	if len(r.Offers) != 2 || r.Offers[0].Depth != 26*25.4 || r.Offers[0].Supplier != "Nether Tannery" || r.Offers[1].Grade != "" {
		t.Errorf("offers %+v", r.Offers)
	}
	same("a bend of 9 1/4 sq ft", r.Offers[0].Cost(9.25*92903.04), "109.15")
	same("a side", r.Offers[1].Cost(1), "160")
	butt := w.Models.Forms["butt"]
	if w.Models.MarkedOff != 12.7 || butt.Depth != [2]float64{25 * 25.4, 27 * 25.4} || butt.Firm != 0.8 || butt.Length[0] != 1370 {
		t.Errorf("models %+v", butt)
	}
	if g, want := w.Models.Forms["hide"].Growth, (chance.Growth{Uneven: 0.05, Slant: math.Tan(math.Pi / 60), Ragged: [2]float64{12.7, 25.4}, Strewn: [2]int{2, 9}, AtEdge: 0.4}); !cmp.Equal(g, want, cmpopts.EquateApprox(0, 1e-12)) {
		t.Errorf("hides differ by %+v, expected %+v", g, want)
	}
	for _, h := range w.Models.Habits {
		if h.Kind == "brand" && h.Often != 0 {
			t.Errorf("brands are met %d times", h.Often)
		}
	}
}

func TestPricesRefuse(t *testing.T) {
	head := "[leathers.bridle]\n"
	offer := "[[offers]]\nleather = \"bridle\"\nform = \"bend\"\n"
	for _, c := range []struct{ rule, text, want, hint string }{
		{"unknown key", "[prices]\nhours = 1\n", `workshop.toml:3: prices.hours: unknown key "hours"`, "did you mean hour?"},
		{"less than nothing", "[prices]\nhour = -1\n", `workshop.toml:3: prices.hour: found "-1", expected money such as 96.50`, "write the amount alone, below a thousand million, with a decimal point and at most 6 decimals"},
		{"minutes less than nothing", "[prices]\nminutes = {flat = -18}\n", `workshop.toml:3: prices.minutes.flat: found "-18", expected minutes such as 20`, "write the number alone, 0 or more: the work on one set without its stitching"},
		{"stitching in less than no time", "[prices]\nstitching = \"-1/in\"\n", `workshop.toml:3: prices.stitching: found "-1/in", expected a number for a length such as "0.90/m"`, "write the number without a sign or a currency, with a decimal point and at most 6 decimals"},
		{"minutes for no length", "[prices]\nstitching = 1.5\n", `workshop.toml:3: prices.stitching: found "1.5", expected a number for a length such as "0.90/m"`, ""},
		{"a share as a number", "[prices]\ntax = 20\n", `workshop.toml:3: prices.tax: found "20", expected a share such as "20%"`, `write "20%" or "7.5%", in quotes`},
		{"a share with a fraction", "[prices]\ntax = '7 1/2%'\n", `workshop.toml:3: prices.tax: found "7 1/2%", expected a share such as "20%"`, `write "20%" or "7.5%", in quotes`},
		{"all of the price a margin", "[prices]\nmargin = \"100%\"\n", `workshop.toml:3: prices.margin: found 100%, expected at most 95%`, ""},
		{"no such pattern", "[prices.minutes]\nflatt = 1\n", `workshop.toml:3: prices.minutes.flatt: found the pattern "flatt", expected one of belt, flat, lead, lined, raised, rolled, strap`, "did you mean flat?"},
		{"no such hardware", "[prices.hardware]\nbukle = 1\n", `workshop.toml:3: prices.hardware.bukle: found the hardware "bukle", expected one of buckle, clip, cord, dee`, "did you mean buckle?"},
		{"no such leather", "[prices.leathers]\nfoams = {price = \"1/sqft\"}\n", `workshop.toml:3: prices.leathers.foams: found the leather "foams", expected one of bridle, foam`, "did you mean foam?"},
		{"a leather without a price", "[prices.leathers]\nfoam = {waste = \"1%\"}\n", `workshop.toml:3: prices.leathers.foam: found no price, expected money for an area`, `write price = "7.20/sqft"`},
		{"a width that is none", "[prices.hardware]\nbuckle = { wide = 1 }\n", `workshop.toml:3: prices.hardware.buckle.wide: "wide": found 'w' where a number was expected`, ""},
		{"a width twice", "[prices.hardware]\nbuckle = { \"1in\" = 1, \"25.4mm\" = 2 }\n", `workshop.toml:3: prices.hardware.buckle: found 25.4 mm twice, expected each width once`, ""},
		{"an offer of what is not listed", "[[offers]]\nleather = \"calf\"\nform = \"skin\"\nprice = 1\n", `workshop.toml:3: offers[0].leather: found the leather "calf", expected one of bridle`, ""},
		{"an offer without a price", offer, `workshop.toml:2: offers[0]: found an offer without price, expected leather, form and price`, ""},
		{"an offer by length", offer + "price = \"1/m\"\n", `workshop.toml:5: offers[0].price: found "1/m", expected money for an area such as "7.20/sqft"`, ""},
		{"a seller turned round", offer + "price = 1\nsupplier = \"Upper \u202eHides\"\n", `workshop.toml:6: offers[0].supplier: found no name, expected a few words on one line`, ""},
		{"half a size", offer + "price = 1\nsize = [\"1m\"]\n", `workshop.toml:6: offers[0].size: found a list of 1, expected length and depth`, `write ["52in", "26in"]`},
		{"a form that is none", "[models.forms.arm]\nfirm = \"1%\"\n", `workshop.toml:2: models.forms.arm: found the form "arm", expected one of back, belly, bend, butt, hide, sheet, shoulder, side, skin`, ""},
		{"more than all firm", "[models.forms.bend]\nfirm = \"101%\"\n", `workshop.toml:3: models.forms.bend.firm: found 101%, expected at most 100%`, "it is the share of the depth, from the backbone, that is firm"},
		{"all fringe", "[models.forms.hide]\nragged = [\"1in\", \"1ft\"]\n", `workshop.toml:3: models.forms.hide.ragged[1]: found 304.8 mm, expected 0.1 mm to 100 mm`, ""},
		{"of no shape", "[models.forms.hide]\nuneven = \"40%\"\n", `workshop.toml:3: models.forms.hide.uneven: found 40%, expected at most 30%`, "it is how much deeper or less deep than others a hide commonly is"},
		{"ends askew", "[models.forms.hide]\nslant = \"45deg\"\n", `workshop.toml:3: models.forms.hide.slant: found 45 degrees, expected 0 to 20`, "it is how far from square the ends commonly lie"},
		{"more than all", "[models.forms.hide]\nat_edge = \"140%\"\n", `workshop.toml:3: models.forms.hide.at_edge: found 140%, expected at most 100%`, "it is the share of hides whose poor places lie at the edges"},
		{"fewer than none", "[models.forms.hide]\nstrewn = [-1, 4]\n", `workshop.toml:3: models.forms.hide.strewn: found [-1 4], expected the least and the greatest number of flaws, to 200`, "write [3, 6]; [0, 0] has all flaws lie anywhere"},
		{"sizes the wrong way round", "[models.forms.bend]\nlength = [\"2m\", \"1m\"]\n", `workshop.toml:3: models.forms.bend.length: found a least of 2000 mm above the greatest of 1000 mm, expected the least first`, ""},
		{"a flaw met less than never", "[models.flaws]\nscar = -1\n", `workshop.toml:3: models.flaws.scar: found -1, expected 0 to 1000`, "it is how often the flaw is met against the others"},
		{"a kind without a model", "[models.flaws]\nink = 1\n", `workshop.toml:3: models.flaws.ink: found the kind "ink", expected one of hole, tick, scratch, scar, cut, vein, wrinkle, loose, brand`, ""},
	} {
		refused(t, c.rule, folder(t, "workshop.toml", head+c.text), c.want, c.hint)
	}
}
