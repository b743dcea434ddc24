package nest

import (
	"github.com/paulmach/orb"
)

// Format is the version of the plan file that this package reads and writes.
const Format = "strapwise-plan/1"

// Plan is a lay as a record: plan.json, field by field. All lengths are
// millimetres, all places in the coordinates of the hide's own file.
//
// The cuts form a tree. A hide is ripped from its struck edge into bands; a
// band is cross-cut into blocks; a block is ripped into strips; a strip is
// cross-cut into pieces. Distances named FromMM and ToMM are marks, in the
// frame of the struck edge: across the hide they are counted from the struck
// edge outward, along it from the squared end.
//
// Cut says of each of them that it has been made: a band is ripped off, a block
// is cut off from its band, a strip is ripped off its block, a piece is cut out.
// What is cut lies in what is cut. The bands before a band that is cut are cut,
// and so are all blocks of a band of which one is, the strips before a strip in
// its block, and the pieces before a piece in its strip. A strip whose pieces
// are all cut is done with: nothing more is laid in it.
type Plan struct {
	Format   string     `json:"format"`
	Hides    []HideLay  `json:"hides"`
	Pieces   []Piece    `json:"pieces"`
	Sets     []SetCount `json:"sets"`
	Unplaced []Unplaced `json:"unplaced"`
	Spare    []Piece    `json:"spare,omitempty"`  // cut, and of no set now: of an order dropped, or of a set that cannot be completed
	Spoilt   []Piece    `json:"spoilt,omitempty"` // cut, and useless
	Relaid   *Relaid    `json:"relaid,omitempty"` // if it was laid again round what was cut
	Result   Result     `json:"result"`
	Inputs   []Input    `json:"inputs"`
}

// Relaid is what the last lay again began from.
type Relaid struct {
	From  string  `json:"from"`  // the mark of the plan before
	Found []Found `json:"found"` // flaws that were new to the hides' files
	Stay  float64 `json:"stay"`  // worth of the lay that was found where all stays that can
}

// Found is a flaw met while cutting.
type Found struct {
	Hide string `json:"hide"`
	Flaw int    `json:"flaw"` // its place among the flaws of the hide's file, from 0
}

// HideLay is how one hide is cut. Hides from which nothing is cut are left out.
type HideLay struct {
	Hide     string        `json:"hide"`
	Strike   Strike        `json:"strike"`
	Bands    []Band        `json:"bands"`    // outward from the struck edge
	Strips   []Strip       `json:"strips"`   // in cutting order, numbered from 1
	Remnants [][]orb.Point `json:"remnants"` // outlines of all that goes back on the rack, largest first; of a plan laid again, those of the one before keep their numbers as far as there are so many

	// Of a hide that is begun, what its cross-cuts are measured from: the squared
	// end, cut so far outward from the struck edge (0: not cut or, with no chalk lines
	// either, to the last band), and lines chalked square across it, so far from there.
	SquaredMM float64   `json:"squared_mm,omitempty"`
	Chalked   []float64 `json:"chalked_mm,omitempty"`
}

// FarMM is how far from the struck edge the bands and strips of the hide reach.
func (l *HideLay) FarMM() float64 {
	far := 0.0
	for _, b := range l.Bands {
		far = max(far, b.FromMM+b.DepthMM)
	}
	for _, s := range l.Strips {
		far = max(far, s.FromMM+s.WidthMM)
	}
	return far
}

// Ripped is how many bands of the hide are ripped off.
func (l *HideLay) Ripped() int {
	n := 0
	for _, b := range l.Bands {
		if b.Cut {
			n++
		}
	}
	return n
}

// Strike is the first cut of a hide, a straight edge from which the rest is measured.
type Strike struct {
	From     orb.Point `json:"from"`      // where the squared end meets the struck edge
	To       orb.Point `json:"to"`        // its far end
	EdgeMM   float64   `json:"edge_mm"`   // where it begins, from the origin of the hide's frame, away from the backbone
	SquareMM float64   `json:"square_mm"` // and from the same origin along the backbone
	AngleDeg float64   `json:"angle_deg"` // of the struck edge, from the backbone

	// A tilted edge is struck through two places at marks along the backbone and away
	// from it; the squared end lies a whole number of marks from the first, along the
	// edge. Of a level one, which begins at marks, both are zero.
	Through [2]orb.Point `json:"through,omitzero"`
}

// Band is what lies between two rips across the whole hide. A gap between a
// band and the one before it is a waste strip.
type Band struct {
	FromMM  float64 `json:"from_mm"`
	DepthMM float64 `json:"depth_mm"`
	Blocks  []Block `json:"blocks"` // along the band
	Cut     bool    `json:"cut,omitempty"`
	New     bool    `json:"new,omitempty"` // some of it lies otherwise than in the plan before
}

// Block is what lies between two cross-cuts of a band.
type Block struct {
	FromMM float64 `json:"from_mm"`
	ToMM   float64 `json:"to_mm"`
	Strips []int   `json:"strips"` // numbers, outward from the struck edge
	Cut    bool    `json:"cut,omitempty"`
}

// Strip is what one pass of the strap cutter leaves.
type Strip struct {
	N       int         `json:"n"`
	Outline []orb.Point `json:"outline"`
	WidthMM float64     `json:"width_mm"`
	FromMM  float64     `json:"from_mm"` // of its nearer edge, from the struck edge
	Cut     bool        `json:"cut,omitempty"`
}

// Piece is one thing cut out. The outline of one that is cut to a template is the
// template's own; FromMM and ToMM are those of the rectangle round it, which is
// cross-cut from the strip first.
type Piece struct {
	Hide     string      `json:"hide"`
	Order    string      `json:"order"`
	Set      int         `json:"set"`
	Part     string      `json:"part"`
	Use      string      `json:"use"`
	Strip    int         `json:"strip"`
	Outline  []orb.Point `json:"outline"`
	AngleDeg float64     `json:"angle_deg"` // from the hide's backbone to the piece's length
	FromMM   float64     `json:"from_mm"`   // along its strip, from the squared end
	ToMM     float64     `json:"to_mm"`
	Cut      bool        `json:"cut,omitempty"`
	New      bool        `json:"new,omitempty"`    // it lies, or is named, otherwise than in the plan before
	Judged   bool        `json:"judged,omitempty"` // cut before a flaw in it was found, and held to be sound by a person
}

// SetCount says how much of an order a plan gives.
type SetCount struct {
	Order    string `json:"order"`
	Asked    int    `json:"asked"`
	Complete int    `json:"complete"`
}

// Unplaced is a set that the plan does not give, with the part that stood in
// the way and why.
type Unplaced struct {
	Order string `json:"order"`
	Set   int    `json:"set"`
	Part  string `json:"part"`
	Why   string `json:"why"`
}

// Reasons why a planner stopped.
const (
	StopProven      = "proven"      // no plan is better
	StopTime        = "time"        // the time or the steps allowed were used up
	StopInterrupted = "interrupted" // a person stopped it
)

// Result is the worth of a plan and what is known about better ones.
type Result struct {
	Value  float64 `json:"value"`  // worth of the complete sets, less the effort of the cuts
	Bound  float64 `json:"bound"`  // no plan under the same rules is worth more
	Proven bool    `json:"proven"` // Value is the most there can be
	Stop   string  `json:"stop"`
	Seed   uint64  `json:"seed"`
	Steps  int     `json:"steps"`           // of the search
	Tilts  []Tilts `json:"tilts,omitempty"` // besides level lays, Bound holds for these

	// Where every set is made, the question is from which hides.
	Cost      float64 `json:"cost,omitempty"`       // of the hides cut into, as far as they have one
	CostBound float64 `json:"cost_bound,omitempty"` // no choice of hides that gives every set costs less; 0: not known
}

// Tilts are those of the struck edge, either way, that a planner looked at on a hide.
type Tilts struct {
	Hide string    `json:"hide"`
	Deg  []float64 `json:"deg"` // to a tenth, the least first
}

// Input is a file that the plan was made from.
type Input struct {
	File   string `json:"file"` // relative to the workshop
	SHA256 string `json:"sha256"`
}
