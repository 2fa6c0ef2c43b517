package files

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// Done tells the keys that nobody asked for.
func (t *Table) Done() {
	if t == nil {
		return
	}
	t.tellUnknown(func(any) bool { return true }, t.known, func(key string) string {
		if t.path == "" {
			return fmt.Sprintf("unknown key %q", Short(key))
		}
		return fmt.Sprintf("unknown key %q in [%s]", Short(key), strings.TrimRight(t.path, ".0123456789"))
	})
}

// Unknown tells the tables and keys of the top level that are not known.
func (d *Document) Unknown() {
	t := d.Head
	t.known = append(t.known, d.tables...)
	isTable := func(v any) bool {
		switch v.(type) {
		case map[string]any, []any:
			return true
		}
		return false
	}
	t.tellUnknown(isTable, d.tables, func(key string) string { return fmt.Sprintf("unknown table [%s]", Short(key)) })
	t.tellUnknown(func(v any) bool { return !isTable(v) }, t.known, func(key string) string { return fmt.Sprintf("unknown key %q", Short(key)) })
}

// tellUnknown tells those keys of some values that are not known, in the order
// of the file.
func (t *Table) tellUnknown(of func(value any) bool, known []string, what func(key string) string) {
	isKnown := map[string]bool{}
	for _, k := range t.known {
		isKnown[k] = true
	}
	var strange []string
	for key, v := range t.values {
		if !isKnown[key] && of(v) {
			strange = append(strange, key)
		}
	}
	at := map[string]place{}
	for _, key := range strange {
		at[key], _ = t.d.at(t.Key(key))
	}
	slices.SortFunc(strange, func(a, b string) int {
		return cmp.Or(cmp.Compare(at[a].line, at[b].line), cmp.Compare(at[a].column, at[b].column), cmp.Compare(a, b))
	})
	for _, key := range strange {
		p := Problem{File: t.d.file}
		if !t.d.full(t.d.file) {
			p.What, p.Hint = what(key), DidYouMean(key, known)
			at[key].key(&p)
		}
		t.d.Tell(p)
	}
}

// Asked returns the keys that were asked for so far.
func (t *Table) Asked() []string { return slices.Clone(t.known) }
