package files

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
)

// Given is a value that a document gives, as a setting writes it.
type Given struct {
	Key   string // as [Setting] has it: "bank.capacity", "array.roof.tilt"
	Value string // as TOML has it, texts without their quotes
	Text  bool   // a text; else a number, a truth value or a list
	Set   bool   // by a [Setting], not by the file
}

// GivenValues lists the values of the document in the order of its file, those that a
// setting added last.
func (d *Document) GivenValues() []Given {
	type placed struct {
		Given
		place place
	}
	var all []placed
	var walk func(table map[string]any, at, key string)
	walk = func(table map[string]any, at, key string) {
		for name, v := range table {
			path, told := JoinPath(at, name), JoinPath(key, quotedPart(name))
			switch v := v.(type) {
			case map[string]any:
				walk(v, path, told)
				continue
			case []any:
				if len(v) > 0 && isTable(v[0]) {
					for i, entry := range v {
						e, _ := entry.(map[string]any)
						part := strconv.Itoa(i + 1)
						if n, ok := e["name"].(string); ok && n != "" {
							part = quotedPart(n)
						}
						walk(e, JoinPath(path, strconv.Itoa(i)), JoinPath(told, part))
					}
					continue
				}
			}
			g := Given{Key: told, Value: show(v)}
			if text, ok := v.(string); ok {
				g.Value, g.Text = text, true
			}
			p, _ := d.at(path)
			g.Set = p.from != ""
			all = append(all, placed{g, p})
		}
	}
	walk(d.tree, "", "")
	slices.SortFunc(all, func(a, b placed) int {
		if a.Set != b.Set {
			if a.Set {
				return 1
			}
			return -1
		}
		return cmp.Or(cmp.Compare(a.place.line, b.place.line), cmp.Compare(a.Key, b.Key))
	})
	given := make([]Given, len(all))
	for i := range all {
		given[i] = all[i].Given
	}
	return given
}

// quotedPart quotes a part of a key that holds a dot.
func quotedPart(name string) string {
	for _, r := range name {
		if r == '.' || r == '"' {
			return fmt.Sprintf("%q", name)
		}
	}
	return name
}
