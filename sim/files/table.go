package files

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"sunrill/sim/measure"
)

// Document is a TOML file of the folder.
type Document struct {
	*Folder
	file     string
	tree     map[string]any
	places   map[string]place
	tables   []string // of the top level, as far as they are known
	Head     *Table   // the keys before the first table
	Defaults []Default
	Warnings []string // odd but valid: the first of them; [Document.Warned] counts the others

	Broken bool // some of its lines are no TOML: what it says is not whole

	unwarned int
}

// maxWarnings are kept: who has more reads none.
const maxWarnings = 200

// Warn keeps a word on something odd but valid.
func (d *Document) Warn(format string, args ...any) {
	if d.WarnedEnough() {
		d.unwarned++
		return
	}
	d.Warnings = append(d.Warnings, fmt.Sprintf(format, args...))
}

// WarnedEnough tells whether further warnings are only counted, by
// [Document.WarnMore].
func (d *Document) WarnedEnough() bool { return len(d.Warnings) >= maxWarnings }

// WarnMore counts warnings that are not told one by one.
func (d *Document) WarnMore(n int) { d.unwarned += n }

// Warned returns all warnings that are told: at last how many more there are.
func (d *Document) Warned() []string {
	if d.unwarned == 0 {
		return d.Warnings
	}
	return append(slices.Clone(d.Warnings), fmt.Sprintf("and %d more", d.unwarned))
}

// Mute keeps no more problems of the document: what a [Document.Broken] one
// lacks may stand in a line that was not read.
func (d *Document) Mute() { d.muted = d.file }

// ownWords takes from a message of the TOML reader what only tells of its own
// insides.
func ownWords(message string) string {
	what, inside, ok := strings.Cut(message, ": strconv.")
	if !ok {
		return message
	}
	if strings.Contains(inside, "out of range") {
		return "the number is too large"
	}
	return what
}

// Given tells whether the document has a key or a table of that name at its top.
func (d *Document) Given(name string) bool {
	_, ok := d.tree[name]
	return ok
}

// Values returns every value that the document gives, as it would be written,
// by its key: "bank.capacity", and "array.roof.tilt" by the name of an entry or
// its number from 1.
func (d *Document) Values() map[string]string {
	values := map[string]string{}
	for _, g := range d.GivenValues() {
		values[g.Key] = g.Value
		if g.Text {
			values[g.Key] = show(g.Value)
		}
	}
	return values
}

// Empty tells whether the document says nothing.
func (d *Document) Empty() bool { return len(d.tree) == 0 }

// NoTable returns a table of that name in which nothing is given.
func (d *Document) NoTable(name string) *Table { return &Table{d: d, path: name} }

// FileOf returns the file that a key names, or its usual name.
func (d *Document) FileOf(table, key, usual string) string {
	if t, ok := d.tree[table].(map[string]any); ok {
		if f, ok := t[key].(string); ok {
			return f
		}
	}
	return usual
}

// Table reads one table of site.toml, and remembers which keys it was asked
// for: the others are unknown.
type Table struct {
	d      *Document
	path   string // "bank", "array.1"; "" for the top
	values map[string]any
	known  []string
}

// Absent says what a key that is not given means.
type Absent struct {
	Needed       bool
	Text, Reason string // a default, and why; of a needed key what it is
}

// cure tells what to write in place of an empty value.
func (a Absent) cure() string {
	switch {
	case a.Needed:
		return a.Reason
	case a.Text != "":
		return fmt.Sprintf("take the line out: then it is %s", a.Text)
	}
	return "take the line out if there is nothing to say"
}

// Need makes a key required; the hint tells what it is.
func Need(hint string) Absent { return Absent{Needed: true, Reason: hint} }

// Or gives a key a default, written as a person would write it, with the
// reason for it.
func Or(text, reason string) Absent { return Absent{Text: text, Reason: reason} }

// Optional leaves a key's value at zero, which means "none".
var Optional = Absent{}

// Table returns a table of the top level; nil if it is not there.
func (d *Document) Table(name string) *Table {
	d.tables = append(d.tables, name)
	v, ok := d.tree[name]
	if !ok {
		return nil
	}
	m, ok := v.(map[string]any)
	if !ok {
		hint := fmt.Sprintf("write [%s] on a line of its own, and its keys below", name)
		if _, list := v.([]any); list {
			hint = fmt.Sprintf("there is only one: write [%s], not [[%s]]", name, name)
		}
		d.Wrong(name, hint, "is no table")
		return nil
	}
	return &Table{d: d, path: name, values: m}
}

// TableList returns a list of tables of the top level.
func (d *Document) TableList(name string) (list []*Table) {
	d.tables = append(d.tables, name)
	v, ok := d.tree[name]
	if !ok {
		return nil
	}
	entries, ok := v.([]any)
	if !ok {
		d.Wrong(name, fmt.Sprintf("write [[%s]] in double brackets: there may be several", name), "is no list of tables")
		return nil
	}
	for i, e := range entries {
		path := JoinPath(name, strconv.Itoa(i))
		m, ok := e.(map[string]any)
		if !ok {
			d.Wrong(path, fmt.Sprintf("write [[%s]] on a line of its own, and its keys below", name), "is no table")
			continue
		}
		list = append(list, &Table{d: d, path: path, values: m})
	}
	return list
}

// MissingTable tells that a required table is not there.
func (d *Document) MissingTable(name, hint string) {
	d.Tell(Problem{File: d.file, What: fmt.Sprintf("the table [%s] is missing", name), Hint: hint})
}

// Wrong tells what is wrong with the value at a path of site.toml.
func (d *Document) Wrong(path, hint, format string, args ...any) {
	p := Problem{File: d.file, What: keyName(path) + ": " + fmt.Sprintf(format, args...), Hint: hint}
	if at, ok := d.at(path); ok {
		at.value(&p)
	}
	d.Tell(p)
}

// at returns the place of a path, or of the nearest table around it.
func (d *Document) at(path string) (place, bool) {
	for path != "" {
		if at, ok := d.places[path]; ok {
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

// Key returns the path of a key of the table, as [Document.Wrong] takes it.
func (t *Table) Key(key string) string { return JoinPath(t.path, key) }

// Has tells whether a key is given, and makes it a known one.
func (t *Table) Has(key string) bool {
	if t == nil {
		return false
	}
	_, ok := t.Look(key)
	return ok
}

// Look returns what a key has, as TOML has it, and makes it a known one.
func (t *Table) Look(key string) (any, bool) {
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

// Wrong tells what is wrong with a key of the table.
func (t *Table) Wrong(key, hint, format string, args ...any) {
	t.d.Wrong(t.Key(key), hint, format, args...)
}

// Missing handles a key that is not given: it returns the text of its
// default, "" if there is none.
func (t *Table) Missing(key string, a Absent) string { return t.missing(key, a, nil) }

func (t *Table) missing(key string, a Absent, m *measure.Measure) string {
	if a.Needed {
		p := Problem{File: t.d.file, What: keyName(t.Key(key)) + ": is missing", Hint: a.Reason}
		if at, ok := t.d.places[t.path]; ok {
			at.key(&p)
		}
		t.d.Tell(p)
	}
	if a.Text != "" {
		t.d.byDefault(t.Key(key), a.Text, a.Reason, m)
	}
	return a.Text
}

// ByDefault records a value that the document did not give.
func (d *Document) ByDefault(path, text, reason string) { d.byDefault(path, text, reason, nil) }

// ByDefaultOf records a quantity that the document did not give, written as
// the measure takes it.
func (d *Document) ByDefaultOf(path string, m *measure.Measure, text, reason string) {
	d.byDefault(path, text, reason, m)
}

func (d *Document) byDefault(path, text, reason string, m *measure.Measure) {
	v := Default{Key: keyName(path), text: text, reason: reason, measure: m}
	if m != nil {
		var err error
		if v.si, v.unit, err = m.ParseUnit(text); err != nil {
			panic("files: the default of " + path + " cannot be read: " + err.Error())
		}
	}
	d.Defaults = append(d.Defaults, v)
}

// Default is a value that the document did not give.
type Default struct {
	Key          string
	text, reason string
	measure      *measure.Measure // nil: a word, a table or a bare number
	si           float64
	unit         measure.Unit
}

// In returns the value and the reason for it in a system of units.
func (d Default) In(s measure.System) (value, reason string) {
	if d.measure == nil {
		return d.text, s.Prose(d.reason)
	}
	return s.Spell(d.measure, d.si, d.unit), s.Prose(d.reason)
}
