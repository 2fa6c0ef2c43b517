package files

import (
	"sort"
	"strconv"
	"strings"

	"github.com/pelletier/go-toml/v2/unstable"
)

// place is where a key and its value stand in site.toml, lines and columns
// from 1. Columns count bytes.
type place struct {
	line, column, valueLine, valueColumn int
	from                                 string // a setting that put it there; no line, then
}

// key and value point a problem to a key and to its value.
func (at place) key(p *Problem)   { at.point(p, at.line, at.column) }
func (at place) value(p *Problem) { at.point(p, at.valueLine, at.valueColumn) }

func (at place) point(p *Problem, line, column int) {
	p.Line, p.Column = line, column
	if at.from != "" {
		p.File, p.Line, p.Column = at.from, 0, 0
	}
}

// places maps the path of every key, table and list entry of a TOML document
// to where it stands. Paths join their parts with a dot; entries of lists are
// numbered from 0: "array.1.tilt", "turbine.nozzles.0". It returns what it
// has when it meets something that is not TOML.
func places(document []byte) map[string]place {
	f := finder{found: map[string]place{}, entries: map[string]int{}, lineStarts: []int{0}}
	for i, c := range document {
		if c == '\n' {
			f.lineStarts = append(f.lineStarts, i+1)
		}
	}
	var p unstable.Parser
	p.Reset(document)
	prefix := ""
	for p.NextExpression() {
		switch e := p.Expression(); e.Kind {
		case unstable.Table:
			keys, at := f.keys(e.Key())
			prefix = f.table(keys)
			if _, ok := f.found[prefix]; !ok {
				f.found[prefix] = at
			}
		case unstable.ArrayTable:
			keys, at := f.keys(e.Key())
			list := JoinPath(f.table(keys[:len(keys)-1]), keys[len(keys)-1])
			n := f.entries[list]
			f.entries[list] = n + 1
			prefix = JoinPath(list, strconv.Itoa(n))
			f.found[prefix] = at
			if n == 0 {
				f.found[list] = at
			}
		case unstable.KeyValue:
			f.keyValue(e, prefix)
		}
	}
	return f.found
}

type finder struct {
	found      map[string]place
	entries    map[string]int // tables so far of each list of tables
	lineStarts []int
}

func (f *finder) keyValue(e *unstable.Node, prefix string) {
	keys, at := f.keys(e.Key())
	f.value(e.Value(), JoinPath(prefix, strings.Join(keys, ".")), at)
}

func (f *finder) value(v *unstable.Node, path string, at place) {
	if line, column, ok := f.start(v); ok {
		at.valueLine, at.valueColumn = line, column
	}
	f.found[path] = at
	it := v.Children()
	switch v.Kind {
	case unstable.InlineTable:
		for it.Next() {
			f.keyValue(it.Node(), path)
		}
	case unstable.Array:
		for i := 0; it.Next(); {
			if it.Node().Kind != unstable.Comment {
				f.value(it.Node(), JoinPath(path, strconv.Itoa(i)), at)
				i++
			}
		}
	}
}

// start returns where a node's text begins, for those nodes that keep it.
func (f *finder) start(n *unstable.Node) (line, column int, ok bool) {
	if n.Raw.Length == 0 {
		return 0, 0, false
	}
	offset := int(n.Raw.Offset)
	line = sort.SearchInts(f.lineStarts, offset+1)
	return line, offset - f.lineStarts[line-1] + 1, true
}

func (f *finder) keys(it unstable.Iterator) (keys []string, at place) {
	for it.Next() {
		if line, column, ok := f.start(it.Node()); ok && at.line == 0 {
			at = place{line: line, column: column, valueLine: line, valueColumn: column}
		}
		keys = append(keys, string(it.Node().Data))
	}
	return keys, at
}

// table joins the keys of a table's header; a key that names a list of tables
// stands for its latest entry.
func (f *finder) table(keys []string) string {
	path := ""
	for _, k := range keys {
		path = JoinPath(path, k)
		if n := f.entries[path]; n > 0 {
			path = JoinPath(path, strconv.Itoa(n-1))
		}
	}
	return path
}

// JoinPath adds a key, or the number of a list entry, to a path.
func JoinPath(prefix, key string) string {
	if prefix == "" {
		return key
	}
	return prefix + "." + key
}
