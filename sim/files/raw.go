package files

import (
	"bytes"
	"encoding/csv"
	"errors"
	"io"
	"strings"
)

// Raw is a CSV table as it stands, its cells unread.
type Raw struct {
	Comments  []string // lines that begin with #, wherever they stand
	Separator rune
	Head      []string
	Rows      [][]string
}

// ReadRaw takes a table apart. Rows that are shorter than the header are filled
// up with empty cells.
func ReadRaw(data []byte) (Raw, error) {
	t := Raw{Separator: ','}
	data = withLines(bytes.TrimPrefix(data, []byte("\ufeff")))
	if len(bytes.TrimSpace(data)) == 0 {
		return t, nil
	}
	for line := range bytes.Lines(data) {
		if bytes.HasPrefix(line, []byte("#")) {
			t.Comments = append(t.Comments, strings.TrimRight(string(line), "\r\n"))
		}
	}
	t.Separator = separatorOf(data)
	var err error
	t.Rows, err = cellsOf(data, t.Separator)
	if err != nil || len(t.Rows) == 0 {
		return t, err
	}
	t.Head, t.Rows = t.Rows[0], t.Rows[1:]
	for i, row := range t.Rows {
		for len(row) < len(t.Head) {
			row = append(row, "")
		}
		t.Rows[i] = row
	}
	return t, nil
}

func cellsOf(data []byte, separator rune) (rows [][]string, err error) {
	r := csv.NewReader(bytes.NewReader(data))
	r.Comma, r.Comment, r.FieldsPerRecord, r.LazyQuotes = separator, '#', -1, true
	for {
		row, err := r.Read()
		if errors.Is(err, io.EOF) {
			return rows, nil
		}
		if err != nil {
			return nil, err
		}
		for i := range row {
			row[i] = strings.TrimSpace(row[i])
		}
		rows = append(rows, row)
	}
}

// Bytes writes the table: its comments, its header, and its rows but for empty
// ones.
func (t Raw) Bytes() []byte {
	var b bytes.Buffer
	for _, c := range t.Comments {
		b.WriteString(c + "\n")
	}
	w := csv.NewWriter(&b)
	w.Comma = t.Separator
	write := func(row []string) {
		if len(row) > 0 && strings.HasPrefix(row[0], "#") { // would be a comment
			w.Flush()
			b.WriteString(`"` + strings.ReplaceAll(row[0], `"`, `""`) + `"`)
			if row = row[1:]; len(row) > 0 {
				b.WriteRune(t.Separator)
			} else {
				b.WriteString("\n")
				return
			}
		}
		w.Write(row) // a bytes.Buffer takes all
	}
	write(t.Head)
	for _, row := range t.Rows {
		if strings.TrimSpace(strings.Join(row, "")) != "" {
			write(row)
		}
	}
	w.Flush()
	return b.Bytes()
}

// Pasted takes the cells of a spreadsheet apart: separated by tabs, else by
// semicolons, else by commas.
func Pasted(text string) ([][]string, error) {
	data := withLines([]byte(text))
	for _, separator := range "\t;" {
		if bytes.ContainsRune(data, separator) {
			return cellsOf(data, separator)
		}
	}
	return cellsOf(data, ',')
}
