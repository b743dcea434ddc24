package workshop

import (
	"os"
	"path/filepath"
	"testing"

	"strapwise/hide/source"
)

// FuzzRules: whatever workshop.toml holds, it is taken or refused by one
// mistake in that file; what is taken can be worked with.
func FuzzRules(f *testing.F) {
	for _, shop := range []string{"demo", "metric"} {
		data, err := os.ReadFile(filepath.Join("..", "..", "testdata", shop, RulesFile))
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	f.Add([]byte("[leathers.a]\nsubstance = \"9oz\"\n[uses.x]\nquality = \"prime\"\nflaws = []\nangle = \"90deg\"\nsubstance = [\"1mm\", \"2mm\"]\n"))
	f.Add([]byte("flaw_kinds = [\"tar\"]\n[patterns.p]\na = \"2 * b\"\nb = \"a / 2\"\n[patterns.p.pieces.main]\nlength = \"a\"\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		w := &Workshop{}
		err := w.takeRules(data)
		if err != nil {
			if e, ok := source.As(err); !ok || e.File != RulesFile {
				t.Fatalf("not a mistake in the file: %v", err)
			}
			return
		}
		if !(w.Rule.Mark > 0) || w.Tools.Mark != w.Rule.Mark || !(w.Tools.CutterMin > 0) || w.Tools.CutterMax < w.Tools.CutterMin || w.House == nil {
			t.Fatalf("taken, but of no use: %+v", w)
		}
		for name, u := range w.Uses {
			if u.Name != name || !(u.Angle >= 0) || u.Substance != nil && !(u.Substance.From <= u.Substance.To) {
				t.Fatalf("use %q: %+v", name, u)
			}
		}
	})
}
