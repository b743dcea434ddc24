package rack

import (
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"strapwise/hide"
	"strapwise/hide/intake"
	"strapwise/nest/safe"
	"strapwise/nest/workshop"
)

// kept is what there is to say of a remnant, and whether it is worth a place on the
// rack: not if it is smaller than the workshop's least, nor if the trim leaves
// nothing of it.
func (c *cutting) kept(h *hide.Hide, outline []orb.Point) (spec hide.Spec, worth bool, err error) {
	if areaOf(outline) < c.rack.Shop.Least {
		return spec, false, nil
	}
	spec, err = h.Part(outline)
	if f, ok := errors.AsType[*hide.Fault](err); ok && f.Path == "trim" {
		return spec, false, nil
	}
	spec.From, spec.PutAway = h.Name(), c.on
	return spec, true, err
}

// back names a remnant and writes its file.
func (c *cutting) back(rest left) (*hide.Hide, []byte, error) {
	spec := rest.spec
	spec.Name = c.nextName(spec.From)
	h, err := hide.New(spec)
	if err != nil {
		return nil, nil, err
	}
	text := intake.Write(h, fmt.Sprintf("What plan %s left of %s: remnant %d of its sheet.", c.mark, spec.From, rest.n))
	file := workshop.HideFile(spec.Name)
	if h, err = c.rack.Shop.Hide(file, text, spec.Name); err != nil { // it must read as it was written
		return nil, nil, err
	}
	c.named = append(c.named, spec.Name)
	c.files = append(c.files, safe.File{Name: file, Data: text})
	return h, text, nil
}

// restName is what remnants are called: after the hide that was bought.
var restName = regexp.MustCompile(`-r[0-9]+$`)

// nextName is the first name for a remnant that never was in use: ash-3-r1, ash-3-r2
// are remnants of ash-3, and so are those of its remnants.
func (c *cutting) nextName(from string) string {
	stem := from
	if h := c.rack.hide(from); h != nil && h.Form() == hide.Remnant {
		stem = restName.ReplaceAllString(from, "")
	}
	for n := 1; ; n++ {
		name := fmt.Sprintf("%s-r%d", stem, n)
		taken := slices.ContainsFunc(c.named, func(other string) bool { return strings.EqualFold(other, name) })
		if !taken && !c.rack.used(name) {
			return name
		}
	}
}
