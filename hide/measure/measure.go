// Package measure reads and prints the measures of the leather trade.
//
// It is the only parser of lengths, areas, thicknesses and angles. Inside the
// parser values are exact rationals; what it returns are plain float64
// millimetres and square millimetres, and an Angle.
package measure

import "math"

// System is a system of measures.
type System int

const (
	Metric System = iota // millimetres, square decimetres
	Inch                 // inches and fractions, square feet
)

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
