package nest

// The rules that Check knows, each the Rule of a Violation. A plan for which
// none is broken can be cut as it says, and its figures are true.
const (
	// The plan and its job.
	RuleFormat  = "format"  // the plan is of the one known format
	RuleHide    = "hide"    // its hides are on the rack, each laid once, and no others have pieces
	RuleOrder   = "order"   // its orders are in the book, and no set is above the quantity asked
	RulePart    = "part"    // its parts belong to their orders
	RuleUse     = "use"     // a piece has the use of its part, and the workshop knows that use
	RuleLeather = "leather" // a piece is cut from the leather that its part asks for

	// A piece by itself.
	RuleShape = "shape" // its outline is a rectangle or, of a template, a simple one
	RuleSize  = "size"  // no smaller than its part; no larger than the next mark, or as wide as its strip; or the template of its part
	RuleAngle = "angle" // its angle_deg is the one between its length and the backbone
	RuleGrain = "grain" // that angle is within what its use allows

	// A piece and the leather under it.
	RuleOutline   = "outline"   // it lies inside the outline of the hide
	RuleTrim      = "trim"      // no nearer to that outline than the trim
	RuleFlaw      = "flaw"      // it touches no flaw that its use refuses
	RuleZone      = "zone"      // no zone either, be it too poor or its grain turned too far
	RuleSubstance = "substance" // the leather is everywhere as thick as its use asks

	// Pieces and strips.
	RuleOverlap  = "overlap"  // no two pieces share leather
	RuleInStrip  = "in-strip" // a piece lies in its strip, a ripped one along it and as wide; no cut runs through a piece
	RulePosition = "position" // its from_mm and to_mm are true to its outline or, of a template, to the rectangle round it

	// The cuts of a hide.
	RuleStrike  = "strike"  // the struck edge is given, as long as the strips, and its figures are true
	RuleMarks   = "marks"   // it and all cuts are set to marks of the rule
	RuleStrip   = "strip"   // a strip is a rectangle along the struck edge, its figures true to its outline
	RuleApart   = "apart"   // no two strips share leather
	RuleNumbers = "numbers" // strips are numbered from 1 in cutting order
	RuleBands   = "bands"   // bands are given, outward and disjoint
	RuleBlocks  = "blocks"  // the blocks of a band are disjoint, along it
	RuleStack   = "stack"   // the strips of a block lie one on another, from the band's nearer edge, inside both
	RuleCutter  = "cutter"  // the strap cutter takes the width of each strip that it must rip
	RuleWaste   = "waste"   // and that of each waste strip between two bands that it rips, or before the first
	RuleGrips   = "grips"   // and it has leather to hold beyond the strip, or nothing to rip
	RuleRemnant = "remnant" // a remnant has a simple outline, inside the hide and clear of cuts, pieces and other remnants; none is left out

	// What is cut already.
	RuleCut = "cut" // what is cut lies in what is cut, in the order of work; what no set takes of it is told, and nothing is laid over it

	// Sets and figures.
	RuleSets     = "sets"     // pieces belong to complete sets only, each part as often as asked
	RuleCounts   = "counts"   // every order is counted once, and rightly
	RuleUnplaced = "unplaced" // every set not complete is listed as unplaced, and no other
	RuleValue    = "value"    // the stated value is that of the plan
	RuleBound    = "bound"    // no value is above its own bound
	RuleProven   = "proven"   // a value called proven reaches its bound
	RuleCost     = "cost"     // the stated cost is that of the hides cut into, and not below its own bound
	RuleStop     = "stop"     // the reason for stopping is a known one, and agrees with what is proven
)

// Rules are the names of all rules, in the order in which they are explained
// above.
func Rules() []string {
	return []string{
		RuleFormat, RuleHide, RuleOrder, RulePart, RuleUse, RuleLeather,
		RuleShape, RuleSize, RuleAngle, RuleGrain,
		RuleOutline, RuleTrim, RuleFlaw, RuleZone, RuleSubstance,
		RuleOverlap, RuleInStrip, RulePosition,
		RuleStrike, RuleMarks, RuleStrip, RuleApart, RuleNumbers, RuleBands, RuleBlocks, RuleStack,
		RuleCutter, RuleWaste, RuleGrips, RuleRemnant, RuleCut,
		RuleSets, RuleCounts, RuleUnplaced, RuleValue, RuleBound, RuleProven, RuleCost, RuleStop,
	}
}

// Tolerances. A plan aims at what the rules say, to the last bits of a float64;
// Check grants what a rule and a blade cannot show.
const (
	// lengthTol, in millimetres, is what any length may miss: a hundredth of a
	// millimetre is a tenth of a knife's edge, and a hundred times the rounding
	// of places in plan files. Pieces are drawn in by it before they are asked
	// whether they touch anything, so that edge to edge is not overlapping.
	lengthTol = 0.01

	// areaTol, in square millimetres, is the area below which two shapes that
	// have been drawn apart by lengthTol share nothing: a square of that side.
	areaTol = lengthTol * lengthTol

	// Angles have no tolerance of their own. A length may be turned so far that
	// its end moves by lengthTol, the angle lengthTol / length in radians.

	// valueTol is what a stated value may miss, as a part of it or, below one
	// unit of money, of that unit: sums of prices added up in another order.
	valueTol = 1e-6

	// boundTol likewise, for a value against its own bound: they come from the
	// same sums.
	boundTol = 1e-9
)
