package main

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/paulmach/orb"

	"strapwise/hide"
	"strapwise/hide/measure"
	"strapwise/hide/plane"
	"strapwise/nest"
	"strapwise/report"
)

// The words in which relay is told what is cut and what was found.

// item is a name of a list, and the hide it is on.
type item struct{ hide, text string }

// items takes lists of names apart: "ash-3: 1-6, 8". A hide holds for all names
// up to the next; where the plan cuts one hide, none need be given.
func (b *bench) items(flag string, lists []string) ([]item, error) {
	var out []item
	for _, list := range lists {
		on := ""
		if len(b.plan.Hides) == 1 {
			on = b.plan.Hides[0].Hide
		}
		for _, text := range strings.Split(list, ",") {
			if name, rest, prefixed := strings.Cut(text, ":"); prefixed {
				if on, text = strings.TrimSpace(name), rest; b.plan.Lay(on) == nil {
					return nil, b.noHide(flag, on)
				}
			}
			if text = strings.TrimSpace(text); text == "" {
				return nil, &usage{fmt.Sprintf("--%s: found an empty name in %q", flag, list), "write 1-6 or 7a"}
			}
			out = append(out, item{on, text})
		}
	}
	return out, nil
}

func (b *bench) noHide(flag, name string) error {
	return &usage{fmt.Sprintf("--%s: found hide %q, the plan cuts %s", flag, name, strings.Join(b.cutHides(), ", ")), "write the hide before the number, ash-3: 1-6"}
}

func (b *bench) cutHides() []string {
	names := []string{}
	for _, l := range b.plan.Hides {
		names = append(names, l.Hide)
	}
	return names
}

var (
	upTo   = regexp.MustCompile(`^to\s+(\d+)$`)
	fromTo = regexp.MustCompile(`^(\d+)\s*[-–]\s*(\d+)$`)
	single = regexp.MustCompile(`^\d+[a-z]*$`)
)

// named is a band, or a block of one by index; block -1: the whole band.
type named struct {
	hide        string
	band, block int
}

// places reads an item as bands or a block; some is false if it is neither, and
// may be a piece.
func (b *bench) places(flag string, it item) (out []named, some bool, err error) {
	lo, hi := "", ""
	switch m := fromTo.FindStringSubmatch(it.text); {
	case m != nil:
		lo, hi = m[1], m[2]
	case upTo.MatchString(it.text):
		lo, hi = "1", upTo.FindStringSubmatch(it.text)[1]
	case single.MatchString(it.text):
		lo, hi = it.text, it.text
	default:
		return nil, false, nil
	}
	if it.hide == "" {
		return nil, true, &usage{fmt.Sprintf("--%s: found %q, and the plan cuts several hides: %s", flag, it.text, strings.Join(b.cutHides(), ", ")), "write the hide before it, " + b.plan.Hides[0].Hide + ": " + it.text}
	}
	first, block, err := b.plan.Named(it.hide, lo)
	if err != nil {
		return nil, true, &usage{fmt.Sprintf("--%s: %v", flag, err), "the numbers are those on the sheet of this plan"}
	}
	if lo == hi {
		return []named{{it.hide, first, block}}, true, nil
	}
	last, _, err := b.plan.Named(it.hide, hi)
	if err == nil && last < first {
		err = fmt.Errorf("found %q, expected the lesser number first", it.text)
	}
	if err != nil {
		return nil, true, &usage{fmt.Sprintf("--%s: %v", flag, err), "the numbers are those on the sheet of this plan"}
	}
	for n := first; n <= last; n++ {
		out = append(out, named{it.hide, n, -1})
	}
	return out, true, nil
}

// dots puts the signs that may stand between order and set into one.
var dots = strings.NewReplacer("·", "/", ".", "/", " / ", "/")

// pieces gives the pieces of the plan, as indices, that a text names: "A12·3 main",
// also written A12.3 or A12/3, "A12·3 filler in 7a", or "A12·3" for all of a set.
func (b *bench) pieces(text string) ([]int, error) {
	name, in, limited := strings.Cut(text, " in ")
	want := dots.Replace(strings.Join(strings.Fields(name), " "))
	var out []int
	for i, p := range b.plan.Pieces {
		full := dots.Replace(p.Name())
		set := dots.Replace(fmt.Sprintf("%s·%d", p.Order, p.Set))
		if want != full && want != set {
			continue
		}
		if limited && !b.lies(p, strings.TrimSpace(in)) {
			continue
		}
		out = append(out, i)
	}
	if len(out) == 0 {
		return nil, fmt.Errorf("found %q, the plan has no such piece", text)
	}
	return out, nil
}

// lies reports whether a piece lies in the band or block of that name.
func (b *bench) lies(p nest.Piece, name string) bool {
	band, block, err := b.plan.Named(p.Hide, name)
	if err != nil {
		return false
	}
	for k, made := range b.plan.Lay(p.Hide).Bands[band-1].Blocks {
		if (block < 0 || block == k) && slices.Contains(made.Strips, p.Strip) {
			return true
		}
	}
	return false
}

// mark marks what the flags say is cut.
func (b *bench) mark(f relayFlags) error {
	var cut, apart, ripped, spoilt []named
	var pieces, useless []int
	for _, flag := range []struct {
		name   string
		lists  []string
		places *[]named
		pieces *[]int // nil: none may be named
	}{
		{"ripped", f.ripped, &ripped, nil},
		{"apart", f.apart, &apart, nil},
		{"cut", f.cut, &cut, &pieces},
		{"spoilt", f.spoilt, &spoilt, &useless},
	} {
		items, err := b.items(flag.name, flag.lists)
		if err != nil {
			return err
		}
		for _, it := range items {
			places, some, err := b.places(flag.name, it)
			switch {
			case err != nil:
				return err
			case some:
				*flag.places = append(*flag.places, places...)
				continue
			case flag.pieces == nil:
				return &usage{fmt.Sprintf("--%s: found %q, expected a band", flag.name, it.text), "write 7, 7-9 or to 9"}
			}
			ids, err := b.pieces(it.text)
			if err != nil {
				return &usage{fmt.Sprintf("--%s: %v", flag.name, err), "write a name from the sheet: 1-6, 7a or \"A12·3 main\""}
			}
			*flag.pieces = append(*flag.pieces, ids...)
		}
	}
	for _, p := range ripped {
		b.begun.Rip(p.hide, p.band)
	}
	for _, p := range apart {
		b.begun.CutApart(p.hide, p.band)
	}
	for _, p := range slices.Concat(cut, spoilt) {
		if p.block < 0 {
			b.begun.Cut(p.hide, p.band)
		} else {
			b.begun.CutBlock(p.hide, p.band, p.block)
		}
	}
	for _, i := range pieces {
		if err := b.begun.CutPiece(i); err != nil {
			return &usage{"--cut: " + err.Error(), ""}
		}
	}
	for i, p := range b.plan.Pieces {
		if slices.ContainsFunc(spoilt, func(at named) bool {
			name := strconv.Itoa(at.band)
			in := b.plan.Lay(at.hide).Bands[at.band-1].Blocks
			return p.Hide == at.hide && b.lies(p, name) && (at.block < 0 || slices.Contains(in[at.block].Strips, p.Strip))
		}) {
			useless = append(useless, i)
		}
	}
	slices.Sort(useless)
	for _, i := range slices.Backward(slices.Compact(useless)) { // the last first, since each is taken out
		if err := b.begun.Spoil(i); err != nil {
			return &usage{"--spoilt: " + err.Error(), ""}
		}
	}
	return nil
}

// find is a flaw that was met.
type find struct {
	hide, where string
	flaw        hide.Flaw
}

// name is the word for the flaw, as sheets have it.
func (f find) name() string {
	if f.flaw.Face == hide.Flesh {
		return "flesh " + f.flaw.Kind
	}
	return f.flaw.Kind
}

var (
	onHide   = regexp.MustCompile(`^([^:]+):\s*(.*)$`)
	onFlesh  = regexp.MustCompile(`^flesh\s+(.*)$`)
	onBand   = regexp.MustCompile(`^(\S+)\s+on\s+(?:band\s+|block\s+)?(\d+[a-z]*)\s*,\s*(.+?)\s+to\s+(.+?)(?:\s+from\s+.*)?$`)
	atPlace  = regexp.MustCompile(`^(\S+)\s+at\s+(.+?)\s*,?\s+size\s+(.+)$`)
	alongWay = regexp.MustCompile(`^(\S+)\s+from\s+(.+?)(?:\s*,?\s+width\s+(.+))?$`)
)

// hairline is the width, in millimetres, of a stroke of which none is told, as in
// hide files.
const hairline = 1

// readFind reads what was found, and where.
func (b *bench) readFind(text string) (find, error) {
	wrong := func(what string) error {
		return &usage{"--found: " + what, `write "scar on band 7, 310 to 340 mm" or "hole at 410, 220 mm size 12 mm"`}
	}
	f, rest := find{}, strings.TrimSpace(text)
	if m := onHide.FindStringSubmatch(rest); m != nil {
		f.hide, rest = strings.TrimSpace(m[1]), m[2]
	} else if len(b.plan.Hides) == 1 {
		f.hide = b.plan.Hides[0].Hide
	}
	switch {
	case f.hide == "":
		return f, &usage{fmt.Sprintf("--found: found no hide in %q, and the plan cuts several: %s", text, strings.Join(b.cutHides(), ", ")), "write it first, " + b.plan.Hides[0].Hide + ": " + text}
	case b.job.Hide(f.hide) == nil:
		return f, b.noHide("found", f.hide)
	}
	if m := onFlesh.FindStringSubmatch(rest); m != nil {
		f.flaw.Face, rest = hide.Flesh, m[1]
	}
	if m := onBand.FindStringSubmatch(rest); m != nil {
		f.flaw.Kind = m[1]
		return b.onSheet(f, m[2], m[3], m[4], wrong)
	}
	if m := atPlace.FindStringSubmatch(rest); m != nil {
		f.flaw.Kind, f.where = m[1], "at "+m[2]
		at, err := points(m[2])
		if err != nil || len(at) != 1 {
			return f, wrong(fmt.Sprintf("found %q, expected a place such as 410, 220 mm%s", m[2], because(err)))
		}
		size, err := measure.Length(m[3], 0)
		if err != nil {
			return f, wrong(err.Error())
		}
		f.flaw.Spot = &hide.Spot{At: at[0], Diameter: size}
		return f, nil
	}
	if m := alongWay.FindStringSubmatch(rest); m != nil {
		f.flaw.Kind, f.where = m[1], "from "+m[2]
		line, err := points(m[2])
		if err != nil || len(line) < 2 {
			return f, wrong(fmt.Sprintf("found %q, expected places such as 200, 90 to 320, 130 mm%s", m[2], because(err)))
		}
		width := float64(hairline)
		if m[3] != "" {
			if width, err = measure.Length(m[3], 0); err != nil {
				return f, wrong(err.Error())
			}
		}
		f.flaw.Stroke = &hide.Stroke{Line: line, Width: width}
		return f, nil
	}
	return f, wrong(fmt.Sprintf("found %q, expected a kind of flaw and where it is", text))
}

func because(err error) string {
	if err == nil {
		return ""
	}
	return ": " + err.Error()
}

// onSheet is a flaw over the depth of a band or block, from one mark to another.
func (b *bench) onSheet(f find, name, from, to string, wrong func(string) error) (find, error) {
	band, block, err := b.plan.Named(f.hide, name)
	if err != nil {
		return f, &usage{"--found: " + err.Error(), "the numbers are those on the sheet of this plan"}
	}
	lo, err := measure.Length(withUnit(from, to), 0)
	if err != nil {
		return f, wrong(err.Error())
	}
	hi, err := measure.Length(to, 0)
	if err != nil {
		return f, wrong(err.Error())
	}
	if !(hi > lo) {
		return f, wrong(fmt.Sprintf("found %s to %s, expected the lesser mark first", from, to))
	}
	corners, err := report.Stretch(b.job, b.plan, f.hide, b.shop.Rule, band, block, lo, hi)
	if err != nil {
		return f, wrong(err.Error())
	}
	patch, err := plane.NewRing(corners)
	if err != nil {
		return f, wrong(err.Error())
	}
	f.flaw.Patch = &patch
	f.where = fmt.Sprintf("band %s, %s to %s", name, from, to)
	return f, nil
}

// points reads places, parted by "to": "200, 90 to 320, 130 mm". A number without
// a unit has that of the next one with one.
func points(text string) ([]orb.Point, error) {
	var words []string
	for _, p := range strings.Split(text, " to ") {
		xy := strings.Split(p, ",")
		if len(xy) != 2 {
			return nil, fmt.Errorf("found %q, expected x and y", p)
		}
		words = append(words, strings.TrimSpace(xy[0]), strings.TrimSpace(xy[1]))
	}
	for i := len(words) - 2; i >= 0; i-- {
		words[i] = withUnit(words[i], words[i+1])
	}
	var out []orb.Point
	for i := 0; i < len(words); i += 2 {
		var p orb.Point
		for j := range p {
			mm, err := measure.Coordinate(words[i+j], 0)
			if err != nil {
				return nil, err
			}
			p[j] = mm
		}
		out = append(out, p)
	}
	return out, nil
}

var unit = regexp.MustCompile(`(?:[a-zA-Z]+|["'″′])$`)

// withUnit is a number with the unit of the next, if it has none of its own.
func withUnit(number, next string) string {
	if u := unit.FindString(strings.TrimSpace(next)); u != "" && !unit.MatchString(strings.TrimSpace(number)) {
		return strings.TrimSpace(number) + u
	}
	return number
}
