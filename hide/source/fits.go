package source

import (
	"encoding"
	"fmt"
	"reflect"
	"sort"
	"strings"
	"time"

	"github.com/pelletier/go-toml/v2"
	"github.com/pelletier/go-toml/v2/unstable"
)

// fits checks that every value of the document has a place of its kind in the
// value that into points to. The decoder alone takes Leather for leather and
// one [flaws] for a list of them, and it numbers no items.
func (d *Doc) fits(into any) error {
	if e := d.fit("", d.root, reflect.TypeOf(into)); e != nil {
		return e
	}
	return nil
}

var (
	dateType = reflect.TypeFor[toml.LocalDate]()
	timeType = reflect.TypeFor[time.Time]()
	textType = reflect.TypeFor[encoding.TextUnmarshaler]()
)

func (d *Doc) fit(path string, n *node, t reflect.Type) *Error {
	for t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	wrong := func(expected, hint string) *Error {
		return d.Fault(path, fmt.Sprintf("found %s, expected %s", kindName(n.kind), expected), hint)
	}
	switch {
	case t.Kind() == reflect.Interface:
		return nil
	case t == dateType || t == timeType:
		switch n.kind {
		case unstable.LocalDate:
			return nil
		case unstable.DateTime, unstable.LocalDateTime:
			if t == timeType {
				return nil
			}
		}
		return wrong("a date", "write 2027-02-11, without quotes")
	case reflect.PointerTo(t).Implements(textType):
		if n.kind != unstable.String {
			return wrong("text in quotes", "")
		}
		return nil
	}
	switch t.Kind() {
	case reflect.Struct, reflect.Map:
		if n.kind != unstable.Table {
			return wrong("a table", "")
		}
		return d.fitTable(path, n, t)
	case reflect.Slice, reflect.Array:
		if n.kind != unstable.Array {
			hint := ""
			if n.kind == unstable.Table {
				hint = fmt.Sprintf("write [[%s]]", path)
			}
			return wrong("a list", hint)
		}
		for i, item := range n.list {
			if e := d.fit(Item(path, i), item, t.Elem()); e != nil {
				return e
			}
		}
		return nil
	}
	if want, ok := kinds[t.Kind()]; ok && want != n.kind && !(want == unstable.Float && n.kind == unstable.Integer) {
		return wrong(kindName(want), "")
	}
	return nil
}

// kinds are the values of a file for the plain kinds of Go.
var kinds = map[reflect.Kind]unstable.Kind{
	reflect.String: unstable.String, reflect.Bool: unstable.Bool,
	reflect.Int: unstable.Integer, reflect.Int64: unstable.Integer, reflect.Uint64: unstable.Integer,
	reflect.Float64: unstable.Float,
}

func kindName(k unstable.Kind) string {
	switch k {
	case unstable.Table:
		return "a table"
	case unstable.Array:
		return "a list"
	case unstable.String:
		return "text in quotes"
	case unstable.Bool:
		return "true or false"
	case unstable.Integer:
		return "a whole number"
	case unstable.Float:
		return "a number"
	case unstable.LocalDate:
		return "a date"
	default:
		return "a time"
	}
}

func (d *Doc) fitTable(path string, n *node, t reflect.Type) *Error {
	var known map[string]reflect.Type
	if t.Kind() == reflect.Struct {
		known = fields(t)
	}
	for _, key := range n.keys {
		at := Key(path, key)
		place, ok := known[key]
		if t.Kind() == reflect.Map {
			place, ok = t.Elem(), true
		}
		if !ok {
			return d.Fault(at, fmt.Sprintf("unknown key %q", key), nearest(key, known))
		}
		if e := d.fit(at, n.table[key], place); e != nil {
			return e
		}
	}
	return nil
}

// fields are the keys that a struct has a place for.
func fields(t reflect.Type) map[string]reflect.Type {
	out := map[string]reflect.Type{}
	for _, f := range reflect.VisibleFields(t) {
		name, _, _ := strings.Cut(f.Tag.Get("toml"), ",")
		if name != "" && name != "-" && f.IsExported() {
			out[name] = f.Type
		}
	}
	return out
}

// nearest is the hint for an unknown key: the known one that it is most like,
// or all of them.
func nearest(key string, known map[string]reflect.Type) string {
	names := make([]string, 0, len(known))
	for name := range known {
		names = append(names, name)
	}
	sort.Strings(names)
	if hint := DidYouMean(key, names); hint != "" {
		return hint
	}
	return "known here: " + strings.Join(names, ", ")
}
