package draw

// glyphs are the fractions that most faces have as one letter. Others are set
// from small figures either side of a stroke.
var glyphs = map[[2]int64]string{{1, 2}: "½", {1, 4}: "¼", {3, 4}: "¾", {1, 8}: "⅛", {3, 8}: "⅜", {5, 8}: "⅝", {7, 8}: "⅞"}

// stroke stands between the figures of a fraction, and rise is how far the upper
// ones stand above the line, in ems.
const (
	stroke = "⁄"
	rise   = 0.30
)
