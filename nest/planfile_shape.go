package nest

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"github.com/paulmach/orb"

	"strapwise/hide/plane"
	"strapwise/hide/source"
)

// The shapes of plan.json are those of a Plan, but for places, which must be
// seen to have two coordinates, and for figures, which are rounded. A field
// hides that of the same key in the value embedded beside it.
type (
	planFile struct {
		Format   string      `json:"format"`
		Result   resultFile  `json:"result"`
		Sets     []SetCount  `json:"sets"`
		Unplaced []Unplaced  `json:"unplaced"`
		Hides    []hideFile  `json:"hides"`
		Pieces   []pieceFile `json:"pieces"`
		Spare    []pieceFile `json:"spare,omitempty"`
		Spoilt   []pieceFile `json:"spoilt,omitempty"`
		Relaid   *Relaid     `json:"relaid,omitempty"`
		Inputs   []Input     `json:"inputs"`
	}
	resultFile struct {
		Result
		Value figure  `json:"value"`
		Bound *figure `json:"bound"`
	}
	hideFile struct {
		Hide     string      `json:"hide"`
		Strike   strikeFile  `json:"strike"`
		Bands    []bandFile  `json:"bands"`
		Strips   []stripFile `json:"strips"`
		Remnants [][]place   `json:"remnants"`
		Squared  figure      `json:"squared_mm,omitempty"`
		Chalked  []figure    `json:"chalked_mm,omitempty"`
	}
	strikeFile struct {
		From     place  `json:"from"`
		To       place  `json:"to"`
		EdgeMM   figure `json:"edge_mm"`
		SquareMM figure `json:"square_mm"`
		AngleDeg figure `json:"angle_deg"`

		Through []place `json:"through,omitempty"`
	}
	bandFile struct {
		FromMM  figure      `json:"from_mm"`
		DepthMM figure      `json:"depth_mm"`
		Blocks  []blockFile `json:"blocks"`
		Cut     bool        `json:"cut,omitempty"`
		New     bool        `json:"new,omitempty"`
	}
	blockFile struct {
		FromMM figure `json:"from_mm"`
		ToMM   figure `json:"to_mm"`
		Strips []int  `json:"strips"`
		Cut    bool   `json:"cut,omitempty"`
	}
	stripFile struct {
		N       int     `json:"n"`
		Outline []place `json:"outline"`
		WidthMM figure  `json:"width_mm"`
		FromMM  figure  `json:"from_mm"`
		Cut     bool    `json:"cut,omitempty"`
	}
	pieceFile struct {
		Piece
		Outline  []place `json:"outline"`
		AngleDeg figure  `json:"angle_deg"`
		FromMM   figure  `json:"from_mm"`
		ToMM     figure  `json:"to_mm"`
	}
)

// figure is a number of the file.
type figure float64

func (v figure) finite() bool { return !math.IsNaN(float64(v)) && !math.IsInf(float64(v), 0) }

// MarshalJSON writes null for what JSON has no number for.
func (v figure) MarshalJSON() ([]byte, error) {
	if !v.finite() {
		return []byte("null"), nil
	}
	return json.Marshal(float64(v))
}

func lengthOf(mm float64) figure   { return figure(rounded(mm, 1e6)) }
func degreesOf(deg float64) figure { return figure(rounded(deg, 1e9)) }

// rounded keeps v to a part of one; adding 0 turns a negative zero into zero.
func rounded(v, parts float64) float64 { return math.Round(v*parts)/parts + 0 }

// place is a point of the file. What was not one is kept, to be named with its
// path once all is read.
type place struct {
	at    orb.Point
	found string // instead of two numbers within plane.MaxCoordinate
}

func (p place) MarshalJSON() ([]byte, error) {
	return json.Marshal([2]figure{figure(rounded(p.at[0], 1e4)), figure(rounded(p.at[1], 1e4))})
}

func (p *place) UnmarshalJSON(data []byte) error {
	var v []*float64
	if json.Unmarshal(data, &v) == nil && len(v) == 2 && v[0] != nil && v[1] != nil {
		p.at = orb.Point{*v[0], *v[1]}
		if max(math.Abs(*v[0]), math.Abs(*v[1])) <= plane.MaxCoordinate {
			return nil
		}
	}
	p.found = string(data[:min(len(data), 40)])
	return nil
}

func placesOf(points []orb.Point) []place {
	return mapped(points, func(p orb.Point) place { return place{at: p} })
}

func fileOfLay(l HideLay) hideFile {
	var through []place
	if l.Strike.Through != ([2]orb.Point{}) {
		through = placesOf(l.Strike.Through[:])
	}
	return hideFile{
		Hide: l.Hide,
		Strike: strikeFile{
			place{at: l.Strike.From},
			place{at: l.Strike.To},
			lengthOf(l.Strike.EdgeMM), lengthOf(l.Strike.SquareMM), degreesOf(l.Strike.AngleDeg),
			through,
		},
		Bands: mapped(l.Bands, func(b Band) bandFile {
			return bandFile{lengthOf(b.FromMM), lengthOf(b.DepthMM), mapped(b.Blocks, func(k Block) blockFile {
				return blockFile{lengthOf(k.FromMM), lengthOf(k.ToMM), filled(k.Strips), k.Cut}
			}), b.Cut, b.New}
		}),
		Strips: mapped(l.Strips, func(s Strip) stripFile {
			return stripFile{s.N, placesOf(s.Outline), lengthOf(s.WidthMM), lengthOf(s.FromMM), s.Cut}
		}),
		Remnants: mapped(l.Remnants, placesOf),
		Squared:  lengthOf(l.SquaredMM), Chalked: mapped(l.Chalked, lengthOf),
	}
}

func fileOfPiece(x Piece) pieceFile {
	return pieceFile{x, placesOf(x.Outline), degreesOf(x.AngleDeg), lengthOf(x.FromMM), lengthOf(x.ToMM)}
}

// plan turns what was read into a Plan. The error has Path and Rule.
func (f planFile) plan() (Plan, *source.Error) {
	var fault *source.Error
	point := func(p place, path string) orb.Point {
		if p.found != "" && fault == nil {
			fault = &source.Error{Path: path, Rule: fmt.Sprintf("found %s, expected a place [x, y], each within %.0f mm", p.found, plane.MaxCoordinate)}
		}
		return p.at
	}
	points := func(ps []place, path string) []orb.Point {
		out := make([]orb.Point, len(ps))
		for i, p := range ps {
			out[i] = point(p, fmt.Sprintf("%s[%d]", path, i))
		}
		return out
	}
	p := Plan{Format: f.Format, Sets: filled(f.Sets), Unplaced: filled(f.Unplaced), Inputs: filled(f.Inputs), Result: f.Result.Result}
	p.Result.Value, p.Result.Bound = float64(f.Result.Value), math.Inf(1)
	if f.Result.Bound != nil {
		p.Result.Bound = float64(*f.Result.Bound)
	}
	p.Hides = make([]HideLay, len(f.Hides))
	for i, h := range f.Hides {
		path := fmt.Sprintf("hides[%d]", i)
		lay := HideLay{Hide: h.Hide, Strike: Strike{
			From: point(h.Strike.From, path+".strike.from"), To: point(h.Strike.To, path+".strike.to"),
			EdgeMM: float64(h.Strike.EdgeMM), SquareMM: float64(h.Strike.SquareMM), AngleDeg: float64(h.Strike.AngleDeg),
		}, SquaredMM: float64(h.Squared)}
		for _, at := range h.Chalked {
			lay.Chalked = append(lay.Chalked, float64(at))
		}
		lay.Bands = mapped(h.Bands, func(b bandFile) Band {
			return Band{float64(b.FromMM), float64(b.DepthMM), mapped(b.Blocks, func(k blockFile) Block {
				return Block{float64(k.FromMM), float64(k.ToMM), filled(k.Strips), k.Cut}
			}), b.Cut, b.New}
		})
		lay.Strips = make([]Strip, len(h.Strips))
		for j, s := range h.Strips {
			lay.Strips[j] = Strip{s.N, points(s.Outline, fmt.Sprintf("%s.strips[%d].outline", path, j)), float64(s.WidthMM), float64(s.FromMM), s.Cut}
		}
		lay.Remnants = make([][]orb.Point, len(h.Remnants))
		for j, r := range h.Remnants {
			lay.Remnants[j] = points(r, fmt.Sprintf("%s.remnants[%d]", path, j))
		}
		if n := len(h.Strike.Through); n != 0 && n != len(lay.Strike.Through) && fault == nil {
			fault = &source.Error{Path: path + ".strike.through", Rule: fmt.Sprintf("found %s, expected two", source.Count(n, "place"))}
		}
		copy(lay.Strike.Through[:], points(h.Strike.Through, path+".strike.through"))
		p.Hides[i] = lay
	}
	pieces := func(list []pieceFile, path string) []Piece {
		out := make([]Piece, len(list))
		for i, x := range list {
			out[i] = x.Piece
			out[i].Outline = points(x.Outline, fmt.Sprintf("%s[%d].outline", path, i))
			out[i].AngleDeg, out[i].FromMM, out[i].ToMM = float64(x.AngleDeg), float64(x.FromMM), float64(x.ToMM)
		}
		return out
	}
	p.Pieces = pieces(f.Pieces, "pieces")
	if len(f.Spare) > 0 {
		p.Spare = pieces(f.Spare, "spare")
	}
	if len(f.Spoilt) > 0 {
		p.Spoilt = pieces(f.Spoilt, "spoilt")
	}
	p.Relaid = f.Relaid
	return p, fault
}

// mapped turns each of a list into another; of none, an empty list.
func mapped[A, B any](list []A, turn func(A) B) []B {
	out := make([]B, len(list))
	for i, a := range list {
		out[i] = turn(a)
	}
	return out
}

// filled is the list, or an empty one for none: [] in the file, not null.
func filled[A any](list []A) []A {
	if list == nil {
		return []A{}
	}
	return list
}

// faultOf says in the words of the file what the JSON reader found wrong.
func faultOf(file string, data []byte, err error) *source.Error {
	var syntax *json.SyntaxError
	var wrong *json.UnmarshalTypeError
	switch {
	case errors.As(err, &wrong):
		return &source.Error{
			File: file, Line: lineAt(data, int(wrong.Offset)-1), Path: keyPath(wrong.Field),
			Rule: "found " + jsonWords.Replace(wrong.Value) + ", expected " + kindOf(wrong),
		}
	case errors.As(err, &syntax):
		return &source.Error{File: file, Line: lineAt(data, int(syntax.Offset)-1), Rule: "is not JSON: " + syntax.Error()}
	case errors.Is(err, io.EOF):
		return &source.Error{File: file, Rule: "found nothing, expected a plan"}
	case errors.Is(err, io.ErrUnexpectedEOF):
		return &source.Error{File: file, Line: lineAt(data, len(data)), Rule: "ends in the middle of the plan", Hint: "make the plan again"}
	}
	return &source.Error{File: file, Rule: err.Error()}
}

// keyPath is a path without the names of embedded types, which are no keys.
func keyPath(field string) string {
	keys := slices.DeleteFunc(strings.Split(field, "."), func(k string) bool { return k != "" && unicode.IsUpper(rune(k[0])) })
	return strings.Join(keys, ".")
}

// jsonWords turns the names of JSON values into those of kindOf.
var jsonWords = strings.NewReplacer("array", "a list", "object", "an object", "string", "text", "bool", "true or false", "number", "a number")

// kindOf is the word for what a key should hold.
func kindOf(e *json.UnmarshalTypeError) string {
	switch e.Type.Kind().String() {
	case "float64":
		return "a number"
	case "int", "uint64":
		return "a whole number"
	case "string":
		return "text"
	case "bool":
		return "true or false"
	case "slice":
		return "a list"
	}
	return "an object"
}

// lineAt is the line, from 1, in which the byte at offset stands.
func lineAt(data []byte, offset int) int {
	return 1 + bytes.Count(data[:min(max(offset, 0), len(data))], []byte("\n"))
}

// lineOfPath is the line in which the value at a path like "hides[0].strike"
// begins; 0 if the file has none.
func lineOfPath(data []byte, path string) int {
	dec := json.NewDecoder(bytes.NewReader(data))
	var walk func(at string) int
	walk = func(at string) int {
		token, err := dec.Token()
		if err != nil {
			return 0
		}
		if at == path {
			return lineAt(data, int(dec.InputOffset())-1)
		}
		open, nested := token.(json.Delim)
		for i := 0; nested && dec.More(); i++ {
			next := at + "[" + strconv.Itoa(i) + "]"
			if open == '{' {
				key, err := dec.Token()
				if err != nil {
					return 0
				}
				next, _ = key.(string)
				if at != "" {
					next = at + "." + next
				}
			}
			if line := walk(next); line > 0 {
				return line
			}
		}
		if nested {
			_, _ = dec.Token() // the closing one; the data has been read whole before
		}
		return 0
	}
	return walk("")
}
