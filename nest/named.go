package nest

import (
	"fmt"
	"strconv"
	"strings"
)

// Named finds what a name on the sheet of a hide stands for: "7" a band, counted
// from 1, block -1; "7a" a block of it, as an index. The error says what there is.
func (p *Plan) Named(hide, name string) (band, block int, err error) {
	l := p.Lay(hide)
	if l == nil {
		return 0, 0, fmt.Errorf("the plan does not cut hide %s", hide)
	}
	digits := strings.TrimRight(name, "abcdefghijklmnopqrstuvwxyz")
	letters := name[len(digits):]
	n, e := strconv.ParseUint(digits, 10, 31) // which takes no sign
	if e != nil || n < 1 {
		return 0, 0, fmt.Errorf("found %q, expected a band such as 7 or a block such as 7a", name)
	}
	band = int(n)
	if band > len(l.Bands) {
		return 0, 0, fmt.Errorf("found band %d, hide %s has bands 1 to %d", band, hide, len(l.Bands))
	}
	if letters == "" {
		return band, -1, nil
	}
	blocks := p.Lettered(hide, band)
	i := 0 // a, b, … z, aa, ab, …
	for _, c := range letters {
		if i = 26*i + int(c-'a') + 1; i > len(blocks) {
			break
		}
	}
	switch {
	case len(blocks) < 2:
		return 0, 0, fmt.Errorf("found block %s, band %d of hide %s is not cut into blocks", name, band, hide)
	case i > len(blocks):
		return 0, 0, fmt.Errorf("found block %s, band %d of hide %s has %d", name, band, hide, len(blocks))
	}
	return band, blocks[i-1], nil
}

// Name is how sheets name a piece: "A12·3 main".
func (p Piece) Name() string { return fmt.Sprintf("%s·%d %s", p.Order, p.Set, p.Part) }
