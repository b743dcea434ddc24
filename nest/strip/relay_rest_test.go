package strip

import "testing"

// TestRelay_littleLeft: five straps are cut, two are asked for, and of the sheet a millimetre is
// left, an eighteenth of what a strap takes.
func TestRelay_littleLeft(t *testing.T) {
	job := straps(t, sheet(t, "s", "bridle", 640, 201), 0, 5)
	job.Tools.Grips = 0
	plan := laidOut(t, job, 50)
	b := plan.Begin()
	for n := range plan.Hides[0].Bands {
		b.Cut("s", n+1)
	}
	job.Orders[1].Qty = 2
	relaid(t, job, b, 50)
}
