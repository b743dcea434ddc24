package rack

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"strapwise/hide"
	"strapwise/hide/intake"
	"strapwise/nest/safe"
	"strapwise/nest/workshop"
)

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
