package intake

import (
	"fmt"

	"github.com/paulmach/orb"

	"strapwise/hide/source"
)

// outline reads the corners, in whichever form they are given.
func (r *reader) outline() ([]orb.Point, error) {
	key, err := r.only("", "outline", "stations", "size")
	switch {
	case err != nil:
		return nil, err
	case key == "stations":
		return r.stations()
	case key == "size":
		return r.size()
	}
	return r.points("outline", r.form.Outline)
}

// stations makes an outline of measurements across, taken along the backbone
// edge. Between stations the edge runs straight:
//
//	y        to
//	│     ___•____
//	│  •‾‾        ‾‾‾‾•
//	│  │      │       │
//	│  •______•_______•      at counts along x
//	└──────────from────────
func (r *reader) stations() ([]orb.Point, error) {
	if n := len(r.form.Stations); n < 2 {
		return nil, r.doc.Fault("stations", fmt.Sprintf("found %s, expected at least 2", source.Count(n, "station")), "measure at both ends at least")
	}
	var near, far []orb.Point
	for i, s := range r.form.Stations {
		path := source.Item("stations", i)
		if s.At == nil || s.To == nil {
			return nil, r.doc.Fault(path, "found no at or no to, expected both", "write {at = 300, from = 0, to = 610}")
		}
		at, err := r.coordinate(path+".at", s.At)
		if err != nil {
			return nil, err
		}
		from := 0.0
		if s.From != nil {
			if from, err = r.coordinate(path+".from", s.From); err != nil {
				return nil, err
			}
		}
		to, err := r.coordinate(path+".to", s.To)
		switch {
		case err != nil:
			return nil, err
		case !(from < to):
			return nil, r.doc.Fault(path+".to", fmt.Sprintf("found %s, expected more than from, which is %s", r.told(s.To, to), r.told(s.From, from)), "where the hide ends in a point, let the last station stand a little before it")
		case i > 0 && !(near[i-1][0] < at):
			return nil, r.doc.Fault(path+".at", fmt.Sprintf("found %s, expected more than at the station before, which is at %s", r.told(s.At, at), r.told(r.form.Stations[i-1].At, near[i-1][0])), "list the stations in order along the backbone")
		}
		near = append(near, orb.Point{at, from})
		far = append(far, orb.Point{at, to})
	}
	for i := len(far) - 1; i >= 0; i-- {
		near = append(near, far[i])
	}
	return near, nil
}

// told is a length as it is written, if that has its unit.
func (r *reader) told(v any, mm float64) string {
	if text, ok := v.(string); ok && r.bare == 0 {
		return text
	}
	return r.system.Told(mm)
}

// size makes the rectangle of a first estimate.
func (r *reader) size() ([]orb.Point, error) {
	if n := len(r.form.Size); n != 2 {
		return nil, r.doc.Fault("size", fmt.Sprintf("found %s, expected 2: along the backbone and across", source.Count(n, "length")), `write ["52in", "26in"]`)
	}
	var mm [2]float64
	for i, v := range r.form.Size {
		var err error
		path := source.Item("size", i)
		if mm[i], err = r.length(path, v); err != nil {
			return nil, err
		}
		if mm[i] == 0 {
			return nil, r.doc.Fault(path, "found 0, expected a length above 0", "")
		}
	}
	return []orb.Point{{0, 0}, {mm[0], 0}, {mm[0], mm[1]}, {0, mm[1]}}, nil
}
