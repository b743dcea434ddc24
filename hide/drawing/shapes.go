package drawing

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"strapwise/hide/source"
)

// subpath is one line of a pen, in the units of its element.
type subpath struct {
	start  orb.Point
	curves []curve
}

// fault is a mistake in an attribute.
type fault struct{ attribute, rule string }

func (f *fault) Error() string { return f.rule }

func faulty(attribute, format string, args ...any) error {
	return &fault{attribute, fmt.Sprintf(format, args...)}
}

// draw gives the lines of a shape. The error may be a *fault.
func draw(name string, a attributes) ([]subpath, error) {
	switch name {
	case "path":
		out, err := parsePath(a["d"])
		if err != nil {
			return nil, &fault{"d", err.Error()}
		}
		return out, nil
	case "polygon":
		return polygon(a["points"])
	case "rect":
		return rectangle(a)
	default: // circle, ellipse
		return ellipse(name, a)
	}
}

// lines is a closed line through places.
func lines(pts ...orb.Point) subpath {
	s := subpath{start: pts[0]}
	for i, p := range pts {
		s.curves = append(s.curves, bezier{p, pts[(i+1)%len(pts)]})
	}
	return s
}

func polygon(text string) ([]subpath, error) {
	n, err := numbers(text)
	switch {
	case err != nil:
		return nil, &fault{"points", err.Error()}
	case len(n)%2 != 0:
		return nil, faulty("points", "found %d numbers, expected an x and a y for each corner", len(n))
	case len(n) > 2*MostCorners:
		return nil, faulty("points", "found %d corners, expected at most %d", len(n)/2, MostCorners)
	case len(n) == 0:
		return nil, nil
	}
	var pts []orb.Point
	for ; len(n) > 0; n = n[2:] {
		pts = append(pts, orb.Point{n[0], n[1]})
	}
	return []subpath{lines(pts...)}, nil
}

// lengths reads attributes in the element's own units; one left out is 0.
func (a attributes) lengths(keys ...string) ([]float64, error) {
	out := make([]float64, len(keys))
	for i, key := range keys {
		text := a[key]
		if text == "" || text == "auto" {
			continue
		}
		v, unit, err := length(text)
		if err != nil {
			return nil, &fault{key, err.Error()}
		}
		if unit != "" {
			v *= unitsOf[unit] / unitsOf["px"]
		}
		if v < 0 && key != "x" && key != "y" && key != "cx" && key != "cy" {
			return nil, faulty(key, "found %q, expected no less than nothing", source.Shorten(text, source.Quoted))
		}
		out[i] = v
	}
	return out, nil
}

// rectangle may have round corners.
func rectangle(a attributes) ([]subpath, error) {
	n, err := a.lengths("x", "y", "width", "height", "rx", "ry")
	if err != nil {
		return nil, err
	}
	x, y, w, h, rx, ry := n[0], n[1], n[2], n[3], n[4], n[5]
	if w == 0 || h == 0 { // the standard does not draw it
		return nil, nil
	}
	if a["rx"] == "" || a["rx"] == "auto" { // each stands for the other
		rx = ry
	}
	if a["ry"] == "" || a["ry"] == "auto" {
		ry = rx
	}
	rx, ry = min(rx, w/2), min(ry, h/2)
	if rx == 0 || ry == 0 {
		return []subpath{lines(orb.Point{x, y}, orb.Point{x + w, y}, orb.Point{x + w, y + h}, orb.Point{x, y + h})}, nil
	}
	p := pen{}
	p.move(orb.Point{x + rx, y})
	for _, side := range [][2]orb.Point{
		{{x + w - rx, y}, {x + w, y + ry}},
		{{x + w, y + h - ry}, {x + w - rx, y + h}},
		{{x + rx, y + h}, {x, y + h - ry}},
		{{x, y + ry}, {x + rx, y}},
	} {
		p.draw(bezier{p.at, side[0]})
		p.draw(newArc(p.at, rx, ry, 0, false, true, side[1]))
	}
	return p.out, nil
}

func ellipse(name string, a attributes) ([]subpath, error) {
	keys := []string{"cx", "cy", "rx", "ry"}
	if name == "circle" {
		keys = []string{"cx", "cy", "r", "r"}
	}
	n, err := a.lengths(keys...)
	if err != nil {
		return nil, err
	}
	at, rx, ry := orb.Point{n[0], n[1]}, n[2], n[3]
	if name == "ellipse" && (a["rx"] == "" || a["rx"] == "auto") {
		rx = ry
	}
	if name == "ellipse" && (a["ry"] == "" || a["ry"] == "auto") {
		ry = rx
	}
	if rx == 0 || ry == 0 {
		return nil, nil
	}
	start := orb.Point{at[0] + rx, at[1]}
	return []subpath{{start, []curve{arc{centre: at, u: orb.Point{rx, 0}, v: orb.Point{0, ry}, through: 2 * math.Pi, to: start}}}}, nil
}
