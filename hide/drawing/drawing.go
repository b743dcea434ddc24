// Package drawing reads drawings in SVG (W3C, SVG 1.1 and 2), as any drawing
// program saves them, for the one closed outline that they hold, at its real size.
//
// It reads what an outline needs of the standard: the size of the drawing and its
// viewBox, groups and their transforms, path, polygon, rect, circle and ellipse.
// Words, pictures, open lines and polylines, definitions and what is not displayed
// are passed over.
package drawing

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/paulmach/orb"

	"strapwise/hide/plane"
	"strapwise/hide/source"
)

// Tolerance is how far, in millimetres, an outline may be from the curves it is
// drawn with: half the width of a scriber's line. Where a curve reaches furthest
// along x or y it has a corner, so that the rectangle round it is that of the curves.
const Tolerance = 0.05

// joined is how far apart, in millimetres, the ends of a path may lie and still be
// one place: sums of steps that a program has rounded. merged is how near two
// corners are one.
const (
	joined = 0.05
	merged = 1e-3
)

// MostCorners is how many corners an outline may have: at one to a millimetre,
// two metres round.
const MostCorners = 2000

const plainSVG = "save it as plain SVG, the outline as one path"

// Outline reads the one closed outline of a drawing; file is its name for messages.
// Coordinates are millimetres, x to the right and y upward as one looks at the
// drawing, from the lower left corner of the rectangle round the outline. The error
// is a *source.Error: for text that is no SVG, a drawing without a size in a unit,
// one that is stretched more one way than the other, no outline or several, one that
// is open, crosses itself or encloses nothing, and what the reader does not know.
func Outline(file string, data []byte) (plane.Ring, error) {
	data, err := source.Text(file, data)
	if err != nil {
		return plane.Ring{}, err
	}
	r := &reader{file: file, dec: xml.NewDecoder(bytes.NewReader(data))}
	r.dec.CharsetReader = func(_ string, in io.Reader) (io.Reader, error) { return in, nil } // it is UTF-8, whatever it says
	if err := r.all(); err != nil {
		return plane.Ring{}, err
	}
	switch len(r.found) {
	case 1:
		return r.ring(r.found[0])
	case 0:
		return plane.Ring{}, r.fault(0, "", "found no outline, expected one path, polygon, rect, circle or ellipse", "words and open lines are passed over; "+plainSVG)
	}
	return plane.Ring{}, r.fault(r.found[1].line, "", fmt.Sprintf("found %s, expected one; the first is in line %d", source.Count(len(r.found), "outline"), r.found[0].line),
		"a template is one outline without holes; hide or delete what else is drawn")
}

// outline is one that was found: what it is drawn with, in millimetres.
type outline struct {
	line   int
	name   string // of its element
	start  orb.Point
	curves []curve
}

// reader reads a drawing from its beginning to its end.
type reader struct {
	file  string
	dec   *xml.Decoder
	line  int // where the element at hand begins
	found []outline
}

func (r *reader) fault(line int, path, rule, hint string) error {
	return &source.Error{File: r.file, Line: line, Path: path, Rule: rule, Hint: hint}
}

// here is the error for an attribute of the element at hand.
func (r *reader) here(path, rule, hint string) error { return r.fault(r.line, path, rule, hint) }

// next gives the next token, and notes where it begins.
func (r *reader) next() (xml.Token, error) {
	r.line, _ = r.dec.InputPos()
	token, err := r.dec.Token()
	var syntax *xml.SyntaxError
	switch {
	case err == nil:
		return token, nil
	case errors.As(err, &syntax):
		return nil, r.fault(syntax.Line, "", "is not XML: "+syntax.Msg, plainSVG)
	case errors.Is(err, io.EOF):
		return nil, io.EOF
	}
	return nil, r.here("", "is not XML: "+err.Error(), plainSVG)
}

// skip passes over the element at hand.
func (r *reader) skip() error {
	for depth := 1; depth > 0; {
		token, err := r.next()
		if errors.Is(err, io.EOF) {
			return nil // the decoder has said what is not closed
		}
		if err != nil {
			return err
		}
		switch token.(type) {
		case xml.StartElement:
			depth++
		case xml.EndElement:
			depth--
		}
	}
	return nil
}

// standard is the namespace of SVG.
const standard = "http://www.w3.org/2000/svg"

// all reads the drawing.
func (r *reader) all() error {
	var open []affine // the transforms of the elements that are open, each with those round it
	for {
		token, err := r.next()
		switch {
		case errors.Is(err, io.EOF) && open == nil:
			return r.fault(0, "", "found nothing, expected a drawing in SVG", "")
		case errors.Is(err, io.EOF):
			return nil
		case err != nil:
			return err
		}
		switch t := token.(type) {
		case xml.StartElement:
			if open == nil {
				size, err := r.root(t)
				if err != nil {
					return err
				}
				open = []affine{size}
				continue
			}
			if len(open) == 0 {
				return r.here("", "found a second drawing, expected one", "")
			}
			inner, enters, err := r.element(t, open[len(open)-1])
			if err != nil {
				return err
			}
			if enters {
				open = append(open, inner)
			} else if err := r.skip(); err != nil {
				return err
			}
		case xml.EndElement:
			open = open[:len(open)-1]
		}
	}
}

// element reads an element, and says whether what is in it is to be read.
func (r *reader) element(t xml.StartElement, round affine) (affine, bool, error) {
	a := attributesOf(t)
	if t.Name.Space != standard && t.Name.Space != "" || a.hidden() {
		return round, false, nil
	}
	name := t.Name.Local
	switch name {
	case "use":
		return round, false, r.here(name, "found a copy of something drawn elsewhere, expected it drawn in its place", "unlink clones, or "+plainSVG)
	case "svg":
		return round, false, r.here(name, "found a drawing within the drawing, expected one", plainSVG)
	case "g", "a", "switch", "path", "polygon", "rect", "circle", "ellipse":
	default:
		return round, false, nil
	}
	if strings.Contains(a["style"], "transform") {
		return round, false, r.here(name+".style", "found a transform in a style, expected it as an attribute", plainSVG)
	}
	if text, given := a["transform"]; given {
		own, err := parseTransform(text)
		if err != nil {
			return round, false, r.here(name+".transform", err.Error(), plainSVG)
		}
		round = round.after(own)
	}
	if name == "g" || name == "a" || name == "switch" {
		return round, true, nil
	}
	drawn, err := draw(name, a)
	if err != nil {
		var f *fault
		if errors.As(err, &f) && f.attribute != "" {
			name += "." + f.attribute
		}
		return round, false, r.here(name, err.Error(), "")
	}
	for _, s := range drawn {
		if len(s.curves) == 0 {
			continue // a pen that only moved
		}
		o := outline{line: r.line, name: name, start: round.of(s.start)}
		for _, c := range s.curves {
			o.curves = append(o.curves, c.moved(round))
		}
		r.found = append(r.found, o)
	}
	return round, false, nil
}

// ring is the outline with its curves as corners.
func (r *reader) ring(o outline) (plane.Ring, error) {
	no := func(rule, hint string) (plane.Ring, error) { return plane.Ring{}, r.fault(o.line, o.name, rule, hint) }
	corners := []orb.Point{o.start}
	for _, c := range o.curves {
		more := steps(c, Tolerance)
		if !(more <= float64(MostCorners-len(corners))) {
			return no(fmt.Sprintf("found an outline of more than %d corners, expected a simpler or smaller one", MostCorners), "simplify the path")
		}
		corners = flatten(corners, c, int(more))
	}
	if gap := apart(corners[0], corners[len(corners)-1]); !(gap <= joined) {
		return no(fmt.Sprintf("found an open line, its ends %.4g mm apart, expected a closed outline", gap), "close the path, or end it with z")
	}
	var kept []orb.Point
	for _, p := range corners {
		p[1] = -p[1]
		if len(kept) == 0 || apart(kept[len(kept)-1], p) > merged {
			kept = append(kept, p)
		}
	}
	for len(kept) > 1 && apart(kept[0], kept[len(kept)-1]) <= joined {
		kept = kept[:len(kept)-1]
	}
	low := orb.MultiPoint(kept).Bound().Min
	for i := range kept {
		kept[i] = orb.Point{kept[i][0] - low[0], kept[i][1] - low[1]}
	}
	ring, err := plane.NewRing(kept)
	switch {
	case errors.Is(err, plane.ErrCorners):
		return no("found a line, expected an outline that encloses something", "")
	case errors.As(err, new(*plane.Crossing)):
		return no(err.Error()+", from the lower left corner of the rectangle round it", "")
	case err != nil:
		return no(err.Error(), "")
	}
	return ring, nil
}
