package hide

import (
	"slices"

	"strapwise/hide/measure"
)

// Quality grades leather, best highest.
type Quality int

// The qualities, worst first. Leather in no zone is Firm.
const (
	Waste Quality = iota
	Soft
	Firm
	Prime
)

var qualityNames = []string{"waste", "soft", "firm", "prime"}

// String is the name that files use.
func (q Quality) String() string { return qualityNames[q] }

// ParseQuality reads a quality's name as files write it.
func ParseQuality(s string) (Quality, bool) {
	i := slices.Index(qualityNames, s)
	return Quality(i), i >= 0
}

// Use says what the leather of a piece must have.
type Use struct {
	Name      string
	Quality   Quality       // the least that serves
	Flaws     []string      // kinds that a piece of this use may contain, sorted
	Angle     measure.Angle // the most that a piece may turn off the grain
	Substance *Substance    // the thickness asked for; nil: any
}

// Substance is a range of thickness in millimetres.
type Substance struct{ From, To float64 }

// Refuses reports whether no piece of this use may touch the flaw.
func (u Use) Refuses(f Flaw) bool { return !slices.Contains(u.Flaws, f.Kind) }

// RefusesZone reports whether no piece of this use that lies at angle off the
// backbone may touch the zone.
func (u Use) RefusesZone(z Zone, angle measure.Angle) bool {
	return z.Quality < u.Quality || z.Turned && Off(angle, z.Grain) > u.Angle
}

// RefusesThickness reports whether leather of so many millimetres is outside
// the substance that the use asks for.
func (u Use) RefusesThickness(mm float64) bool {
	return u.Substance != nil && (mm < u.Substance.From || mm > u.Substance.To)
}

// Off is the acute angle between two directions.
func Off(a, b measure.Angle) measure.Angle {
	d := a - b
	for d > 90*measure.Degree {
		d -= 180 * measure.Degree
	}
	for d < -90*measure.Degree {
		d += 180 * measure.Degree
	}
	return max(d, -d)
}

// BuiltInUses are the uses that every workshop starts with (contract of the
// workshop file; the grading of flaws is common practice, no source).
func BuiltInUses() []Use {
	deg := measure.Degree
	return []Use{
		{Name: "load", Quality: Firm, Angle: 3 * deg},
		{Name: "face", Quality: Firm, Angle: 15 * deg},
		{Name: "loop", Quality: Firm, Angle: 15 * deg},
		{Name: "lining", Quality: Firm, Flaws: []string{"vein"}, Angle: 90 * deg},
		{Name: "hidden", Quality: Soft, Flaws: []string{"scar", "scratch", "tick", "vein", "wrinkle"}, Angle: 15 * deg},
	}
}

// FlawKinds are the kinds of flaw that every workshop knows, sorted.
func FlawKinds() []string {
	return []string{"brand", "cut", "hole", "loose", "scar", "scratch", "tick", "vein", "wrinkle"}
}
