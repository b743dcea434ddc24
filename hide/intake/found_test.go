package intake

import (
	"bytes"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"strapwise/hide"
	"strapwise/hide/plane"
)

const sheetHead = "leather = 'bridle-tan' # from Nether Ambling\nform = 'sheet'\nsize = ['1000mm', '500mm']\n"

func TestWithFlaw(t *testing.T) {
	spot := hide.Flaw{Kind: "hole", Spot: &hide.Spot{At: orb.Point{100, 50.125}, Diameter: 6}}
	patch := plane.Box(orb.Point{10, 10}, orb.Point{30, 40})
	for _, tt := range []struct {
		rule, file string
		flaw       hide.Flaw
		want       string // of what is new, "…" standing for what was
	}{
		{"at the end", sheetHead, spot, "…\n[[flaws]]  # found while cutting\nkind = \"hole\"\nat = [\"100.00mm\", \"50.13mm\"]\nsize = \"6.00mm\"\n"},
		{"no line at its end", sheetHead + "trim = '5mm'", spot, "…\n\n[[flaws]]"},
		{"a comment without a line end", sheetHead + "# the end", spot, "…\n\n[[flaws]]"},
		{"a table last", sheetHead + "[[zones]]\nquality = 'soft'\narea = [['0mm','400mm'],['1000mm','400mm'],['1000mm','500mm']]\n", spot, "…\n[[flaws]]"},
		{"other flaws", sheetHead + "[[flaws]]\nkind = 'tick'\nat = ['5mm','5mm']\nsize = '2mm'\n", spot, "…\n[[flaws]]"},
		{"lines of two letters", strings.ReplaceAll(sheetHead, "\n", "\r\n"), spot, "…\r\n[[flaws]]  # found while cutting\r\nkind = \"hole\"\r\n"},
		{"a byte-order mark", "\xef\xbb\xbf" + sheetHead, spot, "…\n[[flaws]]"},
		{"bare numbers of inches", sheetHead + "units = 'in'\n", spot, "…\n[[flaws]]  # found while cutting\nkind = \"hole\"\nat = [3.937, 1.9734]\nsize = 0.2362\n"},
		{"bare numbers of millimetres", sheetHead + "units = 'mm'\n", spot, "…\n[[flaws]]  # found while cutting\nkind = \"hole\"\nat = [100, 50.125]\nsize = 6\n"},
		{
			"on the flesh side", sheetHead,
			hide.Flaw{Kind: "cut", Face: hide.Flesh, Stroke: &hide.Stroke{Line: []orb.Point{{-5, 20}, {40, 20}}, Width: 2}},
			"…\n[[flaws]]  # found while cutting\nkind = \"cut\"\nface = \"flesh\"\nline = [[\"-5.00mm\", \"20.00mm\"], [\"40.00mm\", \"20.00mm\"]]\nwidth = \"2.00mm\"\n",
		},
		{"a patch", sheetHead, hide.Flaw{Kind: "brand", Patch: &patch}, "…\n[[flaws]]"},
	} {
		out, h, at, err := WithFlaw("a.toml", []byte(tt.file), "a", nil, tt.flaw)
		if err != nil {
			t.Errorf("%s: %v", tt.rule, err)
			continue
		}
		if want := strings.Replace(tt.want, "…", tt.file, 1); !strings.HasPrefix(string(out), want) {
			t.Errorf("%s: found %q, expected %q", tt.rule, out, want)
		}
		if last := h.Flaws()[at]; at != len(h.Flaws())-1 || last.Kind != tt.flaw.Kind || last.Face != tt.flaw.Face {
			t.Errorf("%s: found %v at %d, expected %v last", tt.rule, last, at, tt.flaw)
		}
		if same, _, again, err := WithFlaw("a.toml", out, "a", nil, tt.flaw); err != nil || again != at || !bytes.Equal(same, out) {
			t.Errorf("%s: told once more it is added once more: %d, %v, %q", tt.rule, again, err, same)
		}
	}
}

// Where flaws stand in brackets, the flaw goes inside them.
func TestWithFlaw_inline(t *testing.T) {
	spot := hide.Flaw{Kind: "hole", Spot: &hide.Spot{At: orb.Point{100, 50}, Diameter: 6}}
	const item = `{kind = "hole", at = ["100.00mm", "50.00mm"], size = "6.00mm"}`
	for _, tt := range []struct{ rule, before, after string }{
		{"none", "flaws = [", "]\n"},
		{"none, with blanks", "flaws   =\t[", "  ]\n"},
		{"a comment", "flaws = [", " # healed\n]\n"},
		{"one", "flaws = [", "{kind = 'tick', at = ['5mm','5mm'], size = '2mm'}]\n"},
		{"lines and comments", "flaws = [", " # \"]\" seen\n  {kind = 'tick', at = ['5mm','5mm'], size = '2mm'}, # [\n]\n"},
		{"a quoted key", "\"flaws\" = [", "]\n"},
		{"brackets before it", "bought = 2027-01-02 # flaws = [\nflaws = [", "]\ntrim = '5mm'\n"},
		{"a table behind it", "flaws = [", "]\n[[zones]]\nquality = 'soft'\narea = [['0mm','400mm'],['1000mm','400mm'],['1000mm','500mm']]\n"},
	} {
		for _, mark := range []string{"", "\xef\xbb\xbf"} {
			was := mark + sheetHead + tt.before + tt.after
			out, _, _, err := WithFlaw("a.toml", []byte(was), "a", nil, spot)
			if err != nil {
				t.Errorf("%s: %v", tt.rule, err)
				continue
			}
			i := bytes.Index(out, []byte(item))
			if i != len(mark+sheetHead+tt.before) {
				t.Errorf("%s: found %q, expected the flaw behind %q", tt.rule, out, tt.before)
				continue
			}
			if rest := strings.TrimPrefix(string(out[i+len(item):]), ", "); rest != tt.after && string(out[i+len(item):]) != tt.after {
				t.Errorf("%s: found %q behind it, expected %q", tt.rule, rest, tt.after)
			}
		}
	}
}

func TestWithFlaw_refuses(t *testing.T) {
	for _, tt := range []struct {
		rule string
		flaw hide.Flaw
		want string
	}{
		{"off the hide", hide.Flaw{Kind: "hole", Spot: &hide.Spot{At: orb.Point{2000, 50}, Diameter: 6}}, "wholly outside the hide"},
		{"a kind that nobody knows", hide.Flaw{Kind: "moth", Spot: &hide.Spot{At: orb.Point{20, 50}, Diameter: 6}}, "unknown kind"},
		{"no size", hide.Flaw{Kind: "hole", Spot: &hide.Spot{At: orb.Point{20, 50}}}, "size"},
	} {
		if _, _, _, err := WithFlaw("a.toml", []byte(sheetHead), "a", nil, tt.flaw); err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%s: found %v, expected %q", tt.rule, err, tt.want)
		}
	}
}

// Whatever hide file is read, a flaw more changes nothing else of it.
func FuzzWithFlaw(f *testing.F) {
	f.Add(sheetHead)
	f.Add(sheetHead + "flaws = [] # none")
	f.Add(sheetHead + "[[flaws]]\nkind = 'tick'\nat = ['5mm','5mm']\nsize = '2mm'")
	spot := hide.Flaw{Kind: "hole", Spot: &hide.Spot{At: orb.Point{1, 1}, Diameter: 6}}
	f.Fuzz(func(t *testing.T, file string) {
		was, err := Read("a.toml", []byte(file), "a", nil)
		if err != nil {
			return
		}
		out, now, _, err := WithFlaw("a.toml", []byte(file), "a", nil, spot)
		if err != nil {
			return
		}
		if len(now.Flaws()) != len(was.Flaws())+1 || len(out) <= len(file) {
			t.Errorf("found %d flaws, expected one more than %d", len(now.Flaws()), len(was.Flaws()))
		}
	})
}
