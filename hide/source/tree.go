package source

import (
	"bytes"
	"fmt"
	"sort"
	"strconv"
	"strings"

	"github.com/pelletier/go-toml/v2/unstable"
)

// node is a value of a file: a table, a list, or neither. Within a table of
// its own, keys keep the order of the file.
type node struct {
	line  int
	kind  unstable.Kind // Table, Array, or that of a single value
	keys  []string
	table map[string]*node
	list  []*node
}

// step is one part of a path: a key, or the number of an item.
type step struct {
	key  string
	item int // -1 for a key
}

// child is the value one step below, or nil.
func (n *node) child(s step) *node {
	switch {
	case s.item < 0:
		return n.table[s.key]
	case s.item < len(n.list):
		return n.list[s.item]
	}
	return nil
}

// steps takes a path apart. A path that is none gives the steps of its head.
func steps(path string) []step {
	var out []step
	for path != "" {
		switch path[0] {
		case '.':
			path = path[1:]
		case '[':
			number, rest, _ := strings.Cut(path[1:], "]")
			i, err := strconv.Atoi(number)
			if err != nil || i < 0 {
				return out
			}
			out = append(out, step{item: i})
			path = rest
		case '"':
			quoted, err := strconv.QuotedPrefix(path)
			if err != nil {
				return out
			}
			key, _ := strconv.Unquote(quoted)
			out = append(out, step{key: key, item: -1})
			path = path[len(quoted):]
		default:
			i := strings.IndexAny(path, ".[")
			if i < 0 {
				i = len(path)
			}
			out = append(out, step{key: path[:i], item: -1})
			path = path[i:]
		}
	}
	return out
}

// planter builds the tree of a document.
type planter struct {
	parser unstable.Parser
	ends   []int // offset of each line's end
	excess *excess
}

// Bounds beyond which the decoder takes long or recurses deep, and which no
// file written by hand comes near: parts of a dotted key (files have four), and
// keys of one table.
const (
	mostParts = 100
	mostKeys  = 10_000
)

// excess is the error of a file beyond those bounds.
type excess struct {
	line int
	rule string
}

func (e *excess) Error() string { return e.rule }

// plant gives the tree of a document that is well formed, or else an *excess,
// or an error that knows no line.
func plant(data []byte) (*node, error) {
	var p planter
	for i := 0; i < len(data); {
		n := bytes.IndexByte(data[i:], '\n')
		if n < 0 {
			break
		}
		p.ends = append(p.ends, i+n)
		i += n + 1
	}
	p.parser.Reset(data)
	root := &node{kind: unstable.Table, table: map[string]*node{}, line: 1}
	here := root
	for p.parser.NextExpression() {
		e := p.parser.Expression()
		switch e.Kind {
		case unstable.Table, unstable.ArrayTable:
			here = p.header(root, e)
		case unstable.KeyValue:
			p.keyValue(here, e)
		}
		if p.excess != nil {
			return nil, p.excess
		}
	}
	return root, p.parser.Error()
}

// line is the line of a node of the parser; above, if the parser has none.
func (p *planter) line(n *unstable.Node, above int) int {
	for n != nil && n.Raw.Length == 0 && (n.Kind == unstable.Array || n.Kind == unstable.InlineTable) {
		n = n.Child()
	}
	if n == nil || n.Raw.Length == 0 {
		return above
	}
	return 1 + sort.SearchInts(p.ends, int(n.Raw.Offset))
}

// header enters the table that a [header] or [[header]] opens.
func (p *planter) header(n *node, e *unstable.Node) *node {
	parts := 0
	for it := e.Key(); it.Next(); {
		k := it.Node()
		line := p.line(k, 0)
		if parts++; parts > mostParts {
			p.excess = &excess{line, fmt.Sprintf("a key of more than %d parts, expected a few", mostParts)}
			return n
		}
		if !it.IsLast() || e.Kind == unstable.Table {
			n = p.enter(n, string(k.Data), line)
			continue
		}
		l := p.put(n, string(k.Data), &node{kind: unstable.Array, line: line})
		item := &node{kind: unstable.Table, table: map[string]*node{}, line: line}
		l.list = append(l.list, item)
		n = item
	}
	return n
}

func (p *planter) keyValue(n *node, e *unstable.Node) {
	parts := 0
	for it := e.Key(); it.Next(); {
		k := it.Node()
		line := p.line(k, n.line)
		if parts++; parts > mostParts {
			p.excess = &excess{line, fmt.Sprintf("a key of more than %d parts, expected a few", mostParts)}
			return
		}
		if !it.IsLast() {
			n = p.enter(n, string(k.Data), line)
			continue
		}
		v := p.value(e.Value(), line)
		v.line = line // of the key, even where the value begins below it
		p.put(n, string(k.Data), v)
	}
}

func (p *planter) value(v *unstable.Node, above int) *node {
	n := &node{kind: v.Kind, line: p.line(v, above)}
	switch v.Kind {
	case unstable.Array:
		for it := v.Children(); it.Next(); {
			n.list = append(n.list, p.value(it.Node(), n.line))
		}
	case unstable.InlineTable:
		n.kind, n.table = unstable.Table, map[string]*node{}
		for it := v.Children(); it.Next(); {
			p.keyValue(n, it.Node())
		}
	}
	return n
}

// enter is the table under a key, made if there is none; of a list of tables
// it is the last.
func (p *planter) enter(n *node, key string, line int) *node {
	t := p.put(n, key, &node{kind: unstable.Table, table: map[string]*node{}, line: line})
	if len(t.list) > 0 {
		return t.list[len(t.list)-1]
	}
	return t
}

// put stores a value under a key that has none, and returns what is there.
func (p *planter) put(n *node, key string, v *node) *node {
	if old, ok := n.table[key]; ok {
		return old
	}
	if n.table == nil { // the document gives one key two meanings; the decoder will say so
		n.table = map[string]*node{}
	}
	if n.keys = append(n.keys, key); len(n.keys) > mostKeys {
		p.excess = &excess{v.line, fmt.Sprintf("a table of more than %d keys, expected a few", mostKeys)}
	}
	n.table[key] = v
	return v
}
