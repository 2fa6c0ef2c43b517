package site

import (
	"fmt"
	"strconv"
	"strings"
)

// table reads one table of site.toml, and remembers which keys it was asked
// for: the others are unknown.
type table struct {
	l      *loader
	path   string // "bank", "array.1"; "" for the top
	values map[string]any
	known  []string
}

// absent says what a key that is not given means.
type absent struct {
	need         bool
	text, reason string
}

// need makes a key required; the hint tells what it is.
func need(hint string) absent { return absent{need: true, reason: hint} }

// or gives a key a default, written as a person would write it, with the
// reason for it.
func or(text, reason string) absent { return absent{text: text, reason: reason} }

// optional leaves a key's value at zero, which means "none".
var optional = absent{}

// table returns a table of the top level; nil if it is not there.
func (l *loader) table(name string) *table {
	l.tables = append(l.tables, name)
	v, ok := l.tree[name]
	if !ok {
		return nil
	}
	m, ok := v.(map[string]any)
	if !ok {
		hint := fmt.Sprintf("write [%s] on a line of its own, and its keys below", name)
		if _, list := v.([]any); list {
			hint = fmt.Sprintf("there is only one: write [%s], not [[%s]]", name, name)
		}
		l.wrong(name, hint, "is no table")
		return nil
	}
	return &table{l: l, path: name, values: m}
}

// tableList returns a list of tables of the top level.
func (l *loader) tableList(name string) (list []*table) {
	l.tables = append(l.tables, name)
	v, ok := l.tree[name]
	if !ok {
		return nil
	}
	entries, ok := v.([]any)
	if !ok {
		l.wrong(name, fmt.Sprintf("write [[%s]] in double brackets: there may be several", name), "is no list of tables")
		return nil
	}
	for i, e := range entries {
		path := joinPath(name, strconv.Itoa(i))
		m, ok := e.(map[string]any)
		if !ok {
			l.wrong(path, fmt.Sprintf("write [[%s]] on a line of its own, and its keys below", name), "is no table")
			continue
		}
		list = append(list, &table{l: l, path: path, values: m})
	}
	return list
}

// missingTable tells that a required table is not there.
func (l *loader) missingTable(name, hint string) {
	l.problems = append(l.problems, Problem{File: descriptionFile, What: fmt.Sprintf("the table [%s] is missing", name), Hint: hint})
}

// wrong tells what is wrong with the value at a path of site.toml.
func (l *loader) wrong(path, hint, format string, args ...any) {
	p := Problem{File: descriptionFile, What: keyName(path) + ": " + fmt.Sprintf(format, args...), Hint: hint}
	if at, ok := l.at(path); ok {
		p.Line, p.Column = at.valueLine, at.valueColumn
	}
	l.problems = append(l.problems, p)
}

// at returns the place of a path, or of the nearest table around it.
func (l *loader) at(path string) (place, bool) {
	for path != "" {
		if at, ok := l.places[path]; ok {
			return at, true
		}
		i := strings.LastIndexByte(path, '.')
		if i < 0 {
			return place{}, false
		}
		path = path[:i]
	}
	return place{}, false
}

// keyName turns a path into the name that a person knows: list entries count
// from 1, "array.0.tilt" is "array[1].tilt".
func keyName(path string) string {
	parts := strings.Split(path, ".")
	var b strings.Builder
	for i, p := range parts {
		if n, err := strconv.Atoi(p); err == nil && i > 0 {
			fmt.Fprintf(&b, "[%d]", n+1)
			continue
		}
		if i > 0 {
			b.WriteByte('.')
		}
		b.WriteString(p)
	}
	return b.String()
}

func (t *table) key(key string) string { return joinPath(t.path, key) }

// has tells whether a key is given, and makes it a known one.
func (t *table) has(key string) bool {
	if t == nil {
		return false
	}
	_, ok := t.look(key)
	return ok
}

func (t *table) look(key string) (any, bool) {
	for _, k := range t.known {
		if k == key {
			v, ok := t.values[key]
			return v, ok
		}
	}
	t.known = append(t.known, key)
	v, ok := t.values[key]
	return v, ok
}

// wrong tells what is wrong with a key of the table.
func (t *table) wrong(key, hint, format string, args ...any) {
	t.l.wrong(t.key(key), hint, format, args...)
}

// missing handles a key that is not given: it returns the text of its
// default, "" if there is none.
func (t *table) missing(key string, a absent) string {
	if a.need {
		p := Problem{File: descriptionFile, What: keyName(t.key(key)) + ": is missing", Hint: a.reason}
		if at, ok := t.l.places[t.path]; ok {
			p.Line, p.Column = at.line, at.column
		}
		t.l.problems = append(t.l.problems, p)
	}
	if a.text != "" {
		t.l.byDefault(t.key(key), a.text, a.reason)
	}
	return a.text
}

// byDefault records a value that the site did not give.
func (l *loader) byDefault(path, text, reason string) {
	l.site.Defaults = append(l.site.Defaults, Default{Key: keyName(path), Value: text, Reason: reason})
}
