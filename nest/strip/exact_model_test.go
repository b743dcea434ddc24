package strip_test

import (
	"bufio"
	"bytes"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"strapwise/nest"
)

// program is a mixed-integer program: the greatest sum of worths under rows of
// sums that must be at most their limits. All variables are whole and at least 0.
type program struct {
	worth, most []float64 // of each variable
	columns     [][]entry // of each variable
	limits      []float64 // of each row
}

type entry struct {
	row  int
	much float64
}

// variable adds one and gives its number.
func (m *program) variable(worth, most float64) int {
	m.worth, m.most, m.columns = append(m.worth, worth), append(m.most, most), append(m.columns, nil)
	return len(m.worth) - 1
}

// row adds a limit on a sum of variables, to which add adds.
func (m *program) row(limit float64) int {
	m.limits = append(m.limits, limit)
	return len(m.limits) - 1
}

func (m *program) add(row, variable int, much float64) {
	for i := range m.columns[variable] {
		if e := &m.columns[variable][i]; e.row == row {
			e.much += much
			return
		}
	}
	m.columns[variable] = append(m.columns[variable], entry{row, much})
}

// atMost adds a row: the sum of the plus less that of the minus is at most the
// limit.
func (m *program) atMost(limit float64, plus, minus []int) {
	if len(plus) == 0 {
		return // nothing to limit
	}
	r := m.row(limit)
	for _, v := range plus {
		m.add(r, v, 1)
	}
	for _, v := range minus {
		m.add(r, v, -1)
	}
}

// write gives the program in the MPS format, its fields in their fixed places.
func (m *program) write() []byte {
	var b bytes.Buffer
	b.WriteString("NAME          LAY\nROWS\n N  W\n")
	for r := range m.limits {
		fmt.Fprintf(&b, " L  R%d\n", r)
	}
	field := func(kind, of, in string, v float64) {
		fmt.Fprintf(&b, " %-2s %-8s  %-8s  %12v\n", kind, of, in, v)
	}
	name := func(of string, n int) string { return of + strconv.Itoa(n) }
	b.WriteString("COLUMNS\n    MARK0     'MARKER'                 'INTORG'\n")
	for v, column := range m.columns {
		field("", name("V", v), "W", -m.worth[v]) // solvers take the least
		for _, e := range column {
			field("", name("V", v), name("R", e.row), e.much)
		}
	}
	b.WriteString("    MARK1     'MARKER'                 'INTEND'\nRHS\n")
	for r, limit := range m.limits {
		if limit != 0 {
			field("", "RHS", name("R", r), limit)
		}
	}
	b.WriteString("BOUNDS\n")
	for v, most := range m.most {
		field("UP", "BND", name("V", v), most)
	}
	b.WriteString("ENDATA\n")
	return b.Bytes()
}

// optimum solves the program with cbc (COIN-OR branch and cut; Debian's
// coinor-cbc).
func (m *program) optimum(t *testing.T, cbc string) float64 {
	t.Helper()
	dir := t.TempDir()
	model, solution := filepath.Join(dir, "lay.mps"), filepath.Join(dir, "lay.txt")
	if err := os.WriteFile(model, m.write(), 0o600); err != nil {
		t.Fatal(err)
	}
	said, err := exec.Command(cbc, model, "ratioGap", "0", "allowableGap", "0", "solve", "solution", solution).CombinedOutput()
	if err != nil {
		t.Fatalf("cbc: %v\n%s", err, said)
	}
	file, err := os.Open(solution)
	if err != nil {
		t.Fatalf("cbc left no solution: %v\n%s", err, said)
	}
	defer file.Close()
	line := bufio.NewScanner(file)
	line.Scan()
	text, ok := strings.CutPrefix(line.Text(), "Optimal - objective value ")
	worth, err := strconv.ParseFloat(strings.TrimSpace(text), 64)
	if !ok || err != nil {
		t.Fatalf("cbc says %q, expected an optimum\n%s", line.Text(), said)
	}
	return -worth + 0
}

// size is one size of piece, in marks.
type size struct {
	leather, use  string
	length, width int
}

// board is a hide with its pieces' places: at[k][y][x] is the variable of a
// piece of size k with its corner at that mark, or -1.
type board struct {
	kind       string // its leather
	long, deep int
	at         [][][]int
}

// layProgram writes a job as a program by a way of its own: a variable for each
// place where a piece may lie, found by clipping. plain allows strips over the
// whole hide only; otherwise bands are cut into blocks, and blocks into strips.
// Two rips over the whole hide lie 0 or at least the cutter's least width apart.
func layProgram(e exact, plain bool) *program {
	m := &program{}
	mark := e.job.Tools.Mark
	up := func(mm float64) int { return int(math.Ceil(mm/mark - 1e-9)) }
	var sizes []size
	var rows []int // of each size: no more sets than pieces
	index := map[size]int{}
	for _, o := range e.job.Orders {
		sets := m.variable(o.Worth, float64(o.Qty))
		for _, p := range o.Parts {
			s := size{p.Leather, p.Use, up(p.Length), up(p.Width)}
			k, known := index[s]
			if !known {
				k = len(sizes)
				index[s] = k
				sizes, rows = append(sizes, s), append(rows, m.row(0))
			}
			m.add(rows[k], sets, float64(p.Count))
		}
	}
	gap := max(1, up(e.job.Tools.CutterMin))
	for _, h := range e.hides {
		b := board{kind: h.kind, long: h.long, deep: h.deep}
		for k, s := range sizes {
			b.at = append(b.at, nil)
			for y := range b.deep {
				b.at[k] = append(b.at[k], nil)
				for x := range b.long {
					v := -1
					if s.leather == h.kind && e.cuts(s.width) && e.serves(h, s, x, y) {
						v = m.variable(0, 1)
						m.add(rows[k], v, -1)
					}
					b.at[k][y] = append(b.at[k][y], v)
				}
			}
		}
		if plain {
			m.strips(b, sizes, gap)
		} else {
			m.blocks(b, sizes, gap)
		}
	}
	return m
}

// widths are those of the strips that pieces of the board's leather ask for,
// each once.
func (b board) widths(sizes []size) []int {
	var out []int
	seen := map[int]bool{}
	for _, s := range sizes {
		if s.leather == b.kind && !seen[s.width] {
			seen[s.width] = true
			out = append(out, s.width)
		}
	}
	return out
}

// over are the pieces in the strip of width w at y that lie over column c, or,
// with a cut, those that a cross-cut at mark c would cut in two.
func (b board) over(sizes []size, w, y, c int, cut bool) []int {
	var out []int
	for k, s := range sizes {
		if s.width != w {
			continue
		}
		from := c - s.length + 1
		to := c
		if cut {
			to = c - 1
		}
		for x := max(0, from); x <= to && x < b.long; x++ {
			if v := b.at[k][y][x]; v >= 0 {
				out = append(out, v)
			}
		}
	}
	return out
}

// strips allows strips of one width over the whole board.
func (m *program) strips(b board, sizes []size, gap int) {
	rows := make([][]int, b.deep)     // strips over each row
	ends := make([][]int, b.deep+1)   // strips by their far edge
	starts := make([][]int, b.deep+1) // and by their near edge
	for _, w := range b.widths(sizes) {
		for y := 0; y+w <= b.deep; y++ {
			s := m.variable(0, 1)
			for c := range b.long {
				if pieces := b.over(sizes, w, y, c, false); len(pieces) > 0 {
					m.atMost(0, pieces, []int{s})
				}
			}
			for r := y; r < y+w; r++ {
				rows[r] = append(rows[r], s)
			}
			starts[y], ends[y+w] = append(starts[y], s), append(ends[y+w], s)
		}
	}
	for _, strips := range rows {
		m.atMost(1, strips, nil)
	}
	m.apart(starts, ends, gap)
}

// apart keeps waste between two strips at 0 or at least the gap.
func (m *program) apart(starts, ends [][]int, gap int) {
	for e := range ends {
		for s := e + 1; s < min(e+gap, len(starts)); s++ {
			if len(ends[e]) == 0 || len(starts[s]) == 0 {
				continue
			}
			m.atMost(1, append(slices.Clone(ends[e]), starts[s]...), nil)
		}
	}
}

// blocks allows bands of any depth, each cross-cut into blocks, each ripped
// into strips from its near edge without a gap, though a strip may be scrap;
// what is left beyond them is scrap too.
//
//	rip     at each mark of y: a rip over the whole hide, the first of them struck
//	cross   at each row and mark of x: the band of that row is cross-cut there
//	strip   for each width, mark of y and column: a strip lies there
//
// Cross-cuts are the same in all rows of a band, strips in all columns of a
// block.
func (m *program) blocks(b board, sizes []size, gap int) {
	rip := make([]int, b.deep+1)
	for y := range rip {
		rip[y] = m.variable(0, 1)
	}
	for y := range rip { // bands are ripped off: as deep as the gap or none
		for far := y + 1; far < min(y+gap, len(rip)); far++ {
			m.atMost(1, []int{rip[y], rip[far]}, nil)
		}
	}
	cross := make([][]int, b.deep)
	for y := range cross {
		for range b.long + 1 {
			cross[y] = append(cross[y], m.variable(0, 1))
		}
	}
	for y := 1; y < b.deep; y++ {
		for x := 1; x < b.long; x++ {
			m.atMost(0, []int{cross[y][x]}, []int{cross[y-1][x], rip[y]})
			m.atMost(0, []int{cross[y-1][x]}, []int{cross[y][x], rip[y]})
		}
	}
	rows := make([][][]int, b.long) // of each column: strips over each row
	starts, ends := make([][][]int, b.long), make([][][]int, b.long)
	for c := range b.long {
		rows[c], starts[c], ends[c] = make([][]int, b.deep), make([][]int, b.deep+1), make([][]int, b.deep+1)
	}
	for _, w := range b.widths(sizes) {
		for y := 0; y+w <= b.deep; y++ {
			before := -1
			for c := range b.long {
				s := m.variable(0, 1)
				m.atMost(0, b.over(sizes, w, y, c, false), []int{s})
				if cut := b.over(sizes, w, y, c, true); len(cut) > 0 {
					m.atMost(1, append(cut, cross[y][c]), nil)
				}
				if before >= 0 { // the same strip as in the column before, or a cross-cut
					m.atMost(0, []int{s}, []int{before, cross[y][c]})
					m.atMost(0, []int{before}, []int{s, cross[y][c]})
				}
				before = s
				for r := y; r < y+w; r++ {
					rows[c][r] = append(rows[c][r], s)
				}
				starts[c][y], ends[c][y+w] = append(starts[c][y], s), append(ends[c][y+w], s)
				for r := y + 1; r < y+w; r++ {
					m.atMost(1, []int{s, rip[r]}, nil)
				}
				m.atMost(0, []int{s}, rip[:y+1]) // beyond the struck edge
			}
		}
	}
	for c := range b.long {
		for _, strips := range rows[c] {
			m.atMost(1, strips, nil)
		}
		for y, strips := range starts[c] { // at the near edge of the block, or where a strip ends
			for _, s := range strips {
				m.atMost(0, []int{s}, append([]int{rip[y]}, ends[c][y]...))
			}
		}
	}
}

// cuts reports whether the strap cutter takes a strip so many marks wide.
func (e exact) cuts(width int) bool {
	t := e.job.Tools
	return e.job.Tools.CanCut(nest.Part{Width: float64(width) * t.Mark})
}
