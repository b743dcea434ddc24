package source

import (
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"pgregory.net/rapid"
)

func TestDidYouMean(t *testing.T) {
	known := []string{"check", "lay", "pieces", "rack", "raised", "Tag"}
	for _, c := range []struct{ rule, word, want string }{
		{"one letter wrong", "lai", "did you mean lay?"},
		{"two letters swapped", "lya", "did you mean lay?"},
		{"capitals", "RAISED", "did you mean raised?"},
		{"capitals of the known one", "tag", "did you mean Tag?"},
		{"two wrong of six", "peaces", "did you mean pieces?"},
		{"two wrong of three", "lux", ""},
		{"nothing like it", "nonsense", ""},
		{"nothing", "", ""},
		{"no slip of the finger", strings.Repeat("lay", 1<<20), ""},
	} {
		if got := DidYouMean(c.word, known); got != c.want {
			t.Errorf("%s: got %q, want %q", c.rule, got, c.want)
		}
	}
}

func TestCount(t *testing.T) {
	for n, want := range []string{"0 cells", "1 cell", "2 cells"} {
		if got := Count(n, "cell"); got != want {
			t.Errorf("got %s, want %s", got, want)
		}
	}
}

// A shortened text keeps head and tail and is hardly longer than allowed; one
// that is short enough stays as it is.
func TestShortenLaw(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.StringN(0, 200, -1).Draw(t, "text")
		got := Shorten(s, Quoted)
		if utf8.RuneCountInString(s) <= Quoted {
			if got != s {
				t.Fatalf("%q became %q", s, got)
			}
			return
		}
		head, tail, ok := strings.Cut(got, " ... ")
		if !ok || utf8.RuneCountInString(got) > Quoted+5 && !strings.Contains(s, " ... ") {
			t.Fatalf("%q became %q", s, got)
		}
		if !strings.HasPrefix(s, head) || !strings.HasSuffix(s, tail) && !strings.Contains(s, " ... ") {
			t.Fatalf("%q became %q", s, got)
		}
	})
}

func TestPlainLaw(t *testing.T) {
	if got := Plain("a\x1b[2Jb\nc"); got != `a\x1b[2Jb\nc` {
		t.Errorf("got %q", got)
	}
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.String().Draw(t, "text")
		if got := Plain(s); strings.IndexFunc(got, unicode.IsControl) >= 0 {
			t.Fatalf("%q became %q", s, got)
		}
	})
}
