package drawing

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/paulmach/orb"

	"strapwise/hide/source"
)

// blanks is white space of the standard.
const blanks = " \t\n\r\f"

// scanner reads numbers as the standard writes them: "10-5.5.5e1" is four of them.
type scanner struct {
	text string
	at   int
}

// gap passes over white space and, where it may be, one comma.
func (s *scanner) gap(comma bool) {
	for s.at < len(s.text) && (strings.IndexByte(blanks, s.text[s.at]) >= 0 || comma && s.text[s.at] == ',') {
		if s.text[s.at] == ',' {
			comma = false
		}
		s.at++
	}
}

func (s *scanner) rest() string { return source.Shorten(s.text[s.at:], source.Quoted) }

func (s *scanner) number() (float64, error) {
	from := s.at
	digits := func() (n int) {
		for ; s.at < len(s.text) && s.text[s.at] >= '0' && s.text[s.at] <= '9'; s.at++ {
			n++
		}
		return n
	}
	sign := func() {
		if s.at < len(s.text) && (s.text[s.at] == '+' || s.text[s.at] == '-') {
			s.at++
		}
	}
	sign()
	n := digits()
	if s.at < len(s.text) && s.text[s.at] == '.' {
		s.at++
		n += digits()
	}
	if n == 0 {
		s.at = from
		if s.at == len(s.text) {
			return 0, fmt.Errorf("found the end, expected a number")
		}
		return 0, fmt.Errorf("found %q, expected a number", s.rest())
	}
	if end := s.at; s.at < len(s.text) && (s.text[s.at] == 'e' || s.text[s.at] == 'E') {
		s.at++
		sign()
		if digits() == 0 { // "1em": no exponent
			s.at = end
		}
	}
	v, err := strconv.ParseFloat(s.text[from:s.at], 64)
	if err != nil {
		return 0, fmt.Errorf("found %q, expected a number of fewer digits", source.Shorten(s.text[from:s.at], source.Quoted))
	}
	return v, nil
}

// flag reads one digit, 0 or 1.
func (s *scanner) flag() (bool, error) {
	if s.at < len(s.text) && (s.text[s.at] == '0' || s.text[s.at] == '1') {
		s.at++
		return s.text[s.at-1] == '1', nil
	}
	return false, fmt.Errorf("found %q, expected 0 or 1", s.rest())
}

// numbers reads a list of them.
func numbers(text string) ([]float64, error) {
	s := scanner{text: text}
	var out []float64
	for s.gap(false); s.at < len(s.text); s.gap(true) {
		v, err := s.number()
		if err != nil {
			return nil, err
		}
		out = append(out, v)
	}
	return out, nil
}

// pen draws subpaths.
type pen struct {
	out     []subpath
	at      orb.Point
	control orb.Point // of the curve before, for the smooth ones
	smooth  int       // the degree of that curve; 0: it was none
}

func (p *pen) move(to orb.Point) {
	p.out = append(p.out, subpath{start: to})
	p.at, p.smooth = to, 0
}

// draw adds a curve from where the pen is; nil draws nothing.
func (p *pen) draw(c curve) {
	p.smooth = 0
	if c == nil {
		return
	}
	last := &p.out[len(p.out)-1]
	last.curves = append(last.curves, c)
	p.at = c.end()
}

// close draws back to where the subpath began. What follows without a move begins
// there, too.
func (p *pen) close() {
	start := p.out[len(p.out)-1].start
	if p.at != start {
		p.draw(bezier{p.at, start})
	}
	p.at, p.smooth = start, 0
}

// mirrored is the control point that goes on smoothly from a curve of that degree.
func (p *pen) mirrored(degree int) orb.Point {
	if p.smooth != degree {
		return p.at
	}
	return orb.Point{2*p.at[0] - p.control[0], 2*p.at[1] - p.control[1]}
}

// curved draws a Bézier curve through control points to the last of them.
func (p *pen) curved(pts ...orb.Point) {
	p.draw(append(bezier{p.at}, pts...))
	p.control, p.smooth = pts[len(pts)-2], len(pts)
}

// takes is how many numbers each command takes; those of an arc are read apart.
var takes = map[byte]int{'M': 2, 'L': 2, 'H': 1, 'V': 1, 'C': 6, 'S': 4, 'Q': 4, 'T': 2, 'A': 7, 'Z': 0}

// parsePath reads path data (SVG 2, 9.3; SVG 1.1, 8.3).
func parsePath(text string) ([]subpath, error) {
	s, p := scanner{text: text}, pen{}
	closed, steps := false, 0
	for s.gap(false); s.at < len(s.text); s.gap(false) {
		letter := s.text[s.at]
		command := letter &^ ('a' - 'A')
		n, known := takes[command]
		if !known {
			return nil, fmt.Errorf("found %q, expected one of the commands M L H V C S Q T A Z", s.rest())
		}
		if len(p.out) == 0 && command != 'M' {
			return nil, fmt.Errorf("found %q, expected a path to begin with M", s.rest())
		}
		s.at++
		relative := letter != command
		if n == 0 {
			p.close()
			closed = true
			continue
		}
		for more := true; more; more = s.more() {
			args, err := s.arguments(command, n)
			if err != nil {
				return nil, err
			}
			if closed && command != 'M' {
				p.move(p.at)
			}
			closed = false
			p.obey(command, relative, args)
			if steps++; steps > MostCorners {
				return nil, fmt.Errorf("found more than %d steps, expected a simpler path", MostCorners)
			}
			if command == 'M' { // further places are lines
				command = 'L'
			}
			if !(math.Abs(p.at[0]) <= farthest && math.Abs(p.at[1]) <= farthest) {
				return nil, fmt.Errorf("found the place (%.6g, %.6g), expected one on a bench", p.at[0], p.at[1])
			}
		}
	}
	return p.out, nil
}

// farthest is beyond any place in a drawing, in any unit: a kilometre in microns.
const farthest = 1e9

// more reports whether another number follows, and goes on to it.
func (s *scanner) more() bool {
	from := s.at
	s.gap(true)
	if s.at < len(s.text) && strings.IndexByte("+-.0123456789", s.text[s.at]) >= 0 {
		return true
	}
	s.at = from
	return false
}

// arguments are the numbers of a command; the flags of an arc are 0 or 1.
func (s *scanner) arguments(command byte, n int) ([]float64, error) {
	var out []float64
	for i := range n {
		s.gap(i > 0)
		if command == 'A' && (i == 3 || i == 4) {
			set, err := s.flag()
			if err != nil {
				return nil, err
			}
			out = append(out, map[bool]float64{true: 1}[set])
			continue
		}
		v, err := s.number()
		if err != nil {
			return nil, err
		}
		out = append(out, v)
	}
	return out, nil
}

// obey carries out one command.
func (p *pen) obey(command byte, relative bool, n []float64) {
	from := orb.Point{}
	if relative {
		from = p.at
	}
	place := func(i int) orb.Point { return orb.Point{from[0] + n[i], from[1] + n[i+1]} }
	switch command {
	case 'M':
		p.move(place(0))
	case 'L':
		p.draw(bezier{p.at, place(0)})
	case 'H':
		p.draw(bezier{p.at, {from[0] + n[0], p.at[1]}})
	case 'V':
		p.draw(bezier{p.at, {p.at[0], from[1] + n[0]}})
	case 'C':
		p.curved(place(0), place(2), place(4))
	case 'S':
		p.curved(p.mirrored(3), place(0), place(2))
	case 'Q':
		p.curved(place(0), place(2))
	case 'T':
		p.curved(p.mirrored(2), place(0))
	case 'A':
		p.draw(newArc(p.at, n[0], n[1], n[2], n[3] == 1, n[4] == 1, place(5)))
	}
}
