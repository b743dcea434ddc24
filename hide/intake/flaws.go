package intake

import (
	"fmt"
	"slices"
	"strings"

	"strapwise/hide"
	"strapwise/hide/measure"
	"strapwise/hide/plane"
	"strapwise/hide/source"
)

func (r *reader) flaws() ([]hide.Flaw, error) {
	var out []hide.Flaw
	for i, f := range r.form.Flaws {
		read, err := r.flaw(source.Item("flaws", i), f)
		if err != nil {
			return nil, err
		}
		out = append(out, read)
	}
	return out, nil
}

func (r *reader) flaw(path string, f flaw) (out hide.Flaw, err error) {
	out.Kind = f.Kind
	switch {
	case f.Kind == "":
		return out, r.doc.Fault(path+".kind", "found no kind, expected one of "+strings.Join(r.kinds, ", "), "")
	case !slices.Contains(r.kinds, f.Kind):
		return out, r.doc.Fault(path+".kind", fmt.Sprintf("unknown kind of flaw %q, expected one of %s", f.Kind, strings.Join(r.kinds, ", ")), "name new kinds in workshop.toml")
	}
	switch f.Face {
	case "", "grain":
	case "flesh":
		out.Face = hide.Flesh
	default:
		return out, r.doc.Fault(path+".face", fmt.Sprintf("found %q, expected grain or flesh", f.Face), "")
	}
	shape, err := r.only(path, "at", "line", "area")
	if err != nil {
		return out, err
	}
	switch {
	case f.Size != nil && shape != "at":
		return out, r.doc.Fault(path+".size", fmt.Sprintf("found size with %s, expected it with at only", shape), "")
	case f.Width != nil && shape != "line":
		return out, r.doc.Fault(path+".width", fmt.Sprintf("found width with %s, expected it with line only", shape), "")
	}
	switch shape {
	case "at":
		out.Spot, err = r.spot(path, f)
	case "line":
		out.Stroke, err = r.stroke(path, f)
	case "area":
		var ring plane.Ring
		ring, err = r.ring(path+".area", f.Area)
		out.Patch = &ring
	}
	return out, err
}

func (r *reader) spot(path string, f flaw) (*hide.Spot, error) {
	at, err := r.point(path+".at", f.At)
	if err != nil {
		return nil, err
	}
	if f.Size == nil {
		return nil, r.doc.Fault(path+".size", "found no size, expected the diameter of the spot", "write size = 18")
	}
	size, err := r.length(path+".size", f.Size)
	if err != nil {
		return nil, err
	}
	return &hide.Spot{At: at, Diameter: size}, nil
}

func (r *reader) stroke(path string, f flaw) (*hide.Stroke, error) {
	line, err := r.points(path+".line", f.Line)
	if err != nil {
		return nil, err
	}
	if f.Width == nil {
		return nil, r.doc.Fault(path+".width", "found no width, expected how wide the line is", "write width = 3")
	}
	width, err := r.length(path+".width", f.Width)
	if err != nil {
		return nil, err
	}
	return &hide.Stroke{Line: line, Width: width}, nil
}

// mostCorners is the most corners of one flaw or zone: more take long to
// check, and no tape measures them.
const mostCorners = 20_000

func (r *reader) ring(path string, corners [][]any) (plane.Ring, error) {
	if len(corners) > mostCorners {
		return plane.Ring{}, r.doc.Fault(path, fmt.Sprintf("found %d corners, expected at most %d", len(corners), mostCorners), "")
	}
	points, err := r.points(path, corners)
	if err != nil {
		return plane.Ring{}, err
	}
	ring, err := plane.NewRing(points)
	if err != nil {
		return ring, r.doc.Fault(path, hide.RuleOfRing(err, r.system), "list the corners in the order in which a finger would follow the edge")
	}
	return ring, nil
}

func (r *reader) zones() ([]hide.Zone, error) {
	var out []hide.Zone
	for i, z := range r.form.Zones {
		path := source.Item("zones", i)
		quality, ok := hide.ParseQuality(z.Quality)
		if !ok {
			return nil, r.doc.Fault(path+".quality", fmt.Sprintf("found %q, expected prime, firm, soft or waste", z.Quality), "")
		}
		if !r.doc.Has(path + ".area") {
			return nil, r.doc.Fault(path+".area", "found no area, expected its corners", "")
		}
		ring, err := r.ring(path+".area", z.Area)
		if err != nil {
			return nil, err
		}
		read := hide.Zone{Quality: quality, Area: ring}
		if z.Grain != nil {
			if read.Grain, err = measure.ParseAngle(z.Grain); err != nil {
				return nil, r.doc.Wrap(path+".grain", err)
			}
			read.Turned = true
		}
		out = append(out, read)
	}
	return out, nil
}
