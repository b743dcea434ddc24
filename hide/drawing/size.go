package drawing

import (
	"encoding/xml"
	"fmt"
	"math"
	"strings"

	"strapwise/hide/measure"
	"strapwise/hide/source"
)

// attributes of an element, by name; those of other namespaces are left out.
type attributes map[string]string

func attributesOf(t xml.StartElement) attributes {
	a := attributes{}
	for _, x := range t.Attr {
		if x.Name.Space == "" {
			a[x.Name.Local] = strings.TrimSpace(x.Value)
		}
	}
	return a
}

// hidden reports whether the element is not displayed.
func (a attributes) hidden() bool {
	return a["display"] == "none" || strings.Contains(strings.ReplaceAll(a["style"], " ", ""), "display:none")
}

// unitsOf are the units of the standard in millimetres: CSS Values and Units, in
// which 1in = 2.54cm = 25.4mm = 96px = 72pt = 6pc.
var unitsOf = map[string]float64{
	"mm": 1, "cm": 10, "in": measure.MMPerInch,
	"px": measure.MMPerInch / 96, "pt": measure.MMPerInch / 72, "pc": measure.MMPerInch / 6,
}

const wantedUnit = "expected a length in mm, cm, in, pt, pc or px"

// length reads "210mm"; unit is empty for a bare number.
func length(text string) (v float64, unit string, err error) {
	s := scanner{text: text}
	v, err = s.number()
	if err != nil {
		return 0, "", err
	}
	unit = strings.TrimSpace(text[s.at:])
	if _, known := unitsOf[unit]; unit != "" && !known {
		return 0, "", fmt.Errorf("found %q, %s", source.Shorten(text, source.Quoted), wantedUnit)
	}
	return v, unit, nil
}

// stretched is how much more, in parts, a drawing may be drawn out one way than the
// other: figures that a program has rounded. Over 500 mm it makes 0.05 mm.
const stretched = 1e-4

// root reads the outermost element: how its coordinates become millimetres.
func (r *reader) root(t xml.StartElement) (affine, error) {
	if t.Name.Local != "svg" || t.Name.Space != standard && t.Name.Space != "" {
		return affine{}, r.here("", fmt.Sprintf("found the element %s, expected a drawing in SVG", source.Shorten(t.Name.Local, source.Quoted)), "")
	}
	a := attributesOf(t)
	var size [2]float64 // mm
	for i, key := range []string{"width", "height"} {
		text := a[key]
		if text == "" {
			return affine{}, r.here("svg."+key, "found no "+key+" of the drawing, "+wantedUnit, "it says how large the drawing is: width=\"210mm\" height=\"297mm\"")
		}
		v, unit, err := length(text)
		switch {
		case err != nil:
			return affine{}, r.here("svg."+key, err.Error(), "")
		case unit == "":
			return affine{}, r.here("svg."+key, fmt.Sprintf("found %q without a unit, %s", source.Shorten(text, source.Quoted), wantedUnit), "programs differ in what they take a bare number for")
		case !(v > 0):
			return affine{}, r.here("svg."+key, fmt.Sprintf("found %q, expected more than nothing", source.Shorten(text, source.Quoted)), "")
		}
		size[i] = v * unitsOf[unit]
	}
	scale, from := unitsOf["px"], [2]float64{}
	if text, given := a["viewBox"]; given {
		box, err := numbers(text)
		if err == nil && (len(box) != 4 || !(box[2] > 0 && box[3] > 0)) {
			err = fmt.Errorf("found %q, expected x, y, width and height", source.Shorten(text, source.Quoted))
		}
		if err != nil {
			return affine{}, r.here("svg.viewBox", err.Error(), "")
		}
		x, y := size[0]/box[2], size[1]/box[3]
		if !(math.Abs(x-y) <= stretched*min(x, y)) {
			return affine{}, r.here("svg.viewBox", fmt.Sprintf("found %.6g mm to a unit across and %.6g upright, expected the same both ways", x, y), "make width and height fit the viewBox")
		}
		scale, from = min(x, y), [2]float64{box[0], box[1]} // xMidYMid meet, as the standard has it
	}
	if a["transform"] != "" {
		return affine{}, r.here("svg.transform", "found a transform of the whole drawing, expected it on a group", plainSVG)
	}
	return affine{scale, 0, 0, scale, -from[0] * scale, -from[1] * scale}, nil
}
