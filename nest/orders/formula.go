package orders

import (
	"errors"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"unicode/utf8"

	"strapwise/hide/measure"
)

// A formula is what a pattern says of a length or a count:
//
//	size + 2in + 2 * pitch
//	2 * (width + 1/16in) + 4 * lining_substance
//	(holes - 1) / 2
//
// Its grammar, with the usual precedence and from left to right:
//
//	sum     = product { ("+" | "-") product }
//	product = factor { ("*" | "/") factor }
//	factor  = "-" factor | "(" sum ")" | length | number | name
//
// A length is a number with a unit, in any form that package measure reads. A
// fraction written right before a unit belongs to it: size/1/16in is
// size / (1/16in), and 1 3/8in is one length; size/2 is a division. A name is a
// measure of the pattern or something that the order gives.
//
// Every value is a length or a number, and the two do not mix: they are not
// added to each other, and lengths are not multiplied. The kind of a formula
// follows from the kinds of its names alone, so a pattern is checked once,
// before any order asks for it; only sizes are left to evaluation.
type formula struct {
	text string
	root *node
}

// kind is what a value measures.
type kind int

const (
	aNumber kind = iota
	aLength      // millimetres
)

func (k kind) String() string {
	if k == aLength {
		return "a length"
	}
	return "a number"
}

// node is one step of a formula. Leaves have op 0: a name, or a constant.
type node struct {
	op          byte // + - * / or ~, which turns the sign of left
	at          int  // place of the first letter, from 1
	left, right *node
	name        string
	kind        kind // of a constant
	value       float64
}

// formulaError is what is wrong with a formula, and where in its text.
type formulaError struct {
	text string
	at   int // letters from 1
	rule string
	hint string
}

func (e *formulaError) Error() string {
	return fmt.Sprintf("in %q at letter %d: %s", e.text, e.at, e.rule)
}

// Limits that keep a hostile formula from exhausting the stack: no pattern of
// a bench comes near them.
const (
	maxFormula = 400 // letters
	maxNesting = 40  // brackets and signs within each other
)

// parseFormula reads a formula. The error is a *formulaError.
func parseFormula(text string) (formula, error) {
	p := &parser{text: text}
	if n := utf8.RuneCountInString(text); n > maxFormula {
		return formula{}, &formulaError{text: string([]rune(text)[:20]) + "…", at: 1, rule: fmt.Sprintf("found %d letters, expected at most %d", n, maxFormula)}
	}
	if !utf8.ValidString(text) {
		return formula{}, p.fail(0, "found bytes that are not UTF-8, expected text", "")
	}
	root, err := p.sum(0)
	if err != nil {
		return formula{}, err
	}
	if p.skip(); p.pos < len(text) {
		found := p.word()
		hint := ""
		if isLetter(rune(found[0])) && p.pos > 0 && isDigit(text[p.pos-1]) {
			hint = "units are mm, cm, m, in and ft"
		}
		return formula{}, p.fail(p.pos, fmt.Sprintf(`found %q, expected one of + - * / or the end`, found), hint)
	}
	return formula{text: text, root: root}, nil
}

type parser struct {
	text string
	pos  int // bytes
}

func (p *parser) fail(pos int, rule, hint string) error {
	return &formulaError{text: p.text, at: p.letter(pos), rule: rule, hint: hint}
}

func (p *parser) letter(pos int) int { return utf8.RuneCountInString(p.text[:pos]) + 1 }

func (p *parser) skip() {
	for p.pos < len(p.text) && (p.text[p.pos] == ' ' || p.text[p.pos] == '\t') {
		p.pos++
	}
}

// peek is the next byte that is not a blank, 0 at the end.
func (p *parser) peek() byte {
	if p.skip(); p.pos < len(p.text) {
		return p.text[p.pos]
	}
	return 0
}

func (p *parser) sum(depth int) (*node, error) {
	return p.chain("+-", depth, p.product)
}

func (p *parser) product(depth int) (*node, error) {
	return p.chain("*/", depth, p.factor)
}

// chain reads operands joined by any of the operators, left to right.
func (p *parser) chain(operators string, depth int, operand func(int) (*node, error)) (*node, error) {
	left, err := operand(depth)
	if err != nil {
		return nil, err
	}
	for {
		op := p.peek()
		if op == 0 || strings.IndexByte(operators, op) < 0 {
			return left, nil
		}
		at := p.letter(p.pos)
		p.pos++
		right, err := operand(depth)
		if err != nil {
			return nil, err
		}
		left = &node{op: op, at: at, left: left, right: right}
	}
}

func (p *parser) factor(depth int) (*node, error) {
	if depth > maxNesting {
		return nil, p.fail(p.pos, fmt.Sprintf("found more than %d brackets within each other, expected fewer", maxNesting), "")
	}
	c := p.peek()
	start := p.pos
	switch {
	case c == '-':
		p.pos++
		n, err := p.factor(depth + 1)
		if err != nil {
			return nil, err
		}
		return &node{op: '~', at: p.letter(start), left: n}, nil
	case c == '(':
		p.pos++
		n, err := p.sum(depth + 1)
		if err != nil {
			return nil, err
		}
		if p.peek() != ')' {
			return nil, p.fail(p.pos, fmt.Sprintf("found %s, expected a closing bracket", p.found()), "")
		}
		p.pos++
		return n, nil
	case isDigit(c), c == '.', c >= utf8.RuneSelf && lengthText.MatchString(p.text[start:]):
		return p.constant()
	case isNameStart(c):
		p.pos += len(nameText.FindString(p.text[start:]))
		return &node{at: p.letter(start), name: p.text[start:p.pos]}, nil
	}
	return nil, p.fail(start, fmt.Sprintf("found %s, expected a length, a number, a measure or an opening bracket", p.found()), "")
}

// found is what stands at the parser's place, for messages.
func (p *parser) found() string {
	if p.peek() == 0 {
		return "the end"
	}
	return strconv.Quote(p.word())
}

// word is the name, number or sign at the parser's place, which is not the end.
func (p *parser) word() string {
	rest := p.text[p.pos:]
	for _, re := range []*regexp.Regexp{nameText, numberText} {
		if w := re.FindString(rest); w != "" {
			return w
		}
	}
	_, size := utf8.DecodeRuneInString(rest)
	return rest[:size]
}

const (
	figures = `(?:[0-9]+[ \t]+[0-9]+/[0-9]+|[0-9]+/[0-9]+|[0-9]*[½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅐⅛⅜⅝⅞⅑⅒]|[0-9]*\.?[0-9]+)`
	feet    = `(?:feet|foot|ft|′|’|')`
	inches  = `(?:inches|inch|in|″|”|"|'')`
)

var (
	lengthText = regexp.MustCompile(`^(?:` + figures + `[ \t]*` + feet + `[ \t]*` + figures + `[ \t]*` + inches +
		`|` + figures + `[ \t]*(?:mm|cm|m|` + inches + `|` + feet + `))`)
	numberText = regexp.MustCompile(`^(?:[0-9]+[ \t]+[0-9]+/[0-9]+|[0-9]+(?:\.[0-9]+)?|\.[0-9]+)`)
	nameText   = regexp.MustCompile(`^[a-z_][a-z0-9_]*`)
)

// constant reads a length with its unit, or a number.
func (p *parser) constant() (*node, error) {
	start, rest := p.pos, p.text[p.pos:]
	if text := lengthText.FindString(rest); text != "" && !isNameByte(rest, len(text)) {
		mm, err := measure.Length(text, 0)
		if err != nil {
			rule, hint := ruleOf(err)
			return nil, p.fail(start, rule, hint)
		}
		p.pos += len(text)
		return &node{at: p.letter(start), kind: aLength, value: mm}, nil
	}
	text := numberText.FindString(rest)
	if text == "" {
		return nil, p.fail(start, fmt.Sprintf("found %s, expected a number", p.found()), "")
	}
	value, ok := parseNumber(text)
	if !ok {
		return nil, p.fail(start, fmt.Sprintf("found %q, expected a number", text), "")
	}
	p.pos += len(text)
	return &node{at: p.letter(start), kind: aNumber, value: value}, nil
}

// ruleOf takes an error of package measure apart.
func ruleOf(err error) (rule, hint string) {
	if m, ok := errors.AsType[*measure.Error](err); ok {
		return m.Error(), m.Hint
	}
	return err.Error(), ""
}

// parseNumber reads 3, 2.5 or 1 3/8.
func parseNumber(text string) (float64, bool) {
	whole, fraction, mixed := strings.Cut(text, "/")
	if !mixed {
		v, err := strconv.ParseFloat(text, 64)
		return v, err == nil
	}
	parts := strings.Fields(whole)
	a, err1 := strconv.ParseFloat(parts[0], 64)
	b, err2 := strconv.ParseFloat(parts[1], 64)
	c, err3 := strconv.ParseFloat(fraction, 64)
	return a + b/c, err1 == nil && err2 == nil && err3 == nil && c != 0
}

func isDigit(c byte) bool     { return c >= '0' && c <= '9' }
func isLetter(r rune) bool    { return r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' }
func isNameStart(c byte) bool { return c >= 'a' && c <= 'z' || c == '_' }

// isNameByte reports whether the text at i goes on with a letter, so that what
// stands before it is no unit but the start of a word.
func isNameByte(text string, i int) bool {
	return i < len(text) && (isLetter(rune(text[i])) || text[i] == '_')
}

// kindOf is the kind of the formula's value, given the kinds of its names. An
// error that lookup returns is passed on as it is; others are *formulaErrors.
func (f formula) kindOf(lookup func(name string, at int) (kind, error)) (kind, error) {
	return f.root.kindOf(f.text, lookup)
}

func (n *node) kindOf(text string, lookup func(string, int) (kind, error)) (kind, error) {
	if n.op == 0 {
		if n.name != "" {
			return lookup(n.name, n.at)
		}
		return n.kind, nil
	}
	left, err := n.left.kindOf(text, lookup)
	if err != nil || n.op == '~' {
		return left, err
	}
	right, err := n.right.kindOf(text, lookup)
	if err != nil {
		return 0, err
	}
	refuse := func(rule, hint string) (kind, error) {
		return 0, &formulaError{text: text, at: n.at, rule: rule, hint: hint}
	}
	switch {
	case n.op == '*' && left == aLength && right == aLength:
		return refuse("found a length times a length, expected a length times a number", "")
	case n.op == '/' && left == aNumber && right == aLength:
		return refuse("found a number divided by a length, expected a length", "")
	case n.op == '/' && left == aLength && right == aLength:
		return aNumber, nil
	case n.op == '*' || n.op == '/':
		return max(left, right), nil
	case left != right:
		return refuse(fmt.Sprintf("found %s %c %s, expected two lengths or two numbers", left, n.op, right), "a length needs its unit: 2in, 50mm")
	}
	return left, nil
}

// eval is the formula's value: millimetres, or a number.
func (f formula) eval(lookup func(name string) (float64, error)) (float64, error) {
	return f.root.eval(f.text, lookup)
}

func (n *node) eval(text string, lookup func(string) (float64, error)) (float64, error) {
	if n.op == 0 {
		if n.name != "" {
			return lookup(n.name)
		}
		return n.value, nil
	}
	left, err := n.left.eval(text, lookup)
	if err != nil {
		return 0, err
	}
	if n.op == '~' {
		return -left, nil
	}
	right, err := n.right.eval(text, lookup)
	if err != nil {
		return 0, err
	}
	var v float64
	switch n.op {
	case '+':
		v = left + right
	case '-':
		v = left - right
	case '*':
		v = left * right
	case '/':
		if right == 0 {
			return 0, &formulaError{text: text, at: n.at, rule: "found a division by 0, expected another divisor"}
		}
		v = left / right
	}
	if math.IsInf(v, 0) || math.IsNaN(v) {
		return 0, &formulaError{text: text, at: n.at, rule: "found a value too large to hold, expected less"}
	}
	return v, nil
}
