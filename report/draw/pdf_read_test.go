package draw

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"unicode/utf16"

	"github.com/paulmach/orb"
)

// What a document's pages hold, read from its own numbers (ISO 32000-1) by no code
// of the writer.

const mmPerPoint = 25.4 / 72

// sheet is a page as read: places in millimetres from its upper left corner.
type sheet struct {
	width, height float64
	paths         []inked
	clips         []inked
	texts         []string
	content       string
}

// inked is a path and how it is painted.
type inked struct {
	points []orb.Point
	closed bool
	weight float64 // mm
	paint  string  // the operator: S, f, ...
}

var (
	contentsOf = regexp.MustCompile(`/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]|/Contents (\d+) 0 R`)
	token      = regexp.MustCompile(`(?s)\((?:\\.|[^\\)])*\)|<<|>>|<[0-9A-F]*>|\[[^\]]*\]|[^\s\[\]()<>]+`)
)

func readPDF(t testing.TB, data []byte) []sheet {
	t.Helper()
	var out []sheet
	w, h := 0.0, 0.0
	for _, m := range contentsOf.FindAllSubmatch(data, -1) {
		if len(m[3]) == 0 {
			w, h = number(t, string(m[1]))*mmPerPoint, number(t, string(m[2]))*mmPerPoint
			continue
		}
		s := sheet{width: w, height: h, content: stream(t, data, string(m[3]))}
		s.read(t)
		out = append(out, s)
	}
	return out
}

// stream is what an object holds, unpacked.
func stream(t testing.TB, data []byte, object string) string {
	t.Helper()
	_, rest, found := bytes.Cut(data, []byte("\n"+object+" 0 obj\n"))
	_, packed, ok := bytes.Cut(rest, []byte("stream\n"))
	if !found || !ok {
		t.Fatalf("found no stream %s", object)
	}
	r, err := zlib.NewReader(bytes.NewReader(packed))
	if err != nil {
		t.Fatal(err)
	}
	text, err := io.ReadAll(r)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

func number(t testing.TB, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// operators begin with a letter or these.
const operators = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ'\""

// read takes the page's operators one by one.
func (s *sheet) read(t testing.TB) {
	t.Helper()
	var args []string
	var path inked
	var weights []float64
	weight, clipped := 0.0, false
	at := func(i int) orb.Point {
		return orb.Point{number(t, args[i]) * mmPerPoint, s.height - number(t, args[i+1])*mmPerPoint}
	}
	for _, tok := range token.FindAllString(s.content, -1) {
		switch tok {
		case "q":
			weights = append(weights, weight)
		case "Q":
			weight, weights = weights[len(weights)-1], weights[:len(weights)-1]
		case "w":
			weight = number(t, args[0]) * mmPerPoint
		case "m", "l":
			path.points = append(path.points, at(0))
		case "h":
			path.closed = true
		case "re":
			p, size := at(0), orb.Point{number(t, args[2]) * mmPerPoint, number(t, args[3]) * mmPerPoint}
			path = inked{points: []orb.Point{p, {p[0] + size[0], p[1] - size[1]}}, closed: true}
		case "W":
			clipped = true
		case "S", "s", "f", "B", "n":
			if clipped {
				s.clips = append(s.clips, path)
			} else {
				path.weight, path.paint = weight, tok
				s.paths = append(s.paths, path)
			}
			path, clipped = inked{}, false
		case "Tj":
			s.texts = append(s.texts, unescaped(args[0]))
		default:
			if !strings.Contains(operators, tok[:1]) {
				args = append(args, tok)
				continue
			}
		}
		args = args[:0]
	}
}

// unescaped are the letters of a string of two-byte codes.
func unescaped(s string) string {
	s = strings.NewReplacer(`\\`, `\`, `\(`, `(`, `\)`, `)`, `\r`, "\r").Replace(s[1 : len(s)-1])
	var units []uint16
	for i := 0; i+1 < len(s); i += 2 {
		units = append(units, uint16(s[i])<<8|uint16(s[i+1]))
	}
	return string(utf16.Decode(units))
}

func (p inked) String() string { return fmt.Sprintf("%v %.2f %s", p.points, p.weight, p.paint) }
