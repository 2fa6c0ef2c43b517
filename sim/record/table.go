package record

import (
	"encoding/json"
	"io"
	"math"
	"strconv"
	"strings"
)

// Column is one column of a CSV file.
type Column struct {
	Name string
	// Cell appends the text of one row.
	Cell func(dst []byte, row int) []byte
}

// Numbers is a column of numbers with a fixed number of decimals; scale turns
// them into the unit that the name ends in. A missing value (NaN) is left
// empty.
func Numbers(name string, values []float64, scale float64, decimals int) Column {
	return Column{name, func(dst []byte, row int) []byte {
		return appendNumber(dst, values[row]*scale, decimals)
	}}
}

// Texts is a column of text, quoted where CSV asks for it.
func Texts(name string, values []string) Column {
	return Column{name, func(dst []byte, row int) []byte {
		return append(dst, quote(values[row])...)
	}}
}

// WriteTable writes rows rows under a header row as CSV.
func WriteTable(w io.Writer, rows int, columns []Column) error {
	var line []byte
	for i, c := range columns {
		if i > 0 {
			line = append(line, ',')
		}
		line = append(line, c.Name...)
	}
	line = append(line, '\n')
	if _, err := w.Write(line); err != nil {
		return err
	}
	for r := range rows {
		line = line[:0]
		for i, c := range columns {
			if i > 0 {
				line = append(line, ',')
			}
			line = c.Cell(line, r)
		}
		line = append(line, '\n')
		if _, err := w.Write(line); err != nil {
			return err
		}
	}
	return nil
}

// WriteJSON writes v as one indented JSON object and a line end.
func WriteJSON(w io.Writer, v any) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(v)
}

// Round rounds v to a number of decimals, for JSON; it never gives a negative
// zero.
func Round(v float64, decimals int) float64 {
	p := math.Pow(10, float64(decimals))
	return math.Round(v*p)/p + 0
}

func appendNumber(dst []byte, v float64, decimals int) []byte {
	if math.IsNaN(v) {
		return dst
	}
	start := len(dst)
	dst = strconv.AppendFloat(dst, v, 'f', decimals, 64)
	if dst[start] == '-' && strings.Trim(string(dst[start+1:]), "0.") == "" {
		return append(dst[:start], dst[start+1:]...) // -0.0 is 0.0
	}
	return dst
}

// quote puts a text in quotes where CSV asks for it (RFC 4180).
//
// A text that begins like a formula gets an apostrophe, so that a spreadsheet
// shows it and does not reckon it.
func quote(s string) string {
	if s != "" && strings.ContainsRune("=+-@", rune(s[0])) {
		s = "'" + s
	}
	if !strings.ContainsAny(s, ",\"\r\n") {
		return s
	}
	return `"` + strings.ReplaceAll(s, `"`, `""`) + `"`
}
