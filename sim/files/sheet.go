package files

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strings"
	"time"
)

// Sheet is a CSV file whose header is known to be right. It knows the place of
// each row that was read.
type Sheet struct {
	in           *Folder
	File         string
	Has          map[string]bool // the columns
	DecimalComma bool            // the columns are separated by semicolons
	header       []string
	width        int // cells of the header row, a spreadsheet's empty columns included
	data         []byte
	r            *csv.Reader
	limit        int
	limitHint    string
	read, faults int // rows so far, and those of them that are no rows

	cells []string // of the row that was read last
	line  int      // where it begins
	begin int      // byte of the file from which it was read

	at   []rowPlace
	rows [][]string        // the cells of all rows, where some are set otherwise
	set  map[[2]int]string // cells, by row and column, that a setting put there
}

// rowPlace is where a row stands: its line, and a byte before it with nothing
// between but comments and empty lines. Files are smaller than 2 GB.
type rowPlace struct{ line, begin int32 }

// HeaderOnly is what is wrong with a table that holds nothing yet.
const HeaderOnly = "has a header but no row"

// Hinted returns an error with a cure.
func Hinted(what, hint string) error { return hinted{what, hint} }

// hinted is an error with a cure.
type hinted struct{ what, hint string }

func (h hinted) Error() string { return h.what }

// emptyCell is what is wrong with a cell that is empty and must not be.
type emptyCell struct{ hinted }

// column returns where a cell of a row that was kept begins, in bytes from 1; 0
// if the file does not have it.
func (s *Sheet) column(row, col int) int {
	if row >= len(s.at) {
		return 0
	}
	r := s.reader(s.data[s.at[row].begin:])
	if cells, err := r.Read(); err != nil || col >= len(cells) {
		return 0
	}
	_, column := r.FieldPos(col)
	return column
}

// problem tells what is wrong with a cell of a row that was kept.
func (s *Sheet) problem(row, col int, err error) {
	if s.in.full(s.File) {
		s.in.Tell(Problem{File: s.File})
		return
	}
	from, isSet := s.set[[2]int{row, col}]
	if !isSet {
		s.problemAt(int(s.at[row].line), s.column(row, col), col, err)
		return
	}
	s.in.Tell(Problem{File: from, What: s.header[col] + ": " + err.Error(), Hint: hintOf(err)})
}

func (s *Sheet) problemAt(line, column, col int, err error) {
	s.in.Tell(Problem{File: s.File, Line: line, Column: column, What: s.header[col] + ": " + err.Error(), Hint: hintOf(err)})
}

func hintOf(err error) string {
	switch h := err.(type) {
	case hinted:
		return h.hint
	case emptyCell:
		return h.hint
	}
	return ""
}

// Wrong tells what is wrong with the cell of a named column.
func (s *Sheet) Wrong(row int, name, hint, format string, args ...any) {
	if s.in.full(s.File) {
		s.in.Tell(Problem{File: s.File})
		return
	}
	for i, h := range s.header {
		if h == name {
			s.problem(row, i, hinted{fmt.Sprintf(format, args...), hint})
			return
		}
	}
	s.in.Tell(Problem{File: s.File, Line: s.Line(row), What: fmt.Sprintf(format, args...), Hint: hint})
}

// Fault tells what is wrong with a named cell.
func (s *Sheet) Fault(row int, name string, err error) {
	for i, h := range s.header {
		if h == name {
			s.problem(row, i, err)
		}
	}
}

// Line returns the line of the file that a row begins on.
func (s *Sheet) Line(row int) int { return int(s.at[row].line) }

// Header returns the separator of a CSV file and the names in its first row,
// also those that are empty.
func Header(data []byte) (separator rune, names []string, err error) {
	data = withLines(data)
	r := csv.NewReader(bytes.NewReader(data))
	r.Comma, r.Comment = separatorOf(data), '#'
	cells, err := r.Read()
	for _, c := range cells {
		names = append(names, strings.ToLower(strings.TrimSpace(c)))
	}
	return r.Comma, names, err
}

// Sheet opens a CSV file and checks its header and the number of cells of each
// row. It returns nil if there is nothing to go on with.
func (in *Folder) Sheet(file string, data []byte, columns Columns) *Sheet {
	s := in.open(file, data, columns)
	if s == nil {
		return nil
	}
	for s.next() {
	}
	if s.nothing() {
		return nil
	}
	return s
}

// withLines has lines end as we know them in a file that ends them by returns
// alone, as very old programs did.
func withLines(data []byte) []byte {
	if bytes.IndexByte(data, '\n') >= 0 {
		return data
	}
	return bytes.ReplaceAll(data, []byte{'\r'}, []byte{'\n'})
}

// open reads the header of a CSV file and checks it. It returns nil if there is
// nothing to go on with.
func (in *Folder) open(file string, data []byte, columns Columns) *Sheet {
	data = withLines(data)
	if line := longLine(data); line > 0 {
		in.Tell(Problem{File: file, Line: line, What: fmt.Sprintf("the line has more than %d characters", maxLineBytes), Hint: "a row of a table is short: is it the right file?"})
		return nil
	}
	separator := separatorOf(data)
	s := &Sheet{in: in, File: file, DecimalComma: separator == ';', data: data, limit: columns.limit(), limitHint: columns.why}
	s.r = s.reader(data)
	s.r.Comma = separator
	for s.header == nil {
		cells, err := s.r.Read()
		if err == io.EOF {
			in.Tell(Problem{File: file, What: "has no header row", Hint: "the first row names the columns: " + columns.Text()})
			return nil
		}
		if err != nil {
			in.Tell(quoteProblem(file, err))
			continue
		}
		line, _ := s.r.FieldPos(0)
		if !in.header(s, cells, columns, line) {
			return nil
		}
	}
	return s
}

// reader returns a reader of the sheet's cells.
func (s *Sheet) reader(data []byte) *csv.Reader {
	r := csv.NewReader(bytes.NewReader(data))
	r.Comment, r.FieldsPerRecord, r.ReuseRecord = '#', -1, true
	if s.r != nil {
		r.Comma = s.r.Comma
	}
	return r
}

// next reads the next row that has as many cells as the header, and tells what
// is wrong with those before it.
func (s *Sheet) next() bool {
	for {
		s.begin = int(s.r.InputOffset())
		cells, err := s.r.Read()
		if err == io.EOF {
			return false
		}
		if s.read >= s.limit {
			hint := s.limitHint
			if hint == "" {
				hint = "is it the right file?"
			}
			s.faults++
			s.in.Tell(Problem{File: s.File, What: fmt.Sprintf("has more than %d rows", s.limit), Hint: hint})
			return false
		}
		if err != nil {
			s.read++
			s.faults++
			if s.in.full(s.File) {
				s.in.Tell(Problem{File: s.File})
			} else {
				s.in.Tell(quoteProblem(s.File, err))
			}
			continue
		}
		if blank(cells) {
			continue
		}
		s.read++
		if len(cells) == s.width && blank(cells[len(s.header):]) {
			s.cells = cells[:len(s.header)]
			s.line, _ = s.r.FieldPos(0)
			for i, c := range s.cells {
				c = strings.TrimSpace(c)
				if s.DecimalComma {
					c = decimalPoint(c)
				}
				s.cells[i] = c
			}
			return true
		}
		s.faults++
		p := Problem{File: s.File}
		if !s.in.full(s.File) {
			p.Line, p.Column = s.r.FieldPos(0)
			p.What, p.Hint = "the row has a cell under a column without a name", "name the column, or empty the cell"
			if len(cells) != s.width {
				p.What, p.Hint = fmt.Sprintf("the row has %s, the header %d", Count(len(cells), "cell"), s.width), cellsHint(len(cells), s.width, s.r.Comma)
			}
		}
		s.in.Tell(p)
	}
}

// keep keeps the place of the row that was read last.
func (s *Sheet) keep() { s.at = append(s.at, rowPlace{int32(s.line), int32(s.begin)}) }

// nothing tells a file that has no row, and reports whether it is one.
func (s *Sheet) nothing() bool {
	if s.read > 0 {
		return false
	}
	s.in.Tell(Problem{File: s.File, What: HeaderOnly})
	return true
}

// maxLineBytes bounds a line of a table or of a description.
const maxLineBytes = 10_000

// longLine returns the first line that is too long, 0 if none is.
func longLine(data []byte) int {
	for line := 1; len(data) > 0; line++ {
		n := bytes.IndexByte(data, '\n')
		if n < 0 {
			n = len(data) - 1
		}
		if n > maxLineBytes {
			return line
		}
		data = data[n+1:]
	}
	return 0
}

// header checks the names of the columns: missing, double, unknown.
func (in *Folder) header(s *Sheet, cells []string, columns Columns, line int) bool {
	s.width = len(cells)
	for len(cells) > 0 && strings.TrimSpace(cells[len(cells)-1]) == "" {
		cells = cells[:len(cells)-1]
	}
	before := in.told
	fail := func(hint, format string, args ...any) {
		in.Tell(Problem{File: s.File, Line: line, What: fmt.Sprintf(format, args...), Hint: hint})
	}
	known := columns.names()
	choiceOf := map[string]string{}
	for _, c := range columns.list {
		choiceOf[c.name] = c.choice
	}
	s.Has = map[string]bool{}
	chosen := map[string]string{}
	for _, cell := range cells {
		name := strings.ToLower(strings.TrimSpace(cell))
		choice, ok := choiceOf[name]
		switch {
		case !ok:
			fail(DidYouMean(name, known), "unknown column %q", Short(strings.TrimSpace(cell)))
		case s.Has[name]:
			fail("keep one of them", "the column %q stands there twice", name)
		case choice != "" && chosen[choice] != "":
			fail("keep one of them", "the columns %q and %q say the same", chosen[choice], name)
		}
		if choice != "" {
			chosen[choice] = name
		}
		s.Has[name] = true
		s.header = append(s.header, name)
	}
	for i, c := range columns.list {
		switch {
		case !c.need || s.Has[c.name] || c.choice != "" && chosen[c.choice] != "":
		case c.choice == "":
			fail("the header row names the columns: "+columns.Text(), "the column %q is missing", c.name)
		case i == 0 || columns.list[i-1].choice != c.choice:
			fail("the header row names the columns: "+columns.Text(), "the column %s is missing", strings.Join(columns.choices(c.choice), " or "))
		}
	}
	if s.header == nil {
		s.header = []string{}
	}
	return in.told == before
}

// separatorOf finds the separator in the first line that is no comment: the
// one of comma, semicolon and tab that stands there most.
func separatorOf(data []byte) rune {
	for len(data) > 0 {
		line, rest, _ := bytes.Cut(data, []byte{'\n'})
		data = rest
		if t := bytes.TrimSpace(line); len(t) == 0 || t[0] == '#' {
			continue
		}
		best, n := ',', bytes.Count(line, []byte{','})
		for _, c := range ";\t" {
			if k := bytes.Count(line, []byte(string(c))); k > n {
				best, n = c, k
			}
		}
		return best
	}
	return ','
}

// decimalPoint turns the decimal comma of a number into a point.
func decimalPoint(cell string) string {
	if strings.Count(cell, ",") != 1 || strings.Trim(cell, "0123456789,+-eE") != "" {
		return cell
	}
	return strings.Replace(cell, ",", ".", 1)
}

// Decimals writes the decimal commas of a cell that holds several numbers as
// points, in a file whose columns are separated by semicolons.
func (s *Sheet) Decimals(cell string) string {
	if !s.DecimalComma {
		return cell
	}
	b := []byte(cell)
	for i := 1; i < len(b)-1; i++ {
		if b[i] == ',' && isDigit(b[i-1]) && isDigit(b[i+1]) {
			b[i] = '.'
		}
	}
	return string(b)
}

func isDigit(c byte) bool { return c >= '0' && c <= '9' }

// cellsHint tells what may be wrong with a row that has another number of
// cells than the header.
func cellsHint(has, want int, separator rune) string {
	switch {
	case separator == ',' && has > want:
		return "a comma inside a number or a name? write a decimal point, or separate the columns by semicolons; put a text with commas in double quotes"
	case has > want:
		return "take out what stands beyond the last column, or name one more column in the header"
	case separator == ',':
		return "a row has as many commas as the header, also before empty cells at its end"
	}
	return "a row has as many separators as the header, also before empty cells at its end"
}

func blank(cells []string) bool {
	for _, c := range cells {
		if strings.TrimSpace(c) != "" {
			return false
		}
	}
	return true
}

func quoteProblem(file string, err error) Problem {
	p := Problem{File: file, What: "the row cannot be read"}
	var e *csv.ParseError
	if errors.As(err, &e) {
		p.Line, p.Column = e.StartLine, e.Column
		if errors.Is(e.Err, csv.ErrQuote) || errors.Is(e.Err, csv.ErrBareQuote) {
			p.What, p.Hint = "a double quote stands where none belongs", "a text in quotes begins and ends with one; inside it a quote is written twice"
			if e.Line > e.StartLine {
				p.What = fmt.Sprintf("a double quote is opened and not closed as it should be (up to line %d)", e.Line)
			}
		}
	}
	return p
}

// Count writes "1 cell", "3 cells".
func Count(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}

// InOrder checks that times are all there, rise row by row and lie on whole
// steps. Its time grows with the number of rows, whatever is wrong with them.
func (s *Sheet) InOrder(name string, times []time.Time, step time.Duration) bool {
	ok := true
	var first map[int64]int32 // the row of each time; made at the first row that does not rise
	last := time.Time{}
	for i, t := range times {
		if t.IsZero() {
			ok = false // told when the cell was read
			continue
		}
		if !t.After(last) && first == nil {
			first = make(map[int64]int32, len(times))
			for j, before := range times[:i] {
				if k := before.Unix(); !before.IsZero() {
					if _, again := first[k]; !again {
						first[k] = int32(j)
					}
				}
			}
		}
		if first != nil {
			if j, again := first[t.Unix()]; again {
				ok = false
				if s.in.full(s.File) {
					s.in.more(s.File, 1)
					continue
				}
				s.Wrong(i, name, fmt.Sprintf("the first is on line %d; keep one of them", s.Line(int(j))), "%s stands there twice", TimeText(t, step))
				continue
			}
			first[t.Unix()] = int32(i)
		}
		if !t.Truncate(step).Equal(t) {
			ok = false
			s.Wrong(i, name, "a row an hour, on the hour", "%s is not on the hour", TimeText(t, time.Minute))
		}
		if t.Before(last) {
			ok = false
			if s.in.full(s.File) {
				s.in.more(s.File, 1)
				last = t
				continue
			}
			s.Wrong(i, name, "sort the rows by time", "%s comes after %s", TimeText(t, step), TimeText(last, step))
		}
		last = t
	}
	return ok
}

// TimeText writes a time as messages have it: a day, or a day and a time of day.
func TimeText(t time.Time, step time.Duration) string {
	if step >= 24*time.Hour {
		return t.Format("2006-01-02")
	}
	return t.Format("2006-01-02 15:04")
}
