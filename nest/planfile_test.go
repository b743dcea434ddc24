package nest

import (
	"bytes"
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"

	"strapwise/hide"
	"strapwise/hide/source"
)

const golden = `{
 "format": "strapwise-plan/1",
 "result": {
  "proven": false,
  "stop": "time",
  "seed": 7,
  "steps": 0,
  "value": 39.5,
  "bound": null
 },
 "sets": [
  {
   "order": "A12 <é>",
   "asked": 1,
   "complete": 1
  }
 ],
 "unplaced": [],
 "hides": [
  {
   "hide": "ash-3",
   "strike": {
    "from": [0,0],
    "to": [1310,0.1235],
    "edge_mm": 0.79375,
    "square_mm": 0,
    "angle_deg": 0
   },
   "bands": [
    {
     "from_mm": 0,
     "depth_mm": 34.925,
     "blocks": [
      {
       "from_mm": 0,
       "to_mm": 1310,
       "strips": [1,2]
      }
     ]
    }
   ],
   "strips": [
    {
     "n": 1,
     "outline": [
      [0,0],
      [1,0],
      [0.3,0.1]
     ],
     "width_mm": 34.925,
     "from_mm": 0
    }
   ],
   "remnants": []
  }
 ],
 "pieces": [
  {
   "hide": "ash-3",
   "order": "A12 <é>",
   "set": 3,
   "part": "main",
   "use": "load",
   "strip": 1,
   "outline": [
    [-1000,2.5]
   ],
   "angle_deg": -0.5,
   "from_mm": 0,
   "to_mm": 600
  }
 ],
 "inputs": []
}
`

// What a file looks like is fixed, so that two plans can be compared by line.
func TestEncode(t *testing.T) {
	p := Plan{
		Format: Format,
		Hides: []HideLay{{
			Hide:   "ash-3",
			Strike: Strike{From: orb.Point{-1e-9, 0}, To: orb.Point{1310, 0.123456}, EdgeMM: 25.4 / 32, SquareMM: math.Copysign(0, -1)},
			Bands:  []Band{{FromMM: 0, DepthMM: 44 * 25.4 / 32, Blocks: []Block{{FromMM: 0, ToMM: 1310, Strips: []int{1, 2}}}}},
			Strips: []Strip{{N: 1, Outline: []orb.Point{{0, 0}, {1, 0}, {0.1 + 0.2, 0.1}}, WidthMM: 34.92500000000001}},
		}},
		Pieces: []Piece{{
			Hide: "ash-3", Order: "A12 <é>", Set: 3, Part: "main", Use: "load", Strip: 1,
			Outline: []orb.Point{{-1000, 2.5}}, AngleDeg: -0.5, ToMM: 600,
		}},
		Sets:   []SetCount{{"A12 <é>", 1, 1}},
		Result: Result{Value: 39.5, Bound: math.Inf(1), Stop: StopTime, Seed: 7},
	}
	if diff := cmp.Diff(golden, string(p.Encode())); diff != "" {
		t.Error(diff)
	}
	got, err := DecodePlan("plan.json", p.Encode())
	if err != nil {
		t.Fatal(err)
	}
	if !math.IsInf(got.Result.Bound, 1) {
		t.Errorf("found the bound %v, expected none", got.Result.Bound)
	}
	if diff := cmp.Diff(golden, string(got.Encode())); diff != "" {
		t.Error(diff)
	}
}

func TestDecodeGivesBackThePlan(t *testing.T) {
	want := newBench().plan
	want.Inputs = []Input{{"hides/ash-3.toml", "00ff"}}
	got, err := DecodePlan("plan.json", want.Encode())
	if err != nil {
		t.Fatal(err)
	}
	rounding := cmp.Comparer(func(a, b orb.Point) bool { return max(math.Abs(a[0]-b[0]), math.Abs(a[1]-b[1])) <= 0.5001e-4 })
	if diff := cmp.Diff(want, got, rounding); diff != "" {
		t.Error(diff)
	}
}

// A plan in which something is no number is written all the same, and found bad.
func TestEncodeOfNoNumber(t *testing.T) {
	b := newBench()
	b.plan.Pieces[0].Outline[0][0] = math.NaN()
	b.plan.Hides[0].Bands[0].DepthMM = math.Inf(1)
	b.plan.Result.Value = math.NaN()
	data := b.plan.Encode()
	if !bytes.Contains(data, []byte("[null,")) || !bytes.Contains(data, []byte(`"depth_mm": null`)) || !bytes.Contains(data, []byte(`"value": null`)) {
		t.Errorf("found no null in %s", data)
	}
	if _, err := DecodePlan("plan.json", data); err == nil {
		t.Error("a corner that is no place was read")
	}
}

func TestDecodePlanPassesOver(t *testing.T) {
	for name, data := range map[string]string{
		"keys of others":   `{"format": "strapwise-plan/1", "note": {"by": ["me"]}, "pieces": [{"hide": "a", "colour": 3}]}`,
		"keys left out":    `{"format": "strapwise-plan/1", "hides": [{"hide": "ash-3"}]}`,
		"lists that are 0": `{"format": "strapwise-plan/1", "hides": null, "pieces": null}`,
	} {
		if p, err := DecodePlan("plan.json", []byte(data)); err != nil {
			t.Errorf("%s: %v", name, err)
		} else if !math.IsInf(p.Result.Bound, 1) {
			t.Errorf("%s: found the bound %v, expected none", name, p.Result.Bound)
		}
	}
}

func TestDecodePlanRefuses(t *testing.T) {
	const head = "{\"format\": \"strapwise-plan/1\",\n"
	for _, c := range []struct{ name, data, want string }{
		{"nothing", "", "plan.json: found nothing, expected a plan"},
		{"half a plan", head + "\"hides\": [", "plan.json:2: ends in the middle of the plan"},
		{"no JSON", head + "hides", "plan.json:2: is not JSON: invalid character 'h' looking for beginning of object key string"},
		{"NaN", head + "\"result\":\n {\"value\": NaN}}", "plan.json:3: is not JSON: invalid character 'N' looking for beginning of value"},
		{"two plans", head + "\"hides\": []}\n{}", "plan.json:3: found more text after the end of the plan"},
		{"another format", "{\n\"format\": \"strapwise-plan/2\"}", `plan.json:2: format: found "strapwise-plan/2", expected "strapwise-plan/1"`},
		{"no format", "{}", `plan.json: format: found "", expected "strapwise-plan/1"`},
		{"null", "null", `plan.json: format: found "", expected "strapwise-plan/1"`},
		{"a list", "[]", "plan.json:1: found a list, expected an object"},
		{"text for a number", head + "\"pieces\": [\n{\"from_mm\": \"3mm\"}]}", "plan.json:3: pieces.from_mm: found text, expected a number"},
		{"a part of a set", head + "\"pieces\": [\n{\"set\": 1.5}]}", "plan.json:3: pieces.set: found a number 1.5, expected a whole number"},
		{"a number for text", head + "\"pieces\": [\n{\"hide\": 3}]}", "plan.json:3: pieces.hide: found a number, expected text"},
		{"text for a list", head + "\"sets\": \"all\"}", "plan.json:2: sets: found text, expected a list"},
		{"too large a number", head + "\"result\": {\"value\": 1e999}}", "plan.json:2: result.value: found a number 1e999, expected a number"},
		{"text for true", head + "\"result\": {\"proven\": \"yes\"}}", "plan.json:2: result.proven: found text, expected true or false"},
		{
			"three coordinates", head + "\"pieces\": [{}, {\"outline\": [[1,2],\n[1,2,3]]}]}",
			"plan.json:3: pieces[1].outline[1]: found [1,2,3], expected a place [x, y], each within 1000000 mm",
		},
		{
			"one coordinate", head + "\"hides\": [{\"strips\": [{\"outline\": [[1]]}]}]}",
			"plan.json:2: hides[0].strips[0].outline[0]: found [1], expected a place [x, y], each within 1000000 mm",
		},
		{
			"a coordinate that is null", head + "\"hides\": [{\"strike\": {\"to\": [null, 1]}}]}",
			"plan.json:2: hides[0].strike.to: found [null, 1], expected a place [x, y], each within 1000000 mm",
		},
		{
			"a place beyond any bench", head + "\"hides\": [{\"remnants\": [[[0, 1e7]]]}]}",
			"plan.json:2: hides[0].remnants[0][0]: found [0, 1e7], expected a place [x, y], each within 1000000 mm",
		},
		{
			"a place in words", head + "\"hides\": [{\"strike\": {\"from\": \"here\"}}]}",
			`plan.json:2: hides[0].strike.from: found "here", expected a place [x, y], each within 1000000 mm`,
		},
		{
			"an edge struck through one mark", head + "\"hides\": [{\"strike\": {\n\"through\": [[1, 2]]}}]}",
			"plan.json:3: hides[0].strike.through: found 1 place, expected two",
		},
		{"too much", strings.Repeat(" ", MaxPlanBytes+1), "plan.json: found 33554433 bytes, expected at most 33554432"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := DecodePlan("plan.json", []byte(c.data))
			var fault *source.Error
			if !errors.As(err, &fault) {
				t.Fatalf("found %v, expected a *source.Error", err)
			}
			if err.Error() != c.want {
				t.Errorf("found    %s\nexpected %s", err, c.want)
			}
		})
	}
}

func TestStale(t *testing.T) {
	p := Plan{Inputs: []Input{{"orders.csv", "a"}, {"hides/ash-3.toml", "b"}, {"hides/oak-1.toml", "c"}}}
	for _, c := range []struct {
		name string
		now  []Input
		want []string
	}{
		{"as it was", []Input{{"hides/oak-1.toml", "c"}, {"hides/ash-3.toml", "b"}, {"orders.csv", "a"}}, nil},
		{"changed", []Input{{"orders.csv", "x"}, {"hides/ash-3.toml", "b"}, {"hides/oak-1.toml", "c"}}, []string{"orders.csv"}},
		{"gone", []Input{{"orders.csv", "a"}, {"hides/oak-1.toml", "c"}}, []string{"hides/ash-3.toml"}},
		{"new", append(p.Inputs[:3:3], Input{"hides/elm-9.toml", "d"}), []string{"hides/elm-9.toml"}},
		{"nothing left", nil, []string{"hides/ash-3.toml", "hides/oak-1.toml", "orders.csv"}},
	} {
		if got := p.Stale(c.now); !cmp.Equal(got, c.want) {
			t.Errorf("%s: found %q, expected %q", c.name, got, c.want)
		}
	}
}

// Whatever is in a file, reading it and checking it come to an end; what is
// read is written so that it reads the same.
func FuzzDecodePlan(f *testing.F) {
	b := newBench()
	b.job.Hides = []*hide.Hide{b.hide()}
	f.Add(b.plan.Encode())
	f.Add([]byte(golden))
	for _, s := range []string{
		"", "{}", "[1", `{"format":"strapwise-plan/1","hides":[{"strike":{"from":[1,2],"to":[1,2]}}]}`,
		`{"format":"strapwise-plan/1","hides":[{"hide":"ash-3","strips":[{"n":-1,"outline":[[0,0],[1,0],[1,1],[0,1]]}],"bands":[{"blocks":[{"strips":[-1,9]}]}]}]}`,
		`{"format":"strapwise-plan/1","pieces":[{"hide":"ash-3","order":"A12","set":-9223372036854775808,"outline":[[0,0],[1e6,0],[1e6,1e-5],[0,0]]}]}`,
		`{"format":"strapwise-plan/1","hides":[{"hide":"ash-3","remnants":[[[0,0],[9,9],[0,9],[9,0]],[[1,1]],[]]}]}`,
		`{"format":"strapwise-plan/1","hides":[{"hide":"ash-3","strike":{"from":[0,0],"to":[9,1],"angle_deg":6.3,"through":[[0,0],[9,1]]}}]}`,
	} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		p, err := DecodePlan("plan.json", data)
		if err != nil {
			return
		}
		once := p.Encode()
		again, err := DecodePlan("plan.json", once)
		if err != nil {
			t.Fatalf("what was written is refused: %v", err)
		}
		if !bytes.Equal(once, again.Encode()) {
			t.Error("a plan read again is written otherwise")
		}
		Check(b.job, p)
		Remnants(b.hide(), p)
	})
}
