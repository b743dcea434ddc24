package report

import "fmt"

// Paper is a size of paper, used with its long side across.
type Paper int

// The papers.
const (
	A4 Paper = iota
	A3
	Letter
)

// Size is the paper's width and height in millimetres.
func (p Paper) Size() (width, height float64) {
	switch p {
	case A3:
		return 420, 297
	case Letter:
		return 279.4, 215.9
	default:
		return 297, 210
	}
}

// ParsePaper reads a paper's name.
func ParsePaper(s string) (Paper, error) {
	switch s {
	case "a4", "A4":
		return A4, nil
	case "a3", "A3":
		return A3, nil
	case "letter", "Letter":
		return Letter, nil
	}
	return A4, fmt.Errorf("found paper %q, expected a4, a3 or letter", s)
}
