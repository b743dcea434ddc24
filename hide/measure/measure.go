// Package measure reads and prints the measures of the leather trade.
//
// It is the only parser of lengths, areas, thicknesses and angles. Inside the
// parser values are exact rationals; what it returns are plain float64
// millimetres and square millimetres, and an Angle.
package measure

import (
	"fmt"
	"math"
)

// System is a system of measures.
type System int

const (
	Metric System = iota // millimetres, square decimetres
	Inch                 // inches and fractions, square feet
)

// Told prints a length, given in millimetres, in full and in the unit of the system, as
// messages have it: "317.5 mm", "12.5 in".
func (s System) Told(mm float64) string {
	if s == Inch {
		return fmt.Sprintf("%.6g in", mm/MMPerInch)
	}
	return fmt.Sprintf("%.6g mm", mm)
}

// Place prints a place likewise: "(508, 304.8) mm", "(20, 12) in".
func (s System) Place(x, y float64) string {
	if s == Inch {
		return fmt.Sprintf("(%.6g, %.6g) in", x/MMPerInch, y/MMPerInch)
	}
	return fmt.Sprintf("(%.6g, %.6g) mm", x, y)
}

// Exact relations (international inch of 1959).
const (
	MMPerInch  = 25.4
	MMPerFoot  = 304.8
	MM2PerSqFt = MMPerFoot * MMPerFoot // 92 903.04 mm², 9.290304 dm²
	MM2PerDM2  = 1e4
)

// Angle is an angle in radians, anticlockwise.
type Angle float64

// Units of angle.
const (
	Radian Angle = 1
	Degree Angle = math.Pi / 180
)

// Degrees is the angle in degrees.
func (a Angle) Degrees() float64 { return float64(a / Degree) }
