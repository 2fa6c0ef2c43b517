package files

import (
	"fmt"
	"slices"
	"strings"
)

// Done tells the keys that nobody asked for.
func (t *Table) Done() {
	if t == nil {
		return
	}
	for key := range t.values {
		if known := t.isKnown(key); !known {
			p := Problem{File: t.d.file, What: fmt.Sprintf("unknown key %q", Short(key)), Hint: DidYouMean(key, t.known)}
			if t.path != "" {
				p.What = fmt.Sprintf("unknown key %q in [%s]", Short(key), strings.TrimRight(t.path, ".0123456789"))
			}
			if at, ok := t.d.at(t.Key(key)); ok {
				at.key(&p)
			}
			t.d.Tell(p)
		}
	}
}

func (t *Table) isKnown(key string) bool {
	for _, k := range t.known {
		if k == key {
			return true
		}
	}
	return false
}

// Unknown tells the tables and keys of the top level that are not
// known.
func (d *Document) Unknown() {
	d.Head.known = append(d.Head.known, d.tables...)
	for key := range d.Head.values {
		_, isTable := d.Head.values[key].(map[string]any)
		_, isList := d.Head.values[key].([]any)
		if !d.Head.isKnown(key) && (isTable || isList) {
			p := Problem{File: d.file, What: fmt.Sprintf("unknown table [%s]", Short(key)), Hint: DidYouMean(key, d.tables)}
			if at, ok := d.at(key); ok {
				at.key(&p)
			}
			d.Tell(p)
			d.Head.known = append(d.Head.known, key)
		}
	}
	d.Head.Done()
}

// Asked returns the keys that were asked for so far.
func (t *Table) Asked() []string { return slices.Clone(t.known) }
