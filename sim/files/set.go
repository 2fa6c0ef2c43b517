package files

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"github.com/pelletier/go-toml/v2"
)

// Setting sets one value otherwise than the folder's files do. It is put into
// the document that was read before anything is checked, so that it is checked
// as the file is.
type Setting struct {
	Key   string // "bank.capacity", "array.roof.tilt"
	Value string // as TOML has it, or a text without its quotes; "" takes the key out
	From  string // where a person finds it: "--set bank.capacity=20 kWh"
}

// Change is what a [Setting] did.
type Change struct {
	Key, Value string // as in the file; an empty value: taken out
	Was        string // what the file has; "" where it has none
}

// String writes "bank.capacity = "20 kWh" (the file has "14 kWh")".
func (c Change) String() string {
	switch {
	case c.Value == "" && c.Was == "":
		return c.Key + " is left out, as in the file"
	case c.Value == "":
		return fmt.Sprintf("%s is left out (the file has %s)", c.Key, c.Was)
	case c.Was == "":
		return fmt.Sprintf("%s = %s (not in the file)", c.Key, c.Value)
	}
	return fmt.Sprintf("%s = %s (the file has %s)", c.Key, c.Value, c.Was)
}

// ParseSetting takes "key=value" apart.
func ParseSetting(text, from string) (Setting, error) {
	key, value, ok := strings.Cut(text, "=")
	key = strings.TrimSpace(key)
	if !ok || key == "" {
		return Setting{}, fmt.Errorf("%q is no key=value, such as bank.capacity=\"20 kWh\"", Short(text))
	}
	return Setting{Key: key, Value: strings.TrimSpace(value), From: from}, nil
}

// Path takes the key apart at its dots; a part in double quotes may hold some.
func (s Setting) Path() []string {
	var parts []string
	var part strings.Builder
	quoted := false
	for _, r := range s.Key {
		switch {
		case r == '"':
			quoted = !quoted
		case r == '.' && !quoted:
			parts = append(parts, strings.TrimSpace(part.String()))
			part.Reset()
		default:
			part.WriteRune(r)
		}
	}
	return append(parts, strings.TrimSpace(part.String()))
}

// Set puts a setting into the document. What is wrong with its key is told;
// what is wrong with its value comes out when the value is read.
func (d *Document) Set(s Setting) {
	wrong := func(hint, format string, args ...any) {
		d.Tell(Problem{File: s.From, What: fmt.Sprintf(format, args...), Hint: hint})
	}
	path := s.Path()
	if slices.Contains(path, "") {
		wrong("write the table and the key, such as bank.capacity", "the key %q has an empty part", Short(s.Key))
		return
	}
	value := parseValue(s.Value)
	table, at := d.tree, ""
	for len(path) > 1 {
		step := path[0]
		path = path[1:]
		at = JoinPath(at, step)
		switch next := table[step].(type) {
		case nil:
			if value == nil {
				d.change(s, "", "")
				return
			}
			made := map[string]any{}
			table[step], table = made, made
			d.places[at] = place{from: s.From}
		case map[string]any:
			table = next
		case []any:
			if len(next) == 0 || !isTable(next[0]) {
				wrong("give the whole list, such as [\"5 mm\", \"7 mm\"]", "%s is a list of values, not a table", keyName(at))
				return
			}
			i, rest, hint := pick(next, path)
			if i < 0 && value != nil && isTable(value) && len(path) == 1 { // a new one
				entry := value.(map[string]any)
				if _, named := entry["name"]; !named {
					entry["name"] = path[0]
				}
				table[step] = append(next, value)
				d.mark(JoinPath(at, strconv.Itoa(len(next))), s)
				d.change(s, "", show(value))
				return
			}
			if i < 0 {
				wrong(hint, "which of [[%s]] is meant?", step)
				return
			}
			if len(rest) == 0 { // the whole of it
				was := show(next[i])
				if value == nil {
					// The places behind it move up.
					table[step] = slices.Delete(next, i, i+1)
					d.mark(at, s)
				} else {
					next[i] = value
					d.mark(JoinPath(at, strconv.Itoa(i)), s)
				}
				d.change(s, was, show(value))
				return
			}
			entry, ok := next[i].(map[string]any)
			if !ok {
				wrong("", "%s is no table", keyName(at))
				return
			}
			table, path, at = entry, rest, JoinPath(at, strconv.Itoa(i))
		default:
			wrong("", "%s is a value, not a table", keyName(at))
			return
		}
	}
	key := path[0]
	was := ""
	if old, ok := table[key]; ok {
		was = show(old)
	}
	if value == nil {
		delete(table, key)
	} else {
		table[key] = value
	}
	d.mark(JoinPath(at, key), s)
	d.change(s, was, show(value))
}

// change keeps what a setting did; a later one of the same key takes its place.
func (d *Document) change(s Setting, was, value string) {
	for i := range d.Changes {
		if c := &d.Changes[i]; c.Key == s.Key {
			c.Value = value
			return
		}
	}
	d.Changes = append(d.Changes, Change{Key: s.Key, Value: value, Was: was})
}

// mark has problems at and below a path point to the setting.
func (d *Document) mark(path string, s Setting) {
	maps.DeleteFunc(d.places, func(p string, _ place) bool { return strings.HasPrefix(p, path+".") })
	d.places[path] = place{from: s.From}
}

func isTable(v any) bool {
	_, ok := v.(map[string]any)
	return ok
}

// pick finds the entry of a list of tables that a path means: by its name, by
// its number from 1, or the only one. It returns what is left of the path.
func pick(list []any, path []string) (i int, rest []string, hint string) {
	var names []string
	for i, e := range list {
		entry, _ := e.(map[string]any)
		name, _ := entry["name"].(string)
		if name != "" && strings.EqualFold(name, path[0]) {
			return i, path[1:], ""
		}
		if name == "" {
			name = strconv.Itoa(i + 1)
		}
		names = append(names, name)
	}
	if n, err := strconv.Atoi(path[0]); err == nil && n >= 1 && n <= len(list) {
		return n - 1, path[1:], ""
	}
	if len(list) == 1 && len(path) == 1 {
		return 0, path, ""
	}
	return -1, nil, "name one of " + strings.Join(names, ", ") + ", or its number"
}

// parseValue reads a value as TOML has it, a list whose texts lost their
// quotes in the shell, or a plain text. Nil takes the key out.
func parseValue(text string) any {
	if text == "" {
		return nil
	}
	if !strings.ContainsAny(text, "\n\r") {
		var read struct{ V any }
		if toml.Unmarshal([]byte("V = "+text), &read) == nil {
			switch v := read.V.(type) {
			case string, bool, int64, float64, []any, map[string]any:
				return v
			}
			return text // a date: texts here
		}
	}
	if inner, ok := strings.CutPrefix(text, "["); ok && strings.HasSuffix(inner, "]") && !strings.ContainsAny(inner, `["'{`) {
		list := []any{}
		for part := range strings.SplitSeq(strings.TrimSuffix(inner, "]"), ",") {
			if part = strings.TrimSpace(part); part != "" {
				list = append(list, parseValue(part))
			}
		}
		return list
	}
	return text
}

// show writes a value as site.toml would have it.
func show(v any) string {
	switch v := v.(type) {
	case nil:
		return ""
	case string:
		return strconv.Quote(v)
	case float64:
		return strconv.FormatFloat(v, 'g', -1, 64)
	case []any:
		parts := make([]string, len(v))
		for i, e := range v {
			parts[i] = show(e)
		}
		return "[" + strings.Join(parts, ", ") + "]"
	case map[string]any:
		var parts []string
		for _, key := range slices.Sorted(maps.Keys(v)) {
			parts = append(parts, key+" = "+show(v[key]))
		}
		return "{" + strings.Join(parts, ", ") + "}"
	}
	return fmt.Sprint(v)
}

// RowSetting sets a cell of a CSV file: that of a column in the row whose name
// is given.
type RowSetting struct {
	Setting
	File, Name, Column string
	Else               string // what the other rows have where the file has no such column
}

// SetRow has a cell set when its file is read.
func (d *Document) SetRow(s RowSetting) { d.Folder.rowSettings = append(d.Folder.rowSettings, s) }

// setsRows tells whether some row of a file is set otherwise.
func (in *Folder) setsRows(file string) bool {
	return slices.ContainsFunc(in.rowSettings, func(s RowSetting) bool { return s.File == file })
}

// setRows puts the settings of a file into its sheet, before it is decoded.
func (s *Sheet) setRows(columns Columns) {
	for _, set := range s.in.rowSettings {
		if set.File != s.File {
			continue
		}
		wrong := func(hint, format string, args ...any) {
			s.in.Tell(Problem{File: set.From, What: fmt.Sprintf(format, args...), Hint: hint})
		}
		names := slices.Index(s.header, "name")
		if names < 0 {
			continue // which is told
		}
		row, hint := s.rowOf(names, set.Name)
		if row < 0 {
			wrong(hint, "which row of %s is meant by %q?", s.File, Short(set.Name))
			continue
		}
		column := slices.Index(s.header, set.Column)
		if column < 0 {
			if column = s.addColumn(columns, set.Column, set.Else); column < 0 {
				wrong(DidYouMean(set.Column, columns.names()), "%s has no column %q", s.File, Short(set.Column))
				continue
			}
		}
		was := s.rows[row][column]
		value := set.Value
		if text, ok := parseValue(value).(string); ok {
			value = text
		}
		if strings.ContainsFunc(value, Unseen) {
			wrong("take them out", "%q has characters that are not seen", Short(value))
			continue
		}
		s.rows[row][column] = value
		if s.set == nil {
			s.set = map[[2]int]string{}
		}
		s.set[[2]int{row, column}] = set.From
		s.in.Changes = append(s.in.Changes, Change{Key: set.Key, Value: value, Was: was})
	}
}

// rowOf finds the row of a name: the one that has it, or the only one that has
// it as a part.
func (s *Sheet) rowOf(column int, name string) (row int, hint string) {
	var have, part []string
	last := -1
	for i, cells := range s.rows {
		if column >= len(cells) {
			continue
		}
		if strings.EqualFold(cells[column], name) {
			return i, ""
		}
		have = append(have, cells[column])
		if strings.Contains(strings.ToLower(cells[column]), strings.ToLower(name)) {
			part, last = append(part, cells[column]), i
		}
	}
	switch {
	case len(part) == 1:
		return last, ""
	case len(part) > 1:
		return -1, "one of " + strings.Join(part, ", ")
	}
	return -1, DidYouMean(name, have)
}

// addColumn adds a column that the file may have and has not.
func (s *Sheet) addColumn(columns Columns, name, other string) int {
	if !slices.Contains(columns.names(), name) {
		return -1
	}
	s.header = append(s.header, name)
	s.Has[name] = true
	for i := range s.rows {
		s.rows[i] = append(s.rows[i][:len(s.rows[i]):len(s.rows[i])], other)
	}
	return len(s.header) - 1
}
