package intake

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"strapwise/hide"
	"strapwise/hide/source"
)

// WithFlaw gives the hide file with one more flaw, the hide that it then is, and the
// place of the flaw among its flaws, from 0. One that stands there already is not
// added. What the user wrote stays byte for byte. The result is read back: it must be
// the hide as it was and that flaw, or nothing is given. Arguments are those of
// Read; a place of the flaw off the hide is an error of its path in the file.
func WithFlaw(file string, data []byte, name string, kinds []string, f hide.Flaw) ([]byte, *hide.Hide, int, error) {
	fail := func(err error) ([]byte, *hide.Hide, int, error) { return nil, nil, 0, err }
	was, err := Read(file, data, name, kinds)
	if err != nil {
		return fail(err)
	}
	same := func(g hide.Flaw) bool { return near(f, g, nearest) }
	if at := slices.IndexFunc(was.Flaws(), same); at >= 0 {
		return data, was, at, nil
	}
	var stated form
	doc, err := source.TOML(file, data, &stated)
	if err != nil {
		return fail(err)
	}
	bare, err := (&reader{doc: doc, form: stated}).units()
	if err != nil {
		return fail(err)
	}
	out := source.Appended(data, "flaws", flawLines(f, inUnits(bare)), "found while cutting")
	now, err := Read(file, out, name, kinds)
	if err != nil {
		return fail(err)
	}
	if !sameBut(was, now, f) {
		return fail(&source.Error{File: file, Path: "flaws", Rule: "the flaw cannot be added without a change to what stands there", Hint: "add it by hand"})
	}
	return out, now, slices.IndexFunc(now.Flaws(), same), nil
}

// nearest is how near, in millimetres, places are written: far finer than a finger
// shows a flaw.
const nearest = 0.01

// inUnits writes lengths as a hide file does, of which a bare number is so many
// millimetres; 0: lengths bear their unit.
func inUnits(bare float64) figures {
	length := func(mm float64) string {
		if bare <= 0 {
			return strconv.Quote(strconv.FormatFloat(math.Round(mm/nearest)*nearest, 'f', 2, 64) + "mm")
		}
		return plain(mm/bare, 4) // of an inch; of a millimetre or a centimetre finer
	}
	return figures{length, length}
}

// sameBut reports whether a hide is another one and a flaw more.
func sameBut(was, now *hide.Hide, f hide.Flaw) bool {
	if described(was) != described(now) || len(now.Flaws()) != len(was.Flaws())+1 {
		return false
	}
	more := slices.Clone(now.Flaws())
	for _, old := range was.Flaws() {
		i := slices.IndexFunc(more, func(g hide.Flaw) bool { return near(old, g, 0) })
		if i < 0 {
			return false
		}
		more = slices.Delete(more, i, i+1)
	}
	return near(f, more[0], nearest)
}

// described is all that a hide file tells but for the flaws.
func described(h *hide.Hide) string {
	out := fmt.Sprint(h.Name(), h.Leather(), h.Form(), h.Outline().Corners(), h.Backbone(), h.Trim(), h.Readings(), h.Cost(), h.Stamped(), h.Bought(),
		h.From(), h.PutAway(), h.Supplier(), h.Grade())
	for _, z := range h.Zones() {
		out += fmt.Sprint(z.Quality, z.Area.Corners(), z.Turned, z.Grain)
	}
	return out
}

// near reports whether two flaws are one, their measures so many millimetres
// apart at the most.
func near(f, g hide.Flaw, tol float64) bool {
	a, b := measures(f), measures(g)
	return f.Kind == g.Kind && f.Face == g.Face && (f.Spot == nil) == (g.Spot == nil) && (f.Patch == nil) == (g.Patch == nil) &&
		slices.EqualFunc(a, b, func(x, y float64) bool { return math.Abs(x-y) <= tol })
}

func measures(f hide.Flaw) []float64 {
	var out []float64
	switch {
	case f.Spot != nil:
		return []float64{f.Spot.At[0], f.Spot.At[1], f.Spot.Diameter}
	case f.Stroke != nil:
		for _, p := range f.Stroke.Line {
			out = append(out, p[0], p[1])
		}
		return append(out, f.Stroke.Width)
	}
	for _, p := range f.Patch.Corners() { // of a ring, which begins and turns the same way for the same corners
		out = append(out, p[0], p[1])
	}
	return out
}
