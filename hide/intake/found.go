package intake

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/paulmach/orb"

	"strapwise/hide"
	"strapwise/hide/source"
)

// WithFlaw gives the hide file with one more flaw, and the hide that it then is.
// What the user wrote stays byte for byte. The result is read back: it must be
// the hide as it was and that flaw, or nothing is given. Arguments are those of
// Read; a place of the flaw off the hide is an error of its path in the file.
func WithFlaw(file string, data []byte, name string, kinds []string, f hide.Flaw) ([]byte, *hide.Hide, error) {
	was, err := Read(file, data, name, kinds)
	if err != nil {
		return nil, nil, err
	}
	out := source.Appended(data, "flaws", fieldsOf(f), "found while cutting")
	now, err := Read(file, out, name, kinds)
	if err != nil {
		return nil, nil, err
	}
	if !sameBut(was, now, f) {
		return nil, nil, &source.Error{File: file, Path: "flaws", Rule: "the flaw cannot be added without a change to what stands there", Hint: "add it by hand"}
	}
	return out, now, nil
}

// fieldsOf writes a flaw in the words of the file. Lengths bear their unit, so
// that they hold whatever the file says of bare numbers.
func fieldsOf(f hide.Flaw) []string {
	out := []string{"kind = " + strconv.Quote(f.Kind)}
	if f.Face == hide.Flesh {
		out = append(out, `face = "flesh"`)
	}
	switch {
	case f.Spot != nil:
		return append(out, "at = "+placeText(f.Spot.At), "size = "+lengthText(f.Spot.Diameter))
	case f.Stroke != nil:
		return append(out, "line = "+placesText(f.Stroke.Line), "width = "+lengthText(f.Stroke.Width))
	}
	return append(out, "area = "+placesText(f.Patch.Corners()))
}

// fine is to what part of a millimetre places are written: far finer than a
// finger shows a flaw.
const fine = 100

func lengthText(mm float64) string {
	return strconv.Quote(strconv.FormatFloat(math.Round(mm*fine)/fine, 'f', -1, 64) + "mm")
}

func placeText(p orb.Point) string {
	return fmt.Sprintf("[%s, %s]", lengthText(p[0]), lengthText(p[1]))
}

func placesText(ps []orb.Point) string {
	var all []string
	for _, p := range ps {
		all = append(all, placeText(p))
	}
	return "[" + strings.Join(all, ", ") + "]"
}

// sameBut reports whether a hide is another one and a flaw more.
func sameBut(was, now *hide.Hide, f hide.Flaw) bool {
	a, b := described(was), described(now)
	if len(b) != len(a)+1 {
		return false
	}
	count := map[string]int{flawText(f): 1}
	for _, s := range a {
		count[s]++
	}
	for _, s := range b {
		count[s]--
	}
	for _, n := range count { // in any order: all must be 0
		if n != 0 {
			return false
		}
	}
	return true
}

// described is all that a hide file tells, a text an item.
func described(h *hide.Hide) []string {
	out := []string{fmt.Sprint(
		h.Name(), h.Leather(), h.Form(), h.Outline().Corners(), h.Backbone(), h.Trim(), h.Readings(), h.Cost(), h.Stamped(), h.Bought(),
	)}
	for _, z := range h.Zones() {
		out = append(out, fmt.Sprint("zone", z.Quality, z.Area.Corners(), z.Turned, z.Grain))
	}
	for _, f := range h.Flaws() {
		out = append(out, flawText(f))
	}
	return out
}

// flawText is a flaw as the file has it.
func flawText(f hide.Flaw) string {
	if f.Patch != nil { // a ring begins and turns as it likes
		at := f.Patch.Bound()
		return fmt.Sprint(f.Kind, f.Face, "area", placeText(at.Min), placeText(at.Max), f.Patch.Len())
	}
	return strings.Join(fieldsOf(f), " ")
}
