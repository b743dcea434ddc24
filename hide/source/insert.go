package source

import (
	"bytes"

	"github.com/pelletier/go-toml/v2/unstable"
)

// Appended gives a TOML file with one more item in a list of tables at its
// head: fields are the lines of the item, `kind = "hole"`, and note a word for
// a comment beside it. All that stands in the file stays byte for byte. Where the
// list is written as key = [...], the item becomes the first in the brackets,
// since no [[key]] may follow them; otherwise it is a [[key]] at the end, which
// means the same wherever the last table of the file belongs. The file is taken
// to be well formed.
func Appended(data []byte, key string, fields []string, note string) []byte {
	if at, inline := opening(data, key); inline {
		item := []byte("{")
		for i, f := range fields {
			if i > 0 {
				item = append(item, ", "...)
			}
			item = append(item, f...)
		}
		item = append(item, '}')
		if rest := bytes.TrimLeft(data[at:], " \t\r\n"); !bytes.HasPrefix(rest, []byte("]")) {
			item = append(item, ", "...)
		}
		return join(data[:at], item, data[at:])
	}
	end := []byte("\n")
	if i := bytes.IndexByte(data, '\n'); i > 0 && data[i-1] == '\r' {
		end = []byte("\r\n")
	}
	var tail []byte
	if len(data) > 0 && data[len(data)-1] != '\n' {
		tail = append(tail, end...)
	}
	tail = join(tail, end, []byte("[["+key+"]]  # "+note), end)
	for _, f := range fields {
		tail = join(tail, []byte(f), end)
	}
	return join(data, tail)
}

// join puts texts one behind the other, into room of their own.
func join(parts ...[]byte) []byte { return bytes.Join(parts, nil) }

// opening is the place behind the bracket with which the list under a key at the
// head of a file opens, and whether there is such a list.
func opening(data []byte, key string) (at int, found bool) {
	mark := len(data) - len(bytes.TrimPrefix(data, []byte("\xef\xbb\xbf")))
	text := data[mark:]
	var p unstable.Parser
	p.Reset(text)
	for p.NextExpression() {
		e := p.Expression()
		if e.Kind != unstable.KeyValue {
			if e.Kind == unstable.Comment {
				continue
			}
			return 0, false
		}
		it := e.Key()
		it.Next()
		k := it.Node()
		if string(k.Data) != key || !it.IsLast() || e.Value().Kind != unstable.Array {
			continue
		}
		from := int(k.Raw.Offset + k.Raw.Length)
		i := bytes.IndexByte(text[from:], '[') // between lie blanks and the = alone
		return mark + from + i + 1, i >= 0
	}
	return 0, false
}
