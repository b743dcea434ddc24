package hide

import "math"

// Band is a grade of leather by its cutting value: 100 less the share of its
// area, in per cent, that lies in flaws.
type Band struct {
	Grade string
	Least float64 // the lowest cutting value of the grade
	Mean  float64
}

// Bands are the grades, best first (SATRA bulletin articles on leather grading;
// where a band's lower edge is not printed it is taken half way to the next mean).
// Below the last there is no grade.
func Bands() []Band {
	return []Band{
		{"A", 95, 97},
		{"B", 90, 93},
		{"C", 85.5, 88},
		{"D", 80.5, 83},
		{"E", 75.5, 78},
		{"F", 70, 73},
	}
}

// BandOf is the band that a cutting value falls in, or false below all of them.
func BandOf(value float64) (Band, bool) {
	for _, b := range Bands() {
		if value >= b.Least {
			return b, true
		}
	}
	return Band{}, false
}

// MarkedOff is how far round a flaw a grader counts the leather as lost with it,
// in millimetres: no knife goes nearer. Nobody prints the figure: an assumption.
const MarkedOff = 10

// Marked is the area that is lost with the flaw when so much is marked off all
// round it, in mm²: exact for round flaws, long ones and what bulges everywhere,
// a little too much for patches with bays.
func (f Flaw) Marked(round float64) float64 {
	switch {
	case f.Spot != nil:
		r := f.Spot.Diameter / 2
		return math.Pi * (r + round) * (r + round)
	case f.Stroke != nil:
		long := 0.0
		for i := 1; i < len(f.Stroke.Line); i++ {
			a, b := f.Stroke.Line[i-1], f.Stroke.Line[i]
			long += math.Hypot(b[0]-a[0], b[1]-a[1])
		}
		reach := f.Stroke.Width/2 + round
		return 2*long*reach + math.Pi*reach*reach
	case f.Patch != nil:
		edge := 0.0
		for i := range f.Patch.Len() {
			a, b := f.Patch.Corner(i), f.Patch.Corner(i+1)
			edge += math.Hypot(b[0]-a[0], b[1]-a[1])
		}
		return f.Patch.Area() + edge*round + math.Pi*round*round
	}
	return 0
}

// CuttingValue is 100 less the share of the hide's area that its flaws take when
// so much is marked off round each, in per cent, and not below 0. Where flaws
// overlap, the place counts for each of them.
func (h *Hide) CuttingValue(round float64) float64 {
	lost := 0.0
	for _, f := range h.spec.Flaws {
		lost += f.Marked(round)
	}
	return max(0, 100*(1-lost/h.Area()))
}
