package nest

import (
	"bytes"
	"encoding/json"
	"fmt"
	"regexp"
	"slices"

	"strapwise/hide/source"
)

// MaxPlanBytes is the size beyond which a plan file is refused: some hundred
// thousand pieces, more than a year's work for ten benches.
const MaxPlanBytes = 32 << 20

// Encode writes the plan as plan.json: the same plan, the same bytes. A place
// is one line, rounded to 0.0001 mm; other lengths are rounded to a millionth
// of a millimetre, angles to a billionth of a degree; lists without entries are
// []; a figure that is not finite, such as a bound not known, is null.
func (p Plan) Encode() []byte {
	f := planFile{
		Format: p.Format, Sets: filled(p.Sets), Unplaced: filled(p.Unplaced), Inputs: filled(p.Inputs),
		Result: resultFile{Result: p.Result, Value: figure(p.Result.Value)},
		Hides:  mapped(p.Hides, fileOfLay),
		Pieces: mapped(p.Pieces, fileOfPiece), Spare: mapped(p.Spare, fileOfPiece), Spoilt: mapped(p.Spoilt, fileOfPiece),
		Relaid: p.Relaid,
	}
	if bound := figure(p.Result.Bound); bound.finite() {
		f.Result.Bound = &bound
	}
	var buf bytes.Buffer
	enc := json.NewEncoder(&buf)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", " ")
	// No planFile fails to encode: its figures are finite or null, and it has
	// no cycles, no maps and no interfaces.
	_ = enc.Encode(f)
	return numberList.ReplaceAllFunc(buf.Bytes(), func(list []byte) []byte {
		return bytes.Join(bytes.Fields(list), nil)
	})
}

// numberList is a list of figures (or null) that has been set one to a line. A string
// holds no line break, so none looks like it.
var numberList = regexp.MustCompile(`\[\n\s+[-+.\deEnul]+(?:,\n\s+[-+.\deEnul]+)*\n\s+\]`)

// DecodePlan reads a plan file; file is its name for messages. Keys that it
// does not know are passed over, so that others may keep notes of their own in
// a plan, and keys left out are zero, an absent bound +Inf: Check says what is
// missing. The error is a *source.Error: for text that is not one JSON object,
// values of the wrong type, a place without two coordinates or beyond
// plane.MaxCoordinate, a format other than Format, and files larger than
// MaxPlanBytes.
func DecodePlan(file string, data []byte) (Plan, error) {
	if len(data) > MaxPlanBytes {
		return Plan{}, &source.Error{File: file, Rule: fmt.Sprintf("found %d bytes, expected at most %d", len(data), MaxPlanBytes)}
	}
	var f planFile
	dec := json.NewDecoder(bytes.NewReader(data))
	if err := dec.Decode(&f); err != nil {
		return Plan{}, faultOf(file, data, err)
	}
	if rest := bytes.TrimSpace(data[dec.InputOffset():]); len(rest) > 0 {
		return Plan{}, &source.Error{File: file, Line: lineAt(data, len(data)-len(rest)), Rule: "found more text after the end of the plan"}
	}
	if f.Format != Format {
		return Plan{}, &source.Error{
			File: file, Line: lineOfPath(data, "format"), Path: "format",
			Rule: fmt.Sprintf("found %q, expected %q", f.Format, Format), Hint: "make the plan again with this version",
		}
	}
	p, err := f.plan()
	if err != nil {
		err.File, err.Line = file, lineOfPath(data, err.Path)
		return Plan{}, err
	}
	return p, nil
}

// Stale names the files that are not as they were when the plan was made:
// changed, gone, or new since. Sorted, each once; nil if the plan is fresh.
func (p Plan) Stale(now []Input) []string {
	then := map[Input]bool{}
	for _, in := range p.Inputs {
		then[in] = true
	}
	var stale []string
	for _, in := range now {
		if !then[in] {
			stale = append(stale, in.File)
		}
		delete(then, in)
	}
	for in := range then { // in any order: sorted below
		stale = append(stale, in.File)
	}
	slices.Sort(stale)
	return slices.Compact(stale)
}
