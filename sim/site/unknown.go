package site

import (
	"fmt"
	"strings"
)

// done tells the keys that nobody asked for.
func (t *table) done() {
	if t == nil {
		return
	}
	for key := range t.values {
		if known := t.isKnown(key); !known {
			p := Problem{File: descriptionFile, What: fmt.Sprintf("unknown key %q", short(key)), Hint: didYouMean(key, t.known)}
			if t.path != "" {
				p.What = fmt.Sprintf("unknown key %q in [%s]", short(key), strings.TrimRight(t.path, ".0123456789"))
			}
			if at, ok := t.l.at(t.key(key)); ok {
				p.Line, p.Column = at.line, at.column
			}
			t.l.problems = append(t.l.problems, p)
		}
	}
}

func (t *table) isKnown(key string) bool {
	for _, k := range t.known {
		if k == key {
			return true
		}
	}
	return false
}
