package main

import (
	"fmt"
	"regexp"
	"strings"

	"github.com/paulmach/orb"

	"strapwise/hide"
	"strapwise/hide/measure"
	"strapwise/hide/plane"
	"strapwise/report"
)

// The words in which relay is told what was found.

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
	asTold   = regexp.MustCompile(`^(.+?)\s+on\s+([^\s,]+)\s*,?\s+(band|block|at|from)\s(.*)$`)
	onFlesh  = regexp.MustCompile(`^flesh\s+(.*)$`)
	onBand   = regexp.MustCompile(`^(\S.*?)\s+on\s+(?:band\s+|block\s+)?(\d+[a-z]*)\s*,\s*(.+?)\s+to\s+(.+?)(?:\s+from\s+.*)?$`)
	atPlace  = regexp.MustCompile(`^(\S.*?)\s+at\s+(.+?)(?:\s*,\s*|\s+)size\s+(.+)$`)
	alongWay = regexp.MustCompile(`^(\S.*?)\s+from\s+(.+?)(?:(?:\s*,\s*|\s+)width\s+(.+))?$`)
)

// readFind reads what was found, and where: the hide first, or as relay itself tells it,
// "scar on ash-1, band 6, 12 to 13 in".
func (b *bench) readFind(text string) (find, error) {
	wrong := func(what string) error {
		return &usage{"--found: " + what, `write "scar on band 7, 310 to 340 mm" or "hole at 410, 220 mm size 12 mm"`}
	}
	f, rest := find{}, strings.TrimSpace(text)
	if m := onHide.FindStringSubmatch(rest); m != nil {
		f.hide, rest = strings.TrimSpace(m[1]), m[2]
	} else if m := asTold.FindStringSubmatch(rest); m != nil && b.job.Hide(m[2]) != nil {
		f.hide, rest = m[2], m[1]+" "+m[3]+" "+m[4]
		if m[3] == "band" || m[3] == "block" {
			rest = m[1] + " on " + m[3] + " " + m[4]
		}
	} else if len(b.plan.Hides) == 1 {
		f.hide = b.plan.Hides[0].Hide
	}
	switch {
	case f.hide == "":
		return f, &usage{fmt.Sprintf("--found: found no hide in %q, and the plan cuts several: %s", text, strings.Join(cutHides(b.plan), ", ")), "write it first, " + b.plan.Hides[0].Hide + ": " + text}
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
		if m[3] == "" {
			return f, &usage{fmt.Sprintf("--found: found no width in %q, expected how wide it is", text), "write it last: " + text + " width 3 mm"}
		}
		width, err := measure.Length(m[3], 0)
		if err != nil {
			return f, wrong(err.Error())
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
	f.where = fmt.Sprintf("%s %s, %s to %s", map[bool]string{true: "band", false: "block"}[block < 0], name, from, to)
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
