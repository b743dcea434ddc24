package main

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"strapwise/nest"
)

// The words in which relay is told what is cut: names from the sheet.

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
	return &usage{fmt.Sprintf("--%s: found hide %q, the plan cuts %s", flag, name, strings.Join(cutHides(b.plan), ", ")), "write the hide before the number, ash-3: 1-6"}
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
		return nil, true, &usage{fmt.Sprintf("--%s: found %q, and the plan cuts several hides: %s", flag, it.text, strings.Join(cutHides(b.plan), ", ")), "write the hide before it, " + b.plan.Hides[0].Hide + ": " + it.text}
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
func (b *bench) pieces(text string) (out []int, set bool, err error) {
	for i, p := range b.plan.Pieces {
		if is, all := b.means(text, p); is {
			out, set = append(out, i), all
		}
	}
	if len(out) == 0 {
		return nil, false, fmt.Errorf("found %q, the plan has no such piece", text)
	}
	return out, set, nil
}

// means reports whether a text names a piece, and whether it names all of its set.
func (b *bench) means(text string, p nest.Piece) (is, set bool) {
	name, in, limited := strings.Cut(text, " in ")
	want := dots.Replace(strings.Join(strings.Fields(name), " "))
	set = want == dots.Replace(fmt.Sprintf("%s·%d", p.Order, p.Set))
	is = set || want == dots.Replace(p.Name())
	return is && (!limited || b.lies(p, strings.TrimSpace(in))), set
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
	var sets []struct {
		text   string
		pieces []int
	}
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
			named := func(p nest.Piece) bool { is, _ := b.means(it.text, p); return is }
			if flag.name == "spoilt" && b.begun.Discard(named) {
				continue
			}
			ids, set, err := b.pieces(it.text)
			if err != nil {
				return &usage{fmt.Sprintf("--%s: %v", flag.name, err), "write a name from the sheet: 1-6, 7a or \"A12·3 main\""}
			}
			if set && flag.name == "spoilt" {
				sets = append(sets, struct {
					text   string
					pieces []int
				}{it.text, ids})
				continue
			}
			*flag.pieces = append(*flag.pieces, ids...)
		}
	}
	for _, p := range ripped {
		b.begun.Rip(p.hide, p.band)
	}
	for _, p := range apart {
		if !b.plan.Lay(p.hide).Bands[p.band-1].Several() {
			return &usage{fmt.Sprintf("--apart: found band %d, which on hide %s is one strip, expected one that is cut into blocks", p.band, p.hide), "--ripped tells that a band is off the hide, --cut that it is cut up"}
		}
		b.begun.CutApart(p.hide, p.band)
	}
	for _, p := range slices.Concat(cut, spoilt) {
		if p.block < 0 {
			b.begun.Cut(p.hide, p.band)
		} else {
			b.begun.CutBlock(p.hide, p.band, p.block)
		}
	}
	before := slices.Clone(b.begun.Plan.Pieces)
	for _, i := range slices.Concat(pieces, useless) {
		if err := b.begun.CutPiece(i); err != nil {
			return &usage{"--cut: " + err.Error(), ""}
		}
	}
	for i, p := range b.begun.Plan.Pieces {
		if p.Cut && !before[i].Cut && !slices.Contains(pieces, i) && !slices.Contains(useless, i) {
			b.cutToo = append(b.cutToo, p.Name())
		}
	}
	b.rippedToo = b.ripsImplied(slices.Concat(ripped, apart, cut, spoilt), slices.Concat(pieces, useless))
	for i, p := range b.plan.Pieces {
		if slices.ContainsFunc(spoilt, func(at named) bool {
			name := strconv.Itoa(at.band)
			in := b.plan.Lay(at.hide).Bands[at.band-1].Blocks
			return p.Hide == at.hide && b.lies(p, name) && (at.block < 0 || slices.Contains(in[at.block].Strips, p.Strip))
		}) {
			useless = append(useless, i)
		}
	}
	for _, set := range sets { // of a set, what is cut
		some := false
		for _, i := range set.pieces {
			if b.begun.Plan.Pieces[i].Cut {
				useless, some = append(useless, i), true
			}
		}
		if !some {
			return &usage{fmt.Sprintf("--spoilt: found %q, of which nothing is cut", set.text), "say with --cut what is cut"}
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

// offToo are bands of a hide that were not named, and come off before those that were.
type offToo struct {
	Hide  string `json:"hide"`
	Bands []int  `json:"bands"`
}

// ripsImplied are the bands that count as ripped off because of what is told, though
// neither they nor pieces on them are named.
func (b *bench) ripsImplied(told []named, pieces []int) []offToo {
	out := []offToo{}
	for _, l := range b.begun.Plan.Hides {
		off := offToo{Hide: l.Hide}
		for i, band := range l.Bands {
			n := i + 1
			if band.Cut && !b.plan.Lay(l.Hide).Bands[i].Cut &&
				!slices.ContainsFunc(told, func(at named) bool { return at.hide == l.Hide && at.band == n }) &&
				!slices.ContainsFunc(pieces, func(p int) bool {
					return b.plan.Pieces[p].Hide == l.Hide && b.lies(b.plan.Pieces[p], strconv.Itoa(n))
				}) {
				off.Bands = append(off.Bands, n)
			}
		}
		if len(off.Bands) > 0 {
			out = append(out, off)
		}
	}
	return out
}

// names are the bands in words.
func (o offToo) names() string {
	if n := len(o.Bands); n > 1 {
		last := n - 1
		return fmt.Sprintf("bands %s and %d", strings.Trim(strings.ReplaceAll(fmt.Sprint(o.Bands[:last]), " ", ", "), "[]"), o.Bands[last])
	}
	return fmt.Sprintf("band %d", o.Bands[0])
}
