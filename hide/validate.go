package hide

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	"github.com/peterstace/simplefeatures/geom"

	"strapwise/hide/measure"
	"strapwise/hide/plane"
	"strapwise/hide/source"
)

// Bounds of what a hide can be, in millimetres. They are wide: they catch a
// wrong unit or a slip of the keyboard, not odd leather.
const (
	longestHide  = 20_000 // three times the longest cattle hide
	smallestHide = 1      // less than this in any direction is no leather
	widestFlaw   = 5_000  // of a spot or a stroke
	thinnest     = 0.1    // parchment is thicker
	thickest     = 30     // walrus, the thickest leather tanned, is about as thick (from memory)
	readingSlack = 25     // how far outside the outline a reading may be noted; on a remnant, farthestAlong
	mostCorners  = 20_000 // of one outline; more take long to check, and no tape measures them
	longestName  = 200    // letters, so that name and ending fit a file system
	mostLeather  = 4e8    // mm², of a stamp
	dearest      = 1e9    // money
)

// How far, in millimetres, leather may lie from its backbone: as far as the hide
// itself is deep or long, or as far as it was on a large animal, since a belly or
// a remnant is drawn with the backbone of the hide that it was cut from. A
// typical side is 42 in deep and 100 in long (common practice, no source).
const (
	farthestAcross = 1_500
	farthestAlong  = 3_000
)

func fault(path, rule, hint string) *Fault { return &Fault{Path: path, Rule: rule, Hint: hint} }

func flawPath(i int, key string) string { return fmt.Sprintf("flaws[%d].%s", i, key) }
func zonePath(i int, key string) string { return fmt.Sprintf("zones[%d].%s", i, key) }

// checkWords checks what a hide is called.
func (s Spec) checkWords() *Fault {
	switch {
	case s.Name == "":
		return fault("name", "found no name, expected one", "")
	case len(s.Name) > longestName:
		return fault("name", fmt.Sprintf("longer than %d letters, expected a name", longestName), "")
	case !isName(s.Name):
		return fault("name", fmt.Sprintf("found %q, expected letters, digits and - _ . that begin with a letter or digit and do not end with a point", s.Name), "rename the file, for instance ash-3.toml")
	case strings.TrimSpace(s.Leather) == "":
		return fault("leather", "found no leather, expected the name that orders ask for", `write leather = "bridle-tan"`)
	case !slices.Contains(Forms(), s.Form):
		found := fmt.Sprintf("found %q", s.Form)
		if s.Form == "" {
			found = "found no form"
		}
		return fault("form", found+", expected one of "+strings.Join(Forms(), ", "), "")
	case s.From != "" && (len(s.From) > longestName || !isName(s.From)):
		return fault("from", fmt.Sprintf("found %q, expected the name of the hide that this one was cut from", s.From), "")
	}
	for _, w := range []struct{ path, words string }{{"leather", s.Leather}, {"supplier", s.Supplier}, {"grade", s.Grade}} {
		if n := utf8.RuneCountInString(w.words); n > longestName {
			return fault(w.path, fmt.Sprintf("found %d letters, expected at most %d", n, longestName), "")
		}
		if strings.ContainsFunc(w.words, source.IsControl) {
			return fault(w.path, fmt.Sprintf("found %q, expected a few words on one line", w.words), "")
		}
	}
	return nil
}

func isName(s string) bool {
	plain := func(r rune) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) }
	odd := func(r rune) bool { return !plain(r) && !strings.ContainsRune("-_.", r) && !unicode.IsMark(r) }
	runes := []rune(s)
	return strings.IndexFunc(s, odd) < 0 && plain(runes[0]) && !strings.HasSuffix(s, ".")
}

// checkOutline makes the ring of the outline, if it is one that leather has.
func (s Spec) checkOutline() (plane.Ring, *Fault) {
	if len(s.Outline) > mostCorners {
		return plane.Ring{}, fault("outline", fmt.Sprintf("found %d corners, expected at most %d", len(s.Outline), mostCorners), "leave out corners that lie almost on the line of their neighbours")
	}
	ring, err := plane.NewRing(s.Outline)
	if err != nil {
		return ring, fault("outline", RuleOfRing(err, s.System), "list the corners in the order in which a finger would follow the edge")
	}
	if rule, hint := checkExtent(ring, s.System); rule != "" {
		return ring, fault("outline", rule, hint)
	}
	box := ring.Bound()
	if x, y := box.Max[0]-box.Min[0], box.Max[1]-box.Min[1]; x < smallestHide || y < smallestHide || ring.Area() < smallestHide*smallestHide {
		return ring, fault("outline", fmt.Sprintf("only %s by %s, expected leather of at least a millimetre", s.System.Told(x), s.System.Told(y)), "check the units")
	}
	return ring, nil
}

// RuleOfRing is what is wrong with an outline that makes no ring, in a system of measures.
func RuleOfRing(err error, in measure.System) string {
	if c, ok := errors.AsType[*plane.Crossing](err); ok {
		return c.In(in)
	}
	return err.Error()
}

// checkExtent gives the rule and hint for a ring too large for a bench.
func checkExtent(ring plane.Ring, in measure.System) (rule, hint string) {
	box := ring.Bound()
	if x, y := box.Max[0]-box.Min[0], box.Max[1]-box.Min[1]; x > longestHide || y > longestHide {
		return fmt.Sprintf("%s by %s, expected at most 20 m either way", in.Told(x), in.Told(y)), "check the units"
	}
	return "", ""
}

// checkBackbone makes the frame along the grain.
func (s Spec) checkBackbone(outline plane.Ring) (plane.Frame, *Fault) {
	switch {
	case len(s.Backbone) == 0:
		return plane.NewFrame(outline.Bound().Min, orb.Point{1, 0}), nil
	case len(s.Backbone) != 2:
		return plane.Frame{}, fault("backbone", fmt.Sprintf("expected 2 points, found %d", len(s.Backbone)), "give the two ends of the backbone")
	}
	a, b := s.Backbone[0], s.Backbone[1]
	if !isPlace(a) || !isPlace(b) {
		return plane.Frame{}, fault("backbone", "a point that is no place on a bench", "")
	}
	if planar.Distance(a, b) < smallestHide {
		return plane.Frame{}, fault("backbone", "its ends are less than a millimetre apart, expected a line", "give the two ends of the backbone")
	}
	frame := plane.NewFrame(a, orb.Point{b[0] - a[0], b[1] - a[1]})
	if gap := backboneGap(outline.In(frame).Bound(), planar.Distance(a, b)); gap > 0 {
		return frame, fault("backbone", fmt.Sprintf("%s away from the outline, expected a line along the hide's edge or through it", s.System.Told(gap)),
			"give both in the same units and from the same corner, or leave the backbone out: then the grain runs along the x axis")
	}
	return frame, nil
}

// backboneGap is how far a hide, seen in the frame of its backbone, lies from
// it, where that is too far; otherwise 0. The backbone is a line without ends
// as to the distance across; along, it runs from 0 to its length.
func backboneGap(box orb.Bound, length float64) float64 {
	across := max(box.Min[1], -box.Max[1], 0)
	along := max(box.Min[0]-length, -box.Max[0], 0)
	if across > max(farthestAcross, box.Max[1]-box.Min[1]) || along > max(farthestAlong, box.Max[0]-box.Min[0]) {
		return math.Hypot(across, along)
	}
	return 0
}

func isPlace(p orb.Point) bool {
	return math.Abs(p[0]) <= plane.MaxCoordinate && math.Abs(p[1]) <= plane.MaxCoordinate
}

// isSize reports whether a measure is greater than 0 and at most so large.
// It is false for NaN.
func isSize(mm, most float64) bool { return mm > 0 && mm <= most }

// checkTrim checks that leather is left within the trim.
func (s Spec) checkTrim(g *ground) *Fault {
	switch {
	case !(s.Trim >= 0):
		return fault("trim", fmt.Sprintf("found %v mm, expected 0 or more", s.Trim), "")
	case s.Trim == 0:
		return nil
	}
	box := g.ring.Bound()
	if least := min(box.Max[0]-box.Min[0], box.Max[1]-box.Min[1]); 2*s.Trim < least {
		if within(g.ring, s.Trim).holds(smallestHide) {
			return nil
		}
	}
	return s.noneWithin()
}

func (s Spec) noneWithin() *Fault {
	return fault("trim", s.System.Told(s.Trim)+" from every edge leaves no leather", "give a smaller trim")
}

// checkReadings checks the thickness. A single reading holds everywhere, so
// that its place does not count. Those of a remnant may have been taken on the
// rest of the hide that it was cut from.
func (s Spec) checkReadings(g *ground) *Fault {
	slack := float64(readingSlack)
	if s.Form == Remnant {
		slack = farthestAlong
	}
	for i, r := range s.Readings {
		path := "substance"
		if len(s.Readings) > 1 {
			path = fmt.Sprintf("substance[%d]", i)
			if !isPlace(r.At) || !g.nears(r.At, slack) {
				return fault(path, fmt.Sprintf("read at %s, outside the hide", s.System.Place(r.At[0], r.At[1])), "")
			}
		}
		if !(r.MM >= thinnest && r.MM <= thickest) {
			return fault(path, fmt.Sprintf("found %.4g mm, expected 0.1 to 30 mm", r.MM), "the thickness of the leather, not of a stack")
		}
	}
	return nil
}

func (s Spec) checkFlaws(g *ground) *Fault {
	for i, f := range s.Flaws {
		if f := f.check(g, i); f != nil {
			return f
		}
	}
	return nil
}

func (f Flaw) check(g *ground, i int) *Fault {
	shapes := 0
	for _, has := range []bool{f.Spot != nil, f.Stroke != nil, f.Patch != nil} {
		if has {
			shapes++
		}
	}
	switch {
	case strings.TrimSpace(f.Kind) == "":
		return fault(flawPath(i, "kind"), "found no kind, expected one such as hole or scar", "")
	case f.Face != Grain && f.Face != Flesh:
		return fault(flawPath(i, "face"), "found neither grain nor flesh", "")
	case shapes != 1:
		return fault(fmt.Sprintf("flaws[%d]", i), fmt.Sprintf("found %d shapes, expected one: a spot, a stroke or a patch", shapes), "write it as two flaws, or leave one shape out")
	case f.Spot != nil:
		return f.Spot.check(g, i)
	case f.Stroke != nil:
		return f.Stroke.check(g, i)
	}
	path := flawPath(i, "area")
	if rule, hint := checkExtent(*f.Patch, g.system); rule != "" {
		return fault(path, rule, hint)
	}
	if !g.meets(*f.Patch) {
		return outside(path)
	}
	return nil
}

func outside(path string) *Fault {
	return fault(path, "wholly outside the hide", "check the coordinates and the units, or leave it out")
}

func (s Spot) check(g *ground, i int) *Fault {
	switch {
	case !isPlace(s.At):
		return fault(flawPath(i, "at"), "a point that is no place on a bench", "")
	case !isSize(s.Diameter, widestFlaw):
		return fault(flawPath(i, "size"), fmt.Sprintf("found %s, expected a diameter above 0 and at most 5 m", g.system.Told(s.Diameter)), "")
	case !g.nears(s.At, s.Diameter/2):
		return outside(flawPath(i, "at"))
	}
	return nil
}

func (s Stroke) check(g *ground, i int) *Fault {
	path := flawPath(i, "line")
	length := 0.0
	for j, p := range s.Line {
		if !isPlace(p) {
			return fault(path, "a point that is no place on a bench", "")
		}
		if j > 0 {
			length += planar.Distance(s.Line[j-1], p)
		}
	}
	switch {
	case len(s.Line) < 2 || length == 0:
		return fault(path, "found one point, expected a line of at least 2", "write a round flaw with at and size")
	case len(s.Line) > mostCorners:
		return fault(path, fmt.Sprintf("found %d points, expected at most %d", len(s.Line), mostCorners), "")
	case !isSize(s.Width, widestFlaw):
		return fault(flawPath(i, "width"), fmt.Sprintf("found %s, expected a width above 0 and at most 5 m", g.system.Told(s.Width)), "")
	case !g.nearsLine(s.Line, s.Width/2):
		return outside(path)
	}
	return nil
}

func (s Spec) checkZones(g *ground) *Fault {
	for i, z := range s.Zones {
		if z.Quality < Waste || z.Quality > Prime {
			return fault(zonePath(i, "quality"), "found no quality, expected prime, firm, soft or waste", "")
		}
		if z.Turned && !(math.Abs(float64(z.Grain)) <= float64(360*measure.Degree)+1e-9) {
			return fault(zonePath(i, "grain"), "found no angle, expected at most a full turn", "")
		}
		if rule, hint := checkExtent(z.Area, g.system); rule != "" {
			return fault(zonePath(i, "area"), rule, hint)
		}
		if !g.meets(z.Area) {
			return outside(zonePath(i, "area"))
		}
	}
	return nil
}

func (s Spec) checkMoney() *Fault {
	switch {
	case s.Cost.IsNegative():
		return fault("cost", fmt.Sprintf("found %s, expected 0 or more", s.Cost), "")
	case s.Cost.Exponent() > 9 || s.Cost.InexactFloat64() > dearest:
		return fault("cost", "more than a thousand million, expected the cost of a hide", "")
	case !(s.Stamped >= 0 && s.Stamped <= mostLeather):
		return fault("area", "expected an area of at most 400 m²", "check the units")
	}
	return nil
}

// ground is an outline prepared for asking what lies on it.
type ground struct {
	ring    plane.Ring
	orb     orb.Ring
	polygon geom.Geometry
	system  measure.System // in which faults tell lengths
}

func newGround(ring plane.Ring, in measure.System) *ground {
	return &ground{ring, ring.Orb(), ring.Polygon().AsGeometry(), in}
}

// nears reports whether a point lies on the leather, its edge included, or so
// near to it.
func (g *ground) nears(p orb.Point, slack float64) bool {
	if planar.RingContains(g.orb, p) {
		return true
	}
	for i := range g.ring.Len() {
		if planar.DistanceFromSegment(g.orb[i], g.orb[i+1], p) <= slack {
			return true
		}
	}
	return false
}

// nearsLine is nears for any point of a line.
func (g *ground) nearsLine(line []orb.Point, slack float64) bool {
	if slices.ContainsFunc(line, func(p orb.Point) bool { return g.nears(p, slack) }) {
		return true
	}
	d, ok := geom.Distance(g.polygon, plane.Line(line...).AsGeometry())
	return ok && d <= slack
}

// meets reports whether the ring and the leather have a point in common.
func (g *ground) meets(r plane.Ring) bool {
	if r.Len() == 0 {
		return false
	}
	return planar.RingContains(g.orb, r.Corner(0)) || geom.Intersects(g.polygon, r.Polygon().AsGeometry())
}
