package files

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strings"
	"time"

	"github.com/gocarina/gocsv"
)

// Column is a column that a CSV file may have. Columns with the same choice
// say the same in different units: a file has one of them.
type Column struct {
	name   string
	choice string
	need   bool
}

// Columns are the columns that a CSV file may have, built up by its methods.
type Columns []Column

// Must adds columns that have to be there.
func (c Columns) Must(names ...string) Columns { return c.add(names, "", true) }

// May adds columns that may be left out.
func (c Columns) May(names ...string) Columns { return c.add(names, "", false) }

// OneOf adds columns that say the same in different units: one has to be there.
func (c Columns) OneOf(names ...string) Columns { return c.add(names, names[0], true) }

// MayOneOf adds columns that say the same in different units: one may be there.
func (c Columns) MayOneOf(names ...string) Columns { return c.add(names, names[0], false) }

func (c Columns) add(names []string, choice string, need bool) Columns {
	c = c[:len(c):len(c)]
	for _, n := range names {
		c = append(c, Column{n, choice, need})
	}
	return c
}

// Sheet is a CSV file whose header is known to be right: rows hold the cells,
// and the place of each cell is kept.
type Sheet struct {
	in           *Folder
	File         string
	Has          map[string]bool // the columns
	DecimalComma bool            // the columns are separated by semicolons
	header       []string
	width        int // cells of the header row, a spreadsheet's empty columns included
	rows         [][]string
	at           []rowPlace
	set          map[[2]int]string // cells, by row and column, that a setting put there
}

type rowPlace struct {
	line    int
	columns []int // where each cell begins, in bytes from 1
}

// Rows reads a CSV file of the folder into rows of T, whose fields carry
// the columns' names in csv tags. Every cell is decoded, and every fault
// told; ok means that there was none. It is the only place that uses gocsv,
// which left to itself takes an empty cell, a missing column or a misspelt
// header for 0 and miscounts lines.
func Rows[T any](in *Folder, file, missing string, columns Columns) (rows []T, s *Sheet, ok bool) {
	data, ok := in.Read(file, MaxTableBytes, Problem{File: file}, missing)
	if !ok {
		return nil, nil, false
	}
	before := len(in.Problems)
	s = in.Sheet(file, data, columns)
	for i := range in.Problems[before:] {
		if p := &in.Problems[before+i]; p.What == HeaderOnly {
			p.Hint = missing
		}
	}
	if s == nil || len(in.Problems) > before && len(s.rows) == 0 {
		return nil, nil, false
	}
	s.setRows(columns)
	if err := gocsv.UnmarshalCSV(s, &rows); err == nil {
		return rows, s, len(in.Problems) == before
	}
	// There are faults. Read all of it once more, to tell them all.
	rows = nil
	told := map[int]bool{} // columns of which one word says all
	handler := func(e *csv.ParseError) bool {
		row, col := e.Line-2, e.Column-1
		switch err := s.emptiness(row, col, e.Err, columns); {
		case err == nil:
			s.problem(row, col, e.Err)
		case !told[col]:
			told[col] = s.isEmpty(col)
			s.problem(row, col, err)
		}
		return true
	}
	if err := gocsv.UnmarshalWithErrorHandler(s.plain(), handler, &rows); err != nil {
		in.Tell(Problem{File: file, What: "cannot be read: " + err.Error()})
	}
	return rows, s, len(in.Problems) == before
}

// HeaderOnly is what is wrong with a table that holds nothing yet.
const HeaderOnly = "has a header but no row"

// Read is there for gocsv, which does not call it.
func (s *Sheet) Read() ([]string, error) { return nil, io.EOF }

// ReadAll gives gocsv the checked cells.
func (s *Sheet) ReadAll() ([][]string, error) {
	return append([][]string{s.header}, s.rows...), nil
}

// emptiness tells what is wrong with an empty cell, nil if it is none. A column
// that the file need not have may go.
func (s *Sheet) emptiness(row, col int, err error, columns Columns) error {
	if !errors.Is(err, errEmpty) {
		return nil
	}
	hint := errEmpty.hint
	for _, c := range columns {
		if c.name == s.header[col] && !c.need {
			hint = "write a number, or delete the column if it is not known"
		}
	}
	if len(s.rows) > 1 && s.isEmpty(col) {
		return hinted{fmt.Sprintf("the cells of all %d rows are empty", len(s.rows)), hint}
	}
	return hinted{errEmpty.what, hint}
}

// isEmpty reports whether a column has nothing in any row.
func (s *Sheet) isEmpty(col int) bool {
	for _, row := range s.rows {
		if col < len(row) && row[col] != "" {
			return false
		}
	}
	return true
}

// plain writes the checked cells out again in the one form that gocsv reads
// without a setting, one line a row.
func (s *Sheet) plain() io.Reader {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	w.Write(s.header) // a bytes.Buffer takes all
	w.WriteAll(s.rows)
	return &b
}

// Hinted returns an error with a cure.
func Hinted(what, hint string) error { return hinted{what, hint} }

// hinted is an error with a cure.
type hinted struct{ what, hint string }

func (h hinted) Error() string { return h.what }

// problem tells what is wrong with a cell.
func (s *Sheet) problem(row, col int, err error) {
	p := Problem{File: s.File, Line: s.at[row].line, What: s.header[col] + ": " + err.Error()}
	if col < len(s.at[row].columns) {
		p.Column = s.at[row].columns[col]
	}
	if from, ok := s.set[[2]int{row, col}]; ok {
		p.File, p.Line, p.Column = from, 0, 0
	}
	var h hinted
	if errors.As(err, &h) {
		p.Hint = h.hint
	}
	s.in.Tell(p)
}

// Wrong tells what is wrong with the cell of a named column.
func (s *Sheet) Wrong(row int, name, hint, format string, args ...any) {
	for i, h := range s.header {
		if h == name {
			s.problem(row, i, hinted{fmt.Sprintf(format, args...), hint})
			return
		}
	}
	s.in.Tell(Problem{File: s.File, Line: s.at[row].line, What: fmt.Sprintf(format, args...), Hint: hint})
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
func (s *Sheet) Line(row int) int { return s.at[row].line }

// Header returns the separator of a CSV file and the names in its first row.
func Header(data []byte) (separator rune, names []string, err error) {
	r := csv.NewReader(bytes.NewReader(data))
	r.Comma, r.Comment = separatorOf(data), '#'
	cells, err := r.Read()
	for len(cells) > 0 && strings.TrimSpace(cells[len(cells)-1]) == "" {
		cells = cells[:len(cells)-1]
	}
	for _, c := range cells {
		names = append(names, strings.ToLower(strings.TrimSpace(c)))
	}
	return r.Comma, names, err
}

// Sheet splits a CSV file into cells and checks its header. It returns nil if
// there is nothing to go on with.
func (in *Folder) Sheet(file string, data []byte, columns Columns) *Sheet {
	if !bytes.ContainsRune(data, '\n') {
		data = bytes.ReplaceAll(data, []byte{'\r'}, []byte{'\n'})
	}
	separator := separatorOf(data)
	s := &Sheet{in: in, File: file, DecimalComma: separator == ';'}
	r := csv.NewReader(bytes.NewReader(data))
	r.Comma, r.Comment, r.FieldsPerRecord, r.ReuseRecord = separator, '#', -1, false
	faults := 0
	var places []int // room for the places of cells
	for faults < problemsPerFile {
		cells, err := r.Read()
		if err == io.EOF {
			break
		}
		if err != nil {
			faults++
			in.Tell(quoteProblem(file, err))
			continue
		}
		line, col := r.FieldPos(0)
		if s.header == nil {
			if !in.header(s, cells, columns, line) {
				return nil
			}
			continue
		}
		if blank(cells) {
			continue
		}
		if len(cells) != s.width {
			faults++
			in.Tell(Problem{File: file, Line: line, Column: col, What: fmt.Sprintf("the row has %s, the header %d", Count(len(cells), "cell"), s.width), Hint: cellsHint(len(cells), s.width, separator)})
			continue
		}
		if !blank(cells[len(s.header):]) {
			faults++
			in.Tell(Problem{File: file, Line: line, Column: col, What: "the row has a cell under a column without a name", Hint: "name the column, or empty the cell"})
			continue
		}
		cells = cells[:len(s.header)]
		if len(places) < len(cells) {
			places = make([]int, 512*len(cells))
		}
		place := rowPlace{line: line, columns: places[:len(cells):len(cells)]}
		places = places[len(cells):]
		for i := range cells {
			_, place.columns[i] = r.FieldPos(i)
			cells[i] = strings.TrimSpace(cells[i])
			if s.DecimalComma {
				cells[i] = decimalPoint(cells[i])
			}
		}
		s.rows = append(s.rows, cells)
		s.at = append(s.at, place)
	}
	if s.header == nil {
		in.Tell(Problem{File: file, What: "has no header row", Hint: "the first row names the columns: " + columnNames(columns)})
		return nil
	}
	if len(s.rows) == 0 && faults == 0 {
		in.Tell(Problem{File: file, What: HeaderOnly})
		return nil
	}
	s.ownDates()
	return s
}

// header checks the names of the columns: missing, double, unknown.
func (in *Folder) header(s *Sheet, cells []string, columns Columns, line int) bool {
	s.width = len(cells)
	for len(cells) > 0 && strings.TrimSpace(cells[len(cells)-1]) == "" {
		cells = cells[:len(cells)-1]
	}
	before := len(in.Problems)
	fail := func(hint, format string, args ...any) {
		in.Tell(Problem{File: s.File, Line: line, What: fmt.Sprintf(format, args...), Hint: hint})
	}
	known := make([]string, len(columns))
	choiceOf := map[string]string{}
	for i, c := range columns {
		known[i] = c.name
		choiceOf[c.name] = c.choice
	}
	s.Has = map[string]bool{}
	chosen := map[string]string{}
	for _, cell := range cells {
		name := strings.ToLower(strings.TrimSpace(cell))
		choice, ok := choiceOf[name]
		switch {
		case !ok:
			fail(DidYouMean(name, known), "unknown column %q", strings.TrimSpace(cell))
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
	for i, c := range columns {
		switch {
		case !c.need || s.Has[c.name] || c.choice != "" && chosen[c.choice] != "":
		case c.choice == "":
			fail("the header row names the columns: "+columnNames(columns), "the column %q is missing", c.name)
		case i == 0 || columns[i-1].choice != c.choice:
			fail("the header row names the columns: "+columnNames(columns), "the column %s is missing", strings.Join(choices(columns, c.choice), " or "))
		}
	}
	if s.header == nil {
		s.header = []string{}
	}
	return len(in.Problems) == before
}

func choices(columns Columns, choice string) (names []string) {
	for _, c := range columns {
		if c.choice == choice {
			names = append(names, c.name)
		}
	}
	return names
}

func columnNames(columns Columns) string {
	names := make([]string, len(columns))
	for i, c := range columns {
		names[i] = c.name
	}
	return strings.Join(names, ", ")
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
// steps.
func (s *Sheet) InOrder(name string, times []time.Time, step time.Duration) bool {
	ok := true
	first := map[time.Time]int{}
	for i, t := range times {
		if t.IsZero() {
			ok = false // told when the cell was read
			continue
		}
		if j, again := first[t]; again {
			ok = false
			s.Wrong(i, name, fmt.Sprintf("the first is on line %d; keep one of them", s.Line(j)), "%s stands there twice", TimeText(t, step))
			continue
		}
		first[t] = i
		if !t.Truncate(step).Equal(t) {
			ok = false
			s.Wrong(i, name, "a row an hour, on the hour", "%s is not on the hour", TimeText(t, time.Minute))
		}
		if i > 0 && t.Before(times[i-1]) {
			ok = false
			s.Wrong(i, name, "sort the rows by time", "%s comes after %s", TimeText(t, step), TimeText(times[i-1], step))
		}
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
