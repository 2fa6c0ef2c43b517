package gather

import (
	"bytes"
	"errors"
	"fmt"
	"sunrill/sim/measure"
)

// open reads one file into its tables: one, or one a sheet of a workbook.
func open(s Source, o Options) ([]*table, Problems) {
	one := func(what, hint string) ([]*table, Problems) {
		return nil, Problems{{File: s.Name, What: what, Hint: hint}}
	}
	data := s.Data
	switch {
	case len(bytes.TrimSpace(data)) == 0:
		return one("is empty", "")
	case bytes.HasPrefix(data, []byte("PK\x03\x04")):
		return openWorkbook(s, o)
	case bytes.HasPrefix(data, []byte("\xd0\xcf\x11\xe0")):
		return one("is a spreadsheet in the format of before 2007 (.xls)", "open it and save it as .xlsx or as CSV")
	case bytes.HasPrefix(data, []byte("\x1f\x8b")):
		return one("is compressed (gzip)", "unpack it first")
	case bytes.HasPrefix(data, []byte("%PDF")):
		return one("is a PDF page, not a table", "get the record as CSV")
	case bytes.HasPrefix(bytes.ToLower(bytes.TrimSpace(data[:min(len(data), 200)])), []byte("<")):
		return one("is a web page or XML, not a table", "get the record as CSV: a page that asks to log in or tells a fault may have been saved in its place")
	}
	text, encoding, ok := decode(data)
	if !ok {
		return one("is not text: it has zero bytes", "get the record as CSV")
	}
	var t *table
	var ps Problems
	switch layoutOf(text) {
	case layoutDLY:
		t, ps = readDLY(s.Name, text)
	case layoutLong:
		t, ps = readLong(s.Name, text)
	case layoutEPW:
		t, ps = readEPW(s.Name, text)
	case layoutTMY3:
		t, ps = readTMY3(s.Name, text)
	default:
		g, err := split(s.Name, text)
		if err != nil {
			var open openQuoteError
			if errors.As(err, &open) {
				return nil, Problems{{File: s.Name, Line: int(open), What: "a double quote is opened and not closed for more than 20 lines", Hint: "take it out, or close it on its line"}}
			}
			return one(err.Error(), "")
		}
		t, ps = shape(g, o)
		if t != nil && t.g != nil {
			what := fmt.Sprintf("%s rows of cells parted by %s", measure.Count(t.last-t.first), separatorNames[g.separator])
			if t.headerLine > 0 {
				what += fmt.Sprintf(", the header on line %d", t.headerLine)
			} else {
				what += ", no header"
			}
			t.find(what, "")
		}
	}
	if len(ps) > 0 {
		return nil, ps
	}
	if encoding != "" && encoding != "UTF-8" {
		t.find("letters are in "+encoding, "")
	}
	return []*table{t}, nil
}
