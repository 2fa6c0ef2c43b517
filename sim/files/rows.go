package files

import (
	"bytes"
	"fmt"
	"reflect"
	"slices"
)

// Rows reads a CSV file of the folder into rows of T, a struct whose fields
// carry the columns' names in csv tags and are texts or cells. Every cell is
// decoded, and every fault told; ok means that there was none. Missing is the
// cure where there is no file or no row in it. Time and memory grow with the
// size of the file, whatever is wrong with it.
func Rows[T any](in *Folder, file, missing string, columns Columns) (rows []T, s *Sheet, ok bool) {
	data, ok := in.Read(file, MaxTableBytes, Problem{File: file}, missing)
	if !ok {
		return nil, nil, false
	}
	if rows, s, ok := cached[T](in, file, data); ok {
		return rows, s, true
	}
	before, notes := in.told, len(in.Notes)
	s = in.open(file, data, columns)
	if s == nil {
		return nil, nil, false
	}
	if in.setsRows(file) || foreignDates(s.data) {
		// What a cell means is known when all are read.
		for s.next() {
			s.rows = append(s.rows, slices.Clone(s.cells))
			s.keep()
		}
		s.ownDates()
		s.setRows(columns)
	}
	room := min(bytes.Count(data, []byte{'\n'}), s.limit)
	rows = make([]T, 0, room)
	if s.rows == nil {
		s.at = make([]rowPlace, 0, room)
	}
	d := decoder[T](s, columns)
	for i := 0; ; i++ {
		if s.rows != nil {
			if i == len(s.rows) {
				break
			}
			s.cells = s.rows[i]
		} else {
			if !s.next() {
				break
			}
			s.keep()
		}
		rows = append(rows, *new(T))
		d.row(i, &rows[i])
	}
	if s.read == 0 {
		in.Tell(Problem{File: file, What: HeaderOnly, Hint: missing})
		return nil, nil, false
	}
	d.tellEmpty(len(rows))
	if in.told > before && len(rows) == 0 {
		return nil, nil, false
	}
	if ok = in.told == before; ok && len(in.Notes) == notes {
		keep(in, file, data, rows, s)
	}
	return rows, s, ok
}

// emptyCells are those cells of a column that are empty and must not be.
type emptyCells struct {
	n    int
	rows []int32 // the first ones
	why  emptyCell
}

// cell is a field that reads its own text.
type cell interface{ UnmarshalCSV(string) error }

// rowDecoder lays the cells of a sheet into the fields of a struct.
type rowDecoder struct {
	s       *Sheet
	columns Columns
	fields  []int // of each column; -1: none
	text    []bool
	filled  []bool // some row has something in the column
	empties []emptyCells
}

func decoder[T any](s *Sheet, columns Columns) *rowDecoder {
	n := len(s.header)
	d := &rowDecoder{s: s, columns: columns, fields: make([]int, n), text: make([]bool, n), filled: make([]bool, n), empties: make([]emptyCells, n)}
	t := reflect.TypeFor[T]()
	for i, name := range s.header {
		d.fields[i] = -1
		for f := range t.NumField() {
			if t.Field(f).Tag.Get("csv") == name {
				d.fields[i], d.text[i] = f, t.Field(f).Type.Kind() == reflect.String
			}
		}
	}
	return d
}

// row decodes the cells of the sheet's last row into what to points to.
func (d *rowDecoder) row(i int, to any) {
	v := reflect.ValueOf(to).Elem()
	for col, text := range d.s.cells {
		f := d.fields[col]
		if f < 0 {
			continue
		}
		d.filled[col] = d.filled[col] || text != ""
		if d.text[col] {
			v.Field(f).SetString(fromText(text))
			continue
		}
		err := v.Field(f).Addr().Interface().(cell).UnmarshalCSV(text)
		switch why := err.(type) {
		case nil:
		case emptyCell:
			e := &d.empties[col]
			if e.n++; len(e.rows) < keptPerFile {
				e.rows = append(e.rows, int32(i))
			}
			e.why = why
		default:
			d.s.problem(i, col, err)
		}
	}
}

// tellEmpty tells the cells that are empty and must not be, a column of which
// all are with one word.
func (d *rowDecoder) tellEmpty(rows int) {
	for col, e := range d.empties {
		if e.n == 0 {
			continue
		}
		hint := e.why.hint
		if !d.columns.needs(d.s.header[col]) {
			hint = "write a number, or delete the column if it is not known"
		}
		if rows > 1 && !d.filled[col] {
			d.s.problem(int(e.rows[0]), col, hinted{fmt.Sprintf("the cells of all %d rows are empty", rows), hint})
			continue
		}
		for _, row := range e.rows {
			d.s.problem(int(row), col, hinted{e.why.what, hint})
		}
		d.s.in.more(d.s.File, e.n-len(e.rows))
	}
}
