package files_test

import (
	"reflect"
	"strings"
	"testing"

	"sunrill/sim/files"
)

// A table that is taken apart and written is the same, comments and quotes too.
func TestRawComesBack(t *testing.T) {
	for _, text := range []string{
		"# a house\nname,watts\nfridge,95\n\"a, b\",\"say \"\"no\"\"\"\n",
		"name;watts\nfridge;95,5\n",
		"date,rain_mm,note\n2016-10-01,0.2,\n",
	} {
		raw, err := files.ReadRaw([]byte(text))
		if err != nil || string(raw.Bytes()) != text {
			t.Errorf("%q becomes %q, %v", text, raw.Bytes(), err)
		}
	}
	raw, err := files.ReadRaw([]byte("\ufeff# one\r\nname,watts\r\n# two\r\nfridge\r\n"))
	if err != nil || !reflect.DeepEqual(raw.Comments, []string{"# one", "# two"}) || !reflect.DeepEqual(raw.Rows, [][]string{{"fridge", ""}}) {
		t.Errorf("%+v %v", raw, err)
	}
	// A name that begins like a comment stays a row; an empty row is none.
	raw.Rows = [][]string{{"#7 pump", "700"}, {"", " "}}
	again, err := files.ReadRaw(raw.Bytes())
	if err != nil || !reflect.DeepEqual(again.Rows, [][]string{{"#7 pump", "700"}}) {
		t.Errorf("%q: %v %v", raw.Bytes(), again.Rows, err)
	}
}

// What a spreadsheet puts on the clipboard: tabs, and quotes about a cell with a
// line's end in it (RFC 4180 and the tab-separated values of IANA).
func TestPasted(t *testing.T) {
	for text, want := range map[string][][]string{
		"2016-10-01\t0,2\r\n2016-10-02\t1\r\n": {{"2016-10-01", "0,2"}, {"2016-10-02", "1"}},
		"2016-10-01,0.2\n2016-10-02,1":         {{"2016-10-01", "0.2"}, {"2016-10-02", "1"}},
		"a;1,5\nb;2":                           {{"a", "1,5"}, {"b", "2"}},
		"\"two\nlines\"\t7":                    {{"two\nlines", "7"}},
		"alone":                                {{"alone"}},
	} {
		if got, err := files.Pasted(text); err != nil || !reflect.DeepEqual(got, want) {
			t.Errorf("%q: %q %v, want %q", text, got, err, want)
		}
	}
	if got, err := files.Pasted(strings.Repeat("\"", 3)); err != nil && got != nil {
		t.Error(got, err)
	}
}
