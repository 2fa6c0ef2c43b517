package files

import (
	"strings"
	"testing"
)

// Every key and value is found where a person would point at it.
func TestPlaces(t *testing.T) {
	const document = `name = "x"   # a remark
"latitude" = 43.2
a.b = 1

[bank]
  capacity = "9 kWh"
inline = { floor = "20 %", nested = { deep = 'y' } }
[[array]]
tilt = "1 deg"
[[array]]
	tilt = "2 deg"
points = [["20 %", "60 %"],
          # between
          ["100 %", "70 %"]]
[array.more]
key = true
`
	found := places([]byte(document))
	lines := strings.Split(document, "\n")
	for _, c := range []struct{ path, key, value string }{
		{"name", "name", `"x"`},
		{"latitude", `"latitude"`, "43.2"},
		{"a.b", "a.b", "1"},
		{"bank", "bank]", ""},
		{"bank.capacity", "capacity", `"9 kWh"`},
		{"bank.inline.floor", "floor", `"20 %"`},
		{"bank.inline.nested.deep", "deep", `'y'`},
		{"array", "array]]", ""},
		{"array.0.tilt", "tilt", `"1 deg"`},
		{"array.1", "array]]", ""},
		{"array.1.tilt", "tilt", `"2 deg"`},
		{"array.1.points.0.1", "points", `"60 %"`},
		{"array.1.points.1.0", "points", `"100 %"`},
		{"array.1.more.key", "key", "true"},
	} {
		at, ok := found[c.path]
		if !ok {
			t.Errorf("%s is not found", c.path)
			continue
		}
		if got := lines[at.line-1][at.column-1:]; !strings.HasPrefix(got, c.key) {
			t.Errorf("%s: the key is at %d:%d, %q", c.path, at.line, at.column, got)
		}
		if got := lines[at.valueLine-1][at.valueColumn-1:]; c.value != "" && !strings.HasPrefix(got, c.value) && !strings.HasPrefix(got, c.key) {
			t.Errorf("%s: the value is at %d:%d, %q", c.path, at.valueLine, at.valueColumn, got)
		}
		// Texts and numbers are found themselves, not their keys only.
		if got := lines[at.valueLine-1][at.valueColumn-1:]; strings.HasPrefix(c.value, `"`) && !strings.HasPrefix(got, c.value) {
			t.Errorf("%s: the value is at %d:%d, %q", c.path, at.valueLine, at.valueColumn, got)
		}
	}
	if at := found["array.0.tilt"]; at.line != 9 || at.column != 1 || at.valueColumn != 8 {
		t.Errorf("array.0.tilt stands at %+v, want line 9, columns 1 and 8", at)
	}
}
